import type { Verdict } from '../code-data/index';
import { line, move, path } from './ink';
import type { Ink, PathPrimitive } from './ink';
import { STATUS_INK } from './symbols';

export type LineState = 'clear' | 'doubtful' | 'blocked';
/** x, y in the drawing's own unit, y down. */
export type At = readonly [number, number];

export interface SightLine {
  readonly from: At;
  readonly to: At;
  readonly state: LineState;
  readonly verdict: Verdict;
  /** First point that is blocked; the line ends there with a bar across, and only a hint of dots goes on. */
  readonly blockedAt?: At;
  /** Share of the line that lies within the limit, when it is longer than the limit. */
  readonly limitShare?: number;
}

/** Trim at both ends so that a line meets the rim of a symbol and never runs through it. */
export interface LineSizes {
  /** Line width in the drawing's unit; dashes and the bar follow it. */
  readonly width: number;
  readonly fromClear: number;
  readonly toClear: number;
}

const between = (a: At, b: At, t: number): At => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
const stroke = (a: At, b: At, ink: Ink, width: number, dash?: readonly number[]): PathPrimitive =>
  path([move(...a), line(...b)], { stroke: ink, width, ...(dash ? { dash } : {}) });

/**
 * A sight line as it is drawn: in order = thin solid; doubtful = dashed; blocked = solid up to a bar at the blocking point,
 * then sparse dots; too far = dots beyond the limit. Colour only repeats what the form says.
 * @throws RangeError when the two ends fall together
 */
export function sightLineMarks(sight: SightLine, sizes: LineSizes): PathPrimitive[] {
  const length = Math.hypot(sight.to[0] - sight.from[0], sight.to[1] - sight.from[1]);
  if (!(length > 0)) throw new RangeError('a sight line needs two different ends');
  const { width } = sizes;
  const start = Math.min(sizes.fromClear / length, 0.49); const end = 1 - Math.min(sizes.toClear / length, 0.49);
  const ink = STATUS_INK[sight.verdict] === 'muted' ? 'ink' : STATUS_INK[sight.verdict];
  const dots = [width * 0.9, width * 3.4]; const dashes = [width * 5.5, width * 3];
  const piece = (a: number, b: number, dash?: readonly number[]): PathPrimitive[] =>
    b - a > 1e-6 ? [stroke(between(sight.from, sight.to, a), between(sight.from, sight.to, b), ink, width, dash)] : [];
  if (sight.state === 'blocked' && sight.blockedAt) {
    const [bx, by] = sight.blockedAt;
    const raw = Math.hypot(bx - sight.from[0], by - sight.from[1]) / length;
    const stop = Math.min(Math.max(raw, start), end);
    const at = between(sight.from, sight.to, stop);
    const nx = (-(sight.to[1] - sight.from[1]) / length) * width * 5; const ny = ((sight.to[0] - sight.from[0]) / length) * width * 5;
    return [...piece(start, stop), ...piece(stop, end, dots), stroke([at[0] - nx, at[1] - ny], [at[0] + nx, at[1] + ny], ink, width * 2.6)];
  }
  const solid = sight.state === 'doubtful' ? dashes : undefined;
  if (sight.limitShare !== undefined && sight.limitShare < 1) {
    const limit = Math.min(Math.max(sight.limitShare, start), end);
    const at = between(sight.from, sight.to, limit);
    const nx = (-(sight.to[1] - sight.from[1]) / length) * width * 3; const ny = ((sight.to[0] - sight.from[0]) / length) * width * 3;
    return [...piece(start, limit, solid), ...piece(limit, end, dots), stroke([at[0] - nx, at[1] - ny], [at[0] + nx, at[1] + ny], ink, width * 1.4)];
  }
  return piece(start, end, solid);
}
