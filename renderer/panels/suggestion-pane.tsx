import { Progress } from '@base-ui/react/progress';
import { useEffect, useId, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { usualHandleHeight, usualWeights } from '../../shared-core/advise/index';
import type { DisconnectsSuggestion, ScoreTerm, SuggestedPlace, TermName } from '../../shared-core/advise/index';
import { entitiesOf } from '../../shared-core/document/index';
import type { Document, Id } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { store } from '../state/store';
import { rankedPlaces, suggestionStore } from '../state/suggestion';
import type { SuggestionState } from '../state/suggestion';
import { words } from '../text/index';
import { FlagField } from './fields';
import { PickList } from './pick-list';
import { withoutTag } from './result-text';
import { Section } from './section';
import { acceptance, acceptSuggestion, closeSuggestion, openLoads, servedLoads, suggestAgain } from './suggest-actions';
import { useApp } from './use-app';

const TERMS = Object.keys(usualWeights) as TermName[];
const MOST_WEIGHT = 5;
const useSuggestion = <T,>(select: (state: ReturnType<typeof suggestionStore.getState>) => T): T => useStore(suggestionStore, select);
const tagOf = (document: Document, id: Id): string => { const e = document.entities[id]; return e && 'tag' in e ? e.tag : ''; };

function termValue({ name, value, good }: ScoreTerm, system: UnitSystem): string {
  const length = showLength(feet(value), system, { finest: 1 });
  return name === 'clear-space' && good >= 1 ? words.suggest.orMore(length) : length;
}

/** What a place is scored by: each term's measure, and a bar of how good that is. */
function Terms({ place, system }: { place: SuggestedPlace; system: UnitSystem }) {
  return (
    <span className="terms">
      {place.score.terms.map((term) => (
        <span key={term.name} className="term" data-off={term.weight === 0 ? '' : undefined}>
          <span className="term-name">{words.suggest.terms[term.name]}</span> <b>{termValue(term, system)}</b>
          <svg width="100%" height="4" aria-hidden="true"><rect className="term-rule" width="100%" height="4" /><rect className="term-run" width={`${(term.good * 100).toFixed(1)}%`} height="4" /></svg>
        </span>
      ))}
    </span>
  );
}

const score = (place: SuggestedPlace): string => String(Math.round(place.score.total * 100));
const termWords = (place: SuggestedPlace, system: UnitSystem): string => place.score.terms.map((t) => `${words.suggest.terms[t.name]} ${termValue(t, system)}`).join(', ');

function Open({ place, tag }: { place: SuggestedPlace; tag: string }) {
  return place.open.length === 0 ? null : <span className="place-open">{words.suggest.openThere(place.open.map((o) => withoutTag(o.title, tag)))}</span>;
}

function PlaceRows({ places, device, document, state }: { places: readonly SuggestedPlace[]; device: Id; document: Document; state: SuggestionState }) {
  const { units } = document.facts;
  const choose = (id: string): void => {
    const row = Number(id);
    const place = places[row];
    suggestionStore.getState().choose(row);
    if (place) store.getState().revealIds([device, ...place.sees.map((s) => s.load)], [place.at]);
  };
  return (
    <PickList label={words.suggest.placesFor(tagOf(document, device))} chosen={String(state.chosen)} empty={words.suggest.noPlace} onChoose={choose} onHover={(id) => { suggestionStore.getState().hover(id === null ? null : Number(id)); }}
      items={places.map((place, i) => ({
        id: String(i), label: [words.suggest.rank(i + 1, score(place)), place.reason, termWords(place, units), ...place.open.map((o) => o.title)].join(', '),
        body: (
          <div className="place-row">
            <b className="place-rank">{i + 1}</b><span className="place-where">{words.suggest.where(place.mount !== null)}. {place.reason}</span><b className="place-score" title={words.suggest.scoreHint}>{score(place)}</b>
            <Terms place={place} system={units} /><Open place={place} tag={tagOf(document, device)} />
          </div>
        ),
      }))} />
  );
}

function DeviceRows({ suggestion, document, state }: { suggestion: DisconnectsSuggestion; document: Document; state: SuggestionState }) {
  const { units } = document.facts;
  const choose = (id: string): void => {
    const device = suggestion.disconnects[Number(id)];
    suggestionStore.getState().choose(Number(id));
    if (device) store.getState().revealIds(device.serves, [device.place.at]);
  };
  return (
    <PickList label={words.suggest.devices} chosen={String(state.chosen)} empty={words.suggest.noPlace} onChoose={choose} onHover={(id) => { suggestionStore.getState().hover(id === null ? null : Number(id)); }}
      items={suggestion.disconnects.map((device, i) => ({
        id: String(i), label: [words.suggest.newFor(device.serves.map((l) => tagOf(document, l))), device.reason, termWords(device.place, units), ...device.notes, ...device.place.open.map((o) => o.title)].join(', '),
        body: (
          <div className="place-row">
            <b className="place-rank">{i + 1}</b><span className="place-where"><b>{device.serves.map((l) => tagOf(document, l)).join(', ')}</b> {words.suggest.where(device.place.mount !== null)}.{device.serves.length > 1 && ` ${device.reason}`}{device.notes.map((n) => ` ${n}`)}</span><b className="place-score" title={words.suggest.scoreHint}>{score(device.place)}</b>
            <Terms place={device.place} system={units} /><Open place={device.place} tag="" />
          </div>
        ),
      }))} />
  );
}

function Weigh({ rerun }: { rerun: boolean }) {
  const weights = useSuggestion((s) => s.weights);
  const id = useId();
  const isUsual = TERMS.every((term) => weights[term] === usualWeights[term]);
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  useEffect(() => () => { clearTimeout(timer.current); }, []);
  // Several disconnects depend on each other's places, so they are sought anew; one device's places are only ranked anew.
  const after = (): void => { if (!rerun) return; clearTimeout(timer.current); timer.current = setTimeout(suggestAgain, 500); };
  return (
    <Section title={isUsual ? words.suggest.weights : words.suggest.weightsChanged}>
      {TERMS.map((term) => (
        <div key={term} className="weight">
          <label htmlFor={`${id}-${term}`}>{words.suggest.termLong[term]}</label>
          <input id={`${id}-${term}`} type="range" min="0" max={MOST_WEIGHT} step="0.5" value={weights[term]} aria-valuetext={words.suggest.weightText(weights[term])} onChange={(event) => { suggestionStore.getState().weigh(term, Number(event.target.value)); after(); }} />
          <output htmlFor={`${id}-${term}`}>{weights[term]}</output>
        </div>
      ))}
      <div className="actions"><button type="button" className="chip" disabled={isUsual} onClick={() => { suggestionStore.getState().resetWeights(); after(); }}>{words.suggest.usualWeights}</button></div>
    </Section>
  );
}

function LoadFlags({ label, all, loads, document, onSet }: { label: string; all: readonly Id[]; loads: readonly Id[]; document: Document; onSet: (next: readonly Id[]) => void }) {
  return (
    <div className="flags" role="group" aria-label={label}>
      {all.map((id) => { const load = document.entities[id]; return load?.kind === 'load' ? <FlagField key={id} label={load.name === '' ? load.tag : `${load.tag} ${load.name}`} value={loads.includes(id)} onCommit={(on) => { onSet(on ? [...loads, id] : loads.filter((one) => one !== id)); }} /> : null; })}
    </div>
  );
}

function ChooseLoads({ loads, document }: { loads: readonly Id[]; document: Document }) {
  const open = openLoads(document); const served = servedLoads(document);
  const [isServedShown, showServed] = useState(open.length === 0 || loads.some((id) => served.includes(id)));
  const all = isServedShown ? [...open, ...served] : open;
  // The order of the tags, not of the ticks: the same loads give the same suggestion.
  const set = (next: readonly Id[]): void => { suggestionStore.getState().prepare([...open, ...served].filter((id) => next.includes(id))); };
  return (
    <div className="pane-body">
      <p className="step-note">{words.suggest.chooseHow}</p>
      <LoadFlags label={words.suggest.chooseLoads} all={open} loads={loads} document={document} onSet={set} />
      {served.length > 0 && isServedShown && (
        <>
          <p className="step-note">{words.suggest.servedHow}</p>
          <LoadFlags label={words.suggest.chooseServed} all={served} loads={loads} document={document} onSet={set} />
        </>
      )}
      <div className="actions">
        <button type="button" className="chip is-main" disabled={loads.length === 0} onClick={suggestAgain}>{words.suggest.start(loads.length)}</button>
        <button type="button" className="chip" onClick={() => { set(loads.length === all.length ? [] : all); }}>{loads.length === all.length ? words.suggest.noneOfThem : words.suggest.allOfThem}</button>
        {served.length > 0 && !isServedShown && <button type="button" className="quiet" onClick={() => { showServed(true); }}>{words.suggest.servedToo(served.length)}</button>}
      </div>
    </div>
  );
}

function Working({ state }: { state: SuggestionState }) {
  const { progress } = state;
  const share = progress && progress.of > 0 ? Math.round((100 * progress.done) / progress.of) : null;
  return (
    <div className="pane-body">
      <Progress.Root className="suggest-busy" value={share} aria-label={words.suggest.searching}>
        <p className="step-note">{progress ? words.suggest.progress(progress.note, progress.done, progress.of) : words.suggest.searching}</p>
        <Progress.Track className="busy-track"><Progress.Indicator className="busy-run" /></Progress.Track>
      </Progress.Root>
      <div className="actions"><button type="button" className="chip" data-first onClick={() => { suggestionStore.getState().stop(); }}>{words.busy.cancel}</button></div>
    </div>
  );
}

const howSure = ({ mayShare, proved, notes }: DisconnectsSuggestion, document: Document): string =>
  (mayShare === 0 ? words.suggest.noneShare(usualHandleHeight(document)) : proved ? words.suggest.provedMeans(usualHandleHeight(document)) : notes.length > 0 ? notes.join(' ') : words.suggest.boundedMeans(usualHandleHeight(document)));

/** How sure the number is, which loads got nothing and why. */
function Summary({ suggestion, document }: { suggestion: DisconnectsSuggestion; document: Document }) {
  const { disconnects, without, atLeast, proved } = suggestion;
  const served = disconnects.reduce((n, d) => n + d.serves.length, 0);
  return (
    <div className="suggest-summary">
      {disconnects.length > 0 && <p><b>{proved ? words.suggest.proved(disconnects.length, served) : words.suggest.bounded(atLeast, disconnects.length, served)}</b></p>}
      {disconnects.length > 0 && <p className="step-note">{howSure(suggestion, document)}</p>}
      {without.length > 0 && <ul className="without" aria-label={words.suggest.without}>{without.map(({ load, why }) => <li key={load}><b>{tagOf(document, load)}</b> {words.suggest.noPlaceFor} {why}</li>)}</ul>}
    </div>
  );
}

function Found({ state, document }: { state: SuggestionState; document: Document }) {
  const { found } = state;
  if (!found) return null;
  const places = rankedPlaces(state, document);
  const accepted = acceptance(document);
  const canAccept = accepted !== null;
  const again = <button type="button" className="chip" onClick={() => { if (state.ask?.kind === 'disconnects') suggestionStore.getState().prepare(state.ask.loads); }}>{words.suggest.otherLoads}</button>;
  return (
    <>
      <div className="suggest-scroll">
        {found.kind === 'place' ? <PlaceRows places={places} device={found.suggestion.disconnect} document={document} state={state} /> : <><Summary suggestion={found.suggestion} document={document} /><DeviceRows suggestion={found.suggestion} document={document} state={state} /></>}
        {found.kind === 'place' && found.suggestion.notes.map((note) => <p key={note} className="suggest-note">{note}</p>)}
        {accepted !== null && accepted.gone.length > 0 && <p className="suggest-note">{words.suggest.takesOut(accepted.gone.map((d) => d.tag))}</p>}
        {canAccept && <div className="suggest-weights"><Weigh rerun={found.kind === 'disconnects'} /></div>}
      </div>
      <div className="actions suggest-foot">
        {canAccept && <button type="button" className="chip is-main" onClick={acceptSuggestion}>{found.kind === 'place' ? words.suggest.accept(tagOf(document, found.suggestion.disconnect), state.chosen + 1) : words.suggest.acceptAll(found.suggestion.disconnects.length)}</button>}
        {found.kind === 'disconnects' && again}
      </div>
    </>
  );
}

const title = (state: SuggestionState, document: Document): string => (state.ask?.kind === 'place' ? words.suggest.placesFor(tagOf(document, state.ask.disconnect)) : words.suggest.devices);

/** A suggestion from its asking to its acceptance: the loads to choose, progress with Cancel, ranked results, weights. */
export function SuggestionPane() {
  const state = useSuggestion((s) => s);
  const document = useApp((s) => s.document);
  const pane = useRef<HTMLElement>(null);
  const { phase, ask, found } = state;
  useEffect(() => {
    // What was found is brought before the eyes once, before anybody has chosen among it.
    if (found?.kind === 'place') { const [first] = found.suggestion.places; if (first) store.getState().revealIds([found.suggestion.disconnect, ...first.sees.map((s) => s.load)], [first.at]); }
    else if (found) { const { disconnects } = found.suggestion; if (disconnects.length > 0) store.getState().revealIds(disconnects.flatMap((d) => d.serves), disconnects.filter((d) => d.sheet === disconnects[0]?.sheet).map((d) => d.place.at)); }
  }, [found]);
  const step = useApp((s) => s.step);
  const begunIn = useRef(step);
  // Another step brings its own list here.
  useEffect(() => { if (step !== begunIn.current) suggestionStore.getState().close(); }, [step]);
  useEffect(() => {
    // The keyboard follows the work, but is not taken from a person who went elsewhere meanwhile.
    const frame = requestAnimationFrame(() => {
      const { activeElement } = globalThis.document;
      if (activeElement !== globalThis.document.body && !pane.current?.contains(activeElement) && phase !== 'working' && phase !== 'choosing') return;
      (pane.current?.querySelector<HTMLElement>(phase === 'found' ? '[role="listbox"]' : '.pane-body button') ?? pane.current)?.focus();
    });
    return () => { cancelAnimationFrame(frame); };
  }, [phase]);
  if (!ask) return null;
  const isGone = ask.kind === 'place' && document.entities[ask.disconnect]?.kind !== 'disconnect';
  const loads = ask.kind === 'disconnects' ? ask.loads.filter((id) => entitiesOf(document, 'load').some((l) => l.id === id)) : [];
  return (
    <section ref={pane} className="list-pane suggestion" aria-label={title(state, document)} tabIndex={-1} onMouseLeave={() => { suggestionStore.getState().hover(null); }}
      onKeyDown={(event) => { if (event.key === 'Escape' && !event.defaultPrevented) { event.stopPropagation(); if (phase === 'working') state.stop(); else closeSuggestion(); } }}>
      <header className="pane-head"><h2>{title(state, document)}</h2><span className="pane-count" /><button type="button" className="quiet" onClick={closeSuggestion}>{words.suggest.close}</button></header>
      <p className="off-screen" role="status">{words.suggest.said(phase, state.found?.kind === 'place' ? rankedPlaces(state, document).length : state.found?.suggestion.disconnects.length ?? 0)}</p>
      {phase === 'choosing' && <ChooseLoads loads={loads} document={document} />}
      {phase === 'working' && <Working state={state} />}
      {phase === 'found' && <Found state={state} document={document} />}
      {(phase === 'stopped' || phase === 'outdated' || phase === 'failed') && (
        <div className="pane-body">
          <p className={phase === 'stopped' ? 'step-note' : 'asks'}>{isGone ? words.suggest.gone : phase === 'stopped' ? words.suggest.stopped : phase === 'outdated' ? words.suggest.outdated : words.suggest.failed(state.reason)}</p>
          <div className="actions"><button type="button" className="chip is-main" disabled={isGone} onClick={suggestAgain}>{words.suggest.again}</button></div>
        </div>
      )}
    </section>
  );
}
