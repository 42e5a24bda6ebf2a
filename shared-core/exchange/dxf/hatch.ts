import type { Vector } from './affine';
import { arcPoints, bulgedPoints, ellipsePoints, splinePoints, sweepBetween } from './curves';
import type { Groups } from './records';

const RADIANS = Math.PI / 180;

/** Reads groups one after the other: in a hatch their order carries the meaning. */
class Reader {
  at = 0;
  constructor(readonly groups: Groups) {}
  /** The value of the next group of this number, and moves behind it; null (and no move) when there is none before `stop`. */
  seek(code: number, stop: readonly number[] = []): number | null {
    for (let i = this.at; i < this.groups.codes.length; i++) {
      if (this.groups.codes[i] === code) { this.at = i + 1; return Number(this.groups.values[i]); }
      if (stop.includes(this.groups.codes[i]!)) return null;
    }
    return null;
  }
  /** The value of the very next group if it has this number. */
  take(code: number): number | null { return this.groups.codes[this.at] === code ? Number(this.groups.values[this.at++]) : null; }
  point(xCode: number): Vector { return [this.seek(xCode) ?? 0, this.seek(xCode + 10) ?? 0, 0]; }
}

/** Arcs in hatches run counter-clockwise, or with their angles mirrored when the last flag is 0. */
function arcEdge(reader: Reader, ellipse: boolean): Vector[] {
  const centre = reader.point(10);
  const major = ellipse ? reader.point(11) : null;
  const radius = reader.seek(40) ?? 0;
  const start = (reader.seek(50) ?? 0) * RADIANS;
  const end = (reader.seek(51) ?? 360) * RADIANS;
  const forward = reader.seek(73) !== 0;
  const from = forward ? start : -start;
  const sweep = sweepBetween(start, end) * (forward ? 1 : -1);
  if (!major) return arcPoints(centre, radius, from, sweep);
  return ellipsePoints(centre, major, [-major[1] * radius, major[0] * radius, 0], from, sweep);
}

function splineEdge(reader: Reader): Vector[] {
  const degree = reader.seek(94) ?? 3;
  const rational = reader.seek(73) === 1;
  const knotCount = reader.seek(95) ?? 0;
  const pointCount = reader.seek(96) ?? 0;
  const knots = Array.from({ length: Math.min(knotCount, 10_000) }, () => reader.seek(40) ?? 0);
  const weights: number[] = [];
  const control = Array.from({ length: Math.min(pointCount, 10_000) }, () => {
    const point = reader.point(10);
    weights.push(rational ? reader.take(42) ?? 1 : 1);
    return point;
  });
  return splinePoints(degree, knots, control, weights);
}

function edge(reader: Reader): Vector[] {
  switch (reader.seek(72)) {
    case 1: return [reader.point(10), reader.point(11)];
    case 2: return arcEdge(reader, false);
    case 3: return arcEdge(reader, true);
    case 4: return splineEdge(reader);
    default: return [];
  }
}

/** Boundary loops of a hatch in its own plane. */
export function hatchLoops(groups: Groups): Vector[][] {
  const reader = new Reader(groups);
  const count = Math.min(reader.seek(91) ?? 0, 10_000);
  const loops: Vector[][] = [];
  for (let i = 0; i < count; i++) {
    const flags = reader.seek(92);
    if (flags === null) break;
    if ((flags & 2) !== 0) {
      const bulging = reader.seek(72) === 1;
      const closed = reader.seek(73) !== 0;
      const length = Math.min(reader.seek(93) ?? 0, 100_000);
      const bulges: number[] = [];
      const points = Array.from({ length }, () => {
        const point = reader.point(10);
        bulges.push(bulging ? reader.take(42) ?? 0 : 0);
        return point;
      });
      loops.push(bulgedPoints(points, bulges, closed));
    } else {
      const edges = Math.min(reader.seek(93) ?? 0, 100_000);
      const loop: Vector[] = [];
      for (let k = 0; k < edges; k++) {
        const points = edge(reader);
        const end = loop.at(-1);
        // An edge may be stored against the direction of the loop.
        if (end && points.length > 1 && gap(end, points.at(-1)!) < gap(end, points[0]!)) points.reverse();
        loop.push(...points);
      }
      loops.push(loop);
    }
  }
  return loops.filter((loop) => loop.length > 2);
}

