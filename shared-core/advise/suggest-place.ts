import { createChecker } from '../checks/index';
import type { Checker, PairReport, TargetKind } from '../checks/index';
import type { Verdict } from '../code-data/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Id, Load, Point } from '../document/index';
import type { AllowedRegion } from '../sight/index';
import { sheetUnits, showLength } from '../units/index';
import type { Feet } from '../units/index';
import { degreesOf, hangAt, placesFor } from './places';
import { boxOf, seeingRegion } from './region';
import { scorePlace, usualWeights, weigh } from './score';
import type { Score, Weights } from './score';

/** Said between steps of long work; whoever runs it may stop there by no longer asking. */
export interface Progress { readonly done: number; readonly of: number; readonly note: string }

/** One target that is seen from a place; plan positions in sheet units. */
export interface SeenTarget { readonly load: Id; readonly target: TargetKind; readonly distance: Feet; readonly limit: Feet; readonly from: Point; readonly to: Point }

/** A check of place that does not fail but does not pass either: it stays to be settled there. */
export interface OpenCheck { readonly check: string; readonly verdict: Verdict; readonly title: string }

/** A place that passes sight and distance for all its loads, has room in front, and where no check of place fails. */
export interface SuggestedPlace {
  readonly at: Point;
  readonly mount: Disconnect['mount'];
  readonly facing: number;
  readonly score: Score;
  readonly reason: string;
  readonly sees: readonly SeenTarget[];
  readonly open: readonly OpenCheck[];
}

export interface PlaceSuggestion {
  readonly disconnect: Id;
  /** Best first, no two within a yard of each other; empty when nothing was found. */
  readonly places: readonly SuggestedPlace[];
  /** All that passed, to be ranked again by other weights with bestPlaces. */
  readonly found: readonly SuggestedPlace[];
  readonly tried: number;
  readonly feetPerUnit: number;
  /** Why there is none, or what was not checked. */
  readonly notes: readonly string[];
}

/** Feet: how close together places are tried along walls and in the open, and how far apart two suggestions must be; our own choice. */
const WALL_STEP = 1; const OPEN_STEP = 2; const APART = 3;
/** Feet between the handle and other equipment, so that enclosures do not overlap, and how near a device must be for its own space to be asked again. */
const OFF_EQUIPMENT = 2.5; const NEAR_DEVICES = 15;
const AT_MOST = 5;
/** Where one place is wanted and all leave something open, so many are compared. */
const ENOUGH = 12;
/** Places tried between two words of progress. */
const BATCH = 4;

/**
 * Looks for the best place of one disconnect: along the wall stretches that see its loads and have room, or on a stand in
 * the open where no wall will do. Deterministic; a generator, so that it can be stopped at any step.
 */
export function* suggestPlace(document: Document, disconnectId: Id, weights: Weights = usualWeights): Generator<Progress, PlaceSuggestion> {
  const disconnect = document.entities[disconnectId];
  if (disconnect?.kind !== 'disconnect') throw new RangeError(`no disconnect '${disconnectId}'`);
  const checker = createChecker(document, disconnect.sheet);
  return yield* searchPlace(checker, disconnect, weights);
}

/** Tried places: what passed, how many there were, and what the others failed by. */
interface Tried { readonly found: SuggestedPlace[]; readonly tried: number; readonly refusals: readonly string[] }

/**
 * The same search with a checker at hand, for a disconnect that need not be in the document.
 * @param wanted 'all' checks every place, so that all can be ranked anew; 'best' stops at the first that leaves nothing open
 */
export function* searchPlace(checker: Checker, disconnect: Disconnect, weights: Weights, wanted: 'all' | 'best' = 'all'): Generator<Progress, PlaceSuggestion> {
  const feetPerUnit = checker.sheetOf(disconnect.sheet).index?.feetPerUnit ?? 1;
  const answer = (tried: number, found: readonly SuggestedPlace[], notes: readonly string[]): PlaceSuggestion =>
    ({ disconnect: disconnect.id, places: bestPlaces(found, weights, feetPerUnit), found, tried, feetPerUnit, notes });
  yield { done: 0, of: 1, note: `what ${disconnect.tag} can see` };
  const places = placesFor(checker, disconnect);
  if (places.region.isEmpty) return answer(0, [], [whyNowhere(checker, disconnect)]);
  const notes = places.roomChecked ? [] : ['Room in front was not checked: volts to ground are not known.'];
  const hanging = places.stretches.flatMap((s) => { const n = Math.max(1, Math.ceil(s.length / WALL_STEP)); return Array.from({ length: n }, (_, i) => hangAt(disconnect, s, (i + 0.5) / n)); });
  const onWalls = yield* tryAll(checker, hanging, places.region, weights, wanted);
  if (onWalls.found.length > 0) return answer(onWalls.tried, onWalls.found, notes);
  const open = yield* tryAll(checker, standsIn(checker, disconnect, places.region), places.region, weights, wanted);
  const tried = onWalls.tried + open.tried;
  if (open.found.length > 0) return answer(tried, open.found, [...notes, 'No wall will do: these need a stand or a post.']);
  const [first] = [...onWalls.refusals, ...open.refusals];
  return answer(tried, [], [...notes, first === undefined ? `Nothing that sees all loads of ${disconnect.tag} has room in front.` : `None of ${tried} places that see its loads passes every check: ${first}.`]);
}

