// A second, slow and exact answer to 'what does this line meet', written differently from the product on purpose:
// true fractions, membership of single points, no separating axes, no linear clipping. Used to find disagreements.
import type { Handle, Obstacle, Target } from '../../shared-core/sight/index';
import { feet } from '../../shared-core/units/index';

/** An exact fraction with a positive denominator. */
class Fraction {
  constructor(readonly over: bigint, readonly under: bigint) {}
  static of(value: number): Fraction {
    let under = 1n; let scaled = value;
    while (!Number.isInteger(scaled)) { scaled *= 2; under *= 2n; }
    return new Fraction(BigInt(scaled), under);
  }
  plus(o: Fraction): Fraction { return new Fraction(this.over * o.under + o.over * this.under, this.under * o.under); }
  minus(o: Fraction): Fraction { return new Fraction(this.over * o.under - o.over * this.under, this.under * o.under); }
  times(o: Fraction): Fraction { return new Fraction(this.over * o.over, this.under * o.under); }
  divided(o: Fraction): Fraction { return o.over > 0n ? new Fraction(this.over * o.under, this.under * o.over) : new Fraction(-this.over * o.under, this.under * -o.over); }
  sign(): number { return this.over > 0n ? 1 : this.over < 0n ? -1 : 0; }
  against(o: Fraction): number { return this.minus(o).sign(); }
}
const ZERO = new Fraction(0n, 1n); const ONE = new Fraction(1n, 1n); const HALF = new Fraction(1n, 2n);
interface Point { x: Fraction; y: Fraction }

function inWall(p: Point, a: Point, b: Point, thickness: Fraction): boolean {
  const ex = b.x.minus(a.x); const ey = b.y.minus(a.y); const length2 = ex.times(ex).plus(ey.times(ey));
  if (length2.sign() === 0) return p.x.against(a.x) === 0 && p.y.against(a.y) === 0;
  const share = p.x.minus(a.x).times(ex).plus(p.y.minus(a.y).times(ey)).divided(length2);
  if (share.sign() < 0 || share.against(ONE) > 0) return false;
  const dx = p.x.minus(a.x.plus(share.times(ex))); const dy = p.y.minus(a.y.plus(share.times(ey)));
  const half = thickness.times(HALF);
  return dx.times(dx).plus(dy.times(dy)).against(half.times(half)) <= 0;
}

function inOutline(p: Point, ring: readonly Point[]): boolean {
  let turns = 0;
  for (let i = 0; i < ring.length; i += 1) {
    const a = ring[i]!; const b = ring[(i + 1) % ring.length]!;
    if (inWall(p, a, b, ZERO)) return true;
    // Ray to the right; an edge counts from its lower end, included, to its upper end, excluded.
    const aBelow = a.y.against(p.y) <= 0; const bBelow = b.y.against(p.y) <= 0;
    if (aBelow === bBelow) continue;
    const x = a.x.plus(p.y.minus(a.y).divided(b.y.minus(a.y)).times(b.x.minus(a.x)));
    if (x.against(p.x) > 0) turns += aBelow ? 1 : -1;
  }
  return turns !== 0;
}

/** Exactly: does the line meet the obstacle, and does it anywhere else than at its very start? */
export function referenceContact(handle: Handle, target: Target, obstacle: Obstacle): 'none' | 'start' | 'beyond' {
  const F = (n: number): Fraction => Fraction.of(n);
  const d = { x: F(handle.x), y: F(handle.y), z: F(handle.z) };
  const v = { x: F(target.x).minus(d.x), y: F(target.y).minus(d.y), z: F(target.z).minus(d.z) };
  const shape = obstacle.shape;
  const corners: Point[] = shape.type === 'wall' ? [{ x: F(shape.x1), y: F(shape.y1) }, { x: F(shape.x2), y: F(shape.y2) }] : shape.points.map(([x, y]) => ({ x: F(x), y: F(y) }));
  const thickness = shape.type === 'wall' ? F(shape.thickness) : ZERO;
  const inside = (s: Fraction): boolean => {
    const z = d.z.plus(s.times(v.z));
    if (z.against(F(obstacle.bottom)) < 0 || z.against(F(obstacle.top)) > 0) return false;
    const p = { x: d.x.plus(s.times(v.x)), y: d.y.plus(s.times(v.y)) };
    return shape.type === 'wall' ? inWall(p, corners[0]!, corners[1]!, thickness) : inOutline(p, corners);
  };
  // Places where membership can change or be reached first: rims, ends of walls, centre lines and edges.
  const places: Fraction[] = [ZERO, ONE];
  const whereZero = (start: Fraction, slope: Fraction): void => {
    if (slope.sign() === 0) return;
    const s = ZERO.minus(start).divided(slope);
    if (s.sign() > 0 && s.against(ONE) < 0) places.push(s);
  };
  whereZero(d.z.minus(F(obstacle.bottom)), v.z);
  whereZero(d.z.minus(F(obstacle.top)), v.z);
  for (let i = 0; i < corners.length; i += 1) {
    const a = corners[i]!; const b = corners[(i + 1) % corners.length]!;
    const ex = b.x.minus(a.x); const ey = b.y.minus(a.y);
    const wx = d.x.minus(a.x); const wy = d.y.minus(a.y);
    whereZero(wx.times(ey).minus(wy.times(ex)), v.x.times(ey).minus(v.y.times(ex)));
    whereZero(wx.times(ex).plus(wy.times(ey)), v.x.times(ex).plus(v.y.times(ey)));
    whereZero(wx, v.x); whereZero(wy, v.y);
  }
  places.sort((a, b) => a.against(b));
  const between = places.slice(1).map((place, i) => place.plus(places[i]!).times(HALF));
  const positive = [...places, ...between].filter((s) => s.sign() > 0).sort((a, b) => a.against(b));
  if (positive.some(inside)) return 'beyond';
  if (!inside(ZERO)) return 'none';
  // It may leave a thick wall before the first place above: halve the way to the start until nothing could hide there.
  let step = positive[0]!;
  for (let k = 0; k < 200; k += 1) { step = step.times(HALF); if (inside(step)) return 'beyond'; }
  return 'start';
}

