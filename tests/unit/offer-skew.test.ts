import { describe, expect, it } from 'vitest';
import { skewOfLines, skewOfScan } from '../../shared-core/offer/index';
import type { Bitmap, PlanLine } from '../../shared-core/offer/index';

// Drawn here at a known angle; the angle that is found must be it. Clutter is drawn from a fixed seed.
const RADIANS = Math.PI / 180;

function randomFrom(seed: number): () => number {
  let s = seed;
  return () => { s = (Math.imul(s, 1664525) + 1013904223) >>> 0; return s / 2 ** 32; };
}

function drawn(degrees: number, clutter: number): Bitmap {
  const width = 1600; const height = 1100;
  const ink = new Uint8Array(width * height);
  const dot = (x: number, y: number): void => { const [ix, iy] = [Math.floor(x), Math.floor(y)]; if (ix >= 0 && iy >= 0 && ix < width && iy < height) ink[iy * width + ix] = 1; };
  const [cos, sin] = [Math.cos(degrees * RADIANS), Math.sin(degrees * RADIANS)];
  const line = (x1: number, y1: number, x2: number, y2: number): void => {
    const steps = Math.ceil(2 * Math.hypot(x2 - x1, y2 - y1));
    for (let i = 0; i <= steps; i++) for (const across of [0, 1]) {
      const [u, v] = [x1 + ((x2 - x1) * i) / steps - width / 2, y1 + across + ((y2 - y1) * i) / steps - height / 2];
      dot(u * cos - v * sin + width / 2, u * sin + v * cos + height / 2);
    }
  };
  for (const [x1, y1, x2, y2] of [[200, 200, 1400, 200], [200, 900, 1400, 900], [200, 200, 200, 900], [1400, 200, 1400, 900], [700, 200, 700, 620], [200, 500, 700, 500], [700, 620, 1100, 620]] as const) line(x1, y1, x2, y2);
  const random = randomFrom(7);
  for (let i = 0; i < clutter; i++) {
    const [x, y, a] = [random() * width, random() * height, random() * 7];
    for (let k = 0; k < 24; k++) dot(x + k * Math.cos(a), y + k * Math.sin(a));
  }
  return { width, height, ink };
}

describe('the skew of a scan', () => {
  for (const degrees of [0, 0.3, -0.55, 1.1, -2.3, 4.7, -9]) {
    it(`of ${degrees} degrees is found to a few hundredths, among clutter too`, () => {
      for (const clutter of [0, 300]) expect(Math.abs((skewOfScan(drawn(degrees, clutter)) ?? 99) - degrees), `${clutter} strokes`).toBeLessThan(0.04);
    });
  }

  it('is unknown where nothing runs one way, and where there is nothing', () => {
    const cloud = new Uint8Array(900 * 700); const random = randomFrom(3);
    for (let i = 0; i < 30_000; i++) cloud[Math.floor(random() * cloud.length)] = 1;
    expect(skewOfScan({ width: 900, height: 700, ink: cloud })).toBeNull();
    expect(skewOfScan({ width: 300, height: 200, ink: new Uint8Array(60_000) })).toBeNull();
  });
});

describe('the skew of a drawing', () => {
  const turned = (degrees: number, lines: readonly (readonly [number, number])[]): PlanLine[] =>
    lines.map(([angle, length]) => ({ x1: 5, y1: 9, x2: 5 + length * Math.cos((angle + degrees) * RADIANS), y2: 9 + length * Math.sin((angle + degrees) * RADIANS) }));
  const house = [[0, 90], [90, 60], [180, 90], [270, 60], [0, 30], [90, 20]] as const;

  it('is that of its long lines', () => {
    for (const degrees of [0, 0.21, -3.4, 12]) expect(skewOfLines(turned(degrees, house))).toBeCloseTo(degrees, 6);
  });

  it('is that of the sheet where one wing stands at an angle', () => {
    expect(skewOfLines([...turned(0.5, house), ...turned(30, [[0, 110], [90, 110], [0, 110], [90, 110]])])).toBeCloseTo(0.5, 6);
  });

  it('is unknown without lines, or when they run every way', () => {
    expect(skewOfLines([])).toBeNull();
    expect(skewOfLines(turned(0, Array.from({ length: 90 }, (_, i) => [i + 0.3, 10] as const)))).toBeNull();
  });
});
