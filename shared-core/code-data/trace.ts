import { evaluate } from './formula';
import { Gap, OutOfReach } from './gap';
import { inFeet, isLengthUnit } from './tables/placement-types';
import { RULES } from './tables/rules';
import type { Rule, RuleKey, RuleValue } from './tables/rules';
import { citeTable, row, table } from './table';
import type { Key, TableId, TableRow } from './table';
import type { Citation, Confidence, Edition, Input, Origin, Result, Step, Subject, Verdict } from './result';

/** Edition and local amendments that a derivation rests on. */
export interface Basis {
  readonly edition: Edition;
  /** An amendment in another unit than its rule is no amendment of it: the answer is open. */
  readonly overrides?: readonly { readonly key: string; readonly value: number | string; readonly unit?: string; readonly reason: string; readonly authority: string }[];
}

/** A number with the symbol it has in formulas and where it came from. */
export interface Figure extends Input { readonly value: number; readonly citation?: Citation }

const TRUST: readonly Confidence[] = ['confirmed', 'own-reading', 'typical', 'memory', 'disputed'];
function leastTrusted(figures: readonly Figure[], ...more: readonly (Confidence | undefined)[]): Confidence {
  let worst = 0;
  for (const f of figures) if (f.confidence !== undefined) worst = Math.max(worst, TRUST.indexOf(f.confidence));
  for (const c of more) if (c !== undefined) worst = Math.max(worst, TRUST.indexOf(c));
  return TRUST[worst] ?? 'disputed';
}

/** Comparisons of computed amperes ignore the last bits of floating point, so that 115 % of 40 A is not more than 46 A. */
export const atLeast = (value: number, bound: number): boolean => value >= bound - Math.abs(bound) * 1e-9;
export const atMost = (value: number, bound: number): boolean => value <= bound + Math.abs(bound) * 1e-9;

function shown({ name, value, unit, from, source, confidence }: Figure): Input {
  if (source === undefined) return confidence === undefined ? { name, value, unit, from } : { name, value, unit, from, confidence };
  return confidence === undefined ? { name, value, unit, from, source } : { name, value, unit, from, source, confidence };
}

/** A figure that was given, not worked out. */
export function given(name: string, value: number, unit: string, from: Origin, source?: string): Figure {
  return { name, value, unit, from, ...(source === undefined ? {} : { source }) };
}

interface RuleReading { readonly value: RuleValue; readonly citation: Citation; readonly from: Origin; readonly rule: Rule }
const readings = new Map<Edition, Map<RuleKey, RuleReading>>();

/** What a rule says in an edition, with a local amendment applied. */
export function ruleValue(key: RuleKey, basis: Basis): RuleReading {
  if (basis.overrides?.some((o) => o.key === key)) return readRule(key, basis);
  const read = readings.get(basis.edition) ?? new Map<RuleKey, RuleReading>();
  const known = read.get(key);
  if (known && known.rule === RULES[key]) return known;
  const made = readRule(key, basis);
  read.set(key, made);
  readings.set(basis.edition, read);
  return made;
}

/** What a person may write for a rule that holds or does not. */
const YES_NO: readonly (number | string)[] = ['yes', 'true', 1, 'no', 'false', 0];

function readRule(key: RuleKey, basis: Basis): RuleReading {
  const rule: Rule = RULES[key];
  const here = rule.editions?.[basis.edition];
  const section = here?.section ?? rule.section;
  const code = /^\d|^Table|^Chapter/.test(section);
  const note = here?.note ?? rule.note;
  const amended = basis.overrides?.find((o) => o.key === key);
  const text = code ? `NFPA 70 ${section}` : `${rule.title}: ${section}`;
  const citation: Citation = {
    text, edition: code ? basis.edition : '', confidence: here?.confidence ?? rule.confidence,
    ...(amended ? { note: `local amendment: ${amended.reason} (${amended.authority})` } : note === undefined ? {} : { note }),
  };
  if (!amended) return { value: here?.value ?? rule.value, citation, from: 'table', rule };
  const { unit = '' } = amended;
  const isLength = rule.unit === 'ft';
  if (isLength ? !isLengthUnit(unit) : unit !== '' && unit !== rule.unit) {
    throw new Gap(`the local amendment of ${key} is in ${unit === '' ? 'no unit' : unit}, the rule in ${rule.unit === '' ? 'plain numbers' : rule.unit}`, [`value of the local amendment '${key}'${rule.unit === '' ? '' : ` in ${rule.unit}`}`]);
  }
  if (typeof rule.value === 'boolean' && !YES_NO.includes(amended.value)) throw new Gap(`the local amendment of ${key} is neither yes nor no`, [`value of the local amendment '${key}', yes or no`]);
  const value = typeof rule.value === 'boolean' ? amended.value === 1 || amended.value === 'yes' || amended.value === 'true' : isLengthUnit(unit) && isLength ? inFeet({ value: Number(amended.value), unit }) : Number(amended.value);
  if (typeof value === 'number' && !(Number.isFinite(value) && value > 0)) throw new Gap(`the local amendment of ${key} has no usable value`, [`value of the local amendment '${key}'`]);
  return { value, citation, from: 'override', rule };
}

