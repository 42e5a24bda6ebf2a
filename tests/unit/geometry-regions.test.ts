import { describe, expect, it } from 'vitest';
import { areaOfOutlines, cutRegions, outlinesContain } from '../../shared-core/geometry/index';
import type { CutShape, Outline } from '../../shared-core/geometry/index';
import { randomFrom } from '../properties/sight-reference';

const disc = (cx: number, cy: number, radius: number): Outline => {
  const arc = { cx, cy, radius };
  return [{ x1: cx + radius, y1: cy, x2: cx - radius, y2: cy, arc }, { x1: cx - radius, y1: cy, x2: cx + radius, y2: cy, arc }];
};
const ring = (points: readonly (readonly [number, number])[]): Outline => points.map(([x1, y1], i) => { const [x2, y2] = points[(i + 1) % points.length]!; return { x1, y1, x2, y2 }; });
const square = (x: number, y: number, side: number): Outline => ring([[x, y], [x + side, y], [x + side, y + side], [x, y + side]]);
const keep = (...outlines: Outline[]): CutShape => ({ role: 'keep', outlines });
const drop = (...outlines: Outline[]): CutShape => ({ role: 'drop', outlines });

describe('cutting regions', () => {
  it('two discs share the lens of the textbook', () => {
    // 2 R^2 acos(d/2R) - (d/2) sqrt(4R^2 - d^2), plane geometry
    expect(cutRegions([keep(disc(0, 0, 5)), keep(disc(6, 0, 5))]).area).toBeCloseTo(50 * Math.acos(0.6) - 3 * Math.sqrt(64), 12);
  });
  it('shapes that share edges leave no slivers', () => {
    expect(cutRegions([keep(square(0, 0, 4)), keep(square(4, 0, 4))]).outlines).toEqual([]);
    expect(cutRegions([keep(square(0, 0, 4)), drop(square(0, 0, 4))]).outlines).toEqual([]);
    expect(cutRegions([keep(square(0, 0, 4)), keep(square(0, 0, 4))]).outlines.map((o) => o.length)).toEqual([4]);
  });
  it('a hole is an outline of its own that turns the other way', () => {
    const { area, outlines } = cutRegions([keep(square(0, 0, 9)), drop(square(3, 3, 2))]);
    expect(area).toBeCloseTo(77, 12);
    expect(outlines.map((o) => Math.sign(areaOfOutlines([o]))).sort()).toEqual([-1, 1]);
    expect(outlinesContain(outlines, 4, 4)).toBe(false);
    expect(outlinesContain(outlines, 1, 4)).toBe(true);
  });
  it('an outline that crosses itself drops both its lobes', () => {
    expect(cutRegions([keep(square(0, 0, 9)), drop(ring([[2, 2], [6, 6], [6, 2], [2, 6]]))]).area).toBeCloseTo(81 - 8, 12);
  });
  it('a dropped corner below the window, right at the middle of a slab, counts once and not half', () => {
    expect(cutRegions([keep(ring([[13, 2], [15, 2], [15, 3], [13, 3.5]])), drop(ring([[6, 0], [17, -1], [14, 1]]))]).area).toBeCloseTo(2.5, 12);
  });
  it('an upright side that passes right through the window cuts it', () => {
    expect(cutRegions([keep(ring([[0, 1], [3, 1], [3, 2], [0, 2.5]])), keep(ring([[0, 0], [1, 0], [3, 1], [0, 1.5]])), drop(ring([[0, 0], [2, 0], [2, 2], [0, 2.5]]))]).area).toBeCloseTo(1 / 12, 12);
    expect(cutRegions([keep(square(0, 0, 4)), drop(ring([[1, -9], [3, -9], [3, 9], [1, 9]]))]).area).toBeCloseTo(8, 12);
  });
  it('a disc holds the points of its own chord', () => {
    for (const x of [-9, -1, 0, 5, 9.9]) expect(outlinesContain([disc(0, 0, 10)], x, 0)).toBe(true);
    for (const x of [-10.1, 10.1]) expect(outlinesContain([disc(0, 0, 10)], x, 0)).toBe(false);
    const arc = { cx: 0, cy: 0, radius: 10 };
    const upright: Outline = [{ x1: 0, y1: -10, x2: 0, y2: 10, arc }, { x1: 0, y1: 10, x2: 0, y2: -10, arc }];
    for (const y of [-9, 0, 3]) expect(outlinesContain([upright], 0, y)).toBe(true);
  });
  it('boxes on whole numbers, where sides and corners meet, hold the ground that counting squares finds', () => {
    const random = randomFrom(7);
    const whole = (n: number): number => Math.floor(random() * n);
    for (let round = 0; round < 300; round += 1) {
      const boxes = Array.from({ length: 2 + whole(4) }, () => { const x = whole(8); const y = whole(8); return { x, y, w: 1 + whole(6), h: 1 + whole(6) }; });
      const shapes = boxes.map(({ x, y, w, h }, i) => (i < 1 + whole(2) ? keep : drop)(ring([[x, y], [x + w, y], [x + w, y + h], [x, y + h]])));
      let squares = 0;
      for (let x = 0; x < 16; x += 1) for (let y = 0; y < 16; y += 1) {
        if (boxes.every((b, i) => (x >= b.x && x < b.x + b.w && y >= b.y && y < b.y + b.h) === (shapes[i]?.role === 'keep'))) squares += 1;
      }
      expect(cutRegions(shapes).area).toBeCloseTo(squares, 9);
    }
  });
  it('holds the points that the shapes say, with an area and outlines that agree, on random discs and outlines', () => {
    const seed = 99; console.log(`seed ${seed}`);
    const random = randomFrom(seed);
    for (let round = 0; round < 300; round += 1) {
      const around = (r: number): number => (random() * 2 - 1) * r;
      const shapes = [keep(disc(0, 0, 10))];
      if (random() < 0.5) shapes.push(keep(disc(around(8), around(8), 6 + random() * 6)));
      for (let k = Math.floor(random() * 5); k > 0; k -= 1) {
        const x = around(8); const y = around(8);
        shapes.push(drop(ring(Array.from({ length: 3 + Math.floor(random() * 3) }, () => [x + around(4), y + around(4)] as const))));
      }
      const { area, outlines } = cutRegions(shapes);
      expect(areaOfOutlines(outlines)).toBeCloseTo(area, 9);
      for (let k = 0; k < 40; k += 1) {
        const x = around(10); const y = around(10);
        expect(outlinesContain(outlines, x, y)).toBe(shapes.every((shape) => outlinesContain(shape.outlines, x, y) === (shape.role === 'keep')));
      }
    }
  });
});
