import { areaOfOutlines, cutRegions, outlinesContain } from '../geometry/index';
import type { Box, Circle, CutShape, Outline, OutlineEdge } from '../geometry/index';
import type { Feet } from '../units/index';
import { directionKey, Envelope, OPEN } from './envelope';
import { meets } from './contact';
import { bodiesOf } from './scene';
import type { SpacePoint, Target } from './scene';
import { planOutline, shadowRange, throwsShadow } from './shadows';
import type { Blocking } from './shadows';
import type { SightIndex } from './sight-index';

export interface RegionQuestion {
  /** Height of the handle: the region is the plan at that height. */
  readonly handleHeight: Feet;
  /** Longest straight line in space. */
  readonly limit: Feet;
  /** 'doubtful-too' (usual) keeps to where every line is surely clear; 'opaque' adds ground that is seen only through glazing or a normally open door. */
  readonly blocking?: Blocking;
}

/** A target with a limit of its own instead of the question's. */
export interface RegionTarget extends Target { readonly limit?: Feet }

/** Where a handle sees every target within the limit. Plan units; arcs exact. */
export interface AllowedRegion {
  readonly outlines: readonly Outline[];
  /** Square plan units. */
  readonly area: number;
  readonly squareFeet: number;
  readonly isEmpty: boolean;
  /** For showing and searching; a verdict comes from traceSight alone (near an edge rounding may decide here). */
  contains(x: number, y: number): boolean;
}

/**
 * The set of handle positions at one height that see all targets, each within the limit in a straight line in space.
 * Partial-height obstacles throw the shadow that their height gives them at the handle's height.
 * Area exact to rounding; the outline is the same curves that the area is made of.
 * @throws RangeError without targets, or when a number is not finite
 */
export function allowedRegion(index: SightIndex, targets: readonly RegionTarget[], question: RegionQuestion): AllowedRegion {
  const [first] = targets;
  if (!first) throw new RangeError('A region needs at least one target.');
  // Everything is computed about the first target, so that a plan far from its origin loses no digits.
  const ox = first.x; const oy = first.y;
  let outlines: readonly Outline[] | null = null; let area = 0;
  const views: Seen[] = [];
  let within = targets.length > 2 ? commonReach(index, targets, question, ox, oy) : null;
  if (within && isEmptyBox(within)) return region(index, [], 0, ox, oy);
  for (const target of targets) {
    // What stands beyond the ground that can be left, as seen from the target, hides none of it.
    const seen = seenFrom(index, target, question, ox, oy, within);
    if (seen.outlines.length === 0) return region(index, [], 0, ox, oy);
    views.push(seen);
    if (within) within = overlap(within, boxOf(seen.outlines));
  }
  if (within) {
    // The smallest first, and from the start only in the box that all have in common: what the rest see beyond it is not looked at.
    views.sort((a, b) => a.extent - b.extent);
    if (isEmptyBox(within)) return region(index, [], 0, ox, oy);
    outlines = [closed([within.minX, within.minY, within.maxX, within.minY, within.maxX, within.maxY, within.minX, within.maxY], 0, 0)];
  }
  for (const seen of views) {
    if (!outlines && seen.shadows.length === 0) { outlines = seen.outlines; area = areaOfOutlines(outlines); continue; }
    const shapes: CutShape[] = [{ role: 'keep', outlines: seen.outlines }, ...seen.shadows];
    if (outlines) shapes.push({ role: 'keep', outlines });
    const cut = cutRegions(shapes);
    if (cut.outlines.length === 0) return region(index, [], 0, ox, oy);
    ({ outlines, area } = cut);
  }
  return region(index, outlines ?? [], area, ox, oy);
}

/** The box around what lies within every target's limit, relative to (ox, oy). */
function commonReach(index: SightIndex, targets: readonly RegionTarget[], question: RegionQuestion, ox: number, oy: number): Box {
  let box: Box = { minX: -Infinity, minY: -Infinity, maxX: Infinity, maxY: Infinity };
  for (const target of targets) {
    const radius = planRadius(index, target, target.limit === undefined ? question : { ...question, limit: target.limit }) ?? 0;
    box = overlap(box, { minX: target.x - ox - radius, minY: target.y - oy - radius, maxX: target.x - ox + radius, maxY: target.y - oy + radius });
  }
  return box;
}

const isEmptyBox = ({ minX, minY, maxX, maxY }: Box): boolean => minX >= maxX || minY >= maxY;
const overlap = (a: Box, b: Box): Box => ({ minX: Math.max(a.minX, b.minX), minY: Math.max(a.minY, b.minY), maxX: Math.min(a.maxX, b.maxX), maxY: Math.min(a.maxY, b.maxY) });

