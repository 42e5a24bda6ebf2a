import { Progress } from '@base-ui/react/progress';
import { useState } from 'react';
import { everyEntity, hasPlacedMarks } from '../../shared-core/document/index';
import type { PlanRef, Sheet, StatedSides } from '../../shared-core/document/index';
import type { Feet } from '../../shared-core/units/index';
import { store } from '../state/store';
import type { PlanPick } from '../state/store';
import { planWords, words as allWords } from '../text/index';
import { ChoiceField, LengthField } from './fields';
import { canBeFlat, makeFlat, mendFor, showPhotograph, squaringFor, stopMaking, useMaking } from './plan-flat';
import { useApp } from './use-app';

const words = planWords.flat;
/** Beyond this the person is told how to do better. */
const POOR = 0.03;

type Known = NonNullable<StatedSides>['of'];
interface Side { readonly length: Feet; readonly typed: string }

/** Four corners are picked: what is known of their sides, how good the outcome will be, and the step itself. */
function Ask({ sheet, plan, pick, done }: { sheet: Sheet; plan: PlanRef; pick: PlanPick; done: () => void }) {
  const document = useApp((s) => s.document);
  const system = document.facts.units;
  const [known, setKnown] = useState<Known | undefined>(undefined);
  const [across, setAcross] = useState<Side | null>(null);
  const [down, setDown] = useState<Side | null>(null);
  const sides: StatedSides = known && across && down ? { of: known, across, down } : null;
  const outcome = squaringFor(plan, pick.points, pick.within ?? 0, sides);
  const count = everyEntity(document).filter((e) => e.sheet === sheet.id && e.kind !== 'exception').length;
  const losesScale = sheet.scale?.from.kind === 'stated' && sides === null;
  return (
    <>
      <ChoiceField label={words.sides} value={known} unset={words.unknown} choices={(['building', 'paper'] as const).map((value) => ({ value, label: words.sideChoices[value] }))} onCommit={setKnown} />
      {known && <LengthField label={words.across} value={across?.length} system={system} zero={false} hint={words.acrossHint} placeholder={placeholder(known, system, 36)} onCommit={(length, typed) => { setAcross({ length, typed }); }} />}
      {known && <LengthField label={words.down} value={down?.length} system={system} zero={false} placeholder={placeholder(known, system, 24)} onCommit={(length, typed) => { setDown({ length, typed }); }} />}
      <div className="asks is-wide" role="group" aria-label={words.make}>
        {!outcome.ok ? <p role="alert">{words.faults[outcome.fault]}</p> : (
          <>
            {!known && <p>{words.guessed}</p>}
            {known && !sides && <p>{words.giveSides}</p>}
            <p>{words.good(outcome.squaring.uncertainty)}{outcome.squaring.uncertainty > POOR && ` ${words.far}`}</p>
            {losesScale && <p>{words.losesScale}</p>}
            {hasPlacedMarks(document, sheet.id) && <p>{words.along(count)}</p>}
          </>
        )}
        <div className="actions">
          <button type="button" className="chip is-main" disabled={!outcome.ok || (known !== undefined && !sides)} onClick={() => { if (outcome.ok) void makeFlat(sheet, plan, outcome.squaring, sides); }}>{words.make}</button>
          <button type="button" className="chip" onClick={done}>{planWords.leave}</button>
        </div>
      </div>
    </>
  );
}

const placeholder = (known: Known, system: 'US' | 'metric', inches: number): string =>
  (known === 'paper' ? (system === 'US' ? `${inches}"` : `${Math.round(inches * 25.4)} mm`) : system === 'US' ? `${2 * inches}'` : `${Math.round(inches * 0.6)} m`);

/** A photographed plan is made flat by four corners; the photograph stays, to be made flat by others or shown again. */
export function PlanFlat({ sheet, plan }: { sheet: Sheet; plan: PlanRef }) {
  const pick = useApp((s) => (s.planPick?.id === 'corners' ? s.planPick : null));
  const isPicking = useApp((s) => s.tool === 'corners');
  const making = useMaking();
  const done = (): void => { store.getState().setPlanPick(null); store.getState().setTool('select'); };
  if (!canBeFlat(plan)) return null;
  const isMaking = making?.sheet === sheet.id;
  const mend = mendFor(sheet, plan);
  return (
    <section className="form" aria-label={words.title}>
      <h3 className="pane-title is-wide">{words.title}</h3>
      {isMaking && (
        <Progress.Root className="reading is-wide" value={making.done > 0 ? Math.round(making.done * 100) : null} aria-label={words.making(sheet.name)}>
          <p>{words.making(sheet.name)}</p>
          <Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track>
          <button type="button" className="chip" onClick={stopMaking}>{allWords.busy.cancel}</button>
        </Progress.Root>
      )}
      {!isMaking && pick && <Ask sheet={sheet} plan={plan} pick={pick} done={done} />}
      {!isMaking && !pick && (
        <>
          <p className="step-note is-wide">{isPicking ? words.picking : plan.squared ? words.now(plan.squared.uncertainty) : plan.media === 'application/pdf' ? words.ofPage : words.how}</p>
          {mend && (
            <div className="asks is-wide"><p>{words.offShape(mend.off)}</p>
              <div className="actions"><button type="button" className="chip is-main" onClick={() => { void makeFlat(sheet, plan, mend.squaring, null); }}>{words.mendShape}</button></div></div>
          )}
          <div className="actions is-wide">
            <button type="button" className="chip" aria-pressed={isPicking} onClick={() => { store.getState().setTool('corners'); }}>{plan.squared ? words.again : words.pick}</button>
            {plan.squared && <button type="button" className="chip" onClick={() => { showPhotograph(sheet); }}>{words.back}</button>}
          </div>
        </>
      )}
    </section>
  );
}
