import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { PDFDocument } from '@cantoo/pdf-lib';
import { getDocument, ImageKind, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { PDFDocumentProxy } from 'pdfjs-dist';
import { readWhole } from '../files/guard';
import { MOST_PICTURE_IN_PAGE, refuseSwelling } from './pdf-swell';
import { PlanRefused } from './problems';

const home = dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json'));
const folder = (name: string): string => `${pathToFileURL(join(home, name)).href.replace('file://', '')}/`;

const FACE_LIMIT = 2e6;
/** The face with Latin, Greek and Cyrillic letters that comes with the PDF library; null where it is not at hand. */
export async function wideFace(): Promise<Uint8Array | null> {
  const face = await readWhole(join(home, 'standard_fonts', 'LiberationSans-Regular.ttf'), FACE_LIMIT);
  return face.ok ? face.value : null;
}

/** What the library says where it leaves out a picture beyond that. */
export const PICTURE_TOO_LARGE = 'exceeded maximum allowed size';

const TAIL = 8192;
const MOST_WARNINGS = 50;
const tailText = (bytes: Uint8Array): string => Buffer.from(bytes.subarray(Math.max(0, bytes.length - TAIL))).toString('latin1');

/**
 * Opens a PDF without running anything in it, hands it to `read` and frees it again.
 * @throws PlanRefused  absurd-size, password-needed, password-wrong, truncated, damaged, no-pages
 */
export async function withPdf<T>(bytes: Uint8Array, password: string | undefined, read: (pdf: PDFDocumentProxy, warnings: readonly string[]) => Promise<T>, mostPicture = MOST_PICTURE_IN_PAGE): Promise<T> {
  // The page list stands at the end of a PDF; a reader that rebuilds it from a cut file would show a plan with parts missing.
  if (!/%%EOF|startxref/.test(tailText(bytes))) throw new PlanRefused('truncated');
  await refuseSwelling(bytes);
  const task = getDocument({
    // A copy, since the library takes the bytes over; and a plain array, since a file's bytes come as a Buffer, which it refuses.
    data: new Uint8Array(bytes), password, verbosity: 1, isEvalSupported: false, enableXfa: false, useSystemFonts: false, stopAtErrors: false, maxImageSize: mostPicture,
    standardFontDataUrl: folder('standard_fonts'), cMapUrl: folder('cmaps'), cMapPacked: true, wasmUrl: folder('wasm'), iccUrl: folder('iccs'),
  });
  const heard = hearWarnings();
  try {
    const pdf = await task.promise.catch((fault: unknown): never => { throw named(fault); });
    if (pdf.numPages < 1) throw new PlanRefused('no-pages');
    // The library puts an empty letter-size page where it finds none; that would pass for a plan.
    if (heard.texts.some((text) => text.includes('invalid first page'))) throw new PlanRefused('damaged', 'No page can be found in it.');
    return await read(pdf, heard.texts);
  } finally {
    heard.stop();
    await task.destroy();
  }
}

/**
 * Where its JBIG2 decoder gives up on spoiled data, the library tries once more with a plain one, which takes gigabytes and
 * minutes over them. It says so beforehand, and what is thrown then ends only that picture, which counts as lost.
 */
const ENDLESS_DECODER = 'Falling back to JS JBIG2';

/** The PDF library says only on the console what it could not read. */
function hearWarnings(): { readonly texts: string[]; stop(): void } {
  const texts: string[] = [];
  const before = { log: console.log, warn: console.warn };
  const hear = (...words: unknown[]): void => {
    const text = words.map(String).join(' ').slice(0, 200);
    if (texts.length < MOST_WARNINGS || text.includes(PICTURE_TOO_LARGE)) texts.push(text);
    if (text.includes(ENDLESS_DECODER)) throw new Error('this picture cannot be decoded');
  };
  console.log = hear;
  console.warn = hear;
  return { texts, stop: () => { Object.assign(console, before); } };
}

const WRONG_PASSWORD = 2;

function named(fault: unknown): PlanRefused {
  const { name, code, message } = fault as { name?: string; code?: number; message?: string };
  if (name === 'PasswordException') return new PlanRefused(code === WRONG_PASSWORD ? 'password-wrong' : 'password-needed');
  if (/page/i.test(message ?? '') && /count|no pages|zero/i.test(message ?? '')) return new PlanRefused('no-pages');
  return new PlanRefused('damaged');
}

/** The objects of a PDF, unlocked; null where its structure is not accepted by the library that writes PDFs. Its streams are views of the bytes: not to be written into. */
export async function pdfObjects(bytes: Uint8Array, password: string | undefined): Promise<PDFDocument | null> {
  // A slice of a Buffer is no copy, and streams are sliced out: a scan of hundreds of megabytes would be held once more.
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return PDFDocument.load(file, { updateMetadata: false, password: password ?? '' }).catch(() => null);
}

/** One bit a picture element, rows padded to whole bytes; 1 is white. */
export interface PackedBits { readonly width: number; readonly height: number; readonly data: Uint8Array }

/** The pictures of the first page as bits, in the order they are shown; only those of one bit and plain grey are given. Nothing is drawn, so large ones fit. */
export function pictureBits(bytes: Uint8Array): Promise<PackedBits[]> {
  return withPdf(bytes, undefined, async (pdf) => {
    const page = await pdf.getPage(1);
    const { fnArray, argsArray } = await page.getOperatorList();
    const found: PackedBits[] = [];
    for (const [i, does] of fnArray.entries()) {
      if (does !== OPS.paintImageXObject) continue;
      const [id] = argsArray[i] as [string];
      const picture = await new Promise<(PackedBits & { readonly kind: number }) | null>((resolve) => { page.objs.get(id, resolve); });
      if (picture?.kind === ImageKind.GRAYSCALE_1BPP) found.push({ width: picture.width, height: picture.height, data: new Uint8Array(picture.data.buffer, picture.data.byteOffset, picture.data.byteLength) });
    }
    return found;
  }, -1);
}

/** The library types its layers as `any`. */
export interface Layers extends Iterable<[string, { readonly name: string | null; readonly visible: boolean }]> {
  setVisibility(id: string, visible: boolean, preserveGroups: boolean): void;
  isVisible(group: unknown): boolean;
  getGroup(id: string): { readonly name: string | null } | null;
}

/** Hides the layers of these names and shows all others; without names the file decides. The one place where layers are switched for reading. */
export function switchLayers(layers: Layers, layersOff: readonly string[] | undefined): void {
  if (!layersOff) return;
  const off = new Set(layersOff);
  // Each as it is asked for: groups of which the file allows only one to show do not switch each other off.
  for (const [id, { name }] of [...layers]) layers.setVisibility(id, !off.has(name ?? id), false);
}
