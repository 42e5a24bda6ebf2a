import type { Vector } from './affine';

/** Arcs become chords of at most this angle: the sagitta is 1/2900 of the radius. */
const STEP = (3 * Math.PI) / 180;
const MOST_STEPS = 720;
const steps = (sweep: number): number => Math.min(MOST_STEPS, Math.max(1, Math.ceil(Math.abs(sweep) / STEP)));

/** Points along an arc, both ends included; a negative sweep runs clockwise. */
export function arcPoints(centre: Vector, radius: number, start: number, sweep: number): Vector[] {
  const count = steps(sweep);
  return Array.from({ length: count + 1 }, (_, i) => {
    const angle = start + (sweep * i) / count;
    return [centre[0] + radius * Math.cos(angle), centre[1] + radius * Math.sin(angle), centre[2]] as const;
  });
}

/** Points along an ellipse's arc from parameter `start`; `minor` stands across `major` in its plane. */
export function ellipsePoints(centre: Vector, major: Vector, minor: Vector, start: number, sweep: number): Vector[] {
  const count = steps(sweep);
  return Array.from({ length: count + 1 }, (_, i) => {
    const t = start + (sweep * i) / count;
    const [cos, sin] = [Math.cos(t), Math.sin(t)];
    return [0, 1, 2].map((k) => centre[k]! + major[k]! * cos + minor[k]! * sin) as unknown as Vector;
  });
}

/** The angle from start to end, counter-clockwise, above 0 and at most a full turn. */
export function sweepBetween(start: number, end: number): number {
  const turn = 2 * Math.PI;
  const sweep = (((end - start) % turn) + turn) % turn;
  return sweep < 1e-12 ? turn : sweep;
}

/**
 * Points of a polyline whose segments may bulge to arcs.
 * @param bulges  per point, tangent of a quarter of the arc to the next; positive runs counter-clockwise
 */
export function bulgedPoints(points: readonly Vector[], bulges: readonly number[], closed: boolean): Vector[] {
  const found: Vector[] = [];
  const last = closed ? points.length : points.length - 1;
  for (let i = 0; i < last; i++) {
    const from = points[i]!;
    const to = points[(i + 1) % points.length]!;
    const bulge = bulges[i] ?? 0;
    found.push(from);
    const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    const chord = Math.hypot(dx, dy);
    if (bulge === 0 || chord === 0 || !Number.isFinite(bulge)) continue;
    const sweep = 4 * Math.atan(bulge);
    // The centre lies off the middle of the chord, to the left for a small positive bulge.
    const off = (1 - bulge * bulge) / (4 * bulge);
    const centre: Vector = [(from[0] + to[0]) / 2 - dy * off, (from[1] + to[1]) / 2 + dx * off, from[2]];
    const start = Math.atan2(from[1] - centre[1], from[0] - centre[0]);
    found.push(...arcPoints(centre, Math.hypot(from[0] - centre[0], from[1] - centre[1]), start, sweep).slice(1, -1));
  }
  const end = closed ? points[0] : points.at(-1);
  if (end) found.push(end);
  return found;
}

const PER_SPAN = 12;
const MOST_DEGREE = 11;
/** Chords of a spline lie off it by at most this share of its extent; each piece is halved at most so often. */
const FLAT_WITHIN = 1 / 20_000;
const MOST_HALVINGS = 6;

interface Span { readonly from: number; readonly to: number; readonly at: (t: number) => Vector }

/** Points along a curve given span by span: an even number in each, and more where it bends. */
function traced(spans: readonly Span[]): Vector[] {
  const coarse = spans.map(({ from, to, at }) => Array.from({ length: PER_SPAN + 1 }, (_, i) => { const t = i === PER_SPAN ? to : from + ((to - from) * i) / PER_SPAN; return { t, point: at(t) }; }));
  const known = coarse.flat().map(({ point }) => point).filter((point) => point.every(Number.isFinite));
  const extent = Math.max(...[0, 1, 2].map((k) => known.reduce((most, point) => Math.max(most, point[k]!), -Infinity) - known.reduce((least, point) => Math.min(least, point[k]!), Infinity)));
  const found: Vector[] = [];
  const halve = (at: Span['at'], [t0, a]: readonly [number, Vector], [t1, b]: readonly [number, Vector], halvings: number): void => {
    const t = (t0 + t1) / 2; const middle = at(t);
    if (halvings >= MOST_HALVINGS || !(offChord(middle, a, b) > FLAT_WITHIN * extent)) return;
    halve(at, [t0, a], [t, middle], halvings + 1);
    found.push(middle);
    halve(at, [t, middle], [t1, b], halvings + 1);
  };
  spans.forEach(({ at }, index) => {
    const points = coarse[index]!;
    points.slice(1).forEach(({ t, point }, i) => { found.push(points[i]!.point); halve(at, [points[i]!.t, points[i]!.point], [t, point], 0); });
  });
  const last = coarse.at(-1)?.at(-1);
  if (last) found.push(last.point);
  return found.filter((point) => point.every(Number.isFinite));
}

function offChord(p: Vector, a: Vector, b: Vector): number {
  const [dx, dy, dz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const along = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy + (p[2] - a[2]) * dz) / (dx * dx + dy * dy + dz * dz || 1)));
  return Math.hypot(p[0] - a[0] - along * dx, p[1] - a[1] - along * dy, p[2] - a[2] - along * dz);
}

