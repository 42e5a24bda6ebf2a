import { worstVerdict } from '../code-data/index';
import type { PlacementRule, SightLimit, Verdict } from '../code-data/index';
import { scaleBetween } from '../document/index';
import type { Disconnect, Document, Scale } from '../document/index';
import { compareDistance } from '../geometry/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { figureOf, inFeet } from './choose-rules';
import type { Figure } from './choose-rules';
import { distanceUncertainty, judgeAtLeast, judgeAtMost, reachOf } from './distance';
import type { Reach } from './distance';
import type { MountedHandle } from './handle-point';
import { contains } from './pair-targets';
import type { PairTarget, TargetBody } from './pair-targets';
import type { PairLines } from './sight-lines';

/** The distance question of one pair with everything that went into it. */
export interface DistanceView {
  readonly distance: Feet;
  readonly plan: Feet;
  readonly uncertainty: Feet;
  /** How far each of the two places may be off, feet. */
  readonly point: Feet;
  readonly limit: Figure;
  readonly minimum: Figure | null;
  readonly reach: Reach | null;
  readonly verdict: Verdict;
  /** Why the verdict is no plain comparison. */
  readonly reason: string | null;
}

/** Straight distance in space from the handle to the target, against the limit of rule, jurisdiction and local amendment. */
export function viewDistance(document: Document, known: Scale, disconnect: Disconnect, mounted: MountedHandle, target: PairTarget & { body: TargetBody }): DistanceView {
  const { body, rule } = target;
  const scale = scaleBetween(known, [disconnect, body]);
  const at = body.at;
  if (!at) throw new RangeError(`${body.tag} is not placed`);
  const printed = limitOf(rule, document.facts.jurisdiction);
  const limit = figureOf(document.facts, [`${rule.id}.distance`, ...(usesUsualLimit(printed) ? ['within-sight.distance'] : [])], printed.atMost);
  const minimum = printed.atLeast ? figureOf(document.facts, [`${rule.id}.minimum-distance`], printed.atLeast) : null;
  const { point, handle } = mounted;
  const rise = Math.abs(handle.z - body.height);
  const plan = Math.hypot(at.x - point.x, at.y - point.y) * scale.feetPerUnit;
  const toCentre = Math.hypot(plan, rise);
  const long = (target.kind === 'machine' || target.kind === 'unit') && body.outline !== undefined;
  const reach = long && body.outline ? reachOf(point, rise, body.outline, scale.feetPerUnit, contains(body.outline, point)) : null;
  const distance = reach ? Math.min(reach.nearest, toCentre) : toCentre;
  const uncertainty = distanceUncertainty(scale, distance);
  let verdict = judgeAtMost(distance, scale, limit.value);
  // Without uncertainty the comparison is exact: a rounded root must not turn just over into just at.
  if (uncertainty === 0 && !reach) verdict = compareDistance(point.x, point.y, handle.z, at.x, at.y, body.height, scale.feetPerUnit, limit.value) <= 0 ? 'pass' : 'fail';
  let reason: string | null = null;
  const settle = (worse: Verdict, why: string): void => { if (worstVerdict([verdict, worse]) !== verdict) { verdict = worse; reason = why; } };
  if (reach && judgeAtMost(reach.farthest, scale, limit.value) !== 'pass') {
    settle('judgement', 'no section says which point of a long machine counts; its nearest point is the usual reading');
  }
  const contested = printed.contested;
  if (contested && judgeAtMost(distance, scale, inFeet(contested.atMost)) !== 'pass') settle('judgement', contested.why);
  if (minimum) {
    const near = judgeAtLeast(distance, scale, minimum.value);
    if (near !== 'pass') settle(near, 'nearer than the minimum of the rule');
  }
  if (printed.ownReading && verdict === 'fail') { verdict = 'judgement'; reason = 'the rule gives no distance; beyond the usual one the authority decides'; }
  return { distance: feet(distance), plan: feet(plan), uncertainty, point: feet(scale.pickUncertainty * scale.feetPerUnit), limit, minimum, reach, verdict, reason };
}

/** The limit in this jurisdiction; where the rule prints none for it, the United States figure with the citation's note. */
export function limitOf(rule: PlacementRule, jurisdiction: 'US' | 'CA'): SightLimit {
  const limit = rule.limit?.[jurisdiction] ?? rule.limit?.US;
  if (!limit) throw new RangeError(`rule ${rule.id} wants something in sight but has no limit`);
  return limit;
}

const usesUsualLimit = (limit: SightLimit): boolean => (limit.atMost.value === 50 && limit.atMost.unit === 'ft') || (limit.atMost.value === 9 && limit.atMost.unit === 'm');

/** The view question alone. */
export function viewVerdict(lines: PairLines): Verdict {
  if (lines.eye.state === 'clear' && lines.body.state === 'clear') return lines.closeCall ? 'marginal' : 'pass';
  if (lines.eye.state === 'blocked' && lines.body.state === 'blocked') return lines.partlySeen ? 'judgement' : 'fail';
  return 'judgement';
}
