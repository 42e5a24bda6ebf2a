import sharp from 'sharp';
import type { Sharp } from 'sharp';
import type { PageViewport, PDFDocumentProxy, PDFPageProxy } from 'pdfjs-dist';
import type { Matrix } from '../../shared-core/geometry/index';
import { letGo } from './let-go';
import { pdfObjects, PICTURE_TOO_LARGE, switchLayers, withPdf } from './pdf-document';
import type { Layers } from './pdf-document';
import { lossesHeard, lossesOf, refuseBlowUp } from './pdf-losses';
import type { Loss } from './pdf-losses';
import { mayHoldScan, openScans } from './pdf-scan';
import type { PdfScans } from './pdf-scan';
import { withSmallerPictures } from './pdf-reduce';
import { statedScales } from './pdf-scales';
import type { StatedScale } from './pdf-scales';
import { MOST_PICTURE_IN_PAGE } from './pdf-swell';
import { PlanRefused } from './problems';
import { buildPyramid } from './pyramid';
import type { Pyramid } from './pyramid';
import { namedPictureFault } from './read-raster';
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

/** What the file has in its own space, in sheet units of the upright page. */
function scalesOn(page: PDFPageProxy, stated: readonly StatedScale[]): PlanPage['scales'] {
  const upright = page.getViewport({ scale: 1 });
  return stated.map(({ name, feetPerDefaultUnit, corners }) => {
    const [a, b] = corners.map(([x, y]) => upright.convertToViewportPoint(x, y) as [number, number]) as [[number, number], [number, number]];
    return {
      name, feetPerUnit: feetPerDefaultUnit === null ? null : feetPerDefaultUnit / (page.userUnit || 1),
      box: [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.abs(a[0] - b[0]), Math.abs(a[1] - b[1])],
    };
  });
}

/** The scales that one page carries, with where each holds; sheet units. */
export function pdfScales(bytes: Uint8Array, index: number, password?: string): Promise<PlanPage['scales']> {
  return withPdf(bytes, password, async (pdf) => {
    const stated = (await statedScales(bytes, password)).get(index) ?? [];
    return stated.length === 0 ? [] : scalesOn(await pdf.getPage(index + 1), stated);
  });
}

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
        pages.push({ ...facts, scales: scalesOn(page, stated.get(number - 1) ?? []) });
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

interface Canvas { width: number; height: number; data(): Buffer }

export interface PdfPicture {
  /** Upright on white, without transparency. */
  readonly picture: Sharp;
  readonly width: number;
  readonly height: number;
  /** Samples of more than one bit; 0 for what is drawn or black and white. */
  readonly grain: number;
  readonly sheetWidth: number;
  readonly layers: PlanPage['layers'];
  readonly warnings: readonly string[];
  /** Nothing but white was drawn. */
  readonly isBlank: boolean;
  /** The page is one large scan, read by itself: there is nothing else on it. */
  readonly isScan: boolean;
  /** A scan on the page is shown coarser than it is, by so much along a side; why goes on after 'because'. */
  readonly reduced?: { readonly factor: number; readonly why: string };
}

/** Draws a page upright on white. Layers named in layersOff are hidden and all others shown; without it the file decides. */
export async function drawPdfPage(bytes: Uint8Array, index: number, options: ReadOptions): Promise<PdfPicture> {
  const [scan] = await scansOf(bytes, [index], options);
  if (scan && 'picture' in scan) return scan;
  // Where more than the scan is shown, a scan too large to be unpacked whole is drawn smaller, with the rest over it.
  const smaller = scan && await withSmallerPictures(bytes, index, options.password);
  if (smaller) letGo();
  return withPdf(smaller?.bytes ?? bytes, smaller ? undefined : options.password, async (pdf, warnings) => {
    const objects = mayBlowUp(bytes) ? await pdfObjects(bytes, options.password) : null;
    if (objects && index < objects.getPageCount()) refuseBlowUp(objects, index);
    return { ...await drawPage(pdf, index, { ...options, whyNoScan: scan?.whyNot }, warnings), ...(smaller && scan ? { reduced: { factor: smaller.factor, why: scan.whyNot } } : {}) };
  });
}

/** The page if it is one large scan that is read by itself, and null otherwise. */
export async function pdfScan(bytes: Uint8Array, index: number, options: ReadOptions): Promise<PdfPicture | null> {
  const [scan] = await scansOf(bytes, [index], options);
  return scan && 'picture' in scan ? scan : null;
}

/**
 * The pages as large scans that are read by themselves, or why not; null where there is none in the file.
 * Two libraries hold the file, one after the other: a scan may be hundreds of megabytes.
 * @throws PlanRefused as withPdf does, and page-missing or damaged where only one page is asked for
 */
