import { useEffect, useState } from 'react';
import { applyEdit, everyEntity, hasPlacedMarks, turnPlan, turnToLevel } from '../../shared-core/document/index';
import type { Sheet } from '../../shared-core/document/index';
import { plainTurn } from '../../shared-core/geometry/index';
import { store } from '../state/store';
import { planWords as words } from '../text/index';
import { FlagField, NumberField } from './fields';
import { stopLooking, usePlanExam } from './plan-exam';
import { useApp } from './use-app';

/** Less than this is what a picture element's width may feign over a sheet. */
const LEAST_SKEW = 0.05;

interface Asked { readonly turn: number; readonly isSkew: boolean }

function editOf(sheet: Sheet, { turn, isSkew }: Asked, along: boolean) {
  return turnPlan(store.getState().document, isSkew ? words.edits.straightened(sheet.name) : words.edits.turned(sheet.name), sheet.id, turn, along ? 'along' : 'stay');
}

/** What was asked for, shown on the sheet before it is done. */
function Trial({ sheet, asked, done }: { sheet: Sheet; asked: Asked; done: () => void }) {
  const document = useApp((s) => s.document);
  const [along, setAlong] = useState(true);
  const count = everyEntity(document).filter((e) => e.sheet === sheet.id && e.kind !== 'exception').length;
  const hasMarks = hasPlacedMarks(document, sheet.id);
  useEffect(() => {
    store.getState().setPreview(applyEdit(document, editOf(sheet, asked, along)));
    return () => { store.getState().setPreview(null); };
  }, [document, sheet, asked, along]);
  return (
    <div className="asks is-wide" role="group" aria-label={words.turn}>
      <p>{words.shown(asked.turn)}</p>
      {hasMarks && <FlagField label={words.along(count)} value={along} hint={words.alongHint} onCommit={setAlong} />}
      <div className="actions">
        <button type="button" className="chip is-main" autoFocus onClick={() => {
          const edit = editOf(sheet, asked, along);
          store.getState().setOffer(null);
          store.getState().commit(edit);
          done();
        }}>{words.turn}</button>
        <button type="button" className="chip" onClick={done}>{words.leave}</button>
      </div>
    </div>
  );
}

/** How the plan lies: the skew found and offered, any angle typed, a line to level, quarter turns; shown first, then one edit. */
export function PlanLay({ sheet }: { sheet: Sheet }) {
  const system = useApp((s) => s.document.facts.units);
  const pick = useApp((s) => (s.planPick?.id === 'level' ? s.planPick : null));
  const isPicking = useApp((s) => s.tool === 'level');
  const state = usePlanExam(sheet.plan);
  const [typed, setTyped] = useState<Asked | null>(null);
  const [from, to] = pick?.points ?? [];
  const asked = from && to ? { turn: turnToLevel(from, to), isSkew: true } : typed;
  const done = (): void => { setTyped(null); if (pick) { store.getState().setPlanPick(null); store.getState().setTool('select'); } };
  const ask = (turn: number, isSkew = false): void => { setTyped({ turn: plainTurn(turn), isSkew }); };
  // What is left of the picture's own skew after the turns it had already.
  const left = state?.kind === 'known' && state.exam.skew !== null ? offLevel(state.exam.skew + (sheet.plan?.lay?.turn ?? 0)) : null;
  return (
    <section className="form" aria-label={words.lies}>
      <h3 className="pane-title is-wide">{words.lies}</h3>
      {asked ? <Trial key={asked.turn} sheet={sheet} asked={asked} done={done} /> : (
        <>
          {state?.kind === 'looking' && <p className="step-note is-wide">{words.looking} <button type="button" className="quiet" onClick={() => { stopLooking(state); }}>{words.stop}</button></p>}
          {left !== null && Math.abs(left) < LEAST_SKEW && <p className="step-note is-wide">{words.straight}</p>}
          {left !== null && Math.abs(left) >= LEAST_SKEW && (
            <div className="asks is-wide"><p>{words.skewed(left)}</p>
              <div className="actions"><button type="button" className="chip is-main" onClick={() => { ask(-left, true); }}>{words.straighten(left)}</button></div></div>
          )}
          <NumberField label={words.turnBy} value={undefined} unit="°" system={system} min={-180} max={180} hint={words.turnHint} placeholder="-0.5" onCommit={(turn) => { if (turn !== undefined && turn !== 0) ask(turn); }} />
          <div className="actions is-wide">
            <button type="button" className="chip" onClick={() => { ask(-90); }}>{words.quarterLeft}</button>
            <button type="button" className="chip" onClick={() => { ask(90); }}>{words.quarterRight}</button>
            <button type="button" className="chip" aria-pressed={isPicking} onClick={() => { store.getState().setTool('level'); }}>{words.levelLine}</button>
          </div>
          {isPicking && <p className="step-note is-wide">{words.pickLevel}</p>}
        </>
      )}
    </section>
  );
}

const offLevel = (angle: number): number => angle - 90 * Math.round(angle / 90);
