import { describe, expect, it } from 'vitest';
import { pickAt, pickWithin, readingOrder } from '../../renderer/canvas/pick';
import { PlanIndex } from '../../renderer/tools/plan-index';
import { applyEdit, putEntities, removeEntities } from '../../shared-core/document/index';
import type { Entity } from '../../shared-core/document/index';
import { at, documentWith, loadOf, sheet, switchOf, tankOf, wallOf } from './tools-workbench';

const options = { reach: 5, symbol: 8, halfThickness: (t: number) => t * 5 };
const indexOf = (...entities: readonly Entity[]): PlanIndex => { const index = new PlanIndex(); index.update(documentWith(...entities), sheet.id); return index; };

describe('picking', () => {
  it('a disconnect on a wall is picked before the wall, and a wall before the tank behind it', () => {
    const index = indexOf(tankOf('obstruction-1', 0, 0, 200, 200), wallOf('wall-1', [0, 100], [200, 100]), switchOf('disconnect-1', 'DS-01', 100, 105));
    expect(pickAt(index, at(101, 103), options)).toBe('disconnect-1');
    expect(pickAt(index, at(50, 102), options)).toBe('wall-1');
    expect(pickAt(index, at(50, 50), options)).toBe('obstruction-1');
    expect(pickAt(index, at(400, 50), options)).toBeNull();
  });

  it('of two outlines that lie over each other the smaller is picked', () => {
    const index = indexOf(tankOf('obstruction-1', 0, 0, 200, 200), tankOf('obstruction-2', 50, 50, 90, 90));
    expect(pickAt(index, at(70, 70), options)).toBe('obstruction-2');
  });

  it('a wall is hit anywhere in its thickness', () => {
    expect(pickAt(indexOf({ ...wallOf('wall-1', [0, 0], [100, 0]), thickness: 4 as never }), at(50, 15), options)).toBe('wall-1');
  });

  it('only the kinds asked for are picked', () => {
    const index = indexOf(wallOf('wall-1', [0, 100], [200, 100]), loadOf('load-1', 'M-1', 100, 100));
    expect(pickAt(index, at(100, 100), { ...options, kinds: ['wall'] })).toBe('wall-1');
  });

  it('a box takes what is wholly inside, or all that it touches', () => {
    const index = indexOf(wallOf('wall-1', [0, 0], [100, 100]), loadOf('load-1', 'M-1', 30, 10), tankOf('obstruction-1', 40, 0, 300, 60));
    const box = { minX: 0, minY: 0, maxX: 60, maxY: 60 };
    expect(pickWithin(index, box, false)).toEqual(['load-1']);
    expect(pickWithin(index, box, true).sort()).toEqual(['load-1', 'obstruction-1', 'wall-1']);
    // The diagonal wall's own box covers this corner, the wall itself does not.
    expect(pickWithin(index, { minX: 70, minY: 0, maxX: 90, maxY: 5 }, true)).toEqual(['obstruction-1']);
  });

  it('reads marks line by line from the top left', () => {
    const index = indexOf(loadOf('load-3', 'M-3', 10, 300), loadOf('load-2', 'M-2', 400, 12), loadOf('load-1', 'M-1', 20, 20));
    expect(readingOrder(index, 50)).toEqual(['load-1', 'load-2', 'load-3']);
  });

  it('follows the document: moved, added and deleted marks are found where they are now', () => {
    const before = documentWith(loadOf('load-1', 'M-1', 10, 10), loadOf('load-2', 'M-2', 100, 10));
    const index = new PlanIndex();
    index.update(before, sheet.id);
    const moved = applyEdit(before, putEntities(before, 'moved', [loadOf('load-1', 'M-1', 300, 300), loadOf('load-3', 'M-3', 500, 500)]));
    const after = applyEdit(moved, removeEntities(moved, 'deleted', ['load-2']));
    expect(index.update(after, sheet.id)).toBe(true);
    expect(pickAt(index, at(10, 10), options)).toBeNull();
    expect(pickAt(index, at(100, 10), options)).toBeNull();
    expect(pickAt(index, at(300, 300), options)).toBe('load-1');
    expect(pickAt(index, at(500, 500), options)).toBe('load-3');
    expect(index.update(after, sheet.id)).toBe(false);
    expect(index.update(after, 'sheet-other')).toBe(true);
    expect([...index.all()]).toEqual([]);
  });
});
