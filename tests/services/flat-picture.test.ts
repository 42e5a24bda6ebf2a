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
