import { describe, expect, it } from 'vitest';
import { applyEdit, emptyDocument, invertEdit, putEntities, removeEntities } from '../../shared-core/document/index';
import type { Disconnect, Load } from '../../shared-core/document/index';
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
});
