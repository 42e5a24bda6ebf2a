import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { finish, leastCover, placesFor, suggestDisconnects, suggestPlace } from '../../shared-core/advise/index';
import { createChecker } from '../../shared-core/checks/index';
import type { Disconnect, Document, Entity } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, load, machine, plan, point, rect, wall } from './checks-plan';

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
