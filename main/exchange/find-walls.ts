import type { PlanMedia } from '../../shared-core/exchange/index';
import { inkOfLines, shapesOf, wallsFromLines, wallsFromScan } from '../../shared-core/offer/index';
import type { PlanPath, WallCandidate } from '../../shared-core/offer/index';
import { pdfPaths } from './pdf-paths';
import { PlanRefused } from './problems';
import { dxfSheets } from './read-dxf';
import { drawPdfPage, pdfScan } from './read-pdf';
import type { PdfPicture } from './read-pdf';
import { bitmapOf, lookedAt, scanBitmap } from './scan-bitmap';

/** Thinnest and thickest wall, the shortest piece, and how near lines count as one (a share of the thinnest wall without it); sheet units. */
export interface WallLimits { readonly thickness: readonly [number, number]; readonly shortest: number; readonly slack?: number | undefined }

/** Lines this share of the thinnest wall apart count as one. */
const SLACK = 0.15;
/** Candidates with their doors, found in a picture one of whose elements is so many sheet units. */
export const scaled = (walls: readonly WallCandidate[], factor: number): WallCandidate[] =>
  walls.map((wall) => ({ ...wall, x1: wall.x1 * factor, y1: wall.y1 * factor, x2: wall.x2 * factor, y2: wall.y2 * factor, thickness: wall.thickness * factor, ...(wall.openings ? { openings: wall.openings.map((o) => ({ ...o, from: o.from * factor, to: o.to * factor })) } : {}) }));

/** A page with fewer lines than this, and pictures, is a scan with a frame about it. */
const VECTOR_LINES = 40;

const fromPaths = (paths: Iterable<PlanPath>, { thickness, shortest, slack }: WallLimits): { readonly walls: WallCandidate[]; readonly lines: number } => {
  const { lines, filled, arcs, edges } = shapesOf(paths, { thickness, shortest });
  return { walls: wallsFromLines(lines, { thickness, shortest, slack: slack ?? thickness[0] * SLACK }, filled, arcs, inkOfLines(edges, thickness)), lines: lines.length + filled.length };
};

/** What draws lines that are no edges of anything. */
const NO_FACES: ReadonlySet<string> = new Set(['HATCH', 'DIMENSION', 'LEADER']);

/** What a drawing shows as paths: lines and fills of its shown layers; hatching, text and dimensions have no lines of wall kind. */
function* drawnPaths(bytes: Uint8Array, page: number, layersOff?: readonly string[]): Generator<PlanPath> {
  const { sheets, isShown } = dxfSheets(bytes);
  const sheet = sheets[page];
  if (!sheet) throw new PlanRefused('page-missing');
  const upright = (points: readonly (readonly [number, number])[]): [number, number][] => points.map(([x, y]) => [x, sheet.height - y]);
  for (const mark of sheet.parts.flatMap((part) => part.marks)) {
    const { kind, layer, colour } = mark;
    if (kind === 'text' || !(layersOff ? !layersOff.includes(layer) : isShown(layer))) continue;
    if (kind === 'line') { if (!NO_FACES.has(mark.source)) yield { points: upright(mark.points), filled: false, layer, pen: colour.join(' ') }; } else if (!mark.cover) for (const loop of mark.loops) yield { points: upright(loop), filled: true, layer };
  }
}

/** layersOff: hidden layers, all others shown; without it the file decides. */
interface Looking { readonly password?: string | undefined; readonly layersOff?: readonly string[] | undefined }

/** Walls that a sheet shows, in its sheet units; what lies on a hidden layer is not looked at. */
export async function findWalls(bytes: Uint8Array, media: PlanMedia, page: number, limits: WallLimits, looking: Looking = {}): Promise<WallCandidate[]> {
  if (media === 'image/vnd.dxf') return fromPaths(drawnPaths(bytes, page, looking.layersOff), limits).walls;
  if (media === 'image/svg+xml') throw new PlanRefused('unsupported', 'Walls are not looked for in SVG.');
  const [thin, thick] = limits.thickness;
  const scan = media === 'application/pdf' ? await pdfScan(bytes, page, drawing(thin, looking)) : null;
  if (media === 'application/pdf' && !scan) {
    const { paths, hasPictures } = await pdfPaths(bytes, page, looking);
    const { walls, lines } = fromPaths(paths, limits);
    if (!hasPictures || lines >= VECTOR_LINES) return walls;
  }
  const { bitmap, factor } = media === 'application/pdf' ? await fromPage(scan ?? await drawPdfPage(bytes, page, drawing(thin, looking))) : await scanBitmap(bytes, media, page, thin);
  const found = wallsFromScan(bitmap, { thickness: [thin / factor, thick / factor], shortest: limits.shortest / factor, slack: Math.max(2, (limits.slack ?? thin * SLACK) / factor) });
  return scaled(found, factor);
}

const drawing = (thinnest: number, { password, layersOff }: Looking): Parameters<typeof drawPdfPage>[2] =>
  ({ ...(password === undefined ? {} : { password }), ...(layersOff ? { layersOff } : {}), longSide: (width, height) => lookedAt(thinnest / Math.max(width, height)) });

async function fromPage(drawn: PdfPicture): ReturnType<typeof scanBitmap> {
  const { data, info } = await drawn.picture.raw().toBuffer({ resolveWithObject: true });
  const { bitmap, factor } = bitmapOf(data, info, 1);
  return { bitmap, factor: (factor * drawn.sheetWidth) / info.width };
}
