import { planTitle } from '../../shared-core/document/index';
import type { Document, Id, PlanRef, Sheet, Touched } from '../../shared-core/document/index';
import { layPlan, lookedOver, marksOnFloor, touchedMarks, TOUCHED_WITHIN } from '../../shared-core/revision/index';
import type { Place, PointPair } from '../../shared-core/revision/index';
import { host } from '../host-client';
import { areaWith, fitPairs, revisionStore } from '../state/revision';
import type { RevisionWork, Shown } from '../state/revision';
import { store } from '../state/store';
import { words } from '../text/index';
import { compareOffThread } from './difference';

const set = (work: RevisionWork | null): void => { revisionStore.setState({ work, held: false }); };
const work = (): RevisionWork | null => revisionStore.getState().work;
const sheetOf = (id: Id): Sheet | undefined => store.getState().document.sheets.find((s) => s.id === id);

let running: AbortController | null = null;
function stopComparing(): void {
  running?.abort();
  running = null;
  const now = work();
  if (now?.kind === 'comparing' && now.difference.kind === 'ready') { now.difference.difference.fine.close(); now.difference.difference.coarse.close(); }
}

/** Takes a chosen page as the new plan of a sheet: pairs of points come next. */
export function beginRevision(sheetId: Id, plan: PlanRef): void {
  const sheet = sheetOf(sheetId);
  if (!sheet?.plan) return;
  stopComparing();
  store.getState().showSheet(sheetId);
  store.getState().setStep('plan');
  set({ kind: 'picking', sheet: sheetId, old: sheet.plan, plan, issue: '', pairs: [], half: null });
}

/** Puts the work away; the document was never changed by it. */
export function dropRevision(): void { stopComparing(); set(null); }

/** A point picked on one of the plans: half a pair, or the other half of the one begun. */
export function pickPoint(side: 'old' | 'new', at: Place): void {
  const now = work();
  if (now?.kind !== 'picking') return;
  if (!now.half || now.half.side === side) { set({ ...now, half: { side, at } }); return; }
  const pair: PointPair = side === 'new' ? { picture: at, sheet: now.half.at } : { picture: now.half.at, sheet: at };
  set({ ...now, pairs: [...now.pairs, pair], half: null });
}

export function dropHalf(): void { const now = work(); if (now?.kind === 'picking') set({ ...now, half: null }); }
export function dropPair(index: number): void { const now = work(); if (now?.kind === 'picking') set({ ...now, pairs: now.pairs.filter((_, i) => i !== index) }); }
export function nameIssue(issue: string): void { const now = work(); if (now) set({ ...now, issue }); }
export function lookAtPair(pair: PointPair): void { revisionStore.setState({ lookAt: { pair } }); }

/** Shows the two plans on each other, the new one laid by its pairs. */
export function comparePicked(): void {
  const now = work();
  if (now?.kind !== 'picking') return;
  const outcome = fitPairs(now.old, now.plan, now.pairs);
  if (!outcome.ok || outcome.fit.agreement.kind === 'mirrored') return;
  const { scale, turn, x, y } = outcome.fit.lay;
  set({ ...now, kind: 'comparing', plan: { ...now.plan, lay: { scale, turn, x, y } }, fit: outcome.fit, shown: 'difference', difference: { kind: 'working', done: 0 } });
  void findDifference();
}

/** Looks at a plan that lay under the marks before, as it lay. */
export function compareEarlier(sheetId: Id, plan: PlanRef): void {
  const sheet = sheetOf(sheetId);
  if (!sheet?.plan) return;
  stopComparing();
  set({ kind: 'comparing', sheet: sheetId, old: sheet.plan, plan, issue: plan.issue?.name ?? '', pairs: null, fit: null, shown: 'difference', difference: { kind: 'working', done: 0 } });
  void findDifference();
}

