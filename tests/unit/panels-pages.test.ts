// @vitest-environment jsdom
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPageRange, showPageRange } from '../../renderer/panels/page-range';
import { moveSheet, moveSheetTo } from '../../renderer/panels/sheet-tabs';
import { store } from '../../renderer/state/store';
import { exampleDocument } from './panels-example';

describe('pages as people name them', () => {
  it.each([['1-3, 7', [0, 1, 2, 6]], ['7, 1 – 3', [0, 1, 2, 6]], ['8-', [7, 8, 9]], ['-2', [0, 1]], ['all', [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]], ['2 2;3', [1, 2]], ['', []]])('%j', (text, pages) => {
    expect(readPageRange(text, 10)).toEqual({ ok: true, value: pages });
  });
  it.each(['0', '11', '3-12', '5-3', 'A-101', '-', '1-2-3', '1.5'])('%j is refused with a reason', (text) => {
    expect(readPageRange(text, 10)).toMatchObject({ ok: false, reason: expect.stringMatching(/\w/) as string });
  });
  it('what is shown reads back as the same pages', () => {
    fc.assert(fc.property(fc.uniqueArray(fc.integer({ min: 0, max: 49 })), (pages) => {
      expect(readPageRange(showPageRange(pages), 50)).toEqual({ ok: true, value: [...pages].sort((a, b) => a - b) });
    }), { seed: 11 });
  });
});

describe('the order of sheets', () => {
  const order = (): string[] => store.getState().document.sheets.map((sheet) => sheet.id);
  const three = () => {
    const document = exampleDocument();
    const [first] = document.sheets;
    if (!first) throw new Error('the example has no sheet');
    store.getState().load({ ...document, sheets: ['sheet-a', 'sheet-b', 'sheet-c'].map((id) => ({ ...first, id, name: id })), entities: {} }, null);
  };
  it('a sheet goes to its new place in one edit; undo puts it back', () => {
    three();
    moveSheetTo('sheet-a', 2);
    expect(order()).toEqual(['sheet-b', 'sheet-c', 'sheet-a']);
    expect(store.getState().done.at(-1)?.name).toBe('moved sheet sheet-a');
    store.getState().undo();
    expect(order()).toEqual(['sheet-a', 'sheet-b', 'sheet-c']);
    moveSheet('sheet-c', -1);
    expect(order()).toEqual(['sheet-a', 'sheet-c', 'sheet-b']);
  });
  it('beyond the ends and onto itself nothing happens', () => {
    three();
    for (const [id, to] of [['sheet-a', -1], ['sheet-c', 3], ['sheet-b', 1], ['sheet-x', 0]] as const) moveSheetTo(id, to);
    expect(store.getState().done).toEqual([]);
    expect(order()).toEqual(['sheet-a', 'sheet-b', 'sheet-c']);
  });
});
