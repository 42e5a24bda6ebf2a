import type { Load, LoadData, LoadKind } from '../document/index';
import { readAmperes, readCodeLetter, readKva, readPhases, readPower, readServiceFactor, readVoltage } from './equipment-values';
import type { CellRead } from './equipment-values';

/** A table as rows of cells, as it came from a file or the clipboard. */
export type Cells = readonly (readonly string[])[];

export const LIST_FIELDS = ['tag', 'name', 'kind', 'horsepower', 'kilowatts', 'kva', 'voltage', 'phases', 'amperes', 'ratedAmperes', 'lockedRotorAmperes', 'mca', 'mocp', 'codeLetter', 'serviceFactor'] as const;
export type ListField = (typeof LIST_FIELDS)[number];

/** Where a field of the list stands in a load's data. */
export const DATA_KEYS = {
  kind: 'kind', horsepower: 'horsepower', kilowatts: 'kilowatts', kva: 'kva', voltage: 'voltage', phases: 'phases', amperes: 'nameplateAmperes', ratedAmperes: 'ratedLoadAmperes',
  lockedRotorAmperes: 'lockedRotorAmperes', mca: 'minimumCircuitAmpacity', mocp: 'maximumOvercurrent', codeLetter: 'codeLetter', serviceFactor: 'serviceFactor',
} as const satisfies Readonly<Record<Exclude<ListField, 'tag' | 'name'>, keyof LoadData>>;
export const DATA_FIELDS = Object.keys(DATA_KEYS) as (keyof typeof DATA_KEYS)[];

/** Which field each column holds; null for a column that is left out. */
export interface ColumnMap { readonly head: number; readonly columns: readonly (ListField | null)[] }

/** A cell that was not taken over as it stands: which column (-1 where the table has none for it), and why. */
export interface CellError { readonly column: number; readonly field: ListField; readonly text: string; readonly what: string }
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
  ['lockedRotorAmperes', /\blra\b|locked.?rotor/i], ['ratedAmperes', /\brla\b|rated.?load/i], ['serviceFactor', /\bs\.?f\.?(?!\w)|service\s*factor/i], ['codeLetter', /\bcode\s*letter\b|^code$|^kva\s*code$/i],
  ['voltage', /\bvolt|^v$|\bv\/ph/i], ['kilowatts', /\bkw\b|kilowatt/i], ['kva', /\bkva\b/i], ['horsepower', /\bhp\b|horse\s*power|\bpower\b|\bmotor size\b/i], ['phases', /\bph(ase)?s?\b|^ø$|^φ$/i],
  ['amperes', /\bfla\b|\bflc\b|\bamps?\b|\bamperes?\b|\bcurrent\b|^a$/i],
  ['kind', /\b(kind|type|category)\b/i], ['tag', /\b(tag|mark|id|no\.?|number|item|unit|equip(ment)?\s*(no|id|tag)\.?)\b|^#$/i],
  ['name', /\b(name|description|desc|service|equipment|load|machine)\b/i],
];

/** Own heads, so that an exported list is mapped without guessing. */
export const OWN_HEADS: Readonly<Record<ListField, string>> = {
  tag: 'Tag', name: 'Name', kind: 'Kind', horsepower: 'Horsepower', kilowatts: 'kW', kva: 'kVA', voltage: 'Voltage', phases: 'Phases', amperes: 'Nameplate amperes', ratedAmperes: 'RLA',
  lockedRotorAmperes: 'LRA', mca: 'MCA', mocp: 'MOCP', codeLetter: 'Code letter', serviceFactor: 'Service factor',
};

const SEARCHED_ROWS = 15;

/** How many columns the widest row has. */
export const columnCount = (cells: Cells): number => cells.reduce((most, row) => Math.max(most, row.length), 0);

/**
 * Finds the row of heads and what each column holds; a guess to be shown and changed, never final.
 * @param cells  any table, also empty
 * @returns a column for each of the widest row; with no heads to go by, head -1 and every column null
 */
