export { createPlanSource } from './plan-source';
export type { PlanSourceOptions } from './plan-source';
export type { PlanSource, PlanState, PlanTile, PictureBox } from './types';
export { levelFor, tilesIn } from './tile-grid';
