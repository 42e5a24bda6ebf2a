import { describe, expect, it } from 'vitest';
import { isSpace, paintSpaceInSteps } from '../../renderer/canvas/paint-space';
import type { Context } from '../../renderer/canvas/paint-primitives';
import { stepStates } from '../../renderer/panels/step-states';
import { PlanIndex } from '../../renderer/tools/plan-index';
import { applyEdit, entitiesOf, invertEdit, putEntities, removeEntities } from '../../shared-core/document/index';
import type { Document, Edit, Entity, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { at, documentWith, loadOf, sheet, switchOf, tankOf, wallOf } from './tools-workbench';

/** Notes each stroke: its width, and how many lines the path had. */
function notingContext(): { context: Context; strokes: { width: number; lines: number }[] } {
  const strokes: { width: number; lines: number }[] = [];
  let lines = 0;
  const context = {
    lineWidth: 0, strokeStyle: '', fillStyle: '', lineJoin: '', miterLimit: 0, lineCap: '',
    beginPath: () => { lines = 0; }, moveTo: () => undefined, lineTo: () => { lines += 1; }, closePath: () => undefined, arc: () => undefined,
    setLineDash: () => undefined, fill: () => undefined, stroke() { if (lines > 0) strokes.push({ width: context.lineWidth, lines }); },
  };
  return { context: context as unknown as Context, strokes };
}

describe('the building under the marks', () => {
  const view = { centre: at(0, 0), zoom: 1, width: 1000, height: 800 };

  it('is painted in steps of at most a thousand walls, none left out, and all wide strokes of a style lie below its narrow ones', () => {
    const walls = Array.from({ length: 2500 }, (_, i): Wall => ({ ...wallOf(`wall-${i}`, [i, 0], [i, 50]), thickness: feet(2) }));
    const { context, strokes } = notingContext();
    const steps = paintSpaceInSteps(context, walls, { view, sheet: { ...sheet, scale: null }, units: 'US' });
    let most = 0; let before = 0;
    while (!steps.next().done) { const now = strokes.reduce((n, s) => n + s.lines, 0); most = Math.max(most, now - before); before = now; }
    expect(most).toBe(1000);
    const widths = strokes.map((s) => s.width);
    expect(widths).toEqual([...widths].sort((a, b) => b - a));
    for (const width of new Set(widths)) expect(strokes.filter((s) => s.width === width).reduce((n, s) => n + s.lines, 0)).toBe(2500);
  });

  it('counts as changed when something of it came, went or moved, and not when a mark that is only a place did', () => {
    const machine: Entity = { kind: 'machine', id: 'machine-1', sheet: sheet.id, tag: 'MC-1', name: '', at: at(9, 9), height: feet(2), standing: feet(0), outline: [at(0, 0), at(9, 0), at(9, 9)] };
    let document = documentWith(wallOf('wall-1', [0, 0], [100, 0]), tankOf('obstruction-1', 0, 0, 20, 20), loadOf('load-1', 'M-1', 10, 10), switchOf('disconnect-1', 'DS-1', 30, 30, ['load-1']), machine);
    const index = new PlanIndex();
    index.update(document, sheet.id);
    const changes = (edit: Edit): boolean => { const before = index.space; document = applyEdit(document, edit); index.update(document, sheet.id); return index.space !== before; };
    for (const entity of [...entitiesOf(document, 'wall'), ...entitiesOf(document, 'obstruction'), machine]) expect([entity.id, isSpace(entity), changes(putEntities(document, 'again', [{ ...entity }]))]).toEqual([entity.id, true, true]);
    for (const entity of [...entitiesOf(document, 'load'), ...entitiesOf(document, 'disconnect')]) expect([entity.id, isSpace(entity), changes(putEntities(document, 'again', [{ ...entity }]))]).toEqual([entity.id, false, false]);
    const given = putEntities(document, 'given an outline', [{ ...loadOf('load-1', 'M-1', 10, 10), outline: [at(0, 0), at(5, 0), at(5, 5)] }]);
    expect([changes(given), changes(invertEdit(given)), changes(removeEntities(document, 'gone', ['disconnect-1'])), changes(removeEntities(document, 'gone', ['wall-1']))]).toEqual([true, true, false, true]);
    expect(index.allThings().map((e) => e.id).sort()).toEqual(['load-1', 'machine-1', 'obstruction-1']);
    expect(index.marksIn({ minX: -50, minY: -50, maxX: 50, maxY: 50 }).map((e) => e.id).sort()).toEqual(['load-1', 'machine-1']);
  });

  it('has as many openings as its walls, however they came and went', () => {
    const opening = (id: string) => ({ id, segment: 0, from: sheetUnits(1), to: sheetUnits(4), sill: feet(0), head: feet(7), leaf: 'none' as const });
    const wall = (id: string, ...openings: string[]): Wall => ({ ...wallOf(id, [0, 0], [100, 0]), openings: openings.map(opening) });
    let document: Document = documentWith(wall('wall-1', 'a'), wall('wall-2'));
    const said = (): string | undefined => stepStates({ document, audit: null, sheet: sheet.id, revision: 1, savedRevision: 1 }).find((s) => s.id === 'space')?.state;
    const go = (edit: Edit): string | undefined => { document = applyEdit(document, edit); return said(); };
    const fresh = (): string | undefined => { document = { ...document, entities: { ...document.entities } }; return said(); };
    expect(said()).toMatch(/1 opening/);
    for (const edit of [(): Edit => putEntities(document, 'put', [wall('wall-2', 'b', 'c')]), (): Edit => putEntities(document, 'put', [wall('wall-3', 'd')]), (): Edit => removeEntities(document, 'gone', ['wall-2'])]) {
      const made = edit();
      const after = go(made);
      expect(after).toBe(fresh());
      go(invertEdit(made)); go(made);
      expect(said()).toBe(after);
    }
    expect(said()).toMatch(/2 openings/);
  });
});