export function guessColumns(cells: Cells): ColumnMap {
  let best: ColumnMap = columnsBelow(cells, -1);
  let most = 1;
  cells.slice(0, SEARCHED_ROWS).forEach((_, head) => {
    const map = columnsBelow(cells, head);
    const found = map.columns.filter((field) => field !== null).length;
    if (found > most) { most = found; best = map; }
  });
  return best;
}

/**
 * What each column holds when this row is taken for the heads.
 * @param head  0-based row; -1 when the table has none, and then nothing is guessed
 */
export function columnsBelow(cells: Cells, head: number): ColumnMap {
  const columns = mapHeads(cells[head] ?? []);
  return { head, columns: Array.from({ length: columnCount(cells) }, (_, i) => columns[i] ?? null) };
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
    case 'kva': return wrapped(readKva(text), 'kva');
    case 'codeLetter': return wrapped(readCodeLetter(text), 'codeLetter');
    case 'serviceFactor': return wrapped(readServiceFactor(text), 'serviceFactor');
    case 'amperes': case 'ratedAmperes': case 'lockedRotorAmperes': case 'mca': case 'mocp': return wrapped(readAmperes(text), DATA_KEYS[field]);
    default: return { ok: true, value: {} };
  }
}

/** Cells that say "nothing here". */
const isBlank = (text: string): boolean => /^\s*(-+|–|—|n\/?a|tbd|\?)?\s*$/i.test(text);

/** What a spreadsheet shows where a formula failed (ECMA-376 part 1, 18.17.3). */
const SHEET_ERROR = /^#(NULL!|DIV\/0!|VALUE!|REF!|NAME\?|NUM!|N\/A|GETTING_DATA)$/i;

/** How tags are told apart: letter case and the amount of space between words do not count. */
export const tagKey = (tag: string): string => plainText(tag).toLowerCase();
/** Text on one line: runs of space, line ends and control signs become one space. */
export const plainText = (text: string): string => text.replace(/[\s\u0000-\u001f\u007f]+/g, ' ').trim();

/** The project keeps no longer tags. */
export const LONGEST_TAG = 40;

/**
 * Reads the rows below the heads. A cell that cannot be read leaves its field out and is named; nothing is guessed
 * but the kind, and that is told. Rows of one tag are all named.
 * @returns one row per line that has any text in a mapped column, in table order
 */
export function readEquipment(cells: Cells, { head, columns }: ColumnMap): ListRow[] {
  const tagColumn = columns.indexOf('tag');
  const read: ListRow[] = [];
  for (let row = head + 1; row < cells.length; row += 1) { const one = readOnce(cells[row] ?? [], columns, row); if (one) read.push(one); }
  const byTag = new Map<string, number[]>();
  for (const { tag, row } of read) byTag.set(tagKey(tag), [...(byTag.get(tagKey(tag)) ?? []), row]);
  const about = (text: string, what: string): CellError => ({ column: tagColumn, field: 'tag', text, what });
  return read.map((row) => {
    const twins = (byTag.get(tagKey(row.tag)) ?? []).filter((each) => each !== row.row).map((each) => each + 1);
    const wrong = row.tag === '' ? 'The tag is missing.'
      : row.tag.length > LONGEST_TAG ? `The tag is longer than ${LONGEST_TAG} signs.`
        : twins.length > 0 ? `The tag ${row.tag} stands in ${twins.length === 1 ? 'row' : 'rows'} ${twins.slice(0, 3).join(', ')}${twins.length > 3 ? ` and ${twins.length - 3} more` : ''} too.` : null;
    return wrong === null ? row : { ...row, errors: [about(row.tag, wrong), ...row.errors] };
  });
}