/** A box, a little wide, around outlines. */
function boxOf(outlines: readonly Outline[]): Box {
  let minX = Infinity; let minY = Infinity; let maxX = -Infinity; let maxY = -Infinity;
  for (const outline of outlines) for (const { x1, y1, x2, y2, arc } of outline) {
    // An arc of less than half a turn bulges by no more than half its chord.
    const bulge = arc ? Math.min(arc.radius, Math.hypot(x2 - x1, y2 - y1) / 2) : 0;
    minX = Math.min(minX, x1 - bulge, x2 - bulge); maxX = Math.max(maxX, x1 + bulge, x2 + bulge);
    minY = Math.min(minY, y1 - bulge, y2 - bulge); maxY = Math.max(maxY, y1 + bulge, y2 + bulge);
  }
  const slack = 1e-6 * Math.max(maxX - minX, maxY - minY, Math.abs(minX), Math.abs(maxX), Math.abs(minY), Math.abs(maxY));
  return { minX: minX - slack, minY: minY - slack, maxX: maxX + slack, maxY: maxY + slack };
}

function region(index: SightIndex, local: readonly Outline[], area: number, ox: number, oy: number): AllowedRegion {
  const circles = new Map<Circle, Circle>();
  const outlines = local.map((outline) => outline.map((e) => movedEdge(e, ox, oy, circles)));
  return {
    outlines, area, squareFeet: area * index.feetPerUnit ** 2, isEmpty: outlines.length === 0,
    contains: (x, y) => outlinesContain(local, x - ox, y - oy),
  };
}

function movedEdge(e: OutlineEdge, ox: number, oy: number, circles: Map<Circle, Circle>): OutlineEdge {
  const { arc } = e;
  if (!arc) return { x1: e.x1 + ox, y1: e.y1 + oy, x2: e.x2 + ox, y2: e.y2 + oy };
  let moved = circles.get(arc);
  if (!moved) { moved = { cx: arc.cx + ox, cy: arc.cy + oy, radius: arc.radius }; circles.set(arc, moved); }
  return { x1: e.x1 + ox, y1: e.y1 + oy, x2: e.x2 + ox, y2: e.y2 + oy, arc: moved };
}

/** What one target sees, star-shaped, and the shadow bands that are cut out of it. Relative to (ox, oy); its extent in square plan units before the bands. */
interface Seen { readonly outlines: readonly Outline[]; readonly shadows: readonly CutShape[]; readonly extent: number }
const NOTHING: Seen = { outlines: [], shadows: [], extent: 0 };
const envelope = new Envelope();

/** @param within only what is seen of this box, relative to (ox, oy), has to be right */
function seenFrom(index: SightIndex, target: RegionTarget, question: RegionQuestion, ox: number, oy: number, within: Box | null): Seen {
  const blocking = question.blocking ?? 'doubtful-too';
  const radius = planRadius(index, target, target.limit === undefined ? question : { ...question, limit: target.limit });
  if (radius === null) return NOTHING;
  const bodies = bodiesOf(target).map((id) => index.slotOf(id));
  const cx = target.x - ox; const cy = target.y - oy;
  envelope.start(cx, cy, radius);
  const bands: Band[] = [];
  const { x, y } = target;
  const found = within ? index.gather(Math.max(x - radius, Math.min(x, within.minX + ox)), Math.max(y - radius, Math.min(y, within.minY + oy)), Math.min(x + radius, Math.max(x, within.maxX + ox)), Math.min(y + radius, Math.max(y, within.maxY + oy)))
    : index.gather(x - radius, y - radius, x + radius, y + radius);
  const { gathered, plan, solid } = index;
  for (let j = 0; j < found; j += 1) {
    const slot = gathered[j]!;
    if (bodies.includes(slot) || !throwsShadow(index.transmission[slot]!, blocking)) continue;
    const bottom = solid[3 * slot + 1]!; const top = solid[3 * slot + 2]!;
    if (target.z >= bottom && target.z <= top && isNear(index, slot, target) && meets(pointLine(target), index.prism(slot))) return NOTHING;
    const range = shadowRange(target.z, question.handleHeight, bottom, top);
    if (!range) continue;
    if (range.near === 1 && range.far === Infinity && solid[3 * slot] === 0 && index.isRing[slot] === 0) {
      const k = 4 * slot;
      envelope.add(plan[k]! - ox, plan[k + 1]! - oy, plan[k + 2]! - ox, plan[k + 3]! - oy, slot);
      continue;
    }
    const ring = planOutline(index, slot);
    if (range.far === Infinity) addEdges(ring, range.near, target, ox, oy, slot);
    else bands.push({ ring, near: range.near, far: range.far });
  }
  envelope.build();
  const outlines = [outlineOf(envelope)];
  return { outlines, shadows: bandShapes(bands, target, ox, oy), extent: within ? areaOfOutlines(outlines) : 0 };
}

