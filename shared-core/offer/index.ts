import type { OfferOptions, WallCandidate } from './candidate';
import { arcsInScan } from './doors-in-scan';
import { linesFromScan } from './lines-from-scan';
import type { Bitmap } from './main-directions';
import { inkOfScan } from './wall-body';
import { wallsFromLines } from './walls-from-lines';

export { mainDirections, shrunk } from './main-directions';
export type { Bitmap } from './main-directions';
export { statedLengths } from './stated-lengths';
export type { PlanText, StatedLength } from './stated-lengths';
export { skewOfLines, skewOfScan } from './skew';
export { inkOfLines } from './wall-body';
export type { InkNear } from './wall-body';
export { wallsFromLines } from './walls-from-lines';
export type { DoorArc, OfferedDoor, OfferOptions, PlanLine, PlanPath, WallCandidate, Doubt } from './candidate';
export { shapesOf } from './plan-paths';
export type { PlanShapes } from './plan-paths';
export * from './review';

/**
 * Walls offered from a scan: double lines and solid bars along its main directions. Text, hatching and grid lines
 * fall out because they are short, repeat, or have no partner; furniture because its gaps run out into the room.
 * @param bitmap  black and white at the scan's own size or smaller; options in its picture elements
 */
export function wallsFromScan(bitmap: Bitmap, options: OfferOptions): WallCandidate[] {
  const { lines, walls } = linesFromScan(bitmap, { shortest: options.shortest, solid: options.thickness, gap: 2 });
  const ink = inkOfScan(bitmap);
  // What lies along the rim of the picture is the shadow of the sheet's edge.
  const isRim = ({ x1, y1, x2, y2, thickness }: WallCandidate): boolean => [Math.max(x1, x2), Math.max(y1, y2), bitmap.width - Math.min(x1, x2), bitmap.height - Math.min(y1, y2)].some((away) => away <= thickness);
  return wallsFromLines(lines, options, walls.filter((wall) => !isRim(wall)), (found) => arcsInScan(ink, found, options), ink);
}
