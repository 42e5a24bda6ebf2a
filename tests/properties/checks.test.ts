import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createChecker } from '../../shared-core/checks/index';
import { checkWorkingSpace } from '../../shared-core/checks/space-results';
import { VERDICT_ORDER } from '../../shared-core/code-data/index';
import type { Verdict } from '../../shared-core/code-data/index';
import type { Disconnect, Document, Entity, Point } from '../../shared-core/document/index';
import { amperes, feet, sheetUnits } from '../../shared-core/units/index';
import { block, disconnect, exactScale, load, opening, plan, rect, wall } from '../unit/checks-plan';

// Seeds are printed by fast-check with each counter-example; every one found becomes a unit test.
const coordinate = fc.integer({ min: 0, max: 240 }).map((n) => n / 4);
const height = fc.integer({ min: 2, max: 40 }).map((n) => n / 4);
const leaf = fc.constantFrom('none' as const, 'closed' as const, 'normally-open' as const, 'glazed' as const);
const aWall = fc.record({ x1: coordinate, y1: coordinate, x2: coordinate, y2: coordinate, top: height, thick: fc.constantFrom(0, 0.5), material: fc.constantFrom('opaque' as const, 'glazed' as const, 'mesh' as const), leaf, door: fc.boolean() })
  .filter((w) => Math.hypot(w.x2 - w.x1, w.y2 - w.y1) > 1)
  .map((w) => (id: string): Entity => wall(id, [[w.x1, w.y1], [w.x2, w.y2]], { thickness: feet(w.thick), top: feet(w.top), material: w.material,
    openings: w.door ? [opening(0.2 * Math.hypot(w.x2 - w.x1, w.y2 - w.y1), 0.6 * Math.hypot(w.x2 - w.x1, w.y2 - w.y1), w.leaf)] : [] }));
const aBlock = fc.record({ x: coordinate, y: coordinate, w: fc.integer({ min: 1, max: 12 }), d: fc.integer({ min: 1, max: 12 }), top: height })
  .map((b) => (id: string): Entity => block(id, rect(b.x, b.y, b.x + b.w, b.y + b.d), 0, b.top));
const scene = fc.record({ walls: fc.array(aWall, { maxLength: 6 }), blocks: fc.array(aBlock, { maxLength: 3 }), from: fc.tuple(coordinate, coordinate, height), to: fc.tuple(coordinate, coordinate, height) })
  .map(({ walls, blocks, from, to }) => plan([...walls.map((make, i) => make(`W${i}`)), ...blocks.map((make, i) => make(`B${i}`)), load('M', to), disconnect('DS', from, ['M'], { facing: 30 })]));

const verdictOf = (document: Document): Verdict => createChecker(document).checkAll()[0]?.verdict ?? 'incomplete';
const severity = (verdict: Verdict): number => VERDICT_ORDER.indexOf(verdict);

type Turn = (p: Point) => Point;
/** Every point of a document through one map of the plan; the facing and the swing's side follow. */
function mapped(document: Document, turn: Turn, facing: (degrees: number) => number, scale = 1): Document {
  const entities = Object.fromEntries(Object.values(document.entities).map((e): [string, Entity] => {
    const outlined = 'outline' in e && e.outline ? { outline: e.outline.map(turn) } : {};
    if (e.kind === 'wall') return [e.id, { ...e, points: e.points.map(turn), openings: e.openings.map((o) => ({ ...o, from: sheetUnits(o.from * scale), to: sheetUnits(o.to * scale) })) }];
    if (e.kind === 'disconnect') return [e.id, { ...e, at: turn(e.at), facing: facing(e.facing) }];
    if (e.kind === 'load') return [e.id, { ...e, ...outlined, at: e.at && turn(e.at) }];
    return [e.id, { ...e, ...outlined }];
  }));
  return { ...document, entities };
}
const at = (x: number, y: number): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
const quarter = (d: Document): Document => mapped(d, (p) => at(0 - p.y, p.x), (f) => f + 90);
const mirror = (d: Document): Document => mapped(d, (p) => at(0 - p.x, p.y), (f) => 180 - f);
const shift = (d: Document): Document => mapped(d, (p) => at(p.x + 1024, p.y - 512), (f) => f);
const rescale = (d: Document, by: number): Document => {
  const grown = mapped(d, (p) => at(p.x * by, p.y * by), (f) => f, by);
  return { ...grown, sheets: grown.sheets.map((s) => ({ ...s, scale: { ...exactScale, feetPerUnit: 1 / by } })) };
};

describe('a verdict stays what it is', () => {
  const stays = (change: (d: Document) => Document): void => { fc.assert(fc.property(scene, (d) => { expect(verdictOf(change(d))).toBe(verdictOf(d)); }), { numRuns: 400 }); };
  it('when the plan is turned by a right angle', () => { stays(quarter); });
  it('when the plan is mirrored', () => { stays(mirror); });
  it('when the plan is moved', () => { stays(shift); });
  it('when the sheet is rescaled with its geometry', () => { stays((d) => rescale(d, 16)); });
  it('when entities come in another order', () => { stays((d) => ({ ...d, entities: Object.fromEntries(Object.entries(d.entities).reverse()) })); });
  it('when a wall is drawn from its other end', () => {
    stays((d) => ({ ...d, entities: Object.fromEntries(Object.entries(d.entities).map(([id, e]) => [id, e.kind === 'wall' && e.openings.length === 0 ? { ...e, points: [...e.points].reverse() } : e])) }));
  });
});