/** Plan distance at which the straight line in space is as long as the limit; null when the heights alone are further apart. */
export function planRadius(index: SightIndex, target: SpacePoint, question: RegionQuestion): number | null {
  const rise = target.z - question.handleHeight;
  const square = (question.limit - rise) * (question.limit + rise);
  if (!Number.isFinite(square)) throw new RangeError(`A region needs finite heights and limit, got ${target.z}, ${question.handleHeight} and ${question.limit}.`);
  return square > 0 ? Math.sqrt(square) / index.feetPerUnit : null;
}

/** Whether the point lies in the obstacle's box, widened for rounding. */
function isNear({ plan, solid }: SightIndex, slot: number, p: SpacePoint): boolean {
  const k = 4 * slot; const t = solid[3 * slot]!;
  const x1 = plan[k]!; const y1 = plan[k + 1]!; const x2 = plan[k + 2]!; const y2 = plan[k + 3]!;
  return !((x1 > p.x + t && x2 > p.x + t) || (x1 < p.x - t && x2 < p.x - t) || (y1 > p.y + t && y2 > p.y + t) || (y1 < p.y - t && y2 < p.y - t));
}

const pointLine = (p: SpacePoint) => ({ ax: p.x, ay: p.y, az: p.z, bx: p.x, by: p.y, bz: p.z });

/** A shadow without end behind an edge is the ground behind the edge moved away from the target by the factor `near`. */
function addEdges(ring: ArrayLike<number>, near: number, target: SpacePoint, ox: number, oy: number, slot: number): void {
  const n = ring.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    if (n === 4 && i === 2) break; // a bare line has one edge, not two
    if (near === 1) { envelope.add(ring[j]! - ox, ring[j + 1]! - oy, ring[i]! - ox, ring[i + 1]! - oy, slot); continue; }
    const cx = target.x - ox; const cy = target.y - oy;
    envelope.add(cx + near * (ring[j]! - target.x), cy + near * (ring[j + 1]! - target.y), cx + near * (ring[i]! - target.x), cy + near * (ring[i + 1]! - target.y), slot);
  }
}

/** A shadow with an end: between `near` and `far` times an outline's distance. */
interface Band { readonly ring: ArrayLike<number>; readonly near: number; readonly far: number }

/**
 * The ground of the bands: behind each edge from `near` to `far`, and each outline itself moved out by `near`; hidden edges
 * left out. What stands behind edges is one shape, because its parts all turn the same way; an outline may be drawn badly
 * and cross itself, so each is a shape of its own.
 */
function bandShapes(bands: readonly Band[], target: SpacePoint, ox: number, oy: number): CutShape[] {
  const cx = target.x - ox; const cy = target.y - oy;
  const behind: Outline[] = []; const shapes: CutShape[] = [];
  for (const { ring, near, far } of bands) {
    const n = ring.length; const before = behind.length;
    for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
      if (n === 4 && i === 2) break;
      const ax = ring[j]! - target.x; const ay = ring[j + 1]! - target.y; const bx = ring[i]! - target.x; const by = ring[i + 1]! - target.y;
      if (isHidden(near * ax, near * ay, near * bx, near * by)) continue;
      const quad = ax * by - ay * bx < 0 ? [near * ax, near * ay, near * bx, near * by, far * bx, far * by, far * ax, far * ay] : [near * bx, near * by, near * ax, near * ay, far * ax, far * ay, far * bx, far * by];
      behind.push(closed(quad, cx, cy));
    }
    if (n > 4 && behind.length > before) shapes.push({ role: 'drop', outlines: [closed(Array.from(ring, (value, k) => near * (value - (k % 2 === 0 ? target.x : target.y))), cx, cy)] });
  }
  if (behind.length > 0) shapes.push({ role: 'drop', outlines: behind });
  return shapes;
}

