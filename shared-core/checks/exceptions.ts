import type { ExceptionCondition, PlacementRule, Verdict } from '../code-data/index';
import type { Disconnect, ExceptionRecord, Load } from '../document/index';

/** What a recorded exception comes to under one rule. */
export interface ExceptionOutcome {
  readonly verdict: Verdict;
  readonly record: ExceptionRecord;
  readonly words: string;
  /** What the record or the device lacks. */
  readonly missing: readonly string[];
  readonly remedies: readonly string[];
}

/** Parts a record must have whatever it rests on. */
const PARTS: readonly (readonly [keyof ExceptionRecord & ('reason' | 'document' | 'person' | 'date'), string])[] = [
  ['reason', 'reason of the exception'], ['document', 'document that the exception rests on'], ['person', 'who accepts the exception'], ['date', 'date of the exception'],
];

/** Whether nothing that a record must have is left blank. */
export const isWholeRecord = (record: ExceptionRecord): boolean => PARTS.every(([part]) => record[part].trim() !== '');

/** Judges the recorded exceptions of one pair; null when none is on record. The best of several counts. */
export function judgeExceptions(rule: PlacementRule, disconnect: Disconnect, load: Load, records: readonly ExceptionRecord[]): ExceptionOutcome | null {
  const order: readonly Verdict[] = ['pass', 'judgement', 'incomplete', 'fail'];
  const outcomes = records.filter((r) => r.disconnect === disconnect.id && r.load === load.id && r.condition !== KEY_RECORD).map((r) => judgeOne(rule, disconnect, load, r));
  outcomes.sort((a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict));
  return outcomes[0] ?? null;
}

/** Condition of the record that says who holds the key of a locked room; no exception from sight. */
export const KEY_RECORD = 'keys-held';

function judgeOne(rule: PlacementRule, disconnect: Disconnect, load: Load, record: ExceptionRecord): ExceptionOutcome {
  const refuse = (words: string, remedies: readonly string[] = []): ExceptionOutcome => ({ verdict: 'fail', record, words, missing: [], remedies });
  if (rule.outOfSight.allowed === 'no') return refuse(`no exception exists for ${rule.equipment}`, [`Place ${disconnect.tag} in sight of ${load.tag}.`]);
  if (rule.outOfSight.allowed === 'inverted') return refuse('the rule is turned round here: no exception applies');
  const condition = rule.outOfSight.conditions.find((c) => c.id === record.condition);
  if (!condition) {
    const known = rule.outOfSight.conditions.map((c) => c.id).join(', ');
    return refuse(`'${record.condition}' is no exception for ${rule.equipment}`, known === '' ? [] : [`This rule knows: ${known}.`]);
  }
  const missing = PARTS.filter(([part]) => record[part].trim() === '').map(([, words]) => words);
  const { refused, unknown } = checkNeeds(condition, disconnect, load, record);
  if (refused.length > 0) return refuse(`the exception '${condition.words}' is not met: ${refused.join(', ')}`, refused.map((r) => `Mend or record: ${r}.`));
  if (missing.length + unknown.length > 0) return { verdict: 'incomplete', record, words: 'the record of the exception is not complete', missing: [...missing, ...unknown], remedies: [] };
  const settled = condition.settledBy !== undefined && (load.data.conditions ?? []).includes(condition.settledBy);
  return { verdict: settled ? 'pass' : condition.outcome, record, missing: [], words: `exception on record: ${condition.words}`, remedies: [] };
}

function checkNeeds(condition: ExceptionCondition, disconnect: Disconnect, load: Load, record: ExceptionRecord): { refused: string[]; unknown: string[] } {
  const refused: string[] = []; const unknown: string[] = [];
  for (const need of condition.needs) {
    if (need === 'lockable') {
      if (disconnect.data.lockable === undefined) unknown.push(`whether ${disconnect.tag} can be locked open with a provision that stays in place`);
      else if (!disconnect.data.lockable) refused.push(`${disconnect.tag} has no lock provision that stays in place`);
    } else if (need === 'document') {
      if (record.document.trim() === '') refused.push('no written procedure on record');
    } else if (need === 'attachment-plug') {
      if (disconnect.data.type !== 'attachment-plug') refused.push(`${disconnect.tag} is no attachment plug`);
    } else if (!(load.data.conditions ?? []).includes(need.slice('load:'.length))) {
      refused.push(`'${need.slice('load:'.length)}' is not recorded for ${load.tag}`);
    }
  }
  return { refused, unknown };
}
