import type { UnitSystem } from '../../shared-core/units/index';
import { words } from '../text/index';
import type { FieldSpec } from './data-fields';
import { ChoiceField, FlagField, NumberField, TextField } from './fields';

const YES_NO = [{ value: 'yes', label: words.field.yes }, { value: 'no', label: words.field.no }] as const;

/** A form drawn from a list of fields. Every change is committed at once: the results beside it follow. */
export function DataForm<T extends object>({ fields, data, system, typed, unset, onChange }: {
  fields: readonly FieldSpec<T>[]; data: T; system: UnitSystem; typed?: Readonly<Record<string, string>> | undefined; unset: string;
  onChange: (field: keyof T & string, label: string, value: unknown, typed?: string) => void;
}) {
  return (
    <div className="form">
      {fields.map((field) => {
        const value = data[field.key];
        const hint = typed?.[field.key];
        const typedHint = hint !== undefined ? words.chosen.typedAs(hint) : undefined;
        if (field.type === 'number') {
          return <NumberField key={field.key} label={field.label} unit={field.unit} system={system} value={value as number | undefined} positive={field.unit !== '°C'} whole={field.whole ?? false} {...(field.max === undefined ? {} : { max: field.max })}
            hint={typedHint} placeholder={unset} onCommit={(next, text) => { onChange(field.key, field.label, next, text); }} />;
        }
        if (field.type === 'choice') {
          return <ChoiceField key={field.key} label={field.label} choices={field.choices} value={value as string | number | undefined} unset={unset} onCommit={(next) => { onChange(field.key, field.label, next); }} />;
        }
        if (field.type === 'fact') {
          return <ChoiceField key={field.key} label={field.label} choices={YES_NO} value={value === undefined ? undefined : value === true ? 'yes' : 'no'} unset={unset} onCommit={(next) => { onChange(field.key, field.label, next === undefined ? undefined : next === 'yes'); }} />;
        }
        if (field.type === 'flag') {
          return <FlagField key={field.key} label={field.label} value={value === true} onCommit={(next) => { onChange(field.key, field.label, next ? true : undefined); }} />;
        }
        return <TextField key={field.key} label={field.label} value={(value as string | undefined) ?? ''} max={field.max} placeholder={unset} onCommit={(next) => { onChange(field.key, field.label, next === '' ? undefined : next); }} />;
      })}
    </div>
  );
}
