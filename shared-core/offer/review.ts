import { entitiesOf, layOf, newId, putEntities, toSheetPoint } from '../document/index';
import type { Document, Edit, Id, Opening, PlanRef, Sheet, Wall } from '../document/index';
import { feet, sheetUnits } from '../units/index';
import type { Doubt, WallCandidate } from './candidate';
import { partOf } from './doubts';

/** Walls offered on one sheet while a person reviews them; members of the sets are places in 'walls'. Nothing of it is in the document. */
export interface WallOffer {
  readonly sheet: Id;
  readonly walls: readonly WallCandidate[];
  /** Picked to become walls with the next acceptance. */
  readonly chosen: ReadonlySet<number>;
  readonly rejected: ReadonlySet<number>;
  readonly layersOff: ReadonlySet<string>;
  /** The one the keyboard is on. */
  readonly at: number | null;
}

interface Box { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }
interface Place { readonly x: number; readonly y: number }
interface Segment { readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly thickness: number }
type Interval = readonly [number, number];

/** A wall along a candidate: directions this near count as one. */
const LIKE_DIRECTION = Math.sin((6 * Math.PI) / 180);
/** A candidate with this share of its length in walls that stand there already is not offered again. */
const THERE = 0.5;
/** A door as high as the opening tool makes it. */
const DOOR_HEAD = feet(7);

const lengthOf = (s: { x1: number; y1: number; x2: number; y2: number }): number => Math.hypot(s.x2 - s.x1, s.y2 - s.y1);

function segmentsOf(document: Document, sheet: Sheet): Segment[] {
  return entitiesOf(document, 'wall', sheet.id).flatMap((wall) => wall.points.slice(1).map((b, i): Segment => {
    const a = wall.points[i] ?? b;
    return { x1: a.x, y1: a.y, x2: b.x, y2: b.y, thickness: sheet.scale ? wall.thickness / sheet.scale.feetPerUnit : 0 };
  }));
}

/** The stretch of the candidate, along it from its first point, that lies in a wall's body; null where it does not. */
function stretchIn(candidate: WallCandidate, wall: Segment): Interval | null {
  const length = lengthOf(candidate); const other = lengthOf(wall);
  if (length === 0 || other === 0) return null;
  const ux = (candidate.x2 - candidate.x1) / length; const uy = (candidate.y2 - candidate.y1) / length;
  const turn = (ux * (wall.y2 - wall.y1) - uy * (wall.x2 - wall.x1)) / other;
  if (Math.abs(turn) > LIKE_DIRECTION) return null;
  const along = (x: number, y: number): number => (x - candidate.x1) * ux + (y - candidate.y1) * uy;
  const across = (x: number, y: number): number => (x - candidate.x1) * -uy + (y - candidate.y1) * ux;
  const [p, q] = [along(wall.x1, wall.y1), along(wall.x2, wall.y2)];
  const from = Math.max(0, Math.min(p, q)); const to = Math.min(length, Math.max(p, q));
  if (!(to > from)) return null;
  // Where the middle of the shared stretch lies beside the wall's own line.
  const t = q === p ? 0 : ((from + to) / 2 - p) / (q - p);
  const beside = Math.abs(across(wall.x1, wall.y1) * (1 - t) + across(wall.x2, wall.y2) * t);
  return beside <= Math.max(candidate.thickness, wall.thickness) / 2 ? [from, to] : null;
}

function freeStretches(candidate: WallCandidate, walls: readonly Segment[]): Interval[] {
  const taken = walls.map((wall) => stretchIn(candidate, wall)).filter((s): s is Interval => s !== null).sort((a, b) => a[0] - b[0]);
  const free: Interval[] = [];
  let at = 0;
  for (const [from, to] of taken) { if (from > at) free.push([at, from]); at = Math.max(at, to); }
  if (lengthOf(candidate) > at) free.push([at, lengthOf(candidate)]);
  return free;
}

/** A candidate cut to a stretch of itself; openings that no longer lie in it go. */
const cut = (candidate: WallCandidate, [from, to]: Interval): WallCandidate => (from <= 0 && to >= lengthOf(candidate) ? candidate : partOf(candidate, from, to));

