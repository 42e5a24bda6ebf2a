export { isBinaryDxf, planMedia } from './sniff';
export type { PlanMedia } from './sniff';
export { pngChunks, statedResolution, tiffDirectories } from './raster-facts';
export type { Resolution } from './raster-facts';
