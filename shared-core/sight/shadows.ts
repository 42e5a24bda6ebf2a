import { wallCorners } from '../geometry/index';
import type { Ring } from '../geometry/index';
import { GLAZED, LEAF, OPAQUE } from './sight-index';
import type { SightIndex } from './sight-index';

/** Which obstacles throw a shadow: only what surely blocks, or also what makes a line doubtful. */
export type Blocking = 'opaque' | 'doubtful-too';

/** Whether an obstacle of this transmission number counts. */
export const throwsShadow = (transmission: number, blocking: Blocking): boolean =>
  transmission === OPAQUE || (blocking === 'doubtful-too' && (transmission === GLAZED || transmission === LEAF));

/**
 * How far behind an obstacle its shadow lies, for a viewpoint at one height and points looked at at another: a point behind
 * a contact at plan distance w is hidden when its own distance lies in near * w .. far * w (far may be infinite).
 */
export interface ShadowRange { readonly near: number; readonly far: number }

/**
 * The line from height `from` to height `to` has the obstacle's height in the share q of its plan length where
 * bottom <= from + (to - from) q <= top. A contact at distance w hides the distance r = w / q.
 */
export function shadowRange(from: number, to: number, bottom: number, top: number): ShadowRange | null {
  if ((from > top && to > top) || (from < bottom && to < bottom)) return null;
  const rise = to - from;
  let low = 0; let high = 1;
  if (rise !== 0) {
    const toBottom = (bottom - from) / rise; const toTop = (top - from) / rise;
    low = Math.max(0, Math.min(toBottom, toTop)); high = Math.min(1, Math.max(toBottom, toTop));
  }
  // A line that leaves the obstacle's height at the viewpoint itself can only touch it there.
  return high > 0 ? { near: 1 / high, far: low > 0 ? 1 / low : Infinity } : null;
}

/** The obstacle's plan outline as a flat ring; two points for a bare line, one for a point. Rounded for thick walls. */
export function planOutline(index: SightIndex, slot: number): Ring {
  const ring = index.rings.get(slot);
  if (ring) return ring;
  const k = 4 * slot; const { plan } = index;
  const x1 = plan[k]!; const y1 = plan[k + 1]!; const x2 = plan[k + 2]!; const y2 = plan[k + 3]!;
  const thickness = index.solid[3 * slot]!;
  if (x1 === x2 && y1 === y2) return [x1, y1];
  return thickness === 0 ? [x1, y1, x2, y2] : wallCorners(x1, y1, x2, y2, thickness);
}
