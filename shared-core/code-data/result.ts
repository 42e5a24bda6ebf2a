/** The five words of a finding; nothing else is ever shown. */
export type Verdict = 'pass' | 'marginal' | 'fail' | 'judgement' | 'incomplete';

/** Worst first: what a person must act on comes before what a person must decide or supply. */
export const VERDICT_ORDER: readonly Verdict[] = ['fail', 'incomplete', 'judgement', 'marginal', 'pass'];

/** The worst of several verdicts; an empty list is 'incomplete', because nothing was proved. */
export function worstVerdict(verdicts: readonly Verdict[]): Verdict {
  let worst = verdicts.length === 0 ? VERDICT_ORDER.indexOf('incomplete') : VERDICT_ORDER.length - 1;
  for (const verdict of verdicts) worst = Math.min(worst, VERDICT_ORDER.indexOf(verdict));
  return VERDICT_ORDER[worst] ?? 'incomplete';
}

/** How far a value or rule can be trusted; anything but 'confirmed' is marked wherever it shows. */
export type Confidence = 'confirmed' | 'memory' | 'disputed' | 'typical' | 'own-reading';

export type Edition = '2017' | '2020' | '2023' | '2026';
export type Jurisdiction = 'US' | 'CA';

export interface Citation {
  /** e.g. 'NFPA 70 430.102(B)'. */
  readonly text: string;
  readonly edition: string;
  readonly confidence: Confidence;
  /** Shown beside the citation when it is not confirmed, or when a local override replaced it. */
  readonly note?: string;
}

const DOUBTS: readonly Confidence[] = ['disputed', 'memory', 'typical', 'own-reading'];

/** What a result rests on besides confirmed rules and tables, gravest first; shown wherever the result shows. */
export function doubtsOf(result: Pick<Result, 'citations' | 'steps'>): Confidence[] {
  const found = new Set<Confidence>([...result.citations.map((c) => c.confidence), ...result.steps.flatMap((s) => [s.confidence, ...(s.citation ? [s.citation.confidence] : []), ...s.inputs.flatMap((i) => (i.confidence === undefined ? [] : [i.confidence]))])]);
  return DOUBTS.filter((doubt) => found.has(doubt));
}

/** Where an input came from, so that a person can go and correct it. */
export type Origin = 'typed' | 'nameplate' | 'table' | 'plan' | 'default' | 'computed' | 'override';

export interface Input {
  readonly name: string;
  readonly value: number | string | boolean;
  /** 'A', 'V', 'hp', 'ft', '%', '' ... */
  readonly unit: string;
  readonly from: Origin;
  /** Table and row, or the entity the value was read from. */
  readonly source?: string;
  readonly confidence?: Confidence;
}

/** One line of a derivation: recomputable from its inputs. */
export interface Step {
  readonly quantity: string;
  /** Plain symbols, e.g. 'I_sw = 1.15 x I_FLC'. */
  readonly formula: string;
  readonly inputs: readonly Input[];
  readonly value: number | string | boolean;
  readonly unit: string;
  readonly citation?: Citation;
  readonly rounding?: string;
  readonly confidence: Confidence;
  /** How to work it out again: 'computed' from the formula, 'look-up' in a table, 'chosen' from a list, 'stated' as given. */
  readonly how?: 'computed' | 'look-up' | 'chosen' | 'stated';
  /** For 'look-up' and 'chosen': the table, and the column read or offered. */
  readonly table?: { readonly id: string; readonly column: string; readonly keys?: Readonly<Record<string, number | string>> };
}

export interface Quantity { readonly value: number; readonly unit: string }

/** What a check is about: ids of document entities. */
export interface Subject {
  readonly disconnect?: string;
  readonly load?: string;
  readonly sheet?: string;
  /** Anything else that stands in the way or is concerned, e.g. the wall or tank that blocks. */
  readonly others?: readonly string[];
}

/**
 * One result per check; the screen, the PDF, the tables, the command line and the tests all read this object
 * and nothing computes it twice.
 */
export interface Result {
  /** Unique within one audit and stable between audits, e.g. 'sight/DS-07-id/M-204-id/motor'. */
  readonly id: string;
  /** Dotted kind, e.g. 'sight.motor', 'sight.machine', 'reach.height', 'space.depth', 'sizing.ampere-rating'. */
  readonly check: string;
  readonly subject: Subject;
  readonly verdict: Verdict;
  /** One short line in trade words, e.g. 'M-204 is not in sight: T-2 stands in both lines'. */
  readonly title: string;
  /** What would mend it, most useful first; empty when nothing is to be done. */
  readonly remedies: readonly string[];
  /** For 'incomplete': the data that is asked for, by name. */
  readonly missing: readonly string[];
  readonly citations: readonly Citation[];
  readonly steps: readonly Step[];
  /** The result itself where it is a number or a choice, e.g. 30 A, '4X'. */
  readonly value?: Quantity | string;
  /** Signed: positive is room to spare, negative is how much is lacking. */
  readonly margin?: Quantity;
}
