import { deflateSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs, inspectPlan, openPlanPage, planThumbnails } from '../../main/exchange/index';
import { pdfOf } from '../services/plan-files';
import type { PdfStream } from '../services/plan-files';
import { randomNumbers } from './fuzz-plans';

afterAll(endIdleJobs);

const plain = (text: string): PdfStream => ({ entries: '', data: Buffer.from(text) });
const onePage = ({ box = '0 0 600 400', extra = '', content = plain('10 10 100 100 re f'), resources = '', more = [] }: { box?: string; extra?: string; content?: PdfStream; resources?: string; more?: PdfStream[] }): Uint8Array =>
  pdfOf(['<</Type/Catalog/Pages 2 0 R>>', '<</Type/Pages/Kids[3 0 R]/Count 1>>', `<</Type/Page/Parent 2 0 R/MediaBox[${box}]${extra}/Contents 4 0 R/Resources<<${resources}>>>>`, content, ...more]);
const withPicture = (entries: string, data: Uint8Array): Uint8Array =>
  onePage({ content: plain('q 600 0 0 400 0 0 cm /I Do Q'), resources: '/XObject<</I 5 0 R>>', more: [{ entries: `/Type/XObject/Subtype/Image${entries}`, data }] });

const packed = (size: number): Buffer => deflateSync(Buffer.alloc(size, 0x20), { level: 9 });

async function outcomeOf(bytes: Uint8Array) {
  const facts = await inspectPlan(bytes, 'absurd.pdf');
  return facts.ok ? openPlanPage(bytes, 0, { name: 'absurd.pdf' }) : facts;
}

describe('a PDF of absurd size is refused by what it says, not by its limits', () => {
  it.each([
    ['a page of 350 km', { box: '0 0 1000000000 1000000000' }],
    ['a page as thin as a thread and 350 km long', { box: '0 0 1000000000 10' }],
    ['a page smaller than anything that can be drawn', { box: '0 0 0.000001 0.000001' }],
    ['a user unit that makes the page absurd', { extra: '/UserUnit 1000000000' }],
  ])('%s', async (_name, page) => {
    const outcome = await outcomeOf(onePage(page));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'absurd-size' } });
    expect(outcome.ok ? '' : outcome.problem.what).toMatch(/Page 1 says it is [\d.e+]+ by [\d.e+]+ points/);
  }, 120_000);

  const gray = '/BitsPerComponent 8/ColorSpace/DeviceGray';
  const bits = '/BitsPerComponent 1/ColorSpace/DeviceGray';
  it.each([
    ['plain', `${gray}/Filter/FlateDecode`, packed(1000)],
    ['a mask', '/ImageMask true/BitsPerComponent 1/Filter/FlateDecode', packed(1000)],
    ['JPEG', `${gray}/Filter/DCTDecode`, Buffer.from([0xff, 0xd8, 0xff, 0xd9])],
    ['JPEG 2000', '/Filter/JPXDecode', Buffer.from([0xff, 0x4f, 0xff, 0x51])],
    ['JBIG2', `${bits}/Filter/JBIG2Decode`, Buffer.alloc(30)],
    ['fax', `${bits}/Filter/CCITTFaxDecode/DecodeParms<</K -1/Columns 100000/Rows 100000>>`, Buffer.from([0, 0x10, 1])],
  ])('a picture of 100,000 x 100,000 elements, %s', async (_name, entries, data) => {
    const outcome = await outcomeOf(withPicture(`/Width 100000/Height 100000${entries}`, data));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'too-large' } });
    expect(outcome.ok ? '' : outcome.problem.what).toContain('Page 1 holds a picture of more than');
  }, 120_000);

  const swelling = packed(500e6);
  it.each([
    ['the drawing itself', () => onePage({ content: { entries: '/Filter/FlateDecode', data: swelling } })],
    ['a picture that says it is small', () => withPicture(`/Width 10/Height 10${gray}/Filter/FlateDecode`, swelling)],
    ['packed twice', () => onePage({ content: { entries: '/Filter[/FlateDecode/FlateDecode]', data: deflateSync(swelling, { level: 9 }) } })],
  ])('a stream that swells: %s', async (_name, make) => {
    expect(await outcomeOf(make())).toMatchObject({ ok: false, problem: { code: 'absurd-size', what: expect.stringContaining('unpacks to more than') as string } });
  }, 120_000);

  it.each([['read by itself', 9000, 6000], ['drawn', 6000, 4000]])('a scan with next to nothing on it packs well too, and opens: %s', async (_how, width, height) => {
    const samples = Buffer.alloc(width * height, 255);
    samples.fill(0, 0, width * 200);
    const outcome = await outcomeOf(withPicture(`/Width ${width}/Height ${height}${gray}/Filter/FlateDecode`, deflateSync(samples, { level: 9 })));
    expect(outcome).toMatchObject({ ok: true, value: { warnings: [] } });
  }, 120_000);
});

