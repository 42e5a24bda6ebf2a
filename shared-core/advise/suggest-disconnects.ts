import { createChecker, judgeSharing } from '../checks/index';
import type { Checker } from '../checks/index';
import type { Disconnect, Document, Id, Load } from '../document/index';
import { hangAt, hangingStretches } from './places';
import { EXACT_UP_TO, leastCover } from './cover';
import { IndexCache, seeingRegion } from './region';
import { usualWeights } from './score';
import type { Weights } from './score';
import { searchPlace, surePairs } from './suggest-place';
import type { Progress, SuggestedPlace } from './suggest-place';

/** One disconnect to be placed, and why. */
export interface SuggestedDisconnect {
  readonly serves: readonly Id[];
  /** null when no place passes for even this one load: the notes say so. */
  readonly place: SuggestedPlace | null;
  readonly reason: string;
}

export interface DisconnectsSuggestion {
  readonly disconnects: readonly SuggestedDisconnect[];
  /** Fewest devices by which the chosen loads can be served from the places that were tried. */
  readonly atLeast: number;
  /** Whether the number is proved least among those places. */
  readonly proved: boolean;
  readonly notes: readonly string[];
}

/** Feet between the places tried along walls when loads may share. */
const SHARED_STEP = 2;

/**
 * The fewest disconnects for chosen loads, each with its place and reason. Loads share one only where a rule surely lets
 * them (parts of one machine, one overcurrent device, one room on record) and one place sees all of them; everything else
 * gets its own. Deterministic; a generator, so that it can be stopped.
 */
export function* suggestDisconnects(document: Document, loadIds: readonly Id[], weights: Weights = usualWeights): Generator<Progress, DisconnectsSuggestion> {
  const loads = [...new Set(loadIds)].map((id) => document.entities[id]).filter((e): e is Load => e?.kind === 'load');
  const notes = loads.filter((load) => !load.at).map((load) => `${load.tag} waits to be placed.`);
  const placed = loads.filter((load) => load.at);
  const disconnects: SuggestedDisconnect[] = [];
  let atLeast = 0; let proved = true;
  const checker = createChecker(withoutServers(document, placed));
  const cache = new IndexCache();
  for (const group of sharingGroups(placed)) {
    const sets = group.length === 1 ? [] : yield* sharedSets(checker, group);
    const cover = leastCover(group.length, [...sets, ...group.map((_, i) => [i])]);
    const all = [...sets, ...group.map((_, i) => [i])];
    if (!cover) continue;
    atLeast += cover.atLeast; proved &&= cover.atLeast === cover.chosen.length;
    const taken = new Set<number>();
    for (const index of cover.chosen) {
      const members = (all[index] ?? []).filter((i) => !taken.has(i));
      members.forEach((i) => taken.add(i));
      const served = members.map((i) => group[i]).filter((l): l is Load => l !== undefined);
      const suggestion = yield* searchPlace(checker, newDisconnect(document, served), weights, cache);
      const place = suggestion.places[0] ?? null;
      disconnects.push({ serves: served.map((l) => l.id), place, reason: reasonFor(served, place, suggestion.notes) });
    }
  }
  if (!proved) notes.push(`More than ${EXACT_UP_TO} loads may share: at least ${atLeast} devices, ${disconnects.length} found.`);
  return { disconnects, atLeast, proved, notes };
}

/** The document as if nothing served these loads yet: what is suggested must stand by itself. */
function withoutServers(document: Document, loads: readonly Load[]): Document {
  const ids = new Set(loads.map((l) => l.id));
  const entities = Object.fromEntries(Object.entries(document.entities).filter(([, e]) => !(e.kind === 'disconnect' && e.serves.length > 0 && e.serves.every((id) => ids.has(id))))
    .map(([id, e]) => [id, e.kind === 'disconnect' ? { ...e, serves: e.serves.filter((s) => !ids.has(s)) } : e]));
  return { ...document, entities };
}

/** Loads that could share if one place saw them all; everything else alone. Same sheet, same floor. */
function sharingGroups(loads: readonly Load[]): Load[][] {
  const groups: Load[][] = [];
  for (const load of loads) {
    const group = groups.find((g) => g.every((other) => other.sheet === load.sheet && other.standing === load.standing) && judgeSharing([...g, load], true).verdict === 'pass');
    if (group) group.push(load); else groups.push([load]);
  }
  return groups;
}

/** Sets of the group's loads that one place on a wall sees all of, with room in front: the places of each load's own region are tried. */
function* sharedSets(checker: Checker, group: readonly Load[]): Generator<Progress, number[][]> {
  const sets = new Map<string, number[]>();
  const cache = new IndexCache();
  for (const [i, load] of group.entries()) {
    yield { done: i, of: group.length, note: `places that see ${load.tag}` };
    const single = newDisconnect(checker.document, [load]);
    const stretches = hangingStretches(checker, single, seeingRegion(checker, single, cache));
    for (const stretch of stretches) {
      const steps = Math.max(1, Math.ceil(stretch.length / SHARED_STEP));
      for (let k = 0; k < steps; k += 1) {
        const place = hangAt(single, stretch, (k + 0.5) / steps);
        const seen = group.flatMap((other, j) => (j === i || surePairs(checker, { ...place, serves: [other.id] }) ? [j] : []));
        if (seen.length < 2 || sets.has(seen.join(' ')) || !surePairs(checker, { ...place, serves: [load.id] }) || checker.roomAt(place)?.free !== true) continue;
        sets.set(seen.join(' '), seen);
      }
    }
  }
  // Larger sets first, so that of equally small covers the one with the fuller devices is taken.
  return [...sets.values()].sort((a, b) => b.length - a.length || (a.join(' ') < b.join(' ') ? -1 : 1));
}

function newDisconnect(document: Document, serves: readonly Load[]): Disconnect {
  const [first] = serves;
  if (!first?.at) throw new RangeError('a disconnect is suggested for placed loads only');
  return { kind: 'disconnect', id: 'disconnect-suggested', sheet: first.sheet, tag: `the disconnect of ${serves.map((l) => l.tag).join(', ')}`, at: first.at, handleHeight: document.facts.defaults.handleHeight,
    standing: first.standing, facing: 0, mount: null, serves: serves.map((l) => l.id), data: {} };
}

function reasonFor(loads: readonly Load[], place: SuggestedPlace | null, notes: readonly string[]): string {
  if (!place) return notes[0] ?? `No place was found for ${loads.map((l) => l.tag).join(', ')}.`;
  const shared = loads.length > 1 ? `One for ${loads.length}: ${judgeSharing(loads, true).words}. ` : '';
  return `${shared}${place.reason}`;
}
