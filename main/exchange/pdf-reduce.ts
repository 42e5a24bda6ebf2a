import { deflateSync } from 'node:zlib';
import { PDFDict, PDFName, PDFNumber, PDFRawStream, PDFRef } from '@cantoo/pdf-lib';
import type { PDFDocument, PDFObject } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { pdfObjects } from './pdf-document';
import { filesOf } from './pdf-picture-file';
import type { PictureFiles } from './pdf-picture-file';
import { readByRows } from './pdf-scan';
import { MOST_PICTURE_IN_PAGE } from './pdf-swell';
import { MOST_PIXELS } from './read-raster';

/** Samples that such a picture is made smaller to: in grey the fineness at which a page is drawn, in colours what the PDF library can unpack beside it. */
const REDUCED_TO = 72e6;
/** A stencil's elements become fewer: one is painted when about a fifth of what it stands for is, so that thin lines stay. */
const PAINTED_BELOW = 204;
const DEEPEST_FORM = 6;
/** Pictures of other pages are left out above this. */
const SMALL = 1e6;

const name = (text: string): PDFName => PDFName.of(text);
const numberOf = (value: PDFObject | undefined): number => (value instanceof PDFNumber ? value.asNumber() : Number.NaN);
const elementsOf = ({ dict }: PDFRawStream): number => (dict.lookup(name('Subtype')) === name('Image') ? numberOf(dict.lookup(name('Width'))) * numberOf(dict.lookup(name('Height'))) : 0);

/** Colours are unpacked beside the four bytes of each element: a picture in colour is too large before one in grey is. */
const COLOURS = 1.6;
const coloursOf = ({ dict }: PDFRawStream): number => (numberOf(dict.lookup(name('BitsPerComponent'))) === 1 || dict.lookup(name('ColorSpace')) === name('DeviceGray') ? 1 : 3);

/** A file whose page can be drawn, and how many elements of its largest picture became one along a side. */
export interface ReducedPage { readonly bytes: Uint8Array; readonly factor: number }

/**
 * The file with the pictures of one page made smaller that are too large to be unpacked whole, for drawing that page; it is
 * no plan of its own, since other pages lose theirs.
 * @param most  picture elements that a picture may have  @param to  samples that those larger are made to together
 * @returns null when the page has no such picture, or one in a form that cannot be read in parts
 */
export async function withSmallerPictures(bytes: Uint8Array, index: number, password: string | undefined, most = MOST_PICTURE_IN_PAGE, to = REDUCED_TO): Promise<ReducedPage | null> {
  const pdf = await pdfObjects(bytes, password);
  if (!pdf || index >= pdf.getPageCount()) return null;
  const shown = picturesOf(pdf, index);
  const large = [...shown].filter(([, stream]) => elementsOf(stream) > most || elementsOf(stream) * coloursOf(stream) > COLOURS * most);
  if (large.length === 0 || large.some(([, stream]) => elementsOf(stream) > MOST_PIXELS)) return null;
  let factor = 1;
  for (const [ref, stream] of large) {
    const smaller = await smallerPicture(stream, to / large.length).catch(() => null);
    if (!smaller) return null;
    pdf.context.assign(ref, smaller);
    factor = Math.max(factor, numberOf(stream.dict.lookup(name('Width'))) / numberOf(smaller.dict.lookup(name('Width'))));
  }
  for (const [ref, object] of pdf.context.enumerateIndirectObjects()) if (object instanceof PDFRawStream && !shown.has(ref) && elementsOf(object) > SMALL) pdf.context.delete(ref);
  return { bytes: await pdf.save({ useObjectStreams: false, addDefaultPage: false, updateFieldAppearances: false }), factor };
}

