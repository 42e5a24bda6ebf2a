import { useMemo } from 'react';
import { plansOf, planTitle } from '../../shared-core/document/index';
import type { Document, Sheet, SinceLaid } from '../../shared-core/document/index';
import type { Verdict } from '../../shared-core/code-data/index';
import { compareFindings } from '../../shared-core/revision/index';
import type { Finding } from '../../shared-core/revision/index';
import { entityName } from '../panels/edit-entity';
import { StatusMark } from '../panels/status-mark';
import { subjectIds } from '../panels/step-states';
import { useApp } from '../panels/use-app';
import { store } from '../state/store';
import { words } from '../text/index';
import { compareEarlier, markLookedOver } from './actions';
import { goToMark, MarkSteps, rowsOf } from './mark-steps';

/** What was known when the sheet's plan was laid, while that plan still lies there. */
const laidOf = ({ plan, sinceLaid }: Sheet): SinceLaid | null => (sinceLaid && plan?.blob === sinceLaid.blob && plan.page === sinceLaid.page ? sinceLaid : null);

/** The plan under the marks and those that lay there before, each to be compared again. */
function Issues({ sheet }: { sheet: Sheet }) {
  const t = words.revision;
  const plans = plansOf(sheet);
  if (plans.length < 2) return null;
  return (
    <ul className="issues" aria-label={t.issues}>
      {plans.map((plan, i) => (
        <li key={i}>
          <span><b>{planTitle(plan)}</b> {plan.issue ? t.laidOn(plan.issue.laid) : ''}</span>
          {i === 0 ? <span className="step-note">{t.nowLaid}</span> : <button type="button" className="chip" aria-label={t.compareWith(planTitle(plan))} onClick={() => { compareEarlier(sheet.id, plan); }}>{t.compareShort}</button>}
        </li>
      ))}
    </ul>
  );
}

function Findings({ title, rows }: { title: string; rows: readonly { readonly finding: Finding; readonly verdict: Verdict; readonly note: string }[] }) {
  if (rows.length === 0) return null;
  const show = (finding: Finding): void => {
    const { document, select, revealIds } = store.getState();
    const ids = subjectIds(finding, document);
    if (ids.length === 0) return;
    select(ids.slice(0, 1)); revealIds(ids);
  };
  return (
    <>
      <h4 className="change-title">{`${title} ${rows.length}`}</h4>
      <ul className="changes" aria-label={title}>
        {rows.map(({ finding, verdict, note }) => (
          <li key={finding.id}><button type="button" className="change" onClick={() => { show(finding); }}><StatusMark verdict={verdict} size={15} /><span>{finding.title}{note === '' ? '' : <small> {note}</small>}</span></button></li>
        ))}
      </ul>
    </>
  );
}

/** Which findings appeared, went or changed since the plan was laid, against the checks as they are now. */
function Changes({ sheet }: { sheet: Sheet }) {
  const t = words.revision;
  const laid = laidOf(sheet);
  const audit = useApp((s) => s.audit);
  const revision = useApp((s) => s.revision);
  const change = useMemo(() => (laid?.findings && audit ? compareFindings<Finding>(laid.findings, audit.audit.results) : null), [laid, audit]);
  if (!laid || !sheet.plan) return null;
  const title = t.since(planTitle(sheet.plan));
  const v = words.verdict;
  return (
    <section aria-label={title}>
      <h3 className="pane-title">{title}</h3>
      {!laid.findings ? <p className="step-note">{t.noBaseline}</p> : !change || audit?.revision !== revision ? <p className="step-note" role="status">{t.checking}</p> : (
        <>
          {change.appeared.length + change.went.length + change.changed.length === 0 && <p className="step-note">{t.noChange}</p>}
          <Findings title={t.appeared} rows={change.appeared.map((f) => ({ finding: f, verdict: f.verdict, note: '' }))} />
          <Findings title={t.changed} rows={change.changed.map(({ before, after, what }) => ({ finding: after, verdict: after.verdict, note: what === 'verdict' ? t.wasNow(v[before.verdict], v[after.verdict]) : t.what[what] }))} />
          <Findings title={t.went} rows={change.went.map(({ before, after }) => ({ finding: after ?? before, verdict: after?.verdict ?? before.verdict, note: after ? t.wasNow(v[before.verdict], v[after.verdict]) : t.notChecked }))} />
        </>
      )}
    </section>
  );
}

/** Marks the change touched that nobody has looked over yet, to be stepped through. */
function ToLookOver({ document, sheet }: { document: Document; sheet: Sheet }) {
  const t = words.revision;
  const laid = laidOf(sheet);
  const chosen = useApp((s) => (s.selection.length === 1 ? s.selection[0] : undefined));
  const open = (sheet.toLookOver ?? []).filter((id) => Object.hasOwn(document.entities, id));
  if (open.length === 0) return laid && laid.touched.length > 0 ? <p className="step-note">{t.allLookedOver}</p> : null;
  // Of marks that an earlier laying left behind, the reason is not kept.
  const known = new Map(rowsOf(document, laid?.touched ?? []).map((row) => [row.id, row]));
  const rows = open.map((id) => known.get(id) ?? { id, why: words.kinds[document.entities[id]!.kind] });
  const isListed = chosen !== undefined && open.includes(chosen);
  const lookOver = (): void => {
    const entity = chosen === undefined ? undefined : document.entities[chosen];
    if (!entity) return;
    const next = open[open.indexOf(entity.id) + 1] ?? open.find((id) => id !== entity.id);
    markLookedOver(sheet.id, [entity.id], entityName(entity));
    if (next !== undefined) goToMark(next);
  };
  return (
    <section aria-label={t.toLookOver}>
      <h3 className="pane-title">{`${t.toLookOver} ${open.length}`}</h3>
      <p className="step-note">{t.stay}</p>
      <MarkSteps label={t.toLookOver} rows={rows} />
      <div className="actions">
        <button type="button" className="chip is-main" disabled={!isListed} onClick={lookOver}>{t.lookedOver}</button>
        <button type="button" className="chip" onClick={() => { markLookedOver(sheet.id, open, words.count(open.length, 'mark')); }}>{t.lookedOverAll(open.length)}</button>
      </div>
    </section>
  );
}

/** What is to be done since another plan was laid: marks to look over, findings that changed. */
export function RevisionReview({ sheet }: { sheet: Sheet }) {
  const document = useApp((s) => s.document);
  return (
    <>
      <ToLookOver document={document} sheet={sheet} />
      <Changes sheet={sheet} />
    </>
  );
}

/** The plans a sheet has had, and the way to a new one. */
export function IssuesSection({ sheet, onBegin }: { sheet: Sheet; onBegin: () => void }) {
  if (!sheet.plan) return null;
  return (
    <>
      <h3 className="pane-title">{words.revision.issues}</h3>
      <Issues sheet={sheet} />
      <div className="actions"><button type="button" className="chip" onClick={onBegin}>{words.revision.begin}</button></div>
    </>
  );
}
