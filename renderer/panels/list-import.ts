import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import { putEntities, removeEntities } from '../../shared-core/document/index';
import type { Document, Edit, Id, Load } from '../../shared-core/document/index';
import { columnsBelow, compareEquipment, guessColumns, readAhead, readEquipment, tagKey } from '../../shared-core/exchange/index';
import type { Cells, ColumnMap, ListChange, ListField } from '../../shared-core/exchange/index';
import type { HostInput, Problem } from '../../shared-core/host-api';
import { host } from '../host-client';
import { store } from '../state/store';
import { listWords } from '../text/index';
import { newJob } from './project-actions';
import { waitingLoad } from './quick-entry';
import { uiStore } from './ui-store';

/** Where the import of one list stands. */
export type ListImport =
  | { readonly kind: 'choose'; readonly problem: Problem | null }
  | { readonly kind: 'reading'; readonly name: string; readonly done: number; readonly job: string }
  /** ticks holds only what the person ticked or unticked; the rest stands as offered. */
  | { readonly kind: 'review'; readonly name: string; readonly cells: Cells; readonly map: ColumnMap; readonly ticks: ReadonlyMap<string, boolean> };
export type Review = Extract<ListImport, { kind: 'review' }>;

export const listStore = createStore<{ readonly list: ListImport }>()(() => ({ list: { kind: 'choose', problem: null } }));
export const useListImport = (): ListImport => useStore(listStore, (s) => s.list);
const set = (list: ListImport): void => { listStore.setState({ list }); };

/** So many rows are read without a break: some ten milliseconds. */
const AT_ONCE = 1000;

/** Shows a list for review once its rows are read, in slices, so that the window stays free; given up when the person did something else meanwhile. */
async function showReview(next: Review, onShare: (share: number) => void = () => undefined): Promise<void> {
  for (let row = 0; row + AT_ONCE < next.cells.length; row += AT_ONCE) {
    readAhead(next.cells, next.map, row, row + AT_ONCE);
    onShare(row / next.cells.length);
    const last = listStore.getState().list;
    await new Promise((resolve) => { setTimeout(resolve, 0); });
    if (listStore.getState().list !== last) return;
  }
  set(next);
}

export const restartList = (): void => { set({ kind: 'choose', problem: null }); };

/** The host takes no longer text in one call. */
const LONGEST_PASTE = 2_000_000;

async function read(name: string, source: Omit<HostInput<'readList'>, 'job'>): Promise<void> {
  const job = newJob();
  set({ kind: 'reading', name, done: 0, job });
  const stop = host.onProgress((p) => { const now = listStore.getState().list; if (p.job === job && now.kind === 'reading') set({ ...now, done: p.done }); });
  const outcome = await host.call('readList', { ...source, job });
  stop();
  const now = listStore.getState().list;
  // The person closed the dialog or began anew in the meantime.
  if (now.kind !== 'reading' || now.job !== job) return;
  if (!outcome.ok) { set({ kind: 'choose', problem: outcome.problem.code === 'cancelled' ? null : outcome.problem }); return; }
  const { cells } = outcome.value;
  if (cells.length === 0) { set({ kind: 'choose', problem: { code: 'empty-file', what: listWords.noRows(name), todo: listWords.noRowsTodo } }); return; }
  await showReview({ kind: 'review', name, cells, map: guessColumns(cells), ticks: new Map() }, (share) => { set({ kind: 'reading', name, done: share, job }); });
}

/** Takes a dropped file, or asks for one, and reads its cells. The project changes only when rows are taken. */
export async function offerList(file?: File): Promise<void> {
  const picked = file ? await host.offerFile(file) : await host.call('pickFile', { purpose: 'list' });
  uiStore.getState().openDialog('list');
  if (!picked.ok) { set({ kind: 'choose', problem: picked.problem }); return; }
  if (picked.value) await read(picked.value.name, { file: picked.value.file });
}

export async function offerPasted(text: string): Promise<void> {
  if (text.length > LONGEST_PASTE) { set({ kind: 'choose', problem: { code: 'too-large', what: listWords.tooMuch, todo: listWords.tooMuchTodo } }); return; }
  if (text.trim() !== '') await read(listWords.pastedName, { text });
}

export function cancelList(list: Extract<ListImport, { kind: 'reading' }>): void {
  void host.call('cancel', { job: list.job });
  restartList();
}

export function closeList(): void {
  const { list } = listStore.getState();
  if (list.kind === 'reading') cancelList(list); else restartList();
  uiStore.getState().openDialog(null);
}