async function scansOf(bytes: Uint8Array, indices: readonly number[], options: ReadOptions): Promise<(PdfPicture | { readonly whyNot: string } | null)[]> {
  if (!mayHoldScan(bytes)) return indices.map(() => null);
  const frames = await withPdf(bytes, options.password, async (pdf) => {
    const found: (Frame | null)[] = [];
    for (const index of indices) {
      const opened = openedPage(pdf, index, options).then(({ sheet, stated, longSide }) => ({ index, transform: sheet.transform as unknown as Matrix, width: sheet.width, height: sheet.height, stated, longSide }));
      found.push(indices.length === 1 ? await opened : await opened.catch(() => null));
    }
    return found;
  });
  letGo();
  const scans = await openScans(bytes, options.password);
  const pages: Awaited<ReturnType<typeof scansOf>> = [];
  for (const frame of frames) pages.push(scans && frame && await scanOf(frame, scans));
  return pages;
}

type ReadOptions = DrawOptions & { readonly password?: string };
/** How a page lies, from its user space to the upright sheet. */
interface Frame { readonly index: number; readonly transform: Matrix; readonly width: number; readonly height: number; readonly stated: PlanPage['layers']; readonly longSide: number | undefined }

/** longSide: picture elements along the page's long side, or what tells them from its size in sheet units. A scan is never drawn finer than it is. */
interface DrawOptions { readonly layersOff?: readonly string[]; readonly longSide?: number | ((width: number, height: number) => number) }

interface OpenedPage { readonly page: PDFPageProxy; readonly sheet: PageViewport; readonly layers: Layers; readonly config: Awaited<ReturnType<PDFDocumentProxy['getOptionalContentConfig']>>; readonly stated: PlanPage['layers']; readonly longSide: number | undefined }

/** Whether a file holds more than one form: streams are never hidden inside others. */
function mayBlowUp(bytes: Uint8Array): boolean {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let forms = 0;
  for (let at = file.indexOf('/Form'); at >= 0 && forms < 2; at = file.indexOf('/Form', at + 5)) if (!/[A-Za-z]/.test(String.fromCharCode(file[at + 5] ?? 0))) forms += 1;
  return forms > 1;
}

async function openedPage(pdf: PDFDocumentProxy, index: number, options: DrawOptions): Promise<OpenedPage> {
  if (index >= pdf.numPages) throw new PlanRefused('page-missing');
  const page = await pdf.getPage(index + 1).catch(() => { throw new PlanRefused('damaged', `Page ${index + 1} cannot be read.`); });
  const sheet = page.getViewport({ scale: 1 });
  if (!(sheet.width > 0 && sheet.height > 0)) throw new PlanRefused('damaged', `Page ${index + 1} has no area.`);
  const longSide = typeof options.longSide === 'function' ? options.longSide(sheet.width, sheet.height) : options.longSide;
  const config = await pdf.getOptionalContentConfig();
  const layers = config as unknown as Layers;
  return { page, sheet, longSide, config, layers, stated: namedLayers(layers) };
}

async function scanOf(frame: Frame, scans: PdfScans): Promise<PdfPicture | { readonly whyNot: string }> {
  const scan = await scans.page(frame.index, frame.transform, frame);
  if ('whyNot' in scan) return scan;
  const { picture, width, height, isBilevel, channels } = scan.picture(frame.longSide);
  return { picture, width, height, grain: isBilevel ? 0 : width * height * channels, sheetWidth: frame.width, layers: frame.stated, warnings: [], isBlank: false, isScan: true };
}

async function drawPage(pdf: PDFDocumentProxy, index: number, options: DrawOptions & { readonly whyNoScan?: string | undefined }, warnings: readonly string[]): Promise<PdfPicture> {
  const opened = await openedPage(pdf, index, options);
  const { page, sheet, layers, config, stated, longSide } = opened;
  const side = Math.max(sheet.width, sheet.height);
  const viewport = page.getViewport({ scale: longSide ? longSide / side : baseScale(sheet.width, sheet.height) });
  const width = Math.max(1, Math.round(viewport.width));
  const height = Math.max(1, Math.round(viewport.height));
  switchLayers(layers, options.layersOff);
  const factory = pdf.canvasFactory as { create(width: number, height: number): { canvas: Canvas & HTMLCanvasElement } };
  const { canvas } = factory.create(width, height);
  try {
    await page.render({ canvas, viewport, background: '#ffffff', optionalContentConfigPromise: Promise.resolve(config) }).promise;
  } catch {
    refuseLargePicture(warnings, index, options.whyNoScan);
    throw new PlanRefused('damaged', `Page ${index + 1} cannot be drawn.`);
  }
  refuseLargePicture(warnings, index, options.whyNoScan);
  // The canvas hands out its own memory, which goes when it is collected, whoever still reads it.
  const pixels = Buffer.from(canvas.data());
  canvas.width = canvas.height = 0;
  const picture = sharp(pixels, { raw: { width, height, channels: 4 }, limitInputPixels: false }).removeAlpha();
  return { picture, width, height, grain: 0, sheetWidth: sheet.width, layers: stated, warnings, isBlank: isWhite(pixels), isScan: false };
}

