import { deflateSync } from 'node:zlib';
import { PDFDict, PDFDocument, PDFName, PDFRawStream } from '@cantoo/pdf-lib';
import type { PDFContext, PDFRef } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs, inspectPlan, offerWalls, openPlanPage } from '../../main/exchange/index';
import { withPdf } from '../../main/exchange/pdf-document';
import { withSmallerPictures } from '../../main/exchange/pdf-reduce';
import { openScans } from '../../main/exchange/pdf-scan';
import { drawPdfPage } from '../../main/exchange/read-pdf';
import { tiffDirectories } from '../../shared-core/exchange/index';
import { darkness, planPicture, planPixels } from './plan-files';

afterAll(endIdleJobs);

const [W, H] = [300, 200];

interface Part { readonly entries: object; readonly data: Uint8Array; readonly refs?: (context: PDFContext) => object }
const image = (context: PDFContext, width: number, height: number, { entries, data, refs }: Part): PDFRef =>
  context.register(context.stream(data, { Type: 'XObject', Subtype: 'Image', Width: width, Height: height, ...entries, ...refs?.(context) }));

/** A page that shows the parts; '/I0 Do' and so on stand in the content. */
async function pageOf(parts: readonly { readonly width: number; readonly height: number; readonly part: Part }[], { size = [W, H], content, prepare }: { size?: [number, number]; content?: string; prepare?: (pdf: PDFDocument) => void } = {}): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const page = pdf.addPage(size);
  const { context } = pdf;
  page.node.set(PDFName.of('Resources'), context.obj({ XObject: Object.fromEntries(parts.map(({ width, height, part }, i) => [`I${i}`, image(context, width, height, part)])) } as never));
  page.node.set(PDFName.of('Contents'), context.register(context.stream(content ?? `q ${size[0]} 0 0 ${size[1]} 0 0 cm /I0 Do Q`)));
  prepare?.(pdf);
  return pdf.save({ useObjectStreams: false });
}
const pageWith = (part: Part, options: Parameters<typeof pageOf>[1] = {}, width = W, height = H): Promise<Uint8Array> => pageOf([{ width, height, part }], options);

/** The page as the reader of scans gives it, or why it does not. */
async function scanOf(bytes: Uint8Array, password?: string, largeStrip?: number): Promise<{ data: Buffer; width: number; height: number; channels: number } | string> {
  return withPdf(bytes, password, async (pdf) => {
    const sheet = (await pdf.getPage(1)).getViewport({ scale: 1 });
    const scans = await openScans(bytes, password, 1, largeStrip);
    const found = await scans!.page(0, sheet.transform as unknown as [number, number, number, number, number, number], sheet);
    if ('whyNot' in found) return found.whyNot;
    const { data, info } = await found.picture().picture.raw().toBuffer({ resolveWithObject: true });
    return { data, width: info.width, height: info.height, channels: info.channels };
  });
}

/** Mean difference of two pictures in grey, 0 to 1. */
function difference(a: { data: Buffer; channels: number }, b: { data: Buffer; channels: number }): number {
  const count = a.data.length / a.channels;
  expect(b.data.length / b.channels).toBe(count);
  let sum = 0;
  for (let i = 0; i < count; i++) sum += Math.abs(a.data[i * a.channels]! - b.data[i * b.channels]!);
  return sum / count / 255;
}

