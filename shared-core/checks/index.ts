export * from './types';
export { createChecker } from './checker';
export type { Checker } from './checker';
export { chooseRules } from './choose-rules';
export { sceneOf } from './scene-of';
export type { Owner, SheetScene } from './scene-of';
