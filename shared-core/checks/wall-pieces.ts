import type { Id, Opening, Wall } from '../document/index';
import type { Obstacle, Transmission } from '../sight/index';
import type { Feet } from '../units/index';

export interface WallPiece { readonly obstacle: Obstacle; readonly segment: number; readonly opening?: Id }

/** What a closed leaf does to a line; an empty doorway is nothing at all. */
const LEAF: Readonly<Record<Opening['leaf'], Transmission | null>> = {
  none: null, closed: 'opaque', 'normally-open': 'leaf', 'vision-panel': 'glazed', glazed: 'glazed',
};

/**
 * Whether an opening reaches past its stretch of wall or into another opening: the hole as drawn is not one that can be built,
 * so nothing may pass because of it.
 */
export function isLooseOpening(wall: Wall, o: Opening): boolean {
  const a = wall.points[o.segment]; const b = wall.points[o.segment + 1];
  const length = a && b ? Math.hypot(b.x - a.x, b.y - a.y) : 0;
  // Placing rounds; a thousandth of the stretch is no fault.
  return o.from < -length / 1000 || o.to > length * 1.001
    || wall.openings.some((p) => p !== o && p.segment === o.segment && p.from < o.to && o.from < p.to && p.sill < o.head && o.sill < p.head);
}

/**
 * A wall as upright prisms: along each segment the wall is cut where an opening begins or ends; over each opening's
 * head and under its sill the wall goes on, and the leaf fills the hole by its kind. An empty hole that is drawn loosely is
 * filled as if by a leaf: what is seen through it is doubtful.
 * @param thickness in sheet units
 */
export function wallPieces(wall: Wall, thickness: number): WallPiece[] {
  const pieces: WallPiece[] = [];
  for (let segment = 0; segment + 1 < wall.points.length; segment += 1) {
    const openings = wall.openings.filter((o) => o.segment === segment && o.to > o.from && o.head > o.sill);
    cutSegment(wall, segment, thickness, openings, pieces);
  }
  return pieces;
}

function cutSegment(wall: Wall, segment: number, thickness: number, openings: readonly Opening[], pieces: WallPiece[]): void {
  const from = wall.points[segment]; const to = wall.points[segment + 1];
  if (!from || !to) return;
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  // Interpolated from the nearer end, and the ends themselves untouched, so that an uncut wall keeps its exact coordinates.
  const at = (distance: number): readonly [number, number] => {
    if (distance <= 0) return [from.x, from.y];
    if (distance >= length) return [to.x, to.y];
    const t = distance / length;
    return [from.x + (to.x - from.x) * t, from.y + (to.y - from.y) * t];
  };
  let count = 0;
  const add = (start: number, end: number, bottom: Feet, top: Feet, transmission: Transmission, opening?: Id): void => {
    const [x1, y1] = at(start); const [x2, y2] = at(end);
    const obstacle: Obstacle = { id: `${wall.id}/${segment}/${count}`, shape: { type: 'wall', x1, y1, x2, y2, thickness }, bottom, top, transmission };
    pieces.push(opening === undefined ? { obstacle, segment } : { obstacle, segment, opening });
    count += 1;
  };
  if (openings.length === 0) { add(0, length, wall.bottom, wall.top, wall.material); return; }
  const cuts = [...new Set([0, length, ...openings.flatMap((o) => [clamp(o.from, length), clamp(o.to, length)])])].sort((a, b) => a - b);
  for (let i = 0; i + 1 < cuts.length; i += 1) {
    const start = cuts[i] ?? 0; const end = cuts[i + 1] ?? 0;
    const here = openings.filter((o) => clamp(o.from, length) <= start && clamp(o.to, length) >= end);
    for (const [bottom, top] of solidRanges(wall.bottom, wall.top, here)) add(start, end, bottom, top, wall.material);
  }
  for (const opening of openings) {
    const transmission = LEAF[opening.leaf] ?? (isLooseOpening(wall, opening) ? 'leaf' : null);
    const bottom = larger(opening.sill, wall.bottom); const top = smaller(opening.head, wall.top);
    if (transmission && top > bottom) add(clamp(opening.from, length), clamp(opening.to, length), bottom, top, transmission, opening.id);
  }
}

const clamp = (distance: number, length: number): number => Math.max(0, Math.min(length, distance));
const larger = (a: Feet, b: Feet): Feet => (a > b ? a : b);
const smaller = (a: Feet, b: Feet): Feet => (a < b ? a : b);

/** Height ranges that stay wall when the openings are taken out. */
function solidRanges(bottom: Feet, top: Feet, openings: readonly Opening[]): (readonly [Feet, Feet])[] {
  const ranges: (readonly [Feet, Feet])[] = [];
  let floor = bottom;
  for (const opening of [...openings].sort((a, b) => a.sill - b.sill)) {
    if (opening.sill > floor) ranges.push([floor, smaller(opening.sill, top)]);
    floor = larger(floor, opening.head);
    if (floor >= top) break;
  }
  if (floor < top) ranges.push([floor, top]);
  return ranges.filter(([low, high]) => high > low || openings.length === 0);
}
