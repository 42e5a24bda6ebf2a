import { Readable, Transform, Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { constants, crc32, createDeflate, createInflate, inflateSync } from 'node:zlib';
import { decodePDFRawStream, PDFArray, PDFDict, PDFDocument, PDFHexString, PDFName, PDFNumber, PDFObjectCopier, PDFRawStream, PDFString } from '@cantoo/pdf-lib';
import type { PDFObject } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { pictureBits } from './pdf-document';
import { MOST_UNPACKED } from './pdf-swell';

/** A picture of a page as its stream holds it. A stencil is painted black where it is 0. */
export interface PlainPicture { readonly stream: PDFRawStream; readonly isStencil: boolean; readonly width: number; readonly height: number }

/** Samples of an element: grey, red green blue, or the four printing inks. */
type Channels = 1 | 3 | 4;
/** One file for each picture, or one for all, which the picture library reads row by row; isInverted: light and dark still have to be exchanged. */
export interface PictureFiles { readonly bytes: readonly Uint8Array[]; readonly channels: Channels; readonly isInverted: boolean; /** Nothing but black and white. */ readonly isBilevel: boolean }

type Rgb = readonly [number, number, number];
interface Colours { readonly channels: Channels; readonly palette: readonly Rgb[] | null }
interface Form { readonly file: Uint8Array; readonly channels: Channels; readonly isInverted: boolean }

const LARGE_STRIP = 120e6;

const name = (text: string): PDFName => PDFName.of(text);
const entry = (dict: PDFDict, key: string): PDFObject | undefined => dict.lookup(name(key));
const numberOf = (value: PDFObject | undefined): number => (value instanceof PDFNumber ? value.asNumber() : Number.NaN);
const listOf = (value: PDFObject | undefined): (PDFObject | undefined)[] => (value instanceof PDFArray ? value.asArray().map((_, i) => value.lookup(i)) : value === undefined ? [] : [value]);
const bitsOf = ({ stream, isStencil }: PlainPicture): number => (isStencil ? 1 : numberOf(entry(stream.dict, 'BitsPerComponent')));

/**
 * Pictures of a page as files of their own, packed as they are: a JPEG is one already, deflated and LZW data become the
 * strip of a TIFF or PNG. Those of one bit (fax, JBIG2, deflated) are unpacked to bits, which take an eighth of a byte each.
 * @param areStrips they lie one under the other, all equally wide
 * @param largeStrip bytes of packed rows from which a form is made that is read without a copy
 * @returns null when one is in another form (JPEG 2000, Lab, spot colours, ...) or they are of different kinds
 */
export async function filesOf(pictures: readonly PlainPicture[], areStrips: boolean, largeStrip = LARGE_STRIP): Promise<PictureFiles | null> {
  if (pictures.every((picture) => bitsOf(picture) === 1)) return filesOfBits(pictures, areStrips);
  const forms: Form[] = [];
  for (const picture of pictures) {
    const form = await formOf(picture, largeStrip);
    if (form === null) return null;
    forms.push(form);
  }
  const [first] = forms;
  if (!first || forms.some(({ channels, isInverted }) => channels !== first.channels || isInverted !== first.isInverted)) return null;
  return { bytes: forms.map(({ file }) => file), channels: first.channels, isInverted: first.isInverted, isBilevel: false };
}

const DEVICE: Readonly<Record<string, Channels>> = { DeviceGray: 1, CalGray: 1, G: 1, DeviceRGB: 3, CalRGB: 3, RGB: 3, DeviceCMYK: 4, CMYK: 4 };

/** An entry of a palette in its base colours as red, green and blue; inks by the plain formula. @source ISO 32000-2, 10.4.2.4 */
function rgbOf(values: Uint8Array, channels: Channels): Rgb {
  const [a = 0, b = 0, c = 0, k = 0] = values;
  return channels === 1 ? [a, a, a] : channels === 3 ? [a, b, c] : [255 - Math.min(255, a + k), 255 - Math.min(255, b + k), 255 - Math.min(255, c + k)];
}

function coloursOf(value: PDFObject | undefined): Colours | null {
  if (value instanceof PDFName) {
    const kind = value.decodeText();
    const channels = DEVICE[kind];
    return channels === undefined ? null : { channels, palette: null };
  }
  if (!(value instanceof PDFArray)) return null;
  const [kind, second, , table] = listOf(value);
  if (kind === name('CalGray')) return { channels: 1, palette: null };
  if (kind === name('CalRGB')) return { channels: 3, palette: null };
  if (kind === name('ICCBased') && second instanceof PDFRawStream) {
    const count = numberOf(entry(second.dict, 'N'));
    return count === 1 || count === 3 || count === 4 ? { channels: count, palette: null } : null;
  }
  if (kind !== name('Indexed')) return null;
  const base = coloursOf(second);
  const bytes = table instanceof PDFRawStream ? decodePDFRawStream(table).decode() : table instanceof PDFString || table instanceof PDFHexString ? table.asBytes() : null;
  if (!base || base.palette || !bytes) return null;
  const { channels } = base;
  return { channels: 3, palette: Array.from({ length: Math.floor(bytes.length / channels) }, (_, i) => rgbOf(bytes.subarray(channels * i, channels * (i + 1)), channels)) };
}

/** Whether the sample values run the other way; null for anything between. Those of a palette are its numbers. */
function isReversed(dict: PDFDict, palette: readonly Rgb[] | null): boolean | null {
  const values = listOf(entry(dict, 'Decode')).map(numberOf);
  if (palette && values[0] === 0 && values[1] === 2 ** numberOf(entry(dict, 'BitsPerComponent')) - 1) return false;
  if (values.length === 0 || values.every((value, i) => value === i % 2)) return false;
  return values.every((value, i) => value === (i + 1) % 2) ? true : null;
}

// One bit each -------------------------------------------------------------------------------------------------------------

/** 0 is black, 1 is paper; or the other way round; null when it is coloured. */
function paperIsZero({ stream: { dict }, isStencil }: PlainPicture): boolean | null {
  if (isStencil) return false;
  const colours = coloursOf(entry(dict, 'ColorSpace'));
  if (colours?.palette) {
    const pair = colours.palette.slice(0, 2).map((rgb) => rgb.join());
    return pair.join(' ') === '0,0,0 255,255,255' ? false : pair.join(' ') === '255,255,255 0,0,0' ? true : null;
  }
  return colours?.channels === 1 ? false : null;
}

async function filesOfBits(pictures: readonly PlainPicture[], areStrips: boolean): Promise<PictureFiles | null> {
  const zeros = pictures.map(paperIsZero);
  if (zeros.some((zero) => zero === null)) return null;
  const copy = await PDFDocument.create({ updateMetadata: false });
  const page = copy.addPage([100, 100]);
  const shown: Record<string, ReturnType<typeof copy.context.register>> = {};
  pictures.forEach(({ stream, width, height }, i) => {
    // What a stream needs besides itself (its globals) is small; the stream itself is not copied.
    const dict = PDFObjectCopier.for(stream.dict.context, copy.context).copy(stream.dict);
    for (const key of ['ImageMask', 'SMask', 'Mask', 'Metadata', 'OC', 'Intent']) dict.delete(name(key));
    for (const [key, value] of [['Width', width], ['Height', height], ['BitsPerComponent', 1]] as const) dict.set(name(key), PDFNumber.of(value));
    dict.set(name('ColorSpace'), name('DeviceGray'));
    shown[`P${i}`] = copy.context.register(PDFRawStream.of(dict, stream.contents));
  });
  page.node.set(name('Resources'), copy.context.obj({ XObject: shown }));
  page.node.set(name('Contents'), copy.context.register(copy.context.stream(Object.keys(shown).map((key) => `/${key} Do`).join('\n'))));
  const bits = await pictureBits(await copy.save({ useObjectStreams: false, addDefaultPage: false }));
  if (bits.length !== pictures.length || bits.some((one, i) => one.width !== pictures[i]!.width || one.height !== pictures[i]!.height)) return null;
  const file = (width: number, height: number, isPaperZero: boolean, ...data: readonly Uint8Array[]): Uint8Array => tiffOf({ width, height, bits: 1, channels: 1, compression: TIFF.none, predictor: 1, isPaperZero, palette: null }, data);
  const bytes = areStrips && zeros.every((zero) => zero === zeros[0])
    ? [file(bits[0]!.width, bits.reduce((sum, { height }) => sum + height, 0), zeros[0] === true, ...bits.map(({ data }) => data))]
    : bits.map(({ width, height, data }, i) => file(width, height, zeros[i] === true, data));
  return { bytes, channels: 1, isInverted: false, isBilevel: true };
}

// More bits each -------------------------------------------------------------------------------------------------------------

async function formOf({ stream: { dict, contents }, width, height, ...picture }: PlainPicture, largeStrip: number): Promise<Form | null> {
  const filters = listOf(entry(dict, 'Filter')).map((filter) => (filter instanceof PDFName ? filter.decodeText() : ''));
  const parameters = listOf(entry(dict, 'DecodeParms')).map((one) => (one instanceof PDFDict ? one : null));
  const colours = coloursOf(entry(dict, 'ColorSpace'));
  const isInverted = colours && isReversed(dict, colours.palette);
  if (picture.isStencil || colours === null || isInverted === null || (isInverted && colours.palette)) return null;
  let packed = contents;
  while (filters.length > 1 && filters[0] === 'FlateDecode' && (parameters[0] === null || parameters[0] === undefined)) {
    packed = inflateSync(packed, { maxOutputLength: MOST_UNPACKED, finishFlush: constants.Z_SYNC_FLUSH });
    filters.shift(); parameters.shift();
  }
  const [filter] = filters; const [given] = parameters;
  if (filters.length !== 1) return null;
  if (filter === 'DCTDecode') {
    const facts = await sharp(packed, { limitInputPixels: false }).metadata();
    if (facts.width !== width || facts.height !== height || facts.channels !== colours.channels || colours.palette) return null;
    const { channels } = colours;
    const isMarked = hasAdobeMarker(packed);
    const transform = given ? entry(given, 'ColorTransform') : undefined;
    if (transform !== undefined && !isMarked && channels !== 1 && numberOf(transform) !== (channels === 3 ? 1 : 0)) return null;
    // The picture library takes inks beside that marker for exchanged; in a PDF only 'Decode' says so.
    return { file: packed, channels, isInverted: channels === 4 ? isInverted !== isMarked : isInverted };
  }
  const bits = numberOf(entry(dict, 'BitsPerComponent'));
  if ((filter !== 'FlateDecode' && filter !== 'LZWDecode') || !DEPTHS.has(bits)) return null;
  const own = (key: string, otherwise: number): number => (given && entry(given, key) ? numberOf(entry(given, key)) : otherwise);
  const channels = colours.palette ? 1 : colours.channels;
  const predictor = own('Predictor', 1);
  if (predictor > 1 && (own('Columns', 1) !== width || own('Colors', 1) !== channels || own('BitsPerComponent', 8) !== bits)) return null;
  if (filter === 'LZWDecode' && own('EarlyChange', 1) !== 1) return null;
  if ((bits < 8 && channels > 1) || (bits > 8 && (colours.palette || channels === 4))) return null;
  const layout = { width, height, bits, channels, palette: colours.palette } as const;
  const row = Math.ceil(width * channels * bits / 8); const back = channels * bits / 8;
  if (predictor >= 10) {
    if (filter !== 'FlateDecode') return null;
    if (channels === 4) return { file: tiffOf({ ...layout, compression: TIFF.deflate, predictor: 1, isPaperZero: false }, await packedAnew(packed, withoutPngFilters(row, back))), channels, isInverted };
    return { file: pngOf(layout, [packed]), channels: colours.channels, isInverted };
  }
  if (predictor > 2 || (predictor === 2 && bits < 8)) return null;
  // A TIFF is read a strip at a time, and this one has one strip: what is large takes its size once more there, but not in a PNG.
  if (packed.length > largeStrip && filter === 'FlateDecode' && predictor === 1 && channels < 4) return { file: pngOf(layout, await packedAnew(packed, withPngFilters(row))), channels: colours.channels, isInverted };
  return { file: tiffOf({ ...layout, compression: filter === 'FlateDecode' ? TIFF.deflate : TIFF.lzw, predictor, isPaperZero: false }, [packed]), channels: colours.channels, isInverted };
}
const DEPTHS: ReadonlySet<number> = new Set([2, 4, 8, 16]);

/** Whether a JPEG says in an application segment of kind 14 how its colours are coded. @source ISO/IEC 10918-6, 6.5.3 */
function hasAdobeMarker(jpeg: Uint8Array): boolean {
  const [START, APP14, SCAN] = [2, 0xee, 0xda];
  for (let at = START; at + 4 < jpeg.length && jpeg[at] === 0xff && jpeg[at + 1] !== SCAN;) {
    const length = jpeg[at + 2]! * 256 + jpeg[at + 3]!;
    if (jpeg[at + 1] === APP14 && length >= 14) return true;
    at += jpeg[at + 1] === 0xff ? 1 : 2 + length;
  }
  return false;
}

const PIECE = 256 * 1024;

/** Deflated data with their rows changed on the way, in pieces; what is unpacked is never held whole. */
async function packedAnew(packed: Uint8Array, change: Transform): Promise<Uint8Array[]> {
  const pieces: Uint8Array[] = [];
  const keep = new Writable({ write: (piece: Uint8Array, _encoding, done) => { pieces.push(piece); done(); } });
  await pipeline([Readable.from([packed]), createInflate({ chunkSize: PIECE, finishFlush: constants.Z_SYNC_FLUSH }), change, createDeflate({ level: 1, chunkSize: PIECE }), keep]);
  return pieces;
}

/** Puts before each row that it is not filtered. @param row bytes */
function withPngFilters(row: number): Transform {
  let at = 0;
  return new Transform({
    transform: (piece: Uint8Array, _encoding, done) => {
      const parts: Uint8Array[] = [];
      for (let i = 0; i < piece.length;) {
        if (at === 0) parts.push(NO_FILTER);
        const part = piece.subarray(i, i + row - at);
        parts.push(part);
        i += part.length;
        at = (at + part.length) % row;
      }
      done(null, Buffer.concat(parts));
    },
  });
}
const NO_FILTER = new Uint8Array(1);

/**
 * Takes the filters of the PNG predictor off rows.
 * @param row bytes of a row without its filter  @param back bytes from a sample to the one of its colour before it
 * @source ISO/IEC 15948, 9.2: filter types none, sub, up, average, Paeth
 */
function withoutPngFilters(row: number, back: number): Transform {
  let [before, now] = [new Uint8Array(row), new Uint8Array(row)];
  let at = -1; let filter = 0;
  return new Transform({
    transform: (piece: Uint8Array, _encoding, done) => {
      const rows: Uint8Array[] = [];
      for (let i = 0; i < piece.length;) {
        if (at < 0) { filter = piece[i]!; i += 1; at = 0; continue; }
        const part = piece.subarray(i, i + row - at);
        now.set(part, at);
        at += part.length; i += part.length;
        if (at < row) break;
        unfilter(now, before, filter, back);
        rows.push(now);
        [before, now] = [now, new Uint8Array(row)];
        at = -1;
      }
      done(null, Buffer.concat(rows));
    },
  });
}

function unfilter(now: Uint8Array, before: Uint8Array, filter: number, back: number): void {
  const size = now.length;
  // A loop for each filter: this runs over thousands of millions of bytes.
  switch (filter) {
    case 1: for (let i = back; i < size; i++) now[i]! += now[i - back]!; return;
    case 2: for (let i = 0; i < size; i++) now[i]! += before[i]!; return;
    case 3: for (let i = 0; i < size; i++) now[i]! += ((i >= back ? now[i - back]! : 0) + before[i]!) >> 1; return;
    case 4:
      for (let i = 0; i < size; i++) {
        const left = i >= back ? now[i - back]! : 0; const up = before[i]!; const corner = i >= back ? before[i - back]! : 0;
        const guess = left + up - corner;
        const a = Math.abs(guess - left); const b = Math.abs(guess - up); const c = Math.abs(guess - corner);
        now[i]! += a <= b && a <= c ? left : b <= c ? up : corner;
      }
      return;
    default:
  }
}

const sizeOf = (pieces: readonly Uint8Array[]): number => pieces.reduce((sum, { length }) => sum + length, 0);

interface Layout { readonly width: number; readonly height: number; readonly bits: number; readonly channels: Channels; readonly palette: readonly Rgb[] | null }

/** What a PNG holds is what the PNG predictor of a PDF makes (ISO 32000-2, 7.4.4.4). */
function pngOf({ width, height, bits, channels, palette }: Layout, packed: readonly Uint8Array[]): Uint8Array {
  const chunk = (type: string, data: readonly Uint8Array[]): Uint8Array[] => {
    const kind = Buffer.from(type, 'latin1'); const length = Buffer.alloc(4); const check = Buffer.alloc(4);
    length.writeUInt32BE(sizeOf(data));
    check.writeUInt32BE(data.reduce((sum, piece) => crc32(piece, sum), crc32(kind)));
    return [length, kind, ...data, check];
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0); head.writeUInt32BE(height, 4);
  head[8] = bits; head[9] = palette ? 3 : channels === 3 ? 2 : 0;
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), ...chunk('IHDR', [head]),
    ...(palette ? chunk('PLTE', [Uint8Array.from(palette.slice(0, 256).flat())]) : []), ...chunk('IDAT', packed), ...chunk('IEND', []),
  ]);
}

