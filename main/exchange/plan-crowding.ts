import sharp from 'sharp';
import { layOf } from '../../shared-core/document/index';
import { boundsUnder, invertSimilarity, isIdentity } from '../../shared-core/geometry/index';
import { planMedia } from '../../shared-core/exchange/index';
import type { Box, ReportSheet } from '../../shared-core/report/index';
import { withPdf } from './pdf-document';

/** How full a box of the sheet is already, 0 to 1; paper points, y down. */
export type Crowding = (box: Box) => number;

const CELL = 3;
/** Darker than the sheet's paper by so much, of 255, counts as drawn; a fold or a scanner's grain stays below. */
const DRAWN = 14;
const PAPER_SHARE = 0.75;

/**
 * Where the plan itself already says something, so that labels keep off its words. From a scan by its darkness, from a PDF
 * by its text. Only a help for laying out: where it cannot be had, labels are placed without it.
 */
export async function crowdingOf(bytes: Uint8Array, sheet: ReportSheet, password: string | undefined): Promise<Crowding | null> {
  const { plan } = sheet;
  if (!plan) return null;
  const lay = layOf(plan);
  // Counted in the picture's own frame, whose points are as large as the sheet's; a box asked for goes back through the lay.
  const k = sheet.pointsPerUnit * lay.scale;
  const width = plan.width * k; const height = plan.height * k;
  const columns = Math.max(1, Math.ceil(width / CELL)); const rows = Math.max(1, Math.ceil(height / CELL));
  try {
    const drawn = planMedia(bytes) === 'application/pdf'
      ? await drawnByText(bytes, plan.page, password, columns, rows)
      : await drawnByDarkness(bytes, plan.page, columns, rows);
    const crowding = sumsOf(drawn, columns, rows, width / columns, height / rows);
    if (isIdentity(lay)) return crowding;
    const back = invertSimilarity({ ...lay, scale: 1, x: lay.x * sheet.pointsPerUnit, y: lay.y * sheet.pointsPerUnit });
    return (box) => {
      const { minX, minY, maxX, maxY } = boundsUnder(back, { minX: box.x, minY: box.y, maxX: box.x + box.width, maxY: box.y + box.height });
      return crowding({ x: minX, y: minY, width: maxX - minX, height: maxY - minY });
    };
  } catch { return null; }
}

async function drawnByDarkness(bytes: Uint8Array, page: number, columns: number, rows: number): Promise<Uint8Array> {
  const multipage = planMedia(bytes) === 'image/tiff' ? { page, pages: 1 } : {};
  const { data } = await sharp(bytes, { ...multipage, limitInputPixels: false, sequentialRead: true }).autoOrient().flatten({ background: '#ffffff' }).resize(columns, rows, { fit: 'fill' }).greyscale().raw().toBuffer({ resolveWithObject: true });
  const paper = [...data].sort((a, b) => a - b)[Math.floor(data.length * PAPER_SHARE)] ?? 255;
  const dark = data.map((value) => (paper - value > DRAWN ? 1 : 0));
  // Letters leave gaps between them; a word is to count as one.
  return dark.map((cell, i) => (cell === 1 || ((dark[i - 1] ?? 0) === 1 && (dark[i + 1] ?? 0) === 1) ? 1 : 0));
}

async function drawnByText(bytes: Uint8Array, index: number, password: string | undefined, columns: number, rows: number): Promise<Uint8Array> {
  const drawn = new Uint8Array(columns * rows);
  await withPdf(bytes, password, async (pdf) => {
    const page = await pdf.getPage(index + 1);
    const viewport = page.getViewport({ scale: 1 });
    const kx = columns / viewport.width; const ky = rows / viewport.height;
    for (const item of (await page.getTextContent()).items) {
      if (!('str' in item) || item.str.trim() === '') continue;
      const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = item.transform as number[];
      const along = Math.hypot(a, b) || 1; const up = Math.hypot(c, d) || 1;
      const corners = [[0, 0], [item.width, 0], [0, item.height], [item.width, item.height]].map(([x = 0, y = 0]) => viewport.convertToViewportPoint(e + (a / along) * x + (c / up) * y, f + (b / along) * x + (d / up) * y) as number[]);
      const xs = corners.map((p) => (p[0] ?? 0) * kx); const ys = corners.map((p) => (p[1] ?? 0) * ky);
      for (let y = Math.max(0, Math.floor(Math.min(...ys))); y < Math.min(rows, Math.max(...ys)); y += 1) for (let x = Math.max(0, Math.floor(Math.min(...xs))); x < Math.min(columns, Math.max(...xs)); x += 1) drawn[y * columns + x] = 1;
    }
  });
  return drawn;
}

/** Sums over every rectangle from the corner, so that any box is answered by four of them. */
function sumsOf(drawn: Uint8Array, columns: number, rows: number, cellWidth: number, cellHeight: number): Crowding {
  const wide = columns + 1;
  const sums = new Uint32Array(wide * (rows + 1));
  for (let y = 0; y < rows; y += 1) for (let x = 0; x < columns; x += 1) {
    sums[(y + 1) * wide + x + 1] = (drawn[y * columns + x] ?? 0) + (sums[y * wide + x + 1] ?? 0) + (sums[(y + 1) * wide + x] ?? 0) - (sums[y * wide + x] ?? 0);
  }
  const clamp = (value: number, most: number): number => Math.min(Math.max(value, 0), most);
  return (box) => {
    const x1 = clamp(Math.floor(box.x / cellWidth), columns); const x2 = clamp(Math.ceil((box.x + box.width) / cellWidth), columns);
    const y1 = clamp(Math.floor(box.y / cellHeight), rows); const y2 = clamp(Math.ceil((box.y + box.height) / cellHeight), rows);
    const area = (x2 - x1) * (y2 - y1);
    return area === 0 ? 0 : ((sums[y2 * wide + x2] ?? 0) - (sums[y1 * wide + x2] ?? 0) - (sums[y2 * wide + x1] ?? 0) + (sums[y1 * wide + x1] ?? 0)) / area;
  };
}
