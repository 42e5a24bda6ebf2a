import { feet } from '../units/index';
import type { Feet } from '../units/index';

/** Standard uncertainties of a plan: one picked point (feet) and the scale (relative). */
export interface PlanUncertainty { readonly point: Feet; readonly scale: number }

export type LimitVerdict = 'pass' | 'marginal' | 'fail';

export interface DistanceJudgement {
  readonly verdict: LimitVerdict;
  readonly uncertainty: Feet;
  /** distance - uncertainty .. distance + uncertainty */
  readonly low: Feet;
  readonly high: Feet;
}

/**
 * Uncertainty of a distance between two picked points: both points and the scale, as independent errors
 * (root of the sum of squares; JCGM 100:2008, 5.1.2, equation 10).
 */
export function distanceUncertainty(distance: Feet, { point, scale }: PlanUncertainty): Feet {
  return feet(Math.hypot(Math.SQRT2 * point, scale * distance));
}

/**
 * A distance against an upper limit, the limit itself included: pass when the whole band is within it, fail when the whole
 * band is past it, else marginal (measure on site). With no uncertainty there is no marginal band.
 * @throws RangeError for a number that is not finite or below zero: nothing unknown may pass
 */
export function judgeDistance(distance: Feet, limit: Feet, uncertainties: PlanUncertainty): DistanceJudgement {
  const { uncertainty, low, high } = band(distance, uncertainties, limit);
  return { verdict: high <= limit ? 'pass' : low > limit ? 'fail' : 'marginal', uncertainty, low, high };
}

/** A distance against a lower limit (kept away from water, from what it protects), the limit itself included. */
export function judgeMinimumDistance(distance: Feet, limit: Feet, uncertainties: PlanUncertainty): DistanceJudgement {
  const { uncertainty, low, high } = band(distance, uncertainties, limit);
  return { verdict: low >= limit ? 'pass' : high < limit ? 'fail' : 'marginal', uncertainty, low, high };
}

function band(distance: Feet, uncertainties: PlanUncertainty, limit: Feet) {
  for (const n of [distance, limit, uncertainties.point, uncertainties.scale])
    if (!(n >= 0) || !Number.isFinite(n)) throw new RangeError(`A distance, a limit or an uncertainty must be a finite number, not below zero; got ${n}.`);
  const uncertainty = distanceUncertainty(distance, uncertainties);
  return { uncertainty, low: feet(distance - uncertainty), high: feet(distance + uncertainty) };
}

export interface Clearance {
  /** Distance of the corner from the sight line. */
  readonly clearance: number;
  /** Where along the line the corner stands: 0 at the handle, 1 at the target. */
  readonly share: number;
}
interface PlanPoint { readonly x: number; readonly y: number }

/** How far a wall's end stays clear of a sight line in plan, and where along it. */
export function clearanceOf(handle: PlanPoint, target: PlanPoint, corner: PlanPoint): Clearance {
  const vx = target.x - handle.x; const vy = target.y - handle.y; const wx = corner.x - handle.x; const wy = corner.y - handle.y;
  const length2 = vx * vx + vy * vy;
  if (length2 === 0) return { clearance: Math.hypot(wx, wy), share: 0 };
  const share = Math.min(1, Math.max(0, (wx * vx + wy * vy) / length2));
  return { clearance: Math.hypot(wx - share * vx, wy - share * vy), share };
}

export interface ClearanceJudgement { readonly worst: number; readonly likely: number; readonly worstVerdict: 'pass' | 'marginal'; readonly likelyVerdict: 'pass' | 'marginal' }

/**
 * Whether a line that clears a corner on the plan clears it on site too, when handle, target and corner may each be off.
 * An error at the handle moves the line by (1 - share) of it beside the corner, one at the target by share of it.
 * `worst` adds the three, `likely` is their root of squares. Same unit throughout; nothing here can turn into a fail.
 */
export function judgeClearance({ clearance, share }: Clearance, off: { readonly handle: number; readonly target: number; readonly corner: number }): ClearanceJudgement {
  const parts = [(1 - share) * off.handle, share * off.target, off.corner] as const;
  const worst = parts[0] + parts[1] + parts[2]; const likely = Math.hypot(...parts);
  return { worst, likely, worstVerdict: clearance > worst ? 'pass' : 'marginal', likelyVerdict: clearance > likely ? 'pass' : 'marginal' };
}
