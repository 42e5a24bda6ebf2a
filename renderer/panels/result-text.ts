import type { Citation, Input, Quantity, Result, Step } from '../../shared-core/code-data/index';
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

export const showResultValue = (result: Result, system: UnitSystem): string | null =>
  result.value === undefined ? null : typeof result.value === 'string' ? result.value : showValue(result.value.value, result.value.unit, system);

export function showMargin(margin: Quantity, system: UnitSystem): string {
  const size = showValue(Math.abs(margin.value), margin.unit, system);
  return margin.value < 0 ? words.chosen.lacking(size) : words.chosen.room(size);
}

export const citationText = (citation: Citation): string =>
  [citation.text, words.why.edition(citation.edition), words.why.confidence[citation.confidence], citation.note].filter((part) => part !== undefined && part !== '').join(', ');

export const inputText = (input: Input, system: UnitSystem): string =>
  `${input.name} = ${showValue(input.value, input.unit, system)} (${[words.why.from[input.from], input.source, input.confidence === undefined ? '' : words.why.confidence[input.confidence]].filter((part) => part !== undefined && part !== '').join(', ')})`;

const stepText = (step: Step, system: UnitSystem): string => [
  `${step.quantity}: ${showValue(step.value, step.unit, system)}`, `  ${step.formula}`, ...step.inputs.map((input) => `    ${inputText(input, system)}`),
  ...(step.rounding === undefined ? [] : [`  ${words.why.rounding}: ${step.rounding}`]), ...(step.citation ? [`  ${citationText(step.citation)}`] : []),
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

