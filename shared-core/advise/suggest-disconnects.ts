import { createChecker, judgeSharing } from '../checks/index';
import type { Checker } from '../checks/index';
import { entitiesOf } from '../document/index';
import type { Disconnect, Document, Id, Load } from '../document/index';
import { overlapSets } from '../geometry/index';
import { showLength } from '../units/index';
import { EXACT_UP_TO, leastCover } from './cover';
import { seeingRegion } from './region';
import { usualWeights } from './score';
import type { Weights } from './score';
import { searchPlace } from './suggest-place';
import type { PlaceSuggestion, Progress, SuggestedPlace } from './suggest-place';

/** One disconnect to be placed, and why. */
export interface SuggestedDisconnect {
  readonly serves: readonly Id[];
  readonly sheet: Id;
  readonly handleHeight: Disconnect['handleHeight'];
  readonly standing: Disconnect['standing'];
  readonly place: SuggestedPlace;
  /** Why its loads may share it and what it sees. */
  readonly reason: string;
  readonly notes: readonly string[];
}

/** A load for which no place was found, and why. */
export interface UnplacedLoad { readonly load: Id; readonly why: string }

export interface DisconnectsSuggestion {
  readonly disconnects: readonly SuggestedDisconnect[];
  readonly without: readonly UnplacedLoad[];
  /**
   * No fewer can serve the loads that got one, with handles at the usual height: counted over all ground from which loads
   * that may share are surely seen together, whether there is a wall and room or not.
   */
  readonly atLeast: number;
  /** Whether as many were found, so that the number is proved fewest. */
  readonly proved: boolean;
  /** How many of the loads a rule would let share with another one of them. */
  readonly mayShare: number;
  readonly notes: readonly string[];
}

/** Sets of a group tried for a place before what is left gets a disconnect a load. */
const MOST_SEARCHES = 60;

/**
 * The fewest disconnects for chosen loads, each with its place and reason. Loads share one only where a rule surely lets
 * them (parts of one machine, one overcurrent device, one room on record) and one place sees all of them; everything else
 * gets its own. Which loads can be seen together is read off the overlaps of their whole regions, not off sampled places.
 * Each disconnect is placed with those before it standing, so that together they pass. Loads that have a disconnect may be
 * among them: theirs is then thought away (see replacedBy). Deterministic; a generator, so that it can be stopped.
 */
export function* suggestDisconnects(document: Document, loadIds: readonly Id[], weights: Weights = usualWeights): Generator<Progress, DisconnectsSuggestion> {
  const served = new Set(entitiesOf(document, 'disconnect').flatMap((d) => d.serves));
  const stays: UnplacedLoad[] = [];
  let asked = loadIds;
  for (;;) {
    const found = yield* suggestFor(document, asked, weights);
    // A load that has a disconnect and gets no better one keeps it: the others are then placed with that one standing.
    const back = found.without.filter(({ load }) => served.has(load));
    if (back.length === 0) return { ...found, without: [...stays, ...found.without] };
    stays.push(...back);
    asked = asked.filter((id) => !back.some(({ load }) => load === id));
  }
}

function* suggestFor(document: Document, loadIds: readonly Id[], weights: Weights): Generator<Progress, DisconnectsSuggestion> {
  const loads = [...new Set(loadIds)].map((id) => document.entities[id]).filter((e): e is Load => e?.kind === 'load');
  const without: UnplacedLoad[] = loads.filter((load) => !load.at).map((load) => ({ load: load.id, why: `${load.tag} waits to be placed on the sheet.` }));
  const placed = loads.filter((load) => load.at);
  const builder = new Builder(withoutServers(document, placed), weights);
  const disconnects: SuggestedDisconnect[] = [];
  const notes: string[] = [];
  let atLeast = 0;
  const groups = sharingGroups(placed);
  for (const [i, group] of groups.entries()) {
    yield { done: i, of: groups.length, note: group.loads.map((l) => l.tag).join(', ') };
    const answer = yield* coverGroup(builder, group, { done: i, of: groups.length });
    disconnects.push(...answer.disconnects); without.push(...answer.without); notes.push(...answer.notes);
    atLeast += answer.atLeast;
  }
  return { disconnects, without, atLeast, proved: atLeast === disconnects.length, mayShare: groups.reduce((n, g) => n + (g.families.length > 0 ? g.loads.length : 0), 0), notes };
}

/** The document as if nothing served these loads yet: what is suggested must stand by itself. */
function withoutServers(document: Document, loads: readonly Load[]): Document {
  const { gone, kept } = replacedBy(document, loads.map((l) => l.id));
  const out = new Set(gone.map((d) => d.id));
  return { ...document, entities: Object.fromEntries([...Object.entries(document.entities).filter(([id]) => !out.has(id)), ...kept.map((d) => [d.id, d] as const)]) };
}