/** Small reproducible generator (mulberry32). */
export function randomFrom(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

export interface Trial { obstacles: Obstacle[]; pairs: { handle: Handle; target: Target }[] }

/** A small scene and some lines through it; half of the kinds are made to touch, line up or coincide. */
export function randomTrial(random: () => number, pairs: number): Trial {
  const whole = (low: number, high: number): number => low + Math.floor(random() * (high - low + 1));
  const pick = <T>(list: readonly T[]): T => list[whole(0, list.length - 1)]!;
  const kind = whole(0, 5);
  // 0 lattice, 1 far lattice, 2 lattice in thirds (inexact numbers), 3 anywhere, 4 ends placed on a line as well as rounding allows, 5 skew 3-4-5 walls
  const offset = kind === 1 ? 2 ** 20 : 0;
  const unit = kind === 2 ? 1 / 3 : 1;
  const place = (): number => (kind === 3 || kind === 4 ? random() * 8 : (whole(0, 8) + offset) * unit);
  const height = (): number => (kind === 3 ? random() * 6 : whole(0, 6));
  const obstacles: Obstacle[] = [];
  const ends: [number, number, number, number][] = [];
  const count = whole(1, 5);
  for (let i = 0; i < count; i += 1) {
    const low = random() < 0.5 ? 0 : height(); const high = random() < 0.5 ? 6 : low + height();
    const common = { id: `o${i}`, bottom: feet(Math.min(low, high)), top: feet(Math.max(low, high)), transmission: pick(['opaque', 'opaque', 'opaque', 'glazed', 'leaf', 'mesh'] as const) };
    if (random() < 0.25) {
      const points = Array.from({ length: whole(3, 5) }, () => [place(), place()] as const);
      obstacles.push({ ...common, shape: { type: 'polygon', points } });
      ends.push([...points[0]!, ...points[1]!]);
      continue;
    }
    let [x1, y1, x2, y2] = [place(), place(), place(), place()];
    if (kind === 5) { const [a, b] = pick([[3, 4], [4, 3], [-3, 4], [4, -3]] as const); x2 = x1 + a; y2 = y1 + b; }
    else if (random() < 0.3) { if (random() < 0.5) x2 = x1; else y2 = y1; }
    if (random() < 0.3 && ends.length > 0) { const last = pick(ends); x1 = last[0]; y1 = last[1]; }
    obstacles.push({ ...common, shape: { type: 'wall', x1, y1, x2, y2, thickness: pick([0, 0, 1, 2, 2.5, 5]) } });
    ends.push([x1, y1, x2, y2]);
  }
  const spot = (): { x: number; y: number } => {
    const [x1, y1, x2, y2] = pick(ends);
    switch (whole(0, 4)) {
      case 0: return { x: x1, y: y1 };
      case 1: { const s = pick([0.5, 0.25, random()]); return { x: x1 + s * (x2 - x1), y: y1 + s * (y2 - y1) }; }
      case 2: { // on a face of a skew or straight wall, as well as rounding allows
        const length = Math.hypot(x2 - x1, y2 - y1) || 1; const half = pick([0.5, 1, 1.25, 2.5]);
        return { x: (x1 + x2) / 2 - (half * (y2 - y1)) / length, y: (y1 + y2) / 2 + (half * (x2 - x1)) / length };
      }
      default: return { x: place(), y: place() };
    }
  };
  const lines = Array.from({ length: pairs }, () => {
    const from = spot(); let to = spot();
    if (kind === 4 || random() < 0.3) { // a line that passes a wall end as closely as rounding allows
      const [x1, y1] = pick(ends); const k = pick([1, 0.5, 2, random() * 3]);
      to = { x: x1 + k * (x1 - from.x), y: y1 + k * (y1 - from.y) };
    }
    const z = height();
    const handle: Handle = { ...from, z: feet(z), ...(random() < 0.4 ? { mount: [pick(obstacles).id] } : {}) };
    const target: Target = { ...to, z: feet(random() < 0.4 ? z : height()), ...(random() < 0.1 ? { body: pick(obstacles).id } : {}) };
    return { handle, target };
  });
  return { obstacles, pairs: lines };
}

/** Ids met, each with the transmission that the reference gives it; the product must list the same. */
export function referenceMeetings(trial: Trial, handle: Handle, target: Target): string[] {
  return trial.obstacles.filter((obstacle) => {
    if (obstacle.id === target.body) return false;
    const contact = referenceContact(handle, target, obstacle);
    return handle.mount?.includes(obstacle.id) ? contact === 'beyond' : contact !== 'none';
  }).map((obstacle) => obstacle.id).sort();
}