/**
 * Points along a rational B-spline (de Boor's algorithm). Where knots are missing they are taken as even, with both ends on the curve.
 * @returns [] where there are too few control points for the degree
 */
export function splinePoints(degree: number, knots: readonly number[], control: readonly Vector[], weights: readonly number[]): Vector[] {
  const count = control.length;
  if (!(degree >= 1 && degree <= MOST_DEGREE) || count <= degree) return [];
  const given = knots.length >= count + degree + 1 ? knots : Array.from({ length: count + degree + 1 }, (_, i) => Math.max(0, Math.min(count - degree, i - degree)));
  const homogeneous = control.map((p, i) => { const w = weights[i] ?? 1; return [p[0] * w, p[1] * w, p[2] * w, w]; });
  const at = (t: number, span: number): Vector => {
    const d = Array.from({ length: degree + 1 }, (_, j) => [...homogeneous[span - degree + j]!]);
    for (let r = 1; r <= degree; r++) for (let j = degree; j >= r; j--) {
      const i = span - degree + j;
      const width = given[i + degree - r + 1]! - given[i]!;
      const a = width === 0 ? 0 : (t - given[i]!) / width;
      for (let k = 0; k < 4; k++) d[j]![k] = (1 - a) * d[j - 1]![k]! + a * d[j]![k]!;
    }
    const [x, y, z, w] = d[degree]! as [number, number, number, number];
    return [x / w, y / w, z / w];
  };
  return traced(Array.from({ length: count - degree }, (_, i) => degree + i).filter((span) => given[span + 1]! > given[span]!)
    .map((span) => ({ from: given[span]!, to: given[span + 1]!, at: (t) => at(t, span) })));
}

/** So many points before the first and after the last make a closed curve: each farther one counts about a quarter as much. */
const WRAPPED = 24;

/**
 * Points along the smooth curve through given points: a cubic spline over the length of its chords, free at its ends where no direction is given.
 * @param ends  directions at both ends; null or of no length where free  @param closed  the curve goes on from its last point to its first
 * @source C. de Boor, A Practical Guide to Splines, chapter IV: the system of its second derivatives (from memory)
 */
export function pointsThrough(given: readonly Vector[], closed: boolean, ends: readonly [Vector | null, Vector | null] = [null, null]): Vector[] {
  const distinct = given.filter((point, i) => i === 0 || apart(point, given[i - 1]!) > 0);
  const first = distinct[0];
  if (closed && first && distinct.length > 1 && apart(first, distinct.at(-1)!) === 0) distinct.pop();
  if (distinct.length < 3) return closed && first && distinct.length > 1 ? [...distinct, first] : distinct;
  const wrap = closed ? WRAPPED : 0; const n = distinct.length;
  const points = Array.from({ length: n + 2 * wrap + (closed ? 1 : 0) }, (_, i) => distinct[(((i - wrap) % n) + n) % n]!);
  const h = points.slice(1).map((point, i) => apart(point, points[i]!));
  const bends = [0, 1, 2].map((k) => secondDerivatives(points.map((point) => point[k]!), h, ends.map((end) => { const long = end ? Math.hypot(...end) : 0; return closed || !end || !(long > 0) ? null : end[k]! / long; })));
  const spans = h.map((long, i): Span => ({
    from: 0, to: long,
    at: (t) => [0, 1, 2].map((k) => {
      const [a, b] = [(long - t) / long, t / long]; const [ma, mb] = [bends[k]![i]!, bends[k]![i + 1]!];
      return a * points[i]![k]! + b * points[i + 1]![k]! + (((a ** 3 - a) * ma + (b ** 3 - b) * mb) * long * long) / 6;
    }) as unknown as Vector,
  }));
  return traced(closed ? spans.slice(wrap, wrap + n) : spans);
}

const apart = (a: Vector, b: Vector): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** At each of the values that lie h apart; slopes at both ends, null for none. */
function secondDerivatives(values: readonly number[], h: readonly number[], slopes: readonly (number | null)[]): number[] {
  const last = values.length - 1;
  const step = (i: number): number => (values[i + 1]! - values[i]!) / h[i]!;
  const [start, end] = slopes;
  // Rows of the system: before, on and after the diagonal, and the right side; swept downwards, then solved upwards.
  const [after, right]: [number[], number[]] = [[], []];
  for (let i = 0; i <= last; i++) {
    const [before, on, next, wanted] = i === 0 ? (typeof start === 'number' ? [0, 2 * h[0]!, h[0]!, 6 * (step(0) - start)] : [0, 1, 0, 0])
      : i === last ? (typeof end === 'number' ? [h[i - 1]!, 2 * h[i - 1]!, 0, 6 * (end - step(i - 1))] : [0, 1, 0, 0])
        : [h[i - 1]!, 2 * (h[i - 1]! + h[i]!), h[i]!, 6 * (step(i) - step(i - 1))];
    const pivot = on - before * (after[i - 1] ?? 0);
    after.push(next / pivot);
    right.push((wanted - before * (right[i - 1] ?? 0)) / pivot);
  }
  for (let i = last - 1; i >= 0; i--) right[i]! -= after[i]! * right[i + 1]!;
  return right;
}