/** Candidates found in a plan's own picture, where the plan lies on its sheet. */
export function laidOnSheet(found: readonly WallCandidate[], plan: PlanRef): WallCandidate[] {
  const { scale } = layOf(plan);
  return found.map((wall) => {
    const a = toSheetPoint(plan, { x: wall.x1, y: wall.y1 }); const b = toSheetPoint(plan, { x: wall.x2, y: wall.y2 });
    const openings = wall.openings?.map((o) => ({ ...o, from: o.from * scale, to: o.to * scale }));
    return { ...wall, x1: a.x, y1: a.y, x2: b.x, y2: b.y, thickness: wall.thickness * scale, ...(openings ? { openings } : {}) };
  });
}

/** A new offer: what already stands on the sheet is cut out of it, and left-over bits shorter than the wall is thick are dropped. */
export function newOffer(sheet: Sheet, found: readonly WallCandidate[], document: Document): WallOffer {
  const walls = segmentsOf(document, sheet);
  const offered = walls.length === 0 ? found
    : found.flatMap((candidate) => freeStretches(candidate, walls).filter(([from, to]) => to - from > candidate.thickness).map((stretch) => cut(candidate, stretch)));
  return { sheet: sheet.id, walls: offered, chosen: new Set(), rejected: new Set(), layersOff: new Set(), at: null };
}

const known = new WeakMap<readonly WallCandidate[], { readonly entities: Document['entities']; readonly there: ReadonlySet<number> }>();

/** Candidates whose place a wall of the document takes by now; kept per document, since it is asked for with every frame. */
function alreadyThere(offer: WallOffer, document: Document): ReadonlySet<number> {
  const before = known.get(offer.walls);
  if (before?.entities === document.entities) return before.there;
  const sheet = document.sheets.find((s) => s.id === offer.sheet);
  const walls = sheet ? segmentsOf(document, sheet) : [];
  const there = new Set<number>();
  if (walls.length > 0) offer.walls.forEach((candidate, i) => {
    const free = freeStretches(candidate, walls).reduce((sum, [from, to]) => sum + to - from, 0);
    if (free <= (1 - THERE) * lengthOf(candidate)) there.add(i);
  });
  known.set(offer.walls, { entities: document.entities, there });
  return there;
}

/**
 * Places in 'walls' of what is still to be decided: shown by layer, not rejected, and no wall there. An accepted
 * candidate leaves by standing there as a wall, so undo brings it back into the offer.
 */
export function openCandidates(offer: WallOffer, document: Document): number[] {
  const there = alreadyThere(offer, document);
  return offer.walls.flatMap((wall, i) => (there.has(i) || offer.rejected.has(i) || (wall.layer !== undefined && offer.layersOff.has(wall.layer)) ? [] : [i]));
}

/** Layers of the candidates with how many lie on each, by name; empty when the plan has none. */
export function offeredLayers(offer: WallOffer): { readonly layer: string; readonly count: number }[] {
  const counts = new Map<string, number>();
  for (const { layer } of offer.walls) if (layer !== undefined) counts.set(layer, (counts.get(layer) ?? 0) + 1);
  return [...counts].map(([layer, count]) => ({ layer, count })).sort((a, b) => a.layer.localeCompare(b.layer, 'en', { numeric: true }));
}

/** Candidates nobody doubts, and the doubted ones by why: these become walls only when a person chooses them. */
export function byDoubt(offer: WallOffer, open: readonly number[]): { readonly sure: readonly number[]; readonly doubted: readonly { readonly doubt: Doubt; readonly which: readonly number[] }[] } {
  const those = (doubt: Doubt | undefined): number[] => open.filter((i) => offer.walls[i]?.doubt === doubt);
  return { sure: those(undefined), doubted: (['pen', 'edge', 'measure', 'apart'] as const).map((doubt) => ({ doubt, which: those(doubt) })).filter(({ which }) => which.length > 0) };
}

/** The candidate at a position, within its body or the reach, nearest middle line first; null for none. */
export function candidateAt(offer: WallOffer, open: readonly number[], at: Place, reach: number): number | null {
  let best: number | null = null; let nearest = Infinity;
  for (const i of open) {
    const wall = offer.walls[i];
    if (!wall) continue;
    const [dx, dy] = [wall.x2 - wall.x1, wall.y2 - wall.y1];
    const t = Math.max(0, Math.min(1, ((at.x - wall.x1) * dx + (at.y - wall.y1) * dy) / (dx * dx + dy * dy || 1)));
    const distance = Math.hypot(at.x - wall.x1 - t * dx, at.y - wall.y1 - t * dy);
    if (distance <= Math.max(reach, wall.thickness / 2) && distance < nearest) { nearest = distance; best = i; }
  }
  return best;
}

