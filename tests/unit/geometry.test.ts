import { describe, expect, it } from 'vitest';
import { BoxIndex, boxOfRing, compareDistance, placeInRing, segmentsMeet, sideOfLine, signedArea, toIntegers, wallCorners, windingNumber } from '../../shared-core/geometry/index';
import { randomFrom } from '../properties/sight-reference';

describe('exact whole numbers of doubles', () => {
  it('keep sums exact that doubles round', () => {
    const [a, b, c] = toIntegers([0.1, 0.2, 0.3]) as [bigint, bigint, bigint];
    expect(a + b > c).toBe(true); // the doubles nearest to 0.1 and 0.2 add up to more than the one nearest to 0.3
    expect(toIntegers([1e300, 5e-324, -2, 0])[1]).toBe(1n);
  });
  it('refuse what is not a number', () => expect(() => toIntegers([NaN])).toThrow(RangeError));
});

describe('side of a line', () => {
  it('is positive to the right of the direction on a y-down sheet', () => {
    expect(sideOfLine(0, 0, 1, 0, 0, 1)).toBeGreaterThan(0);
    expect(sideOfLine(0, 0, 1, 0, 0, -1)).toBeLessThan(0);
    expect(sideOfLine(0, 0, 1, 0, 7, 0)).toBe(0);
  });
  it('agrees with whole-number arithmetic on a grid of nearly collinear points', () => {
    const step = 2 ** -53;
    for (let i = 0; i < 64; i += 1) for (let j = 0; j < 64; j += 1) {
      const p = [0.5 + i * step, 0.5 + j * step] as const;
      const [px, py, a, b] = toIntegers([...p, 12, 24]) as [bigint, bigint, bigint, bigint];
      const exact = (b - a) * (py - a) - (b - a) * (px - a);
      expect(Math.sign(sideOfLine(12, 12, 24, 24, ...p))).toBe(exact > 0n ? 1 : exact < 0n ? -1 : 0);
    }
  });
});

describe('closed segments', () => {
  it('meet when an end touches, when they overlap on one line and when one is a point on the other', () => {
    expect(segmentsMeet(0, 0, 4, 0, 2, 0, 2, 3)).toBe(true);
    expect(segmentsMeet(0, 0, 4, 4, 3, 3, 9, 9)).toBe(true);
    expect(segmentsMeet(0, 0, 4, 4, 5, 5, 9, 9)).toBe(false);
    expect(segmentsMeet(0, 0, 4, 2, 2, 1, 2, 1)).toBe(true);
    expect(segmentsMeet(1, 1, 1, 1, 1, 1, 1, 1)).toBe(true);
    expect(segmentsMeet(1, 1, 1, 1, 1, 2, 1, 2)).toBe(false);
  });
});

describe('distance against a limit', () => {
  it('is exact at the limit, in another unit and with heights', () => {
    expect(compareDistance(0, 0, 0, 30, 40, 0, 1, 50)).toBe(0);
    expect(compareDistance(0, 0, 0, 120, 160, 0, 0.25, 50)).toBe(0);
    expect(compareDistance(0, 0, 0, 120, 160, 1e-9, 0.25, 50)).toBe(1);
    expect(compareDistance(2 ** 30, 0, 0, 2 ** 30 + 50, 0, 0, 1, 50)).toBe(0);
    expect(compareDistance(0, 0, 0, 0, 0, 0, 1, 0)).toBe(0);
    expect(compareDistance(0, 0, 0, 0, 0, 0, 1, -1)).toBe(1);
  });
  it('sees a difference that a square root would round away', () => {
    // 50 + 7.1e-15 is the next double after 50; hypot would still call it 50 when split over two axes.
    expect(compareDistance(0, 0, 0, 30, 40.00000000000001, 0, 1, 50)).toBe(1);
    expect(compareDistance(0, 0, 0, 30, 39.99999999999999, 0, 1, 50)).toBe(-1);
  });
});

describe('rings', () => {
  const ell = [0, 0, 9, 0, 9, 3, 3, 3, 3, 9, 0, 9];
  it('tell inside, outside and on the edge apart', () => {
    expect(placeInRing(ell, 1, 8)).toBe('inside');
    expect(placeInRing(ell, 5, 5)).toBe('outside');
    expect(placeInRing(ell, 3, 5)).toBe('on');
    expect(placeInRing(ell, 9, 3)).toBe('on');
    expect(windingNumber(ell, 1, 1)).toBe(-windingNumber([...pairs(ell)].reverse().flat(), 1, 1));
  });
  it('have the area that their parts add up to', () => {
    expect(Math.abs(signedArea(ell))).toBe(9 * 3 + 3 * 6);
    expect(boxOfRing(ell)).toEqual({ minX: 0, minY: 0, maxX: 9, maxY: 9 });
  });
  it('a wall has its four corners at half its thickness', () => {
    expect(Math.abs(signedArea(wallCorners(0, 0, 4, 3, 2)))).toBeCloseTo(10, 12);
  });
});
function* pairs(ring: readonly number[]): Generator<[number, number]> { for (let i = 0; i < ring.length; i += 2) yield [ring[i]!, ring[i + 1]!]; }

describe('the box index', () => {
  it('finds what a look through all boxes finds, after inserts and removals, item 0 included', () => {
    const random = randomFrom(5); const index = new BoxIndex(10); const boxes = new Map<number, [number, number, number, number]>();
    const make = (): [number, number, number, number] => { const x = random() * 100; const y = random() * 100; return [x, y, x + random() * 9, y + random() * 9]; };
    for (let i = 0; i < 300; i += 1) { const box = make(); boxes.set(i, box); index.put(i, ...box); }
    index.loadAll(300);
    for (let i = 0; i < 300; i += 3) { index.remove(i); boxes.delete(i); }
    for (let i = 300; i < 340; i += 1) { const box = make(); boxes.set(i, box); index.put(i, ...box); index.insert(i); }
    for (let k = 0; k < 50; k += 1) {
      const q = make();
      const should = [...boxes].filter(([, b]) => b[0] <= q[2] && b[2] >= q[0] && b[1] <= q[3] && b[3] >= q[1]).map(([i]) => i).sort((a, b) => a - b);
      expect(index.search(...q).sort((a, b) => a - b)).toEqual(should);
    }
  });
  it('does so with many items, which are loaded tile by tile, all at one place too', () => {
    const random = randomFrom(6); const count = 5000;
    for (const spread of [1000, 0]) {
      const index = new BoxIndex(count); const boxes: [number, number, number, number][] = [];
      for (let i = 0; i < count; i += 1) { const x = random() * spread; const y = random() * spread; boxes.push([x, y, x + random() * 9, y + random() * 9]); index.put(i, ...boxes[i]!); }
      index.loadAll(count);
      for (let i = 0; i < count; i += 2) index.remove(i);
      for (let k = 0; k < 20; k += 1) {
        const x = random() * spread; const y = random() * spread;
        const should = boxes.flatMap((b, i) => (i % 2 === 1 && b[0] <= x + 20 && b[2] >= x && b[1] <= y + 20 && b[3] >= y ? [i] : []));
        expect(index.search(x, y, x + 20, y + 20).sort((a, b) => a - b)).toEqual(should);
      }
    }
  });
});