/** Units of the keys that tables are entered with, and where a key comes from that is no row of the table by itself. */
const KEY_UNITS: Readonly<Record<string, string>> = { horsepower: 'hp', celsius: 'C', amperes: 'A', voltage: 'V', class: 'V' };
const KEY_ORIGINS: Readonly<Record<string, Origin>> = { horsepower: 'nameplate', letter: 'nameplate' };

const SIDES = /= (\S+) (>=|<=) (\S+)$/;
const sides = new Map<string, { readonly left: string; readonly sign: string; readonly right: string }>();
/** The names on both sides of a test; the same few formulas are tested for every device. */
function sidesOf(formula: string): { readonly left: string; readonly sign: string; readonly right: string } {
  const known = sides.get(formula);
  if (known) return known;
  const [, left = '', sign = '', right = ''] = SIDES.exec(formula) ?? [];
  const made = { left, sign, right };
  if (sides.size < MOST_SIDES) sides.set(formula, made);
  return made;
}
const MOST_SIDES = 1000;

/** The ordered derivation of one answer. Every method adds one step and gives back the figure it found, or throws a Gap. */
export class Trace {
  readonly steps: Step[] = [];
  /** @param quiet keeps no steps: for a trial, or for a number whose derivation stands elsewhere */
  constructor(readonly basis: Basis, private readonly quiet = false) {}

  private add(step: Step): void {
    // A derivation has some dozen steps: looking through them is quicker than a set of its own.
    if (!this.quiet && !this.steps.includes(step)) this.steps.push(step);
  }

  /** Steps taken over so far from each trace: an answer is asked many times, its steps are copied once. */
  private taken: Map<Trace, number> | null = null;

  /** Takes over the steps of an answer that this one builds on. */
  include(other: Trace): void {
    if (this.quiet || other === this) return;
    const from = this.taken?.get(other) ?? 0;
    const to = other.steps.length;
    if (from === to) return;
    this.taken ??= new Map();
    this.taken.set(other, to);
    for (let i = from; i < to; i += 1) {
      const step = other.steps[i];
      if (step) this.add(step);
    }
  }

  /** A number of a rule, by its key; the figure carries the citation into the formula that uses it. */
  rule(key: RuleKey, symbol: string): Figure {
    const { value, citation, from, rule } = ruleValue(key, this.basis);
    if (typeof value !== 'number') throw new RangeError(`${key} is no number`);
    return { name: symbol, value, unit: rule.unit, from, source: citation.text, confidence: citation.confidence, citation };
  }

  /** Whether a rule holds in this edition. */
  allows(key: RuleKey): { readonly value: boolean; readonly citation: Citation } {
    const { value, citation } = ruleValue(key, this.basis);
    return { value: value === true, citation };
  }

  /** Works a number out from its formula 'symbol = expression' over the given figures. */
  compute(quantity: string, formula: string, figures: readonly Figure[], unit: string, citation?: Citation): Figure {
    const symbols: Record<string, number> = {};
    for (const f of figures) symbols[f.name] = f.value;
    const value = evaluate(formula, symbols);
    if (typeof value !== 'number' || !Number.isFinite(value)) throw new Gap(`${quantity} has no value: ${formula}`);
    const cite = citation ?? figures.find((f) => f.citation !== undefined && f.from !== 'computed')?.citation;
    const confidence = leastTrusted(figures, cite?.confidence);
    this.add({ quantity, formula, inputs: figures.map(shown), value, unit, how: 'computed', confidence, ...(cite ? { citation: cite } : {}) });
    return { name: formula.slice(0, formula.indexOf(' = ')), value, unit, from: 'computed', confidence, ...(cite ? { citation: cite } : {}) };
  }

  /** Tests 'symbol = left >= right'. */
  test(quantity: string, formula: string, figures: readonly Figure[], citation?: Citation): boolean {
    const { left, sign, right } = sidesOf(formula);
    const value = (name: string): number => figures.find((f) => f.name === name)?.value ?? Number.NaN;
    if (sign === '') throw new RangeError(`'${formula}' is no test`);
    if (!Number.isFinite(value(left)) || !Number.isFinite(value(right))) throw new Gap(`${quantity} cannot be tested: ${formula}`);
    const holds = sign === '>=' ? atLeast(value(left), value(right)) : atMost(value(left), value(right));
    const cite = citation ?? figures.find((f) => f.citation !== undefined)?.citation;
    this.add({ quantity, formula, inputs: figures.map(shown), value: holds, unit: '', how: 'computed', confidence: leastTrusted(figures), ...(cite ? { citation: cite } : {}) });
    return holds;
  }

