import { sheetUnits } from '../../shared-core/units/index';
import type { Point } from '../../shared-core/document/index';
import { SHEET, toPaper } from './draw-plan';
import type { Spot } from './works';

const dpi = 200;
const skew = (0.55 * Math.PI) / 180;
/** A drum scanner pulls the paper a touch faster than it reads: 0.12 % between the two directions. */
const kx = (dpi / 72) * 1.0012; const ky = dpi / 72;
const width = 3400; const height = 2200;
const a = kx * Math.cos(skew); const b = kx * Math.sin(skew); const c = -ky * Math.sin(skew); const d = ky * Math.cos(skew);

/** How the print lay on the scanner: the one transform that the picture and the marks share. Degrees turn clockwise (y down). */
export const SCAN = {
  dpi, width, height, turn: (skew * 180) / Math.PI,
  matrix: [a, b, c, d, width / 2 - (a * SHEET.width + c * SHEET.height) / 2 + 6, height / 2 - (b * SHEET.width + d * SHEET.height) / 2 - 4],
} as const satisfies { matrix: readonly [number, number, number, number, number, number]; [key: string]: unknown };

/** From feet on the ground to pixels of the scan. */
export function toScan(spot: Spot): Point {
  const [x, y] = toPaper(spot); const [p, q, r, s, e, f] = SCAN.matrix;
  const rounded = (value: number): number => Math.round(value * 1000) / 1000;
  return { x: sheetUnits(rounded(p * x + r * y + e)), y: sheetUnits(rounded(q * x + s * y + f)) };
}
