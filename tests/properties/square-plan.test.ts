import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import { applyEdit, invertEdit, mendedShape, planDistance, planSquaring, readDocument, scaleFromDrawing, scaleFromPicks, shapeUncertainty, squarePlan, toPhotograph, unsquarePlan, viewOf } from '../../shared-core/document/index';
import type { Document, Entity, Point, Sheet, StatedSides } from '../../shared-core/document/index';
import { applyHomography } from '../../shared-core/geometry/index';
import type { Corners } from '../../shared-core/geometry/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { unpackProject } from '../../main/files/plan-file';

const demo = (): Document => {
  const read = unpackProject(new Uint8Array(readFileSync(new URL('../../assets/demo/cider-works.lockstead', import.meta.url))), 'demo');
  if (!read.ok) throw new Error(read.problem.what);
  return read.value.document;
};
const at = (x: number, y: number): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
const flat = { blob: 'f'.repeat(64), media: 'image/png' } as const;

/** The slant: how far each corner of the sheet was pushed in, as a share of its width and height. */
const slants = fc.tuple(...Array.from({ length: 8 }, () => fc.double({ min: 0, max: 0.12, noNaN: true })));

describe('a photographed plan made flat with its marks', () => {
  let works: Document; let sheet: Sheet;
  beforeEach(() => { works = demo(); sheet = works.sheets[0]!; });

  /** Corners of the whole sheet as they would be seen at a slant, and the sides they stand for. */
  const cornersOf = (slant: readonly number[]): Corners => {
    const { width, height } = sheet;
    const [a, b, c, d, e, f, g, h] = slant.map((s, i) => s * (i % 2 === 0 ? width : height));
    return [{ x: a!, y: b! }, { x: width - c!, y: d! }, { x: width - e!, y: height - f! }, { x: g!, y: height - h! }];
  };
  const squaringOf = (slant: readonly number[]) => {
    const outcome = planSquaring(sheet.plan!, cornersOf(slant), { across: sheet.width, down: sheet.height });
    if (!outcome.ok) throw new Error(outcome.fault);
    return outcome.squaring;
  };
  const madeFlat = (slant: readonly number[], sides: StatedSides = null): Document => {
    const made = squarePlan(works, 'made flat', sheet.id, squaringOf(slant), sides, flat);
    if (!made.ok) throw new Error(made.mark.id);
    return applyEdit(works, made.edit);
  };
  const placeOf = (document: Document, id: string): Point | null => { const e: Entity | undefined = document.entities[id]; return e && 'at' in e ? e.at : null; };

  it('keeps every mark on its place of the picture, and can be taken back and made again', () => {
    fc.assert(fc.property(slants, (slant) => {
      const now = madeFlat(slant);
      expect(readDocument(JSON.parse(JSON.stringify(now))).ok).toBe(true);
      const { plan } = now.sheets[0]!;
      const map = squaringOf(slant).map;
      for (const id of Object.keys(works.entities)) {
        const [before, after] = [placeOf(works, id), placeOf(now, id)];
        if (!before || !after || works.entities[id]?.kind === 'disconnect') continue;
        const there = applyHomography(map, before);
        expect(Math.hypot(there.x - after.x, there.y - after.y)).toBeLessThan(1e-6);
        const [back] = toPhotograph(plan!, [after]);
        expect(Math.hypot(back!.x - before.x, back!.y - before.y)).toBeLessThan(1e-6);
      }
      const taken = unsquarePlan(now, 'as photographed', sheet.id);
      if (!taken.ok) throw new Error('lost a mark');
      const again = applyEdit(now, taken.edit);
      expect(again.sheets[0]?.plan).toEqual(sheet.plan);
      for (const id of Object.keys(works.entities)) {
        const [before, after] = [placeOf(works, id), placeOf(again, id)];
        // What hangs on a wall goes with the wall's thickness in feet, and the scale was fitted anew to the photograph in between.
        if (before && after) expect(Math.hypot(before.x - after.x, before.y - after.y)).toBeLessThan(works.entities[id]?.kind === 'disconnect' ? 3 : 1e-5);
      }
      expect(applyEdit(again, invertEdit(taken.edit))).toEqual(now);
    }), { numRuns: 25 });
  });

  // A photograph of a sheet, made flat, is that sheet again: verdicts and distances of the flat works are the outside truth.
  it('gives the verdicts and distances of the plan that was photographed', () => {
    const before = auditDocument(works);
    const whole = { minX: 0, minY: 0, maxX: sheet.width, maxY: sheet.height };
    for (const slant of [[0.02, 0.03, 0.05, 0.01, 0, 0, 0.04, 0.02], [0.1, 0.08, 0, 0.02, 0.03, 0, 0.09, 0.1]]) {
      // The works as if marked on a photograph: taken back to one whose corners are known.
      const corners = cornersOf(slant).map(({ x, y }) => at(x, y)) as unknown as readonly [Point, Point, Point, Point];
      const posed: Document = { ...works, sheets: works.sheets.map((s) => (s.id === sheet.id ? { ...s, plan: { ...s.plan!, squared: { original: s.plan!, corners, box: whole, sides: 'building', within: 1, uncertainty: 0 } } } : s)) };
      const shot = unsquarePlan(posed, '', sheet.id);
      if (!shot.ok) throw new Error('lost a mark');
      const photographed = applyEdit(posed, shot.edit);
      expect(Math.hypot(placeOf(photographed, 'disconnect-ds-01')!.x - placeOf(works, 'disconnect-ds-01')!.x, placeOf(photographed, 'disconnect-ds-01')!.y - placeOf(works, 'disconnect-ds-01')!.y)).toBeGreaterThan(20);
      const perUnit = sheet.scale!.feetPerUnit;
      const sides = { of: 'building', across: { length: feet(sheet.width * perUnit), typed: '' }, down: { length: feet(sheet.height * perUnit), typed: '' } } as const;
      const made = squarePlan(photographed, '', sheet.id, squaringOf(slant), sides, flat);
      if (!made.ok) throw new Error('lost a mark');
      const now = applyEdit(photographed, made.edit);
      const sure = { ...now, sheets: now.sheets.map((s) => ({ ...s, scale: { ...s.scale!, relativeUncertainty: sheet.scale!.relativeUncertainty } })) };
      const after = auditDocument(sure);
      expect(after.deviceVerdicts).toEqual(before.deviceVerdicts);
      before.pairs.forEach((pair) => {
        const same = after.pairs.find((p) => p.disconnect === pair.disconnect && p.load === pair.load && p.target === pair.target);
        expect(Math.abs((same?.distance ?? Number.NaN) - pair.distance!), pair.disconnect).toBeLessThan(0.02);
      });
    }
  });

  it('with sides of the building has its scale in two directions, with the doubt of the lens in every distance', () => {
    const sides = { of: 'building', across: { length: feet(120), typed: '120' }, down: { length: feet(120 * sheet.height / sheet.width), typed: 'down' } } as const;
    const { scale, plan } = madeFlat([0.05, 0.02, 0.08, 0, 0.01, 0.03, 0, 0.06], sides).sheets[0]!;
    expect(scale?.from).toMatchObject({ kind: 'picks' });
    const [across, down] = scale?.from.kind === 'picks' ? scale.from.picks : [];
    expect(planDistance(across!.from, across!.to) / planDistance(down!.from, down!.to)).toBeCloseTo(sheet.width / sheet.height, 9);
    expect(scale!.relativeUncertainty).toBeGreaterThan(0.01);
    expect(viewOf(plan!)[8]).not.toBe(1);
  });

  it('with sides of the paper takes a drawing scale, which without known sides holds no longer', () => {
    const stated = scaleFromDrawing('1/4" = 1\'-0"', 48, 100, 0.005, sheetUnits(1));
    if (!stated.ok) throw new Error(stated.reason);
    works = { ...works, sheets: works.sheets.map((s) => (s.id === sheet.id ? { ...s, scale: stated.scale } : s)) };
    const slant = [0.05, 0.02, 0.08, 0, 0.01, 0.03, 0, 0.06];
    const inches = 36;
    const now = madeFlat(slant, { of: 'paper', across: { length: feet(inches / 12), typed: '36"' }, down: { length: feet((inches / 12) * sheet.height / sheet.width), typed: '' } }).sheets[0]!;
    // 36 in of paper at 48 times their size are 144 ft.
    expect((now.plan!.squared!.box.maxX - now.plan!.squared!.box.minX) * now.scale!.feetPerUnit).toBeCloseTo(144, 9);
    expect(now.scale).toMatchObject({ from: { kind: 'stated', typed: '1/4" = 1\'-0"' } });
    expect(now.scale!.relativeUncertainty).toBeGreaterThan(0.01);
    expect(madeFlat(slant).sheets[0]!.scale).toBeNull();
  });

  it('without known sides doubts its shape until lengths were picked in two directions', () => {
    const { plan } = madeFlat([0.05, 0.02, 0.08, 0, 0.01, 0.03, 0, 0.06]).sheets[0]!;
    const pick = (to: Point, length: number) => ({ from: at(0, 0), to, length: feet(length), typed: '' });
    const one = [pick(at(900, 0), 90)];
    const two = [...one, pick(at(0, 900), 90)];
    expect(shapeUncertainty(plan, one)).toBeGreaterThan(0.05);
    expect(shapeUncertainty(plan, two)).toBeLessThan(0.03);
    const scaled = scaleFromPicks(one, sheetUnits(0), shapeUncertainty(plan, one));
    expect(scaled.ok && scaled.scale.relativeUncertainty).toBeGreaterThan(0.05);
  });

  it('that was only read off the slant is offered the shape that lengths picked in two directions give', () => {
    const slant = [0.05, 0.02, 0.08, 0, 0.01, 0.03, 0, 0.06];
    const guessed = planSquaring(sheet.plan!, cornersOf(slant), { across: sheet.width * 1.07, down: sheet.height });
    if (!guessed.ok) throw new Error(guessed.fault);
    const wrong = squarePlan(works, '', sheet.id, guessed.squaring, null, flat);
    if (!wrong.ok) throw new Error('lost a mark');
    const { plan } = applyEdit(works, wrong.edit).sheets[0]!;
    const { minX, minY, maxX, maxY } = plan!.squared!.box;
    // The rectangle is as wide as the sheet and as high, whatever the slant feigned.
    const picks = [{ from: at(minX, minY), to: at(maxX, minY), length: feet(sheet.width), typed: '' }, { from: at(minX, minY), to: at(minX, maxY), length: feet(sheet.height), typed: '' }];
    const mended = mendedShape(plan!, picks, 1)!;
    expect(mended.off).toBeCloseTo(0.07, 9);
    expect((mended.squaring.box.maxX - mended.squaring.box.minX) / (mended.squaring.box.maxY - mended.squaring.box.minY)).toBeCloseTo(sheet.width / sheet.height, 9);
    expect(mendedShape(plan!, picks.slice(1), 1)).toBeNull();
    expect(mendedShape({ ...plan!, squared: { ...plan!.squared!, sides: 'building' } }, picks, 1)).toBeNull();
  });

  it('takes sides that are stated anew instead of those stated before', () => {
    const slant = [0.05, 0.02, 0.08, 0, 0.01, 0.03, 0, 0.06];
    const sidesOf = (across: number, down: number) => ({ of: 'building', across: { length: feet(across), typed: 'a' }, down: { length: feet(down), typed: 'd' } } as const);
    const first = madeFlat(slant, sidesOf(100, 70));
    const again = squarePlan(first, '', sheet.id, squaringOf(slant), sidesOf(120, 120 * sheet.height / sheet.width), flat);
    if (!again.ok) throw new Error('lost a mark');
    const picksOf = (document: Document) => { const { scale } = document.sheets[0]!; return scale?.from.kind === 'picks' ? scale.from.picks : []; };
    expect(picksOf(applyEdit(first, again.edit))).toHaveLength(picksOf(first).length);
    expect(picksOf(applyEdit(first, again.edit))[0]?.length).toBe(120);
  });

  it('trusts corners close together, or pointed at from far away, less than others', () => {
    const size = { width: 4000, height: 3000 };
    const uncertaintyOf = (inset: number, pointed = 0): number => {
      const outcome = planSquaring(size, [{ x: inset, y: inset }, { x: 4000 - inset, y: inset * 1.1 }, { x: 4000 - inset, y: 3000 - inset }, { x: inset * 1.1, y: 3000 - inset }], { across: 4, down: 3 }, 1, pointed);
      return outcome.ok ? outcome.squaring.uncertainty : Number.NaN;
    };
    expect(uncertaintyOf(100)).toBeLessThan(0.012);
    expect(uncertaintyOf(1000)).toBeGreaterThan(uncertaintyOf(100));
    expect(uncertaintyOf(1380)).toBeGreaterThan(0.05);
    expect(uncertaintyOf(100, 15)).toBeGreaterThan(1.2 * uncertaintyOf(100));
  });

  it('never asks for a picture larger than can be worked on, however slanted', () => {
    fc.assert(fc.property(fc.tuple(...Array.from({ length: 8 }, () => fc.double({ min: 0, max: 0.42, noNaN: true }))), fc.constantFrom([4000, 3000], [14400, 9600], [640, 480]), (slant, [width = 1, height = 1]) => {
      const [a, b, c, d, e, f, g, h] = slant.map((s, i) => s * (i % 2 === 0 ? width : height));
      const outcome = planSquaring({ width, height }, [{ x: a!, y: b! }, { x: width - c!, y: d! }, { x: width - e!, y: height - f! }, { x: g!, y: height - h! }], null);
      if (!outcome.ok) return;
      expect(outcome.squaring.width * outcome.squaring.height).toBeLessThan(81e6);
      expect(outcome.squaring.width * outcome.squaring.height).toBeLessThan(3.1 * width * height + 3 * (width + height));
    }));
  });
});
