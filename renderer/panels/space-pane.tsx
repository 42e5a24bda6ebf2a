import { Progress } from '@base-ui/react/progress';
import { useMemo } from 'react';
import { byDoubt, offeredLayers } from '../../shared-core/offer/index';
import type { WallOffer } from '../../shared-core/offer/index';
import type { Sheet } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { FlagField, LengthField, NumberField } from './fields';
import { showNumber } from './number-text';
import { PickList } from './pick-list';
import { PlanList } from './plan-list';
import { Section } from './section';
import { useApp } from './use-app';
import { accept, choose, chooseNone, closeOffer, decided, goTo, lookForWalls, openOffer, reject, restoreRejected, setSize, showLayer, sizesOf, stopLooking, toggle, useOfferDesk } from './wall-offer';
import type { OfferSizes } from './wall-offer';

/** The space step: what is marked of the building; or the walls the plan shows, while they are reviewed. */
export function SpacePane() {
  const isOpen = useOfferDesk((s) => s.isOpen);
  const sheet = useApp((s) => s.document.sheets.find((one) => one.id === s.sheet));
  if (isOpen && sheet) return <OfferPane key={sheet.id} sheet={sheet} />;
  return (
    <div className="space-pane">
      <PlanList kinds={['wall', 'obstruction', 'area']} />
      <div className="actions space-foot"><button type="button" className="chip" disabled={!sheet?.plan} title={sheet?.plan ? undefined : words.offer.noPlan} onClick={openOffer}>{words.offer.open}</button></div>
    </div>
  );
}

function OfferPane({ sheet }: { sheet: Sheet }) {
  const system = useApp((s) => s.document.facts.units);
  const offer = useApp((s) => (s.offer?.sheet === sheet.id ? s.offer : null));
  return (
    <section className="list-pane" aria-label={words.offer.title}>
      <header className="pane-head"><h2>{words.offer.title}</h2>{offer && <OfferCount offer={offer} />}{!offer && <button type="button" className="quiet" onClick={closeOffer}>{words.offer.back}</button>}</header>
      <div className="offer-top">
        {offer ? <Section title={words.offer.lookAgain}><Look sheet={sheet} system={system} again /></Section> : <Look sheet={sheet} system={system} />}
        {offer && <Decide offer={offer} />}
      </div>
      {offer && <Candidates offer={offer} sheet={sheet} system={system} />}
    </section>
  );
}

function OfferCount({ offer }: { offer: WallOffer }) {
  useApp((s) => s.document);
  const { open, chosen } = decided(offer);
  return <span className="pane-count" role="status">{words.offer.count(open.length, chosen.length)}</span>;
}

/** The sizes to look for, the look itself with its progress, and the way to stop it. */
function Look({ sheet, system, again = false }: { sheet: Sheet; system: UnitSystem; again?: boolean }) {
  const typedFeet = useOfferDesk((s) => s.feet);
  const typedUnits = useOfferDesk((s) => s.units);
  const looking = useOfferDesk((s) => s.looking);
  const sizes = sizesOf(sheet, { feet: typedFeet, units: typedUnits });
  if (looking) {
    return (
      <Progress.Root className="reading" value={looking.done > 0 ? Math.round(looking.done * 100) : null} aria-label={words.offer.looking(sheet.name)}>
        <p>{words.offer.looking(sheet.name)}</p>
        <Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track>
        <button type="button" className="chip" onClick={stopLooking}>{words.busy.cancel}</button>
      </Progress.Root>
    );
  }
  const field = (size: keyof OfferSizes, hint?: string) => (sheet.scale
    ? <LengthField label={words.offer[size]} value={feet(sizes[size])} system={system} zero={false} hint={hint} onCommit={(value) => { setSize(sheet, size, value); }} />
    : <NumberField label={words.offer[size]} value={sizes[size]} unit="" system={system} positive optional={false} hint={hint} onCommit={(value) => { if (value !== undefined) setSize(sheet, size, value); }} />);
  const isOrdered = sizes.thinnest < sizes.thickest;
  return (
    <>
      {!again && <p className="step-note">{words.offer.intro}</p>}
      {!sheet.scale && <p className="step-note asks">{words.offer.noScale}</p>}
      <div className="form">{field('thinnest')}{field('thickest')}{field('shortest')}{field('within', words.offer.withinHint)}</div>
      {!isOrdered && <p className="field-fault" role="alert">{words.offer.order}</p>}
      <div className="actions"><button type="button" className={again ? 'chip' : 'chip is-main'} disabled={!sheet.plan || !isOrdered} onClick={() => { void lookForWalls(sheet); }}>{again ? words.offer.lookAgain : words.offer.look}</button></div>
    </>
  );
}

