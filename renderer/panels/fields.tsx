import { Checkbox } from '@base-ui/react/checkbox';
import { Select } from '@base-ui/react/select';
import { useId, useState } from 'react';
import type { KeyboardEvent } from 'react';
import { readLength, showLength } from '../../shared-core/units/index';
import type { Feet, UnitSystem } from '../../shared-core/units/index';
import { words } from '../text/index';
import { readNumber, showNumber } from './number-text';

/** How much of a form's width a field takes: two columns, or all. */
type Wide = 'two' | 'wide' | undefined;
type Choice<V> = { readonly label: string; readonly value: V };
export type Read<V> = { readonly ok: true; readonly value: V } | { readonly ok: false; readonly reason: string; readonly choices?: readonly Choice<V>[] };

/**
 * The base of every typed field: shows the value, takes free text, commits on Enter or on leaving, reverts on Escape.
 * What cannot be read stays as typed with the reason beneath; what can be read in two ways is asked back.
 */
export function TypedField<V>({ label, shown, read, onCommit, onClear, hint, unit, placeholder, wide }: {
  label: string; shown: string; read: (text: string) => Read<V>; onCommit: (value: V, typed: string) => void; onClear?: (() => void) | undefined;
  hint?: string | undefined; unit?: string | undefined; placeholder?: string | undefined; wide?: Wide;
}) {
  const id = useId();
  const [draft, setDraft] = useState<string | null>(null);
  const [fault, setFault] = useState<Extract<Read<V>, { ok: false }> | null>(null);
  const settle = (): void => { setDraft(null); setFault(null); };
  const finish = (): void => {
    if (draft === null || draft.trim() === shown.trim()) { settle(); return; }
    if (draft.trim() === '' && onClear) { settle(); onClear(); return; }
    const outcome = read(draft);
    if (!outcome.ok) { setFault(outcome); return; }
    settle();
    onCommit(outcome.value, draft.trim());
  };
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    if (event.key === 'Enter') { event.preventDefault(); finish(); }
    else if (event.key === 'Escape' && draft !== null) { event.preventDefault(); event.stopPropagation(); settle(); }
  };
  const described = fault ? `${id}-fault` : hint !== undefined ? `${id}-hint` : undefined;
  return (
    <div className={wide === undefined ? 'field' : `field is-${wide}`} data-fault={fault ? '' : undefined}>
      <label htmlFor={id}>{label}</label>
      <span className="field-box">
        <input id={id} type="text" autoComplete="off" spellCheck={false} value={draft ?? shown} placeholder={placeholder} aria-invalid={fault !== null} aria-describedby={described}
          onChange={(event) => { setDraft(event.target.value); setFault(null); }} onBlur={finish} onKeyDown={onKeyDown} />
        {unit !== undefined && unit !== '' && <span className="field-unit" aria-hidden="true">{unit}</span>}
      </span>
      {fault && (
        <p id={`${id}-fault`} className="field-fault" role="alert">
          {fault.reason}
          {fault.choices?.map((choice) => (
            <button key={choice.label} type="button" className="chip" onMouseDown={(event) => { event.preventDefault(); }}
              onClick={() => { const typed = draft ?? ''; settle(); onCommit(choice.value, typed); }}>{choice.label}</button>
          ))}
        </p>
      )}
      {!fault && hint !== undefined && <p id={`${id}-hint`} className="field-hint">{hint}</p>}
    </div>
  );
}

const limit = (n: number, min: number | undefined, max: number | undefined, unit: string): string | null => {
  const over = min !== undefined && n < min ? words.field.atLeast : max !== undefined && n > max ? words.field.atMost : null;
  return over ? over(`${showNumber(over === words.field.atLeast ? min ?? 0 : max ?? 0, unit)} ${unit}`.trim()) : null;
};

export function NumberField({ label, value, unit, system, onCommit, optional = true, min, max, positive = false, whole = false, hint, placeholder }: {
  label: string; value: number | undefined; unit: string; system: UnitSystem; onCommit: (value: number | undefined, typed: string) => void;
  optional?: boolean; min?: number; max?: number; positive?: boolean; whole?: boolean; hint?: string | undefined; placeholder?: string | undefined;
}) {
  const read = (text: string): Read<number> => {
    const outcome = readNumber(text, unit, system);
    if (!outcome.ok) return outcome;
    if (positive && !(outcome.value > 0)) return { ok: false, reason: words.field.aboveZero };
    if (whole && !Number.isInteger(outcome.value)) return { ok: false, reason: words.field.whole };
    const fault = limit(outcome.value, min, max, unit);
    return fault === null ? outcome : { ok: false, reason: fault };
  };
  return <TypedField label={label} shown={value === undefined ? '' : showNumber(value, unit)} unit={unit} read={read} hint={hint} placeholder={placeholder ?? (optional ? words.field.notGiven : undefined)}
    onCommit={onCommit} onClear={optional ? () => { onCommit(undefined, ''); } : undefined} />;
}

