import type { Verdict } from '../code-data/index';
import type { KeptFinding } from '../document/index';

/** What of a result is kept to compare a later audit with. */
export type Finding = KeptFinding;

export interface FindingChange<F extends Finding = Finding> {
  readonly before: F;
  readonly after: F;
  /** What about it is another: how it is judged, what stands in the way or is missing, or by how much. */
  readonly what: 'verdict' | 'cause' | 'amount';
}

/** Two audits beside each other: only what is open in one of them. */
export interface FindingsChange<F extends Finding = Finding> {
  readonly appeared: readonly F[];
  /** Open before; now it passes, or the check is not made any more because a mark is gone: after is then null. */
  readonly went: readonly { readonly before: F; readonly after: F | null }[];
  readonly changed: readonly FindingChange<F>[];
}

const isOpen = (verdict: Verdict): boolean => verdict !== 'pass';
const keyOf = (values: readonly string[] | undefined): string => [...(values ?? [])].sort().join('\n');
/** Rounding of one audit against another; far below anything a plan can show. */
const SAME_WITHIN = 1e-6;

function isOtherAmount(a: Finding, b: Finding): boolean {
  const numberOf = (f: Finding): number | undefined => f.margin?.value ?? (typeof f.value === 'object' ? f.value.value : undefined);
  const [x, y] = [numberOf(a), numberOf(b)];
  if (x === undefined || y === undefined) return x !== y || (typeof a.value === 'string' && typeof b.value === 'string' && a.value !== b.value);
  return Math.abs(x - y) > SAME_WITHIN * Math.max(1, Math.abs(x), Math.abs(y));
}

/**
 * Which findings appeared, went or changed from one audit to another. Told by the result's id (rule and marks), never by wording:
 * a renamed device changes no finding. What passes in both is left out.
 * @returns each list in the order of the audit it is from: `went` as before, the others as after
 */
export function compareFindings<F extends Finding>(before: readonly F[], after: readonly F[]): FindingsChange<F> {
  const earlier = new Map(before.map((f) => [f.id, f]));
  const later = new Map(after.map((f) => [f.id, f]));
  const appeared: F[] = []; const changed: FindingChange<F>[] = [];
  for (const now of after) {
    const was = earlier.get(now.id);
    if (!isOpen(now.verdict)) continue;
    if (!was || !isOpen(was.verdict)) appeared.push(now);
    else if (was.verdict !== now.verdict) changed.push({ before: was, after: now, what: 'verdict' });
    else if (keyOf(was.subject.others) !== keyOf(now.subject.others) || was.missing.length !== now.missing.length) changed.push({ before: was, after: now, what: 'cause' });
    else if (isOtherAmount(was, now)) changed.push({ before: was, after: now, what: 'amount' });
  }
  const went = before.filter((f) => isOpen(f.verdict)).flatMap((f) => {
    const now = later.get(f.id) ?? null;
    return now && isOpen(now.verdict) ? [] : [{ before: f, after: now }];
  });
  return { appeared, went, changed };
}

/** What of an audit must be kept to say later what appeared, went or changed: what is open, without its derivation. */
export const keptFindings = (findings: readonly Finding[]): Finding[] => findings.filter((f) => isOpen(f.verdict)).map(({ id, check, subject, verdict, title, missing, margin, value }) =>
  ({ id, check, subject, verdict, title, missing, ...(margin ? { margin } : {}), ...(value === undefined ? {} : { value }) }));
