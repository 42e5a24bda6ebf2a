import { crc32, inflateSync, constants } from 'node:zlib';
import { decodePDFRawStream, PDFArray, PDFDict, PDFDocument, PDFHexString, PDFName, PDFNumber, PDFObjectCopier, PDFRawStream, PDFString } from '@cantoo/pdf-lib';
import type { PDFObject } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { pictureBits } from './pdf-document';
import { MOST_UNPACKED } from './pdf-swell';

/** A picture of a page as its stream holds it. A stencil is painted black where it is 0. */
export interface PlainPicture { readonly stream: PDFRawStream; readonly isStencil: boolean; readonly width: number; readonly height: number }

/** One file for each picture, or one for all, which the picture library reads row by row; isInverted: light and dark still have to be exchanged. */
export interface PictureFiles { readonly bytes: readonly Uint8Array[]; readonly channels: 1 | 3; readonly isInverted: boolean; /** Nothing but black and white. */ readonly isBilevel: boolean }

type Rgb = readonly [number, number, number];
interface Colours { readonly channels: 1 | 3; readonly palette: readonly Rgb[] | null }
interface Form { readonly file: Uint8Array; readonly channels: 1 | 3; readonly isInverted: boolean }

const name = (text: string): PDFName => PDFName.of(text);
const entry = (dict: PDFDict, key: string): PDFObject | undefined => dict.lookup(name(key));
const numberOf = (value: PDFObject | undefined): number => (value instanceof PDFNumber ? value.asNumber() : Number.NaN);
const listOf = (value: PDFObject | undefined): (PDFObject | undefined)[] => (value instanceof PDFArray ? value.asArray().map((_, i) => value.lookup(i)) : value === undefined ? [] : [value]);
const bitsOf = ({ stream, isStencil }: PlainPicture): number => (isStencil ? 1 : numberOf(entry(stream.dict, 'BitsPerComponent')));

/**
 * Pictures of a page as files of their own, packed as they are: a JPEG is one already, deflated and LZW data become the
 * strip of a TIFF or PNG. Those of one bit (fax, JBIG2, deflated) are unpacked to bits, which take an eighth of a byte each.
 * @param areStrips they lie one under the other, all equally wide
 * @returns null when one is in another form (JPEG 2000, four colours, 16 bits, ...) or they are of different kinds
 */
export async function filesOf(pictures: readonly PlainPicture[], areStrips: boolean): Promise<PictureFiles | null> {
  if (pictures.every((picture) => bitsOf(picture) === 1)) return filesOfBits(pictures, areStrips);
  const forms: Form[] = [];
  for (const picture of pictures) {
    const form = await formOf(picture);
    if (form === null) return null;
    forms.push(form);
  }
  const [first] = forms;
  if (!first || forms.some(({ channels, isInverted }) => channels !== first.channels || isInverted !== first.isInverted)) return null;
  return { bytes: forms.map(({ file }) => file), channels: first.channels, isInverted: first.isInverted, isBilevel: false };
}

function coloursOf(value: PDFObject | undefined): Colours | null {
  if (value instanceof PDFName) {
    const kind = value.decodeText();
    return kind === 'DeviceGray' || kind === 'CalGray' ? { channels: 1, palette: null } : kind === 'DeviceRGB' || kind === 'CalRGB' ? { channels: 3, palette: null } : null;
  }
  if (!(value instanceof PDFArray)) return null;
  const [kind, second, , table] = listOf(value);
  if (kind === name('CalGray')) return { channels: 1, palette: null };
  if (kind === name('CalRGB')) return { channels: 3, palette: null };
  if (kind === name('ICCBased') && second instanceof PDFRawStream) {
    const count = numberOf(entry(second.dict, 'N'));
    return count === 1 || count === 3 ? { channels: count, palette: null } : null;
  }
  if (kind !== name('Indexed')) return null;
  const base = coloursOf(second);
  const bytes = table instanceof PDFRawStream ? decodePDFRawStream(table).decode() : table instanceof PDFString || table instanceof PDFHexString ? table.asBytes() : null;
  if (!base || base.palette || !bytes) return null;
  const { channels } = base;
  return { channels: 3, palette: Array.from({ length: Math.floor(bytes.length / channels) }, (_, i): Rgb => (channels === 1 ? [bytes[i]!, bytes[i]!, bytes[i]!] : [bytes[3 * i]!, bytes[3 * i + 1]!, bytes[3 * i + 2]!])) };
}

/** Whether the sample values run the other way; null for anything between. */
function isReversed(dict: PDFDict): boolean | null {
  const values = listOf(entry(dict, 'Decode')).map(numberOf);
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
  const file = (width: number, height: number, isPaperZero: boolean, data: Uint8Array): Uint8Array => tiffOf({ width, height, bits: 1, channels: 1, compression: TIFF.none, predictor: 1, isPaperZero, palette: null }, data);
  const bytes = areStrips && zeros.every((zero) => zero === zeros[0])
    ? [file(bits[0]!.width, bits.reduce((sum, { height }) => sum + height, 0), zeros[0] === true, Buffer.concat(bits.map(({ data }) => data)))]
    : bits.map(({ width, height, data }, i) => file(width, height, zeros[i] === true, data));
  return { bytes, channels: 1, isInverted: false, isBilevel: true };
}

// Eight bits each ------------------------------------------------------------------------------------------------------------

