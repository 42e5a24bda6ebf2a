import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applySimilarity } from '../../shared-core/geometry/index';
import type { Similarity } from '../../shared-core/geometry/index';
import { compareFindings, compareInk, fitSimilarity, INK } from '../../shared-core/revision/index';
import type { Finding, Fit, PointPair } from '../../shared-core/revision/index';

const place = fc.record({ x: fc.double({ min: -5000, max: 5000, noNaN: true }), y: fc.double({ min: -5000, max: 5000, noNaN: true }) });
const lay: fc.Arbitrary<Similarity> = fc.record({ scale: fc.double({ min: 0.05, max: 20, noNaN: true }), turn: fc.double({ min: -179.9, max: 179.9, noNaN: true }), x: fc.double({ min: -5000, max: 5000, noNaN: true }), y: fc.double({ min: -5000, max: 5000, noNaN: true }) });
/** Points that are not all in one spot. */
const places = fc.array(place, { minLength: 2, maxLength: 12 }).filter((ps) => ps.some((p) => Math.hypot(p.x - ps[0]!.x, p.y - ps[0]!.y) > 500));
const fitted = (pairs: readonly PointPair[], precision = 0.01): Fit => { const outcome = fitSimilarity(pairs, precision); if (!outcome.ok) throw new Error(outcome.reason); return outcome.fit; };
const sum = (rs: readonly number[]): number => rs.reduce((a, r) => a + r * r, 0);
const turnBetween = (a: number, b: number): number => Math.abs(((a - b + 540) % 360) - 180);

describe('laying a plan by point pairs', () => {
  it('finds the transform the pairs were made with, wherever they lie', () => {
    fc.assert(fc.property(places, lay, fc.double({ min: -1e7, max: 1e7, noNaN: true }), (ps, made, off) => {
      const pairs = ps.map((p) => ({ picture: { x: p.x + off, y: p.y - off }, sheet: applySimilarity(made, p) }));
      const { lay: found, worst } = fitted(pairs);
      const size = made.scale * 1e4;
      expect(Math.abs(found.scale / made.scale - 1)).toBeLessThan(1e-8);
      expect(turnBetween(found.turn, made.turn)).toBeLessThan(1e-6);
      expect(worst).toBeLessThan(1e-8 * size);
      pairs.forEach(({ picture, sheet }) => { const at = applySimilarity(found, picture); expect(Math.hypot(at.x - sheet.x, at.y - sheet.y)).toBeLessThan(1e-6 * size); });
    }));
  });

  it('no other scale, turn or shift near by has a smaller sum of squares', () => {
    fc.assert(fc.property(places, lay, fc.array(fc.record({ x: fc.double({ min: -30, max: 30, noNaN: true }), y: fc.double({ min: -30, max: 30, noNaN: true }) }), { minLength: 12, maxLength: 12 }),
      fc.tuple(...[0, 1, 2, 3].map(() => fc.double({ min: -1, max: 1, noNaN: true }))), (ps, made, noise, by) => {
        const pairs = ps.map((p, i) => { const at = applySimilarity(made, p); return { picture: p, sheet: { x: at.x + noise[i]!.x * made.scale, y: at.y + noise[i]!.y * made.scale } }; });
        const { lay: best, residuals } = fitted(pairs);
        const other: Similarity = { scale: best.scale * (1 + 0.01 * by[0]!), turn: best.turn + by[1]!, x: best.x + 10 * by[2]!, y: best.y + 10 * by[3]! };
        const others = pairs.map(({ picture, sheet }) => { const at = applySimilarity(other, picture); return Math.hypot(at.x - sheet.x, at.y - sheet.y); });
        expect(sum(residuals)).toBeLessThanOrEqual(sum(others) * (1 + 1e-9) + 1e-9);
      }));
  });

  it('the order of the pairs, and turning or enlarging the sheet, change no residual but by that scale', () => {
    fc.assert(fc.property(places.filter((ps) => ps.length > 2), lay, fc.array(place, { minLength: 12, maxLength: 12 }), (ps, frame, noise) => {
      const pairs = ps.map((p, i) => ({ picture: p, sheet: { x: p.x + noise[i]!.x / 200, y: p.y + noise[i]!.y / 200 } }));
      const plain = fitted(pairs);
      const back = fitted([...pairs].reverse());
      const moved = fitted(pairs.map(({ picture, sheet }) => ({ picture, sheet: applySimilarity(frame, sheet) })), 0.01 * frame.scale);
      plain.residuals.forEach((r, i) => {
        expect(back.residuals[plain.residuals.length - 1 - i]).toBeCloseTo(r, 6);
        expect(moved.residuals[i]! / frame.scale).toBeCloseTo(r, 5);
      });
      expect(moved.relativeUncertainty).toBeCloseTo(plain.relativeUncertainty, 6);
    }));
  });

  it('one pair moved far away among five is the one pointed at', () => {
    const corners = [{ x: 0, y: 0 }, { x: 3000, y: 0 }, { x: 3000, y: 2000 }, { x: 0, y: 2000 }, { x: 1400, y: 900 }];
    fc.assert(fc.property(lay, fc.integer({ min: 0, max: 4 }), fc.double({ min: 0, max: 6.28, noNaN: true }), fc.double({ min: 60, max: 900, noNaN: true }), (made, bad, angle, by) => {
      const pairs = corners.map((p, i) => { const at = applySimilarity(made, p); return { picture: p, sheet: i === bad ? { x: at.x + by * made.scale * Math.cos(angle), y: at.y + by * made.scale * Math.sin(angle) } : at }; });
      const { agreement } = fitted(pairs, made.scale);
      expect(agreement).toMatchObject({ kind: 'one-off', pair: bad });
      expect(agreement.kind === 'one-off' && agreement.off / made.scale).toBeCloseTo(by, 5);
    }));
  });
});

