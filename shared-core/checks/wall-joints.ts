import type { Id, Point, Wall } from '../document/index';
import type { Obstacle, Transmission } from '../sight/index';
import { feet } from '../units/index';

export interface WallJoint { readonly obstacle: Obstacle; readonly wall: Id }

/** One end of one wall segment: where it is and which way the wall leaves from there. */
interface WallEnd { readonly wall: Wall; readonly at: Point; readonly away: Vector; readonly half: number }
interface Vector { readonly x: number; readonly y: number }

/** How strongly a material hides; where two meet at a corner the stronger one fills it, since a corner post is solid. */
const STRENGTH: readonly Transmission[] = ['mesh', 'glazed', 'leaf', 'opaque'];

/**
 * Fills the open notch at the outer side of each corner. Walls end square, so two of them that meet at an angle leave a
 * notch as deep as half their thickness: a line that clips the corner would come out clear although the built corner is solid.
 * @param thicknessOf a wall's thickness in sheet units
 * @param reach ends this near to each other are the same corner, sheet units (the plan cannot tell them apart)
 */
export function joinWalls(walls: readonly Wall[], thicknessOf: (wall: Wall) => number, reach: number): WallJoint[] {
  const joints: WallJoint[] = [];
  const ends = walls.map((wall) => endsOf(wall, thicknessOf(wall) / 2));
  let count = 0;
  const join = (a: WallEnd, b: WallEnd): void => {
    const points = fillCorner(a, b);
    const bottom = feet(Math.max(a.wall.bottom, b.wall.bottom)); const top = feet(Math.min(a.wall.top, b.wall.top));
    if (!points || top < bottom) return;
    const transmission = STRENGTH[Math.max(STRENGTH.indexOf(a.wall.material), STRENGTH.indexOf(b.wall.material))] ?? 'opaque';
    joints.push({ wall: a.wall.id, obstacle: { id: `${a.wall.id}/joint/${count}`, shape: { type: 'polygon', points }, bottom, top, transmission } });
    count += 1;
  };
  for (const { inner } of ends) for (const [a, b] of inner) join(a, b);
  for (const [a, b] of nearPairs(ends.flatMap((e) => e.outer), reach)) join(a, b);
  return joints;
}

function endsOf(wall: Wall, half: number): { inner: [WallEnd, WallEnd][]; outer: WallEnd[] } {
  const points = wall.points.filter((p, i) => i === 0 || p.x !== wall.points[i - 1]?.x || p.y !== wall.points[i - 1]?.y);
  const inner: [WallEnd, WallEnd][] = []; const outer: WallEnd[] = [];
  if (half <= 0 || points.length < 2) return { inner, outer };
  const end = (at: Point, towards: Point): WallEnd => {
    const length = Math.hypot(towards.x - at.x, towards.y - at.y);
    return { wall, at, away: { x: (towards.x - at.x) / length, y: (towards.y - at.y) / length }, half };
  };
  points.forEach((at, i) => {
    const before = points[i - 1]; const after = points[i + 1];
    if (before && after) inner.push([end(at, before), end(at, after)]);
    else if (after) outer.push(end(at, after));
    else if (before) outer.push(end(at, before));
  });
  return { inner, outer };
}

/** Smallest grid cell as a share of the plan. */
const FINEST_CELL = 1e-6;

/** Pairs of wall ends no further apart than `reach`, by a hashed grid so that ten thousand walls stay cheap. */
function nearPairs(ends: readonly WallEnd[], reach: number): [WallEnd, WallEnd][] {
  // Without a reach only equal coordinates meet, and those share a cell. A cell is never so small that its number loses digits.
  const extent = ends.reduce((most, { at }) => Math.max(most, Math.abs(at.x), Math.abs(at.y)), 1);
  const cell = reach > 0 ? Math.max(reach, extent * FINEST_CELL) : 1; const around = reach > 0 ? 1 : 0;
  const grid = new Map<number, number[]>();
  const pairs: [WallEnd, WallEnd][] = [];
  ends.forEach((end, i) => {
    const column = Math.floor(end.at.x / cell); const row = Math.floor(end.at.y / cell);
    const found: number[] = [];
    for (let c = column - around; c <= column + around; c += 1) {
      for (let r = row - around; r <= row + around; r += 1) {
        for (const j of grid.get(cellKey(c, r)) ?? []) {
          const other = ends[j];
          if (other && !found.includes(j) && Math.hypot(other.at.x - end.at.x, other.at.y - end.at.y) <= reach) found.push(j);
        }
      }
    }
    for (const j of found) { const other = ends[j]; if (other) pairs.push([other, end]); }
    const key = cellKey(column, row);
    const here = grid.get(key);
    if (here) here.push(i); else grid.set(key, [i]);
  });
  return pairs;
}