async function findDifference(): Promise<void> {
  const begun = work();
  const sheet = begun && sheetOf(begun.sheet);
  if (begun?.kind !== 'comparing' || !sheet) return;
  const stop = new AbortController();
  running = stop;
  const isStill = (): boolean => running === stop && !stop.signal.aborted;
  const put = (difference: Extract<RevisionWork, { kind: 'comparing' }>['difference']): void => { const now = work(); if (now?.kind === 'comparing') revisionStore.setState({ work: { ...now, difference } }); };
  const slack = Math.max(begun.fit?.worst ?? 0, sheet.scale?.pickUncertainty ?? 0);
  const outcome = await compareOffThread(host, { sheet, old: begun.old, next: begun.plan, slack }, stop.signal, (done) => { if (isStill()) put({ kind: 'working', done }); })
    .catch((fault: unknown) => ({ ok: false, reason: fault instanceof Error ? fault.message : String(fault) }) as const);
  if (!isStill()) { if (outcome.ok) { outcome.difference.fine.close(); outcome.difference.coarse.close(); } return; }
  if (!outcome.ok) { put({ kind: 'failed', reason: outcome.reason }); return; }
  put({ kind: 'ready', difference: outcome.difference, touched: touchedMarks(store.getState().document, sheet, outcome.difference.squares, TOUCHED_WITHIN) });
}

export function show(shown: Shown): void { const now = work(); if (now?.kind === 'comparing') revisionStore.setState({ work: { ...now, shown } }); }
export function hold(held: boolean): void { if (revisionStore.getState().held !== held) revisionStore.setState({ held }); }

/** Back to the pairs, with all that were picked. */
export function backToPairs(): void {
  const now = work();
  if (now?.kind !== 'comparing' || !now.pairs) return;
  stopComparing();
  const { lay: _, ...plan } = now.plan;
  set({ kind: 'picking', sheet: now.sheet, old: now.old, plan, issue: now.issue, pairs: now.pairs, half: null });
}

const today = (): string => new Date().toISOString().slice(0, 10);

/** What would be touched if the shown comparison were laid now; everything where nobody can say what changed. */
export function touchedNow(document: Document, now: Extract<RevisionWork, { kind: 'comparing' }>): { readonly touched: readonly Touched[]; readonly ids: readonly Id[] } | null {
  if (now.difference.kind === 'working') return null;
  if (now.difference.kind === 'failed') return { touched: [], ids: marksOnFloor(document, now.sheet) };
  const sheet = document.sheets.find((s) => s.id === now.sheet);
  // Anew: marks may have been moved while the plans were looked at.
  const touched = sheet ? touchedMarks(document, sheet, now.difference.difference.squares, TOUCHED_WITHIN) : [];
  return { touched, ids: [...new Set(touched.map((t) => t.id))] };
}

/** Lays the compared plan under the marks: one edit, after which everything is audited again. */
export function layCompared(): void {
  const now = work();
  const { document, audit, commit } = store.getState();
  const sheet = now && sheetOf(now.sheet);
  if (now?.kind !== 'comparing' || !sheet) return;
  // The sheet's plan was changed by an undo or another hand in the meantime: what is compared is no longer what would be replaced.
  if (JSON.stringify(sheet.plan) !== JSON.stringify(now.old)) { dropRevision(); store.getState().notify('problem', words.revision.planChanged(sheet.name), words.revision.planChangedTodo); return; }
  const touched = touchedNow(document, now);
  if (!touched) return;
  const named: PlanRef = now.fit ? { ...now.plan, issue: { name: now.issue.trim() === '' ? planTitle(now.plan) : now.issue.trim(), laid: today() } } : now.plan;
  const area = areaWith(sheet, named);
  const title = planTitle(named);
  const before = { findings: audit?.of === document ? audit.audit.results : null, touched: touched.touched };
  const edit = layPlan(document, now.fit ? words.edits.laidPlan(title, sheet.name) : words.edits.wentBack(title, sheet.name), { sheet: sheet.id, plan: named, fit: now.fit, touched: touched.ids, area, before });
  dropRevision();
  commit(edit);
}

/** Notes that a person looked these marks over. */
export function markLookedOver(sheetId: Id, ids: readonly Id[], name: string): void {
  const { document, commit } = store.getState();
  commit(lookedOver(document, words.edits.lookedOver(name), sheetId, ids));
}

/** Another project, or the sheet or its plan is gone: the work has nothing to rest on. @returns how to stop */
export function keepRevisionTrue(): () => void {
  return store.subscribe((now, before) => {
    if (now.document.sheets === before.document.sheets) return;
    const { work: under } = revisionStore.getState();
    if (under && !now.document.sheets.some((s) => s.id === under.sheet && s.plan)) dropRevision();
  });
}
