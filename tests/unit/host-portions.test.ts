import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PlanIndex, preparePlanIndex } from '../../renderer/tools/plan-index';
import { applyEdit, entitiesOf, entityCount, entityIds, putEntities, removeEntities } from '../../shared-core/document/index';
import type { Document, Entity } from '../../shared-core/document/index';
import { inPortions, outOfPortions } from '../../shared-core/host-portions';
import { documentWith, loadOf, sheet, switchOf, tankOf, wallOf } from './tools-workbench';

/** Walls, a chain among them, with marks between, so that no kind stands together. */
const entityAt = (i: number): Entity => {
  if (i % 97 === 0) return loadOf(`load-${i}`, `M-"é"-${i}`, i, 30);
  if (i % 89 === 0) return switchOf(`disconnect-${i}`, `DS-${i}`, i, 40, [`load-${i - (i % 97)}`]);
  if (i % 83 === 0) return tankOf(`obstruction-${i}`, i, 0, i + 5, 5);
  return wallOf(`wall-${i}`, [i, 0], [i, 50], ...(i % 7 === 0 ? [[i + 9, 50] as const] : []));
};
const large = documentWith(...Array.from({ length: 2600 }, (_, i) => entityAt(i)));
const whole = (document: Document, bytes: Uint8Array): { readonly document: Document | null; readonly shares: readonly number[] } => {
  const steps = outOfPortions(document, bytes); const shares: number[] = [];
  for (;;) { const step = steps.next(); if (step.done) return { document: step.value, shares }; shares.push(step.value); }
};

describe('a large document handed to the window', () => {
  const { document: head, entities: bytes = new Uint8Array() } = inPortions(large);

  it('comes without its entities and with their bytes, and is the same when it is put together, its order and lists by kind too', () => {
    expect([Object.keys(head.entities), bytes.length > 0]).toEqual([[], true]);
    const made = whole(head, bytes);
    expect(made.document).toEqual(JSON.parse(JSON.stringify(large)));
    expect(entityIds(made.document?.entities ?? {})).toEqual(Object.keys(large.entities));
    expect(entityCount(made.document?.entities ?? {})).toBe(2600);
    for (const kind of ['wall', 'load', 'disconnect', 'obstruction', 'route', 'exception'] as const) expect(entitiesOf(made.document ?? head, kind).map((e) => e.id)).toEqual(entitiesOf(large, kind).map((e) => e.id));
    expect(made.shares.length).toBeGreaterThan(5);
    expect(made.shares).toEqual([...made.shares].sort((a, b) => a - b));
    expect(made.shares.at(-1)).toBe(1);
  });

  it('goes on from there with every edit', () => {
    const document = whole(head, bytes).document ?? head;
    const after = applyEdit(applyEdit(document, putEntities(document, 'put', [wallOf('wall-new', [0, 0], [9, 9])])), removeEntities(document, 'gone', ['load-0', 'wall-1']));
    expect(entitiesOf(after, 'wall').map((e) => e.id)).toEqual([...entitiesOf(large, 'wall').map((e) => e.id).filter((id) => id !== 'wall-1'), 'wall-new']);
    expect(entityCount(after.entities)).toBe(2599);
  });

  it('is nothing at all when anything of it is missing or spoiled', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: bytes.length - 1 }), (cut) => { expect(whole(head, bytes.slice(0, cut)).document).toBeNull(); }), { numRuns: 60 });
    const lineEnds = [...bytes.keys()].filter((i) => bytes[i] === 10);
    for (const end of lineEnds.slice(0, -1)) expect(whole(head, bytes.slice(0, end + 1)).document).toBeNull();
    for (const text of ['', '2600', '1\n', '0\n[["load-1"]]\n', '1\n[["load-1",null]]\n', '1\n{}\n']) expect(whole(head, new TextEncoder().encode(text)).document, text).toBeNull();
  });

  it('a small one comes as it is', () => {
    const small = documentWith(loadOf('load-1', 'M-1', 1, 1));
    expect(inPortions(small)).toEqual({ document: small });
  });
});

describe('the index of a sheet prepared in steps', () => {
  it('finds what one made at once finds, in document order, and goes on with the edits', () => {
    const document = { ...large, entities: { ...large.entities } };
    const steps = preparePlanIndex(document, sheet.id);
    let count = 0;
    while (!steps.next().done) count += 1;
    expect(count).toBe(3);
    const prepared = new PlanIndex(); const plain = new PlanIndex();
    const same = (): void => {
      expect([...prepared.all()].map((e) => e.id)).toEqual([...plain.all()].map((e) => e.id));
      for (const box of [{ minX: 100, minY: 0, maxX: 140, maxY: 60 }, { minX: -10, minY: -10, maxX: 9999, maxY: 9999 }, { minX: 2599, minY: 10, maxX: 2700, maxY: 12 }]) {
        for (const of of ['search', 'entitiesIn', 'marksIn'] as const) {
          const ids = (index: PlanIndex): string[] => index[of](box).map((found) => ('entity' in found ? `${found.entity.id} ${found.segment}` : found.id)).sort();
          expect(ids(prepared)).toEqual(ids(plain));
        }
      }
    };
    expect([plain.update(large, sheet.id), prepared.update(document, sheet.id)]).toEqual([true, true]);
    same();
    const edits = (d: Document): Document => applyEdit(applyEdit(d, putEntities(d, 'put', [wallOf('wall-3', [500, 500], [600, 500])])), removeEntities(d, 'gone', ['disconnect-89', 'load-0']));
    expect([plain.update(edits(large), sheet.id), prepared.update(edits(document), sheet.id)]).toEqual([true, true]);
    same();
    // Taken up once: an index that comes later makes its own and shares nothing.
    const later = new PlanIndex();
    later.update(document, sheet.id);
    expect([later.marksIn({ minX: -1, minY: 0, maxX: 1, maxY: 60 }).map((e) => e.id), prepared.marksIn({ minX: -1, minY: 0, maxX: 1, maxY: 60 }).map((e) => e.id)]).toEqual([['load-0'], []]);
  });
});
