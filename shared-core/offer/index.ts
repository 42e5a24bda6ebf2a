import { linesFromScan } from './lines-from-scan';
import type { Bitmap } from './lines-from-scan';
import { wallsFromLines } from './walls-from-lines';
import type { OfferOptions, WallCandidate } from './walls-from-lines';

export { mainDirections, shrunk } from './lines-from-scan';
export type { Bitmap } from './lines-from-scan';
export { wallsFromLines } from './walls-from-lines';
export type { OfferedDoor, OfferOptions, PlanLine, WallCandidate } from './walls-from-lines';
export * from './review';

/**
 * Walls offered from a scan: double lines and filled bars along its main directions. Text, hatching and grid lines
 * fall out because they are short, dense or have no partner.
 * @param bitmap  black and white at the scan's own size or smaller; options in its picture elements
 */
export function wallsFromScan(bitmap: Bitmap, options: OfferOptions): WallCandidate[] {
  const { lines, walls } = linesFromScan(bitmap, { shortest: options.shortest, solid: options.thickness, gap: 2 });
  return [...walls, ...wallsFromLines(lines, options)];
}