/** Two cells may share a key: it costs a distance, never a pair. */
const cellKey = (column: number, row: number): number => (Math.imul(column, 73856093) ^ Math.imul(row, 19349663)) | 0;

/** The notch as a polygon: corner point, the two outer edges, and the mitre tip between them; null when there is none. */
function fillCorner(a: WallEnd, b: WallEnd): (readonly [number, number])[] | null {
  const cross = a.away.x * b.away.y - a.away.y * b.away.x;
  const apart = a.at.x !== b.at.x || a.at.y !== b.at.y;
  if (cross === 0 && !apart) return null;
  // Outer side of each wall: away from the direction in which the other wall leaves.
  const side = cross === 0 ? 1 : Math.sign(cross);
  const outerA: Vector = { x: a.away.y * side, y: -a.away.x * side };
  const outerB: Vector = { x: -b.away.y * side, y: b.away.x * side };
  const edge = (end: WallEnd, out: Vector, sign: number): readonly [number, number] => [end.at.x + out.x * end.half * sign, end.at.y + out.y * end.half * sign];
  const tip = mitreTip(a, b, outerA, outerB);
  if (!apart) return [[a.at.x, a.at.y], edge(a, outerA, 1), ...tip, edge(b, outerB, 1)];
  return convexHull([edge(a, outerA, 1), edge(a, outerA, -1), edge(b, outerB, 1), edge(b, outerB, -1), ...tip]);
}

/**
 * Where the two outer faces would meet, or, at a very sharp turn, the two corners of square end caps: a mitre there
 * would reach far beyond anything built.
 */
function mitreTip(a: WallEnd, b: WallEnd, outerA: Vector, outerB: Vector): (readonly [number, number])[] {
  const edgeA = { x: a.at.x + outerA.x * a.half, y: a.at.y + outerA.y * a.half };
  const edgeB = { x: b.at.x + outerB.x * b.half, y: b.at.y + outerB.y * b.half };
  const cross = a.away.x * b.away.y - a.away.y * b.away.x;
  if (cross !== 0) {
    // edgeA - s * a.away = edgeB - t * b.away, solved for s.
    const s = -((edgeB.x - edgeA.x) * b.away.y - (edgeB.y - edgeA.y) * b.away.x) / cross;
    const t = -((edgeB.x - edgeA.x) * a.away.y - (edgeB.y - edgeA.y) * a.away.x) / cross;
    if (s >= 0 && t >= 0 && s <= 2 * Math.max(a.half, b.half)) return [[edgeA.x - s * a.away.x, edgeA.y - s * a.away.y]];
  }
  return [[edgeA.x - a.half * a.away.x, edgeA.y - a.half * a.away.y], [edgeB.x - b.half * b.away.x, edgeB.y - b.half * b.away.y]];
}

function convexHull(points: readonly (readonly [number, number])[]): (readonly [number, number])[] {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const chain = (list: readonly (readonly [number, number])[]): (readonly [number, number])[] => {
    const out: (readonly [number, number])[] = [];
    for (const p of list) {
      for (;;) {
        const q = out.at(-1); const r = out.at(-2);
        if (!q || !r || (q[0] - r[0]) * (p[1] - r[1]) - (q[1] - r[1]) * (p[0] - r[0]) > 0) break;
        out.pop();
      }
      out.push(p);
    }
    return out.slice(0, -1);
  };
  return [...chain(sorted), ...chain([...sorted].reverse())];
}
