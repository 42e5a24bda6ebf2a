import { describe, expect, it } from 'vitest';
import { applyEdit, emptyDocument, entitiesOf, invertEdit, putEntities, removeEntities } from '../../shared-core/document/index';
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
});