describe('nothing helps by standing in the way', () => {
  it('adding a wall or a block never makes a verdict better', () => {
    fc.assert(fc.property(scene, fc.oneof(aWall, aBlock), (d, make) => {
      const more = make('more');
      expect(severity(verdictOf({ ...d, entities: { ...d.entities, [more.id]: more } }))).toBeLessThanOrEqual(severity(verdictOf(d)));
    }), { numRuns: 600 });
  });
  it('closing a door never makes it better', () => {
    fc.assert(fc.property(scene, (d) => {
      const closed = { ...d, entities: Object.fromEntries(Object.entries(d.entities).map(([id, e]) => [id, e.kind === 'wall' ? { ...e, openings: e.openings.map((o) => ({ ...o, leaf: 'closed' as const })) } : e])) };
      expect(severity(verdictOf(closed))).toBeLessThanOrEqual(severity(verdictOf(d)));
    }), { numRuns: 300 });
  });
  it('a less certain plan never turns anything into a pass', () => {
    fc.assert(fc.property(scene, fc.double({ min: 0, max: 0.05, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (d, share, pick) => {
      const unsure = { ...d, sheets: d.sheets.map((s) => ({ ...s, scale: { ...exactScale, relativeUncertainty: share, pickUncertainty: sheetUnits(pick) } })) };
      if (verdictOf(unsure) === 'pass') expect(verdictOf(d)).toBe('pass');
    }), { numRuns: 300 });
  });
});

describe('working space', () => {
  const worst = (document: Document): Verdict[] => checkWorkingSpace(document, createChecker(document).sheetOf('sheet-1'), document.entities['disconnect-DS'] as Disconnect).map((r) => r.verdict);
  const withSize = (d: Document): Document => ({ ...d, entities: { ...d.entities, 'disconnect-DS': { ...(d.entities['disconnect-DS'] as Disconnect), data: { size: { width: feet(1), height: feet(2), depth: feet(0.5) } } } } });
  it('turns, mirrors, moves and rescales with the plan', () => {
    fc.assert(fc.property(scene, (d) => {
      const sized = withSize(d); const verdicts = worst(sized);
      for (const change of [quarter, mirror, shift, (x: Document): Document => rescale(x, 16)]) expect(worst(change(sized))).toEqual(verdicts);
    }), { numRuns: 150 });
  });
  it('an obstacle more never makes depth, width or height better', () => {
    fc.assert(fc.property(scene, aBlock, (d, make) => {
      const more = make('more'); const before = worst(withSize(d)); const after = worst(withSize({ ...d, entities: { ...d.entities, [more.id]: more } }));
      expect(Math.min(...after.map(severity))).toBeLessThanOrEqual(Math.min(...before.map(severity)));
    }), { numRuns: 200 });
  });
});

describe('ready access and large entrances', () => {
  const verdictFor = (check: string, data: Disconnect['data'] = {}) => (d: Document): Verdict => {
    const device = { ...(d.entities['disconnect-DS'] as Disconnect), facing: 90, data: { ...data } };
    const at = { ...d, entities: { ...d.entities, 'disconnect-DS': device } };
    return createChecker(at).placeResultsOf(device).find((r) => r.check === check)?.verdict ?? 'incomplete';
  };
  const access = verdictFor('reach.access');
  const entrance = verdictFor('space.entrance', { ratedAmperes: amperes(1600), size: { width: feet(7), height: feet(7), depth: feet(1) } });
  /** A place near the load, so that a way is often found. */
  const near = fc.record({ walls: fc.array(aWall, { maxLength: 5 }), blocks: fc.array(aBlock, { maxLength: 3 }), from: fc.tuple(coordinate, coordinate), by: fc.tuple(fc.integer({ min: -12, max: 12 }), fc.integer({ min: -12, max: 12 })) })
    .map(({ walls, blocks, from: [x, y], by }) => plan([...walls.map((make, i) => make(`W${i}`)), ...blocks.map((make, i) => make(`B${i}`)), load('M', [x + by[0], y + by[1], 2]), disconnect('DS', [x, y, 5], ['M'])]));
  const within = (check: (d: Document) => Verdict, runs: number): void => {
    fc.assert(fc.property(near, fc.oneof(aWall, aBlock), (d, make) => {
      const more = make('more');
      expect(severity(check({ ...d, entities: { ...d.entities, [more.id]: more } }))).toBeLessThanOrEqual(severity(check(d)));
    }), { numRuns: runs, seed: 20_260_101 });
  };
  it('something more in the way never makes a handle easier to reach', () => { within(access, 150); }, 120_000);
  it('nor a large entrance better', () => { within(entrance, 150); }, 120_000);
});
