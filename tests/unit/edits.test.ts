import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyEdit, changedIds, emptyDocument, entitiesOf, invertEdit, previewEdit, putEntities, removeEntities } from '../../shared-core/document/index';
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
});
