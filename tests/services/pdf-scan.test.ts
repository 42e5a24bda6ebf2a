import { deflateSync } from 'node:zlib';
import { PDFDocument, PDFName } from '@cantoo/pdf-lib';
import type { PDFContext, PDFRef } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs, inspectPlan, offerWalls, openPlanPage } from '../../main/exchange/index';
import { withPdf } from '../../main/exchange/pdf-document';
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
async function scanOf(bytes: Uint8Array, password?: string): Promise<{ data: Buffer; width: number; height: number; channels: number } | string> {
  return withPdf(bytes, password, async (pdf) => {
    const sheet = (await pdf.getPage(1)).getViewport({ scale: 1 });
    const scans = await openScans(bytes, password, 1);
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
    ['JPEG, grey', async () => ({ entries: { ...byte, Filter: 'DCTDecode' }, data: await jpeg() }), 0.01],
    ['JPEG, packed once more', async () => ({ entries: { ...byte, Filter: ['FlateDecode', 'DCTDecode'] }, data: deflateSync(await jpeg()) }), 0.01],
    ['JPEG, colours', async () => ({ entries: { BitsPerComponent: 8, ColorSpace: 'DeviceRGB', Filter: 'DCTDecode' }, data: await sharp(rgb(), { raw: { width: W, height: H, channels: 3 } }).jpeg({ quality: 95 }).toBuffer() }), 0.01],
  ])('%s', async (_name, make, within) => {
    const bytes = await pageWith(await make());
    const found = await scanOf(bytes);
    expect(found).toMatchObject({ width: W, height: H });
    if (typeof found !== 'string') expect(difference(found, source)).toBeLessThanOrEqual(within);
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
    ['on white', '1 g 0 0 300 200 re f q 300 0 0 200 0 0 cm /I0 Do Q'],
    ['within a clip of its own size', 'q 0 0 300 200 re W n 300 0 0 200 0 0 cm /I0 Do Q'],
  ])('%s', async (_how, content) => {
    const found = await scanOf(await pageWith({ entries: { ...byte, ...flate }, data: deflateSync(grey) }, { content }));
    expect(found).toMatchObject({ width: W });
    if (typeof found !== 'string') expect(difference(found, source)).toBe(0);
  });

  it.each<[string, string, string]>([
    ['text', 'q 300 0 0 200 0 0 cm /I0 Do Q BT /F 9 Tf 10 10 Td (MILL) Tj ET', 'it shows text as well'],
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

  it('with something drawn over it is refused, and says why', async () => {
    const row = Math.ceil(wide / 8);
    const bytes = await pageWith({ entries: { ...bit, ...flate }, data: deflateSync(Buffer.alloc(row * high, 255)) }, { size: [3096, 3096], content: 'q 3096 0 0 3096 0 0 cm /I0 Do Q 0 0 m 900 900 l S' }, wide, high);
    const opened = await openPlanPage(bytes, 0, { name: 'scan.pdf' });
    expect(opened).toMatchObject({ ok: false, problem: { code: 'too-large' } });
    expect(opened.ok ? '' : opened.problem.what).toContain('because it shows lines as well');
  }, 240_000);
});