/** The library leaves such a picture out and goes on; a sheet without its picture would pass for the plan. */
function refuseLargePicture(warnings: readonly string[], index: number, whyNot = 'the file is not sound'): void {
  if (!warnings.some((text) => text.includes(PICTURE_TOO_LARGE))) return;
  throw new PlanRefused('too-large', `Page ${index + 1} holds a picture of more than ${MOST_PICTURE_IN_PAGE / 1e6} million picture elements, which cannot be read by itself because ${whyNot}.`);
}

/** Small pictures of pages; null for one that cannot be drawn, so that the others still show. @param longSide picture elements */
export async function pdfThumbnails(bytes: Uint8Array, pages: readonly number[], longSide: number, password?: string): Promise<(Uint8Array | null)[]> {
  const options = { longSide, ...(password === undefined ? {} : { password }) };
  const small = (drawn: PdfPicture): Promise<Uint8Array | null> => drawn.picture.png().toBuffer().catch(() => null);
  const pictures: (Uint8Array | null)[] = [];
  for (const [i, scan] of (await scansOf(bytes, pages, options).catch(() => pages.map(() => null))).entries()) {
    const smaller = scan && 'whyNot' in scan ? await withSmallerPictures(bytes, pages[i]!, password, undefined, 4 * longSide ** 2) : null;
    const drawn = smaller ? await withPdf(smaller.bytes, undefined, (pdf, warnings) => drawPage(pdf, pages[i]!, options, warnings)).catch(() => null) : scan;
    pictures.push(drawn && 'picture' in drawn ? await small(drawn) : null);
  }
  if (pictures.every((picture) => picture !== null)) return pictures;
  return withPdf(bytes, password, async (pdf, warnings) => {
    const objects = mayBlowUp(bytes) ? await pdfObjects(bytes, password) : null;
    for (const [i, page] of pages.entries()) {
      if (pictures[i]) continue;
      try {
        if (objects && page < objects.getPageCount()) refuseBlowUp(objects, page);
        pictures[i] = await small(await drawPage(pdf, page, options, warnings));
      } catch { pictures[i] = null; }
    }
    return pictures;
  });
}

const isWhite = (pixels: Buffer): boolean => new Uint32Array(pixels.buffer, pixels.byteOffset, pixels.length / 4).every((pixel) => pixel === 0xffffffff);

export async function buildPdf(bytes: Uint8Array, page: number, options: { readonly password?: string; readonly layersOff?: readonly string[] }): Promise<Pyramid> {
  const { picture, sheetWidth, width, grain, layers, warnings, isBlank, isScan, reduced } = await drawPdfPage(bytes, page, options);
  // What is read row by row is refused where it breaks; only fax goes on after a broken row.
  const losses = isScan && !Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).includes('/CCITTFaxDecode') ? [] : [...await structuralLosses(bytes, page, options.password), ...lossesHeard(warnings)];
  if (isBlank && losses[0]) throw new PlanRefused('damaged', `Nothing of page ${page + 1} can be shown: ${losses[0].what}.`);
  if (isScan || reduced) letGo();
  const built = await buildPyramid(picture, sheetWidth, grain).catch((fault: unknown) => { throw namedPictureFault(fault); });
  // Drawn at any zoom from the page itself, the large scan would be left out: what there is, is in the picture.
  return { ...built, layers, isScan: isScan || reduced !== undefined, warnings: [...whatToKnow(losses, isBlank), ...(reduced ? [coarser(reduced, Math.round(width / sheetWidth * POINTS_PER_INCH))] : [])] };
}

const coarser = ({ factor, why }: NonNullable<PdfPicture['reduced']>, perInch: number): Pyramid['warnings'][number] => ({
  code: 'picture-coarser', what: `The scan on this page is shown about ${factor.toFixed(1)} times coarser than it is, at ${perInch} picture elements per inch of paper, because ${why}.`, todo: 'For the full fineness open the scan by itself: as a picture, or as a PDF page with nothing else on it.',
});

async function structuralLosses(bytes: Uint8Array, page: number, password: string | undefined): Promise<Loss[]> {
  const pdf = await pdfObjects(bytes, password);
  return pdf === null ? [] : lossesOf(pdf, page).catch(() => []);
}

/** A sheet is never silently without a part of its plan. */
function whatToKnow(losses: readonly Loss[], isBlank: boolean): Pyramid['warnings'] {
  const todo = 'Compare with a print; make the PDF anew if something is missing.';
  const drawing = losses.find(({ kind }) => kind === 'drawing');
  if (drawing) return [{ code: 'part-lost', what: `A part of this page could not be read and may be missing from the sheet: ${drawing.what}.`, todo }];
  if (losses.length > 0) return [{ code: 'picture-lost', what: 'A picture on this page could not be read and is missing from the sheet, wholly or in part.', todo }];
  return isBlank ? [{ code: 'page-blank', what: 'Nothing is drawn on this page.', todo: 'Choose another page, or make the PDF anew if there should be a plan on it.' }] : [];
}