async function formOf({ stream: { dict, contents }, width, height, ...picture }: PlainPicture): Promise<Form | null> {
  const filters = listOf(entry(dict, 'Filter')).map((filter) => (filter instanceof PDFName ? filter.decodeText() : ''));
  const parameters = listOf(entry(dict, 'DecodeParms')).map((one) => (one instanceof PDFDict ? one : null));
  const colours = coloursOf(entry(dict, 'ColorSpace'));
  const isInverted = isReversed(dict);
  if (picture.isStencil || isInverted === null || colours === null || (isInverted && colours.palette)) return null;
  let packed = contents;
  while (filters.length > 1 && filters[0] === 'FlateDecode' && (parameters[0] === null || parameters[0] === undefined)) {
    packed = inflateSync(packed, { maxOutputLength: MOST_UNPACKED, finishFlush: constants.Z_SYNC_FLUSH });
    filters.shift(); parameters.shift();
  }
  const [filter] = filters; const [given] = parameters;
  if (filters.length !== 1) return null;
  if (filter === 'DCTDecode') {
    if (given && entry(given, 'ColorTransform')) return null;
    const facts = await sharp(packed, { limitInputPixels: false }).metadata();
    return facts.width === width && facts.height === height && facts.channels === colours.channels && !colours.palette ? { file: packed, channels: colours.channels, isInverted } : null;
  }
  if ((filter !== 'FlateDecode' && filter !== 'LZWDecode') || numberOf(entry(dict, 'BitsPerComponent')) !== 8) return null;
  const own = (key: string, otherwise: number): number => (given && entry(given, key) ? numberOf(entry(given, key)) : otherwise);
  const channels = colours.palette ? 1 : colours.channels;
  const predictor = own('Predictor', 1);
  if (predictor > 1 && (own('Columns', 1) !== width || own('Colors', 1) !== channels || own('BitsPerComponent', 8) !== 8)) return null;
  if (filter === 'LZWDecode' && own('EarlyChange', 1) !== 1) return null;
  const layout = { width, height, bits: 8, channels, palette: colours.palette } as const;
  if (predictor >= 10) return filter === 'FlateDecode' ? { file: pngOf(layout, packed), channels: colours.channels, isInverted } : null;
  if (predictor > 2) return null;
  return { file: tiffOf({ ...layout, compression: filter === 'FlateDecode' ? TIFF.deflate : TIFF.lzw, predictor, isPaperZero: false }, packed), channels: colours.channels, isInverted };
}

interface Layout { readonly width: number; readonly height: number; readonly bits: number; readonly channels: 1 | 3; readonly palette: readonly Rgb[] | null }

/** What a PNG holds is what the PNG predictor of a PDF makes (ISO 32000-2, 7.4.4.4). */
function pngOf({ width, height, bits, channels, palette }: Layout, packed: Uint8Array): Uint8Array {
  const chunk = (type: string, data: Uint8Array): Buffer[] => {
    const kind = Buffer.from(type, 'latin1'); const length = Buffer.alloc(4); const check = Buffer.alloc(4);
    length.writeUInt32BE(data.length);
    check.writeUInt32BE(crc32(data, crc32(kind)));
    return [length, kind, Buffer.from(data.buffer, data.byteOffset, data.byteLength), check];
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0); head.writeUInt32BE(height, 4);
  head[8] = bits; head[9] = palette ? 3 : channels === 3 ? 2 : 0;
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), ...chunk('IHDR', head),
    ...(palette ? chunk('PLTE', Uint8Array.from(palette.slice(0, 256).flat())) : []), ...chunk('IDAT', packed), ...chunk('IEND', new Uint8Array()),
  ]);
}

/** Compression of TIFF 6.0 and its supplements. */
const TIFF = { none: 1, lzw: 5, deflate: 8 } as const;
const [SHORT, LONG] = [3, 4];

/** The data as the one strip of a TIFF (TIFF 6.0, section 8). */
function tiffOf({ width, height, bits, channels, palette, compression, predictor, isPaperZero }: Layout & { readonly compression: number; readonly predictor: number; readonly isPaperZero: boolean }, data: Uint8Array): Uint8Array {
  const map = palette ? [0, 1, 2].flatMap((k) => Array.from({ length: 2 ** bits }, (_, i) => (palette[i]?.[k] ?? 0) * 257)) : [];
  const tags: (readonly [number, number, readonly number[]])[] = [
    [256, LONG, [width]], [257, LONG, [height]], [258, SHORT, Array.from({ length: channels }, () => bits)], [259, SHORT, [compression]],
    [262, SHORT, [palette ? 3 : channels === 3 ? 2 : isPaperZero ? 0 : 1]], [273, LONG, [0]], [277, SHORT, [channels]], [278, LONG, [height]], [279, LONG, [data.length]],
    ...(predictor > 1 ? [[317, SHORT, [predictor]] as const] : []), ...(palette ? [[320, SHORT, map] as const] : []),
  ];
  const directory = 8 + 2 + tags.length * 12 + 4;
  const aside = tags.reduce((sum, [, kind, values]) => sum + (values.length * (kind === SHORT ? 2 : 4) > 4 ? values.length * 2 : 0), 0);
  const head = Buffer.alloc(directory + aside);
  head.write('II', 'latin1'); head.writeUInt16LE(42, 2); head.writeUInt32LE(8, 4); head.writeUInt16LE(tags.length, 8);
  let beside = directory;
  tags.forEach(([tag, kind, values], i) => {
    const at = 10 + i * 12;
    head.writeUInt16LE(tag, at); head.writeUInt16LE(kind, at + 2); head.writeUInt32LE(values.length, at + 4);
    const written = tag === 273 ? [head.length] : values;
    if (kind === LONG) head.writeUInt32LE(written[0]!, at + 8);
    else if (written.length <= 2) written.forEach((value, k) => { head.writeUInt16LE(value, at + 8 + 2 * k); });
    else { head.writeUInt32LE(beside, at + 8); for (const value of written) { head.writeUInt16LE(value, beside); beside += 2; } }
  });
  return Buffer.concat([head, data]);
}