const grey = planPixels(W, H);
const source = { data: grey, channels: 1 };
const bits = (inverted = false): Buffer => {
  const row = Math.ceil(W / 8); const packed = Buffer.alloc(row * H);
  for (let y = 0; y < H; y++) for (let x = 0; x < W; x++) if ((grey[y * W + x]! > 127) !== inverted) packed[y * row + (x >> 3)]! |= 0x80 >> (x & 7);
  return packed;
};
/** The fax data of a one-strip TIFF, as another program packed it. */
async function fax(): Promise<Buffer> {
  const tiff = await planPicture(W, H).toColourspace('b-w').tiff({ compression: 'ccittfax4', bitdepth: 1 }).toBuffer();
  const [directory] = tiffDirectories(tiff);
  expect(directory).toBeDefined();
  const first = tiff.readUInt32LE(4);
  const value = (tag: number): number => { for (let i = 0; i < tiff.readUInt16LE(first); i++) { const at = first + 2 + 12 * i; if (tiff.readUInt16LE(at) === tag) return tiff.readUInt16LE(at + 2) === 3 ? tiff.readUInt16LE(at + 8) : tiff.readUInt32LE(at + 8); } return 0; };
  expect([value(278) >= H, value(262)]).toEqual([true, 1]);
  return tiff.subarray(value(273), value(273) + value(279));
}
/** JBIG2 with one generic region in fax coding (ITU-T T.88: 7.2 segment header, 7.4.8 page, 7.4.6 generic region with MMR). */
async function jbig2(): Promise<Buffer> {
  const u32 = (value: number): number[] => [value >>> 24, (value >>> 16) & 255, (value >>> 8) & 255, value & 255];
  const data = [...await fax()];
  return Buffer.from([...u32(0), 48, 0, 1, ...u32(19), ...u32(W), ...u32(H), ...u32(0), ...u32(0), 0, 0, 0, ...u32(1), 38, 0, 1, ...u32(18 + data.length), ...u32(W), ...u32(H), ...u32(0), ...u32(0), 0, 1, ...data]);
}
const rgb = (): Buffer => Buffer.from([...grey].flatMap((value) => [value, Math.max(value, 40), Math.max(value, 90)]));
const jpeg = async (width = W, height = H): Promise<Buffer> => planPicture(width, height).toColourspace('b-w').jpeg({ quality: 95 }).toBuffer();
/** What the PNG predictor 'Up' makes of rows, by its own definition (ISO 15948, 9.2). */
function upRows(samples: Buffer, row: number): Buffer {
  const rows = samples.length / row; const out = Buffer.alloc(samples.length + rows);
  for (let y = 0; y < rows; y++) { out[y * (row + 1)] = 2; for (let x = 0; x < row; x++) out[y * (row + 1) + 1 + x] = (samples[y * row + x]! - (y > 0 ? samples[(y - 1) * row + x]! : 0)) & 255; }
  return out;
}
/** What the TIFF predictor makes of rows: each sample less the one of its colour before it (TIFF 6.0, section 14). */
function acrossRows(samples: Buffer, row: number, colours: number): Buffer {
  const out = Buffer.from(samples);
  for (let i = samples.length - 1; i >= 0; i--) if (i % row >= colours) out[i] = (samples[i]! - samples[i - colours]!) & 255;
  return out;
}
/** Rows with each of the five PNG filters in turn (ISO 15948, 9.2). */
function filteredRows(samples: Buffer, row: number, back: number): Buffer {
  const rows = samples.length / row; const out = Buffer.alloc(samples.length + rows);
  for (let y = 0; y < rows; y++) {
    const filter = y % 5;
    out[y * (row + 1)] = filter;
    for (let x = 0; x < row; x++) {
      const [left, up, corner] = [x >= back ? samples[y * row + x - back]! : 0, y > 0 ? samples[(y - 1) * row + x]! : 0, x >= back && y > 0 ? samples[(y - 1) * row + x - back]! : 0];
      const p = left + up - corner;
      const paeth = Math.abs(p - left) <= Math.abs(p - up) && Math.abs(p - left) <= Math.abs(p - corner) ? left : Math.abs(p - up) <= Math.abs(p - corner) ? up : corner;
      out[y * (row + 1) + 1 + x] = (samples[y * row + x]! - [0, left, up, Math.floor((left + up) / 2), paeth][filter]!) & 255;
    }
  }
  return out;
}
/** LZW as a TIFF or a PDF has it, in its plainest form: every code of its own, the table cleared before it grows (ISO 32000-2, 7.4.4.2). */
function lzw(samples: Buffer): Buffer {
  const out: number[] = []; let [held, bits] = [0, 0];
  const put = (code: number): void => { held = (held << 9) | code; bits += 9; while (bits >= 8) { out.push((held >> (bits - 8)) & 255); bits -= 8; held &= (1 << bits) - 1; } };
  samples.forEach((value, i) => { if (i % 200 === 0) put(256); put(value); });
  put(257);
  if (bits > 0) out.push((held << (8 - bits)) & 255);
  return Buffer.from(out);
}
/** The plan in printing inks: its black is the fourth ink, and a part is in cyan. */
const inks = (): Buffer => Buffer.from([...grey].flatMap((value, i) => [i % W > 200 && value > 127 ? 255 : 0, 0, 0, 255 - value]));
const halves = (bitsEach: 2 | 4): Buffer => {
  const row = Math.ceil(W * bitsEach / 8); const packed = Buffer.alloc(row * H); const most = 2 ** bitsEach - 1;
  for (let y = 0; y < H; y++) for (let x = 0; x < W; x++) packed[y * row + Math.floor(x * bitsEach / 8)]! |= (grey[y * W + x]! > 127 ? most : 0) << (8 - bitsEach - (x * bitsEach) % 8);
  return packed;
};
const wide16 = (samples: Buffer): Buffer => Buffer.from([...samples].flatMap((value) => [value, value]));
/** Grey samples, deflated, as the one strip of a TIFF (TIFF 6.0, sections 4 and 8). */
function oneStrip(samples: Buffer, width: number, height: number): Buffer {
  const packed = deflateSync(samples, { level: 1 });
  const tags = [[256, width], [257, height], [258, 8], [259, 8], [262, 1], [273, 122], [277, 1], [278, height], [279, packed.length]] as const;
  const head = Buffer.alloc(122);
  head.write('II', 'latin1'); head.writeUInt16LE(42, 2); head.writeUInt32LE(8, 4); head.writeUInt16LE(tags.length, 8);
  tags.forEach(([tag, value], i) => { head.writeUInt16LE(tag, 10 + 12 * i); head.writeUInt16LE(4, 12 + 12 * i); head.writeUInt32LE(1, 14 + 12 * i); head.writeUInt32LE(value, 18 + 12 * i); });
  return Buffer.concat([head, packed]);
}
/** A JPEG in inks: the library writes them exchanged, with the marker that says so to programs other than PDF readers. */
async function inkJpeg(exchanged = false): Promise<Buffer> {
  const samples = exchanged ? Buffer.from(inks().map((value) => 255 - value)) : inks();
  const tiff = inkTiff(samples);
  return sharp(tiff).pipelineColourspace('cmyk').toColourspace('cmyk').jpeg({ quality: 95 }).toBuffer();
}
/** Inks in a plain TIFF of one strip (TIFF 6.0, section 16). */
function inkTiff(samples: Buffer): Buffer {
  const tags = [[256, 4, 1, W], [257, 4, 1, H], [258, 3, 4, 122], [259, 3, 1, 1], [262, 3, 1, 5], [273, 4, 1, 130], [277, 3, 1, 4], [278, 4, 1, H], [279, 4, 1, samples.length]] as const;
  const head = Buffer.alloc(130);
  head.write('II', 'latin1'); head.writeUInt16LE(42, 2); head.writeUInt32LE(8, 4); head.writeUInt16LE(tags.length, 8);
  tags.forEach(([tag, kind, count, value], i) => { head.writeUInt16LE(tag, 10 + 12 * i); head.writeUInt16LE(kind, 12 + 12 * i); head.writeUInt32LE(count, 14 + 12 * i); if (kind === 3 && count === 1) head.writeUInt16LE(value, 18 + 12 * i); else head.writeUInt32LE(value, 18 + 12 * i); });
  for (let k = 0; k < 4; k++) head.writeUInt16LE(8, 122 + 2 * k);
  return Buffer.concat([head, samples]);
}
const flate = { Filter: 'FlateDecode' };
const bit = { BitsPerComponent: 1, ColorSpace: 'DeviceGray' };
const byte = { BitsPerComponent: 8, ColorSpace: 'DeviceGray' };

