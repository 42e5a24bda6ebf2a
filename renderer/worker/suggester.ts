import { suggestDisconnects, suggestPlace } from '../../shared-core/advise/index';
import type { Progress, Weights } from '../../shared-core/advise/index';
import type { Document } from '../../shared-core/document/index';
import type { SuggestionAsk, SuggestionFound } from '../state/suggestion';
import { Mirror } from './mirror';
import type { Portion } from './mirror';

export type SuggestRequest =
  | { readonly type: 'portion'; readonly portion: Portion }
  /** About the document handed over last. */
  | { readonly type: 'start'; readonly job: number; readonly ask: SuggestionAsk; readonly weights: Weights }
  | { readonly type: 'stop' };
export type SuggestAnswer =
  | { readonly type: 'progress'; readonly job: number; readonly progress: Progress }
  | { readonly type: 'found'; readonly job: number; readonly found: SuggestionFound }
  | { readonly type: 'failed'; readonly job: number; readonly reason: string };

/** Milliseconds of work between two looks at what was asked meanwhile. */
const SLICE = 30;

interface Job { readonly job: number; readonly work: Generator<Progress, SuggestionFound> }

/**
 * Works on one suggestion at a time, in slices, so that a stop or another request takes effect at once.
 * @param later runs the next slice after waiting messages were taken
 * @returns takes a request
 */
export function createSuggester(answer: (answer: SuggestAnswer) => void, later: (run: () => void) => void, clock: () => number = () => performance.now()): (request: SuggestRequest) => void {
  let current: Job | null = null; let isScheduled = false;
  const mirror = new Mirror();
  const schedule = (): void => { if (!isScheduled && current) { isScheduled = true; later(slice); } };
  const slice = (): void => {
    isScheduled = false;
    const mine = current;
    if (!mine) return;
    const until = clock() + SLICE;
    try {
      for (;;) {
        const step = mine.work.next();
        if (step.done) { current = null; answer({ type: 'found', job: mine.job, found: step.value }); return; }
        if (clock() >= until) { answer({ type: 'progress', job: mine.job, progress: step.value }); break; }
      }
    } catch (fault) {
      current = null;
      answer({ type: 'failed', job: mine.job, reason: fault instanceof Error ? fault.message : String(fault) });
      return;
    }
    schedule();
  };
  return (request) => {
    current = request.type === 'start' ? { job: request.job, work: workOf(request, mirror.document) } : null;
    if (request.type === 'portion') mirror.take(request.portion);
    schedule();
  };
}

function* workOf({ ask, weights }: Extract<SuggestRequest, { type: 'start' }>, document: Document): Generator<Progress, SuggestionFound> {
  return ask.kind === 'place' ? { kind: 'place', suggestion: yield* suggestPlace(document, ask.disconnect, weights) } : { kind: 'disconnects', suggestion: yield* suggestDisconnects(document, ask.loads, weights) };
}