  /** The row of a table, without a step of its own. */
  row(id: TableId, keys: Readonly<Record<string, Key>>): TableRow {
    const found = row(id, keys);
    if (!found.ok) throw new Gap(found.reason);
    return found.row;
  }

  /** Reads one number of a table. */
  lookUp(quantity: string, symbol: string, id: TableId, keys: Readonly<Record<string, Key>>, column: string, unit?: string, note?: string): Figure {
    const found = row(id, keys);
    if (!found.ok) throw new Gap(found.reason);
    const value = found.row[column];
    const t = found.table;
    if (typeof value !== 'number') throw new Gap(`${t.title}: nothing is printed for ${found.where.slice(t.title.length + 2)} in column ${column}`);
    const disputed = found.row.disputed === column || (Array.isArray(found.row.memory) && found.row.memory.includes(column));
    const confidence: Confidence = found.row.disputed === column ? 'disputed' : disputed ? 'memory' : found.row.confidence;
    const citation = citeTable(t, this.basis.edition, confidence, [note, found.row.disputed === column ? found.row.note : undefined].filter((n) => n !== undefined).join('; ') || undefined);
    const inputs: Input[] = [...Object.entries(keys).map(([name, key]) => ({ name, value: key, unit: typeof key === 'number' ? KEY_UNITS[name] ?? '' : '', from: KEY_ORIGINS[name] ?? 'table' as const })), { name: 'column', value: column, unit: '', from: 'table' }];
    this.add({ quantity, formula: `${symbol} = ${citation.text}`, inputs, value, unit: unit ?? t.unit, how: 'look-up', table: { id, column, keys }, citation, confidence: citation.confidence });
    return { name: symbol, value, unit: unit ?? t.unit, from: 'table', source: `${citation.text}, ${found.where.slice(t.title.length + 2)}`, confidence: citation.confidence, citation };
  }

  /** Reads one word of a table, e.g. a conductor size. */
  word(quantity: string, id: TableId, keys: Readonly<Record<string, Key>>, column: string): string {
    const found = row(id, keys);
    if (!found.ok) throw new Gap(found.reason);
    const value = found.row[column];
    if (typeof value !== 'string') throw new Gap(`${found.table.title}: nothing is printed for ${found.where.slice(found.table.title.length + 2)} in column ${column}`);
    const citation = citeTable(found.table, this.basis.edition, found.row.confidence);
    const inputs: Input[] = Object.entries(keys).map(([name, key]) => ({ name, value: key, unit: typeof key === 'number' ? KEY_UNITS[name] ?? '' : '', from: 'computed' }));
    this.add({ quantity, formula: `${quantity} = ${citation.text}`, inputs, value, unit: '', how: 'look-up', table: { id, column, keys }, citation, confidence: citation.confidence });
    return value;
  }

  /**
   * Takes the first of an ascending list that is not less than a figure, or the last that is not more.
   * @param list standard ratings or sizes, ascending; named in words for the reader
   */
  choose(quantity: string, symbol: string, list: { readonly name: string; readonly id: TableId; readonly column: string; readonly values: readonly number[] }, way: 'up' | 'down', need: Figure, unit = 'A', citation?: Citation): Figure {
    const value = way === 'up' ? list.values.find((v) => atLeast(v, need.value)) : list.values.findLast((v) => atMost(v, need.value));
    if (value === undefined) throw new OutOfReach(`no ${list.name} is ${way === 'up' ? 'large' : 'small'} enough for ${round(need.value)} ${need.unit}`, [`${list.name} from the maker: the list ends before ${round(need.value)} ${need.unit}`]);
    // A list is as sure as the rows it stands in: switch ratings are a maker's series, standard ratings are printed.
    const cite = citation ?? citeTable(table(list.id), this.basis.edition, table(list.id).rows.find((r) => r.amperes === value)?.confidence ?? 'confirmed');
    const confidence = leastTrusted([need], cite.confidence);
    const words = way === 'up' ? `smallest ${list.name} not less than ${need.name}` : `largest ${list.name} not more than ${need.name}`;
    this.add({ quantity, formula: `${symbol} = ${words}`, inputs: [shown(need)], value, unit, how: 'chosen', table: { id: list.id, column: list.column }, rounding: way, citation: cite, confidence });
    return { name: symbol, value, unit, from: 'computed', confidence, citation: cite };
  }

