import { deflateSync } from 'node:zlib';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs, inspectPlan, openPlanPage } from '../../main/exchange/index';
import { letGo } from '../../main/exchange/let-go';
import { drawPdfPage } from '../../main/exchange/read-pdf';
import { pdfOf } from './plan-files';
import type { PdfStream } from './plan-files';

afterAll(endIdleJobs);

const page = (contents: string, resources: string, more: readonly (string | PdfStream)[]): Uint8Array =>
  pdfOf(['<</Type/Catalog/Pages 2 0 R>>', '<</Type/Pages/Kids[3 0 R]/Count 1>>', `<</Type/Page/Parent 2 0 R/MediaBox[0 0 600 400]${contents}/Resources<<${resources}>>>>`, ...more]);
const CONTENT = '/Contents 4 0 R';
const walls = Buffer.from('10 10 100 100 re f '.repeat(200) + '200 200 50 50 re f');
const packed = deflateSync(walls);
const noise = Buffer.from(Array.from({ length: 3000 }, (_, i) => (i * 7919) % 251));
const spoiled = (data: Buffer, at: number, count = 8): Buffer => { const copy = Buffer.from(data); copy.fill(0xff, at, at + count); return copy; };
const withContent = (entries: string, data: Uint8Array): Uint8Array => page(CONTENT, '', [{ entries, data }]);
const shown = (what: string): PdfStream => ({ entries: '', data: Buffer.from(`0 0 5 5 re f q 600 0 0 400 0 0 cm ${what} Q`) });
const samples = Buffer.from(Array.from({ length: 60 * 40 }, (_, i) => (i * 31) % 256));
const withPicture = (entries: string, data: Uint8Array, bits = 8): Uint8Array => page(CONTENT, '/XObject<</I 5 0 R>>', [shown('/I Do'), { entries: `/Type/XObject/Subtype/Image/Width 60/Height 40/BitsPerComponent ${bits}/ColorSpace/DeviceGray${entries}`, data }]);
const withForm = (entries: string, data: Uint8Array): Uint8Array => page(CONTENT, '/XObject<</F 5 0 R>>', [{ entries: '', data: Buffer.from('0 0 5 5 re f /F Do') }, { entries: `/Type/XObject/Subtype/Form/BBox[0 0 600 400]${entries}`, data }]);
const jpeg = (): Promise<Buffer> => sharp(samples, { raw: { width: 60, height: 40, channels: 1 } }).jpeg().toBuffer();

async function outcomeOf(bytes: Uint8Array): Promise<string> {
  const facts = await inspectPlan(bytes, 'plan.pdf');
  const opened = facts.ok ? await openPlanPage(bytes, 0, { name: 'plan.pdf' }) : facts;
  if (opened.ok) return opened.value.warnings.map(({ code }) => code).join();
  expect(opened.problem.what.length).toBeGreaterThan(20);
  return opened.problem.code;
}

// A blank sheet would pass for a plan without anything in the way, which is the worst a reader can do.
describe('a PDF page of which nothing can be drawn is refused', () => {
  it.each<[string, Uint8Array]>([
    ['its content spoiled in the middle', withContent('/Filter/FlateDecode', spoiled(packed, packed.length >> 1))],
    ['its content spoiled at the head', withContent('/Filter/FlateDecode', spoiled(packed, 0, 2))],
    ['its content noise', withContent('/Filter/FlateDecode', noise)],
    ['its content noise under a sound head', withContent('/Filter/FlateDecode', Buffer.concat([packed.subarray(0, 2), noise]))],
    ['its content cut off', withContent('/Filter/FlateDecode', packed.subarray(0, packed.length * 0.6))],
    ['its content noise in LZW', withContent('/Filter/LZWDecode', noise)],
    ['its content noise in letters', withContent('/Filter/ASCII85Decode', noise)],
    ['its content packed in an unknown way', withContent('/Filter/NewestDecode', packed)],
    ['its content packed like a picture', withContent('/Filter/JPXDecode', packed)],
    ['its content missing', page('/Contents 9 0 R', '', [])],
    ['its content no stream', page(CONTENT, '', ['<</A 1>>'])],
    ['its content plain noise', withContent('', noise)],
    ['its only form missing', page(CONTENT, '/XObject<</F 9 0 R>>', [{ entries: '', data: Buffer.from('/F Do') }])],
    ['its only picture broken', page(CONTENT, '/XObject<</I 5 0 R>>', [{ entries: '', data: Buffer.from('q 600 0 0 400 0 0 cm /I Do Q') }, { entries: '/Type/XObject/Subtype/Image/Width 60/Height 40/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/DCTDecode', data: noise }])],
  ])('%s', async (_what, bytes) => { expect(await outcomeOf(bytes)).toBe('damaged'); }, 120_000);
});

