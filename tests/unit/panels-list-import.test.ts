// @vitest-environment jsdom
import fc from 'fast-check';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { listEdit, listStore, offersOf, restartList, setCell, setColumn, takeList, tick, tickedOf } from '../../renderer/panels/list-import';
import type { Review } from '../../renderer/panels/list-import';
import { notesOf, showChange } from '../../renderer/panels/list-text';
import { store } from '../../renderer/state/store';
import { applyEdit, documentSchema, entitiesOf, invertEdit } from '../../shared-core/document/index';
import { guessColumns, writeEquipment } from '../../shared-core/exchange/index';
import { exampleDocument } from './panels-example';

const document = exampleDocument();
const loads = entitiesOf(document, 'load');
const review = (text: string): Review => {
  const cells = text.split('\n').map((line) => line.split('|'));
  const list: Review = { kind: 'review', name: 'list.csv', cells, map: guessColumns(cells), ticks: new Map() };
  listStore.setState({ list });
  return list;
};
const now = (): Review => { const { list } = listStore.getState(); if (list.kind !== 'review') throw new Error('no review'); return list; };
const offers = (list: Review) => offersOf(store.getState().document, list.cells, list.map);
const keys = (list: Review): string[] => tickedOf(offers(list), list.ticks).map((offer) => offer.key);

beforeEach(() => { store.getState().load(document, null); });

describe('a list of thousands', () => {
  const long = (): string => `Tag|HP\n${Array.from({ length: 3500 }, (_, i) => `X-${i}|5`).join('\n')}`;
  it('told anew what a column holds is read in slices, and shown when all of it is', async () => {
    const list = review(long());
    setColumn(list, 1, 'kilowatts');
    expect(now().map.columns).toEqual(['tag', 'horsepower']);
    await vi.waitFor(() => { expect(now().map.columns).toEqual(['tag', 'kilowatts']); });
    expect(offers(now())).toHaveLength(3500 + loads.length);
  });
  it('left meanwhile is not shown again', async () => {
    setColumn(review(long()), 1, 'kilowatts');
    restartList();
    for (let turns = 0; turns < 20; turns += 1) await new Promise((resolve) => { setTimeout(resolve, 0); });
    expect(listStore.getState().list).toEqual({ kind: 'choose', problem: null });
  });
});

describe('what a list offers', () => {
  it('whole rows are ticked; rows with a fault, loads that the list lacks and rows that change nothing are not', () => {
    const [first] = loads;
    const list = review(`Tag|HP|Volts\nX-1|5|460\nX-2|about 5|460\n${first?.tag ?? ''}|${first?.data.horsepower ?? ''}|\n|3|460`);
    expect(offers(list).map(({ change, isOffered, mayTake }) => [change.kind, isOffered, mayTake])).toEqual([
      ['new', true, true], ['new', false, true], ['same', false, false], ['stopped', false, false], ...loads.slice(1).map(() => ['gone', false, true])]);
    expect(keys(list)).toEqual(['row 1']);
  });
  it('of rows with one tag the last ticked stays alone, also when all are ticked at once', () => {
    const list = review('Tag|HP\nX-1|5\nx-1|3\nX-1|2\nX-2|1');
    tick(now(), offers(list), offers(list).slice(0, 1), true);
    expect(keys(now())).toEqual(['row 1', 'row 4']);
    tick(now(), offers(list), offers(list).filter(({ change }) => change.kind !== 'gone'), true);
    expect(keys(now())).toEqual(['row 3', 'row 4']);
  });
  it('a mended cell makes the row whole; the others keep their ticks', () => {
    const list = review('Tag|HP\nX-1|5\nX-2|about 5\n|3');
    tick(now(), offers(list), offers(list).slice(0, 1), false);
    setCell(now(), 2, 1, '7 1/2');
    setCell(now(), 3, 0, 'X-3');
    expect(keys(now())).toEqual(['row 2', 'row 3']);
  });
  it('without a tag column nothing is offered', () => { expect(offers(review('5|460\n3|460'))).toEqual([]); });
  it('what removing a load would touch is said', () => {
    const served = loads.find((load) => entitiesOf(document, 'disconnect').some((d) => d.serves.includes(load.id)));
    if (!served) throw new Error('the example serves nothing');
    expect(notesOf({ kind: 'gone', id: served.id, tag: served.tag }, [], document).hints.join()).toMatch(/placed on a sheet.*serves? it/);
  });
  it('values that look alike when rounded are written out', () => {
    expect(showChange({ field: 'kilowatts', before: 5.1234, after: 5.1239 }, document)).toEqual({ before: '5.1234', after: '5.1239' });
    expect(showChange({ field: 'horsepower', before: undefined, after: 7.5 }, document)).toEqual({ before: 'none', after: '7 1/2 hp' });
  });
});

describe('taking a list', () => {
  it('is one edit that says what it did; undo restores the very document', () => {
    const [first] = loads;
    const list = review(`Tag|HP|Volts\nX-1|5|460\n${first?.tag ?? ''}|40|`);
    tick(now(), offers(list), offers(list).filter(({ change }) => change.kind === 'gone').slice(0, 1), true);
    takeList(now(), offers(now()));
    expect(store.getState().done.map((edit) => edit.name)).toEqual(['imported list.csv: 1 new load, 1 changed and 1 removed']);
    const made = entitiesOf(store.getState().document, 'load').find((load) => load.tag === 'X-1');
    expect(made).toMatchObject({ at: null, sheet: document.sheets[0]?.id, data: { kind: 'motor', horsepower: 5, voltage: 460, system: 'system-main' } });
    expect(entitiesOf(store.getState().document, 'load').find((load) => load.id === first?.id)).toEqual({ ...first, data: { ...first?.data, horsepower: 40, ...(first?.data.typed ? { typed: expect.anything() as unknown } : {}) } });
    store.getState().undo();
    expect(store.getState().document).toEqual(document);
  });
  it('whatever is ticked, the project stays a project, and undo is exact', () => {
    const text = `Tag|Name|HP|Volts/Ph|MCA\n${loads.map((load) => `${load.tag}|${load.name}!|33|208/3|`).join('\n')}\nN-1|n|1|460/3/60|\nN-2||||41\nN-2|twice||575|\n|no tag|1||`;
    fc.assert(fc.property(fc.array(fc.tuple(fc.nat(40), fc.boolean()), { maxLength: 40 }), (clicks) => {
      const list = review(text);
      const all = offers(list);
      for (const [at, on] of clicks) tick(now(), all, all.slice(at % all.length, (at % all.length) + 1), on);
      const edit = listEdit(document, tickedOf(all, now().ticks), document.sheets[0]?.id ?? '', 'list.csv');
      const after = applyEdit(document, edit);
      expect(documentSchema.safeParse(after).success).toBe(true);
      const tags = entitiesOf(after, 'load').map((load) => load.tag.toLowerCase());
      expect(new Set(tags).size).toBe(tags.length);
      expect(applyEdit(after, invertEdit(edit))).toEqual(document);
    }), { seed: 5, numRuns: 60 });
  });
  it('taking what was exported takes nothing', () => {
    const cells = writeEquipment(loads);
    const all = offersOf(document, cells, guessColumns(cells));
    expect(all.map(({ change }) => change.kind)).toEqual(loads.map(() => 'same'));
  });
});
