import type { Id, Point, Sheet, Wall } from '../../shared-core/document/index';
import { directionOf, distanceOf, grown, halfThickness, lineCrossing, middleOf, nearestOnSegment, pointAt, pointsOf } from './plan-geometry';
import type { Vector } from './plan-geometry';
import type { PlanIndex } from './plan-index';

export type SnapKind = 'end' | 'middle' | 'crossing' | 'right-angle' | 'extension' | 'wall' | 'free';

export interface Snap {
  readonly at: Point;
  readonly kind: SnapKind;
  /** A line to show, from where the alignment comes. */
  readonly guide?: readonly [Point, Point];
}

/** Whether the position comes from what is drawn alone, whatever the zoom; along a line it is as exact as the hand. */
export const isExactSnap = ({ kind }: Snap): boolean => kind === 'end' || kind === 'middle' || kind === 'crossing';

export interface SnapOptions {
  /** How near counts, sheet units. */
  readonly reach: number;
  /** Where the line being drawn comes from, and the point before it: they give the right angles. */
  readonly from?: Point | undefined;
  readonly before?: Point | undefined;
  /** Right angles only (Shift). */
  readonly square?: boolean;
  readonly exclude?: ReadonlySet<Id>;
  /** Points of the line being drawn, ends to snap to. */
  readonly own?: readonly Point[];
}

const box = (p: Vector, by: number) => grown({ minX: p.x, minY: p.y, maxX: p.x, maxY: p.y }, by);

/**
 * What a pointed position means: an end, a mid-point, a wall line, a right angle or an extension when one is within
 * reach, in that order of strength; otherwise the position itself. There is no grid.
 */
export function snapPoint(index: PlanIndex, raw: Point, options: SnapOptions): Snap {
  const segments = nearbySegments(index, raw, options);
  if (!options.square) {
    const point = nearestNotable(raw, segments, options);
    if (point) return point;
  }
  const guide = rightAngle(raw, options);
  if (guide) {
    const crossing = guideMeetsWall(guide, segments, raw, options.reach);
    return crossing ?? guide;
  }
  const extended = options.square ? null : extension(index, raw, options);
  let wall: Snap | null = null; let near = options.reach;
  for (const [a, b] of segments) {
    const foot = nearestOnSegment(raw, a, b);
    if (foot.distance <= near) { near = foot.distance; wall = { at: foot.at, kind: 'wall' }; }
  }
  return wall ?? extended ?? { at: raw, kind: 'free' };
}

type Segment = readonly [Point, Point];

function nearbySegments(index: PlanIndex, raw: Point, { reach, exclude }: SnapOptions): Segment[] {
  const segments: Segment[] = [];
  for (const { entity, segment } of index.search(box(raw, reach))) {
    if (exclude?.has(entity.id)) continue;
    const points = pointsOf(entity);
    if (entity.kind === 'wall') { const a = points[segment]; const b = points[segment + 1]; if (a && b) segments.push([a, b]); }
    else if (entity.kind === 'obstruction' || entity.kind === 'area') {
      points.forEach((a, i) => { const b = points[(i + 1) % points.length]; if (b) segments.push([a, b]); });
    }
  }
  return segments;
}

function nearestNotable(raw: Point, segments: readonly Segment[], { reach, own }: SnapOptions): Snap | null {
  let best: Snap | null = null; let near = reach;
  const offer = (at: Point, kind: SnapKind): void => {
    const d = distanceOf(raw, at);
    if (d <= near) { near = d; best = { at, kind }; }
  };
  for (const point of own ?? []) offer(point, 'end');
  for (const [a, b] of segments) { offer(a, 'end'); offer(b, 'end'); }
  if (best) return best;
  for (let i = 0; i < segments.length; i += 1) {
    const s = segments[i]; if (!s) continue;
    offer(middleOf(s[0], s[1]), 'middle');
    for (const other of segments.slice(i + 1, i + 12)) {
      const crossing = lineCrossing(s[0], s[1], other[0], other[1]);
      if (crossing && nearestOnSegment(crossing, ...s).distance < 1e-6 * reach && nearestOnSegment(crossing, ...other).distance < 1e-6 * reach) offer(crossing, 'crossing');
    }
  }
  return best;
}

/** The sheet's own axes, and the direction of the piece drawn before, each with its perpendicular. */
function rightAngle(raw: Point, { from, before, reach, square }: SnapOptions): (Snap & { guide: readonly [Point, Point] }) | null {
  if (!from) return null;
  const reachOut = distanceOf(raw, from);
  if (reachOut === 0) return null;
  const axes: Vector[] = [{ x: 1, y: 0 }, { x: 0, y: 1 }];
  if (before) {
    const length = distanceOf(from, before);
    if (length > 0) { const u = { x: (from.x - before.x) / length, y: (from.y - before.y) / length }; axes.push(u, { x: -u.y, y: u.x }); }
  }
  let best: Point | null = null; let near = square ? Infinity : Math.min(reach, reachOut / 4);
  for (const axis of axes) {
    const along = (raw.x - from.x) * axis.x + (raw.y - from.y) * axis.y;
    const at = pointAt(from.x + along * axis.x, from.y + along * axis.y);
    const off = distanceOf(raw, at);
    if (off < near) { near = off; best = at; }
  }
  return best && { at: best, kind: 'right-angle', guide: [from, best] };
}

