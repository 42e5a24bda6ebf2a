import { Popover } from '@base-ui/react/popover';
import { useRef } from 'react';
import type { ReactNode } from 'react';
import type { Input, Result, Step } from '../../shared-core/code-data/index';
import type { TargetKind } from '../../shared-core/checks/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { store } from '../state/store';
import { checkName, words } from '../text/index';
import { copyText, printNode } from './desk';
import { PairRoom } from './pair-room';
import { citationText, derivationText, showMargin, showResultValue, showValue } from './result-text';
import { Status } from './status-mark';
import { useApp } from './use-app';
import { uiStore, useUi } from './ui-store';

const Confidence = ({ of }: { of: Step['confidence'] | undefined }) => (of === undefined || of === 'confirmed' ? null : <em className="confidence">{words.why.confidence[of]}</em>);

function InputRow({ input, system }: { input: Input; system: UnitSystem }) {
  return (
    <tr>
      <th scope="row">{input.name}</th>
      <td className="figure-cell">{showValue(input.value, input.unit, system)}</td>
      <td><span className="origin">{words.why.from[input.from]}</span> {input.source} <Confidence of={input.confidence} /></td>
    </tr>
  );
}

function StepBlock({ step, system }: { step: Step; system: UnitSystem }) {
  return (
    <li className="step">
      <p className="step-head"><span>{step.quantity}</span> <b>{showValue(step.value, step.unit, system)}</b></p>
      <p className="formula">{step.formula}</p>
      {step.inputs.length > 0 && <table className="inputs"><tbody>{step.inputs.map((input, i) => <InputRow key={i} input={input} system={system} />)}</tbody></table>}
      {step.rounding !== undefined && <p className="step-note">{words.why.rounding} {step.rounding}</p>}
      {step.citation && <p className="step-note">{citationText(step.citation)}</p>}
      {step.citation?.confidence !== step.confidence && <p className="step-note"><Confidence of={step.confidence} /></p>}
    </li>
  );
}

/** A long derivation opens at its end; what it builds on is one click away, and printed and copied whole. */
const SHOWN_STEPS = 5;

function Steps({ steps, system }: { steps: readonly Step[]; system: UnitSystem }) {
  if (steps.length === 0) return <p className="step-note">{words.why.noSteps}</p>;
  const before = steps.length > SHOWN_STEPS + 1 ? steps.length - SHOWN_STEPS : 0;
  const list = (from: number, to: number) => <ol className="steps" style={{ counterReset: `step ${from}` }}>{steps.slice(from, to).map((step, i) => <StepBlock key={i} step={step} system={system} />)}</ol>;
  return (
    <>
      {before > 0 && <details className="steps-before"><summary>{words.why.stepsBefore(before)}</summary>{list(0, before)}</details>}
      {list(before, steps.length)}
    </>
  );
}

const TARGETS: Readonly<Record<string, TargetKind>> = { 'sight.motor': 'motor', 'sight.machine': 'machine', 'sight.controller': 'controller', 'sight.unit': 'unit' };

/** Beside a sight verdict: how far the handle may move, as far as it was asked for. */
function SightRoom({ result: { check, subject: { disconnect, load } } }: { result: Result }) {
  const target = TARGETS[check];
  return target && disconnect !== undefined && load !== undefined ? <PairRoom disconnect={disconnect} load={load} target={target} /> : null;
}

/** The derivation of one result: what was computed, from what, by which rule, how sure. */
export function Derivation({ result, system }: { result: Result; system: UnitSystem }) {
  const value = showResultValue(result, system);
  return (
    <div className="derivation">
      <p className="derivation-head"><Status verdict={result.verdict} /> <span>{result.title}</span></p>
      {value !== null && <p className="derivation-value">{value}{result.margin && <small>{showMargin(result.margin, system)}</small>}</p>}
      <SightRoom result={result} />
      {result.missing.length > 0 && <p className="missing">{words.chosen.missing(result.missing)}</p>}
      {result.remedies.length > 0 && <ul className="remedies">{result.remedies.map((remedy, i) => <li key={i}>{remedy}</li>)}</ul>}
      <Steps steps={result.steps} system={system} />
      {result.citations.length > 0 && <ul className="citations">{result.citations.map((citation, i) => <li key={i}>{citationText(citation)}</li>)}</ul>}
    </div>
  );
}