/** The head of a JPEG 2000 codestream (ITU-T T.800, A.4.1 and A.5.1), and nothing after it. */
function jpxHead(width: number, height: number, components: number): Buffer {
  const u32 = (value: number): number[] => [value >>> 24, (value >>> 16) & 255, (value >>> 8) & 255, value & 255];
  return Buffer.from([0xff, 0x4f, 0xff, 0x51, 0, 38 + 3 * components, 0, 0, ...u32(width), ...u32(height), ...u32(0), ...u32(0), ...u32(width), ...u32(height), ...u32(0), ...u32(0), 0, components, ...Array.from({ length: components }, () => [7, 1, 1]).flat(), ...Array.from({ length: 2000 }, () => 0)]);
}

describe('what is larger than it says is weighed before it is read', () => {
  it.each([['lies about its size', 10, 10, 40_000, 40_000, 1], ['is honest', 12_000, 12_000, 12_000, 12_000, 3]])('a JPEG 2000 that %s', async (_how, saidWidth, saidHeight, width, height, components) => {
    const outcome = await outcomeOf(withPicture(`/Width ${saidWidth}/Height ${saidHeight}/Filter/JPXDecode`, jpxHead(width, height, components)));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'too-large', what: expect.stringContaining(`${width} x ${height} elements`) as string } });
  }, 120_000);

  /** Ten forms, each of which shows the next ten times over. */
  const nested = (): Uint8Array => onePage({
    content: plain('/F0 Do'), resources: `/XObject<<${Array.from({ length: 10 }, (_, i) => `/F${i} ${5 + i} 0 R`).join('')}>>`,
    more: Array.from({ length: 10 }, (_, i) => ({ entries: `/Type/XObject/Subtype/Form/BBox[0 0 600 400]`, data: Buffer.from(i === 9 ? '0 0 5 5 re f' : `/F${i + 1} Do `.repeat(10)) })),
  });
  it('forms in forms: 10^9 rectangles', async () => {
    expect(await outcomeOf(nested())).toMatchObject({ ok: false, problem: { code: 'absurd-size', what: expect.stringContaining('show each other so often') as string } });
    expect(await planThumbnails(nested(), [0], { name: 'absurd.pdf' })).toEqual({ ok: true, value: [null] });
  }, 120_000);
  it('a form that shows itself', async () => {
    const own = (next: number): PdfStream => ({ entries: '/Type/XObject/Subtype/Form/BBox[0 0 600 400]', data: Buffer.from(`0 0 5 5 re f /F${next} Do`) });
    const outcome = await outcomeOf(onePage({ content: plain('/F0 Do'), resources: '/XObject<</F0 5 0 R/F1 6 0 R>>', more: [own(1), own(0)] }));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'damaged', what: expect.stringContaining('shows itself without end') as string } });
  }, 120_000);
  it('a title block that many sheets of a set show is none of that', async () => {
    const bytes = onePage({ content: plain('/F0 Do '.repeat(200)), resources: '/XObject<</F0 5 0 R/F1 6 0 R>>', more: [{ entries: '/Type/XObject/Subtype/Form/BBox[0 0 600 400]', data: Buffer.from('/F1 Do '.repeat(50)) }, { entries: '/Type/XObject/Subtype/Form/BBox[0 0 600 400]', data: Buffer.from('0 0 5 5 re f') }] });
    expect(await outcomeOf(bytes)).toMatchObject({ ok: true, value: { warnings: [] } });
  }, 120_000);
});

/** A JBIG2 picture whose list of symbols is noise (ITU-T T.88, 7.2 segment header, 7.4.2 symbol dictionary, 7.4.8 page). */
function noisySymbols(seed: number): Buffer {
  const u32 = (value: number): number[] => [value >>> 24, (value >>> 16) & 255, (value >>> 8) & 255, value & 255];
  const random = randomNumbers(seed);
  const noise = Array.from({ length: 20_000 }, () => Math.floor(random() * 255));
  const symbols = [0, 0, 3, 255, 253, 255, 2, 254, 254, 254, ...u32(600), ...u32(600), ...noise];
  return Buffer.from([...u32(0), 48, 0, 1, ...u32(19), ...u32(1000), ...u32(1500), ...u32(0), ...u32(0), 0, 0, 0, ...u32(1), 0, 0, 1, ...u32(symbols.length), ...symbols]);
}

describe('a picture whose packing was spoiled', () => {
  it.each([1, 2, 3, 4, 5, 6])('JBIG2 symbols of noise, seed %i: a page that holds nothing else is refused, not shown blank', async (seed) => {
    const outcome = await outcomeOf(withPicture('/Width 1000/Height 1500/BitsPerComponent 1/ColorSpace/DeviceGray/Filter/JBIG2Decode', noisySymbols(seed)));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'damaged', what: expect.stringContaining('Nothing of page 1 can be shown') as string } });
  }, 200_000);
});