/** What becomes of the disconnects that these loads have, once they get others: those that serve nothing else go, the rest serve what is left. */
export function replacedBy(document: Document, loads: readonly Id[]): { readonly gone: readonly Disconnect[]; readonly kept: readonly Disconnect[] } {
  const ids = new Set(loads);
  const touched = entitiesOf(document, 'disconnect').filter((d) => d.serves.some((id) => ids.has(id)));
  const left = touched.map((d) => ({ ...d, serves: d.serves.filter((id) => !ids.has(id)) }));
  return { gone: touched.filter((d) => d.serves.every((id) => ids.has(id))), kept: left.filter((d) => d.serves.length > 0) };
}

/** Loads linked by what may be shared, and the families in which any may share: a load can belong to more than one. */
interface Group { readonly loads: readonly Load[]; readonly families: readonly (readonly Load[])[] }

const has = (load: Load, condition: string): boolean => (load.data.conditions ?? []).includes(condition);

/**
 * Every way in which loads could share if one place saw them all: parts of one machine, under one overcurrent device, in
 * one room; on one sheet and one floor. A family is kept only where the sharing rule itself says pass.
 */
function sharingGroups(loads: readonly Load[]): Group[] {
  const keyed = new Map<string, Load[]>();
  for (const load of loads) {
    const where = `${load.sheet} ${load.standing}`;
    for (const key of [...(load.machine === undefined ? [] : [`${where} machine ${load.machine}`]), ...['one-overcurrent-device', 'one-room'].filter((c) => has(load, c)).map((c) => `${where} ${c}`)]) keyed.set(key, [...(keyed.get(key) ?? []), load]);
  }
  const families = [...keyed.values()].map((family) => family.filter((load) => judgeSharing([load, ...family.filter((other) => other !== load).slice(0, 1)], true).verdict === 'pass'))
    .filter((family) => family.length > 1 && judgeSharing(family, true).verdict === 'pass');
  const groups: { loads: Load[]; families: Load[][] }[] = [];
  for (const load of loads) {
    const own = families.filter((family) => family.includes(load));
    const linked = groups.filter((group) => group.families.some((family) => own.includes(family)));
    const [first, ...rest] = linked;
    if (!first) { groups.push({ loads: [load], families: [...own] }); continue; }
    first.loads.push(load, ...rest.flatMap((g) => g.loads));
    first.families = [...new Set([...first.families, ...rest.flatMap((g) => g.families), ...own])];
    for (const group of rest) groups.splice(groups.indexOf(group), 1);
  }
  return groups;
}

interface Answer { readonly disconnects: SuggestedDisconnect[]; readonly without: UnplacedLoad[]; readonly atLeast: number; readonly notes: string[] }

/** The fewest for one group: least cover by sets that are seen together, each tried for a real place; one without a place is struck out and the cover sought anew. */
function* coverGroup(builder: Builder, group: Group, of: Pick<Progress, 'done' | 'of'>): Generator<Progress, Answer> {
  const { loads } = group;
  const sets = loads.length === 1 ? [] : yield* seenTogether(builder, group, of);
  const singles = loads.map((_, i) => [i]);
  const struck = new Set<string>();
  const without = new Map<number, string>();
  let searches = 0;
  for (;;) {
    const open = loads.map((_, i) => i).filter((i) => !without.has(i));
    const cover = coverOf(open, [...sets.filter((set) => !struck.has(set.join(' '))), ...singles]);
    const tried: SuggestedDisconnect[] = [];
    const mark = builder.mark();
    let failed: { readonly set: readonly number[]; readonly why: string } | null = null;
    for (const set of cover.chosen) {
      const served = set.map((i) => loads[i]).filter((l): l is Load => l !== undefined);
      searches += 1;
      const suggestion: PlaceSuggestion = yield* builder.search(served, of);
      const [place] = suggestion.places;
      if (!place) { failed = { set, why: suggestion.notes.at(-1) ?? '' }; break; }
      tried.push(builder.add(served, place, suggestion.notes));
    }
    if (!failed) {
      const bound = coverOf(open, [...sets, ...singles]);
      const notes = bound.exact || bound.atLeast === tried.length ? [] : [`${open.length} loads from ${loads[0]?.tag ?? ''} on may share with each other; the fewest is worked out in full for up to ${EXACT_UP_TO} such loads and only bounded beyond.`];
      return { disconnects: tried, without: [...without].map(([i, why]) => ({ load: loads[i]?.id ?? '', why })), atLeast: bound.atLeast, notes };
    }
    builder.backTo(mark);
    if (failed.set.length === 1) without.set(failed.set[0] ?? 0, failed.why);
    else if (searches > MOST_SEARCHES) for (const set of sets) struck.add(set.join(' '));
    else struck.add(failed.set.join(' '));
  }
}