const gap = (a: Vector, b: Vector): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

const MOST_LINES = 3000;
const MOST_DASHES = 30_000;

/**
 * The lines of a pattern hatch, cut to its boundary (even-odd).
 * @returns null when the pattern is too dense to draw line by line
 */
export function hatchLines(groups: Groups, loops: readonly (readonly Vector[])[]): [Vector, Vector][] | null {
  const reader = new Reader(groups);
  const families = Math.min(reader.seek(78) ?? 0, 200);
  const found: [Vector, Vector][] = [];
  for (let i = 0; i < families; i++) {
    const angle = (reader.seek(53) ?? 0) * RADIANS;
    const base = [reader.seek(43) ?? 0, reader.seek(44) ?? 0] as const;
    const offset = [reader.seek(45) ?? 0, reader.seek(46) ?? 0] as const;
    const dashes = Array.from({ length: Math.min(reader.seek(79) ?? 0, 50) }, () => reader.seek(49) ?? 0);
    if (!cutFamily(angle, base, offset, dashes, loops, found)) return null;
  }
  return found;
}

function cutFamily(angle: number, base: readonly [number, number], offset: readonly [number, number], dashes: readonly number[],
  loops: readonly (readonly Vector[])[], found: [Vector, Vector][]): boolean {
  const along = [Math.cos(angle), Math.sin(angle)] as const;
  const across = (x: number, y: number): number => -along[1] * (x - base[0]) + along[0] * (y - base[1]);
  const step = across(base[0] + offset[0], base[1] + offset[1]);
  const shift = along[0] * offset[0] + along[1] * offset[1];
  const reach = loops.flat().map((point) => across(point[0], point[1]));
  if (step === 0 || reach.length === 0) return step !== 0;
  const ends = [minOf(reach) / step, maxOf(reach) / step].sort((a, b) => a - b) as [number, number];
  if (!(ends[1] - ends[0] < MOST_LINES)) return false;
  for (let line = Math.ceil(ends[0]); line <= ends[1]; line++) {
    const level = line * step;
    const crossings: number[] = [];
    for (const loop of loops) loop.forEach((a, i) => {
      const b = loop[(i + 1) % loop.length]!;
      const [da, db] = [across(a[0], a[1]) - level, across(b[0], b[1]) - level];
      if ((da < 0) === (db < 0)) return;
      const share = da / (da - db);
      crossings.push(along[0] * (a[0] + (b[0] - a[0]) * share - base[0]) + along[1] * (a[1] + (b[1] - a[1]) * share - base[1]));
    });
    crossings.sort((a, b) => a - b);
    const at = (t: number): Vector => [base[0] + along[0] * t - along[1] * level, base[1] + along[1] * t + along[0] * level, 0];
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      for (const [from, to] of dashed(crossings[i]!, crossings[i + 1]!, dashes, line * shift)) found.push([at(from), at(to)]);
      if (found.length > MOST_DASHES) return false;
    }
  }
  return true;
}

/** The strokes of a dash pattern (positive drawn, negative gap, 0 a dot) between two places along a line. */
function dashed(from: number, to: number, dashes: readonly number[], phase: number): [number, number][] {
  const period = dashes.reduce((sum, dash) => sum + Math.abs(dash), 0);
  if (!(period > 0) || (to - from) / period > MOST_LINES) return [[from, to]];
  const found: [number, number][] = [];
  for (let start = phase + Math.floor((from - phase) / period) * period; start < to;) {
    for (const dash of dashes) {
      const end = start + Math.abs(dash);
      if (dash >= 0 && end >= from && start <= to) found.push([Math.max(start, from), Math.min(Math.max(end, start + period / 100), to)]);
      start = end;
    }
  }
  return found;
}

const minOf = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b), Infinity);
const maxOf = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b), -Infinity);