/** Takes another row for the heads and guesses again. */
export function setHeads(review: Review, head: number): void { void showReview({ ...review, map: columnsBelow(review.cells, head), ticks: new Map() }); }

/** Says what a column holds; a field stands in one column only. */
export function setColumn(review: Review, column: number, field: ListField | null): void {
  const columns = review.map.columns.map((each, i) => (i === column ? field : each === field ? null : each));
  void showReview({ ...review, map: { ...review.map, columns }, ticks: new Map() });
}

/** Mends one cell of the list as it is in the window; the file stays as it is. The row is offered anew. */
export function setCell(review: Review, row: number, column: number, text: string): void {
  const cells = review.cells.map((each, i) => (i === row ? Array.from({ length: Math.max(each.length, column + 1) }, (_, c) => (c === column ? text : each[c] ?? '')) : each));
  const ticks = new Map(review.ticks);
  ticks.delete(`row ${row}`);
  set({ ...review, cells, ticks });
}

/** One row of the review: what it would change, whether it is offered ticked, and whether it can be taken at all. */
export interface Offer { readonly key: string; readonly change: ListChange; readonly isOffered: boolean; readonly mayTake: boolean }

/** @returns what the list offers for this document, in the list's order, loads that the list does not hold last */
export function offersOf(document: Document, cells: Cells, map: ColumnMap): Offer[] {
  if (!map.columns.includes('tag')) return [];
  return compareEquipment(document, readEquipment(cells, map)).map((change): Offer => {
    if (change.kind === 'gone') return { key: `gone ${change.id}`, change, isOffered: false, mayTake: true };
    const mayTake = change.kind === 'new' || change.kind === 'changed';
    // A row with a fault waits for the person's word: taken, it lacks what could not be read.
    return { key: `row ${change.row.row}`, change, isOffered: mayTake && change.row.errors.length === 0, mayTake };
  });
}

const isTicked = (offer: Offer, ticks: Review['ticks']): boolean => offer.mayTake && (ticks.get(offer.key) ?? offer.isOffered);
export const tickedOf = (offers: readonly Offer[], ticks: Review['ticks']): Offer[] => offers.filter((offer) => isTicked(offer, ticks));

/** Ticks or unticks rows. Of rows with one tag only the last ticked stays, so that no tag is taken twice. */
export function tick(review: Review, offers: readonly Offer[], chosen: readonly Offer[], on: boolean): void {
  const ticks = new Map(review.ticks);
  const byTag = new Map<string, Offer[]>();
  for (const offer of offers) {
    if (offer.change.kind === 'gone') continue;
    const key = tagKey(offer.change.row.tag);
    byTag.set(key, [...(byTag.get(key) ?? []), offer]);
  }
  for (const offer of chosen) {
    if (!offer.mayTake) continue;
    if (on && offer.change.kind !== 'gone') for (const twin of byTag.get(tagKey(offer.change.row.tag)) ?? []) ticks.set(twin.key, false);
    ticks.set(offer.key, on);
  }
  set({ ...review, ticks });
}

export interface Taken { readonly added: number; readonly changed: number; readonly removed: number }
export const takenOf = (ticked: readonly Offer[]): Taken => {
  const of = (kind: ListChange['kind']): number => ticked.filter((offer) => offer.change.kind === kind).length;
  return { added: of('new'), changed: of('changed'), removed: of('gone') };
};

/** Everything ticked as one edit: undo takes all of it back. New loads wait without a place, on the given sheet's list. */
export function listEdit(document: Document, ticked: readonly Offer[], sheet: Id, name: string): Edit {
  const put: Load[] = [];
  const gone: Id[] = [];
  for (const { change } of ticked) {
    if (change.kind === 'new') put.push(waitingLoad({ tag: change.row.tag, name: change.row.name, data: change.data }, document, sheet));
    else if (change.kind === 'gone') gone.push(change.id);
    else if (change.kind === 'changed') {
      const load = document.entities[change.id];
      if (load?.kind === 'load') put.push({ ...load, name: change.name, data: change.data });
    }
  }
  return { name: listWords.edit(name, takenOf(ticked)), patches: [...putEntities(document, '', put).patches, ...removeEntities(document, '', gone).patches] };
}

/** Takes the ticked rows over and closes the dialog. */
export function takeList(review: Review, offers: readonly Offer[]): void {
  const { document, sheet, commit, notify } = store.getState();
  const ticked = tickedOf(offers, review.ticks);
  if (sheet === null || ticked.length === 0) return;
  commit(listEdit(document, ticked, sheet, review.name));
  closeList();
  notify('note', listWords.done(review.name, takenOf(ticked)), listWords.doneTodo);
}
