import { sideOfLine } from './predicates';

/** A ring is flat: x0, y0, x1, y1 ... not closed, either turning sense. */
export type Ring = ArrayLike<number>;
export interface Box { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }

/** Area of a ring, positive when it turns clockwise as seen on a y-down sheet. */
export function signedArea(ring: Ring): number {
  let sum = 0;
  const n = ring.length; const ox = ring[0] ?? 0; const oy = ring[1] ?? 0;
  for (let i = 2; i + 3 < n; i += 2) sum += (ring[i]! - ox) * (ring[i + 3]! - oy) - (ring[i + 1]! - oy) * (ring[i + 2]! - ox);
  return sum / 2;
}

export function boxOfRing(ring: Ring): Box {
  let minX = Infinity; let minY = Infinity; let maxX = -Infinity; let maxY = -Infinity;
  for (let i = 0; i < ring.length; i += 2) {
    const x = ring[i]!; const y = ring[i + 1]!;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return { minX, minY, maxX, maxY };
}

/**
 * How often the ring winds round a point that is not on it, exactly: 0 means outside. Where a ring crosses itself every
 * part it goes round counts as inside, because an outline must never lose ground by being drawn badly.
 */
export function windingNumber(ring: Ring, x: number, y: number): number {
  let winding = 0;
  const n = ring.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const ax = ring[j]!; const ay = ring[j + 1]!; const bx = ring[i]!; const by = ring[i + 1]!;
    if ((ay > y) === (by > y)) continue;
    const side = sideOfLine(ax, ay, bx, by, x, y);
    if (by > ay ? side < 0 : side > 0) winding += by > ay ? 1 : -1;
  }
  return winding;
}

/** Where a point lies against a ring, exactly. */
export function placeInRing(ring: Ring, x: number, y: number): 'inside' | 'on' | 'outside' {
  const n = ring.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const ax = ring[j]!; const ay = ring[j + 1]!; const bx = ring[i]!; const by = ring[i + 1]!;
    if (x < Math.min(ax, bx) || x > Math.max(ax, bx) || y < Math.min(ay, by) || y > Math.max(ay, by)) continue;
    if (sideOfLine(ax, ay, bx, by, x, y) === 0) return 'on';
  }
  return windingNumber(ring, x, y) === 0 ? 'outside' : 'inside';
}

/**
 * The four corners of a wall drawn by its centre line, butt ends, in order round it. Rounded: for drawing, areas and
 * clearances, never for a verdict. A zero-length wall is its point four times.
 */
export function wallCorners(x1: number, y1: number, x2: number, y2: number, thickness: number): number[] {
  const length = Math.hypot(x2 - x1, y2 - y1);
  if (length === 0) return [x1, y1, x1, y1, x1, y1, x1, y1];
  const nx = (-(y2 - y1) / length) * (thickness / 2); const ny = ((x2 - x1) / length) * (thickness / 2);
  return [x1 + nx, y1 + ny, x1 - nx, y1 - ny, x2 - nx, y2 - ny, x2 + nx, y2 + ny];
}
