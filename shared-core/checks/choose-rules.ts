import { inFeet, isLengthUnit, placementRules } from '../code-data/index';
import type { Citation, Confidence, Edition, Jurisdiction, PlacementRule, PrintedLength, RuleCondition } from '../code-data/index';
import type { LoadData, ProjectFacts } from '../document/index';
import type { Feet } from '../units/index';

export { inFeet };

/**
 * The placement rules for one load in one edition. Unknown horsepower counts as large and unknown power as large:
 * the stricter rule applies until the data is there.
 */
export function chooseRules(load: LoadData, edition: Edition): PlacementRule[] {
  const chosen = placementRules.filter((rule) => rule.loads.includes(load.kind)
    && (!rule.editions || rule.editions.includes(edition)) && holds(rule.when, load));
  // One appliance rule only: the small one, else the motor one, else the general one.
  const appliance = chosen.find((rule) => rule.id.startsWith('APP-'));
  return appliance ? chosen.filter((rule) => !rule.id.startsWith('APP-') || rule === appliance) : chosen;
}

function holds(when: RuleCondition | undefined, load: LoadData): boolean {
  if (!when) return true;
  const has = new Set(load.conditions ?? []);
  if (when.all && !when.all.every((c) => has.has(c))) return false;
  if (when.none?.some((c) => has.has(c))) return false;
  const horsepower = load.horsepower;
  if (when.horsepowerAtMost !== undefined && !(horsepower !== undefined && horsepower <= when.horsepowerAtMost)) return false;
  if (when.horsepowerAbove !== undefined && load.kind !== 'appliance' && horsepower !== undefined && horsepower <= when.horsepowerAbove) return false;
  if (when.horsepowerAbove !== undefined && load.kind === 'appliance' && !(horsepower !== undefined && horsepower > when.horsepowerAbove)) return false;
  if (when.voltAmperesAtMost !== undefined) {
    const kilo = load.kva ?? load.kilowatts;
    const eighth = 0.125;
    const small = kilo !== undefined ? kilo * 1000 <= when.voltAmperesAtMost : horsepower !== undefined && horsepower <= eighth;
    if (!small || (horsepower !== undefined && horsepower > eighth)) return false;
  }
  return true;
}

const LEVEL: Readonly<Record<PlacementRule['confidence']['level'], Confidence>> = { high: 'confirmed', medium: 'memory', low: 'disputed' };

/** What a rule stands on in this edition and jurisdiction, with a note wherever that is less than read text. */
export function citationOf(rule: PlacementRule, edition: Edition, jurisdiction: Jurisdiction, extra?: string): Citation {
  const canadian = jurisdiction === 'CA' ? rule.cite.CA : undefined;
  const nearest = ([edition, '2023', '2020', '2017', '2026'] as const).find((e) => rule.cite[e] !== undefined);
  const key = canadian !== undefined ? 'CA' : nearest ?? 'OSHA';
  const notes: string[] = [];
  if (jurisdiction === 'CA' && canadian === undefined) notes.push('no Canadian rule on file: the United States rule is shown, read the adopted code');
  else if (key !== 'CA' && key !== edition) notes.push(key === 'OSHA' ? 'federal workplace rule' : `number of the ${key} edition; not verified for ${edition}`);
  const unverified = rule.unverified?.includes(key) ?? false;
  if (unverified) notes.push('same number expected, text not read');
  if (rule.confidence.fromMemory !== undefined) notes.push(`from memory: ${rule.confidence.fromMemory}`);
  if (rule.confidence.open !== undefined) notes.push(`open: ${rule.confidence.open}`);
  if (extra !== undefined) notes.push(extra);
  const level = LEVEL[rule.confidence.level];
  const shaken = unverified || (key !== 'CA' && key !== 'OSHA' && key !== edition) || (jurisdiction === 'CA' && canadian === undefined);
  return {
    text: rule.cite[key] ?? rule.id, edition: key === 'CA' ? 'CSA C22.1' : edition, confidence: level === 'confirmed' && shaken ? 'memory' : level,
    ...(notes.length > 0 ? { note: notes.join('; ') } : {}),
  };
}

/** A figure after local amendments. */
export interface Figure { readonly value: Feet; readonly from: 'table' | 'override'; readonly note?: string; readonly missing?: string }

/** The printed figure, or the project's local amendment of it under one of the given names. */
export function figureOf(facts: ProjectFacts, keys: readonly string[], printed: PrintedLength): Figure {
  const override = facts.overrides.find((o) => keys.includes(o.key));
  if (!override) return { value: inFeet(printed), from: 'table' };
  const { value, unit } = override;
  if (typeof value !== 'number' || !(value > 0) || !isLengthUnit(unit)) {
    return { value: inFeet(printed), from: 'table', missing: `a length for the local amendment '${override.key}'` };
  }
  return { value: inFeet({ value, unit }), from: 'override', note: `local amendment by ${override.authority}: ${override.reason}` };
}
