import { Combobox } from '@base-ui/react/combobox';
import { useMemo, useState } from 'react';
import { amendableValues, faultOfAmendment } from '../../shared-core/checks/index';
import type { Amendable } from '../../shared-core/checks/index';
import { newId, setFacts } from '../../shared-core/document/index';
import type { Override, ProjectFacts } from '../../shared-core/document/index';
import { feet, metresToFeet, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { store } from '../state/store';
import { words } from '../text/index';
import { ChoiceField, LengthField, NumberField, TextField } from './fields';
import { showQuantity } from './number-text';

type Value = Pick<Override, 'value' | 'unit'>;
const INCHES_PER_FOOT = 12;
const YES_NO = [{ value: 'yes' as const, label: words.field.yes }, { value: 'no' as const, label: words.field.no }];

function setOverrides(what: string, change: (overrides: readonly Override[]) => readonly Override[]): void {
  const { document, commit } = store.getState();
  commit(setFacts(document, words.edits.fact(words.facts.amendmentEdit(what)), { ...document.facts, overrides: change(document.facts.overrides) }));
}

const printedWords = (known: Amendable, system: UnitSystem): string => {
  const { printed, section } = known;
  if (printed === null) return words.facts.noFigure(section);
  return words.facts.printed(typeof printed === 'boolean' ? (printed ? words.field.yes : words.field.no) : known.kind === 'length' ? showLength(feet(printed), system) : showQuantity(printed, known.unit), section);
};

/** A length of an amendment in feet; undefined for what is none. */
function lengthOf({ value, unit }: Value): ReturnType<typeof feet> | undefined {
  if (typeof value !== 'number') return undefined;
  return unit === 'ft' ? feet(value) : unit === 'in' ? feet(value / INCHES_PER_FOOT) : unit === 'm' ? metresToFeet(value) : undefined;
}

/** The value of an amendment as its rule takes it: a length, a number in the rule's unit, or yes and no. */
function ValueField({ known, current, system, onCommit }: { known: Amendable; current: Value | null; system: UnitSystem; onCommit: (next: Value) => void }) {
  const label = words.facts.overrideValue;
  const hint = printedWords(known, system);
  if (known.kind === 'length') return <LengthField label={label} value={current ? lengthOf(current) : undefined} system={system} zero={false} hint={hint} onCommit={(value) => { onCommit({ value, unit: 'ft' }); }} />;
  if (known.kind === 'yes-no') return <ChoiceField label={label} value={current?.value === 'yes' || current?.value === 'no' ? current.value : undefined} choices={YES_NO} unset={words.field.notGiven} hint={hint} onCommit={(value) => { if (value) onCommit({ value, unit: '' }); }} />;
  return <NumberField label={label} value={typeof current?.value === 'number' ? current.value : undefined} unit={known.unit} system={system} positive hint={hint} onCommit={(value) => { if (value !== undefined) onCommit({ value, unit: known.unit }); }} />;
}

function Recorded({ override, known, fault, system }: { override: Override; known: Amendable | undefined; fault: string | null; system: UnitSystem }) {
  const name = known?.name ?? override.key;
  const set = (next: Partial<Override>): void => { setOverrides(name, (all) => all.map((o) => (o.id === override.id ? { ...o, ...next } : o))); };
  return (
    <fieldset className="system amendment">
      <legend>{name}</legend>
      {fault !== null && <p className="asks" role="alert">{words.facts.amendmentFault(fault)}</p>}
      <div className="form">
        {known ? <ValueField known={known} current={override} system={system} onCommit={set} /> : <p className="field">{`${override.value} ${override.unit}`.trim()}</p>}
        <TextField label={words.facts.overrideAuthority} value={override.authority} required onCommit={(authority) => { set({ authority }); }} />
        <TextField label={words.facts.overrideReason} value={override.reason} required wide="two" onCommit={(reason) => { set({ reason }); }} />
        <div className="actions"><button type="button" className="chip is-careful" onClick={() => { setOverrides(name, (all) => all.filter((o) => o.id !== override.id)); }}>{words.facts.removeOverride}</button></div>
      </div>
    </fieldset>
  );
}

/** A new amendment is recorded as a whole: what it replaces, by what, on whose authority and why. */
function NewAmendment({ values, system, onClose }: { values: readonly Amendable[]; system: UnitSystem; onClose: () => void }) {
  const [known, setKnown] = useState<Amendable | null>(null);
  const [value, setValue] = useState<Value | null>(null);
  const [authority, setAuthority] = useState('');
  const [reason, setReason] = useState('');
  const [asked, setAsked] = useState(false);
  const items = useMemo(() => values.map((v) => ({ value: v.key, label: `${v.name} (${v.section})` })), [values]);
  const lacks = [...(known ? [] : [words.facts.overrideKey]), ...(value ? [] : [words.facts.overrideValue]), ...(authority === '' ? [words.facts.overrideAuthority] : []), ...(reason === '' ? [words.facts.overrideReason] : [])];
  const record = (): void => {
    if (!known || !value || lacks.length > 0) { setAsked(true); return; }
    setOverrides(known.name, (all) => [...all, { id: newId('override'), key: known.key, ...value, reason, authority }]);
    onClose();
  };
  return (
    <fieldset className="system amendment">
      <legend>{words.facts.newAmendment}</legend>
      <div className="form">
        <div className="field is-wide">
          <label htmlFor="amended-value">{words.facts.overrideKey}</label>
          <Combobox.Root items={items} onValueChange={(next: { value: string } | null) => { setKnown(values.find((v) => v.key === next?.value) ?? null); setValue(null); }}>
            <span className="field-box"><Combobox.Input id="amended-value" autoFocus placeholder={words.facts.findValue} /></span>
            <Combobox.Portal>
              <Combobox.Positioner className="floating" sideOffset={2}>
                <Combobox.Popup className="choice-popup">
                  <Combobox.Empty className="choice-empty">{words.facts.noSuchValue}</Combobox.Empty>
                  <Combobox.List>{(item: { value: string; label: string }) => <Combobox.Item key={item.value} value={item} className="choice-item">{item.label}</Combobox.Item>}</Combobox.List>
                </Combobox.Popup>
              </Combobox.Positioner>
            </Combobox.Portal>
          </Combobox.Root>
        </div>
        {known && <ValueField key={known.key} known={known} current={value} system={system} onCommit={setValue} />}
        <TextField label={words.facts.overrideAuthority} value={authority} required placeholder={words.facts.authorityExample} onCommit={setAuthority} />
        <TextField label={words.facts.overrideReason} value={reason} required wide="two" placeholder={words.facts.reasonExample} onCommit={setReason} />
      </div>
      {asked && lacks.length > 0 && <p className="asks" role="alert">{words.facts.amendmentLacks(lacks)}</p>}
      <div className="actions">
        <button type="button" className="chip is-main" onClick={record}>{words.facts.recordAmendment}</button>
        <button type="button" className="chip" onClick={onClose}>{words.exception.cancel}</button>
      </div>
    </fieldset>
  );
}

/** Local amendments: each replaces one value of a rule, chosen from those the program reads, with its reason and authority. */
export function AmendmentsForm({ facts }: { facts: ProjectFacts }) {
  const [adding, setAdding] = useState(false);
  const values = useMemo(() => amendableValues(facts), [facts]);
  const free = useMemo(() => values.filter((v) => !facts.overrides.some((o) => o.key === v.key)), [values, facts.overrides]);
  return (
    <>
      {facts.overrides.map((override, at) => {
        const known = values.find((v) => v.key === override.key);
        const twice = facts.overrides.findIndex((o) => o.key === override.key) < at;
        return <Recorded key={override.id} override={override} known={known} fault={twice ? words.facts.amendedTwice : faultOfAmendment(override, known)} system={facts.units} />;
      })}
      {adding ? <NewAmendment values={free} system={facts.units} onClose={() => { setAdding(false); }} /> : <button type="button" className="chip" onClick={() => { setAdding(true); }}>{words.facts.addOverride}</button>}
    </>
  );
}
