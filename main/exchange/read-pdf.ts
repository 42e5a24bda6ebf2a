import sharp from 'sharp';
import type { PDFDocumentProxy, PDFPageProxy } from 'pdfjs-dist';
import { MOST_PICTURE_IN_PAGE, PICTURE_TOO_LARGE, switchLayers, withPdf } from './pdf-document';
import type { Layers } from './pdf-document';
import { statedScales } from './pdf-scales';
import { PlanRefused } from './problems';
import { buildPyramid } from './pyramid';
import type { Pyramid } from './pyramid';
import type { PlanPage } from './read-raster';

const POINTS_PER_INCH = 72;
/** The base picture: readable at once; deeper zoom is drawn anew from the page itself. */
const BASE_DPI = 200;
const SHORTEST_LONG_SIDE = 2000;
const MOST_PICTURE = 48e6;
const LONGEST_SIDE = 30_000;
const MOST_PAGES = 1000;
/** Sides of a page in points: 1,000,000 is 350 m of paper, and below 1 nothing was ever drawn. */
const [LEAST_SIDE, MOST_SIDE] = [1, 1e6];

async function pageFacts(page: PDFPageProxy, label: string | null, layers: PlanPage['layers']): Promise<PlanPage> {
  const upright = page.getViewport({ scale: 1 });
  const [left, bottom, right, top] = page.view as [number, number, number, number];
  return {
    page: page.pageNumber - 1, label, lengths: [], drawing: null, warnings: [], scales: [], layers,
    width: upright.width, height: upright.height, unitsPerPaperInch: POINTS_PER_INCH,
    stored: { width: right - left, height: top - bottom, turned: page.rotate, mirrored: false, unitsPerInch: null },
  };
}

/** Layers by name; one that a part of shows counts as shown. */
function namedLayers(config: Layers): PlanPage['layers'] {
  const shown = new Map<string, boolean>();
  for (const [id, { name, visible }] of config) shown.set(name ?? id, visible || (shown.get(name ?? id) ?? false));
  return [...shown].map(([name, visible]) => ({ name, visible }));
}

const layersOf = async (pdf: PDFDocumentProxy): Promise<PlanPage['layers']> => namedLayers(await pdf.getOptionalContentConfig());

export function inspectPdf(bytes: Uint8Array, password?: string): Promise<PlanPage[]> {
  return withPdf(bytes, password, async (pdf, heard) => {
    const layers = await layersOf(pdf).catch(() => []);
    const labels = await pdf.getPageLabels().catch(() => null);
    const stated = await statedScales(bytes, password);
    const pages: PlanPage[] = [];
    const unreadable: number[] = [];
    let absurd = '';
    for (let number = 1; number <= Math.min(pdf.numPages, MOST_PAGES); number++) {
      try {
        const page = await pdf.getPage(number);
        const facts = await pageFacts(page, labels?.[number - 1] ?? null, layers);
        if (!(Math.min(facts.width, facts.height) >= LEAST_SIDE && Math.max(facts.width, facts.height) <= MOST_SIDE)) {
          absurd ||= `Page ${number} says it is ${facts.width} by ${facts.height} points.`;
          throw new RangeError(absurd);
        }
        const upright = page.getViewport({ scale: 1 });
        const scales = (stated.get(number - 1) ?? []).map(({ name, feetPerDefaultUnit, corners }) => {
          const [a, b] = corners.map(([x, y]) => upright.convertToViewportPoint(x, y) as [number, number]) as [[number, number], [number, number]];
          return {
            name, feetPerUnit: feetPerDefaultUnit === null ? null : feetPerDefaultUnit / (page.userUnit || 1),
            box: [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.abs(a[0] - b[0]), Math.abs(a[1] - b[1])] as [number, number, number, number],
          };
        });
        pages.push({ ...facts, scales });
      } catch {
        unreadable.push(number);
      }
    }
    if (pages.length === 0) throw absurd ? new PlanRefused('absurd-size', absurd) : new PlanRefused('damaged', 'None of its pages can be read.');
    const warnings: PlanPage['warnings'] = [];
    if (unreadable.length > 0) warnings.push({ code: 'page-unreadable', what: `Page ${unreadable.join(', ')} of the PDF cannot be read.`, todo: 'Open the other pages, or make the PDF anew.' });
    if (heard.some((text) => text.includes('Indexing all PDF objects'))) warnings.push({ code: 'rebuilt', what: 'The table of contents of the PDF was broken and was rebuilt.', todo: 'Compare the sheet with a print before relying on it.' });
    return pages.map((page) => ({ ...page, warnings }));
  });
}

/** Picture elements per sheet unit of the base picture. */
export function baseScale(width: number, height: number): number {
  const long = Math.max(width, height);
  const wished = Math.max(BASE_DPI / POINTS_PER_INCH, SHORTEST_LONG_SIDE / long);
  return Math.min(wished, Math.sqrt(MOST_PICTURE / (width * height)), LONGEST_SIDE / long);
}

