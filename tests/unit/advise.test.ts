import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { finish, leastCover, placesFor, suggestDisconnects, suggestPlace } from '../../shared-core/advise/index';
import { createChecker } from '../../shared-core/checks/index';
import type { Disconnect, Document, Entity } from '../../shared-core/document/index';
import { cutRegions, outlinesContain, overlapSets } from '../../shared-core/geometry/index';
import type { Outline } from '../../shared-core/geometry/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, load, machine, opening, plan, point, rect, wall } from './checks-plan';

const room = wall('R', [[0, 0], [60, 0], [60, 40], [0, 40], [0, 0]], { thickness: feet(0.5), face: 'grounded' });
const tank = block('T', rect(25, 10, 35, 30), 0, 9);
const M = load('M-1', [10, 20, 2]);
const DS = disconnect('DS', [50, 20, 5], ['M-1']);
const document = plan([room, tank, M, DS]);
const moved = (place: { at: Disconnect['at']; mount: Disconnect['mount']; facing: number }): Disconnect => ({ ...DS, ...place });

describe('places for one disconnect', () => {
  const checker = createChecker(document);
  const places = placesFor(checker, DS);
  it('the region is where the pair check passes, tried at random places', () => {
    fc.assert(fc.property(fc.double({ min: 1, max: 59, noNaN: true }), fc.double({ min: 1, max: 39, noNaN: true }), (x, y) => {
      const pair = checker.pairsOf({ ...DS, at: point(x, y) })[0];
      const near = places.region.outlines.flat().some((e) => Math.hypot(e.x1 - x, e.y1 - y) < 1e-3);
      return near || places.region.contains(x, y) === (pair?.viewVerdict === 'pass' && pair.distanceVerdict === 'pass');
    }), { numRuns: 300 });
  });
  it('every point of a stretch passes and has room in front', () => {
    expect(places.stretches.length).toBeGreaterThan(2);
    for (const stretch of places.stretches) {
      for (const share of [0.01, 0.5, 0.99]) {
        const at = { x: sheetUnits(stretch.from.x + (stretch.to.x - stretch.from.x) * share), y: sheetUnits(stretch.from.y + (stretch.to.y - stretch.from.y) * share) };
        const here = moved({ at, mount: { wall: stretch.wall, segment: stretch.segment }, facing: stretch.facing });
        expect(checker.pairsOf(here)[0]?.verdict).toBe('pass');
        expect(checker.roomAt(here)?.free).toBe(true);
      }
    }
  });
  it('is empty while a load is not placed or the sheet has no scale', () => {
    expect(placesFor(createChecker(plan([room, { ...M, at: null }, DS])), DS).region.isEmpty).toBe(true);
    expect(placesFor(createChecker(plan([room, M, DS], {}, null)), DS).region.isEmpty).toBe(true);
  });
  it('a load with a body of unknown height still has a region, and it stays out of the body', () => {
    const big = load('M-1', [10, 20, 2], { kind: 'hermetic' }, { outline: rect(8, 18, 12, 22) });
    const region = placesFor(createChecker(plan([room, big, DS])), { ...DS, handleHeight: feet(3) }).region;
    expect(region.isEmpty).toBe(false);
    expect([region.contains(5, 20), region.contains(10, 20)]).toEqual([true, false]);
  });
});

describe('the best place', () => {
  const suggestion = finish(suggestPlace(document, DS.id));
  it('passes its checks, hangs on a wall, and shows what it is scored by', () => {
    const best = suggestion.places[0];
    if (!best) throw new Error('nothing suggested');
    expect(best.mount?.wall).toBe('wall-R');
    expect(best.score.terms.map((t) => t.name)).toEqual(['distance', 'sight-margin', 'route', 'clear-space', 'height']);
    expect(best.reason).toContain('M-1 at');
    const after: Document = { ...document, entities: { ...document.entities, [DS.id]: moved(best) } };
    const checker = createChecker(after);
    expect(checker.checkAll().map((p) => p.verdict)).toEqual(['pass']);
    expect(checker.placeResultsOf(moved(best)).filter((r) => r.check.startsWith('space') || r.check.startsWith('reach')).map((r) => r.verdict)).not.toContain('fail');
  });
  it('is the same every run, and follows the weights', () => {
    expect(finish(suggestPlace(document, DS.id))).toEqual(suggestion);
    const near = finish(suggestPlace(document, DS.id, { distance: 1, 'sight-margin': 0, route: 0, 'clear-space': 0, height: 0 })).places[0];
    expect(near?.score.terms[0]?.value).toBeLessThanOrEqual(suggestion.places[0]?.score.terms[0]?.value ?? 0);
  });
  it('is not promised while a new plan under its load waits to be looked over, and says so', () => {
    const touched: Document = { ...document, sheets: document.sheets.map((s) => ({ ...s, toLookOver: [M.id] })) };
    const found = finish(suggestPlace(touched, DS.id));
    expect(found.places).toEqual([]);
    expect(found.notes.join()).toContain('look at M-1 on the new plan');
    expect(finish(suggestDisconnects(touched, [M.id])).without[0]?.why).toContain('look at M-1 on the new plan');
  });
  it('can be stopped at any step', () => {
    const work = suggestPlace(document, DS.id);
    expect(work.next().done).toBe(false);
    expect(work.return({ disconnect: DS.id, places: [], found: [], feetPerUnit: 1, tried: 0, notes: [] }).done).toBe(true);
  });
  it('without a wall it offers a stand and says so; behind everything it says that there is none', () => {
    const open = finish(suggestPlace(plan([M, DS]), DS.id));
    expect(open.places[0]?.mount).toBeNull();
    expect(open.notes.join()).toContain('stand');
    const boxed = finish(suggestPlace(plan([wall('B', [[9, 19], [11, 19], [11, 21], [9, 21], [9, 19]]), M, DS]), DS.id));
    expect(boxed.places).toEqual([]);
  });
});

