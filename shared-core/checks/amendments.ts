import { RULES, isLengthUnit, placementFigures, placementRules } from '../code-data/index';
import type { PlacementRule, PrintedLength, Rule } from '../code-data/index';
import type { Override, ProjectFacts } from '../document/index';
import { limitOf } from './check-view';
import { inFeet } from './choose-rules';

/** One value of a rule that a local amendment may replace. */
export interface Amendable {
  readonly key: string;
  /** What it is, in trade words. */
  readonly name: string;
  /** Where the printed value stands. */
  readonly section: string;
  /** 'length' takes ft, in or m; a number takes the unit of its rule; 'yes-no' takes 'yes' or 'no'. */
  readonly kind: 'length' | 'number' | 'yes-no';
  /** Unit of a number, '' for a plain one; 'ft' for a length. */
  readonly unit: string;
  /** What the rule says without the amendment, a length in feet; null where it gives no figure. */
  readonly printed: number | boolean | null;
}

const length = (key: string, name: string, section: string, printed: PrintedLength | null): Amendable =>
  ({ key, name, section, kind: 'length', unit: 'ft', printed: printed ? inFeet(printed) : null });

function ofPlacement(rule: PlacementRule, facts: ProjectFacts): Amendable[] {
  const section = rule.cite[facts.jurisdiction === 'CA' ? 'CA' : facts.edition] ?? rule.cite['2023'] ?? rule.id;
  const limit = rule.limit === null ? null : limitOf(rule, facts.jurisdiction);
  return [
    ...(limit ? [length(`${rule.id}.distance`, rule.group === 'general' ? 'Farthest in sight, general rule' : `Farthest in sight: ${rule.equipment}`, section, limit.atMost)] : []),
    ...(limit?.atLeast ? [length(`${rule.id}.minimum-distance`, `Nearest: ${rule.equipment}`, section, limit.atLeast)] : []),
    ...(rule.demands.includes('water-distance') ? [length(`${rule.id}.water-distance`, `Nearest to the water: ${rule.equipment}`, section, placementFigures.fromWater)] : []),
  ];
}

function ofSizing(key: string, rule: Rule, facts: ProjectFacts): Amendable {
  const here = rule.editions?.[facts.edition];
  const value = here?.value ?? rule.value;
  const common = { key, name: rule.title, section: here?.section ?? rule.section };
  if (typeof value === 'boolean') return { ...common, kind: 'yes-no', unit: '', printed: value };
  // A length may be amended in any unit of length; zero stands for no figure in the code.
  return { ...common, kind: rule.unit === 'ft' ? 'length' : 'number', unit: rule.unit, printed: rule.unit === 'ft' && value === 0 ? null : value };
}

/**
 * Every value that the checks and the sizing read through the project's local amendments, the usual ones first. A key that
 * is not here replaces nothing.
 */
export function amendableValues(facts: ProjectFacts): Amendable[] {
  const ca = facts.jurisdiction === 'CA';
  return [
    length('within-sight.distance', 'Farthest in sight, wherever the usual limit holds', ca ? 'the Canada profile' : '110.29', ca ? { value: 9, unit: 'm' } : { value: 50, unit: 'ft' }),
    length('handle-height', 'Highest handle', '404.8(A)', placementFigures.handleHeight[facts.jurisdiction]),
    ...placementRules.flatMap((rule) => ofPlacement(rule, facts)),
    ...Object.entries(RULES).map(([key, rule]) => ofSizing(key, rule, facts)),
  ];
}

/**
 * What is wrong with a local amendment, so that the value it is meant to replace still holds or cannot be worked out; null
 * when it is in order.
 * @param known the value it replaces, from {@link amendableValues}; undefined when no value goes by its key
 */
export function faultOfAmendment(override: Override, known: Amendable | undefined): string | null {
  if (!known) return 'no value of a rule goes by that name, so it replaces nothing';
  const { value, unit } = override;
  if (known.kind === 'yes-no') { if (value !== 'yes' && value !== 'no') return "its value is neither 'yes' nor 'no'"; }
  else if (typeof value !== 'number' || !Number.isFinite(value) || value <= 0) return 'its value is no number greater than zero';
  else if (known.kind === 'length' ? !isLengthUnit(unit) : unit !== known.unit && unit !== '') return known.kind === 'length' ? `'${unit}' is no unit of length here: ft, in or m` : `it is in '${unit}', the rule in ${known.unit === '' ? 'plain numbers' : `'${known.unit}'`}`;
  if (override.reason.trim() === '') return 'it gives no reason';
  return override.authority.trim() === '' ? 'it names no authority' : null;
}