/** Candidates wholly in a box or, with touching, all that meet it. */
export function candidatesWithin(offer: WallOffer, open: readonly number[], box: Box, touching: boolean): number[] {
  return open.filter((i) => {
    const wall = offer.walls[i];
    if (!wall) return false;
    const inside = (x: number, y: number): boolean => x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY;
    const ends = [inside(wall.x1, wall.y1), inside(wall.x2, wall.y2)];
    return touching ? ends.includes(true) || crosses(wall, box) : !ends.includes(false);
  });
}

function crosses(wall: WallCandidate, box: Box): boolean {
  let [from, to] = [0, 1];
  for (const [start, step, low, high] of [[wall.x1, wall.x2 - wall.x1, box.minX, box.maxX], [wall.y1, wall.y2 - wall.y1, box.minY, box.maxY]] as const) {
    if (step === 0) { if (start < low || start > high) return false; continue; }
    const [a, b] = [(low - start) / step, (high - start) / step];
    from = Math.max(from, Math.min(a, b)); to = Math.min(to, Math.max(a, b));
  }
  return from <= to;
}

/** Left to right, line by line from the top: the order in which Tab walks through them. */
export function inReadingOrder(offer: WallOffer, open: readonly number[], lineHeight: number): number[] {
  const at = (i: number): Place => { const w = offer.walls[i]; return w ? { x: Math.min(w.x1, w.x2), y: Math.min(w.y1, w.y2) } : { x: 0, y: 0 }; };
  const row = (i: number): number => Math.floor(at(i).y / lineHeight);
  return [...open].sort((a, b) => row(a) - row(b) || at(a).x - at(b).x || a - b);
}

/** The offer with these chosen, or taken out of the choice. */
export function choosing(offer: WallOffer, which: readonly number[], on: boolean): WallOffer {
  const chosen = new Set(offer.chosen);
  for (const i of which) if (on) chosen.add(i); else chosen.delete(i);
  return { ...offer, chosen };
}

/** The offer without these; 'restored' takes every rejection back. */
export function rejecting(offer: WallOffer, which: readonly number[]): WallOffer {
  const chosen = new Set(offer.chosen);
  for (const i of which) chosen.delete(i);
  return { ...offer, chosen, rejected: new Set([...offer.rejected, ...which]), at: offer.at !== null && which.includes(offer.at) ? null : offer.at };
}
export const restored = (offer: WallOffer): WallOffer => ({ ...offer, rejected: new Set() });

/**
 * One named edit that makes walls of candidates: measured thickness (the project's default while the sheet has no
 * scale), the project's wall height, opaque. A door of the offer becomes a closed solid door, which blocks the view:
 * anything clearer must be said by a person.
 */
export function acceptEdit(offer: WallOffer, which: readonly number[], document: Document): Edit {
  const sheet = document.sheets.find((s) => s.id === offer.sheet);
  const { wallThickness, wallHeight } = document.facts.defaults;
  const head = feet(Math.min(wallHeight, DOOR_HEAD));
  const walls = which.flatMap((i): Wall[] => {
    const candidate = offer.walls[i];
    if (!sheet || !candidate) return [];
    const openings = (candidate.openings ?? []).map((o): Opening => ({ id: newId('opening'), segment: 0, from: sheetUnits(o.from), to: sheetUnits(o.to), sill: feet(0), head, leaf: 'closed', ...(o.swing ? { swing: o.swing } : {}) }));
    return [{
      kind: 'wall', id: newId('wall'), sheet: sheet.id, thickness: sheet.scale ? feet(candidate.thickness * sheet.scale.feetPerUnit) : wallThickness,
      points: [{ x: sheetUnits(candidate.x1), y: sheetUnits(candidate.y1) }, { x: sheetUnits(candidate.x2), y: sheetUnits(candidate.y2) }],
      bottom: feet(0), top: wallHeight, material: 'opaque', openings,
    }];
  });
  return putEntities(document, walls.length === 1 ? 'accepted an offered wall' : `accepted ${walls.length} offered walls`, walls);
}
