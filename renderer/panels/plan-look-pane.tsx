import { useEffect } from 'react';
import { applyEdit, everyEntity, isWholePlanShown, planBounds, setDrawingArea } from '../../shared-core/document/index';
import type { Document, PlanRef, Point, Sheet } from '../../shared-core/document/index';
import { store } from '../state/store';
import { planWords as words } from '../text/index';
import { FlagField, NumberField } from './fields';
import { usePlanExam } from './plan-exam';
import { changeSheet } from './sheet-tabs';
import { useApp } from './use-app';

type Look = NonNullable<PlanRef['look']>;

/** A look with nothing set is none, so that a plan as it is stays as it was in the file. */
function changeLook(sheet: Sheet, plan: PlanRef, name: string, change: { readonly inverted?: boolean; readonly contrast?: number }): void {
  const { inverted = false, contrast = 0 } = { ...plan.look, ...change };
  const look: Look = { ...(inverted ? { inverted } : {}), ...(contrast > 0 ? { contrast } : {}) };
  const { look: before, ...rest } = plan;
  if (JSON.stringify(before ?? {}) === JSON.stringify(look)) return;
  changeSheet(sheet.id, name, { plan: Object.keys(look).length > 0 ? { ...rest, look } : rest });
}

/** Contrast, fade and exchanged light and dark: so that the marks stand out, on screen and in the exported PDF alike. */
export function PlanLook({ sheet, plan }: { sheet: Sheet; plan: PlanRef }) {
  const system = useApp((s) => s.document.facts.units);
  const exam = usePlanExam(plan);
  const isOffered = exam?.kind === 'known' && exam.exam.blackGround && plan.look?.inverted !== true;
  const invert = (inverted: boolean): void => { changeLook(sheet, plan, words.edits.inverted(sheet.name), { inverted }); };
  return (
    <section className="form" aria-label={words.looks}>
      <h3 className="pane-title is-wide">{words.looks}</h3>
      {isOffered && <div className="asks is-wide"><p>{words.blackGround}</p><div className="actions"><button type="button" className="chip is-main" onClick={() => { invert(true); }}>{words.invert}</button></div></div>}
      <NumberField label={words.contrast} value={Math.round(100 * (plan.look?.contrast ?? 0))} unit="%" system={system} min={0} max={100} optional={false} hint={words.contrastHint}
        onCommit={(contrast) => { if (contrast !== undefined) changeLook(sheet, plan, words.edits.contrast(sheet.name), { contrast: contrast / 100 }); }} />
      <NumberField label={words.fade} value={Math.round(sheet.fade * 100)} unit="%" system={system} min={0} max={100} optional={false} onCommit={(fade) => { if (fade !== undefined && fade / 100 !== sheet.fade) changeSheet(sheet.id, words.edits.faded(sheet.name), { fade: fade / 100 }); }} />
      {!isOffered && <FlagField label={words.inverted} value={plan.look?.inverted ?? false} onCommit={invert} />}
    </section>
  );
}

const boxOf = (a: Point, b: Point) => ({ minX: Math.min(a.x, b.x), minY: Math.min(a.y, b.y), maxX: Math.max(a.x, b.x), maxY: Math.max(a.y, b.y) });

function marksOutside(document: Document, sheet: string, width: number, height: number): number {
  return everyEntity(document).filter((e) => e.sheet === sheet && 'at' in e && e.at !== null && (e.at.x < 0 || e.at.y < 0 || e.at.x > width || e.at.y > height)).length;
}

function CropTrial({ sheet, points, done }: { sheet: Sheet; points: readonly [Point, Point]; done: () => void }) {
  const document = useApp((s) => s.document);
  const [a, b] = points;
  const edit = setDrawingArea(document, words.edits.cropped(sheet.name), sheet.id, boxOf(a, b));
  const after = applyEdit(document, edit);
  const outside = marksOutside(after, sheet.id, Math.abs(a.x - b.x), Math.abs(a.y - b.y));
  useEffect(() => {
    store.getState().setPreview(applyEdit(document, setDrawingArea(document, '', sheet.id, boxOf(a, b))));
    return () => { store.getState().setPreview(null); };
  }, [document, sheet.id, a, b]);
  return (
    <div className="asks is-wide" role="group" aria-label={words.keep}>
      <p>{words.cropShown}{outside > 0 && ` ${words.outside(outside)}`}</p>
      <div className="actions">
        <button type="button" className="chip is-main" autoFocus onClick={() => { store.getState().setOffer(null); store.getState().commit(edit); done(); }}>{words.keep}</button>
        <button type="button" className="chip" onClick={done}>{words.leave}</button>
      </div>
    </div>
  );
}

/** Which part of the plan is shown: a rectangle picked on the sheet, or all of it again. */
export function PlanPart({ sheet, plan }: { sheet: Sheet; plan: PlanRef }) {
  const [a, b] = useApp((s) => (s.planPick?.id === 'crop' ? s.planPick : null))?.points ?? [];
  const isPicking = useApp((s) => s.tool === 'crop');
  const done = (): void => { store.getState().setPlanPick(null); store.getState().setTool('select'); };
  if (a && b && a.x !== b.x && a.y !== b.y) return <section className="form" aria-label={words.part}><h3 className="pane-title is-wide">{words.part}</h3><CropTrial sheet={sheet} points={[a, b]} done={done} /></section>;
  return (
    <section className="form" aria-label={words.part}>
      <h3 className="pane-title is-wide">{words.part}</h3>
      <div className="actions is-wide">
        <button type="button" className="chip" aria-pressed={isPicking} onClick={() => { store.getState().setTool('crop'); }}>{words.crop}</button>
        {!isWholePlanShown(sheet) && <button type="button" className="chip" onClick={() => { store.getState().setOffer(null); store.getState().commit(setDrawingArea(store.getState().document, words.edits.whole(sheet.name), sheet.id, planBounds(plan))); }}>{words.whole}</button>}
      </div>
      {isPicking && <p className="step-note is-wide">{words.pickCrop}</p>}
    </section>
  );
}
