import { VERDICT_ORDER, worstVerdict } from '../code-data/index';
import type { Result, Subject, Verdict } from '../code-data/index';
import { checkDedicatedSpace, checkHandleCount, checkPanelOverlaps, createChecker } from '../checks/index';
import type { Checker, PairReport } from '../checks/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Id } from '../document/index';
import * as sizing from '../sizing/index';
import type { DeviceSizing } from '../sizing/index';
import type { Audit } from './audit';
import { checkData } from './check-data';

/**
 * Every check of a project at once: sight, reach, room, sizing, and what the document lacks. A check that cannot be
 * finished comes out as incomplete and stops no other.
 * @param checker one made for exactly this document, when there is one that will be asked more
 * @returns results worst first, then by sheet and tag; the same document gives the same order
 */
export function auditDocument(document: Document, checker: Checker = createChecker(document)): Audit {
  const results: Result[] = [...runWhole(document, 'data', checkData), ...runWhole(document, 'handles', checkHandleCount), ...runWhole(document, 'dedicated-space', checkDedicatedSpace), ...runWhole(document, 'overlaps', checkPanelOverlaps)];
  const pairs: PairReport[] = [];
  const sized: Record<Id, DeviceSizing> = {};
  for (const disconnect of entitiesOf(document, 'disconnect')) {
    const subject: Subject = { disconnect: disconnect.id, sheet: disconnect.sheet };
    guard(results, 'sight', disconnect, subject, () => {
      const found = checker.pairsOf(disconnect);
      pairs.push(...found);
      return found.map((pair) => pair.result);
    });
    guard(results, 'place', disconnect, subject, () => checker.placeResultsOf(disconnect));
    guard(results, 'sizing', disconnect, subject, () => {
      const one = sizeOne(document, disconnect.id);
      if (!one) return [];
      sized[disconnect.id] = one;
      return one.results;
    });
  }
  results.sort(byUrgency(document));
  return { results, pairs, sizing: sized, deviceVerdicts: verdictsByDevice(document, results), counts: countVerdicts(results) };
}

function sizeOne(document: Document, id: Id): DeviceSizing | null {
  const size = (sizing as { readonly sizeDevice?: (document: Document, disconnect: Id) => DeviceSizing }).sizeDevice;
  return size ? size(document, id) : null;
}

/** Runs a check of the whole document; an exception inside it becomes one incomplete result. */
function runWhole(document: Document, check: string, run: (document: Document) => Result[]): Result[] {
  try {
    return run(document);
  } catch (fault) {
    const reason = fault instanceof Error ? fault.message : String(fault);
    return [{ id: `${check}/stopped`, check: `${check}.stopped`, subject: {}, verdict: 'incomplete', title: `The ${check} check stopped (${reason})`, remedies: [], missing: [`a ${check} check that can be finished`], citations: [], steps: [] }];
  }
}

/** Runs one check of one device; an exception inside it becomes an incomplete result that names it. */
function guard(results: Result[], check: string, disconnect: Disconnect, subject: Subject, run: () => readonly Result[]): void {
  try {
    results.push(...run());
  } catch (fault) {
    const reason = fault instanceof Error ? fault.message : String(fault);
    results.push({ id: `${check}/${disconnect.id}/stopped`, check: `${check}.stopped`, subject, verdict: 'incomplete', title: `${disconnect.tag}: the ${check} check stopped (${reason})`,
      remedies: [`Look at the data of ${disconnect.tag} and what it serves.`], missing: [`a ${check} check that can be finished`], citations: [], steps: [] });
  }
}

/** Worst first; then sheet order, tag as people count (DS-2 before DS-10), and id. */
function byUrgency(document: Document): (a: Result, b: Result) => number {
  const sheetOrder = new Map(document.sheets.map((sheet, i) => [sheet.id, i]));
  const key = (result: Result): { sheet: number; tag: string } => {
    const subject = document.entities[result.subject.disconnect ?? result.subject.load ?? ''];
    return { sheet: sheetOrder.get(result.subject.sheet ?? '') ?? document.sheets.length, tag: subject && 'tag' in subject ? subject.tag : '' };
  };
  const keys = new Map<Result, { sheet: number; tag: string }>();
  const keyOf = (result: Result): { sheet: number; tag: string } => {
    const known = keys.get(result) ?? key(result);
    keys.set(result, known);
    return known;
  };
  return (a, b) => {
    const urgency = VERDICT_ORDER.indexOf(a.verdict) - VERDICT_ORDER.indexOf(b.verdict);
    if (urgency !== 0) return urgency;
    const ka = keyOf(a); const kb = keyOf(b);
    return ka.sheet - kb.sheet || compareTags(ka.tag, kb.tag) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
  };
}

/** Numbers inside tags compare as numbers; independent of the machine's language. */
function compareTags(a: string, b: string): number {
  const parts = (tag: string): string[] => tag.match(/\d+|\D+/g) ?? [];
  const pa = parts(a); const pb = parts(b);
  for (let i = 0; i < Math.max(pa.length, pb.length); i += 1) {
    const x = pa[i] ?? ''; const y = pb[i] ?? '';
    const numbers = /^\d/.test(x) && /^\d/.test(y) ? Number(x) - Number(y) : 0;
    if (numbers !== 0) return numbers;
    if (x !== y && numbers === 0) return x < y ? -1 : 1;
  }
  return 0;
}

function verdictsByDevice(document: Document, results: readonly Result[]): Record<Id, Verdict> {
  const verdicts: Record<Id, Verdict> = {};
  const byDevice = new Map<Id, Verdict[]>();
  for (const { subject, verdict } of results) if (subject.disconnect !== undefined) byDevice.set(subject.disconnect, [...(byDevice.get(subject.disconnect) ?? []), verdict]);
  for (const { id } of entitiesOf(document, 'disconnect')) verdicts[id] = worstVerdict(byDevice.get(id) ?? []);
  return verdicts;
}

function countVerdicts(results: readonly Result[]): Record<Verdict, number> {
  const counts: Record<Verdict, number> = { pass: 0, marginal: 0, fail: 0, judgement: 0, incomplete: 0 };
  for (const { verdict } of results) counts[verdict] += 1;
  return counts;
}