/** Sight, room and score of every candidate first; then the dearer checks of place, best score first. */
function* tryAll(checker: Checker, candidates: readonly Disconnect[], region: AllowedRegion, weights: Weights, wanted: 'all' | 'best'): Generator<Progress, Tried> {
  const of = 2 * candidates.length;
  const refusals: string[] = [];
  const seeing: { readonly candidate: Disconnect; readonly pairs: PairReport[]; readonly score: Score }[] = [];
  for (const [i, candidate] of candidates.entries()) {
    if (i % BATCH === 0) yield { done: i, of, note: `what ${candidates.length} places see` };
    const pairs = surePairs(checker, candidate);
    if (!pairs) refusals.push(...whyUnsure(checker, candidate));
    if (!pairs || isOnEquipment(checker, candidate) || checker.roomAt(candidate)?.free === false) continue;
    seeing.push({ candidate, pairs, score: scorePlace(checker, candidate, pairs, region, weights) });
  }
  seeing.sort((a, b) => b.score.total - a.score.total || a.candidate.at.x - b.candidate.at.x || a.candidate.at.y - b.candidate.at.y);
  const found: SuggestedPlace[] = [];
  for (const [i, { candidate, pairs, score }] of seeing.entries()) {
    yield { done: of - seeing.length + i, of, note: `reach and room of ${seeing.length} places` };
    const unsettled = checker.placeResultsOf(candidate).filter((r) => r.verdict !== 'pass');
    const refusal = unsettled.find((r) => r.verdict === 'fail')?.title ?? crowding(checker, candidate);
    if (refusal !== null) { refusals.push(refusal); continue; }
    found.push({ at: candidate.at, mount: candidate.mount, facing: candidate.facing, score, reason: reasonOf(checker, pairs), sees: pairs.flatMap(seenBy), open: unsettled.map(({ check, verdict, title }) => ({ check, verdict, title })) });
    if (wanted === 'best' && (unsettled.length === 0 || i >= ENOUGH)) break;
  }
  return { found, tried: candidates.length, refusals };
}

/**
 * Ranks places that were found by other weights, without searching again: fewest open checks first, then the score.
 * @param feetPerUnit of the sheet, to keep suggestions a yard apart
 */
export function bestPlaces(found: readonly SuggestedPlace[], weights: Weights, feetPerUnit: number): SuggestedPlace[] {
  const ranked = found.map((place) => ({ ...place, score: weigh(place.score.terms, weights) }))
    .sort((a, b) => a.open.length - b.open.length || b.score.total - a.score.total || a.at.x - b.at.x || a.at.y - b.at.y);
  const kept: SuggestedPlace[] = [];
  for (const place of ranked) {
    if (kept.length === AT_MOST) break;
    if (kept.every((k) => Math.hypot(k.at.x - place.at.x, k.at.y - place.at.y) * feetPerUnit >= APART)) kept.push(place);
  }
  return kept;
}

/** The pairs of a place when every one of them passes by itself, no exception and no other disconnect counted; else null. */
export function surePairs(checker: Checker, candidate: Disconnect): PairReport[] | null {
  const pairs = checker.pairsOf(candidate);
  const needed = new Set(checker.sightTargetsOf(candidate).map((t) => `${t.load} ${t.kind}`));
  const own = pairs.filter((pair) => needed.has(`${pair.load} ${pair.target}`));
  return needed.size > 0 && own.length === needed.size && own.every((pair) => pair.viewVerdict === 'pass' && pair.distanceVerdict === 'pass' && pair.verdict === 'pass') ? own : null;
}

/** What keeps a place that sees its loads from passing all the same: data, or a mark that a new plan touched. */
function whyUnsure(checker: Checker, candidate: Disconnect): string[] {
  const open = checker.pairsOf(candidate).find((pair) => pair.verdict !== 'pass');
  if (!open) return [];
  const { title, missing } = open.result;
  return [missing.length > 0 ? missing.join(', ') : title];
}

const seenBy = (pair: PairReport): SeenTarget[] => {
  const line = pair.bodyLine ?? pair.eyeLine;
  if (!line || pair.distance === null) return [];
  const plan = ({ x, y }: { x: number; y: number }): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
  return [{ load: pair.load, target: pair.target, distance: pair.distance, limit: pair.limit, from: plan(line.handle), to: plan(line.target) }];
};

