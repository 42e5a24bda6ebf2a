import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applySimilarity, boundsUnder, composeMatrix, composeSimilarity, IDENTITY, invertMatrix, invertSimilarity, isIdentity, similarityMatrix, turnParts } from '../../shared-core/geometry/index';
import type { Similarity } from '../../shared-core/geometry/index';
import { readDocument, toPicturePoint, toSheetPoint } from '../../shared-core/document/index';
import { documentOf, planRef, sheetOn } from '../services/export-fixtures';

// Checked against the definition written as complex numbers: p becomes scale * e^(i turn) * p + shift.
const finite = (span: number) => fc.double({ min: -span, max: span, noNaN: true });
const similarity: fc.Arbitrary<Similarity> = fc.record({ scale: fc.double({ min: 0.01, max: 100, noNaN: true }), turn: fc.oneof(finite(400), fc.constantFrom(0, 90, 180, 270, -90)), x: finite(1e4), y: finite(1e4) });
const point = fc.record({ x: finite(2e4), y: finite(2e4) });
const near = (a: { x: number; y: number }, b: { x: number; y: number }, size: number): void => { expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(1e-9 * (1 + size)); };

describe('a similarity', () => {
  it('is a complex factor and a shift', () => {
    fc.assert(fc.property(similarity, point, (s, p) => {
      const [re, im] = [s.scale * Math.cos((s.turn * Math.PI) / 180), s.scale * Math.sin((s.turn * Math.PI) / 180)];
      near(applySimilarity(s, p), { x: re * p.x - im * p.y + s.x, y: re * p.y + im * p.x + s.y }, 4e6);
    }));
  });

  it('turns clockwise where y runs down', () => { expect(applySimilarity({ ...IDENTITY, turn: 90 }, { x: 1, y: 0 })).toEqual({ x: 0, y: 1 }); });

  it('has a way back, as similarity and as matrix', () => {
    fc.assert(fc.property(similarity, point, (s, p) => {
      near(applySimilarity(invertSimilarity(s), applySimilarity(s, p)), p, 2e6);
      const matrix = composeMatrix(invertMatrix(similarityMatrix(s)), similarityMatrix(s));
      [1, 0, 0, 1].forEach((n, i) => { expect(matrix[i]).toBeCloseTo(n, 9); });
    }));
  });

  it('composes as one after the other', () => {
    fc.assert(fc.property(similarity, similarity, point, (outer, inner, p) => {
      near(applySimilarity(composeSimilarity(outer, inner), p), applySimilarity(outer, applySimilarity(inner, p)), 4e8);
      const [a, b, c, d, e, f] = composeMatrix(similarityMatrix(outer), similarityMatrix(inner));
      near({ x: a * p.x + c * p.y + e, y: b * p.x + d * p.y + f }, applySimilarity(outer, applySimilarity(inner, p)), 4e8);
    }));
  });

  it('turns by quarters without rounding, and four of them are none', () => {
    fc.assert(fc.property(fc.integer({ min: -9, max: 9 }), (quarters) => {
      for (const part of turnParts(quarters * 90)) expect([-1, 0, 1]).toContain(part === 0 ? 0 : part);
      const one = { ...IDENTITY, turn: 90 };
      expect(isIdentity([one, one, one, one].reduce(composeSimilarity))).toBe(true);
    }));
  });

  it('keeps what was laid down inside its bounds', () => {
    fc.assert(fc.property(similarity, point, fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (s, p, u, v) => {
      const box = { minX: Math.min(0, p.x), minY: Math.min(0, p.y), maxX: Math.max(0, p.x), maxY: Math.max(0, p.y) };
      const inside = applySimilarity(s, { x: box.minX + u * (box.maxX - box.minX), y: box.minY + v * (box.maxY - box.minY) });
      const bounds = boundsUnder(s, box);
      expect(inside.x).toBeGreaterThanOrEqual(bounds.minX - 1e-6); expect(inside.x).toBeLessThanOrEqual(bounds.maxX + 1e-6);
      expect(inside.y).toBeGreaterThanOrEqual(bounds.minY - 1e-6); expect(inside.y).toBeLessThanOrEqual(bounds.maxY + 1e-6);
    }));
  });

  it('is refused without a size', () => { expect(() => invertSimilarity({ ...IDENTITY, scale: 0 })).toThrow(RangeError); });
});

describe('how a plan lies on its sheet', () => {
  const plan = planRef(new Uint8Array([1]), 'image/png', 900, 600);

  it('is nothing in an older project, which opens as it was', () => {
    const document = documentOf([sheetOn('sheet-one', plan)], []);
    const read = readDocument(JSON.parse(JSON.stringify(document)));
    expect(read.ok && read.document).toEqual(document);
    expect(toSheetPoint(plan, { x: 12.5, y: 7 })).toEqual({ x: 12.5, y: 7 });
  });

  it('is kept with the project, and leads there and back', () => {
    const laid = { ...plan, lay: { scale: 0.5, turn: 90, x: 100, y: 20 } };
    const document = documentOf([sheetOn('sheet-one', laid)], []);
    const read = readDocument(JSON.parse(JSON.stringify(document)));
    expect(read.ok && read.document).toEqual(document);
    // By hand: half of (40, 10) is (20, 5); a quarter turn clockwise makes it (-5, 20); shifted (95, 40).
    expect(toSheetPoint(laid, { x: 40, y: 10 })).toEqual({ x: 95, y: 40 });
    expect(toPicturePoint(laid, { x: 95, y: 40 })).toEqual({ x: 40, y: 10 });
  });

  it('is refused when it makes no sense', () => {
    for (const lay of [{ scale: 0, turn: 0, x: 0, y: 0 }, { scale: 1, turn: Number.NaN, x: 0, y: 0 }, { scale: 1, turn: 0, x: 0 }]) {
      expect(readDocument(JSON.parse(JSON.stringify(documentOf([sheetOn('sheet-one', { ...plan, lay } as unknown as typeof plan)], [])))).ok, JSON.stringify(lay)).toBe(false);
    }
  });
});
