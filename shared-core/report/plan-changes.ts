import type { Result, Verdict } from '../code-data/index';
import { planTitle } from '../document/index';
import type { Document, Sheet } from '../document/index';
import { compareFindings } from '../revision/index';
import { nameOfEntity } from './report-words';

/** One finding that is another since the plan was laid; `verdict` is how it stands now, or stood last where it is not checked any more. */
export interface ChangedFinding { readonly change: 'appeared' | 'changed' | 'went'; readonly verdict: Verdict; readonly about: string; readonly title: string; /** What it was before, where that says something. */ readonly note: string }

/** What a new plan under a sheet's marks changed. */
export interface PlanChange {
  readonly sheet: string;
  readonly plan: string;
  /** ISO date; empty where the plan has none. */
  readonly laid: string;
  /** null: the checks had not run before, so nothing can be compared. */
  readonly findings: readonly ChangedFinding[] | null;
  /** Marks that the change touched and nobody has looked over, by name. */
  readonly toLookOver: readonly string[];
}

const CAUSE = { verdict: '', cause: 'another cause', amount: 'another amount' } as const;
const wasNow = (was: Verdict, now: Verdict): string => `was ${was}, now ${now}`;

/** What is on record of the plans that were laid under the marks of these sheets, against the results as they are now. */
export function planChanges(document: Document, results: readonly Result[], sheets: readonly Sheet[]): PlanChange[] {
  return sheets.flatMap(({ id, name, plan, sinceLaid, toLookOver = [] }): PlanChange[] => {
    const open = toLookOver.filter((mark) => Object.hasOwn(document.entities, mark)).map((mark) => nameOfEntity(document, mark));
    const isKnown = plan !== null && sinceLaid?.blob === plan.blob && sinceLaid.page === plan.page;
    if (plan === null || (!isKnown && open.length === 0)) return [];
    return [{ sheet: name, plan: planTitle(plan), laid: plan.issue?.laid ?? '', findings: isKnown && sinceLaid.findings ? changesOf(document, sinceLaid.findings, results, id) : null, toLookOver: counted(open) }];
  });
}

function changesOf(document: Document, before: NonNullable<Sheet['sinceLaid']>['findings'] & object, results: readonly Result[], sheet: string): ChangedFinding[] {
  const about = ({ disconnect, load }: Result['subject']): string => [disconnect, load].filter((id) => id !== undefined).map((id) => nameOfEntity(document, id)).join(' / ');
  const isHere = ({ subject }: { readonly subject: Result['subject'] }): boolean => subject.sheet === undefined || subject.sheet === sheet;
  const { appeared, changed, went } = compareFindings(before.filter(isHere), results.filter(isHere));
  return [
    ...appeared.map((f) => ({ change: 'appeared' as const, verdict: f.verdict, about: about(f.subject), title: f.title, note: '' })),
    ...changed.map(({ before: was, after, what }) => ({ change: 'changed' as const, verdict: after.verdict, about: about(after.subject), title: after.title, note: what === 'verdict' ? wasNow(was.verdict, after.verdict) : CAUSE[what] })),
    ...went.map(({ before: was, after }) => ({ change: 'went' as const, verdict: after?.verdict ?? was.verdict, about: about(was.subject), title: was.title, note: after ? wasNow(was.verdict, after.verdict) : 'no longer checked' })),
  ];
}

/** Names that stand for several marks ('wall') are counted. */
function counted(names: readonly string[]): string[] {
  const counts = new Map<string, number>();
  for (const one of names) counts.set(one, (counts.get(one) ?? 0) + 1);
  return [...counts].map(([one, count]) => (count === 1 ? one : `${one} (${count})`));
}

/** 'Since Revision B was laid under Floor 1 (2026-05-04): 2 findings appeared, 1 changed, 3 went.' */
export function planChangeHead({ sheet, plan, laid, findings }: PlanChange): string {
  const count = (change: ChangedFinding['change']): number => findings?.filter((f) => f.change === change).length ?? 0;
  const what = findings === null ? 'what was open before is not on record, so nothing can be compared'
    : findings.length === 0 ? 'no finding appeared, went or changed' : `findings: ${count('appeared')} appeared, ${count('changed')} changed, ${count('went')} went`;
  return `Since ${plan} was laid under ${sheet}${laid === '' ? '' : ` (${laid})`}: ${what}.`;
}

/** What is still to be looked over, or that nothing is. */
export const planChangeTail = ({ toLookOver }: PlanChange): string =>
  (toLookOver.length === 0 ? 'No mark that the change touched is still to be looked over.' : `Touched by the change and not looked over yet: ${toLookOver.join(', ')}.`);