interface SetCover { readonly chosen: readonly (readonly number[])[]; readonly atLeast: number; readonly exact: boolean }

/** Least cover of some of the loads, every load once: one that lies in two chosen sets stays with the first. */
function coverOf(open: readonly number[], sets: readonly (readonly number[])[]): SetCover {
  const at = new Map(open.map((load, i) => [load, i]));
  const local = sets.map((set) => set.flatMap((load) => at.get(load) ?? []));
  const cover = leastCover(open.length, local);
  if (!cover) return { chosen: [], atLeast: 0, exact: true };
  const taken = new Set<number>();
  const chosen = cover.chosen.map((i) => (local[i] ?? []).filter((e) => !taken.has(e) && taken.add(e)).map((e) => open[e] ?? 0));
  return { chosen, atLeast: cover.atLeast, exact: open.length <= EXACT_UP_TO };
}

/** All sets of two or more loads of one family that some ground surely sees together, by the overlaps of their regions. */
function* seenTogether(builder: Builder, { loads, families }: Group, of: Pick<Progress, 'done' | 'of'>): Generator<Progress, number[][]> {
  const regions = new Map<Load, ReturnType<typeof seeingRegion>>();
  for (const load of loads) {
    yield { ...of, note: `what can be seen from where: ${load.tag}` };
    regions.set(load, builder.regionOf(load));
  }
  const sets = new Map<string, number[]>();
  for (const family of families) {
    yield { ...of, note: 'which loads can be seen together' };
    for (const over of overlapSets(family.map((load) => regions.get(load)?.outlines ?? []))) {
      const set = over.map((i) => loads.indexOf(family[i] as Load)).sort((a, b) => a - b);
      if (set.length > 1) sets.set(set.join(' '), set);
    }
  }
  // Larger sets first, so that of equally small covers the one with the fuller devices is taken.
  return [...sets.values()].sort((a, b) => b.length - a.length || (a.join(' ') < b.join(' ') ? -1 : 1));
}

const NEW = 'disconnect-suggested';

/** The document with what has been placed so far. The disconnects stand in nobody's sight, so its scenes are made once. */
class Builder {
  private readonly base: Checker;
  private placed: Disconnect[] = [];

  constructor(private readonly document: Document, private readonly weights: Weights) { this.base = createChecker(document); }

  mark(): number { return this.placed.length; }
  backTo(mark: number): void { this.placed = this.placed.slice(0, mark); }

  regionOf(load: Load): ReturnType<typeof seeingRegion> { return seeingRegion(this.base, this.device([load])); }

  *search(served: readonly Load[], of: Pick<Progress, 'done' | 'of'>): Generator<Progress, PlaceSuggestion> {
    const entities = { ...this.document.entities, ...Object.fromEntries(this.placed.map((d) => [d.id, d])) };
    const checker = createChecker({ ...this.document, entities }, undefined, this.base);
    const work = searchPlace(checker, this.device(served), this.weights, 'best');
    for (;;) {
      const step = work.next();
      if (step.done) return step.value;
      yield { ...of, note: served.map((l) => l.tag).join(', ') };
    }
  }

  add(served: readonly Load[], place: SuggestedPlace, notes: readonly string[]): SuggestedDisconnect {
    const device = this.device(served);
    this.placed.push({ ...device, id: `${NEW}-${this.placed.length}`, at: place.at, facing: place.facing, mount: place.mount });
    const shared = served.length > 1 ? `One for ${served.length}: ${judgeSharing(served, true).words}. ` : '';
    return { serves: device.serves, sheet: device.sheet, handleHeight: device.handleHeight, standing: device.standing, place, reason: `${shared}${place.reason}`, notes };
  }

  private device(serves: readonly Load[]): Disconnect {
    const [first] = serves;
    if (!first?.at) throw new RangeError('a disconnect is suggested for placed loads only');
    const { handleHeight } = this.document.facts.defaults;
    return { kind: 'disconnect', id: NEW, sheet: first.sheet, tag: `the disconnect of ${serves.map((l) => l.tag).join(', ')}`, at: first.at, handleHeight, standing: first.standing, facing: 0, mount: null, serves: serves.map((l) => l.id), data: {} };
  }
}

/** The handle height that suggestions are made for, as it is written. */
export const usualHandleHeight = ({ facts }: Document): string => showLength(facts.defaults.handleHeight, facts.units);