describe('fewest disconnects', () => {
  const mc = machine('MC-1', [20, 20, 2]);
  const four = (more = {}): Entity[] => [load('a', [11, 11, 2], undefined, more), load('b', [14, 11, 2], undefined, more), load('c', [12, 15, 2], undefined, more), load('d', [15, 15, 2], undefined, more)];
  const ids = ['load-a', 'load-b', 'load-c', 'load-d'];
  it('motors of one machine get one, in sight of all', () => {
    const found = finish(suggestDisconnects(plan([room, mc, ...four({ machine: mc.id })]), ids));
    expect(found.disconnects.map((d) => d.serves.length)).toEqual([4]);
    expect([found.proved, found.atLeast]).toEqual([true, 1]);
    expect(found.disconnects[0]?.reason).toContain('parts of one machine');
  });
  it('motors with nothing in common get one each', () => {
    const found = finish(suggestDisconnects(plan([room, ...four()]), ids));
    expect(found.disconnects.map((d) => d.serves.length)).toEqual([1, 1, 1, 1]);
    expect(found.disconnects.every((d) => d.place !== null)).toBe(true);
  });
  it('a wall between them makes it two', () => {
    const split = wall('S', [[13, 0], [13, 40]], { thickness: feet(0.5), face: 'grounded' });
    const data = { kind: 'motor', conditions: ['one-overcurrent-device'] } as const;
    const halves = [load('a', [6, 11, 2], data), load('b', [20, 11, 2], data), load('c', [6, 15, 2], data), load('d', [20, 15, 2], data)];
    const found = finish(suggestDisconnects(plan([room, split, ...halves]), ids));
    expect(found.disconnects.map((d) => d.serves).sort()).toEqual([['load-a', 'load-c'], ['load-b', 'load-d']]);
    expect([found.proved, found.atLeast]).toEqual([true, 2]);
  });
});

describe('which loads can be seen together', () => {
  // Two motors behind a wall, each with its own wide doorway; only a strip of the far wall a few inches long sees both.
  const strip = (b: number, more: Entity[] = []): Document => plan([
    wall('far', [[0, 20.25], [60, 20.25]], { thickness: feet(0.5), face: 'grounded' }), wall('between', [[25, -10], [25, 10]]),
    wall('near', [[0, 10], [60, 10]], { openings: [opening(10, 14.9, 'none', { id: 'o1', head: feet(10) }), opening(b, 45, 'none', { id: 'o2', head: feet(10) })] }),
    wall('ends', [[0, 20], [0, -10], [60, -10], [60, 20]]),
    load('a', [10, 5, 2], { kind: 'motor', conditions: ['one-overcurrent-device'] }), load('b', [40, 5, 2], { kind: 'motor', conditions: ['one-overcurrent-device'] }), ...more]);
  const ids = ['load-a', 'load-b'];
  it('a strip far narrower than a stride is found, where places two feet apart would miss it', () => {
    const found = finish(suggestDisconnects(strip(34.8), ids));
    expect([found.disconnects.map((d) => d.serves), found.atLeast, found.proved]).toEqual([[ids], 1, true]);
    expect(found.disconnects[0]?.place.at.x).toBeGreaterThan(24.3);
    expect(found.disconnects[0]?.place.at.x).toBeLessThan(24.8);
  });
  it('without such a strip two are proved fewest', () => {
    const found = finish(suggestDisconnects(strip(35.2), ids));
    expect([found.disconnects.length, found.atLeast, found.proved]).toEqual([2, 2, true]);
  });
  it('where the strip is seen but has no room, two are found and one is still said to be possible', () => {
    const found = finish(suggestDisconnects(strip(34.8, [block('bench', rect(18, 17, 31, 19.5), 0, 2)]), ids));
    expect([found.disconnects.length, found.atLeast, found.proved]).toEqual([2, 1, false]);
  });
  it('a load may belong to two ways of sharing, and the better one is taken', () => {
    // b shares with a by the overcurrent device or with c and d by their machine: a-b, c-d is as few as a, b-c-d.
    const mc = machine('MC-1', [20, 20, 2]);
    const fused = { kind: 'motor', conditions: ['one-overcurrent-device'] } as const; const driven = { machine: mc.id };
    const four = [load('a', [11, 11, 2], fused), load('b', [14, 11, 2], fused, driven), load('c', [16, 11, 2], undefined, driven), load('d', [18, 11, 2], undefined, driven)];
    const found = finish(suggestDisconnects(plan([room, mc, ...four]), ['load-a', 'load-b', 'load-c', 'load-d']));
    expect([found.disconnects.length, found.proved, found.mayShare]).toEqual([2, true, 4]);
  });
  it('loads without a place are named with the reason, and the others still get theirs', () => {
    const shut = wall('B', [[49, 19], [51, 19], [51, 21], [49, 21], [49, 19]]);
    const found = finish(suggestDisconnects(plan([room, shut, M, load('x', [50, 20, 2]), load('y', [1, 1, 2], undefined, { at: null })]), ['load-M-1', 'load-x', 'load-y']));
    expect(found.disconnects.map((d) => d.serves)).toEqual([['load-M-1']]);
    expect(found.without.map(({ load: id, why }) => [id, why])).toEqual([['load-y', 'y waits to be placed on the sheet.'], ['load-x', expect.stringContaining('has room in front')]]);
    expect([found.atLeast, found.proved]).toEqual([1, true]);
  });
});