describe('a page that is one scanned picture is read by itself', () => {
  it.each<[string, () => Promise<Part> | Part, number]>([
    ['bits, deflated', () => ({ entries: { ...bit, ...flate }, data: deflateSync(bits()) }), 0],
    ['bits, not packed', () => ({ entries: bit, data: bits() }), 0],
    ['bits the other way round', () => ({ entries: { ...bit, ...flate, Decode: [1, 0] }, data: deflateSync(bits(true)) }), 0],
    ['a stencil', () => ({ entries: { ImageMask: true, BitsPerComponent: 1, ...flate }, data: deflateSync(bits()) }), 0],
    ['bits with a palette, paper first', () => ({ entries: { BitsPerComponent: 1, ...flate }, data: deflateSync(bits(true)), refs: (context) => ({ ColorSpace: context.obj(['Indexed', 'DeviceRGB', 1, context.register(context.stream(Buffer.from([255, 255, 255, 0, 0, 0])))]) }) }), 0],
    ['fax, group 4', async () => ({ entries: { ...bit, Filter: 'CCITTFaxDecode', DecodeParms: { K: -1, Columns: W, Rows: H, BlackIs1: true } }, data: await fax() }), 0],
    ['JBIG2', async () => ({ entries: { ...bit, Filter: 'JBIG2Decode', Decode: [1, 0] }, data: await jbig2() }), 0],
    ['grey, deflated', () => ({ entries: { ...byte, ...flate }, data: deflateSync(grey) }), 0],
    ['grey the other way round', () => ({ entries: { ...byte, ...flate, Decode: [1, 0] }, data: deflateSync(Buffer.from(grey.map((value) => 255 - value))) }), 0],
    ['grey with a PNG predictor', () => ({ entries: { ...byte, ...flate, DecodeParms: { Predictor: 15, Colors: 1, BitsPerComponent: 8, Columns: W } }, data: deflateSync(upRows(grey, W)) }), 0],
    ['grey with the TIFF predictor', () => ({ entries: { ...byte, ...flate, DecodeParms: { Predictor: 2, Columns: W } }, data: deflateSync(acrossRows(grey, W, 1)) }), 0],
    ['colours, deflated', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', ...flate }, data: deflateSync(rgb()) }), 0],
    ['colours with a PNG predictor', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', ...flate, DecodeParms: { Predictor: 12, Colors: 3, Columns: W } }, data: deflateSync(upRows(rgb(), 3 * W)) }), 0],
    ['colours with the TIFF predictor', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', ...flate, DecodeParms: { Predictor: 2, Colors: 3, Columns: W } }, data: deflateSync(acrossRows(rgb(), 3 * W, 3)) }), 0],
    ['a palette', () => ({ entries: { BitsPerComponent: 8, ...flate }, data: deflateSync(Buffer.from(grey.map((value) => (value > 127 ? 7 : 3)))), refs: (context) => ({ ColorSpace: context.obj(['Indexed', 'DeviceRGB', 7, context.register(context.stream(Buffer.from([0, 1, 2, 3, 4, 5, 6, 7].flatMap((i) => (i === 7 ? [255, 255, 255] : [0, 0, 60])))))]) }) }), 0],
    ['a palette with its own numbers stated', () => ({ entries: { BitsPerComponent: 8, Decode: [0, 255], ...flate }, data: deflateSync(Buffer.from(grey.map((value) => (value > 127 ? 1 : 0)))), refs: (context) => ({ ColorSpace: context.obj(['Indexed', 'DeviceCMYK', 1, context.register(context.stream(Buffer.from([0, 0, 0, 255, 0, 0, 0, 0])))]) }) }), 0],
    ['a palette of four bits', () => ({ entries: { BitsPerComponent: 4, ...flate }, data: deflateSync(halves(4)), refs: (context) => ({ ColorSpace: context.obj(['Indexed', 'DeviceRGB', 15, context.register(context.stream(Buffer.from(Array.from({ length: 16 }, (_, i) => [17 * i, 17 * i, 17 * i]).flat())))]) }) }), 0],
    ['grey of four bits', () => ({ entries: { BitsPerComponent: 4, ColorSpace: 'DeviceGray', ...flate }, data: deflateSync(halves(4)) }), 0],
    ['grey of two bits', () => ({ entries: { BitsPerComponent: 2, ColorSpace: 'DeviceGray', ...flate }, data: deflateSync(halves(2)) }), 0],
    ['grey of 16 bits', () => ({ entries: { BitsPerComponent: 16, ColorSpace: 'DeviceGray', ...flate }, data: deflateSync(wide16(grey)) }), 0],
    ['colours of 16 bits with a PNG predictor', () => ({ entries: { BitsPerComponent: 16, ColorSpace: 'DeviceRGB', ...flate, DecodeParms: { Predictor: 15, Colors: 3, BitsPerComponent: 16, Columns: W } }, data: deflateSync(filteredRows(wide16(rgb()), 6 * W, 6)) }), 0],
    ['colours with every PNG filter', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', ...flate, DecodeParms: { Predictor: 15, Colors: 3, Columns: W } }, data: deflateSync(filteredRows(rgb(), 3 * W, 3)) }), 0],
    ['grey, LZW', () => ({ entries: { ...byte, Filter: 'LZWDecode' }, data: lzw(grey) }), 0],
    ['grey by a profile', () => ({ entries: { BitsPerComponent: 8, ...flate }, data: deflateSync(grey), refs: (context) => ({ ColorSpace: context.obj(['ICCBased', context.register(context.stream(Buffer.alloc(128), { N: 1, Alternate: 'DeviceGray' }))]) }) }), 0],
    ['JPEG, grey', async () => ({ entries: { ...byte, Filter: 'DCTDecode' }, data: await jpeg() }), 0.01],
    ['JPEG, packed once more', async () => ({ entries: { ...byte, Filter: ['FlateDecode', 'DCTDecode'] }, data: deflateSync(await jpeg()) }), 0.01],
    ['JPEG, colours', async () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', Filter: 'DCTDecode' }, data: await sharp(rgb(), { raw: { width: W, height: H, channels: 3 } }).jpeg({ quality: 95 }).toBuffer() }), 0.01],
  ])('%s', async (_name, make, within) => {
    const bytes = await pageWith(await make());
    // As it is, and in the way of one whose packed rows are too many to be held twice.
    for (const found of [await scanOf(bytes), await scanOf(bytes, undefined, 0)]) {
      expect(found).toMatchObject({ width: W, height: H });
      if (typeof found !== 'string') expect(difference(found, source)).toBeLessThanOrEqual(within);
    }
  });

  /** Inks become colours by a profile here and by another in the PDF library: near each other, and paper and black are the same. */
  it.each<[string, () => Promise<Part> | Part]>([
    ['inks, deflated', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', ...flate }, data: deflateSync(inks()) })],
    ['inks the other way round', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', Decode: [1, 0, 1, 0, 1, 0, 1, 0], ...flate }, data: deflateSync(Buffer.from(inks().map((value) => 255 - value))) })],
    ['inks with the TIFF predictor', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', ...flate, DecodeParms: { Predictor: 2, Colors: 4, Columns: W } }, data: deflateSync(acrossRows(inks(), 4 * W, 4)) })],
    ['inks with every PNG filter', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', ...flate, DecodeParms: { Predictor: 15, Colors: 4, Columns: W } }, data: deflateSync(filteredRows(inks(), 4 * W, 4)) })],
    ['inks, LZW', () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', Filter: 'LZWDecode' }, data: lzw(inks()) })],
    ['inks, JPEG as printers have it', async () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', Decode: [1, 0, 1, 0, 1, 0, 1, 0], Filter: 'DCTDecode' }, data: await inkJpeg() })],
    ['inks, JPEG read as it stands', async () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceCMYK', Filter: 'DCTDecode' }, data: await inkJpeg(true) })],
  ])('%s', async (_name, make) => {
    const bytes = await pageWith(await make());
    const found = await scanOf(bytes);
    expect(found).toMatchObject({ width: W, height: H, channels: 3 });
    if (typeof found === 'string') return;
    const drawn = await drawPdfPage(bytes, 0, { longSide: W });
    const { data } = await drawn.picture.raw().toBuffer({ resolveWithObject: true });
    const at = (picture: Buffer, x: number, y: number): number[] => [...picture.subarray(3 * (y * W + x), 3 * (y * W + x) + 3)];
    const differ = (x: number, y: number): number => Math.max(...at(found.data, x, y).map((value, k) => Math.abs(value - at(data, x, y)[k]!)));
    // Paper, a wall, and the part in cyan, which has red far below the others.
    expect(at(found.data, 100, 150).every((value) => value > 250)).toBe(true);
    expect(at(found.data, 100, 7).every((value) => value < 60)).toBe(true);
    const [red, green, blue] = at(found.data, 250, 150) as [number, number, number];
    expect(red < 80 && green > 120 && blue > 180).toBe(true);
    expect(Math.max(differ(100, 150), differ(100, 7), differ(250, 150))).toBeLessThan(60);
  });

  it('in strips or tiles they are one picture', async () => {
    const row = (width: number, left: number, top: number, height: number): Buffer => Buffer.concat(Array.from({ length: height }, (_, y) => grey.subarray((top + y) * W + left, (top + y) * W + left + width)));
    const cells = [[0, 0, 128, 90], [128, 0, 128, 90], [256, 0, 44, 90], [0, 90, 128, 90], [128, 90, 128, 90], [256, 90, 44, 90], [0, 180, 128, 20], [128, 180, 128, 20], [256, 180, 44, 20]] as const;
    const place = ([x, y, w, h]: readonly [number, number, number, number] | readonly number[], i: number): string => `q ${w} 0 0 ${h} ${x} ${H - y - h} cm /I${i} Do Q`;
    const tiles = await pageOf(cells.map(([x, y, width, height]) => ({ width, height, part: { entries: { ...byte, ...flate }, data: deflateSync(row(width, x, y, height)) } })), { content: cells.map(place).join('\n') });
    const strips = [[0, 0, W, 64], [0, 64, W, 64], [0, 128, W, 64], [0, 192, W, 8]] as const;
    const bytesOf = Math.ceil(W / 8);
    const stripped = await pageOf(strips.map(([, top, width, height]) => ({ width, height, part: { entries: { ...bit, ...flate }, data: deflateSync(bits().subarray(top * bytesOf, (top + height) * bytesOf)) } })), { content: strips.map(place).join('\n') });
    for (const bytes of [tiles, stripped]) {
      const found = await scanOf(bytes);
      expect(found).toMatchObject({ width: W, height: H, channels: 1 });
      if (typeof found !== 'string') expect(difference(found, source)).toBe(0);
    }
  });

  const turns = [0, 90, 180, 270];
  const lies: readonly (readonly [string, string])[] = [
    ['upright', '300 0 0 200 0 0'], ['upside down', '-300 0 0 -200 300 200'], ['mirrored', '-300 0 0 200 300 0'], ['mirrored upright', '300 0 0 -200 0 200'],
    ['a quarter turn', '0 200 -300 0 300 0'], ['the other quarter', '0 -200 300 0 0 200'], ['transposed', '0 200 300 0 0 0'], ['transposed the other way', '0 -200 -300 0 300 200'],
    ['smaller than the page', '150 0 0 100 40 70'], ['larger than the page', '450 0 0 300 -60 -40'], ['oblong elements', '300 0 0 120 0 30'],
  ];
  it.each(lies.flatMap(([how, matrix]) => turns.map((turn) => [how, turn, matrix] as const)))('%s on a page turned by %i degrees lies as the PDF library draws it', async (_how, turn, matrix) => {
    const part = { entries: { ...byte, ...flate }, data: deflateSync(grey) };
    const [a = 0] = matrix.split(' ').map(Number);
    const [width, height] = a === 0 ? [H, W] : [W, H];
    const turned = a === 0 ? { entries: part.entries, data: deflateSync(await sharp(grey, { raw: { width: W, height: H, channels: 1 } }).rotate(90).toColourspace('b-w').raw().toBuffer()) } : part;
    const bytes = await pageWith(turned, { content: `q ${matrix} cm /I0 Do Q`, prepare: (pdf) => { pdf.getPage(0).node.set(PDFName.of('Rotate'), pdf.context.obj(turn)); } }, width, height);
    const found = await scanOf(bytes);
    expect(found).not.toBeTypeOf('string');
    if (typeof found === 'string') return;
    const drawn = await drawPdfPage(bytes, 0, { longSide: Math.max(found.width, found.height) });
    expect([drawn.width, drawn.height]).toEqual([found.width, found.height]);
    const { data, info } = await drawn.picture.raw().toBuffer({ resolveWithObject: true });
    expect(difference(found, { data, channels: info.channels })).toBeLessThan(0.02);
  });

  it.each<[string, string]>([
    ['with searched text that is not seen', 'q 300 0 0 200 0 0 cm /I0 Do Q BT 3 Tr /F 9 Tf 10 10 Td (MILL) Tj ET'],
    ['over searched text that it hides', 'BT /F 9 Tf 10 10 Td (MILL) Tj ET 0 0 m 9 9 l S q 300 0 0 200 0 0 cm /I0 Do Q'],
    ['on white', '1 g 0 0 300 200 re f q 300 0 0 200 0 0 cm /I0 Do Q'],
    ['within a clip of its own size', 'q 0 0 300 200 re W n 300 0 0 200 0 0 cm /I0 Do Q'],
  ])('%s', async (_how, content) => {
    const found = await scanOf(await pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content }));
    expect(found).toMatchObject({ width: W });
    if (typeof found !== 'string') expect(difference(found, source)).toBe(0);
  });

  it.each<[string, string, string]>([
    ['text', 'q 300 0 0 200 0 0 cm /I0 Do Q BT /F 9 Tf 10 10 Td (MILL) Tj ET', 'it shows text as well'],
    ['text beside the picture', 'BT /F 9 Tf 10 10 Td (MILL) Tj ET q 150 0 0 100 100 80 cm /I0 Do Q', 'it shows text as well'],
    ['lines', 'q 300 0 0 200 0 0 cm /I0 Do Q 0 0 m 9 9 l S', 'it shows lines as well'],
    ['a fill over it', 'q 300 0 0 200 0 0 cm /I0 Do Q 1 g 0 0 50 50 re f', 'it shows filled areas as well'],
    ['a shape it is cut to', 'q 0 0 m 300 0 l 150 200 l W n 300 0 0 200 0 0 cm /I0 Do Q', 'the picture is cut to a shape'],
    ['a part it is cut to', 'q 0 0 100 100 re W n 300 0 0 200 0 0 cm /I0 Do Q', 'the picture is cut off'],
    ['a skew', 'q 300 20 -20 200 0 0 cm /I0 Do Q', 'the picture lies askew'],
    ['itself twice', 'q 300 0 0 200 0 0 cm /I0 Do Q q 100 0 0 100 0 0 cm /I0 Do Q', 'its pictures lie at different sizes or angles'],
  ])('a page that shows %s besides is left to the PDF library', async (_what, content, why) => {
    expect(await scanOf(await pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content }))).toBe(why);
  });

  it('in a locked file', async () => {
    const pdf = await PDFDocument.load(await pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }));
    pdf.encrypt({ userPassword: 'cider', ownerPassword: 'press' });
    const found = await scanOf(await pdf.save({ useObjectStreams: false }), 'cider');
    expect(found).toMatchObject({ width: W, height: H });
    if (typeof found !== 'string') expect(difference(found, source)).toBe(0);
  });
});

/** Rows that deflate cannot pack: numbers that look random (linear congruential generator modulo 2^32). */
function grain(size: number): Buffer {
  const samples = Buffer.alloc(size); let state = 1;
  for (let i = 0; i < size; i++) { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; samples[i] = state >>> 24; }
  return samples;
}

describe('a scan packed as one strip of more than 50 MB opens', () => {
  const [wide, high] = [7500, 7200];
  const samples = grain(wide * high);
  const mean = samples.reduce((sum, value) => sum + value, 0) / samples.length;
  const top = async (pyramid: { levels: readonly unknown[]; tiles: ReadonlyMap<string, Uint8Array> }): Promise<number> => 255 * (1 - await darkness(pyramid.tiles.get(`${pyramid.levels.length - 1}/0/0`)!, 0, 0, 1, 1));
  it('in a PDF', async () => {
    const opened = await openPlanPage(await pageWith({ entries: { ...byte, ...flate }, data: deflateSync(samples, { level: 1 }) }, { size: [900, 864] }, wide, high), 0, { name: 'scan.pdf' });
    expect(opened).toMatchObject({ ok: true, value: { isScan: true, levels: [{ width: wide, height: high }, {}, {}, {}] } });
    if (opened.ok) expect(await top(opened.value)).toBeCloseTo(mean, -0.5);
  }, 240_000);
  it('as a TIFF', async () => {
    const tiff = oneStrip(samples, wide, high);
    expect(tiff.length).toBeGreaterThan(50e6);
    const opened = await openPlanPage(tiff, 0, { name: 'scan.tif' });
    expect(opened).toMatchObject({ ok: true, value: { levels: [{ width: wide, height: high }, {}, {}, {}] } });
    if (opened.ok) expect(await top(opened.value)).toBeCloseTo(mean, -0.5);
  }, 240_000);
});

describe('a sheet scanned so finely that it cannot be unpacked whole', () => {
  /** 43 x 43 in at 300 dots per inch: 166 million picture elements. */
  const [wide, high] = [12_900, 12_900];
  it.each<[string, () => Promise<Part>]>([
    ['bits', () => { const row = Math.ceil(wide / 8); const data = Buffer.alloc(row * high, 255); for (let y = 1000; y < 3000; y++) data.fill(0, y * row + 125, y * row + 375); for (let y = 8000; y < 8080; y++) data.fill(0, y * row + 125, y * row + 1375); return Promise.resolve({ entries: { ...bit, ...flate }, data: deflateSync(data, { level: 1 }) }); }],
    ['JPEG', async () => ({ entries: { ...byte, Filter: 'DCTDecode' }, data: await sharp({ create: { width: wide, height: high, channels: 3, background: '#fff' }, limitInputPixels: false }).composite([{ input: { create: { width: 2000, height: 2000, channels: 3, background: '#000' } }, left: 1000, top: 1000 }, { input: { create: { width: 10_000, height: 80, channels: 3, background: '#000' } }, left: 1000, top: 8000 }]).toColourspace('b-w').jpeg().toBuffer() })],
  ])('%s: opens at its own fineness, upright, with its tiles', async (_form, make) => {
    const bytes = await pageWith(await make(), { size: [3096, 3096] }, wide, high);
    const facts = await inspectPlan(bytes, 'scan.pdf');
    expect(facts).toMatchObject({ ok: true, value: { pages: [{ width: 3096, height: 3096, unitsPerPaperInch: 72 }] } });
    const opened = await openPlanPage(bytes, 0, { name: 'scan.pdf' });
    expect(opened.ok && opened.value.isScan).toBe(true);
    if (!opened.ok) return;
    expect(opened.value.levels[0]).toMatchObject({ width: wide, height: high });
    expect(opened.value.levels[0]!.scale).toBeCloseTo(wide / 3096, 9);
    expect(await darkness(opened.value.tiles.get('0/1/1')!, 0, 0, 1, 1)).toBeGreaterThan(0.97);
    expect(await darkness(opened.value.tiles.get('0/5/5')!, 0, 0, 1, 1)).toBeLessThan(0.01);
    // Looked for in the scan: the page has no lines of its own. The bar of 10,000 x 80 elements is a wall of 2400 x 19.2 units.
    const walls = await offerWalls(bytes, 0, { thickness: [10, 40], shortest: 1000 }, { name: 'scan.pdf' });
    expect(walls.ok && walls.value.map(({ x1, x2, thickness }) => [Math.round(Math.abs(x1 - x2) / 10), Math.round(thickness / 2)])).toEqual([[240, 10]]);
  }, 240_000);

  it.each([['bits', 1, wide], ['colours', 3, 11_800]] as const)('%s, with something drawn over it: is shown coarser, with what is drawn, and says so', async (_form, channels, side) => {
    const row = channels === 1 ? Math.ceil(side / 8) : 3 * side; const data = Buffer.alloc(row * side, 255);
    for (let y = Math.round(side / 12); y < side / 4; y++) data.fill(0, y * row + Math.floor(row / 12), y * row + Math.floor(row / 4));
    const space = channels === 1 ? bit : { BitsPerComponent: 8, ColorSpace: 'DeviceRGB' };
    const bytes = await pageWith({ entries: { ...space, ...flate }, data: deflateSync(data, { level: 1 }) }, { size: [3096, 3096], content: 'q 3096 0 0 3096 0 0 cm /I0 Do Q 1 0 0 rg 1548 0 1548 1548 re f' }, side, side);
    const opened = await openPlanPage(bytes, 0, { name: 'scan.pdf' });
    expect(opened).toMatchObject({ ok: true, value: { isScan: true, warnings: [{ code: 'picture-coarser', what: expect.stringContaining('because it shows filled areas as well') as string }] } });
    if (!opened.ok) return;
    expect(opened.value.warnings).toHaveLength(1);
    const small = opened.value.tiles.get(`${opened.value.levels.length - 1}/0/0`)!;
    const { data: seen, info } = await sharp(small).removeAlpha().raw().toBuffer({ resolveWithObject: true });
    const at = (x: number, y: number): number[] => { const i = (Math.floor(y * info.height) * info.width + Math.floor(x * info.width)) * 3; return [...seen.subarray(i, i + 3)]; };
    expect([at(0.15, 0.15), at(0.4, 0.4), at(0.75, 0.75), at(0.75, 0.25)]).toEqual([[0, 0, 0], [255, 255, 255], [255, 0, 0], [255, 255, 255]]);
  }, 240_000);
});

describe('a picture too large beside other content is made smaller where it lies', () => {
  const over = 'q 300 0 0 200 0 0 cm /I0 Do Q 0 0 1 rg 200 20 60 40 re f';
  const alike = async (bytes: Uint8Array, password?: string): Promise<{ readonly difference: number; readonly size: readonly number[] }> => {
    const smaller = await withSmallerPictures(bytes, 0, password, 10_000, 15_000);
    expect(smaller).not.toBeNull();
    const [before, after] = await Promise.all([drawPdfPage(bytes, 0, { longSide: 600, ...(password === undefined ? {} : { password }) }), drawPdfPage(smaller!.bytes, 0, { longSide: 600 })].map(async (drawn) => (await (await drawn).picture.raw().toBuffer())));
    const picture = (await PDFDocument.load(smaller!.bytes)).context.enumerateIndirectObjects().map(([, object]) => object).find((object) => object instanceof PDFRawStream && object.dict.get(PDFName.of('Subtype')) === PDFName.of('Image') && !object.dict.has(PDFName.of('Test'))) as PDFRawStream;
    return { difference: difference({ data: before!, channels: 3 }, { data: after!, channels: 3 }), size: ['Width', 'Height'].map((key) => Number(String(picture.dict.get(PDFName.of(key))))) };
  };
  it.each<[string, () => Promise<Uint8Array>]>([
    ['grey', () => pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content: over })],
    ['colours', () => pageWith({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', ...flate }, data: deflateSync(rgb()) }, { content: over })],
    ['fax', async () => pageWith({ entries: { ...bit, Filter: 'CCITTFaxDecode', DecodeParms: { K: -1, Columns: W, Rows: H, BlackIs1: true } }, data: await fax() }, { content: over })],
    ['a stencil in colour', () => pageWith({ entries: { ImageMask: true, BitsPerComponent: 1, ...flate }, data: deflateSync(bits()) }, { content: `1 0 0 rg ${over}` })],
    ['turned, and cut to a part', () => pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content: 'q 20 20 200 150 re W n 200 60 -60 200 90 0 cm /I0 Do Q' })],
    ['with a mask', () => pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey), refs: (context) => ({ SMask: context.register(context.stream(Buffer.alloc(100, 128), { Type: 'XObject', Subtype: 'Image', Width: 10, Height: 10, ...byte, Test: true })) }) }, { content: over })],
    ['in a form', () => pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content: '/Fm Do 0 0 1 rg 200 20 60 40 re f', prepare: (pdf) => {
      const resources = pdf.getPage(0).node.Resources()!; const objects = resources.lookup(PDFName.of('XObject'), PDFDict);
      objects.set(PDFName.of('Fm'), pdf.context.register(pdf.context.stream('q 300 0 0 200 0 0 cm /I0 Do Q', { Type: 'XObject', Subtype: 'Form', BBox: [0, 0, W, H], Resources: { XObject: { I0: objects.get(PDFName.of('I0'))! } } })));
      objects.delete(PDFName.of('I0'));
    } })],
  ])('%s', async (form, make) => {
    const found = await alike(await make());
    expect(found.size).toEqual(form === 'colours' ? [87, 58] : [150, 100]);
    // Edges become softer, by more where fewer elements are left; in the whole the page stays as it was.
    expect(found.difference).toBeLessThan(form === 'colours' ? 0.06 : 0.03);
  });

  it('in a locked file', async () => {
    const pdf = await PDFDocument.load(await pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content: over }));
    pdf.encrypt({ userPassword: 'cider', ownerPassword: 'press' });
    expect((await alike(await pdf.save({ useObjectStreams: false }), 'cider')).difference).toBeLessThan(0.03);
  });

  it('a colour of it that counts as clear cannot be kept: it is left as it is', async () => {
    expect(await withSmallerPictures(await pageWith({ entries: { ...byte, ...flate, Mask: [255, 255] }, data: deflateSync(grey) }, { content: over }), 0, undefined, 10_000)).toBeNull();
  });
});
