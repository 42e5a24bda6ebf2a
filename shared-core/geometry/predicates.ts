import { orient2d } from 'robust-predicates';
import { signOf, toIntegers } from './exact';

/** Rounding unit of a double: half the distance from 1 to the next one. */
export const UNIT = 2 ** -53;
// A determinant of differences is off by less than this share of the sum of its two products (first filter of the adaptive predicates, Discrete & Computational Geometry 18, 1997).
const FILTER = (3 + 16 * UNIT) * UNIT;

/**
 * On which side of the directed line a-b the point lies, exactly on the doubles as given.
 * @returns positive when the point is to the right as seen on a y-down sheet, negative to the left, 0 when on the line;
 *          only the sign means anything
 */
export function sideOfLine(ax: number, ay: number, bx: number, by: number, px: number, py: number): number {
  const left = (ay - py) * (bx - px); const right = (ax - px) * (by - py);
  const quick = right - left;
  const bound = FILTER * (Math.abs(left) + Math.abs(right));
  return quick > bound || -quick > bound ? quick : 0 - orient2d(ax, ay, bx, by, px, py);
}

/** Whether two closed segments share a point, exactly: a touch of ends, an overlap or a zero-length segment counts. */
export function segmentsMeet(
  ax: number, ay: number, bx: number, by: number, cx: number, cy: number, dx: number, dy: number,
): boolean {
  const c = sideOfLine(ax, ay, bx, by, cx, cy); const d = sideOfLine(ax, ay, bx, by, dx, dy);
  if ((c > 0 && d > 0) || (c < 0 && d < 0)) return false;
  const a = sideOfLine(cx, cy, dx, dy, ax, ay); const b = sideOfLine(cx, cy, dx, dy, bx, by);
  if ((a > 0 && b > 0) || (a < 0 && b < 0)) return false;
  // Two segments of one line, or a point: what is left to compare are their extents.
  return Math.max(Math.min(ax, bx), Math.min(cx, dx)) <= Math.min(Math.max(ax, bx), Math.max(cx, dx))
    && Math.max(Math.min(ay, by), Math.min(cy, dy)) <= Math.min(Math.max(ay, by), Math.max(cy, dy));
}

/**
 * Sign of (straight distance - limit) in space, exactly on the doubles as given: 0 means exactly at the limit.
 * @param scale feet per plan unit; x and y are plan units, z and the limit feet
 */
export function compareDistance(
  ax: number, ay: number, az: number, bx: number, by: number, bz: number, scale: number, limit: number,
): -1 | 0 | 1 {
  const dx = (ax - bx) * scale; const dy = (ay - by) * scale; const dz = az - bz;
  const square = dx * dx + dy * dy + dz * dz; const bound = limit * limit;
  const slack = 16 * UNIT * (square + bound);
  if (square - bound > slack) return 1;
  if (bound - square > slack) return limit < 0 ? 1 : -1;
  if (limit < 0) return 1;
  const [x1, y1, x2, y2, one] = toIntegers([ax, ay, bx, by, 1]) as [bigint, bigint, bigint, bigint, bigint];
  const [z1, z2, l, oneFoot] = toIntegers([az, bz, limit, 1]) as [bigint, bigint, bigint, bigint];
  const [s, oneScale] = toIntegers([scale, 1]) as [bigint, bigint];
  // Everything over the three units' common denominator: (plan * scale)^2 + height^2 against limit^2.
  const plan = ((x1 - x2) ** 2n + (y1 - y2) ** 2n) * s * s * oneFoot * oneFoot;
  return signOf(plan + ((z1 - z2) ** 2n - l * l) * (one * oneScale) ** 2n);
}
