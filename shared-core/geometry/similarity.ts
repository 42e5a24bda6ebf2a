import type { Box } from './polygons';

/**
 * A turn, an even scaling and a shift of the plane: p becomes scale * R(turn) * p + (x, y).
 * y runs down, so a turn above 0 goes clockwise as seen. The turn is in degrees; the shift has the unit of the result.
 */
export interface Similarity { readonly scale: number; readonly turn: number; readonly x: number; readonly y: number }

interface Vector { readonly x: number; readonly y: number }

/** x' = a x + c y + e, y' = b x + d y + f: the order that canvas and PDF take. */
export type Matrix = readonly [a: number, b: number, c: number, d: number, e: number, f: number];

export const IDENTITY: Similarity = { scale: 1, turn: 0, x: 0, y: 0 };

const QUARTERS = [[1, 0], [0, 1], [-1, 0], [0, -1]] as const;

/** Cosine and sine of a turn in degrees; exact for quarter turns, so that what was upright stays upright. */
export function turnParts(turn: number): readonly [cos: number, sin: number] {
  const quarters = turn / 90;
  if (Number.isInteger(quarters)) return QUARTERS[((quarters % 4) + 4) % 4]!;
  return [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
}

/** The same turn from above -180 to 180 degrees. */
export const plainTurn = (turn: number): number => { const t = ((turn % 360) + 360) % 360; return t > 180 ? t - 360 : t; };

export const isIdentity = (s: Similarity): boolean => s.scale === 1 && s.x === 0 && s.y === 0 && s.turn % 360 === 0;

export function similarityMatrix(s: Similarity): Matrix {
  const [cos, sin] = turnParts(s.turn);
  return [s.scale * cos, s.scale * sin, -s.scale * sin, s.scale * cos, s.x, s.y];
}

/** Where a point comes to lie. Every point goes through the same sums, so equal points stay equal. */
export function applySimilarity(s: Similarity, p: Vector): { x: number; y: number } {
  if (isIdentity(s)) return { x: p.x, y: p.y };
  const [a, b, c, d, e, f] = similarityMatrix(s);
  return { x: a * p.x + c * p.y + e, y: b * p.x + d * p.y + f };
}

/** The way back. @throws RangeError when the scale is not above zero */
export function invertSimilarity(s: Similarity): Similarity {
  if (!(s.scale > 0)) throw new RangeError(`a similarity's scale must be above zero, not ${s.scale}`);
  const back = { scale: 1 / s.scale, turn: plainTurn(-s.turn), x: 0, y: 0 };
  const shift = applySimilarity(back, { x: -s.x, y: -s.y });
  return { ...back, x: shift.x, y: shift.y };
}

/** First `inner`, then `outer`. */
export function composeSimilarity(outer: Similarity, inner: Similarity): Similarity {
  const shift = applySimilarity(outer, inner);
  return { scale: outer.scale * inner.scale, turn: plainTurn(outer.turn + inner.turn), x: shift.x, y: shift.y };
}

/** The upright box around a box that was laid down: the bounds of its four corners. */
export function boundsUnder(s: Similarity, box: Box): Box {
  const corners = [[box.minX, box.minY], [box.maxX, box.minY], [box.maxX, box.maxY], [box.minX, box.maxY]].map(([x, y]) => applySimilarity(s, { x: x!, y: y! }));
  const xs = corners.map((p) => p.x); const ys = corners.map((p) => p.y);
  return { minX: Math.min(...xs), minY: Math.min(...ys), maxX: Math.max(...xs), maxY: Math.max(...ys) };
}

/** First `inner`, then `outer`. */
export function composeMatrix(outer: Matrix, inner: Matrix): Matrix {
  const [a, b, c, d, e, f] = outer; const [p, q, r, s, t, u] = inner;
  return [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f];
}

/** The way back. @throws RangeError when the matrix folds the plane flat */
export function invertMatrix([a, b, c, d, e, f]: Matrix): Matrix {
  const det = a * d - b * c;
  if (!(Math.abs(det) > 0)) throw new RangeError('a matrix without area has no way back');
  return [d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det];
}