function guideMeetsWall(guide: Snap & { guide: readonly [Point, Point] }, segments: readonly Segment[], raw: Point, reach: number): Snap | null {
  let best: Snap | null = null; let near = 2 * reach;
  for (const [a, b] of segments) {
    const at = lineCrossing(guide.guide[0], guide.guide[1], a, b);
    if (!at || nearestOnSegment(at, a, b).distance > 1e-6 * reach) continue;
    const d = distanceOf(raw, at);
    if (d < near) { near = d; best = { at, kind: 'crossing', guide: [guide.guide[0], at] }; }
  }
  return best;
}

/** Lines of nearby walls carried on beyond their ends. */
function extension(index: PlanIndex, raw: Point, { reach, exclude }: SnapOptions): Snap | null {
  let best: Snap | null = null; let near = reach / 2;
  for (const { entity, segment } of index.search(box(raw, 25 * reach))) {
    if (entity.kind !== 'wall' || exclude?.has(entity.id)) continue;
    const a = entity.points[segment]; const b = entity.points[segment + 1];
    if (!a || !b) continue;
    const length = distanceOf(a, b);
    if (length < reach) continue;
    const along = ((raw.x - a.x) * (b.x - a.x) + (raw.y - a.y) * (b.y - a.y)) / length;
    if (along >= 0 && along <= length) continue;
    const at = pointAt(a.x + (along * (b.x - a.x)) / length, a.y + (along * (b.y - a.y)) / length);
    const off = distanceOf(raw, at);
    if (off < near) { near = off; best = { at, kind: 'extension', guide: [along < 0 ? a : b, at] }; }
  }
  return best;
}

/** Where a disconnect hangs: the point on the wall's face, and the direction it faces. */
export interface Hang { readonly at: Point; readonly facing: number; readonly wall: Id; readonly segment: number }

/**
 * The nearest wall face within reach of a pointed position, on the side that was pointed at. A wall's empty doorway
 * or window at handle height holds nothing, so it is passed over.
 * @param reach   distance from the face, sheet units
 * @param height  handle height, feet, to tell a hole in the wall from the wall below a sill
 */
export function hangOnWall(index: PlanIndex, sheet: Sheet, raw: Point, reach: number, height: number, exclude?: ReadonlySet<Id>): Hang | null {
  let best: Hang | null = null; let near = reach;
  // Walls are indexed by centre line, so the search goes out by the thickest plausible half wall as well.
  for (const { entity, segment } of index.search(box(raw, reach + halfThickness(sheet, THICKEST)))) {
    if (entity.kind !== 'wall' || entity.material === 'glazed' || exclude?.has(entity.id)) continue;
    const hang = faceOf(entity, segment, sheet, raw, height);
    if (!hang) continue;
    const inside = distanceToCentre(entity, segment, raw) < halfThickness(sheet, entity.thickness);
    const off = inside ? 0 : distanceOf(raw, hang.at);
    if (off < near || (off === 0 && !best)) { near = off; best = hang; }
  }
  return best;
}
const THICKEST = 4 as Parameters<typeof halfThickness>[1];

const distanceToCentre = (wall: Wall, segment: number, raw: Vector): number => {
  const a = wall.points[segment]; const b = wall.points[segment + 1];
  return a && b ? nearestOnSegment(raw, a, b).distance : Infinity;
};

/** The point of one wall segment's face nearest to a position, on that position's side; null in a hole. */
export function faceOf(wall: Wall, segment: number, sheet: Sheet, raw: Vector, height: number): Hang | null {
  const a = wall.points[segment]; const b = wall.points[segment + 1];
  if (!a || !b) return null;
  const length = distanceOf(a, b);
  if (length === 0) return null;
  const foot = nearestOnSegment(raw, a, b);
  const along = foot.t * length;
  if (wall.openings.some((o) => o.segment === segment && along > o.from && along < o.to && height > o.sill && height < o.head)) return null;
  const side = (b.x - a.x) * (raw.y - a.y) - (b.y - a.y) * (raw.x - a.x) >= 0 ? 1 : -1;
  const normal = { x: (-(b.y - a.y) / length) * side, y: ((b.x - a.x) / length) * side };
  const half = halfThickness(sheet, wall.thickness);
  return { at: pointAt(foot.at.x + normal.x * half, foot.at.y + normal.y * half), facing: directionOf(normal), wall: wall.id, segment };
}