  /**
   * Takes the first row, in table order, whose cell is not less than a figure, and gives that row's key.
   * @param only rows to consider, e.g. induction motors
   */
  pickRow(quantity: string, symbol: string, id: TableId, column: string, key: string, need: Figure, unit: string, only: (row: TableRow) => boolean = () => true): Figure {
    const t = table(id);
    const found = t.rows.find((r) => only(r) && typeof r[column] === 'number' && atLeast(r[column], need.value));
    const value = found?.[key];
    if (!found || typeof value !== 'number') throw new OutOfReach(`${t.title}: no row reaches ${round(need.value)} ${need.unit} in column ${column}`, ['horsepower rating of the switch, from its nameplate: the motor table ends before this current']);
    const disputed = found.disputed !== undefined && column.startsWith(String(found.disputed));
    const citation = citeTable(t, this.basis.edition, disputed ? 'disputed' : found.confidence, disputed ? found.note : undefined);
    const confidence = leastTrusted([need], citation.confidence);
    this.add({ quantity, formula: `${symbol} = ${key} of the first row whose figure is not less than ${need.name}`, inputs: [shown(need), { name: 'column', value: column, unit: '', from: 'table' }],
      value, unit, how: 'chosen', table: { id, column }, rounding: 'up', citation, confidence });
    return { name: symbol, value, unit, from: 'computed', confidence, citation };
  }

  /**
   * Writes down something that was given or decided, so that the derivation is whole.
   * @param trust how sure it is where no citation says so
   */
  state(quantity: string, value: number | string | boolean, unit: string, because: string, from: Origin = 'computed', citation?: Citation, trust: Confidence = 'confirmed'): void {
    this.add({ quantity, formula: because, inputs: [{ name: quantity, value, unit, from }], value, unit, how: 'stated', confidence: citation?.confidence ?? trust, ...(citation ? { citation } : {}) });
  }
}

/** Three significant figures after the point are more than any table here carries. */
export const round = (value: number): number => Number(value.toFixed(value < 1 ? 4 : 2));

/**
 * An answer that several questions build on: worked out at most once, its steps joining each derivation that uses it,
 * its gap raised again in each.
 */
export function once<T>(work: (trace: Trace) => T): (trace: Trace) => T {
  let kept: { readonly trace: Trace; readonly outcome: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: unknown } } | null = null;
  return (trace) => {
    if (!kept) {
      const own = new Trace(trace.basis);
      try { kept = { trace: own, outcome: { ok: true, value: work(own) } }; } catch (error) { kept = { trace: own, outcome: { ok: false, error } }; }
    }
    trace.include(kept.trace);
    if (!kept.outcome.ok) throw kept.outcome.error;
    return kept.outcome.value;
  };
}

/** What a question found. */
export interface Finding {
  readonly verdict: Verdict;
  readonly title: string;
  readonly remedies?: readonly string[];
  readonly missing?: readonly string[];
  readonly value?: Result['value'];
  readonly margin?: Result['margin'];
  readonly citations?: readonly Citation[];
}

/**
 * Asks one question and makes the Result of it. A gap gives 'incomplete' (or 'judgement') with what is missing; any other
 * exception gives 'incomplete' too: unknown is never a pass.
 */
export function answer(id: string, check: string, subject: Subject, basis: Basis, title: string, work: (trace: Trace) => Finding): Result {
  const trace = new Trace(basis);
  let found: Finding;
  try {
    found = work(trace);
  } catch (error) {
    found = error instanceof Gap
      ? { verdict: error.verdict, title: `${title}: ${error.reason}`, missing: error.missing, remedies: error.remedies.length > 0 ? error.remedies : error.missing.map(asked) }
      : { verdict: 'incomplete', title: `${title}: could not be worked out`, missing: [], remedies: ['Check the data of the load and the disconnect; report this as a fault of the program if they are right.'] };
  }
  return {
    id, check, subject, verdict: found.verdict, title: found.title, remedies: found.remedies ?? [], missing: found.missing ?? [],
    citations: distinctCitations(found.citations ?? [], trace.steps), steps: trace.steps, ...(found.value === undefined ? {} : { value: found.value }), ...(found.margin === undefined ? {} : { margin: found.margin }),
  };
}

/** What is missing, as something to do: data is entered, another thing is taken. */
const asked = (missing: string): string => (/^(?:an?|another|larger) /.test(missing) ? `Take ${missing}.` : `Enter the ${missing}.`);

/** Each citation once, those of the finding first. */
function distinctCitations(first: readonly Citation[], steps: readonly Step[]): Citation[] {
  const found = new Set<Citation>(first);
  for (const step of steps) if (step.citation) found.add(step.citation);
  const distinct: Citation[] = [];
  for (const c of found) if (!distinct.some((d) => d === c || (d.text === c.text && d.edition === c.edition))) distinct.push(c);
  return distinct;
}
