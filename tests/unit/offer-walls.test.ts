import { describe, expect, it } from 'vitest';
import { mainDirections, wallsFromLines, wallsFromScan } from '../../shared-core/offer/index';
import type { Bitmap, PlanLine } from '../../shared-core/offer/index';

const options = { thickness: [4, 12] as const, shortest: 15, slack: 2 };
const line = (x1: number, y1: number, x2: number, y2: number): PlanLine => ({ x1, y1, x2, y2 });

/** Draws each line one picture element wide, turned about the middle by so many degrees. */
function scan(lines: readonly PlanLine[], degrees = 0, size = 400): Bitmap {
  const ink = new Uint8Array(size * size);
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  for (const { x1, y1, x2, y2 } of lines) {
    const steps = Math.ceil(Math.hypot(x2 - x1, y2 - y1) * 2);
    for (let i = 0; i <= steps; i++) {
      const [u, v] = [x1 + ((x2 - x1) * i) / steps - size / 2, y1 + ((y2 - y1) * i) / steps - size / 2];
      const [x, y] = [Math.floor(u * cos - v * sin + size / 2), Math.floor(u * sin + v * cos + size / 2)];
      if (x >= 0 && y >= 0 && x < size && y < size) ink[y * size + x] = 1;
    }
  }
  return { width: size, height: size, ink };
}

describe('walls offered from lines', () => {
  it('two faces make one wall with the centre line and thickness between them', () => {
    const [wall, ...rest] = wallsFromLines([line(0, 0, 100, 0), line(10, 8, 90, 8)], options);
    expect(rest).toEqual([]);
    expect([wall!.x1, wall!.y1, wall!.x2, wall!.y2, wall!.thickness].map((n) => Math.round(n * 1e6) / 1e6)).toEqual([10, 4, 90, 4, 8]);
  });
  it('lines that are alone, too near, too far or not parallel make none', () => {
    expect(wallsFromLines([line(0, 0, 100, 0)], options)).toEqual([]);
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 2, 100, 2)], options)).toEqual([]);
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 20, 100, 20)], options)).toEqual([]);
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 6, 100, 16)], options)).toEqual([]);
  });
  it('a face goes with its nearest partner and not with a second one', () => {
    expect(wallsFromLines([line(0, 0, 100, 0), line(0, 5, 100, 5), line(0, 11, 100, 11)], options).filter((wall) => wall.thickness > 5.5 && wall.thickness < 6.5)).toHaveLength(0);
  });
  it('a gap in one face parts the wall', () => {
    expect(wallsFromLines([line(0, 0, 40, 0), line(60, 0, 100, 0), line(0, 8, 100, 8)], options).map((wall) => Math.round(Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1)))).toEqual([40, 40]);
  });
  it('a turned room has the walls of the level one', () => {
    const lines = [line(0, 0, 100, 0), line(0, 8, 100, 8), line(0, 0, 0, 8), line(100, 0, 100, 8)];
    for (const degrees of [13, 45, 90, 171]) {
      const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const turned = lines.map(({ x1, y1, x2, y2 }) => line(x1 * cos - y1 * sin, x1 * sin + y1 * cos, x2 * cos - y2 * sin, x2 * sin + y2 * cos));
      const found = wallsFromLines(turned, options);
      expect(found).toHaveLength(1);
      expect(found[0]!.thickness).toBeCloseTo(8, 6);
    }
  });
});

describe('walls offered from a scan', () => {
  const room = [line(60, 60, 340, 60), line(68, 68, 332, 68), line(60, 340, 340, 340), line(68, 332, 332, 332), line(60, 60, 60, 340), line(68, 68, 68, 332), line(340, 60, 340, 340), line(332, 68, 332, 332)];
  it.each([0, 2.3, -1.1])('a room scanned %s degrees askew is found, and its skew', (degrees) => {
    const bitmap = scan(room, degrees);
    const skew = mainDirections(bitmap, options.shortest)[0]!;
    expect(Math.abs(((skew - degrees + 45) % 90 + 90) % 90 - 45)).toBeLessThan(0.35);
    const found = wallsFromScan(bitmap, options);
    const total = found.reduce((sum, wall) => sum + Math.hypot(wall.x2 - wall.x1, wall.y2 - wall.y1), 0);
    expect(total).toBeGreaterThan(0.8 * 4 * 264);
    expect(total).toBeLessThan(1.15 * 4 * 280);
  });
  it('a solid bar is a wall as thick as it is', () => {
    const found = wallsFromScan(scan(Array.from({ length: 9 }, (_, i) => line(50, 100 + i, 350, 100 + i))), options);
    expect(found).toHaveLength(1);
    expect(found[0]!.thickness).toBe(9);
  });
  it('an empty sheet and scattered dots give none', () => {
    expect(wallsFromScan(scan([]), options)).toEqual([]);
    expect(wallsFromScan(scan(Array.from({ length: 300 }, (_, i) => line((i * 37) % 400, (i * 91) % 400, (i * 37) % 400 + 3, (i * 91) % 400))), options)).toEqual([]);
  });
});