/** What a row of cells was read as, for the columns it was read by: one mended cell, or a list read ahead, reads nothing twice. */
const known = new WeakMap<readonly string[], { readonly columns: readonly (ListField | null)[]; readonly row: number; readonly read: ListRow | null }>();

function readOnce(cellRow: readonly string[], columns: readonly (ListField | null)[], row: number): ListRow | null {
  const before = known.get(cellRow);
  if (before?.row === row && (before.columns === columns || before.columns.join() === columns.join())) return before.read;
  const read = cellRow.every((text, i) => (columns[i] ?? null) === null || isBlank(text)) ? null : readRow(cellRow, columns, row);
  known.set(cellRow, { columns, row, read });
  return read;
}

/** Reads some rows ahead of readEquipment, which then finds them read: a long list is read in slices that leave the window free. */
export function readAhead(cells: Cells, { head, columns }: ColumnMap, from: number, to: number): void {
  for (let row = Math.max(from, head + 1); row < Math.min(to, cells.length); row += 1) readOnce(cells[row] ?? [], columns, row);
}

function readRow(cellRow: readonly string[], columns: readonly (ListField | null)[], row: number): ListRow {
  const errors: CellError[] = [];
  const data: Partial<LoadData> = {};
  const typed: Record<string, string> = {};
  let [tag, name] = ['', ''];
  columns.forEach((field, column) => {
    const text = plainText(cellRow[column] ?? '');
    if (field === null || text === '') return;
    if (SHEET_ERROR.test(text)) { errors.push({ column, field, text, what: `The spreadsheet shows the error ${text} here.` }); return; }
    // A tag may be any text; what means "nothing here" elsewhere shows up as a tag that stands twice.
    if (field === 'tag') { tag = text; return; }
    if (isBlank(text)) return;
    if (field === 'name') { name = text; return; }
    const read = readField(field, text);
    if (!read.ok) { errors.push({ column, field, text, what: read.what }); return; }
    const clash = (Object.entries(read.value) as [keyof LoadData, unknown][]).find(([key, value]) => data[key] !== undefined && data[key] !== value);
    if (clash) { errors.push({ column, field, text, what: `“${text}” contradicts another column of this row.` }); return; }
    Object.assign(data, read.value);
    if (field === 'voltage' && text.includes('/')) typed[field] = text;
  });
  const assumed: string[] = [];
  let { kind } = data;
  if (!kind) {
    kind = data.minimumCircuitAmpacity !== undefined ? 'multimotor-cooling' : data.ratedLoadAmperes !== undefined ? 'hermetic' : data.horsepower !== undefined ? 'motor' : 'other';
    assumed.push(`kind: ${kind}`);
  }
  return { row, tag, name, errors, assumed, data: { ...data, kind, ...(Object.keys(typed).length > 0 ? { typed } : {}) } };
}

/** The volts as they were typed ('480/277'), as long as that still says the same. */
function voltageText({ voltage, phases, typed }: LoadData): string {
  const hint = typed?.['voltage'];
  const read = hint === undefined ? null : readVoltage(hint);
  const holds = read?.ok === true && read.value.voltage === voltage && (read.value.phases === undefined || read.value.phases === phases);
  return holds && hint !== undefined ? plainText(hint) : voltage === undefined ? '' : String(voltage);
}

/** A list with own heads; reading it again gives the same tags, names and data. */
export function writeEquipment(loads: readonly Pick<Load, 'tag' | 'name' | 'data'>[]): string[][] {
  const cell = (data: LoadData, field: keyof typeof DATA_KEYS): string => {
    if (field === 'voltage') return voltageText(data);
    const value = data[DATA_KEYS[field]];
    return value === undefined ? '' : value === 'dc' ? 'DC' : String(value);
  };
  return [LIST_FIELDS.map((field) => OWN_HEADS[field]), ...loads.map(({ tag, name, data }) => [plainText(tag), plainText(name), ...DATA_FIELDS.map((field) => cell(data, field))])];
}
