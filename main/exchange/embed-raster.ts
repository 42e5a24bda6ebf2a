import { PDFName, PDFRawStream } from '@cantoo/pdf-lib';
import type { PDFDocument, PDFObject, PDFRef } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { planMedia, pngChunks } from '../../shared-core/exchange/index';
import type { PlanMedia } from '../../shared-core/exchange/index';
import { uprightPicture } from './read-raster';

/** An image object and the matrix that puts it upright into the unit square. */
export interface EmbeddedRaster { readonly image: PDFRef; readonly matrix: readonly [number, number, number, number, number, number] }

/** EXIF and TIFF orientation 1 to 8 as the picture's place in the unit square, y up (TIFF 6.0 tag 274). */
const ORIENTATION: readonly EmbeddedRaster['matrix'][] = [
  [1, 0, 0, 1, 0, 0], [-1, 0, 0, 1, 1, 0], [-1, 0, 0, -1, 1, 1], [1, 0, 0, -1, 0, 1],
  [0, -1, -1, 0, 1, 1], [0, -1, 1, 0, 0, 1], [0, 1, 1, 0, 0, 0], [0, 1, -1, 0, 1, 0],
];

/**
 * Puts a scan into the document without a further loss: a JPEG's and a plain PNG's own bytes go in as they are; anything
 * else is decoded once and packed without loss.
 * @throws what the picture library throws for a damaged file; the caller turns it into a problem
 */
export async function embedRaster(pdf: PDFDocument, bytes: Uint8Array, page: number): Promise<EmbeddedRaster> {
  const media = planMedia(bytes);
  if (media === 'image/jpeg') {
    const { orientation = 1 } = await sharp(bytes).metadata();
    const image = await pdf.embedJpg(bytes);
    await image.embed();
    return { image: image.ref, matrix: ORIENTATION[orientation - 1] ?? [1, 0, 0, 1, 0, 0] };
  }
  const direct = media === 'image/png' ? pngImage(pdf, bytes) : null;
  if (direct) return { image: direct, matrix: [1, 0, 0, 1, 0, 0] };
  return { image: await decodedImage(pdf, bytes, media ?? 'image/png', page), matrix: [1, 0, 0, 1, 0, 0] };
}

/** A PNG's data is what a PDF image with a PNG predictor holds (ISO 32000-1, 7.4.4.4), if it is neither interlaced nor transparent. */
function pngImage(pdf: PDFDocument, bytes: Uint8Array): PDFRef | null {
  let head: { width: number; height: number; depth: number; colour: number; interlaced: boolean } | null = null;
  let palette: Uint8Array | null = null;
  const parts: Uint8Array[] = [];
  for (const { type, data } of pngChunks(bytes)) {
    const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
    if (type === 'IHDR' && data.length === 13) head = { width: view.getUint32(0), height: view.getUint32(4), depth: view.getUint8(8), colour: view.getUint8(9), interlaced: view.getUint8(12) !== 0 };
    else if (type === 'PLTE') palette = data;
    else if (type === 'tRNS' || type === 'eXIf' || type === 'iCCP') return null;
    else if (type === 'IDAT') parts.push(data);
  }
  if (!head || head.interlaced || ![0, 2, 3].includes(head.colour) || head.depth > 8 || parts.length === 0) return null;
  const { context } = pdf;
  const colours = head.colour === 2 ? 3 : 1;
  let space: PDFObject = PDFName.of(head.colour === 2 ? 'DeviceRGB' : 'DeviceGray');
  if (head.colour === 3) {
    if (!palette || palette.length < 3) return null;
    space = context.obj([PDFName.of('Indexed'), PDFName.of('DeviceRGB'), Math.floor(palette.length / 3) - 1, context.register(PDFRawStream.of(context.obj({}), palette.slice()))]);
  }
  const joined = new Uint8Array(parts.reduce((sum, p) => sum + p.length, 0)); let at = 0;
  for (const part of parts) { joined.set(part, at); at += part.length; }
  const dict = context.obj({
    Type: 'XObject', Subtype: 'Image', Width: head.width, Height: head.height, BitsPerComponent: head.depth, ColorSpace: space, Filter: 'FlateDecode',
    DecodeParms: { Predictor: 15, Colors: colours, BitsPerComponent: head.depth, Columns: head.width }, Interpolate: false,
  });
  return context.register(PDFRawStream.of(dict, joined));
}

async function decodedImage(pdf: PDFDocument, bytes: Uint8Array, media: PlanMedia, page: number): Promise<PDFRef> {
  const { picture } = await uprightPicture(bytes, media, page);
  const { data, info } = await picture.raw().toBuffer({ resolveWithObject: true });
  const { context } = pdf;
  const grey = info.channels === 1;
  const bilevel = grey && data.every((value) => value === 0 || value === 255);
  const samples = bilevel ? packBits(data, info.width, info.height) : data;
  return context.register(context.flateStream(samples, {
    Type: 'XObject', Subtype: 'Image', Width: info.width, Height: info.height, BitsPerComponent: bilevel ? 1 : 8, ColorSpace: grey ? 'DeviceGray' : 'DeviceRGB',
  }));
}

/** Eight black-and-white picture elements a byte, rows padded to whole bytes. */
function packBits(data: Uint8Array, width: number, height: number): Uint8Array {
  const row = Math.ceil(width / 8);
  const packed = new Uint8Array(row * height);
  for (let y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1) {
    if ((data[y * width + x] ?? 0) > 127) packed[y * row + (x >> 3)] = (packed[y * row + (x >> 3)] ?? 0) | (0x80 >> (x & 7));
  }
  return packed;
}
