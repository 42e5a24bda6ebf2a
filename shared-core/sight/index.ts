import { SightIndex } from './sight-index';
import type { Scene } from './scene';

export * from './scene';
export type { SightIndex } from './sight-index';
export { isClear, sightState, traceSight } from './trace';
export type { SightLine, SightMeeting, SightState } from './trace';
export { allowedRegion } from './region';
export type { AllowedRegion, RegionQuestion, RegionTarget } from './region';
export { visibleFraction } from './fraction';
export type { Face } from './fraction';
export { handleMargin, jointMargin } from './margin';
export type { HandleMargin } from './margin';
export { elevationProfile } from './elevation';
export type { ElevationCut, ElevationProfile } from './elevation';
export { mountStretches, sharesInside } from './mounts';
export type { MountStretch } from './mounts';
export { walkingDistance, walkingGround } from './walking';
export type { Walk, WalkingGround, WalkQuestion } from './walking';
export { prepareTargets, SIGHT_BLOCKED, SIGHT_CLEAR, SIGHT_DOUBTFUL, SIGHT_TOO_FAR, sightStates } from './many';
export type { TargetSet } from './many';
export type { Blocking } from './shadows';
export { clearanceOf, distanceUncertainty, judgeClearance, judgeDistance, judgeMinimumDistance } from './uncertainty';
export type { Clearance, ClearanceJudgement, DistanceJudgement, LimitVerdict, PlanUncertainty } from './uncertainty';

/**
 * Readies a scene for sight lines. Obstacles may overlap, touch, repeat and come in any order.
 * Move one without a rebuild: `index.replaceObstacle(obstacle)`, `index.removeObstacle(id)`, `index.add(obstacle)`; `index.settle()` when idle.
 * Handles and targets are not part of the index: pass where they are now.
 * @throws RangeError for a scale that is not positive, a repeated id, a coordinate that is not finite, a top below its bottom
 */
export const prepareScene = (scene: Scene): SightIndex => new SightIndex(scene);

/** The same in steps of a few milliseconds, for a thread that must not be held up. The scene must stay as it is meanwhile. */
export const prepareSceneInSteps = (scene: Scene): Generator<undefined, SightIndex> => SightIndex.inSteps(scene);