describe('a PDF page of which a part cannot be drawn says so', () => {
  it.each<[string, string, () => Uint8Array | Promise<Uint8Array>]>([
    ['one of two contents missing', 'part-lost', () => page('/Contents[4 0 R 9 0 R]', '', [{ entries: '', data: walls }])],
    ['one of two contents spoiled', 'part-lost', () => page('/Contents[4 0 R 5 0 R]', '', [{ entries: '', data: walls }, { entries: '/Filter/FlateDecode', data: noise }])],
    ['a form missing', 'part-lost', () => page(CONTENT, '/XObject<</F 9 0 R>>', [shown('/F Do')])],
    ['a form that no resource names', 'part-lost', () => page(CONTENT, '', [shown('/F Do')])],
    ['a form of noise', 'part-lost', () => withForm('/Filter/FlateDecode', noise)],
    ['a form cut off', 'part-lost', () => withForm('/Filter/FlateDecode', packed.subarray(0, 30))],
    ['a form packed in an unknown way', 'part-lost', () => withForm('/Filter/NewestDecode', packed)],
    ['a shading missing', 'part-lost', () => page(CONTENT, '', [shown('/S sh')])],
    ['an operator that is none', 'part-lost', () => page(CONTENT, '', [shown('zork 20 20 30 30 re f')])],
    ['a picture cut off', 'picture-lost', () => { const data = deflateSync(samples); return withPicture('/Filter/FlateDecode', data.subarray(0, data.length / 2)); }],
    ['a picture spoiled', 'picture-lost', () => withPicture('/Filter/FlateDecode', spoiled(deflateSync(samples), 40))],
    ['a picture with too little data', 'picture-lost', () => withPicture('', samples.subarray(0, 100))],
    ['a JPEG of noise', 'picture-lost', () => withPicture('/Filter/DCTDecode', noise)],
    ['a JPEG cut off', 'picture-lost', async () => { const data = await jpeg(); return withPicture('/Filter/DCTDecode', data.subarray(0, data.length / 2)); }],
    ['a JPEG 2000 of noise', 'picture-lost', () => withPicture('/Filter/JPXDecode', noise)],
    ['a JBIG2 of noise', 'picture-lost', () => withPicture('/Filter/JBIG2Decode', noise, 1)],
    ['fax of noise', 'picture-lost', () => withPicture('/Filter/CCITTFaxDecode/DecodeParms<</K -1/Columns 60/Rows 40>>', noise, 1)],
    ['fax of noise, group 3', 'picture-lost', () => withPicture('/Filter/CCITTFaxDecode/DecodeParms<</K 0/Columns 60>>', noise, 1)],
    ['a picture without a size', 'picture-lost', () => page(CONTENT, '/XObject<</I 5 0 R>>', [shown('/I Do'), { entries: '/Type/XObject/Subtype/Image/BitsPerComponent 8/ColorSpace/DeviceGray', data: samples }])],
    ['a picture packed in an unknown way', 'part-lost', () => withPicture('/Filter/NewestDecode', samples)],
    ['an inline picture of noise', 'part-lost', () => page(CONTENT, '', [{ entries: '', data: Buffer.concat([Buffer.from('0 0 5 5 re f q 600 0 0 400 0 0 cm BI /W 60 /H 40 /BPC 8 /CS /G /F /Fl ID '), noise, Buffer.from('\nEI Q')]) }])],
    ['nothing on it at all', 'page-blank', () => page('', '', [])],
  ])('%s', async (_what, code, make) => { expect(await outcomeOf(await make())).toBe(code); }, 120_000);
});

describe('a PDF page that only looks broken opens without a word', () => {
  it.each<[string, () => Uint8Array | Promise<Uint8Array>]>([
    ['sound', () => withContent('/Filter/FlateDecode', packed)],
    ['a wrong check sum at the end of its content', () => withContent('/Filter/FlateDecode', spoiled(packed, packed.length - 4, 4))],
    ['no check sum at all', () => withContent('/Filter/FlateDecode', packed.subarray(0, packed.length - 4))],
    ['bytes after the end of its content', () => withContent('/Filter/FlateDecode', Buffer.concat([packed, Buffer.from('\r\n\0\0')]))],
    ['a JPEG', async () => withPicture('/Filter/DCTDecode', await jpeg())],
    // A black row as a run of 60 (ITU-T T.6: 001, white 0, black 60), 39 rows level with it, and twice the end.
    ['fax', () => withPicture('/Filter/CCITTFaxDecode/DecodeParms<</K -1/Columns 60/Rows 40>>', Buffer.from((`00100110101000000101100${'11'.repeat(39)}${'000000000001'.repeat(2)}000`.match(/.{8}/g) ?? []).map((byte) => parseInt(byte, 2))), 1)],
    ['a name written with numbers', () => page(CONTENT, '/XObject<</F#31 5 0 R>>', [shown('/F1 Do'), { entries: '/Type/XObject/Subtype/Form/BBox[0 0 600 400]', data: walls }])],
  ])('%s', async (_what, make) => { expect(await outcomeOf(await make())).toBe(''); }, 120_000);
});

it('what was drawn stays as it was drawn, also when the engine has cleaned up since', async () => {
  const drawn = [];
  for (let i = 0; i < 8; i++) drawn.push((await drawPdfPage(withContent('', Buffer.from(`${i / 8} g 0 0 600 400 re f`)), 0, { longSide: 1500 })).picture);
  letGo();
  // Memory that was freed is taken again.
  for (let i = 0; i < 8; i++) await drawPdfPage(withContent('', Buffer.from('1 0 0 rg 0 0 600 400 re f')), 0, { longSide: 1500 });
  for (const [i, picture] of drawn.entries()) {
    const { channels } = await sharp(await picture.png().toBuffer()).stats();
    expect(channels.map(({ min, max }) => [min, max].map((value) => Math.round((value * 8) / 255)))).toEqual([[i, i], [i, i], [i, i]]);
  }
}, 120_000);
