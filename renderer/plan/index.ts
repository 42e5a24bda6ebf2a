export { createPlanSource } from './plan-source';
export type { PlanSourceOptions } from './plan-source';
export { layersOfPlan, planLayers } from './plan-layers';
export type { PlanLayer } from './plan-layers';
export type { PlanSource, PlanState, PlanTile, PictureBox } from './types';
export { levelFor, tilesIn } from './tile-grid';