describe('which regions lie over each other', () => {
  // Against asking at points: each region's own membership test knows nothing of slabs.
  const box = fc.record({ x: fc.integer({ min: 0, max: 20 }), y: fc.integer({ min: 0, max: 20 }), w: fc.integer({ min: 1, max: 12 }), h: fc.integer({ min: 1, max: 12 }), lean: fc.integer({ min: -3, max: 3 }) });
  const outlineOf = ({ x, y, w, h, lean }: { x: number; y: number; w: number; h: number; lean: number }): Outline => {
    const corners = [[x, y], [x + w, y + lean / 4], [x + w + lean, y + h], [x, y + h + 0.5]] as const;
    return corners.map(([x1, y1], i) => { const [x2, y2] = corners[(i + 1) % 4] ?? [x1, y1]; return { x1, y1, x2, y2 }; });
  };
  const circle = (x: number, y: number, radius: number): Outline => { const arc = { cx: x, cy: y, radius }; return [{ x1: x + radius, y1: y, x2: x - radius, y2: y, arc }, { x1: x - radius, y1: y, x2: x + radius, y2: y, arc }]; };
  it('has every set that points find, and no set without ground', () => {
    fc.assert(fc.property(fc.array(box, { minLength: 1, maxLength: 5 }), fc.integer({ min: 2, max: 9 }), (boxes, radius) => {
      const regions = [...boxes.map((b) => [outlineOf(b)]), [circle(10.3, 9.7, radius)]];
      const sets = new Set(overlapSets(regions).map((set) => set.join(' ')));
      for (let x = -3.917; x < 36; x += 1.31) for (let y = -3.853; y < 36; y += 1.27) {
        const over = regions.flatMap((outlines, i) => (outlinesContain(outlines, x, y) ? [i] : []));
        if (over.length > 0 && !sets.has(over.join(' '))) return false;
      }
      return [...sets].every((set) => { const on = set.split(' ').map(Number); return cutRegions(regions.map((outlines, i) => ({ role: on.includes(i) ? 'keep' as const : 'drop' as const, outlines }))).area > 0; });
    }), { numRuns: 60 });
  });
});

describe('least cover', () => {
  // Against trying every choice of sets: an independent, slower way to the same number.
  const slowest = (count: number, sets: number[][]): number | null => {
    let best: number | null = null;
    for (let pick = 0; pick < 1 << sets.length; pick += 1) {
      const chosen = sets.filter((_, i) => pick & (1 << i));
      if (new Set(chosen.flat()).size === count && (best === null || chosen.length < best)) best = chosen.length;
    }
    return best;
  };
  it('is as small as trying everything finds, and covers', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 7 }).chain((count) => fc.tuple(fc.constant(count), fc.array(fc.uniqueArray(fc.integer({ min: 0, max: count - 1 }), { minLength: 1 }), { maxLength: 8 }))), ([count, sets]) => {
      const cover = leastCover(count, sets);
      if (!cover) return slowest(count, sets) === null;
      return cover.chosen.length === slowest(count, sets) && new Set(cover.chosen.flatMap((i) => sets[i] ?? [])).size === count && cover.atLeast === cover.chosen.length;
    }), { numRuns: 500 });
  });
  it('beyond sixteen the bound is never above what was found', () => {
    fc.assert(fc.property(fc.array(fc.uniqueArray(fc.integer({ min: 0, max: 19 }), { minLength: 1, maxLength: 6 }), { minLength: 5, maxLength: 15 }), (sets) => {
      const cover = leastCover(20, [...sets, ...Array.from({ length: 20 }, (_, i) => [i])]);
      return cover !== null && cover.atLeast <= cover.chosen.length && cover.atLeast >= 1;
    }), { numRuns: 200 });
  });
});