export function LengthField({ label, value, system, onCommit, onClear, negative = false, hint, zero = true, placeholder }: {
  label: string; value: Feet | undefined; system: UnitSystem; onCommit: (value: Feet, typed: string) => void; onClear?: () => void;
  negative?: boolean; hint?: string | undefined; zero?: boolean; placeholder?: string | undefined;
}) {
  const read = (text: string): Read<Feet> => {
    const outcome = readLength(text, system, { signed: negative });
    if (!outcome.ok) return { ok: false, reason: outcome.reason, choices: outcome.choices.map((c) => ({ label: c.label, value: c.length })) };
    if (!zero && !(outcome.length > 0)) return { ok: false, reason: words.field.aboveZero };
    return { ok: true, value: outcome.length };
  };
  return <TypedField label={label} shown={value === undefined ? '' : showLength(value, system)} read={read} onCommit={onCommit} onClear={onClear} hint={hint} placeholder={placeholder} />;
}

export function TextField({ label, value, onCommit, required = false, wide, hint, placeholder, max = 2000 }: {
  label: string; value: string; onCommit: (value: string) => void; required?: boolean; wide?: Wide; hint?: string; placeholder?: string; max?: number;
}) {
  const read = (text: string): Read<string> => {
    const value = text.trim();
    if (required && value === '') return { ok: false, reason: words.field.required };
    return value.length > max ? { ok: false, reason: words.field.tooLong(max) } : { ok: true, value };
  };
  return <TypedField label={label} shown={value} read={read} onCommit={onCommit} onClear={required ? undefined : () => { onCommit(''); }} wide={wide} hint={hint} placeholder={placeholder} />;
}

/** A choice of few words; 'unset' adds the empty choice with its own words ('to be computed'). */
export function ChoiceField<V extends string | number>({ label, value, choices, onCommit, unset, hint }: {
  label: string; value: V | undefined; choices: readonly Choice<V>[]; onCommit: (value: V | undefined) => void; unset?: string | undefined; hint?: string | undefined;
}) {
  const id = useId();
  const items: readonly Choice<V | null>[] = unset === undefined ? choices : [{ label: unset, value: null }, ...choices];
  return (
    <div className="field">
      <span className="field-label" id={`${id}-label`}>{label}</span>
      <Select.Root items={items} value={value ?? null} onValueChange={(next) => { onCommit(next ?? undefined); }}>
        <Select.Trigger className="choice" aria-labelledby={`${id}-label ${id}-value`} data-unset={value === undefined ? '' : undefined}>
          <Select.Value id={`${id}-value`} />
          <Select.Icon className="choice-icon"><svg width="9" height="6" viewBox="0 0 9 6" aria-hidden="true"><path d="M.8.9 4.5 4.7 8.2.9" /></svg></Select.Icon>
        </Select.Trigger>
        <Select.Portal>
          <Select.Positioner className="floating" sideOffset={2} alignItemWithTrigger={false}>
            <Select.Popup className="choice-popup">
              <Select.List>
                {items.map((item) => (
                  <Select.Item key={String(item.value)} value={item.value} className="choice-item">
                    <Select.ItemText>{item.label}</Select.ItemText>
                  </Select.Item>
                ))}
              </Select.List>
            </Select.Popup>
          </Select.Positioner>
        </Select.Portal>
      </Select.Root>
      {hint !== undefined && <p className="field-hint">{hint}</p>}
    </div>
  );
}

export function FlagField({ label, value, onCommit, hint }: { label: string; value: boolean; onCommit: (value: boolean) => void; hint?: string | undefined }) {
  return (
    <label className="flag">
      <Checkbox.Root className="flag-box" checked={value} onCheckedChange={onCommit}>
        <Checkbox.Indicator className="flag-tick"><svg width="10" height="8" viewBox="0 0 10 8" aria-hidden="true"><path d="M1 4.2 3.6 6.8 9 1" /></svg></Checkbox.Indicator>
      </Checkbox.Root>
      <span>{label}{hint !== undefined && <small>{hint}</small>}</span>
    </label>
  );
}
