import type { Id, Point, Wall } from '../document/index';
import type { Obstacle, Transmission } from '../sight/index';
import { feet } from '../units/index';

export interface WallJoint { readonly obstacle: Obstacle; readonly wall: Id }

/** One end of one wall segment: where it is and which way the wall leaves from there. `end` counts the two ends of the whole wall. */
interface WallEnd { readonly wall: Wall; readonly end: 0 | 1; readonly at: Point; readonly away: Vector; readonly half: number }
interface Vector { readonly x: number; readonly y: number }

/** How strongly a material hides; where two meet at a corner the stronger one fills it, since a corner post is solid. */
const STRENGTH: readonly Transmission[] = ['mesh', 'glazed', 'leaf', 'opaque'];

/**
 * Fills the open notch at the outer side of each corner. Walls end square, so two of them that meet at an angle leave a
 * notch as deep as half their thickness: a line that clips the corner would come out clear although the built corner is solid.
 * Walls come and go one by one; a joint is named by the two ends it lies between, so that it is the same whatever came first.
 */
export class Corners {
  private readonly cell: number;
  private readonly around: number;
  /** Wall ends by grid cell, so that ten thousand walls stay cheap. */
  private readonly grid = new Map<number, WallEnd[]>();
  private readonly ends = new Map<Id, readonly WallEnd[]>();
  /** Joints by each of the walls they lie between. */
  private readonly joints = new Map<Id, Set<string>>();
  private readonly between = new Map<string, readonly Id[]>();

  /**
   * @param reach ends this near to each other are the same corner, sheet units (the plan cannot tell them apart)
   * @param extent largest coordinate to expect: a cell is never so small that its number loses digits
   */
  constructor(private readonly reach: number, extent: number) {
    // Without a reach only equal coordinates meet, and those share a cell.
    this.cell = reach > 0 ? Math.max(reach, extent * FINEST_CELL) : 1; this.around = reach > 0 ? 1 : 0;
  }

  /** The corners that a wall closes, with itself and with the walls that are there. @param half half its thickness, sheet units */
  put(wall: Wall, half: number): WallJoint[] {
    const made: WallJoint[] = [];
    const { inner, outer } = endsOf(wall, half);
    inner.forEach(([a, b], i) => { this.join(a, b, `${wall.id}/joint/inner/${i}`, made); });
    for (const end of outer) {
      for (const other of this.near(end)) {
        // Always in the same order, so that no digit depends on which wall was drawn first.
        const isFirst = other.wall.id < end.wall.id || (other.wall.id === end.wall.id && other.end < end.end);
        const [a, b] = isFirst ? [other, end] : [end, other];
        this.join(a, b, `${a.wall.id}/joint/${a.end}/${b.wall.id}/${b.end}`, made);
      }
      const key = this.keyOf(end.at);
      const here = this.grid.get(key);
      if (here) here.push(end); else this.grid.set(key, [end]);
    }
    this.ends.set(wall.id, outer);
    return made;
  }

  /** Takes a wall out. @returns the joints that go with it, also those named after another wall */
  drop(wall: Id): string[] {
    for (const end of this.ends.get(wall) ?? []) {
      const key = this.keyOf(end.at);
      this.grid.set(key, (this.grid.get(key) ?? []).filter((other) => other !== end));
    }
    this.ends.delete(wall);
    const gone = [...this.joints.get(wall) ?? []];
    this.joints.delete(wall);
    for (const id of gone) for (const other of this.between.get(id) ?? []) this.joints.get(other)?.delete(id);
    for (const id of gone) this.between.delete(id);
    return gone;
  }

  private near(end: WallEnd): WallEnd[] {
    const column = Math.floor(end.at.x / this.cell); const row = Math.floor(end.at.y / this.cell);
    const found = new Set<WallEnd>();
    for (let c = column - this.around; c <= column + this.around; c += 1) {
      for (let r = row - this.around; r <= row + this.around; r += 1) {
        for (const other of this.grid.get(cellKey(c, r)) ?? []) if (Math.hypot(other.at.x - end.at.x, other.at.y - end.at.y) <= this.reach) found.add(other);
      }
    }
    return [...found];
  }

  private join(a: WallEnd, b: WallEnd, id: string, made: WallJoint[]): void {
    const points = fillCorner(a, b);
    const bottom = feet(Math.max(a.wall.bottom, b.wall.bottom)); const top = feet(Math.min(a.wall.top, b.wall.top));
    if (!points || top < bottom) return;
    const transmission = STRENGTH[Math.max(STRENGTH.indexOf(a.wall.material), STRENGTH.indexOf(b.wall.material))] ?? 'opaque';
    made.push({ wall: a.wall.id, obstacle: { id, shape: { type: 'polygon', points }, bottom, top, transmission } });
    const walls = [...new Set([a.wall.id, b.wall.id])];
    this.between.set(id, walls);
    for (const wall of walls) {
      const known = this.joints.get(wall);
      if (known) known.add(id); else this.joints.set(wall, new Set([id]));
    }
  }

  private keyOf(at: Point): number { return cellKey(Math.floor(at.x / this.cell), Math.floor(at.y / this.cell)); }
}

function endsOf(wall: Wall, half: number): { inner: [WallEnd, WallEnd][]; outer: WallEnd[] } {
  const points = wall.points.filter((p, i) => i === 0 || p.x !== wall.points[i - 1]?.x || p.y !== wall.points[i - 1]?.y);
  const inner: [WallEnd, WallEnd][] = []; const outer: WallEnd[] = [];
  if (half <= 0 || points.length < 2) return { inner, outer };
  const end = (at: Point, towards: Point, which: 0 | 1 = 0): WallEnd => {
    const length = Math.hypot(towards.x - at.x, towards.y - at.y);
    return { wall, end: which, at, away: { x: (towards.x - at.x) / length, y: (towards.y - at.y) / length }, half };
  };
  points.forEach((at, i) => {
    const before = points[i - 1]; const after = points[i + 1];
    if (before && after) inner.push([end(at, before), end(at, after)]);
    else if (after) outer.push(end(at, after));
    else if (before) outer.push(end(at, before, 1));
  });
  return { inner, outer };
}

/** Smallest grid cell as a share of the plan. */
const FINEST_CELL = 1e-6;

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