function Decide({ offer }: { offer: WallOffer }) {
  useApp((s) => s.document);
  const tool = useApp((s) => s.tool);
  const layers = useMemo(() => offeredLayers(offer), [offer]);
  const { open, chosen } = decided(offer);
  const { sure, doubted } = byDoubt(offer, open);
  const hasDoors = open.some((i) => (offer.walls[i]?.openings?.length ?? 0) > 0);
  return (
    <>
      <div className="actions">
        {chosen.length > 0 && <button type="button" className="chip is-main" onClick={() => { accept(chosen); }}>{words.offer.acceptChosen(chosen.length)}</button>}
        {sure.length > 0 && <button type="button" className="chip" onClick={() => { accept(sure); }}>{doubted.length > 0 ? words.offer.acceptSure(sure.length) : words.offer.acceptAll(sure.length)}</button>}
        {chosen.length > 0 && <button type="button" className="chip is-careful" onClick={() => { reject(chosen); }}>{words.offer.reject(chosen.length)}</button>}
        {chosen.length > 0 && <button type="button" className="quiet" onClick={chooseNone}>{words.offer.chooseNone}</button>}
        <button type="button" className="chip" onClick={closeOffer}>{words.offer.close}</button>
        {offer.rejected.size > 0 && <button type="button" className="quiet" onClick={restoreRejected}>{words.offer.restore(offer.rejected.size)}</button>}
        {open.length > 0 && tool !== 'review' && <button type="button" className="chip" onClick={() => { store.getState().setTool('review'); }}>{words.offer.review}</button>}
      </div>
      {doubted.length > 0 && (
        <div role="group" aria-label={words.offer.doubted}>
          <p className="step-note asks">{words.offer.doubtNote(open.length - sure.length)}</p>
          <div className="actions">{doubted.map(({ doubt, which }) => <button key={doubt} type="button" className="chip" onClick={() => { choose(which); }}>{words.offer.chooseDoubted[doubt](which.length)}</button>)}</div>
        </div>
      )}
      {layers.length > 0 && (
        <div className="flags" role="group" aria-label={words.offer.layers}>
          {layers.map(({ layer, count }) => <FlagField key={layer} label={words.offer.layer(layer, count)} value={!offer.layersOff.has(layer)} onCommit={(on) => { showLayer(layer, on); }} />)}
        </div>
      )}
      {open.length > 0 && <p className="step-note">{words.offer.how}</p>}
      <p className="step-note asks">{hasDoors ? `${words.offer.doorsNote} ` : ''}{words.offer.gapsNote}</p>
    </>
  );
}

function Candidates({ offer, sheet, system }: { offer: WallOffer; sheet: Sheet; system: UnitSystem }) {
  useApp((s) => s.document);
  const { open } = decided(offer);
  const size = (length: number): string => (sheet.scale ? showLength(feet(length * sheet.scale.feetPerUnit), system, { finest: 1 }) : showNumber(Math.round(length), ''));
  return (
    <PickList label={words.offer.list} chosen={offer.at === null ? null : String(offer.at)} empty={offer.walls.length === 0 ? words.offer.none : words.offer.noneLeft}
      items={open.flatMap((i) => {
        const wall = offer.walls[i];
        if (!wall) return [];
        const line = words.offer.line(size(Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1)), size(wall.thickness));
        const rest = [wall.doubt ? words.offer.doubt[wall.doubt] : '', wall.openings?.length ? words.offer.doors(wall.openings.length) : '', wall.layer ?? ''].filter((t) => t !== '').join(', ');
        const isChosen = offer.chosen.has(i);
        return [{
          id: String(i), label: `${line}${rest === '' ? '' : `, ${rest}`}, ${isChosen ? words.offer.isChosen : words.offer.isOffered}`,
          body: <div className="plan-row"><OfferToken isChosen={isChosen} isDoubted={wall.doubt !== undefined} onToggle={() => { toggle(i); }} /><b>{line}</b><span>{rest}</span></div>,
        }];
      })}
      onChoose={(id) => { goTo(Number(id)); }} onGo={(id) => { goTo(Number(id)); }} onToggle={(id) => { toggle(Number(id)); }} onDelete={(id) => { reject([Number(id)]); }} />
  );
}

/** The same ring, tick and question mark as on the sheet. */
function OfferToken({ isChosen, isDoubted, onToggle }: { isChosen: boolean; isDoubted: boolean; onToggle: () => void }) {
  return (
    <svg className="offer-token" data-chosen={isChosen ? '' : undefined} width="15" height="15" viewBox="0 0 15 15" aria-hidden="true" onClick={(event) => { event.stopPropagation(); onToggle(); }}>
      <circle cx="7.5" cy="7.5" r="6" />{isChosen ? <path d="M4.6 7.8 6.8 10 10.6 5.2" /> : isDoubted && <text x="7.5" y="11">?</text>}
    </svg>
  );
}
