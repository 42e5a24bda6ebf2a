import { worstVerdict } from '../code-data/index';
import type { Result, Verdict } from '../code-data/index';
import { holdsAt } from '../document/index';
import type { Disconnect, Document, ExceptionRecord, Load } from '../document/index';
import { feet } from '../units/index';
import { limitOf, viewDistance, viewVerdict } from './check-view';
import { inFeet } from './choose-rules';
import { judgeExceptions } from './exceptions';
import type { ExceptionOutcome } from './exceptions';
import { handlePoint } from './handle-point';
import type { PairTarget, TargetBody } from './pair-targets';
import { traceLines } from './sight-lines';
import type { PairLines } from './sight-lines';
import { isLooseOpening } from './wall-pieces';
import { scaleWhere } from './known-there';
import { writePairResult } from './pair-words';
import type { PairView, ReadySheet } from './pair-view';
import type { Meeting, PairReport } from './types';

/** Whether the target is visible from the handle and near enough; never an exception, never a guess. */
export function viewPair(document: Document, sheet: () => ReadySheet, disconnect: Disconnect, load: Load, target: PairTarget): PairView {
  try {
    return viewReadyPair(document, sheet(), disconnect, load, target);
  } catch (fault) {
    // Whatever went wrong, it proved nothing.
    return { disconnect, load, target, mounted: null, lines: null, distance: null, verdict: 'incomplete', missing: [`check of ${disconnect.tag} and ${load.tag} (it stopped: ${fault instanceof Error ? fault.message : String(fault)})`] };
  }
}

function viewReadyPair(document: Document, sheet: ReadySheet, disconnect: Disconnect, load: Load, target: PairTarget): PairView {
  const missing = missingFor(sheet, disconnect, load, target);
  const body = target.body;
  const scale = sheet.scene.sheet.scale;
  if (missing.length > 0 || !body || !sheet.index || !scale) {
    return { disconnect, load, target, mounted: null, lines: null, distance: null, verdict: 'incomplete', missing };
  }
  const mounted = handlePoint(document, sheet.scene, disconnect);
  const ready = { ...target, body };
  const lines = traceLines(document, sheet.index, sheet.scene, disconnect, mounted, ready);
  const distance = viewDistance(document, scale, disconnect, mounted, ready);
  const amendments = [distance.limit.missing, distance.minimum?.missing].filter((m): m is string => m !== undefined);
  let verdict = worstVerdict([viewVerdict(lines), distance.verdict, ...(amendments.length > 0 ? ['incomplete' as const] : [])]);
  if (target.rule.sight === 'argued' && verdict === 'fail') verdict = 'judgement';
  const looks = looksOwed(document, disconnect, load, target); const holes = looseHoles(document, lines);
  // What fails on the marks fails; what holds on them holds only once somebody saw that they still stand where the new plan has them.
  if (looks.length > 0 && (verdict === 'pass' || verdict === 'marginal')) verdict = 'incomplete';
  // What is seen only through a hole that cannot be built as drawn is not seen, and not known to be hidden.
  if (holes.length > 0 && verdict !== 'fail') verdict = 'incomplete';
  return { disconnect, load, target, mounted, lines, distance, verdict, missing: [...amendments, ...looks, ...holes] };
}

/** Openings that a line passes and that cannot be built as they are drawn. */
function looseHoles(document: Document, { eye, body }: PairLines): string[] {
  const isLoose = ({ entity, opening }: Meeting): boolean => {
    const wall = document.entities[entity];
    return wall?.kind === 'wall' && wall.openings.some((o) => o.id === opening && isLooseOpening(wall, o));
  };
  return [...eye.meets, ...body.meets].some(isLoose) ? ['place and width of an opening on the line, which reaches past its wall or into another'] : [];
}

/** Marks of the pair that a new plan touched and nobody has looked over since. */
function looksOwed(document: Document, disconnect: Disconnect, load: Load, target: PairTarget): string[] {
  const owed = document.sheets.find((s) => s.id === disconnect.sheet)?.toLookOver;
  if (!owed) return [];
  const marks = new Map([[disconnect.id, disconnect.tag], [load.id, load.tag], ...(target.body ? [[target.body.id, target.body.tag] as const] : [])]);
  return [...marks].flatMap(([id, tag]) => (owed.includes(id) ? [`look at ${tag} on the new plan`] : []));
}

function missingFor(sheet: ReadySheet, disconnect: Disconnect, load: Load, target: PairTarget): string[] {
  const missing: string[] = [];
  const { scale } = sheet.scene.sheet;
  const body: TargetBody | null = target.body;
  if (!scale) missing.push(`scale of sheet ${sheet.scene.sheet.name}`);
  else {
    if (!holdsAt(scale, [disconnect.at])) missing.push(scaleWhere(disconnect.tag));
    if (body?.at && body.sheet === disconnect.sheet) {
      const places = [body.at, ...body.outline ?? []];
      if (!holdsAt(scale, places)) missing.push(scaleWhere(body.tag));
      else if (missing.length === 0 && !holdsAt(scale, [disconnect.at, ...places])) missing.push(`one view of the plan that shows both ${disconnect.tag} and ${body.tag}`);
    }
  }
  if (!body) missing.push(target.missing ?? `${target.kind} of ${load.tag}`);
  else if (!body.at) missing.push(`place of ${body.tag} on the plan`);
  else if (body.sheet !== disconnect.sheet) missing.push(`${body.tag} and ${disconnect.tag} on one sheet`);
  return missing;
}

/** A pair's report: the view, then what other disconnects of the load or a recorded exception make of it. */
export function reportPair(document: Document, view: PairView, others: readonly PairView[], records: readonly ExceptionRecord[]): PairReport {
  const { disconnect, load, target, distance, lines } = view;
  const exception = view.verdict === 'pass' ? null : judgeExceptions(target.rule, disconnect, load, records);
  const servedBy = view.verdict === 'pass' ? null : others.find((o) => o.verdict === 'pass') ?? null;
  const verdict = settle(view.verdict, exception, servedBy);
  const limit = distance?.limit.value ?? inFeet(limitOf(target.rule, document.facts.jurisdiction).atMost);
  const result: Result = writePairResult(document, view, verdict, exception, servedBy?.disconnect ?? null);
  return {
    disconnect: disconnect.id, load: load.id, target: target.kind,
    distance: distance?.distance ?? null, uncertainty: distance?.uncertainty ?? feet(0), limit,
    eyeLine: lines?.eye ?? null, bodyLine: lines?.body ?? null,
    viewVerdict: lines ? viewVerdict(lines) : 'incomplete', distanceVerdict: distance?.verdict ?? 'incomplete', reach: distance?.reach ?? null, verdict, result,
  };
}

function settle(view: Verdict, exception: ExceptionOutcome | null, servedBy: PairView | null): Verdict {
  if (servedBy) return 'pass';
  // Nothing is accepted on data that are not there: an exception settles a view that was judged, never one that was not.
  if (!exception || view === 'incomplete' || exception.verdict === 'fail') return view;
  return exception.verdict;
}
