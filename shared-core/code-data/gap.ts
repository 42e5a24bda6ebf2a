/** Why a question cannot be answered: becomes an 'incomplete' (or 'judgement') result, never a number. */
export class Gap extends Error {
  constructor(readonly reason: string, readonly missing: readonly string[] = [], readonly verdict: 'incomplete' | 'judgement' = 'incomplete', readonly remedies: readonly string[] = []) { super(reason); }
}

/** Nothing in the published figures reaches the need: another series may, unlike where data is missing. */
export class OutOfReach extends Gap {}

/**
 * Whether a choice may go on without an answer: only where a person has not entered something, or has to decide it.
 * A table that does not answer, or a step that failed, is never gone around.
 */
export const isOpenQuestion = (error: unknown): error is Gap => error instanceof Gap && (error.missing.length > 0 || error.verdict === 'judgement');
