import { describe, expect, it } from 'vitest';
import sharp from 'sharp';
import { findWalls } from '../../main/exchange/find-walls';
import { bitmapOf, scanBitmap } from '../../main/exchange/scan-bitmap';

/** A grey picture: paper, and rectangles of a value on it, x, y, width, height. */
function grey(width: number, height: number, marks: readonly (readonly [number, number, number, number, number])[], paper = 247): Uint8Array {
  const data = new Uint8Array(width * height).fill(paper);
  for (const [x, y, w, h, value] of marks) for (let row = y; row < y + h; row++) data.fill(value, row * width + x, row * width + x + w);
  return data;
}

const png = async (data: Uint8Array, width: number, height: number): Promise<Uint8Array> => new Uint8Array(await sharp(data, { raw: { width, height, channels: 1 } }).png().toBuffer());

describe('what a scan is looked at with', () => {
  // Own choice of bounds: seven picture elements across the thinnest wall.
  it.each([[3399, 8, 1], [3450, 8, 1], [3450, 13.9, 1], [3450, 14, 2], [3450, 0, 2], [6000, 6, 1], [3000, 6, 0.5], [2000, 20, 0.5], [7600, 8, 2]])('a picture %i long with a thinnest wall of %f: one element for %f', async (width, thinnest, expected) => {
    const { factor, bitmap } = await scanBitmap(await png(grey(width, 40, [[100, 10, 60, 3, 0]]), width, 40), 'image/png', 0, thinnest);
    expect(factor).toBe(expected);
    expect(bitmap.width).toBe(Math.floor(width / expected));
  });
});

describe('faint lines on an even ground', () => {
  const inkAt = (data: Uint8Array, x: number, y: number): number => bitmapOf(data, { width: 300, height: 200, channels: 1 }).bitmap.ink[y * 300 + x]!;

  it('are ink; a tint as faint is none, nor is its rim', () => {
    const data = grey(300, 200, [[20, 20, 200, 2, 200], [40, 40, 2, 100, 200], [100, 60, 100, 100, 200]]);
    expect([inkAt(data, 80, 20), inkAt(data, 80, 21), inkAt(data, 40, 90)]).toEqual([1, 1, 1]);
    expect([inkAt(data, 150, 110), inkAt(data, 100, 110), inkAt(data, 199, 110), inkAt(data, 150, 60), inkAt(data, 10, 10)]).toEqual([0, 0, 0, 0, 0]);
  });
  it('the same on a black ground', () => {
    const data = grey(300, 200, [[20, 20, 200, 2, 60], [100, 60, 100, 100, 60]], 10);
    expect([inkAt(data, 80, 20), inkAt(data, 150, 110), inkAt(data, 100, 110)]).toEqual([1, 0, 0]);
  });
  it('a room of them gives its four walls', async () => {
    const [width, height] = [900, 700];
    const frame = (x: number, y: number, w: number, h: number): [number, number, number, number, number][] => [[x, y, w, 1, 200], [x, y + h, w, 1, 200], [x, y, 1, h, 200], [x + w, y, 1, h + 1, 200]];
    const bytes = await png(grey(width, height, [...frame(100, 100, 600, 400), ...frame(112, 112, 576, 376)]), width, height);
    const walls = await findWalls(bytes, 'image/png', 0, { thickness: [8, 20], shortest: 30 });
    expect(walls.map(({ thickness }) => Math.round(thickness))).toEqual([12, 12, 12, 12]);
    expect(walls.map(({ x1, y1, x2, y2 }) => Math.round(Math.hypot(x2 - x1, y2 - y1) / 20)).sort((a, b) => a - b)).toEqual([19, 19, 29, 29]);
  });
});