function CardTools({ result, children }: { result: Result; children: ReactNode }) {
  const system = useApp((s) => s.document.facts.units);
  const copy = async (): Promise<void> => {
    if (await copyText(derivationText(result, system))) store.getState().notify('note', words.why.copied, '');
    else store.getState().notify('problem', words.why.notCopied, words.why.notCopiedTodo);
  };
  return (
    <div className="card-tools">
      {children}
      <button type="button" className="chip" onClick={() => { void copy(); }}>{words.why.copy}</button>
      <button type="button" className="chip" onClick={(event) => { printNode(event.currentTarget.closest('.why-card')); }}>{words.why.print}</button>
    </div>
  );
}

/** A number that opens to its derivation. The number itself is the handle: nothing else has to be found. */
export function Figure({ result, children, what }: { result: Result; children: ReactNode; what?: string }) {
  const system = useApp((s) => s.document.facts.units);
  const pinned = useUi((s) => s.pinned.includes(result.id));
  const name = what ?? checkName(result.check);
  // The card opens at its head; the first button would take it to its end.
  const head = useRef<HTMLHeadingElement>(null);
  return (
    <Popover.Root>
      <Popover.Trigger className="figure" aria-label={words.why.open(name, typeof children === 'string' ? children : showResultValue(result, system) ?? words.verdict[result.verdict])}>{children}</Popover.Trigger>
      <Popover.Portal>
        <Popover.Positioner className="floating" side="left" align="start" sideOffset={8} collisionPadding={8}>
          <Popover.Popup className="why-card" initialFocus={head}>
            <Popover.Title ref={head} tabIndex={-1} className="card-title">{name}</Popover.Title>
            <Derivation result={result} system={system} />
            <CardTools result={result}>
              <button type="button" className="chip" aria-pressed={pinned} onClick={() => { if (pinned) uiStore.getState().unpin(result.id); else uiStore.getState().pin(result.id); }}>
                {pinned ? words.why.unpin : words.why.pin}
              </button>
              <Popover.Close className="chip">{words.why.close}</Popover.Close>
            </CardTools>
          </Popover.Popup>
        </Popover.Positioner>
      </Popover.Portal>
    </Popover.Root>
  );
}

/** Pinned cards stay beside the plan and follow every edit: the same result id, computed anew. */
export function PinnedCards() {
  const pinned = useUi((s) => s.pinned);
  const audit = useApp((s) => s.audit?.audit);
  const system = useApp((s) => s.document.facts.units);
  if (pinned.length === 0) return null;
  return (
    <section className="pinned" aria-label={words.why.pinnedLabel} tabIndex={-1}>
      {pinned.map((id) => {
        const result = audit?.results.find((r) => r.id === id);
        return (
          <article key={id} className="why-card is-pinned" aria-label={result ? checkName(result.check) : words.why.title}>
            <h3 className="card-title">{result ? checkName(result.check) : words.why.title}</h3>
            {result ? <Derivation result={result} system={system} /> : <p className="step-note">{words.why.gone}</p>}
            {result ? (
              <CardTools result={result}><button type="button" className="chip" onClick={() => { uiStore.getState().unpin(id); }}>{words.why.unpin}</button></CardTools>
            ) : <div className="card-tools"><button type="button" className="chip" onClick={() => { uiStore.getState().unpin(id); }}>{words.why.unpin}</button></div>}
          </article>
        );
      })}
    </section>
  );
}
