import type { StoreApi } from 'zustand/vanilla';
import type { Document } from '../../shared-core/document/index';
import type { SuggestionActions, SuggestionState } from '../state/suggestion';
import { Feed } from './mirror';
import type { SuggestAnswer, SuggestRequest } from './suggester';

/** The part of the window's store that suggesting reads. */
export interface SuggestedStore { getState(): { readonly document: Document }; subscribe(listener: () => void): () => void }

/** What carries requests to the thread and back; the worker, or a test's own. */
export interface SuggestThread { postMessage(request: SuggestRequest): void; onmessage: ((event: { readonly data: SuggestAnswer }) => void) | null; onerror: ((event: { readonly message?: string }) => void) | null; terminate(): void }

const startThread = (): SuggestThread => new Worker(new URL('./suggest-worker.ts', import.meta.url), { type: 'module' }) as unknown as SuggestThread;

/**
 * Carries what is asked for to the thread and its answers back, and gives a suggestion up as soon as the document is no
 * longer the one it was asked about: never is one shown for another document. The thread is made when first needed.
 * @returns how to stop
 */
export function startSuggesting(store: SuggestedStore, suggestions: StoreApi<SuggestionState & SuggestionActions>, makeThread: () => SuggestThread = startThread): () => void {
  let thread: SuggestThread | null = null; let feed: Feed | null = null; let asked = suggestions.getState().job;
  let nextPortion: ReturnType<typeof setTimeout> | undefined;
  const made = (): SuggestThread => {
    if (thread) return thread;
    const fresh = makeThread();
    thread = fresh;
    feed = new Feed((portion) => { fresh.postMessage({ type: 'portion', portion }); });
    thread.onmessage = ({ data }) => {
      const { setProgress, setFound, fail } = suggestions.getState();
      if (data.type === 'progress') setProgress(data.job, data.progress);
      else if (data.type === 'found') setFound(data.job, data.found);
      else fail(data.job, data.reason);
    };
    thread.onerror = ({ message }) => { suggestions.getState().fail(asked, message ?? ''); thread?.terminate(); thread = null; feed = null; };
    return thread;
  };
  /** Hands over what the thread lacks of the document, a portion a turn, and then what is asked about it. */
  const start = (): void => {
    const { job, ask, of, weights } = suggestions.getState();
    if (!ask || !of) return;
    const carrier = made();
    feed?.follow(of);
    if (!feed?.send()) { nextPortion = setTimeout(start, 0); return; }
    carrier.postMessage({ type: 'start', job, ask, weights });
  };
  const stopAsking = suggestions.subscribe((now) => {
    if (now.job === asked) return;
    asked = now.job;
    clearTimeout(nextPortion);
    if (now.phase === 'working' && now.ask && now.of) start();
    else thread?.postMessage({ type: 'stop' });
  });
  const stopWatching = store.subscribe(() => {
    const { of, phase, outdate } = suggestions.getState();
    if ((phase === 'working' || phase === 'found') && of !== store.getState().document) outdate();
  });
  return () => { clearTimeout(nextPortion); stopAsking(); stopWatching(); thread?.terminate(); };
}