/** Compression of TIFF 6.0 and its supplements. */
const TIFF = { none: 1, lzw: 5, deflate: 8 } as const;
const [SHORT, LONG] = [3, 4];

/** The data as the one strip of a TIFF (TIFF 6.0, section 8; inks: section 16); samples of two bytes have the high one first, as in a PDF. */
function tiffOf({ width, height, bits, channels, palette, compression, predictor, isPaperZero }: Layout & { readonly compression: number; readonly predictor: number; readonly isPaperZero: boolean }, data: readonly Uint8Array[]): Uint8Array {
  const map = palette ? [0, 1, 2].flatMap((k) => Array.from({ length: 2 ** bits }, (_, i) => (palette[i]?.[k] ?? 0) * 257)) : [];
  const [PALETTE, RGB, INKS] = [3, 2, 5];
  const tags: (readonly [number, number, readonly number[]])[] = [
    [256, LONG, [width]], [257, LONG, [height]], [258, SHORT, Array.from({ length: channels }, () => bits)], [259, SHORT, [compression]],
    [262, SHORT, [palette ? PALETTE : channels === 4 ? INKS : channels === 3 ? RGB : isPaperZero ? 0 : 1]], [273, LONG, [0]], [277, SHORT, [channels]], [278, LONG, [height]], [279, LONG, [sizeOf(data)]],
    ...(predictor > 1 ? [[317, SHORT, [predictor]] as const] : []), ...(palette ? [[320, SHORT, map] as const] : []),
  ];
  const directory = 8 + 2 + tags.length * 12 + 4;
  const aside = tags.reduce((sum, [, kind, values]) => sum + (values.length * (kind === SHORT ? 2 : 4) > 4 ? values.length * 2 : 0), 0);
  const head = Buffer.alloc(directory + aside);
  head.write('MM', 'latin1'); head.writeUInt16BE(42, 2); head.writeUInt32BE(8, 4); head.writeUInt16BE(tags.length, 8);
  let beside = directory;
  tags.forEach(([tag, kind, values], i) => {
    const at = 10 + i * 12;
    head.writeUInt16BE(tag, at); head.writeUInt16BE(kind, at + 2); head.writeUInt32BE(values.length, at + 4);
    const written = tag === 273 ? [head.length] : values;
    if (kind === LONG) head.writeUInt32BE(written[0]!, at + 8);
    else if (written.length <= 2) written.forEach((value, k) => { head.writeUInt16BE(value, at + 8 + 2 * k); });
    else { head.writeUInt32BE(beside, at + 8); for (const value of written) { head.writeUInt16BE(value, beside); beside += 2; } }
  });
  return Buffer.concat([head, ...data]);
}
