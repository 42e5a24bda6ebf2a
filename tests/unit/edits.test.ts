import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { documentBytes } from '../../renderer/document-bytes';
import { applyEdit, changedIds, emptyDocument, entitiesOf, entityCount, entityIds, everyEntity, invertEdit, isOverlaid, newId, previewEdit, putEntities, removeEntities } from '../../shared-core/document/index';
import type { Disconnect, Document, Edit, Entity, Load, Machine } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';

const at = { x: sheetUnits(10), y: sheetUnits(20) };
const load: Load = { kind: 'load', id: 'load-1', sheet: 'sheet-1', tag: 'M-1', name: 'pump', at, height: feet(2), standing: feet(0), data: { kind: 'motor' } };
const disconnect: Disconnect = { kind: 'disconnect', id: 'disconnect-1', sheet: 'sheet-1', tag: 'DS-1', at, handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: ['load-1'], data: {} };

describe('edits', () => {
  it('removing a load takes it off every disconnect, and undo brings both back', () => {
    const before = applyEdit(emptyDocument(), putEntities(emptyDocument(), 'placed', [load, disconnect]));
    const edit = removeEntities(before, 'deleted M-1', ['load-1']);
    const after = applyEdit(before, edit);
    expect(after.entities['load-1']).toBeUndefined();
    expect((after.entities['disconnect-1'] as Disconnect).serves).toEqual([]);
    expect(applyEdit(after, invertEdit(edit))).toEqual(before);
  });

  it('lists by kind stay those of a fresh search through any chain of edits, and a caller may sort its own', () => {
    const listed = (d: Document): Record<string, Entity[]> => Object.fromEntries((['load', 'disconnect', 'machine'] as const).map((kind) => [kind, entitiesOf(d, kind)]));
    const searched = (d: Document): Record<string, Entity[]> => listed({ ...d, entities: { ...d.entities } });
    const machine: Machine = { kind: 'machine', id: 'machine-1', sheet: 'sheet-1', tag: 'MC-1', name: '', at, height: feet(2), standing: feet(0) };
    let document = emptyDocument();
    listed(document);
    const steps: ((d: Document) => Edit)[] = [
      (d) => putEntities(d, 'placed', [load, disconnect]), (d) => putEntities(d, 'placed', [machine, { ...load, id: 'load-2' }]),
      (d) => putEntities(d, 'moved', [{ ...load, tag: 'M-9' }]), (d) => removeEntities(d, 'deleted', ['load-1']), (d) => putEntities(d, 'placed again', [load]),
      (d) => putEntities(d, 'made a machine of it', [{ ...machine, id: 'load-2' }]),
    ];
    for (const step of steps) {
      const edit = step(document);
      const after = applyEdit(document, edit);
      listed(document).load?.reverse();
      expect(listed(after)).toEqual(searched(after));
      expect(listed(applyEdit(after, invertEdit(edit)))).toEqual(searched(applyEdit(after, invertEdit(edit))));
      document = after;
    }
  });

  it('a trial reads, lists and differs as the edited document does, whatever is edited, and nobody can write into it', () => {
    const edit = fc.array(fc.oneof(
      fc.record({ id: fc.integer({ min: 0, max: 12 }), tag: fc.string({ maxLength: 2 }) }).map(({ id, tag }) => (d: Document): Edit => putEntities(d, 'put', [{ ...load, id: `load-${id}`, tag }])),
      fc.uniqueArray(fc.integer({ min: 0, max: 12 }), { maxLength: 11 }).map((ids) => (d: Document): Edit => removeEntities(d, 'gone', ids.map((id) => `load-${id}`).filter((id) => d.entities[id]))),
      fc.uniqueArray(fc.integer({ min: 0, max: 12 }), { maxLength: 11 }).map((ids) => (d: Document): Edit => putEntities(d, 'put many', ids.map((id) => ({ ...disconnect, id: `load-${id}` })))),
    ), { minLength: 2, maxLength: 6 });
    fc.assert(fc.property(edit, fc.boolean(), (steps, listFirst) => {
      let document = applyEdit(emptyDocument(), putEntities(emptyDocument(), 'placed', [load, disconnect, { ...load, id: 'load-2' }]));
      let lastTrial: Document | null = null; let base = document;
      for (const step of steps) {
        if (listFirst) entitiesOf(document, 'load');
        const made = step(document); const after = applyEdit(document, made); const trial = previewEdit(document, made);
        expect({ ...trial.entities }).toEqual({ ...after.entities });
        expect(Object.keys(trial.entities).sort()).toEqual(Object.keys(after.entities).sort());
        for (const id of [...Object.keys(document.entities), 'load-77', 'toString']) expect([Object.hasOwn(trial.entities, id), id in trial.entities, trial.entities[id]]).toEqual([Object.hasOwn(after.entities, id), id in after.entities, after.entities[id]]);
        for (const kind of ['load', 'disconnect'] as const) for (const d of [after, trial]) expect(new Set(entitiesOf(d, kind))).toEqual(new Set(Object.values(after.entities).filter((e) => e.kind === kind)));
        for (const earlier of [document, base, ...(lastTrial ? [lastTrial] : [])]) {
          const differ = new Set([...Object.keys(earlier.entities), ...Object.keys(trial.entities)].filter((id) => earlier.entities[id] !== trial.entities[id]));
          expect([...differ].filter((id) => !changedIds(earlier, trial).includes(id))).toEqual([]);
        }
        if (made.patches.length > 0) expect(() => { Object.assign(trial.entities, { 'load-77': load }); }).toThrow(TypeError);
        base = document; lastTrial = trial; document = after;
      }
    }), { numRuns: 200 });
  });

  it('a large record that edits are laid over is the plain one, in its order too, after any edits, undos and trials', async () => {
    const many = Object.fromEntries(Array.from({ length: 2000 }, (_, i) => [`load-${i}`, { ...load, id: `load-${i}` }]));
    const start: Document = { ...emptyDocument(), entities: { ...many, [disconnect.id]: { ...disconnect, serves: ['load-0', 'load-3'] } } };
    /** What the edits make of a record of its own, patch by patch. */
    const plainly = (entities: Record<string, Entity>, edit: Edit): Record<string, Entity> => {
      const made = { ...entities };
      for (const patch of edit.patches) if (patch.at === 'entity') { if (patch.after) made[patch.id] = patch.after; else delete made[patch.id]; }
      return made;
    };
    const ids = fc.uniqueArray(fc.integer({ min: 0, max: 6 }).map((n) => (n < 4 ? `load-${n}` : n < 6 ? `load-new-${n}` : '17')), { maxLength: 5 });
    // Very many at once are rare, and dear to look at.
    const step = fc.oneof({ weight: 1, arbitrary: fc.constant((d: Document): Edit => putEntities(d, 'very many', Array.from({ length: 4100 }, (_, i) => ({ ...load, id: `load-more-${i}` })))) },
      ...[
      ids.map((some) => (d: Document): Edit => putEntities(d, 'put', some.map((id) => ({ ...load, id, tag: newId('load') })))),
      ids.map((some) => (d: Document): Edit => removeEntities(d, 'gone', some)),
      ids.map((some) => (d: Document): Edit => ({ name: 'gone and back', patches: [...removeEntities(d, '', some).patches, ...some.flatMap((id) => (d.entities[id] ? [{ at: 'entity' as const, id, before: null, after: d.entities[id] }] : []))] })),
      fc.constant('undo' as const),
      ].map((arbitrary: fc.Arbitrary<'undo' | ((d: Document) => Edit)>) => ({ weight: 6, arbitrary })),
    );
    await fc.assert(fc.asyncProperty(fc.array(step, { minLength: 3, maxLength: 12 }), async (steps) => {
      let document = start; let plain: Record<string, Entity> = { ...start.entities };
      const done: Edit[] = []; const seen: Document[] = [document];
      for (const one of steps) {
        const last = one === 'undo' ? done.pop() : undefined;
        if (one === 'undo' && !last) continue;
        const edit = one === 'undo' ? invertEdit(last!) : one(document);
        if (one !== 'undo') done.push(edit);
        const trial = previewEdit(document, edit);
        document = applyEdit(document, edit); plain = plainly(plain, edit);
        const own = { ...document, entities: plain };
        for (const id of ['load-0', 'load-3', 'load-new-4', '17', disconnect.id]) expect([Object.hasOwn(trial.entities, id), trial.entities[id]]).toEqual([Object.hasOwn(plain, id), plain[id]]);
        const order = Object.keys(plain).join();
        expect(Object.keys(document.entities).join() === order && entityIds(document.entities).join() === order).toBe(true);
        const values = Object.values(plain);
        expect(everyEntity(document).every((e, i) => e === values[i])).toBe(true);
        expect([entityCount(document.entities), everyEntity(document).length]).toEqual([values.length, values.length]);
        for (const kind of ['load', 'disconnect'] as const) {
          // A number as an id comes first in a plain record: lists carried along have it last.
          const [listed, fresh] = [document, own].map((d) => entitiesOf(d, kind).filter((e) => e.id !== '17'));
          expect([listed?.length, listed?.filter((e, i) => e !== fresh?.[i])]).toEqual([fresh?.length, []]);
        }
        for (const earlier of [...seen.slice(-3), trial]) {
          const differ = [...new Set([...entityIds(earlier.entities), ...Object.keys(plain)])].filter((id) => earlier.entities[id] !== plain[id]);
          const told = new Set(changedIds(earlier, document));
          expect(differ.filter((id) => !told.has(id))).toEqual([]);
        }
        seen.push(document);
      }
      const { entities: _, ...rest } = document;
      expect(new TextDecoder().decode(await documentBytes(document, () => Promise.resolve()))).toBe(JSON.stringify({ ...rest, entities: plain }));
      for (const edit of done.reverse()) document = applyEdit(document, invertEdit(edit));
      const back = document;
      expect([entityCount(back.entities), entityIds(start.entities).filter((id) => JSON.stringify(back.entities[id]) !== JSON.stringify(start.entities[id]))]).toEqual([2001, []]);
    }), { numRuns: 12 });
  });

  it('an edit of a large record copies nothing and a small one stays a record that can be handed to another thread', () => {
    const of = (count: number): Document => ({ ...emptyDocument(), entities: Object.fromEntries(Array.from({ length: count }, (_, i) => [`load-${i}`, { ...load, id: `load-${i}` }])) });
    const large = of(2000); const small = of(1999);
    const after = (d: Document): Document => applyEdit(d, putEntities(d, 'moved', [{ ...load, id: 'load-7', tag: 'M-7' }]));
    expect([isOverlaid(after(large).entities), isOverlaid(after(after(large)).entities), isOverlaid(after(small).entities)]).toEqual([true, true, false]);
    expect(structuredClone(after(small).entities)).toEqual(after(small).entities);
    expect(() => { Object.assign(after(large).entities, { 'load-77': load }); }).toThrow(TypeError);
  });
});
