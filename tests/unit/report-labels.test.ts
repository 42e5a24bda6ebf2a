import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crossesBox, placeLabels } from '../../shared-core/report/index';
import type { Box, LabelRequest, LabelRoom, PlacedLabel } from '../../shared-core/report/index';

const room: LabelRoom = { bounds: { x: 0, y: 0, width: 400, height: 300 }, keepClear: [], gap: 2 };
const overlap = (a: Box, b: Box): boolean => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
const symbol = (x: number, y: number): Box => ({ x: x - 8, y: y - 8, width: 16, height: 16 });

/** What the placing promises, checked without its index. */
function faults(placed: readonly PlacedLabel[], where: LabelRoom): string[] {
  const found: string[] = [];
  placed.forEach((a, i) => {
    const { bounds } = where;
    if (a.box.x < bounds.x || a.box.y < bounds.y || a.box.x + a.box.width > bounds.x + bounds.width || a.box.y + a.box.height > bounds.y + bounds.height) found.push(`${a.id} leaves the bounds`);
    for (const s of where.keepClear) if (overlap(a.box, s)) found.push(`${a.id} covers a symbol`);
    placed.forEach((b, j) => {
      if (j > i && overlap(a.box, b.box)) found.push(`${a.id} covers ${b.id}`);
      if (j !== i && b.leader && crossesBox(b.leader, a.box)) found.push(`the leader of ${b.id} runs through ${a.id}`);
    });
  });
  return found;
}

describe('label placing', () => {
  it('sets a lone label to the right of its symbol, without a leader', () => {
    const plan = placeLabels([{ id: 'a', width: 40, height: 12, beside: { at: [100, 100], clear: 8 } }], { ...room, keepClear: [symbol(100, 100)] });
    expect(plan).toEqual({ placed: [{ id: 'a', box: { x: 110, y: 94, width: 40, height: 12 }, leader: null }], omitted: [] });
  });

  it('centres a distance on its line and slides it along when the middle is taken', () => {
    const beside = { from: [0, 100], to: [300, 100] } as const;
    const free = placeLabels([{ id: 'd', width: 40, height: 12, beside }], room);
    expect(free.placed[0]?.box).toMatchObject({ x: 130, y: 94 });
    const taken = placeLabels([{ id: 'd', width: 40, height: 12, beside }], { ...room, keepClear: [symbol(150, 100)] });
    expect(taken.placed[0]?.box.y).toBe(94);
    expect(taken.placed[0]?.leader).toBeNull();
  });

  it('keeps the label of what the reader sees inside what is seen, also by a leader, and lets others be', () => {
    const where = { ...room, seen: { x: 100, y: 0, width: 300, height: 300 } };
    const left = symbol(112, 150);
    // Right and left of it is taken or cut off: above is free.
    const [label] = placeLabels([{ id: 'a', width: 60, height: 12, beside: { at: [112, 150], clear: 8 } }], { ...where, keepClear: [left, { x: 122, y: 140, width: 100, height: 20 }] }).placed;
    expect(label?.box.x).toBeGreaterThanOrEqual(100);
    const [outside] = placeLabels([{ id: 'b', width: 60, height: 12, beside: { at: [60, 150], clear: 8 } }], { ...where, keepClear: [symbol(60, 150)] }).placed;
    expect(outside).toMatchObject({ box: { x: 70 }, leader: null });
  });

  it('moves a label out on a leader before it covers anything', () => {
    const crowd = Array.from({ length: 5 }, (_, i) => symbol(100 + 18 * (i - 2), 100)).concat(Array.from({ length: 5 }, (_, i) => symbol(100 + 18 * (i - 2), 82)), Array.from({ length: 5 }, (_, i) => symbol(100 + 18 * (i - 2), 118)));
    const plan = placeLabels([{ id: 'a', width: 40, height: 12, beside: { at: [46, 100], clear: 8 } }, { id: 'b', width: 40, height: 12, beside: { at: [64, 82], clear: 8 } }], { ...room, keepClear: crowd });
    expect(faults(plan.placed, { ...room, keepClear: crowd })).toEqual([]);
    expect(plan.placed.find((p) => p.id === 'b')).toBeDefined();
  });

  it('stays on the side it is asked to, as long as that is free', () => {
    const at = (towards: readonly [number, number]) => placeLabels([{ id: 'a', width: 40, height: 12, beside: { at: [100, 100], clear: 8, towards } }], { ...room, keepClear: [symbol(100, 100)] }).placed[0]?.box;
    expect(at([-1, 0])?.x).toBeLessThan(60);
    expect(at([0, 1])?.y).toBeGreaterThan(100);
    expect(at([0, -1])?.y).toBeLessThan(90);
  });

  it('keeps off what the plan itself has written', () => {
    const words: Box = { x: 108, y: 90, width: 60, height: 20 };
    const share = (b: Box): number => (overlap(b, words) ? 0.5 : 0);
    const plan = placeLabels([{ id: 'a', width: 40, height: 12, beside: { at: [100, 100], clear: 8 } }], { ...room, keepClear: [symbol(100, 100)], crowding: share });
    expect(overlap(plan.placed[0]?.box ?? words, words)).toBe(false);
  });

  it('says which label found no place instead of smearing it', () => {
    const plan = placeLabels([{ id: 'a', width: 500, height: 12, beside: { at: [100, 100], clear: 8 } }], room);
    expect(plan).toEqual({ placed: [], omitted: ['a'] });
  });

  it('refuses a label without a size', () => {
    expect(() => placeLabels([{ id: 'a', width: 0, height: 12, beside: { at: [1, 1], clear: 1 } }], room)).toThrow(RangeError);
  });

  it('never lets labels, symbols or leaders collide, and answers the same every time', () => {
    const spot = fc.tuple(fc.integer({ min: 20, max: 380 }), fc.integer({ min: 20, max: 280 }));
    fc.assert(fc.property(fc.array(spot, { minLength: 1, maxLength: 40 }), (spots) => {
      const keepClear = spots.map(([x, y]) => symbol(x, y));
      const where = { ...room, keepClear };
      const requests: LabelRequest[] = spots.map(([x, y], i) => (i % 3 === 2 && spots[i - 1]
        ? { id: `d${i}`, width: 34, height: 10, beside: { from: [x, y], to: spots[i - 1] as [number, number] } }
        : { id: `t${i}`, width: 30 + (i % 4) * 9, height: 10, beside: { at: [x, y], clear: 8 }, rank: i % 2 }));
      const plan = placeLabels(requests, where);
      expect(faults(plan.placed, where)).toEqual([]);
      expect(plan.placed.length + plan.omitted.length).toBe(requests.length);
      expect(placeLabels(requests, where)).toEqual(plan);
    }), { numRuns: 150 });
  });
});
