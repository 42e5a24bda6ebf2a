import { PDFDocument, PDFName, rgb } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import type { Sharp } from 'sharp';

/** A little plan: outer walls, one inner wall, and a black square in the upper left corner to tell which way is up. */
export function planPixels(width: number, height: number): Buffer {
  const pixels = Buffer.alloc(width * height, 255);
  const fill = (x0: number, y0: number, x1: number, y1: number): void => {
    for (let y = y0; y < y1; y++) pixels.fill(0, y * width + x0, y * width + x1);
  };
  const wall = Math.max(2, Math.round(width / 60));
  fill(wall, wall, width - wall, 2 * wall);
  fill(wall, height - 2 * wall, width - wall, height - wall);
  fill(wall, wall, 2 * wall, height - wall);
  fill(width - 2 * wall, wall, width - wall, height - wall);
  fill(Math.round(width / 2), wall, Math.round(width / 2) + wall, Math.round(height / 2));
  fill(3 * wall, 3 * wall, 3 * wall + Math.round(width / 8), 3 * wall + Math.round(width / 8));
  return pixels;
}

export const planPicture = (width = 300, height = 200): Sharp =>
  sharp(planPixels(width, height), { raw: { width, height, channels: 1 } });

/** A vector plan of one or more pages; `prepare` may change the last page before saving. */
export async function planPdf(options: { readonly pages?: number; readonly size?: [number, number]; readonly prepare?: (pdf: PDFDocument) => void } = {}): Promise<Uint8Array> {
  // Without the hour of making: a spoiled copy must come again byte for byte.
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const [width, height] = options.size ?? [600, 400];
  for (let i = 0; i < (options.pages ?? 1); i++) {
    const page = pdf.addPage([width, height]);
    page.drawRectangle({ x: 20, y: 20, width: width - 40, height: height - 40, borderWidth: 6, borderColor: rgb(0, 0, 0) });
    page.drawRectangle({ x: 0.06 * width, y: 0.9 * height - 0.12 * width, width: 0.12 * width, height: 0.12 * width, color: rgb(0, 0, 0) });
    page.drawLine({ start: { x: width / 2, y: height - 20 }, end: { x: width / 2, y: height / 2 }, thickness: 4 });
  }
  options.prepare?.(pdf);
  return pdf.save({ useObjectStreams: false });
}

export const setEntry = (pdf: PDFDocument, key: string, value: unknown): void => {
  pdf.getPage(0).node.set(PDFName.of(key), pdf.context.obj(value as never));
};

/** Mean darkness (0 white, 1 black) of a part of a PNG tile; the part is given in shares of its size. */
export async function darkness(png: Uint8Array, x0: number, y0: number, x1: number, y1: number): Promise<number> {
  const { data, info } = await sharp(png).greyscale().raw().toBuffer({ resolveWithObject: true });
  let sum = 0;
  let count = 0;
  for (let y = Math.floor(y0 * info.height); y < y1 * info.height; y++) {
    for (let x = Math.floor(x0 * info.width); x < x1 * info.width; x++) {
      sum += 255 - data[(y * info.width + x) * info.channels]!;
      count++;
    }
  }
  return sum / count / 255;
}

export interface PdfStream { readonly entries: string; readonly data: Uint8Array }

/** A PDF of objects as they are written; number 1 is the catalogue. */
export function pdfOf(objects: readonly (string | PdfStream)[]): Uint8Array {
  let file = '%PDF-1.7\n';
  const places = objects.map((object, i) => {
    const at = file.length;
    const body = typeof object === 'string' ? object : `<<${object.entries}/Length ${object.data.length}>>\nstream\n${Buffer.from(object.data).toString('latin1')}\nendstream`;
    file += `${i + 1} 0 obj\n${body}\nendobj\n`;
    return at;
  });
  const rows = places.map((at) => `${String(at).padStart(10, '0')} 00000 n \n`).join('');
  return new Uint8Array(Buffer.from(`${file}xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${rows}trailer <</Size ${objects.length + 1}/Root 1 0 R>>\nstartxref\n${file.length}\n%%EOF\n`, 'latin1'));
}
