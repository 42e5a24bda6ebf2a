import type { Load, LoadData, LoadKind } from '../document/index';
import { readAmperes, readPhases, readPower, readVoltage } from './equipment-values';
import type { CellRead } from './equipment-values';

/** A table as rows of cells, as it came from a file or the clipboard. */
export type Cells = readonly (readonly string[])[];

export const LIST_FIELDS = ['tag', 'name', 'kind', 'horsepower', 'kilowatts', 'voltage', 'phases', 'amperes', 'mca', 'mocp'] as const;
export type ListField = (typeof LIST_FIELDS)[number];

/** Which field each column holds; null for a column that is left out. */
export interface ColumnMap { readonly head: number; readonly columns: readonly (ListField | null)[] }

export interface CellError { readonly column: number; readonly text: string; readonly what: string }
export interface ListRow {
  /** 0-based row of the table. */
  readonly row: number;
  readonly tag: string;
  readonly name: string;
  readonly data: LoadData;
  readonly errors: readonly CellError[];
  /** What was assumed because the list does not say it. */
  readonly assumed: readonly string[];
}

/** Heads as lists have them (common practice, no source). More telling patterns come first. */
const HEADS: readonly (readonly [ListField, RegExp])[] = [
  ['mca', /\b(mca|min(imum)?\.?\s*circuit\s*amp)/i], ['mocp', /\b(mocp|mop|max(imum)?\.?\s*(over\s*current|fuse|breaker|ocp))/i],
  ['voltage', /\bvolt|^v$|\bv\/ph/i], ['kilowatts', /\bkw\b|kilowatt/i], ['horsepower', /\bhp\b|horse\s*power|\bpower\b|\bmotor size\b/i], ['phases', /\bph(ase)?s?\b|^ø$|^φ$/i],
  ['amperes', /\bfla\b|\bflc\b|\brla\b|\bamps?\b|\bamperes?\b|\bcurrent\b|^a$/i],
  ['kind', /\b(kind|type|category)\b/i], ['tag', /\b(tag|mark|id|no\.?|number|item|unit|equip(ment)?\s*(no|id|tag)\.?)\b|^#$/i],
  ['name', /\b(name|description|desc|service|equipment|load|machine)\b/i],
];

/** Own heads, so that an exported list is mapped without guessing. */
const OWN_HEADS: Readonly<Record<ListField, string>> = {
  tag: 'Tag', name: 'Name', kind: 'Kind', horsepower: 'Horsepower', kilowatts: 'kW', voltage: 'Voltage', phases: 'Phases', amperes: 'Nameplate amperes', mca: 'MCA', mocp: 'MOCP',
};

const SEARCHED_ROWS = 15;

/**
 * Finds the row of heads and what each column holds; a guess to be shown and changed, never final.
 * @param cells  any table, also empty
 */
export function guessColumns(cells: Cells): ColumnMap {
  let best: ColumnMap = { head: -1, columns: (cells[0] ?? []).map(() => null) };
  let most = 1;
  cells.slice(0, SEARCHED_ROWS).forEach((row, head) => {
    const columns = mapHeads(row);
    const found = columns.filter((field) => field !== null).length;
    if (found > most) { most = found; best = { head, columns }; }
  });
  return best;
}

function mapHeads(row: readonly string[]): (ListField | null)[] {
  const taken = new Set<ListField>();
  const columns: (ListField | null)[] = row.map((text) => {
    const own = LIST_FIELDS.find((field) => OWN_HEADS[field].toLowerCase() === text.trim().toLowerCase() && !taken.has(field));
    if (own) taken.add(own);
    return own ?? null;
  });
  for (const [field, pattern] of HEADS) {
    if (taken.has(field)) continue;
    const at = row.findIndex((text, i) => columns[i] === null && text.length < 40 && pattern.test(text));
    if (at >= 0) { columns[at] = field; taken.add(field); }
  }
  return columns;
}

const KINDS: readonly LoadKind[] = [
  'motor', 'torque-motor', 'dc-motor', 'machine', 'hermetic', 'multimotor-cooling', 'heater', 'appliance', 'continuous', 'noncontinuous', 'transformer', 'welder',
  'drive', 'generator', 'pv', 'ev-supply', 'pool', 'fire-pump', 'crane', 'elevator', 'sign', 'irrigation', 'x-ray', 'induction-heating', 'service', 'feeder', 'other',
];

function readKind(text: string): CellRead<LoadKind> {
  const wanted = text.trim().toLowerCase().replace(/\s+/g, '-');
  const kind = KINDS.find((each) => each === wanted);
  return kind ? { ok: true, value: kind } : { ok: false, what: `“${text.trim()}” is not a kind of load; it is one of: ${KINDS.join(', ')}.` };
}

const wrapped = <T, K extends keyof LoadData>(read: CellRead<T>, key: K): CellRead<Partial<LoadData>> => (read.ok ? { ok: true, value: { [key]: read.value } } : read);

function readField(field: ListField, text: string): CellRead<Partial<LoadData>> {
  switch (field) {
    case 'kind': return wrapped(readKind(text), 'kind');
    case 'horsepower': return readPower(text, 'hp');
    case 'kilowatts': return readPower(text, 'kW');
    case 'voltage': return readVoltage(text);
    case 'phases': return wrapped(readPhases(text), 'phases');
    case 'amperes': return wrapped(readAmperes(text), 'nameplateAmperes');
    case 'mca': return wrapped(readAmperes(text), 'minimumCircuitAmpacity');
    case 'mocp': return wrapped(readAmperes(text), 'maximumOvercurrent');
    default: return { ok: true, value: {} };
  }
}

/** Cells that say "nothing here". */
const isBlank = (text: string): boolean => /^\s*(-+|–|—|n\/?a|tbd|\?)?\s*$/i.test(text);

/**
 * Reads the rows below the heads. A cell that cannot be read leaves its field out and is named; nothing is guessed
 * but the kind, and that is told.
 * @returns one row per line that has any text in a mapped column, in table order
 */
export function readEquipment(cells: Cells, { head, columns }: ColumnMap): ListRow[] {
  const rows: ListRow[] = [];
  const seen = new Map<string, number>();
  cells.forEach((cellRow, row) => {
    if (row <= head || cellRow.every((text, i) => (columns[i] ?? null) === null || isBlank(text))) return;
    const found = readRow(cellRow, columns, row);
    const key = found.tag.toLowerCase();
    const before = seen.get(key);
    const tagColumn = columns.indexOf('tag');
    const errors = [...found.errors];
    if (found.tag === '') errors.push({ column: tagColumn, text: '', what: 'The tag is missing.' });
    else if (before !== undefined) errors.push({ column: tagColumn, text: found.tag, what: `The tag ${found.tag} stands in row ${before + 1} too.` });
    else seen.set(key, row);
    rows.push({ ...found, errors });
  });
  return rows;
}

function readRow(cellRow: readonly string[], columns: readonly (ListField | null)[], row: number): ListRow {
  const errors: CellError[] = [];
  const data: Partial<LoadData> = {};
  const typed: Record<string, string> = {};
  let [tag, name] = ['', ''];
  columns.forEach((field, column) => {
    const text = (cellRow[column] ?? '').trim();
    if (field === null || isBlank(text)) return;
    if (field === 'tag') { tag = text; return; }
    if (field === 'name') { name = text; return; }
    const read = readField(field, text);
    if (!read.ok) { errors.push({ column, text, what: read.what }); return; }
    const clash = (Object.entries(read.value) as [keyof LoadData, unknown][]).find(([key, value]) => data[key] !== undefined && data[key] !== value);
    if (clash) { errors.push({ column, text, what: `“${text}” contradicts another column of this row.` }); return; }
    Object.assign(data, read.value);
    if (field === 'voltage' && text.includes('/')) typed[field] = text;
  });
  const assumed: string[] = [];
  let { kind } = data;
  if (!kind) {
    kind = data.minimumCircuitAmpacity !== undefined ? 'multimotor-cooling' : data.horsepower !== undefined ? 'motor' : 'other';
    assumed.push(`kind: ${kind}`);
  }
  return { row, tag, name, errors, assumed, data: { ...data, kind, ...(Object.keys(typed).length > 0 ? { typed } : {}) } };
}

const show = (value: number | undefined): string => (value === undefined ? '' : String(value));

/** A list with own heads; reading it again gives the same tags, names and data. */
export function writeEquipment(loads: readonly Pick<Load, 'tag' | 'name' | 'data'>[]): string[][] {
  const heads = LIST_FIELDS.map((field) => OWN_HEADS[field]);
  return [heads, ...loads.map(({ tag, name, data }) => [
    tag, name, data.kind, show(data.horsepower), show(data.kilowatts), data.typed?.['voltage'] ?? show(data.voltage), data.phases === 'dc' ? 'DC' : show(data.phases),
    show(data.nameplateAmperes), show(data.minimumCircuitAmpacity), show(data.maximumOvercurrent),
  ])];
}

export type ListChange =
  | { readonly kind: 'new'; readonly row: ListRow }
  | { readonly kind: 'same'; readonly row: ListRow; readonly id: string }
  | { readonly kind: 'changed'; readonly row: ListRow; readonly id: string; readonly fields: readonly { readonly field: string; readonly before: string; readonly after: string }[] }
  | { readonly kind: 'gone'; readonly id: string; readonly tag: string };

const COMPARED = ['kind', 'horsepower', 'kilowatts', 'voltage', 'phases', 'nameplateAmperes', 'minimumCircuitAmpacity', 'maximumOvercurrent'] as const;

/** What importing a list again would change, by tag. A field that the list leaves blank is kept as it is. */
export function compareEquipment(loads: readonly Pick<Load, 'id' | 'tag' | 'name' | 'data'>[], rows: readonly ListRow[]): ListChange[] {
  const byTag = new Map(loads.map((load) => [load.tag.toLowerCase(), load]));
  const usable = rows.filter((row) => row.tag !== '');
  const listed = new Set(usable.map((row) => row.tag.toLowerCase()));
  const changes = usable.map((row): ListChange => {
    const load = byTag.get(row.tag.toLowerCase());
    if (!load) return { kind: 'new', row };
    const fields = COMPARED.flatMap((field) => {
      const [before, after] = [load.data[field], row.data[field]];
      const guessed = field === 'kind' && row.assumed.length > 0;
      return after === undefined || after === before || guessed ? [] : [{ field, before: before === undefined ? '' : String(before), after: String(after) }];
    });
    if (row.name !== '' && row.name !== load.name) fields.unshift({ field: 'name' as never, before: load.name, after: row.name });
    return fields.length === 0 ? { kind: 'same', row, id: load.id } : { kind: 'changed', row, id: load.id, fields };
  });
  return [...changes, ...loads.filter((load) => !listed.has(load.tag.toLowerCase())).map(({ id, tag }): ListChange => ({ kind: 'gone', id, tag }))];
}