interface Canvas { readonly width: number; readonly height: number; data(): Buffer }

export interface PdfPicture { readonly pixels: Buffer; readonly width: number; readonly height: number; readonly sheetWidth: number; readonly layers: PlanPage['layers']; readonly warnings: readonly string[] }

/** Draws a page upright on white. Layers named in layersOff are hidden and all others shown; without it the file decides. */
export function drawPdfPage(bytes: Uint8Array, index: number, options: DrawOptions & { readonly password?: string }): Promise<PdfPicture> {
  return withPdf(bytes, options.password, (pdf, warnings) => drawPage(pdf, index, options, warnings));
}

/** longSide: picture elements along the page's long side, or what tells them from its length in sheet units. */
interface DrawOptions { readonly layersOff?: readonly string[]; readonly longSide?: number | ((side: number) => number) }

async function drawPage(pdf: PDFDocumentProxy, index: number, options: DrawOptions, warnings: readonly string[]): Promise<PdfPicture> {
  if (index >= pdf.numPages) throw new PlanRefused('page-missing');
  const page = await pdf.getPage(index + 1).catch(() => { throw new PlanRefused('damaged', `Page ${index + 1} cannot be read.`); });
  const sheet = page.getViewport({ scale: 1 });
  if (!(sheet.width > 0 && sheet.height > 0)) throw new PlanRefused('damaged', `Page ${index + 1} has no area.`);
  const side = Math.max(sheet.width, sheet.height);
  const longSide = typeof options.longSide === 'function' ? options.longSide(side) : options.longSide;
  const viewport = page.getViewport({ scale: longSide ? longSide / side : baseScale(sheet.width, sheet.height) });
  const width = Math.max(1, Math.round(viewport.width));
  const height = Math.max(1, Math.round(viewport.height));
  const config = await pdf.getOptionalContentConfig();
  const layers = config as unknown as Layers;
  const stated = namedLayers(layers);
  switchLayers(layers, options.layersOff);
  const factory = pdf.canvasFactory as { create(width: number, height: number): { canvas: Canvas & HTMLCanvasElement } };
  const { canvas } = factory.create(width, height);
  try {
    await page.render({ canvas, viewport, background: '#ffffff', optionalContentConfigPromise: Promise.resolve(config) }).promise;
  } catch {
    refuseLargePicture(warnings, index);
    throw new PlanRefused('damaged', `Page ${index + 1} cannot be drawn.`);
  }
  refuseLargePicture(warnings, index);
  return { pixels: canvas.data(), width, height, sheetWidth: sheet.width, layers: stated, warnings };
}

/** The library leaves such a picture out and goes on; a sheet without its picture would pass for the plan. */
function refuseLargePicture(warnings: readonly string[], index: number): void {
  if (!warnings.some((text) => text.includes(PICTURE_TOO_LARGE))) return;
  throw new PlanRefused('too-large', `Page ${index + 1} holds a picture of more than ${MOST_PICTURE_IN_PAGE / 1e6} million picture elements.`);
}

/** Small pictures of pages; null for one that cannot be drawn, so that the others still show. @param longSide picture elements */
export function pdfThumbnails(bytes: Uint8Array, pages: readonly number[], longSide: number, password?: string): Promise<(Uint8Array | null)[]> {
  return withPdf(bytes, password, async (pdf, warnings) => {
    const pictures: (Uint8Array | null)[] = [];
    for (const page of pages) {
      try {
        const { pixels, width, height } = await drawPage(pdf, page, { longSide }, warnings);
        pictures.push(await sharp(pixels, { raw: { width, height, channels: 4 } }).removeAlpha().png().toBuffer());
      } catch { pictures.push(null); }
    }
    return pictures;
  });
}

const LOST_PICTURE = /image|jbig2|jpx|jpeg|ccitt|decode/i;

export async function buildPdf(bytes: Uint8Array, page: number, options: { readonly password?: string; readonly layersOff?: readonly string[] }): Promise<Pyramid> {
  const { pixels, width, height, sheetWidth, layers, warnings } = await drawPdfPage(bytes, page, options);
  const picture = sharp(pixels, { raw: { width, height, channels: 4 }, limitInputPixels: false }).removeAlpha();
  const pyramid = { ...await buildPyramid(picture, sheetWidth), layers };
  const lost = warnings.filter((text) => LOST_PICTURE.test(text));
  return lost.length === 0 ? pyramid : { ...pyramid, warnings: [{ code: 'picture-lost', what: 'A picture on this page could not be read and is missing from the sheet.', todo: 'Compare with a print; make the PDF anew if something is missing.' }] };
}
