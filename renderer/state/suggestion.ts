import { createStore } from 'zustand/vanilla';
import { bestPlaces, usualWeights } from '../../shared-core/advise/index';
import type { DisconnectsSuggestion, PlaceSuggestion, Progress, SeenTarget, SuggestedPlace, TermName, Weights } from '../../shared-core/advise/index';
import type { Disconnect, Document, Id } from '../../shared-core/document/index';

/** What is suggested: another place for one disconnect, or the fewest disconnects for some loads. */
export type SuggestionAsk = { readonly kind: 'place'; readonly disconnect: Id } | { readonly kind: 'disconnects'; readonly loads: readonly Id[] };
export type SuggestionFound = { readonly kind: 'place'; readonly suggestion: PlaceSuggestion } | { readonly kind: 'disconnects'; readonly suggestion: DisconnectsSuggestion };

/**
 * choosing: the loads are still being chosen. outdated: the document changed since it was asked; what was found is gone,
 * because it holds for the document it was made of and no other.
 */
export type SuggestionPhase = 'choosing' | 'working' | 'found' | 'stopped' | 'outdated' | 'failed';

export interface SuggestionState {
  /** null: nothing was asked. */
  readonly ask: SuggestionAsk | null;
  readonly phase: SuggestionPhase;
  /** Grows by one with every start of work; an answer to an earlier one is dropped. */
  readonly job: number;
  /** The document that was asked about, and its revision. */
  readonly of: Document | null;
  readonly revision: number;
  readonly progress: Progress | null;
  readonly reason: string;
  readonly found: SuggestionFound | null;
  readonly weights: Weights;
  /** The row that is chosen, and the one the pointer is on. */
  readonly chosen: number;
  readonly hovered: number | null;
}

export interface SuggestionActions {
  /** Lets the person choose the loads before anything runs. */
  readonly prepare: (loads: readonly Id[]) => void;
  readonly begin: (ask: SuggestionAsk, document: Document, revision: number) => void;
  readonly setProgress: (job: number, progress: Progress) => void;
  readonly setFound: (job: number, found: SuggestionFound) => void;
  readonly fail: (job: number, reason: string) => void;
  readonly stop: () => void;
  /** The document is another: nothing that was found may be shown or taken any more. */
  readonly outdate: () => void;
  readonly close: () => void;
  readonly weigh: (term: TermName, weight: number) => void;
  readonly resetWeights: () => void;
  readonly choose: (row: number) => void;
  readonly hover: (row: number | null) => void;
}

const NOTHING = { progress: null, reason: '', found: null, chosen: 0, hovered: null } as const;

export const suggestionStore = createStore<SuggestionState & SuggestionActions>()((set, get) => {
  const ifCurrent = (job: number, change: Partial<SuggestionState>): void => { if (job === get().job && get().phase === 'working') set(change); };
  return {
    ask: null, phase: 'choosing', job: 0, of: null, revision: -1, weights: usualWeights, ...NOTHING,
    prepare: (loads) => { set({ ...NOTHING, ask: { kind: 'disconnects', loads }, phase: 'choosing', job: get().job + 1, of: null }); },
    begin: (ask, document, revision) => { set({ ...NOTHING, ask, phase: 'working', job: get().job + 1, of: document, revision }); },
    setProgress: (job, progress) => { ifCurrent(job, { progress }); },
    setFound: (job, found) => { ifCurrent(job, { phase: 'found', found, progress: null }); },
    fail: (job, reason) => { ifCurrent(job, { phase: 'failed', reason, progress: null }); },
    stop: () => { if (get().phase === 'working') set({ ...NOTHING, phase: 'stopped', job: get().job + 1 }); },
    outdate: () => { set({ ...NOTHING, phase: 'outdated', job: get().job + 1 }); },
    close: () => { set({ ...NOTHING, ask: null, phase: 'choosing', job: get().job + 1, of: null }); },
    weigh: (term, weight) => { set({ weights: { ...get().weights, [term]: weight }, chosen: 0, hovered: null }); },
    resetWeights: () => { set({ weights: usualWeights, chosen: 0, hovered: null }); },
    choose: (chosen) => { set({ chosen }); },
    hover: (hovered) => { if (hovered !== get().hovered) set({ hovered }); },
  };
});

/** The places to choose from, by the weights of now; empty unless they were found for exactly this document. */
export function rankedPlaces({ found, of, weights }: SuggestionState, document: Document): readonly SuggestedPlace[] {
  if (of !== document || found?.kind !== 'place') return [];
  return bestPlaces(found.suggestion.found, weights, found.suggestion.feetPerUnit);
}

/** A mark that is only suggested, as the plan shows it. */
export interface Ghost {
  /** A disconnect as it would stand; it is in no document. */
  readonly device: Disconnect;
  readonly sees: readonly SeenTarget[];
  readonly number: number;
  /** The one that is pointed at or chosen: shown with its lines. */
  readonly isChosen: boolean;
}

/** What the plan shows of a suggestion; nothing unless it was found for exactly this document. */
export function ghostsOf(state: SuggestionState, document: Document): Ghost[] {
  const { ask, found, of, chosen, hovered } = state;
  if (!ask || of !== document || !found) return [];
  const row = hovered ?? chosen;
  if (found.kind === 'place') {
    const device = document.entities[found.suggestion.disconnect];
    if (device?.kind !== 'disconnect') return [];
    return rankedPlaces(state, document).map((place, i) => ({ device: standing(device, place), sees: place.sees, number: i + 1, isChosen: i === row }));
  }
  return found.suggestion.disconnects.map(({ sheet, handleHeight, standing: level, serves, place }, i) => ({
    device: standing({ kind: 'disconnect', id: `suggested-${i}`, sheet, tag: '', at: place.at, handleHeight, standing: level, facing: 0, mount: null, serves, data: {} }, place), sees: place.sees, number: i + 1, isChosen: i === row,
  }));
}

/** The disconnect moved to a suggested place: for showing it there, and for taking it over. */
export const standing = (device: Disconnect, { at, facing, mount }: SuggestedPlace): Disconnect => ({ ...device, at, facing, mount });