const verdict = fc.constantFrom('pass' as const, 'marginal' as const, 'fail' as const, 'judgement' as const, 'incomplete' as const);
const finding: fc.Arbitrary<Finding> = fc.record({ id: fc.integer({ min: 0, max: 12 }).map((n) => `sight/${n}`), verdict, title: fc.string(), others: fc.array(fc.constantFrom('wall-1', 'wall-2'), { maxLength: 2 }) })
  .map(({ id, verdict: v, title, others }) => ({ id, check: 'sight.motor', subject: { others }, verdict: v, title, missing: [] }));
const audit = fc.uniqueArray(finding, { maxLength: 12, selector: (f) => f.id });

describe('two audits beside each other', () => {
  it('count up: what was open, less what went, with what appeared, is what is open', () => {
    fc.assert(fc.property(audit, audit, (before, after) => {
      const { appeared, went, changed } = compareFindings(before, after);
      const open = (fs: readonly Finding[]): number => fs.filter((f) => f.verdict !== 'pass').length;
      expect(open(before) - went.length + appeared.length).toBe(open(after));
      const ids = [...appeared.map((f) => f.id), ...went.map((w) => w.before.id), ...changed.map((c) => c.after.id)];
      expect(new Set(ids).size).toBe(ids.length);
    }));
  });
  it('an audit has no difference to itself under other words, and backwards what appeared went', () => {
    fc.assert(fc.property(audit, audit, (before, after) => {
      expect(compareFindings(before, before.map((f) => ({ ...f, title: `${f.title}!`, subject: { others: [...(f.subject.others ?? [])].reverse() } })))).toEqual({ appeared: [], went: [], changed: [] });
      const there = compareFindings(before, after); const back = compareFindings(after, before);
      expect(back.went.map((w) => w.before.id).sort()).toEqual(there.appeared.map((f) => f.id).sort());
      expect(back.changed.map((c) => c.after.id).sort()).toEqual(there.changed.map((c) => c.after.id).sort());
    }));
  });
});

describe('two pictures of one sheet', () => {
  const options = { tolerance: 2, cell: 8, dirt: 4 };
  const bars = fc.array(fc.record({ x: fc.integer({ min: 4, max: 150 }), y: fc.integer({ min: 4, max: 110 }), length: fc.integer({ min: 12, max: 60 }), upright: fc.boolean(), grey: fc.integer({ min: 0, max: 90 }) }), { maxLength: 12 });
  type Bars = typeof bars extends fc.Arbitrary<infer B> ? B : never;
  function drawn(list: Bars, dx = 0, dy = 0) {
    const width = 220; const height = 180;
    const greys = new Uint8Array(width * height).fill(240);
    for (const b of list) for (let s = 0; s < b.length; s += 1) for (let t = 0; t < 3; t += 1) {
      const x = b.x + dx + (b.upright ? t : s); const y = b.y + dy + (b.upright ? s : t);
      if (x >= 0 && y >= 0 && x < width && y < height) greys[y * width + x] = b.grey;
    }
    return { width, height, greys };
  }
  it('the same drawing, also shifted within the tolerance, shows no change', () => {
    fc.assert(fc.property(bars, fc.integer({ min: -2, max: 2 }), fc.integer({ min: -2, max: 2 }), (list, dx, dy) => {
      const { patches, cells } = compareInk(drawn(list), drawn(list, dx, dy), options);
      expect(patches).toEqual([]); expect(cells).toEqual([]);
    }), { numRuns: 60 });
  });
  it('the other way round, what was gone is new', () => {
    fc.assert(fc.property(bars, bars, (a, b) => {
      const there = compareInk(drawn(a), drawn(b), options); const back = compareInk(drawn(b), drawn(a), options);
      const count = (ink: Uint8Array, what: number): number => ink.reduce((n, i) => (i === what ? n + 1 : n), 0);
      expect(count(there.ink, INK.gone)).toBe(count(back.ink, INK.fresh));
      expect(there.patches.map((p) => [p.minX, p.minY, p.gone, p.fresh]).sort()).toEqual(back.patches.map((p) => [p.minX, p.minY, p.fresh, p.gone]).sort());
    }), { numRuns: 40 });
  });
});
