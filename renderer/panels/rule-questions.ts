import { chooseRules } from '../../shared-core/checks/index';
import { placementConditions, placementRules } from '../../shared-core/code-data/index';
import type { ExceptionCondition } from '../../shared-core/code-data/index';
import type { Edition } from '../../shared-core/code-data/index';
import type { LoadData } from '../../shared-core/document/index';
import { sizingConditions } from '../../shared-core/sizing/index';

/** The conditions under which a load's rules accept a disconnect out of sight; empty where they accept none. */
export function exceptionConditions(data: LoadData, edition: Edition): ExceptionCondition[] {
  const conditions = chooseRules(data, edition).filter((rule) => rule.outOfSight.allowed !== 'no' && rule.outOfSight.allowed !== 'inverted').flatMap((rule) => rule.outOfSight.conditions);
  return [...new Map(conditions.map((condition) => [condition.id, condition])).values()];
}

/** Facts that let motors share one disconnect; no rule row names them, the sharing check does. */
const SHARING = ['one-room', 'one-overcurrent-device'];
/** Facts of what a service or feeder supplies, and in what arrangement. */
const SUPPLY_FACTS = ['one-family-dwelling', 'two-family-dwelling', 'no-dwelling', 'one-branch-circuit', 'two-branch-circuits', 'one-enclosure-without-main'];

/**
 * Facts about a load: those its rules turn on or that are recorded already, and every other that some check reads.
 * @param shares whether another load hangs on the same disconnect
 */
export function factsOf(data: LoadData, shares: boolean): { readonly asked: readonly string[]; readonly more: readonly string[] } {
  const rules = placementRules.filter((rule) => rule.loads.includes(data.kind));
  const named = rules.flatMap((rule) => [
    ...(rule.when?.all ?? []), ...(rule.when?.none ?? []),
    ...rule.outOfSight.conditions.flatMap((condition) => [...condition.needs.filter((need) => need.startsWith('load:')).map((need) => need.slice('load:'.length)), ...(condition.settledBy === undefined ? [] : [condition.settledBy])]),
    ...(rule.id === 'MOT-READY' ? ['ready-disconnect-elsewhere'] : []),
  ]);
  const asked = [...new Set([...named, ...(shares ? SHARING : []), ...(data.kind === 'service' ? SUPPLY_FACTS : []), ...(data.conditions ?? [])])];
  const more = [...Object.keys(placementConditions), ...Object.keys(sizingConditions)].filter((fact) => !asked.includes(fact));
  return { asked, more };
}
