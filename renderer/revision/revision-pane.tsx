import { Progress } from '@base-ui/react/progress';
import { useMemo } from 'react';
import { planBounds, planTitle } from '../../shared-core/document/index';
import type { PlanRef, Sheet } from '../../shared-core/document/index';
import { drawnLarger } from '../../shared-core/revision/index';
import type { Fit } from '../../shared-core/revision/index';
import { feet, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { TextField } from '../panels/fields';
import { useApp } from '../panels/use-app';
import { fitPairs } from '../state/revision';
import type { RevisionWork } from '../state/revision';
import { words } from '../text/index';
import { backToPairs, comparePicked, dropHalf, dropPair, dropRevision, layCompared, lookAtPair, nameIssue } from './actions';
import { MarkSteps, PlaceSteps, rowsOf } from './mark-steps';

type Picking = Extract<RevisionWork, { kind: 'picking' }>;
type Comparing = Extract<RevisionWork, { kind: 'comparing' }>;

/** A length on the sheet as it is on the ground; in sheet units where the sheet has no scale. */
export function onGround(sheet: Sheet, length: number, system: UnitSystem): string {
  return sheet.scale ? showLength(feet(length * sheet.scale.feetPerUnit), system, { finest: 8 }) : `${Number(length.toPrecision(3))} units`;
}

function FitWords({ sheet, work, fit, system }: { sheet: Sheet; work: Picking; fit: Fit; system: UnitSystem }) {
  const t = words.revision;
  const { agreement, lay } = fit;
  const larger = drawnLarger(work.old, work.plan, lay.scale);
  const isBad = agreement.kind === 'one-off' || agreement.kind === 'disagree' || agreement.kind === 'mirrored';
  return (
    <>
      <p className={isBad ? 'asks' : 'step-note'} role={isBad ? 'alert' : undefined}>{agreement.kind === 'one-off' ? t.oneOff(agreement.pair + 1, onGround(sheet, agreement.off, system)) : t.agreement[agreement.kind]}</p>
      <p className="step-note">{t.turned(lay.turn, lay.scale)}</p>
      {larger !== null && Math.abs(larger - 1) > 0.01 && <p className="step-note">{t.drawnLarger(larger)}</p>}
    </>
  );
}

function PairTable({ sheet, work, fit, system }: { sheet: Sheet; work: Picking; fit: Fit | null; system: UnitSystem }) {
  const t = words.revision;
  if (work.pairs.length === 0) return null;
  return (
    <table className="results" aria-label={t.pairs}>
      <thead><tr><th scope="col">{t.pair}</th><th scope="col">{t.off}</th><th scope="col">{t.offFeet}</th><th scope="col"><span className="off-screen">{words.scale.drop}</span></th></tr></thead>
      <tbody>
        {work.pairs.map((pair, i) => {
          const off = fit?.residuals[i];
          const isBad = fit?.agreement.kind === 'one-off' && fit.agreement.pair === i;
          return (
            <tr key={i}>
              <th scope="row"><button type="button" className="link" aria-label={t.lookAt(i + 1)} onClick={() => { lookAtPair(pair); }}>{i + 1}</button>{isBad && <span className="asks"> {t.check}</span>}</th>
              <td>{off === undefined ? '' : off.toFixed(off < 10 ? 2 : 1)}</td><td>{off === undefined || !sheet.scale ? '' : onGround(sheet, off, system)}</td>
              <td><button type="button" className="drop" aria-label={t.dropPair(i + 1)} onClick={() => { dropPair(i); }}>×</button></td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function PickingPane({ sheet, work, system }: { sheet: Sheet; work: Picking; system: UnitSystem }) {
  const t = words.revision;
  const outcome = useMemo(() => fitPairs(work.old, work.plan, work.pairs), [work.old, work.plan, work.pairs]);
  const fit = outcome.ok ? outcome.fit : null;
  const said = work.half ? t.second(work.pairs.length + 1, (work.half.side === 'old' ? t.newPlan : t.oldPlan).toLowerCase()) : work.pairs.length === 0 ? t.first : t.next(work.pairs.length);
  return (
    <>
      <p className="revision-said" role="status" aria-live="polite">{said}{work.half && <button type="button" className="quiet" onClick={dropHalf}>{words.scale.drop}</button>}</p>
      <PairTable sheet={sheet} work={work} fit={fit} system={system} />
      {fit && <FitWords sheet={sheet} work={work} fit={fit} system={system} />}
      {!outcome.ok && work.pairs.length > 1 && <p className="asks" role="alert">{outcome.reason}</p>}
      <div className="actions">
        <button type="button" className="chip is-main" disabled={!fit || fit.agreement.kind === 'mirrored'} onClick={comparePicked}>{t.compare}</button>
        <button type="button" className="chip" onClick={dropRevision}>{t.drop}</button>
      </div>
      <p className="step-note">{t.how}</p>
      <div className="form one-column"><TextField label={t.issue} value={work.issue} max={200} placeholder={planTitle(work.plan)} hint={t.issueHint} onCommit={nameIssue} /></div>
    </>
  );
}

function DifferenceWords({ sheet, work, system }: { sheet: Sheet; work: Comparing; system: UnitSystem }) {
  const t = words.revision;
  const document = useApp((s) => s.document);
  const state = work.difference;
  if (state.kind === 'working') {
    return <Progress.Root className="reading" value={Math.round(state.done * 100)} aria-label={t.comparing}><p>{t.comparing}</p><Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track><button type="button" className="chip" onClick={work.pairs ? backToPairs : dropRevision}>{words.busy.cancel}</button></Progress.Root>;
  }
  if (state.kind === 'failed') return <div className="problem" role="alert"><p className="notice-what">{t.failed(state.reason)}</p><p className="notice-todo">{t.failedTodo}</p></div>;
  const { resolution, tolerance, patches } = state.difference;
  return (
    <>
      <h3 className="pane-title">{t.places(patches.length)}</h3>
      {patches.length > 0 && <PlaceSteps patches={patches} />}
      <h3 className="pane-title">{t.touched}</h3>
      <MarkSteps label={t.touched} rows={rowsOf(document, state.touched)} />
      <p className="step-note">{sheet.scale ? t.resolution(onGround(sheet, 1 / resolution, system), onGround(sheet, tolerance, system)) : t.resolutionBare(resolution)}</p>
    </>
  );
}

/** How much of the new plan sticks out where the sheet cannot grow, sheet units; a scan's skewed rim is none. */
function outsideOf(sheet: Sheet, plan: PlanRef): number {
  const { minX, minY } = planBounds(plan);
  return -minX > 0.05 * sheet.width || -minY > 0.05 * sheet.height ? Math.max(-minX, -minY) : 0;
}

function ComparingPane({ sheet, work, system }: { sheet: Sheet; work: Comparing; system: UnitSystem }) {
  const t = words.revision;
  const outside = outsideOf(sheet, work.plan);
  return (
    <>
      <p className="step-note">{work.fit && work.pairs ? t.laidWithin(onGround(sheet, work.fit.worst, system), work.pairs.length) : t.laidAsBefore}</p>
      {outside > 0 && <p className="step-note">{t.outside(onGround(sheet, outside, system))}</p>}
      <div className="actions">
        <button type="button" className="chip is-main" disabled={work.difference.kind === 'working'} onClick={layCompared}>{work.fit ? t.lay : t.layBack}</button>
        {work.pairs && <button type="button" className="chip" onClick={backToPairs}>{t.backToPairs}</button>}
        <button type="button" className="chip" onClick={dropRevision}>{t.drop}</button>
      </div>
      <DifferenceWords sheet={sheet} work={work} system={system} />
      <p className="step-note">{t.stay}</p>
    </>
  );
}

/** The Plan step while a new revision is laid: pairs with their residuals, then the comparison and what it touches. */
export function RevisionPane({ work }: { work: RevisionWork }) {
  const sheet = useApp((s) => s.document.sheets.find((one) => one.id === work.sheet));
  const system = useApp((s) => s.document.facts.units);
  if (!sheet) return null;
  return (
    <section className="list-pane" aria-label={words.revision.title}>
      <header className="pane-head"><h2>{words.revision.title}</h2><span className="pane-count">{`${planTitle(work.plan)}, ${sheet.name}`}</span></header>
      <div className="pane-body">{work.kind === 'picking' ? <PickingPane sheet={sheet} work={work} system={system} /> : <ComparingPane sheet={sheet} work={work} system={system} />}</div>
    </section>
  );
}
