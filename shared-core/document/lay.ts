import { applySimilarity, boundsUnder, IDENTITY, invertSimilarity } from '../geometry/index';
import type { Box, Similarity } from '../geometry/index';
import { sheetUnits } from '../units/index';
import type { PlanRef, Point } from './types';

interface Vector { readonly x: number; readonly y: number }

/** How the plan's picture lies on its sheet: leads from picture units to sheet units. */
export const layOf = (plan: PlanRef): Similarity => plan.lay ?? IDENTITY;

/** From the picture's own units, in which files, tiles and offers speak, to the sheet. */
export function toSheetPoint(plan: PlanRef, p: Vector): Point {
  const { x, y } = applySimilarity(layOf(plan), p);
  return { x: sheetUnits(x), y: sheetUnits(y) };
}

/** From the sheet to the picture's own units. */
export const toPicturePoint = (plan: PlanRef, p: Vector): { x: number; y: number } => applySimilarity(invertSimilarity(layOf(plan)), p);

/** The upright box around the picture on the sheet, sheet units. */
export const planBounds = (plan: PlanRef): Box => boundsUnder(layOf(plan), { minX: 0, minY: 0, maxX: plan.width, maxY: plan.height });

/** Sheet units per inch of paper where the file says so. */
export const sheetUnitsPerPaperInch = (plan: PlanRef): number | undefined => (plan.unitsPerPaperInch === undefined ? undefined : plan.unitsPerPaperInch * layOf(plan).scale);
