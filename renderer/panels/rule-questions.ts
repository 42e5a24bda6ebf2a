import { chooseRules } from '../../shared-core/checks/index';
import { placementRules } from '../../shared-core/code-data/index';
import type { ExceptionCondition } from '../../shared-core/code-data/index';
import type { Edition } from '../../shared-core/code-data/index';
import type { LoadData } from '../../shared-core/document/index';

/** The conditions under which a load's rules accept a disconnect out of sight; empty where they accept none. */
export function exceptionConditions(data: LoadData, edition: Edition): ExceptionCondition[] {
  const conditions = chooseRules(data, edition).filter((rule) => rule.outOfSight.allowed !== 'no' && rule.outOfSight.allowed !== 'inverted').flatMap((rule) => rule.outOfSight.conditions);
  return [...new Map(conditions.map((condition) => [condition.id, condition])).values()];
}

/** Facts about a load that its placement rules turn on: what the rules name, and what is recorded already. */
export function ruleFacts(data: LoadData): string[] {
  const asked = placementRules.filter((rule) => rule.loads.includes(data.kind)).flatMap((rule) => [
    ...(rule.when?.all ?? []), ...(rule.when?.none ?? []),
    ...rule.outOfSight.conditions.flatMap((condition) => [...condition.needs.filter((need) => need.startsWith('load:')).map((need) => need.slice('load:'.length)), ...(condition.settledBy === undefined ? [] : [condition.settledBy])]),
  ]);
  return [...new Set([...asked, ...(data.conditions ?? [])])];
}
