import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readDocument } from '../../shared-core/document/index';
import { TOOLS } from '../../renderer/tools/index';
import type { ToolId } from '../../renderer/state/store';
import { documentWith, loadOf, switchOf, tankOf, wallOf, Workbench } from '../unit/tools-workbench';

const start = () => documentWith(wallOf('wall-1', [100, 100], [300, 100], [300, 300]), tankOf('obstruction-1', 400, 400, 500, 500),
  loadOf('load-1', 'M-1', 200, 300), switchOf('disconnect-1', 'DS-07', 250, 300, ['load-1']));

// A coarse raster of positions makes hits, closings and repeats likely.
const place = fc.record({ x: fc.integer({ min: 0, max: 20 }).map((n) => n * 25), y: fc.integer({ min: 0, max: 20 }).map((n) => n * 25) });
const modifiers = fc.record({ shift: fc.boolean(), alt: fc.boolean() });
const action = fc.oneof(
  { weight: 6, arbitrary: fc.tuple(fc.constantFrom('press' as const, 'move' as const, 'release' as const), place, modifiers, fc.integer({ min: 1, max: 2 })).map(([type, p, m, clicks]) => ({ do: type, p, m, clicks })) },
  { weight: 3, arbitrary: place.map((p) => ({ do: 'click' as const, p })) },
  { weight: 2, arbitrary: fc.tuple(fc.constantFrom('Enter', 'Escape', 'Backspace', 'Delete', 'ArrowLeft', 'ArrowDown', '[', '}', 'j', 'z!', 'y!', 'c!', 'v!', 'd!', 'a!'), modifiers).map(([key, m]) => ({ do: 'key' as const, key, m })) },
  { weight: 2, arbitrary: fc.constantFrom(...(Object.keys(TOOLS) as ToolId[])).map((tool) => ({ do: 'take' as const, tool })) },
  { weight: 1, arbitrary: fc.tuple(fc.constantFrom("5'", "3' < 45", "4', -2'", "= 10', 10'", "2' x 1'", '0 ft', '-1 ft', 'what'), modifiers).map(([text, m]) => ({ do: 'type' as const, text, m })) },
);

type Action = typeof action extends fc.Arbitrary<infer A> ? A : never;

function act(bench: Workbench, a: Action): void {
  switch (a.do) {
    case 'press': case 'move': case 'release': bench.runner.pointer(a.do, { x: a.p.x, y: a.p.y } as never, { control: false, ...a.m }, a.clicks); break;
    case 'click': bench.click(a.p.x, a.p.y); break;
    case 'key': bench.key(a.key.replace('!', ''), { ...a.m, control: a.key.endsWith('!') }); break;
    case 'take': bench.take(a.tool); break;
    case 'type': bench.type(a.text, a.m); break;
  }
}

describe('any hand at all', () => {
  it('leaves a valid document, a valid preview, and undo goes back to the very beginning', () => {
    fc.assert(fc.property(fc.array(action, { maxLength: 60 }), (actions) => {
      const before = start();
      const bench = new Workbench(before);
      for (const a of actions) {
        act(bench, a);
        if (bench.preview) expect(readDocument(JSON.parse(JSON.stringify(bench.preview)))).toMatchObject({ ok: true });
      }
      expect(readDocument(JSON.parse(JSON.stringify(bench.document)))).toMatchObject({ ok: true });
      const after = bench.document;
      bench.runner.cancel();
      expect(bench.document).toBe(after);
      const steps = bench.done.length;
      for (let i = 0; i < steps; i += 1) bench.key('z', { control: true });
      expect(bench.document).toEqual(before);
      for (let i = 0; i < steps; i += 1) bench.key('y', { control: true });
      expect(bench.document).toEqual(after);
    }), { numRuns: 400 });
  });

  it('a key that begins an exact entry never chooses a tool as well', () => {
    for (const tool of Object.keys(TOOLS) as ToolId[]) {
      const bench = new Workbench(start()).take(tool);
      bench.selection = ['load-1'];
      for (const key of '0123456789.,-=') {
        if (!bench.runner.startsTyping(key)) continue;
        bench.key(key);
        expect(bench.tool).toBe(tool);
      }
    }
  });
});