/** Whether all of an edge (relative to the viewpoint) surely lies behind what the envelope has, or past its radius. */
function isHidden(x1: number, y1: number, x2: number, y2: number): boolean {
  let ax = x1; let ay = y1; let bx = x2; let by = y2; let cross = ax * by - ay * bx;
  if (cross === 0) return false;
  if (cross < 0) { cross = -cross; ax = x2; ay = y2; bx = x1; by = y1; }
  const dx = bx - ax; const dy = by - ay; const { runs, count, radius } = envelope;
  if (cross * cross > radius * radius * (dx * dx + dy * dy)) return true;
  const from = directionKey(ax, ay); const to = directionKey(bx, by);
  if (from > to) return false;
  // Both stand at cross / (u x d) along a direction u: which is nearer is linear in u, so the ends of each run decide.
  for (let k = envelope.find(from), ux = ax, uy = ay; ; k += 1) {
    const edge = runs.edge[k]!; const last = k + 1 >= count || runs.key[k + 1]! >= to;
    const vx = last ? bx : runs.x[k + 1]!; const vy = last ? by : runs.y[k + 1]!;
    if (edge === OPEN || !(isBehind(edge, cross, dx, dy, ux, uy) && isBehind(edge, cross, dx, dy, vx, vy))) return false;
    if (last) return true;
    ux = vx; uy = vy;
  }
}

function isBehind(edge: number, cross: number, dx: number, dy: number, ux: number, uy: number): boolean {
  return cross * (ux * envelope.lineY[edge]! - uy * envelope.lineX[edge]!) >= ux * dy - uy * dx;
}

function closed(flat: readonly number[], cx: number, cy: number): Outline {
  const n = flat.length; const edges: OutlineEdge[] = [];
  for (let i = 0; i < n; i += 2) { const k = (i + 2) % n; edges.push({ x1: cx + flat[i]!, y1: cy + flat[i + 1]!, x2: cx + flat[k]!, y2: cy + flat[k + 1]! }); }
  return edges;
}

/** The envelope's ground as one outline, turning with the angle; where the distance jumps an edge runs along the direction. */
export function outlineOf(view: Envelope): Outline {
  const { runs, count, cx, cy, radius } = view;
  const circle: Circle = { cx, cy, radius };
  if (count === 1 && runs.edge[0] === OPEN) {
    const right = cx + radius; const left = cx - radius;
    return [{ x1: right, y1: cy, x2: left, y2: cy, arc: circle }, { x1: left, y1: cy, x2: right, y2: cy, arc: circle }];
  }
  const edges: OutlineEdge[] = [];
  // The first and the last run are one when the same edge goes on across the start of the order.
  const joined = count > 1 && runs.edge[0] === runs.edge[count - 1];
  let px = NaN; let py = NaN; let firstX = NaN; let firstY = NaN;
  for (let k = joined ? 1 : 0; k < count; k += 1) {
    const edge = runs.edge[k]!; const stop = k < count - 1 ? k + 1 : joined ? 1 : 0;
    const from = reachOf(view, edge, k); const to = reachOf(view, edge, stop);
    const x1 = cx + from * runs.x[k]!; const y1 = cy + from * runs.y[k]!; const x2 = cx + to * runs.x[stop]!; const y2 = cy + to * runs.y[stop]!;
    if (Number.isNaN(px)) { firstX = x1; firstY = y1; } else putEdge(edges, px, py, x1, y1, null);
    if (edge === OPEN) {
      const span = (stop === 0 ? 2 : runs.key[stop]!) - runs.key[k]!;
      putArc(edges, circle, x1, y1, x2, y2, span < 0 ? span + 4 : span);
    } else putEdge(edges, x1, y1, x2, y2, null);
    px = x2; py = y2;
  }
  putEdge(edges, px, py, firstX, firstY, null);
  return edges;
}

/** How far run k's direction reaches to an edge, or to the radius. */
function reachOf(view: Envelope, edge: number, k: number): number {
  const x = view.runs.x[k]!; const y = view.runs.y[k]!;
  return edge === OPEN ? view.radius / Math.sqrt(x * x + y * y) : view.reach(edge, x, y);
}

function putEdge(edges: OutlineEdge[], x1: number, y1: number, x2: number, y2: number, arc: Circle | null): void {
  if (x1 !== x2 || y1 !== y2) edges.push(arc ? { x1, y1, x2, y2, arc } : { x1, y1, x2, y2 });
}

/** An arc of half a turn or more is written as two, so that its ends always tell which way it runs. `span` in direction keys. */
function putArc(edges: OutlineEdge[], circle: Circle, x1: number, y1: number, x2: number, y2: number, span: number): void {
  if (span < 2) { putEdge(edges, x1, y1, x2, y2, span > 1e-12 ? circle : null); return; }
  const mx = 2 * circle.cx - x1; const my = 2 * circle.cy - y1;
  putEdge(edges, x1, y1, mx, my, circle); putEdge(edges, mx, my, x2, y2, circle);
}
