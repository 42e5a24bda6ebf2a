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

/**
 * Points along a rational B-spline (de Boor's algorithm).
 * @returns [] where the knots do not fit the control points
 */
export function splinePoints(degree: number, knots: readonly number[], control: readonly Vector[], weights: readonly number[]): Vector[] {
  const count = control.length;
  if (degree < 1 || degree > MOST_DEGREE || count <= degree || knots.length < count + degree + 1) return [];
  const homogeneous = control.map((p, i) => { const w = weights[i] ?? 1; return [p[0] * w, p[1] * w, p[2] * w, w]; });
  const at = (t: number, span: number): Vector => {
    const d = Array.from({ length: degree + 1 }, (_, j) => [...homogeneous[span - degree + j]!]);
    for (let r = 1; r <= degree; r++) for (let j = degree; j >= r; j--) {
      const i = span - degree + j;
      const width = knots[i + degree - r + 1]! - knots[i]!;
      const a = width === 0 ? 0 : (t - knots[i]!) / width;
      for (let k = 0; k < 4; k++) d[j]![k] = (1 - a) * d[j - 1]![k]! + a * d[j]![k]!;
    }
    const [x, y, z, w] = d[degree]! as [number, number, number, number];
    return [x / w, y / w, z / w];
  };
  const spans = Array.from({ length: count - degree }, (_, i) => degree + i).filter((span) => knots[span + 1]! > knots[span]!);
  const found: Vector[] = [];
  for (const span of spans) {
    const [from, to] = [knots[span]!, knots[span + 1]!];
    const last = span === spans.at(-1) ? 1 : 0;
    for (let i = 0; i < PER_SPAN + last; i++) found.push(at(from + ((to - from) * i) / PER_SPAN, span));
  }
  return found.filter((p) => p.every(Number.isFinite));
}
