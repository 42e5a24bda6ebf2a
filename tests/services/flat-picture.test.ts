import { PDFDocument, rgb } from '@cantoo/pdf-lib';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { endIdleJobs } from '../../main/exchange/index';
import { flattenPlan } from '../../main/exchange/plan';
import { applyHomography, composeHomography, homographyBetween, invertHomography, PLAIN_VIEW } from '../../shared-core/geometry/index';
import type { Homography } from '../../shared-core/geometry/index';

afterAll(() => { endIdleJobs(); });

const SIZE = { width: 600, height: 400 };

/** A picture whose colour tells where it was taken from: red grows across, green down. */
async function ramp(): Promise<Uint8Array> {
  const data = Buffer.alloc(SIZE.width * SIZE.height * 3);
  for (let y = 0; y < SIZE.height; y++) for (let x = 0; x < SIZE.width; x++) { const i = (y * SIZE.width + x) * 3; data[i] = Math.round((x / SIZE.width) * 250); data[i + 1] = Math.round((y / SIZE.height) * 250); data[i + 2] = 77; }
  return new Uint8Array(await sharp(data, { raw: { ...SIZE, channels: 3 } }).png().toBuffer());
}
const flat = async (bytes: Uint8Array, map: Homography, size = SIZE) => {
  const made = await flattenPlan(bytes, 0, { map, ...size });
  if (!made.ok) throw new Error(made.problem.what);
  return { media: made.value.media, channels: (await sharp(made.value.bytes).metadata()).channels, ...await sharp(made.value.bytes).raw().toBuffer({ resolveWithObject: true }) };
};

describe('a photograph made flat', () => {
  it('is the same picture under the plain view', async () => {
    const bytes = await ramp();
    const made = await flat(bytes, PLAIN_VIEW);
    expect(made.media).toBe('image/png');
    expect(made.data.equals(await sharp(bytes).raw().toBuffer())).toBe(true);
  });

  it('takes each element from where the map says, and is white where the photograph shows nothing', async () => {
    const map = composeHomography([1, 0, 40, 0, 1, 30, 0, 0, 1], homographyBetween([{ x: 90, y: 60 }, { x: 520, y: 20 }, { x: 580, y: 390 }, { x: 30, y: 330 }], [{ x: 50, y: 20 }, { x: 500, y: 20 }, { x: 500, y: 320 }, { x: 50, y: 320 }]));
    const { data, info } = await flat(await ramp(), map);
    const back = invertHomography(map);
    let inside = 0; let outside = 0;
    for (let y = 0; y < info.height; y += 7) {
      for (let x = 0; x < info.width; x += 7) {
        const { x: u, y: v } = applyHomography(back, { x: x + 0.5, y: y + 0.5 });
        const i = (y * info.width + x) * 3;
        if (u > 2 && v > 2 && u < SIZE.width - 2 && v < SIZE.height - 2) {
          inside += 1;
          expect(Math.abs(data[i]! - ((u - 0.5) / SIZE.width) * 250)).toBeLessThan(1.6);
          expect(Math.abs(data[i + 1]! - ((v - 0.5) / SIZE.height) * 250)).toBeLessThan(1.6);
        } else if (u < -2 || v < -2 || u > SIZE.width + 2 || v > SIZE.height + 2) { outside += 1; expect([...data.subarray(i, i + 3)]).toEqual([255, 255, 255]); }
      }
    }
    expect(inside).toBeGreaterThan(1000);
    expect(outside).toBeGreaterThan(100);
  });

  it('stays grey, and stays in a lossy form, as the photograph was', async () => {
    const grey = new Uint8Array(await sharp(await ramp()).toColourspace('b-w').png().toBuffer());
    expect((await flat(grey, PLAIN_VIEW)).channels).toBe(1);
    expect((await flat(new Uint8Array(await sharp(await ramp()).jpeg().toBuffer()), PLAIN_VIEW)).media).toBe('image/jpeg');
  });

  // ITU-T T.81, K.3: the standard's own coding tables have 12 and 162 codes. Tables fitted to the picture would hold all of it in memory once more.
  it('is packed in one pass, so that its memory does not grow with the packing', async () => {
    const made = await flattenPlan(new Uint8Array(await sharp(await ramp()).jpeg().toBuffer()), 0, { map: PLAIN_VIEW, ...SIZE });
    if (!made.ok) throw new Error(made.problem.what);
    const { bytes } = made.value;
    const codes: number[] = [];
    for (let at = 2; bytes[at] === 0xff && bytes[at + 1] !== 0xda; at += 2 + bytes[at + 2]! * 256 + bytes[at + 3]!) {
      const end = at + 2 + bytes[at + 2]! * 256 + bytes[at + 3]!;
      for (let table = at + 4; bytes[at + 1] === 0xc4 && table < end;) { const count = bytes.subarray(table + 1, table + 17).reduce((sum, n) => sum + n, 0); codes.push(count); table += 17 + count; }
    }
    expect(codes.sort((a, b) => a - b)).toEqual([12, 12, 162, 162]);
  });

  it('of a page of a PDF speaks points, whatever size the page was drawn at', async () => {
    const pdf = await PDFDocument.create();
    pdf.addPage([300, 200]).drawCircle({ x: 210, y: 200 - 60, size: 15, color: rgb(0, 0, 0) });
    const { data, info, media } = await flat(await pdf.save(), [1.5, 0, 20, 0, 1.5, 10, 0, 0, 1], { width: 500, height: 330 });
    expect(media).toBe('image/png');
    let [n, x, y] = [0, 0, 0];
    for (let i = 0; i < info.width * info.height; i++) if (data[i * info.channels]! < 128) { n += 1; x += (i % info.width) + 0.5; y += Math.floor(i / info.width) + 0.5; }
    expect(x / n).toBeCloseTo(1.5 * 210 + 20, 0);
    expect(y / n).toBeCloseTo(1.5 * 60 + 10, 0);
    expect(Math.sqrt(n / Math.PI)).toBeCloseTo(1.5 * 15, 0);
  });

  it('is refused by name for a drawing, a size beyond what can be worked on, or a damaged file, and stops when it is cancelled', async () => {
    const bytes = await ramp();
    const svg = new TextEncoder().encode('<svg xmlns="http://www.w3.org/2000/svg" width="90" height="90"><path d="M0 0H90" stroke="#000"/></svg>');
    expect(await flattenPlan(svg, 0, { map: PLAIN_VIEW, ...SIZE })).toMatchObject({ ok: false, problem: { code: 'unsupported' } });
    expect(await flattenPlan(bytes, 0, { map: PLAIN_VIEW, width: 20_000, height: 20_000 })).toMatchObject({ ok: false, problem: { code: 'too-large' } });
    expect(await flattenPlan(bytes.slice(0, 900), 0, { map: PLAIN_VIEW, ...SIZE })).toMatchObject({ ok: false });
    const stop = new AbortController();
    const made = flattenPlan(bytes, 0, { map: PLAIN_VIEW, width: 9000, height: 8000 }, { signal: stop.signal, onProgress: () => { stop.abort(); } });
    expect(await made).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
  });
});
