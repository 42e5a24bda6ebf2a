import { useState } from 'react';
import { contradiction, joinScale, layOf, PAPER_STRETCH, pickUncertaintyOf, shapeUncertainty, scaleFromDrawing, scaleFromPicks, sheetUnitsPerPaperInch, stretchOf, toSheetPoint } from '../../shared-core/document/index';
import type { PlanRef, Scale, ScaleOutcome, ScalePick, Sheet, StatedScale as DrawingScale } from '../../shared-core/document/index';
import { feet, readDrawingScale, sheetUnits, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { store } from '../state/store';
import { planWords, words } from '../text/index';
import { LengthField, NumberField, TypedField } from './fields';
import { holdsWhole, inViews, partOf, scaleOfFile } from './file-scale';
import type { FileScale } from './file-scale';
import { mendFor } from './plan-flat';
import { lookAgain, stopLooking, usePlanExam } from './plan-exam';
import { changeSheet } from './sheet-tabs';
import { useApp } from './use-app';

const scaleOfPicks = (sheet: Sheet, picks: readonly ScalePick[], pickUncertainty = pickUncertaintyOf(sheet.plan)) => scaleFromPicks(picks, pickUncertainty, shapeUncertainty(sheet.plan, picks));
const scaleOfDrawing = (sheet: Sheet, { typed, ratio, unitsPerPaperInch }: DrawingScale) => scaleFromDrawing(typed, ratio, unitsPerPaperInch, Math.hypot(PAPER_STRETCH, shapeUncertainty(sheet.plan, [])), pickUncertaintyOf(sheet.plan));

/** @param views the scales that the file states, with where each holds */
function setScale(sheet: Sheet, outcome: ScaleOutcome, views: readonly FileScale[] = []): void {
  if (outcome.ok) changeSheet(sheet.id, words.edits.scale(sheet.name), { scale: joinScale(sheet.scale, sheet.plan ? inViews(sheet.plan, outcome.scale, views) : outcome.scale) });
  else store.getState().notify('problem', outcome.reason, words.scale.notSet);
}

/** The scale that the drawing states, once no picked length decides. */
function ofDrawing(sheet: Sheet, stated: DrawingScale): Scale | null {
  const outcome = scaleOfDrawing(sheet, stated);
  return outcome.ok ? outcome.scale : null;
}

const picksOf = (scale: Scale | null): readonly ScalePick[] => (scale?.from.kind === 'picks' ? scale.from.picks : []);

function PickedLength({ sheet, system, views }: { sheet: Sheet; system: UnitSystem; views: readonly FileScale[] }) {
  const pick = useApp((s) => s.scalePick);
  const active = useApp((s) => s.tool === 'scale');
  const earlier = picksOf(sheet.scale);
  if (!pick) {
    return (
      <div className="actions">
        <button type="button" className="chip is-main" aria-pressed={active} onClick={() => { store.getState().setTool('scale'); }}>{earlier.length > 0 ? words.scale.pickAnother : words.scale.pick}</button>
        <p className="step-note">{active ? words.scale.picking : words.scale.pickHow}</p>
      </div>
    );
  }
  const commit = (length: ScalePick['length'], typed: string): void => {
    const picks = [...earlier, { ...pick, length, typed }];
    store.getState().setScalePick(null);
    setScale(sheet, scaleOfPicks(sheet, picks), views);
  };
  return <LengthField label={words.scale.length} value={undefined} system={system} zero={false} onCommit={commit} placeholder={system === 'US' ? "24'-6\"" : '7.5 m'} hint={words.scale.lengthHint} />;
}

function Picks({ sheet, system }: { sheet: Sheet; system: UnitSystem }) {
  const scale = sheet.scale;
  const picks = picksOf(scale);
  if (!scale || picks.length === 0) return null;
  return (
    <table className="results">
      <thead><tr><th scope="col">{words.scale.pickedLength}</th><th scope="col">{words.scale.measures}</th><th scope="col">{words.scale.off}</th><th scope="col"><span className="off-screen">{words.scale.drop}</span></th></tr></thead>
      <tbody>
        {picks.map((pick, i) => {
          const measured = feet(Math.hypot(pick.to.x - pick.from.x, pick.to.y - pick.from.y) * scale.feetPerUnit);
          const off = (measured / pick.length - 1) * 100;
          return (
            <tr key={i}>
              <th scope="row">{pick.typed === '' ? showLength(pick.length, system) : pick.typed}</th><td>{showLength(measured, system)}</td><td>{`${off >= 0 ? '+' : '-'}${Math.abs(off).toFixed(2)} %`}</td>
              <td><button type="button" className="drop" aria-label={words.scale.dropPick(pick.typed)} onClick={() => {
                const rest = picks.filter((_, j) => j !== i);
                if (rest.length > 0) setScale(sheet, scaleOfPicks(sheet, rest, scale.pickUncertainty));
                else changeSheet(sheet.id, words.edits.scale(sheet.name), { scale: scale.stated ? ofDrawing(sheet, scale.stated) : null });
              }}>×</button></td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** What several lengths say about each other and about the stated scale. */
function Judged({ sheet }: { sheet: Sheet }) {
  const stretch = stretchOf(picksOf(sheet.scale));
  const off = sheet.scale ? contradiction(sheet.scale) : null;
  return (
    <>
      {stretch !== null && <p className="step-note">{planWords.stretch(stretch)}{sheet.plan && mendFor(sheet, sheet.plan) && ` ${planWords.flat.mendInPlan}`}</p>}
      {off !== null && sheet.scale?.stated && <p className="asks">{planWords.contradicts(off, sheet.scale.stated.typed)}</p>}
    </>
  );
}

const OFFERED = 6;
const STATES_LENGTHS: readonly string[] = ['application/pdf', 'image/vnd.dxf'];

/** Lengths that the plan states itself, as picks to take: two clicks and a typed text saved, nothing taken unasked. */
function OfferedLengths({ sheet, plan, system }: { sheet: Sheet; plan: PlanRef; system: UnitSystem }) {
  const state = usePlanExam(plan);
  // A scan is looked at as well, but states no length that could be read.
  if (state?.kind === 'looking' && STATES_LENGTHS.includes(plan.media)) return <p className="step-note">{planWords.lookingLengths} <button type="button" className="quiet" onClick={() => { stopLooking(state); }}>{planWords.stop}</button></p>;
  if (state?.kind === 'unknown' && STATES_LENGTHS.includes(plan.media)) return <p className="step-note">{planWords.notLooked} <button type="button" className="quiet" onClick={() => { lookAgain(plan); }}>{planWords.lookAgain}</button></p>;
  const picks = picksOf(sheet.scale);
  const offered = (state?.kind === 'known' ? state.exam.lengths : []).map((length) => {
    const [from, to] = [length.from, length.to].map(([x, y]) => toSheetPoint(plan, { x, y }));
    return { from: from!, to: to!, length: feet(length.feet), typed: length.text, ...(length.within === undefined ? {} : { within: sheetUnits(length.within * layOf(plan).scale) }) };
  }).filter((pick) => !picks.some((p) => p.typed === pick.typed && Math.hypot(p.from.x - pick.from.x, p.from.y - pick.from.y) < 1 && Math.hypot(p.to.x - pick.to.x, p.to.y - pick.to.y) < 1)).slice(0, OFFERED);
  if (offered.length === 0) return null;
  return (
    <>
      <h3 className="pane-title">{planWords.offered}</h3>
      <div className="actions" role="group" aria-label={planWords.offered}>
        {offered.map((pick, i) => (
          <button key={i} type="button" className="chip" title={planWords.takeLength(showLength(pick.length, system))} onClick={() => { setScale(sheet, scaleOfPicks(sheet, [...picks, pick]), state?.kind === 'known' ? state.exam.scales : []); }}>{pick.typed}</button>
        ))}
      </div>
      <p className="step-note">{planWords.offeredHow}</p>
    </>
  );
}

/** Scales that the file states itself, with where each holds: taken by a person, and held against picked lengths where there are any. */
function OfferedScales({ sheet, plan }: { sheet: Sheet; plan: PlanRef }) {
  const state = usePlanExam(plan);
  const scales = state?.kind === 'known' ? state.exam.scales : [];
  const { scale } = sheet;
  const stated = scale?.from.kind === 'stated' ? scale.from : scale?.stated;
  if (scales.length === 0) return null;
  return (
    <ul className="file-scales" aria-label={planWords.scales}>
      {scales.map((one, i) => {
        const made = scaleOfFile(plan, one, scales);
        const isTaken = made?.from.kind === 'stated' && stated?.typed === made.from.typed && Math.abs(stated.ratio / made.from.ratio - 1) < 1e-9;
        const [x, y, width, height] = one.box;
        const isWhole = holdsWhole(one, plan);
        return (
          <li key={i}>
            {made ? <button type="button" className="chip" aria-pressed={isTaken} onClick={() => { setScale(sheet, { ok: true, scale: made }); }}>{one.name.trim() === '' ? planWords.ownScale : one.name}</button> : <b>{one.name.trim() === '' ? planWords.ownScale : one.name}</b>}
            <span>{one.feetPerUnit === null ? planWords.noUnit : isWhole ? planWords.wholeSheet : planWords.inPart(partOf(one, plan))}</span>
            {!isWhole && <button type="button" className="quiet" onClick={() => { store.getState().revealIds([], [toSheetPoint(plan, { x, y }), toSheetPoint(plan, { x: x + width, y: y + height })]); }}>{planWords.showPart}</button>}
          </li>
        );
      })}
    </ul>
  );
}

function dropStated(sheet: Sheet, { stated: _, ...picked }: Scale): void {
  changeSheet(sheet.id, words.edits.scale(sheet.name), { scale: picked.from.kind === 'picks' ? picked : null });
}

function StatedScale({ sheet, system }: { sheet: Sheet; system: UnitSystem }) {
  const { scale } = sheet;
  const stated = scale?.from.kind === 'stated' ? scale.from : scale?.stated;
  // A drawing without paper is drawn full size: what stands for its paper then is no paper.
  const isFullSize = stated?.ratio === 1 && sheet.plan !== null && sheet.plan.unitsPerPaperInch === undefined;
  const [perInch, setPerInch] = useState<number | undefined>((isFullSize ? undefined : stated?.unitsPerPaperInch) ?? (sheet.plan ? sheetUnitsPerPaperInch(sheet.plan) : undefined));
  const apply = (ratio: number, typed: string, units: number | undefined): void => {
    setScale(sheet, scaleOfDrawing(sheet, { typed, ratio, unitsPerPaperInch: units ?? 0 }));
  };
  const paper = perInch === undefined ? null : { width: sheet.width / perInch, height: sheet.height / perInch };
  return (
    <div className="form">
      <TypedField label={words.scale.stated} shown={stated?.typed ?? ''} placeholder={system === 'US' ? '1/8" = 1\'-0"' : '1:100'}
        hint={picksOf(scale).length > 0 ? planWords.heldAgainst : undefined} read={(text) => { const read = readDrawingScale(text); return read.ok ? { ok: true, value: read.ratio } : read; }}
        onCommit={(ratio, typed) => { apply(ratio, typed, perInch); }} onClear={scale && stated ? () => { dropStated(sheet, scale); } : undefined} />
      {isFullSize ? <p className="step-note">{planWords.fullSize}</p> : <NumberField label={words.scale.printWidth} value={paper ? paper.width * (system === 'metric' ? 25.4 : 1) : undefined} unit={system === 'metric' ? 'mm' : 'in'} system={system} positive
        hint={paper ? words.scale.printSize(paper.width, paper.height, system) : words.scale.printUnknown}
        onCommit={(width) => {
          const next = width === undefined ? undefined : sheet.width / (system === 'metric' ? width / 25.4 : width);
          setPerInch(next);
          if (stated && next !== undefined) apply(stated.ratio, stated.typed, next);
        }} />}
    </div>
  );
}

/** Where the scale holds, on a page of several views; a person may say that it holds everywhere. */
function ScaleInPart({ sheet, scale, areas }: { sheet: Sheet; scale: Scale; areas: NonNullable<Scale['areas']> }) {
  const points = areas.flat();
  return (
    <div className="actions">
      <p className="asks">{planWords.scaleInPart}</p>
      <button type="button" className="chip" onClick={() => { store.getState().revealIds([], points); }}>{planWords.showPart}</button>
      <button type="button" className="chip" onClick={() => { const { areas: _, ...everywhere } = scale; changeSheet(sheet.id, words.edits.scale(sheet.name), { scale: everywhere }); }}>{planWords.scaleEverywhere}</button>
    </div>
  );
}

/** The scale step: what the scale is and how sure; two picks and a typed length, a second length as check, or the drawing's own scale. */
export function ScalePane() {
  const sheet = useApp((s) => s.document.sheets.find((one) => one.id === s.sheet));
  const system = useApp((s) => s.document.facts.units);
  const exam = usePlanExam(sheet?.plan ?? null);
  const views = exam?.kind === 'known' ? exam.exam.scales : [];
  return (
    <section className="list-pane" aria-label={words.stepNames.scale}>
      <header className="pane-head"><h2>{words.stepNames.scale}</h2>{sheet && <span className="pane-count">{sheet.name}</span>}</header>
      {!sheet ? <p className="empty">{words.sheets.none}</p> : (
        <div className="pane-body" key={sheet.id}>
          {sheet.scale ? <p className="scale-now"><b>{words.scale.now(sheet.scale)}</b><span>{words.scale.means(showLength(feet(50 * sheet.scale.relativeUncertainty), system), system)}</span></p>
            : <p className="asks">{words.steps.lacksScale([sheet.name])}</p>}
          {sheet.scale?.areas && <ScaleInPart sheet={sheet} scale={sheet.scale} areas={sheet.scale.areas} />}
          <h3 className="pane-title">{words.scale.byPicks}</h3>
          <PickedLength sheet={sheet} system={system} views={views} />
          <Picks sheet={sheet} system={system} />
          <Judged sheet={sheet} />
          {sheet.plan && <OfferedLengths sheet={sheet} plan={sheet.plan} system={system} />}
          <h3 className="pane-title">{words.scale.byStated}</h3>
          {sheet.plan && <OfferedScales sheet={sheet} plan={sheet.plan} />}
          <StatedScale sheet={sheet} system={system} />
        </div>
      )}
    </section>
  );
}
