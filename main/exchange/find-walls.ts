import sharp from 'sharp';
import type { PlanMedia } from '../../shared-core/exchange/index';
import { wallsFromLines, wallsFromScan } from '../../shared-core/offer/index';
import type { PlanLine, WallCandidate } from '../../shared-core/offer/index';
import { PlanRefused } from './problems';
import { dxfSheets } from './read-dxf';
import { drawPdfPage } from './read-pdf';
import { bitmapOf, scanBitmap } from './scan-bitmap';

/** Thinnest and thickest wall, the shortest piece, and how near lines count as one (a share of the thinnest wall without it); sheet units. */
export interface WallLimits { readonly thickness: readonly [number, number]; readonly shortest: number; readonly slack?: number | undefined }

/** Lines this share of the thinnest wall apart count as one. */
const SLACK = 0.15;
/** A PDF page is looked at with so many picture elements along its long side. */
const LOOKED_AT = 3400;

const scaled = (walls: readonly WallCandidate[], factor: number): WallCandidate[] =>
  walls.map((wall) => ({ ...wall, x1: wall.x1 * factor, y1: wall.y1 * factor, x2: wall.x2 * factor, y2: wall.y2 * factor, thickness: wall.thickness * factor }));

/** Walls of a drawing from its own lines; hatching, text and dimensions have no lines of wall kind. */
function fromDrawing(bytes: Uint8Array, page: number, { thickness, shortest, slack }: WallLimits, layersOff: readonly string[] = []): WallCandidate[] {
  const sheet = dxfSheets(bytes)[page];
  if (!sheet) throw new PlanRefused('page-missing');
  const lines: PlanLine[] = [];
  for (const mark of sheet.parts.flatMap((part) => part.marks)) {
    if (mark.kind !== 'line' || mark.source === 'HATCH' || layersOff.includes(mark.layer)) continue;
    mark.points.slice(1).forEach(([x2, y2], i) => {
      const [x1, y1] = mark.points[i]!;
      lines.push({ x1, y1: sheet.height - y1, x2, y2: sheet.height - y2, layer: mark.layer });
    });
  }
  return wallsFromLines(lines, { thickness, shortest, slack: slack ?? thickness[0] * SLACK });
}

interface Looking { readonly password?: string | undefined; readonly layersOff?: readonly string[] | undefined }

/** Walls that a sheet shows, in its sheet units; what lies on a hidden layer is not looked at. */
export async function findWalls(bytes: Uint8Array, media: PlanMedia, page: number, limits: WallLimits, looking: Looking = {}): Promise<WallCandidate[]> {
  if (media === 'image/vnd.dxf') return fromDrawing(bytes, page, limits, looking.layersOff);
  if (media === 'image/svg+xml') throw new PlanRefused('unsupported', 'Walls are not looked for in SVG.');
  const { bitmap, factor } = media === 'application/pdf' ? await fromPage(bytes, page, looking) : await scanBitmap(bytes, media, page);
  const [thin, thick] = limits.thickness;
  const found = wallsFromScan(bitmap, { thickness: [thin / factor, thick / factor], shortest: limits.shortest / factor, slack: Math.max(2, (limits.slack ?? thin * SLACK) / factor) });
  return scaled(found, factor);
}

async function fromPage(bytes: Uint8Array, page: number, { password, layersOff }: Looking): ReturnType<typeof scanBitmap> {
  const drawn = await drawPdfPage(bytes, page, { ...(password === undefined ? {} : { password }), ...(layersOff ? { layersOff } : {}), longSide: LOOKED_AT });
  const { data, info } = await sharp(drawn.pixels, { raw: { width: drawn.width, height: drawn.height, channels: 4 }, limitInputPixels: false }).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const { bitmap, factor } = bitmapOf(data, info);
  return { bitmap, factor: (factor * drawn.sheetWidth) / drawn.width };
}
