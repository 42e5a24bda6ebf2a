import type { Verdict } from '../code-data/index';
import type { Point, Scale } from '../document/index';
import { distanceUncertainty as uncertaintyOf, judgeDistance, judgeMinimumDistance } from '../sight/index';
import type { PlanUncertainty } from '../sight/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';

/** What the plan's scale is sure of, in feet. */
export const planUncertainty = (scale: Scale): PlanUncertainty => ({ point: feet(scale.pickUncertainty * scale.feetPerUnit), scale: scale.relativeUncertainty });

/** Uncertainty of a straight distance: both ends may be off, and the scale is known to a share of the length. */
export const distanceUncertainty = (scale: Scale, distance: number): Feet => uncertaintyOf(feet(distance), planUncertainty(scale));

/** Inclusive: exactly at the limit passes; a band that straddles it is marginal. */
export const judgeAtMost = (distance: number, scale: Scale, limit: number): Verdict => judgeDistance(feet(distance), feet(limit), planUncertainty(scale)).verdict;

/** The same for a minimum. */
export const judgeAtLeast = (distance: number, scale: Scale, minimum: number): Verdict => judgeMinimumDistance(feet(distance), feet(minimum), planUncertainty(scale)).verdict;

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
