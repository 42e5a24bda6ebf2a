import type { Result, Step } from '../code-data/index';
import { showHorsepower } from './horsepower-text';

/** Amperes, circular mils and horsepower inside a sentence; a number that hangs on a letter, point or dash is part of a name. */
const FIGURE = /(?<![\w.,/-])(\d+(?:\.\d+)?) (A|cmil|hp)\b/g;
const DECIMALS = 2;

/** '1,200 A', '7 1/2 hp': figures of a sentence as a person writes them, whatever number they were made of. */
export function asWritten(text: string): string {
  // Most sentences name neither, and a thousand devices have a hundred thousand of them.
  if (!UNIT.test(text)) return text;
  return text.replace(FIGURE, (_, digits: string, unit: string) => {
    const value = Number(digits);
    if (unit === 'hp') return `${showHorsepower(value)} hp`;
    const [whole = '', part] = (value < 1 ? digits : String(Number(value.toFixed(DECIMALS)))).split('.');
    return `${whole.replace(/\B(?=(\d{3})+$)/g, ',')}${part === undefined ? '' : `.${part}`} ${unit}`;
  });
}
const UNIT = /\d (?:A|cmil|hp)\b/;

/** Derivations share their steps: each is written once. */
const written = new WeakMap<Step, Step>();
function stepAsWritten(step: Step): Step {
  if (step.how !== 'stated') return step;
  const known = written.get(step);
  if (known) return known;
  const formula = asWritten(step.formula);
  const made = formula === step.formula ? step : { ...step, formula };
  written.set(step, made);
  return made;
}

/** A result whose sentences carry their figures as a person writes them; the numbers themselves stay. */
export const resultAsWritten = (result: Result): Result => ({
  ...result, title: asWritten(result.title), remedies: result.remedies.map(asWritten), missing: result.missing.map(asWritten), steps: result.steps.map(stepAsWritten),
});
