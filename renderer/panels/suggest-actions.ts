import { replacedBy } from '../../shared-core/advise/index';
import { applyEdit, compareTags, entitiesOf, newId, putEntities, removeEntities } from '../../shared-core/document/index';
import type { Disconnect, Document, Edit, Id } from '../../shared-core/document/index';
import { rankedPlaces, standing, suggestionStore } from '../state/suggestion';
import { store } from '../state/store';
import { words } from '../text/index';
import { nextTag } from '../tools/naming';

/** Where the keyboard was when the pane opened, to go back there. */
let cameFrom: Element | null = null;
const remember = (): void => { if (suggestionStore.getState().ask === null) cameFrom = document.activeElement; };

export function suggestPlaceFor(disconnect: Id): void {
  const { document, revision } = store.getState();
  remember();
  suggestionStore.getState().begin({ kind: 'place', disconnect }, document, revision);
}

/** Starts at once: these loads were chosen already. */
export function suggestDisconnectsFor(loads: readonly Id[]): void {
  const { document, revision } = store.getState();
  remember();
  suggestionStore.getState().begin({ kind: 'disconnects', loads }, document, revision);
}

/** Opens the choice of loads first. */
export function chooseLoadsToSuggestFor(loads: readonly Id[]): void { remember(); suggestionStore.getState().prepare(loads); }

export function suggestAgain(): void {
  const { ask, begin } = suggestionStore.getState();
  const { document, revision } = store.getState();
  if (ask) begin(ask, document, revision);
}

export function closeSuggestion(): void {
  suggestionStore.getState().close();
  const back = cameFrom;
  cameFrom = null;
  requestAnimationFrame(() => { if (back instanceof HTMLElement && back.isConnected) back.focus(); else document.querySelector<HTMLElement>('#chosen')?.focus(); });
}

/** Loads that stand on a sheet and that no disconnect serves, in the order of their tags. */
export function openLoads(document: Document): Id[] {
  const served = new Set(entitiesOf(document, 'disconnect').flatMap((d) => d.serves));
  return entitiesOf(document, 'load').filter((l) => l.at !== null && !served.has(l.id)).sort((a, b) => compareTags(a.tag, b.tag)).map((l) => l.id);
}

/** Loads that stand on a sheet and have a disconnect, in the order of their tags: they can be planned anew. */
export function servedLoads(document: Document): Id[] {
  const open = new Set(openLoads(document));
  return entitiesOf(document, 'load').filter((l) => l.at !== null && !open.has(l.id)).sort((a, b) => compareTags(a.tag, b.tag)).map((l) => l.id);
}

/**
 * What taking the suggestion over would change, what is chosen then, and which disconnects go because their loads get
 * others; null unless it was made of exactly this document.
 */
export function acceptance(document: Document): { readonly edit: Edit; readonly ids: readonly Id[]; readonly gone: readonly Disconnect[] } | null {
  const state = suggestionStore.getState();
  const { found, of, phase, chosen } = state;
  if (phase !== 'found' || of !== document || !found) return null;
  if (found.kind === 'place') {
    const device = document.entities[found.suggestion.disconnect];
    const place = rankedPlaces(state, document)[chosen];
    return device?.kind === 'disconnect' && place ? { edit: putEntities(document, words.edits.movedToSuggested(device.tag), [standing(device, place)]), ids: [device.id], gone: [] } : null;
  }
  const taken = new Set<string>();
  const devices = found.suggestion.disconnects.map(({ sheet, handleHeight, standing: level, serves, place }): Disconnect => {
    const tag = nextTag(document, 'disconnect', taken);
    taken.add(tag);
    return standing({ kind: 'disconnect', id: newId('disconnect'), sheet, tag, at: place.at, handleHeight, standing: level, facing: 0, mount: null, serves, data: {} }, place);
  });
  if (devices.length === 0) return null;
  const { gone, kept } = replacedBy(document, devices.flatMap((d) => d.serves));
  const name = words.edits.addedSuggested(devices.map((d) => d.tag));
  const removed = removeEntities(document, name, gone.map((d) => d.id)); const without = applyEdit(document, removed);
  // What they fed from may have gone as well: the rest are changed as they stand then.
  const left = kept.flatMap((d) => { const now = without.entities[d.id]; return now?.kind === 'disconnect' ? [{ ...now, serves: d.serves }] : []; });
  return { edit: { name, patches: [...removed.patches, ...putEntities(without, name, [...left, ...devices]).patches] }, ids: devices.map((d) => d.id), gone };
}

/** Takes the suggestion over as one edit, and chooses what it made. */
export function acceptSuggestion(): void {
  const { document, commit, select, revealIds } = store.getState();
  const accepted = acceptance(document);
  if (!accepted) return;
  suggestionStore.getState().close();
  commit(accepted.edit);
  select(accepted.ids);
  revealIds(accepted.ids);
  requestAnimationFrame(() => { globalThis.document.querySelector<HTMLElement>('#chosen')?.focus(); });
}
