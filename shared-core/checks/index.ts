export * from './types';
export { createChecker, workingSpaceOf } from './checker';
export type { Checker } from './checker';
export { chooseRules } from './choose-rules';
export { sceneOf } from './scene-of';
export type { Owner, SheetScene } from './scene-of';
export type { SpaceConflict, WorkingSpace } from './working-space';
export { checkHandleCount } from './special-rules';
export { judgeSharing } from './sharing';
