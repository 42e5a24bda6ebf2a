import { createChecker } from '../checks/index';
import type { Checker, PairReport } from '../checks/index';
import type { Disconnect, Document, Id, Point } from '../document/index';
import type { AllowedRegion } from '../sight/index';
import { sheetUnits, showLength } from '../units/index';
import { boxOf, hangAt, placesFor } from './places';
import { IndexCache } from './region';
import { scorePlace, usualWeights } from './score';
import type { Score, Weights } from './score';

/** Said between steps of long work; whoever runs it may stop there by no longer asking. */
export interface Progress { readonly done: number; readonly of: number; readonly note: string }

/** A place that passes sight and distance for all its loads and has room in front. */
export interface SuggestedPlace {
  readonly at: Point;
  readonly mount: Disconnect['mount'];
  readonly facing: number;
  readonly score: Score;
  readonly reason: string;
}

export interface PlaceSuggestion {
  /** Best first, no two within a yard of each other; empty when nothing was found. */
  readonly places: readonly SuggestedPlace[];
  readonly tried: number;
  /** Why there is none, or what was not checked. */
  readonly notes: readonly string[];
}

/** Feet: how close together places are tried along walls and in the open, and how far apart two suggestions must be. */
const WALL_STEP = 1; const OPEN_STEP = 2; const APART = 3;
const AT_MOST = 5;
/** Places tried between two words of progress. */
const BATCH = 25;

/**
 * Looks for the best place of one disconnect: along the wall stretches that see its loads and have room, or on a stand in
 * the open where no wall will do. Deterministic; a generator, so that it can be stopped at any step.
 */
export function* suggestPlace(document: Document, disconnectId: Id, weights: Weights = usualWeights): Generator<Progress, PlaceSuggestion> {
  const disconnect = document.entities[disconnectId];
  if (disconnect?.kind !== 'disconnect') throw new RangeError(`no disconnect '${disconnectId}'`);
  const checker = createChecker(document, disconnect.sheet);
  return yield* searchPlace(checker, disconnect, weights, new IndexCache());
}

/** The same search with a checker at hand, for a disconnect that need not be in the document. */
export function* searchPlace(checker: Checker, disconnect: Disconnect, weights: Weights, cache: IndexCache): Generator<Progress, PlaceSuggestion> {
  yield { done: 0, of: 1, note: `what ${disconnect.tag} can see` };
  const places = placesFor(checker, disconnect, cache);
  if (places.region.isEmpty) return { places: [], tried: 0, notes: [`No place sees all loads of ${disconnect.tag} at its handle height within distance.`] };
  const hanging = places.stretches.flatMap((s) => { const n = Math.max(1, Math.ceil(s.length / WALL_STEP)); return Array.from({ length: n }, (_, i) => hangAt(disconnect, s, (i + 0.5) / n)); });
  const onWalls = yield* tryAll(checker, hanging, places.region, weights);
  const notes = places.roomChecked ? [] : ['Room in front was not checked: volts to ground are not known.'];
  if (onWalls.places.length > 0) return { places: spread(checker, disconnect, onWalls.places), tried: onWalls.tried, notes };
  const open = yield* tryAll(checker, standsIn(checker, disconnect, places.region), places.region, weights);
  return { places: spread(checker, disconnect, open.places), tried: onWalls.tried + open.tried,
    notes: [...notes, open.places.length > 0 ? 'No wall will do: these need a stand or a post.' : `Nothing that sees all loads of ${disconnect.tag} has room in front.`] };
}

function* tryAll(checker: Checker, candidates: readonly Disconnect[], region: AllowedRegion, weights: Weights): Generator<Progress, { places: SuggestedPlace[]; tried: number }> {
  const places: SuggestedPlace[] = [];
  for (const [i, candidate] of candidates.entries()) {
    if (i % BATCH === 0) yield { done: i, of: candidates.length, note: 'places' };
    const pairs = surePairs(checker, candidate);
    const room = checker.roomAt(candidate);
    if (!pairs || room?.free === false) continue;
    const score = scorePlace(checker, candidate, pairs, region, weights);
    places.push({ at: candidate.at, mount: candidate.mount, facing: candidate.facing, score, reason: reasonOf(checker, pairs, score) });
  }
  return { places: places.sort((a, b) => b.score.total - a.score.total || a.at.x - b.at.x || a.at.y - b.at.y), tried: candidates.length };
}

/** The pairs of a place when every one of them passes by itself, no exception and no other disconnect counted; else null. */
export function surePairs(checker: Checker, candidate: Disconnect): PairReport[] | null {
  const pairs = checker.pairsOf(candidate);
  const needed = new Set(checker.sightTargetsOf(candidate).map((t) => `${t.load} ${t.kind}`));
  const own = pairs.filter((pair) => needed.has(`${pair.load} ${pair.target}`));
  return needed.size > 0 && own.length === needed.size && own.every((pair) => pair.viewVerdict === 'pass' && pair.distanceVerdict === 'pass') ? own : null;
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
      const facing = (Math.atan2(load.y - y, load.x - x) * 180) / Math.PI;
      stands.push({ ...disconnect, at: { x: sheetUnits(x), y: sheetUnits(y) }, facing, mount: null });
    }
  }
  return stands;
}

/** The best few that are not the same place again. */
function spread(checker: Checker, disconnect: Disconnect, places: readonly SuggestedPlace[]): SuggestedPlace[] {
  const apart = APART / (checker.sheetOf(disconnect.sheet).index?.feetPerUnit ?? 1);
  const kept: SuggestedPlace[] = [];
  for (const place of places) {
    if (kept.length === AT_MOST) break;
    if (kept.every((k) => Math.hypot(k.at.x - place.at.x, k.at.y - place.at.y) >= apart)) kept.push(place);
  }
  return kept;
}

function reasonOf(checker: Checker, pairs: readonly PairReport[], score: Score): string {
  const { units } = checker.document.facts;
  const seen = pairs.map((pair) => {
    const load = checker.document.entities[pair.load];
    const tag = load?.kind === 'load' ? load.tag : pair.load;
    return `${tag}${pair.target === 'machine' ? ' (machine)' : pair.target === 'controller' ? ' (controller)' : ''} at ${showLength(pair.distance ?? pair.limit, units)}`;
  });
  const best = [...score.terms].sort((a, b) => b.good * b.weight - a.good * a.weight)[0];
  const words = { distance: 'near', 'sight-margin': 'well inside the view', route: 'a short route', 'clear-space': 'ample room', height: 'a handy height' } as const;
  return `Sees ${seen.join(', ')}${best ? `; ${words[best.name]}` : ''}`;
}

/** Runs long work to its end, where nothing is waiting for it. */
export function finish<T>(work: Generator<Progress, T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}