/** The pictures that a page and its forms and annotations can show, and their masks. */
function picturesOf(pdf: PDFDocument, index: number): Map<PDFRef, PDFRawStream> {
  const found = new Map<PDFRef, PDFRawStream>();
  const seen = new Set<PDFObject>();
  const look = (value: PDFObject | undefined, depth: number): void => {
    const object = pdf.context.lookup(value);
    if (object === undefined || depth > DEEPEST_FORM || seen.has(object)) return;
    seen.add(object);
    if (object instanceof PDFRawStream) {
      if (value instanceof PDFRef && object.dict.lookup(name('Subtype')) === name('Image')) { found.set(value, object); look(object.dict.get(name('SMask')), depth + 1); look(object.dict.get(name('Mask')), depth + 1); return; }
      lookIn(object.dict.lookup(name('Resources')), depth + 1);
    }
  };
  const lookIn = (resources: PDFObject | undefined, depth: number): void => {
    if (!(resources instanceof PDFDict)) return;
    for (const group of ['XObject', 'Pattern']) {
      const objects = resources.lookup(name(group));
      if (objects instanceof PDFDict) for (const [, value] of objects.entries()) look(value, depth);
    }
    const states = resources.lookup(name('ExtGState'));
    for (const state of states instanceof PDFDict ? states.values() : []) {
      const own = pdf.context.lookup(state);
      const mask = own instanceof PDFDict ? own.lookup(name('SMask')) : undefined;
      if (mask instanceof PDFDict) look(mask.get(name('G')), depth);
    }
  };
  const page = pdf.getPage(index).node;
  lookIn(page.Resources(), 0);
  for (const annotation of page.Annots()?.asArray() ?? []) {
    const dict = pdf.context.lookup(annotation);
    const looks = dict instanceof PDFDict ? dict.lookup(name('AP')) : undefined;
    if (looks instanceof PDFDict) look(looks.get(name('N')), 0);
  }
  return found;
}

/** @returns null in a form that cannot be read in parts, or with a colour that counts as clear */
async function smallerPicture(stream: PDFRawStream, to: number): Promise<PDFRawStream | null> {
  const { dict } = stream;
  const [width, height] = [numberOf(dict.lookup(name('Width'))), numberOf(dict.lookup(name('Height')))];
  const isStencil = String(dict.lookup(name('ImageMask'))) === 'true';
  const mask = dict.lookup(name('Mask'));
  if (mask !== undefined && !(mask instanceof PDFRawStream)) return null;
  const files = await filesOf([{ stream, isStencil, width, height }], true);
  if (!files) return null;
  const shrink = Math.max(1, Math.sqrt(width * height * (files.channels === 1 ? 1 : 3) / to));
  const [w, h] = [Math.max(1, Math.round(width / shrink)), Math.max(1, Math.round(height / shrink))];
  const samples = await readSmaller(files, w, h);
  const made = dict.context.obj({ Type: 'XObject', Subtype: 'Image', Width: w, Height: h, Filter: 'FlateDecode' });
  for (const key of ['SMask', 'Mask', 'OC']) { const kept = dict.get(name(key)); if (kept) made.set(name(key), kept); }
  if (isStencil) { made.set(name('ImageMask'), dict.context.obj(true)); made.set(name('BitsPerComponent'), PDFNumber.of(1)); } else {
    made.set(name('ColorSpace'), name(files.channels === 1 ? 'DeviceGray' : 'DeviceRGB'));
    made.set(name('BitsPerComponent'), PDFNumber.of(8));
  }
  return PDFRawStream.of(made, deflateSync(isStencil ? stencilBits(samples, w, h) : samples, { level: 1 }));
}

async function readSmaller(files: PictureFiles, width: number, height: number): Promise<Buffer> {
  let picture = sharp(files.bytes[0], readByRows(files)).resize(width, height, { fit: 'fill' });
  if (files.isInverted) picture = files.channels === 4 ? picture.pipelineColourspace('cmyk').linear(-1, 255) : picture.negate({ alpha: false });
  return picture.toColourspace(files.channels === 1 ? 'b-w' : 'srgb').raw({ depth: 'uchar' }).toBuffer();
}

/** One bit each, rows in whole bytes; what is 0 is painted. */
function stencilBits(samples: Buffer, width: number, height: number): Buffer {
  const row = Math.ceil(width / 8); const packed = Buffer.alloc(row * height);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) if (samples[y * width + x]! >= PAINTED_BELOW) packed[y * row + (x >> 3)]! |= 0x80 >> (x & 7);
  return packed;
}
