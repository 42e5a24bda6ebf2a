import { doubtsOf } from '../../shared-core/code-data/index';
import type { Citation, Confidence, Input, Quantity, Result, Step } from '../../shared-core/code-data/index';
import type { DeviceData } from '../../shared-core/document/index';
import { feet, showLength } from '../../shared-core/units/index';
import type { UnitSystem } from '../../shared-core/units/index';
import { checkName, words } from '../text/index';
import { showQuantity } from './number-text';

/** A value of a result, as the trade writes it; lengths in the project's own units. */
export function showValue(value: number | string | boolean, unit: string, system: UnitSystem): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return unit === '' ? value : `${value} ${unit}`;
  if (!Number.isFinite(value)) return 'no value';
  if (unit === 'ft') return showLength(feet(value), system);
  return showQuantity(value, unit);
}

/** Stored words such as 'enclosed-switch' read as trade words; sizes such as '3-pole' stay as they are. */
const spelled = (text: string): string => (/^[a-z]+(-[a-z]+)+$/.test(text) ? text.replaceAll('-', ' ') : text);

export const showResultValue = (result: Result, system: UnitSystem): string | null =>
  result.value === undefined ? null : result.check === 'sizing.enclosure' && typeof result.value === 'string' ? words.devices.type(result.value) : typeof result.value === 'string' ? spelled(result.value) : showValue(result.value.value, result.value.unit, system);

/** The order in which a device is specified; a check that is not named here comes after, in the audit's order. */
const ORDER: readonly string[] = ['load-current', 'ampere-rating', 'horsepower', 'locked-rotor', 'voltage-rating', 'poles', 'device-type', 'duty', 'fusing', 'fuse', 'enclosure', 'conductor', 'lugs', 'equipment-ground', 'raceway', 'voltage-drop', 'fault-current', 'short-circuit-rating'];
const orderOf = (result: Result): number => { const at = ORDER.indexOf(result.check.replace(/^sizing\./, '')); return at < 0 ? ORDER.length : at; };
export const inSpecificationOrder = (results: readonly Result[]): Result[] => [...results].sort((a, b) => orderOf(a) - orderOf(b));

/** Open results that lack the same data and are mended the same way say so once. */
export function groupAlike(results: readonly Result[]): Result[][] {
  const groups = new Map<string, Result[]>();
  for (const result of results) {
    const key = result.missing.length > 0 ? JSON.stringify([result.verdict, result.missing, result.remedies]) : result.id;
    const known = groups.get(key);
    if (known) known.push(result); else groups.set(key, [result]);
  }
  return [...groups.values()];
}

export function showMargin(margin: Quantity, system: UnitSystem): string {
  if (margin.value === 0) return words.chosen.justEnough;
  const size = showValue(Math.abs(margin.value), margin.unit, system);
  return margin.value < 0 ? words.chosen.lacking(size) : words.chosen.room(size);
}

export const citationText = (citation: Citation): string =>
  [citation.text, citation.edition === '' ? '' : words.why.edition(citation.edition), words.why.confidence[citation.confidence], citation.note].filter((part) => part !== undefined && part !== '').join(', ');

export const inputText = (input: Input, system: UnitSystem): string =>
  `${input.name} = ${showValue(input.value, input.unit, system)} (${[words.why.from[input.from], input.source, input.confidence === undefined ? '' : words.why.confidence[input.confidence]].filter((part) => part !== undefined && part !== '').join(', ')})`;

const stepText = (step: Step, system: UnitSystem): string => [
  `${step.quantity}: ${showValue(step.value, step.unit, system)}`, `  ${step.formula}`, ...step.inputs.map((input) => `    ${inputText(input, system)}`),
  ...(step.rounding === undefined ? [] : [`  ${words.why.rounding} ${step.rounding}`]), ...(step.citation ? [`  ${citationText(step.citation)}`] : []),
  ...(step.confidence === 'confirmed' ? [] : [`  ${words.why.confidence[step.confidence]}`]),
].join('\n');

/** The whole derivation as plain text, for the clipboard. */
export function derivationText(result: Result, system: UnitSystem): string {
  const value = showResultValue(result, system);
  return [
    `${checkName(result.check)}${value === null ? '' : `: ${value}`}`, `${words.verdict[result.verdict]}: ${result.title}`,
    ...(result.missing.length > 0 ? [words.chosen.missing(result.missing)] : []), '',
    ...result.steps.map((step) => stepText(step, system)), ...result.citations.map(citationText), '', words.cautions.line,
  ].join('\n');
}

/** A title under its device's own heading does not say the device again. */
export const withoutTag = (title: string, tag: string): string => {
  // 'DS-1' also starts the title of DS-10: only a whole tag is taken off, with what joins it to the words.
  const rest = tag !== '' && title.startsWith(tag) ? /^(?:[:,;] ?| )(?=\S)/.exec(title.slice(tag.length)) : null;
  return rest ? title.slice(tag.length + rest[0].length) : title;
};

/** What a result without a value of its own says, without what it is about: 'no motor: no horsepower rating needed'. */
export function statementOf(result: Result, tag: string): string {
  const title = withoutTag(result.title, tag);
  const colon = title.indexOf(': ');
  return colon < 0 ? title : title.slice(colon + 2);
}

/** What a person enters of a device, by the check that answers for it; without it the answer is a proposal. */
const ENTERED: Readonly<Record<string, (data: DeviceData) => unknown>> = {
  'sizing.ampere-rating': (d) => d.ratedAmperes, 'sizing.horsepower': (d) => d.ratedHorsepower, 'sizing.voltage-rating': (d) => d.ratedVolts, 'sizing.poles': (d) => d.poles, 'sizing.device-type': (d) => d.type, 'sizing.duty': (d) => d.duty,
  'sizing.fusing': (d) => d.fusible, 'sizing.fuse': (d) => d.fuseAmperes, 'sizing.enclosure': (d) => d.enclosure, 'sizing.conductor': (d) => d.conductor?.size, 'sizing.short-circuit-rating': (d) => d.shortCircuitRating,
};

/** Whether the value of a result is what the program proposes because nothing is entered. */
export const isProposed = (result: Result, data: DeviceData): boolean => result.value !== undefined && ENTERED[result.check] !== undefined && ENTERED[result.check]?.(data) === undefined;

/** Answers that a person reads for the length of the route itself; others rest on it too, and their derivation says so. */
const BY_ROUTE: readonly string[] = ['sizing.voltage-drop', 'sizing.fault-current', 'sizing.fire-pump-starting', 'sizing.fire-pump-running'];
/** Whether a result rests on a route that nobody drew or typed. */
export const isByEstimate = (result: Result): boolean => BY_ROUTE.includes(result.check) && result.steps.some((s) => s.formula.startsWith('estimate'));

const MARKED: readonly Confidence[] = ['disputed', 'memory', 'typical'];
/** Answers that make up a device's line in the list. */
const IN_LINE: readonly string[] = ['sizing.ampere-rating', 'sizing.fuse', 'sizing.enclosure'];
/** The gravest thing that the ratings of a device's line rest on without being confirmed; our own readings are named where the result opens. */
export const doubtOfLine = (results: readonly Result[]): Confidence | null =>
  MARKED.find((doubt) => results.some((r) => IN_LINE.includes(r.check) && r.value !== undefined && doubtsOf(r).includes(doubt))) ?? null;