/** Enclosures are taken to be as wide as the working space is: what hangs closer than that would overlap. */
function isOnEquipment(checker: Checker, candidate: Disconnect): boolean {
  const feetPerUnit = checker.sheetOf(candidate.sheet).index?.feetPerUnit ?? 1;
  const { document } = checker;
  return [...entitiesOf(document, 'disconnect', candidate.sheet), ...entitiesOf(document, 'supply', candidate.sheet), ...entitiesOf(document, 'controller', candidate.sheet)]
    .some((e) => e.id !== candidate.id && Math.hypot(e.at.x - candidate.at.x, e.at.y - candidate.at.y) * feetPerUnit < OFF_EQUIPMENT);
}

/** What is wrong with a place that takes the room in front of a device near by; null when none loses it. */
function crowding(checker: Checker, candidate: Disconnect): string | null {
  const feetPerUnit = checker.sheetOf(candidate.sheet).index?.feetPerUnit ?? 1;
  const near = entitiesOf(checker.document, 'disconnect', candidate.sheet).filter((d) => d.id !== candidate.id && Math.hypot(d.at.x - candidate.at.x, d.at.y - candidate.at.y) * feetPerUnit < NEAR_DEVICES);
  if (near.length === 0) return null;
  const after = createChecker({ ...checker.document, entities: { ...checker.document.entities, [candidate.id]: candidate } }, undefined, checker);
  const first = near.find((d) => checker.roomAt(d)?.free === true && after.roomAt(d)?.free !== true);
  return first ? `it would stand in the working space of ${first.tag}` : null;
}

/** Places in the open on a grid, facing the first load: a stand is turned to where its people work. */
function standsIn(checker: Checker, disconnect: Disconnect, region: AllowedRegion): Disconnect[] {
  const load = checker.sightTargetsOf(disconnect)[0]?.body;
  const feetPerUnit = checker.sheetOf(disconnect.sheet).index?.feetPerUnit;
  if (!load || feetPerUnit === undefined) return [];
  const step = OPEN_STEP / feetPerUnit; const box = boxOf(region);
  const stands: Disconnect[] = [];
  // The grid hangs on the load, so that moving the whole plan moves every suggestion with it.
  const first = (low: number, centre: number): number => centre - Math.floor((centre - low) / step) * step;
  for (let x = first(box.left, load.x); x <= box.right; x += step) {
    for (let y = first(box.top, load.y); y <= box.bottom; y += step) {
      if (!region.contains(x, y)) continue;
      const facing = degreesOf(load.x - x, load.y - y);
      stands.push({ ...disconnect, at: { x: sheetUnits(x), y: sheetUnits(y) }, facing, mount: null });
    }
  }
  return stands;
}

/** Why no place at all sees the loads of a disconnect. */
function whyNowhere(checker: Checker, disconnect: Disconnect): string {
  const loads = disconnect.serves.map((id) => checker.document.entities[id]).filter((e): e is Load => e?.kind === 'load');
  if (loads.length === 0) return `${disconnect.tag} serves no load yet: link one first.`;
  if (!checker.sheetOf(disconnect.sheet).index) return 'The sheet has no scale yet: distances cannot be checked.';
  const waiting = loads.filter((load) => !load.at);
  if (waiting.length > 0) return `${waiting.map((l) => l.tag).join(', ')} waits to be placed.`;
  const elsewhere = loads.filter((load) => load.sheet !== disconnect.sheet);
  if (elsewhere.length > 0) return `${elsewhere.map((l) => l.tag).join(', ')} stands on another sheet.`;
  if (checker.sightTargetsOf(disconnect).length === 0) return `No rule asks that ${disconnect.tag} be in sight of what it serves: any place within reach will do.`;
  const hidden = loads.filter((load) => seeingRegion(checker, { ...disconnect, serves: [load.id] }).isEmpty);
  const height = showLength(disconnect.handleHeight, checker.document.facts.units);
  if (hidden.length > 0) return `No place with the handle at ${height} surely sees ${hidden.map((l) => l.tag).join(', ')} within distance.`;
  return `No one place with the handle at ${height} sees all of ${loads.map((l) => l.tag).join(', ')} within distance.`;
}

function reasonOf(checker: Checker, pairs: readonly PairReport[]): string {
  const { units } = checker.document.facts;
  const seen = pairs.map((pair) => {
    const load = checker.document.entities[pair.load];
    const tag = load?.kind === 'load' ? load.tag : pair.load;
    return `${tag}${pair.target === 'machine' ? ' (machine)' : pair.target === 'controller' ? ' (controller)' : ''} at ${showLength(pair.distance ?? pair.limit, units)}`;
  });
  return `Sees ${seen.join(', ')}`;
}

/** Runs long work to its end, where nothing is waiting for it. */
export function finish<T>(work: Generator<Progress, T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}
