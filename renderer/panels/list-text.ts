import { entitiesOf } from '../../shared-core/document/index';
import type { Document, LoadKind } from '../../shared-core/document/index';
import { DATA_KEYS } from '../../shared-core/exchange/index';
import type { FieldChange, ListChange, ListField, ListRow } from '../../shared-core/exchange/index';
import { listWords, loadKindNames } from '../text/index';
import { showQuantity } from './number-text';

type Value = string | number | undefined;
const UNITS: Readonly<Partial<Record<FieldChange['field'], string>>> = {
  horsepower: 'hp', kilowatts: 'kW', kva: 'kVA', amperes: 'A', ratedAmperes: 'A', lockedRotorAmperes: 'A', mca: 'A', mocp: 'A', serviceFactor: '',
};

/** A value of the list as the trade writes it; '' where none is given. */
export function showField(field: FieldChange['field'], value: Value, document: Pick<Document, 'facts'>): string {
  if (value === undefined) return '';
  if (field === 'kind') return loadKindNames[value as LoadKind];
  if (field === 'system') return document.facts.systems.find((s) => s.id === value)?.name ?? String(value);
  if (field === 'phases') return value === 'dc' ? 'DC' : `${value} ph`;
  if (field === 'voltage') return `${value} V`;
  const unit = UNITS[field];
  return unit === undefined || typeof value !== 'number' ? String(value) : showQuantity(value, unit);
}

/** Old and new in trade notation; written out in full where rounding would make them look alike. */
export function showChange({ field, before, after }: FieldChange, document: Pick<Document, 'facts'>): { readonly before: string; readonly after: string } {
  const [old, fresh] = [showField(field, before, document), showField(field, after, document)];
  const alike = old === fresh && before !== after;
  return { before: alike ? String(before) : old === '' ? listWords.none : old, after: alike ? String(after) : fresh === '' ? listWords.none : fresh };
}

/** What was read from the cell of this field, in trade notation; a size in the other unit, or phases beside the volts, show where they were written. */
export function showRead({ tag, name, data, assumed }: ListRow, field: ListField, columns: readonly (ListField | null)[], document: Pick<Document, 'facts'>): string {
  if (field === 'tag') return tag;
  if (field === 'name') return name;
  if (field === 'kind' && assumed.length > 0) return '';
  const own = showField(field, data[DATA_KEYS[field]], document);
  if (field === 'horsepower' && own === '' && !columns.includes('kilowatts')) return showField('kilowatts', data.kilowatts, document);
  if (field === 'kilowatts' && own === '' && !columns.includes('horsepower')) return showField('horsepower', data.horsepower, document);
  if (field === 'voltage' && !columns.includes('phases') && data.phases !== undefined) return [own, showField('phases', data.phases, document)].filter((part) => part !== '').join(', ');
  return own;
}

/** The notes below a row: its faults and what becomes of them, and changes that no column shows. */
export function notesOf(change: ListChange, columns: readonly (ListField | null)[], document: Document): { readonly faults: readonly string[]; readonly hints: readonly string[] } {
  if (change.kind === 'gone') {
    const load = document.entities[change.id];
    const serving = entitiesOf(document, 'disconnect').flatMap((e) => (e.serves.includes(change.id) ? [e.tag] : []));
    const uses = [load?.kind === 'load' && load.at !== null ? listWords.placed : '', serving.length > 0 ? listWords.servedBy(serving) : ''].filter((part) => part !== '');
    return { faults: [], hints: [listWords.remove(uses.join(', '))] };
  }
  const { row } = change;
  const after = change.kind === 'new' ? listWords.keptOut : change.kind === 'changed' ? listWords.keptAsIs : '';
  const faults = row.errors.map((error) => [listWords.cellFault(listWords.fields[error.field], error.what), error.field === 'tag' ? (row.tag !== '' && change.kind !== 'stopped' ? listWords.oneOfTwins : '') : after].filter((part) => part !== '').join(' '));
  if (change.kind === 'stopped' && !row.errors.some((error) => error.what === change.what)) faults.unshift(change.what);
  const unseen = change.kind === 'changed' ? change.fields.filter(({ field }) => field === 'system' || !columns.includes(field)) : [];
  return { faults, hints: unseen.map((field) => { const shown = showChange(field, document); return listWords.fieldChange(listWords.fields[field.field], shown.before, shown.after); }) };
}
