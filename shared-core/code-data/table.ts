import { Gap } from './gap';
import { TABLES } from './tables/index';
import type { Citation, Confidence, Edition } from './result';

export type TableId = keyof typeof TABLES;
export type Key = number | string;
export type Cell = number | string | boolean | null | readonly string[];

/** One row: key and value cells by name, with the sources it was read in. */
export interface TableRow {
  readonly source: readonly string[];
  readonly confidence: Confidence;
  readonly note?: string;
  readonly [cell: string]: Cell | undefined;
}

/**
 * A table of a code or a catalogue. Keys are 'exact', or 'up-to': the first row whose bound is not less than the key
 * (rows ascend; a null bound is the open end).
 */
export interface Table {
  readonly id: TableId;
  readonly title: string;
  readonly unit: string;
  /** How the table is called in each edition. */
  readonly number: Readonly<Record<Edition, string>>;
  /** Editions whose printing was not read, with what that means. */
  readonly unverified: Readonly<Partial<Record<Edition, string>>>;
  readonly keys: Readonly<Record<string, 'exact' | 'up-to'>>;
  readonly columns: readonly string[];
  /** How many rows belong to it: a table that lost or gained one answers nothing. */
  readonly rowCount: number;
  readonly rows: readonly TableRow[];
}

/**
 * The table itself, e.g. for a list of choices.
 * @throws Gap when it is not whole: a missing row would silently make the next one the answer
 */
export function table(id: TableId): Table {
  const t = TABLES[id] as unknown as Table;
  if (t.rows.length !== t.rowCount) throw new Gap(`${t.title}: the table is not whole`);
  return t;
}

export type RowFound =
  | { readonly ok: true; readonly row: TableRow; readonly table: Table; readonly where: string }
  | { readonly ok: false; readonly reason: string };

/** Horsepower is typed as 1/3, 0.33 or 0.333: one row stands for all of these. */
const HORSEPOWER_TOLERANCE = 0.012;

function matches(t: Table, row: TableRow, name: string, key: Key): boolean {
  const cell = row[name];
  if (t.keys[name] === 'up-to') return cell === null || (typeof cell === 'number' && typeof key === 'number' && key <= cell);
  if (name === 'horsepower' && typeof cell === 'number' && typeof key === 'number') return Math.abs(cell / key - 1) < HORSEPOWER_TOLERANCE;
  return cell === key;
}

/**
 * The one row of a table for a set of keys.
 * @returns exactly one row with words for where it stands, or 'not covered' with the reason; a null cell is the caller's to refuse
 * @throws RangeError when the keys are not those of the table (programmer error)
 */
export function row(id: TableId, keys: Readonly<Record<string, Key>>): RowFound {
  const t = table(id);
  // Asked a hundred thousand times for a thousand devices: no lists are made before the row is known to be a new one.
  let asked = '';
  let count = 0;
  for (const name in t.keys) {
    const key = keys[name];
    if (key === undefined) throw misnamed(t, keys);
    asked += asked === '' ? `${name} ${key}` : `, ${name} ${key}`;
    count += 1;
  }
  for (const _ in keys) count -= 1;
  if (count !== 0) throw misnamed(t, keys);
  const known = answered.get(id)?.get(asked);
  if (known) return known;
  const names = Object.keys(t.keys);
  const found = t.rows.find((r) => names.every((name) => {
    const key = keys[name];
    return key !== undefined && !(typeof key === 'number' && !Number.isFinite(key)) && matches(t, r, name, key);
  }));
  if (!found) return { ok: false, reason: `${t.title}: not covered for ${asked}` };
  const answer: RowFound = { ok: true, row: found, table: t, where: `${t.title}, ${asked}` };
  const kept = answered.get(id) ?? new Map<string, RowFound>();
  if (kept.size < MOST_ANSWERED) kept.set(asked, answer);
  answered.set(id, kept);
  return answer;
}

/** Rows found so far: tables do not change, and the same few rows are asked for again and again. */
const answered = new Map<TableId, Map<string, RowFound>>();
/** Of one table. */
const MOST_ANSWERED = 2000;

const misnamed = (t: Table, keys: Readonly<Record<string, Key>>): RangeError => new RangeError(`${t.id} takes ${Object.keys(t.keys).join(', ')}, not ${Object.keys(keys).join(', ')}`);

const cited = new Map<string, Citation>();

/** How a table is cited in an edition, with what is not verified about it; the same citation is the same object. */
export function citeTable(t: Table, edition: Edition, confidence: Confidence, note?: string): Citation {
  const key = `${t.id}|${edition}|${confidence}|${note ?? ''}`;
  const known = cited.get(key);
  if (known) return known;
  const made = makeCitation(t, edition, confidence, note);
  cited.set(key, made);
  return made;
}

function makeCitation(t: Table, edition: Edition, confidence: Confidence, note?: string): Citation {
  const open = t.unverified[edition];
  const typical = confidence === 'typical' ? 'typical catalogue value; verify on the nameplate' : undefined;
  const notes = [note, typical, open].filter((n) => n !== undefined).join('; ');
  const code = /^(Table|Tables|Chapter|\d)/.test(t.number[edition]);
  return {
    text: code ? `NFPA 70 ${t.number[edition]}` : t.title, edition: code ? edition : '',
    confidence: confidence === 'confirmed' && open !== undefined ? 'memory' : confidence, ...(notes ? { note: notes } : {}),
  };
}
