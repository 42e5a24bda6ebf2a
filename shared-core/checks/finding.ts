import { placementRules } from '../code-data/index';
import type { Citation, Confidence, Input, PlacementRule, Quantity, Result, Step, Subject, Verdict } from '../code-data/index';
import type { Disconnect, Document, Load, ProjectFacts } from '../document/index';
import { citationOf } from './choose-rules';

/** The rule with this id. @throws RangeError when the rule map has none: a slip of the program. */
export function ruleById(id: string): PlacementRule {
  const rule = placementRules.find((r) => r.id === id);
  if (!rule) throw new RangeError(`no placement rule '${id}'`);
  return rule;
}

/** Citation of a general rule under the project's edition and jurisdiction. */
export const cite = (facts: ProjectFacts, id: string, note?: string): Citation => citationOf(ruleById(id), facts.edition, facts.jurisdiction, note);

export interface FindingParts {
  readonly check: string;
  readonly verdict: Verdict;
  readonly title: string;
  readonly citations: readonly Citation[];
  readonly remedies?: readonly string[];
  readonly missing?: readonly string[];
  readonly steps?: readonly Step[];
  readonly value?: Quantity | string;
  readonly margin?: Quantity;
  readonly load?: Load;
  readonly others?: readonly string[];
}

/** A result about one disconnect; its id is made of what it is about, so it is stable between audits. */
export function finding(disconnect: Disconnect, parts: FindingParts): Result {
  const { check, verdict, title, citations, remedies = [], missing = [], steps = [], value, margin, load, others } = parts;
  const subject: Subject = { disconnect: disconnect.id, sheet: disconnect.sheet, ...(load ? { load: load.id } : {}), ...(others && others.length > 0 ? { others: [...new Set(others)] } : {}) };
  return {
    id: [check, disconnect.id, ...(load ? [load.id] : [])].join('/'), check, subject, verdict, title, citations, steps, missing,
    remedies: verdict === 'pass' ? [] : missing.length > 0 && remedies.length === 0 ? missing.map((m) => (m.startsWith('whether ') ? `Say ${m}.` : `Give the ${m}.`)) : remedies,
    ...(value === undefined ? {} : { value }), ...(margin === undefined ? {} : { margin }),
  };
}

/** One comparison as a step. */
export function step(quantity: string, formula: string, value: number | string | boolean, unit: string, inputs: readonly Input[], confidence: Confidence = 'confirmed'): Step {
  return { quantity, formula, inputs, value, unit, confidence };
}

/** The loads a disconnect serves, as far as they are in the document. */
export const servedLoads = (document: Document, disconnect: Disconnect): Load[] =>
  disconnect.serves.map((id) => document.entities[id]).filter((e): e is Load => e?.kind === 'load');
