import type { SightLimit, Verdict } from '../code-data/index';
import type { Point, Scale } from '../document/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';

/** Uncertainty of a straight distance: both ends may be off, and the scale is known to a share of the length. */
export function distanceUncertainty(scale: Scale, distance: number): Feet {
  const point = scale.pickUncertainty * scale.feetPerUnit;
  return feet(Math.sqrt(2 * point * point + (scale.relativeUncertainty * distance) ** 2));
}

/** Inclusive: exactly at the limit passes; a band that straddles it is marginal. */
export function judgeAtMost(distance: number, uncertainty: number, limit: number): Verdict {
  if (distance + uncertainty <= limit) return 'pass';
  return distance - uncertainty > limit ? 'fail' : 'marginal';
}

/** The same for a minimum. */
export function judgeAtLeast(distance: number, uncertainty: number, minimum: number): Verdict {
  if (distance - uncertainty >= minimum) return 'pass';
  return distance + uncertainty < minimum ? 'fail' : 'marginal';
}

export interface Reach { readonly nearest: Feet; readonly farthest: Feet }

/** Nearest and farthest straight distance from a point in space to an outline at one height. */
export function reachOf(from: Point, rise: number, outline: readonly Point[], feetPerUnit: number, inside: boolean): Reach {
  let nearest = inside ? 0 : Number.POSITIVE_INFINITY; let farthest = 0;
  outline.forEach((a, i) => {
    const b = outline[(i + 1) % outline.length] ?? a;
    nearest = Math.min(nearest, distanceToSegment(from, a, b));
    farthest = Math.max(farthest, Math.hypot(a.x - from.x, a.y - from.y));
  });
  return { nearest: feet(Math.hypot(nearest * feetPerUnit, rise)), farthest: feet(Math.hypot(farthest * feetPerUnit, rise)) };
}

/** Plan distance from a point to a segment. */
export function distanceToSegment(p: Point, a: Point, b: Point): number {
  const dx = b.x - a.x; const dy = b.y - a.y;
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2));
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

export type { SightLimit };
