import type { Outcome } from '../../shared-core/host-api';
import { failed } from './problems';

/** Work that can be left and taken up again after each step. It yields how much of its part is done, 0 to 1. */
export type Steps<T> = Generator<number, T>;

export interface Running {
  readonly signal?: AbortSignal;
  /** 0 to 1, growing. */
  readonly onProgress?: (done: number, note: string) => void;
}

/** Steps that together take longer than this leave the turn to others. */
const TURN_MS = 30;

export function atOnce<T>(steps: Steps<T>): T {
  for (;;) { const step = steps.next(); if (step.done === true) return step.value; }
}

/** Works in turns with everything else that waits. @returns null when it was cancelled */
export async function inTurns<T>(steps: Steps<T>, { signal, onProgress, note, from, to }: Running & { readonly note: string; readonly from: number; readonly to: number }): Promise<T | null> {
  let shown = from;
  for (;;) {
    if (signal?.aborted) return null;
    const since = performance.now();
    for (;;) {
      const step = steps.next();
      if (step.done === true) { onProgress?.(to, note); return step.value; }
      // Parts of different length follow one another: what is shown never goes back.
      shown = Math.max(shown, from + (to - from) * step.value);
      if (performance.now() - since > TURN_MS) break;
    }
    onProgress?.(shown, note);
    await new Promise((next) => { setImmediate(next); });
  }
}

export const cancelled = (): Outcome<never> => failed('cancelled', 'It was cancelled.', 'Nothing was changed.');
