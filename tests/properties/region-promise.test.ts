import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placesFor, seeingPlaces, standingRegion } from '../../shared-core/advise/index';
import { createChecker } from '../../shared-core/checks/index';
import type { Disconnect, Document, Entity, Opening } from '../../shared-core/document/index';
import { amperes, feet, sheetUnits, volts } from '../../shared-core/units/index';
import { block, disconnect, exactScale, load, opening, plan, point, wall } from '../unit/checks-plan';

// What the picture promises, held against the ordinary checks: a device put where the hatch or a thick stretch is must
// meet no fault of sight, of distance, of standing in something, of the room in front, of reach, or of the way on foot. No outside values: the checks
// themselves are held to published cases elsewhere.
const at = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const LEAVES: readonly Opening['leaf'][] = ['none', 'closed', 'normally-open', 'glazed'];
const room = fc.record({
  width: at(16, 50), height: at(16, 40), thick: fc.constantFrom(0, 0.5), turn: fc.constantFrom(0, 0, 17, 45), unit: fc.constantFrom(1, 0.1),
  partition: at(0.25, 0.75), door: fc.tuple(at(0.1, 0.6), fc.constantFrom(...LEAVES), fc.constantFrom('left' as const, 'right' as const, null)), face: fc.constantFrom('grounded' as const, 'insulated' as const, 'unknown' as const),
  slanted: fc.tuple(at(0.1, 0.9), at(0.1, 0.9), at(0, 360)), tank: fc.tuple(at(0.1, 0.7), at(0.1, 0.7), fc.constantFrom(2, 5, 9), fc.boolean()), duct: fc.tuple(at(0, 0.8), at(0, 0.8), fc.constantFrom(5.5, 6.5)),
  motor: fc.tuple(at(0.05, 0.95), at(0.05, 0.95), fc.boolean()), kind: fc.constantFrom('motor' as const, 'motor' as const, 'ev-supply' as const),
  others: fc.array(fc.tuple(at(0.05, 0.95), at(0.05, 0.95), at(0, 360), fc.boolean()), { maxLength: 2 }), cage: fc.option(fc.record({ x: at(0.05, 0.6), y: at(0.05, 0.6), size: at(9, 20), built: fc.constantFrom('mesh' as const, 'low' as const), gap: fc.constantFrom(0, 0, 1.3, 3), locked: fc.boolean() }), { freq: 2 }),
  second: fc.option(fc.tuple(at(0.05, 0.95), at(0.05, 0.95), fc.constantFrom(0, 0, 0.4, 3)), { freq: 1 }), handle: fc.constantFrom(5, 5, 5, 5, 5, 5, 7), facing: fc.oneof(fc.constantFrom(0, 90, 180, 270), at(0, 360)), sized: fc.boolean(), volts: fc.constantFrom(120, 277),
});
type Room = typeof room extends fc.Arbitrary<infer T> ? T : never;
const size = { size: { width: feet(1.2), height: feet(2), depth: feet(0.6) } };

function planOf(r: Room): { document: Document; own: Disconnect; put: (x: number, y: number) => { x: number; y: number } } {
  const angle = (r.turn * Math.PI) / 180; const c = Math.cos(angle) / r.unit; const s = Math.sin(angle) / r.unit;
  const put = (x: number, y: number) => ({ x: 300 / r.unit + c * x - s * y, y: 200 / r.unit + s * x + c * y });
  const pair = (x: number, y: number): [number, number] => { const p = put(x, y); return [p.x, p.y]; };
  const ring = (points: [number, number][]) => points.map(([x, y]) => { const p = put(x, y); return point(p.x, p.y); });
  const w = r.width; const h = r.height; const x = w * r.partition; const [from, leaf, side] = r.door;
  const door = opening((from * h) / r.unit, (from * h + 3) / r.unit, leaf, side && leaf !== 'none' && leaf !== 'glazed' ? { swing: { hinge: 'from', side } } : {});
  const [sx, sy, sa] = r.slanted; const [tx, ty, top, hollow] = r.tank; const [dx, dy, bottom] = r.duct; const [mx, my, body] = r.motor;
  const X = w * tx; const Y = h * ty;
  const tank = hollow ? ring([[X, Y], [X + 7, Y], [X + 7, Y + 6], [X + 6, Y + 6], [X + 6, Y + 1], [X + 1, Y + 1], [X + 1, Y + 6], [X, Y + 6]]) : ring([[X, Y], [X + 3, Y], [X + 4, Y + 3], [X, Y + 4]]);
  const at3 = (px: number, py: number, z: number): [number, number, number] => [...pair(px, py), z];
  const entities: Entity[] = [
    wall('R', [pair(0, 0), pair(w, 0), pair(w, h), pair(0, h), pair(0, 0)], { thickness: feet(r.thick), face: r.face }), wall('P', [pair(x, 0), pair(x, h)], { thickness: feet(r.thick), face: r.face, openings: [door] }),
    wall('S', [pair(w * sx, h * sy), pair(w * sx + 4 * Math.cos(sa), h * sy + 4 * Math.sin(sa))], { thickness: feet(r.thick), top: feet(7) }),
    block('T', tank, 0, top), block('D', ring([[w * dx, h * dy], [w * dx + 5, h * dy], [w * dx + 5, h * dy + 2], [w * dx, h * dy + 2]]), bottom, bottom + 1.5),
    load('M', at3(w * mx, h * my, 2), { kind: r.kind }, body ? { outline: ring([[w * mx - 1.5, h * my - 1], [w * mx + 1.5, h * my - 1], [w * mx + 1.5, h * my + 1], [w * mx - 1.5, h * my + 1]]), bodyTop: feet(4) } : {}),
    ...cageOf(r.cage, w, h, pair, r.unit),
    ...(r.second ? [load('N', at3(w * r.second[0], h * r.second[1], r.second[2] + 2), { kind: 'motor' }, { standing: feet(r.second[2]) })] : []),
    ...r.others.map(([ox, oy, facing, big], i) => disconnect(`O${i}`, at3(w * ox, h * oy, 5), [], { facing, ...(big ? { data: size } : {}) })),
  ];
  const data: Disconnect['data'] = { ...(r.sized ? size : {}), ...(r.kind === 'ev-supply' ? { options: ['emergency-shutoff'] } : {}) };
  const own = disconnect('DS', at3(w / 2, h / 2, r.handle), r.second ? ['M', 'N'] : ['M'], { facing: r.facing, data });
  const scale = { ...exactScale, feetPerUnit: r.unit, pickUncertainty: sheetUnits(0) };
  const document = plan([...entities, own], { edition: '2026', systems: [{ id: 'system-main', name: 'supply', voltage: volts(r.volts * 2), phases: 3, wires: 4, voltsToGround: volts(r.volts), source: { availableFaultCurrent: amperes(10_000) } }] }, scale);
  return { document, own, put };
}

/** Ground that is seen well and may have no way to it: behind mesh, or behind a wall that one looks over. */
function cageOf(cage: Room['cage'], w: number, h: number, pair: (x: number, y: number) => [number, number], unit: number): Entity[] {
  if (!cage) return [];
  const left = w * cage.x; const top = h * cage.y; const right = left + cage.size; const bottom = top + cage.size;
  const gap = cage.gap > 0 ? [opening(3 / unit, (3 + cage.gap) / unit, cage.locked ? 'normally-open' : 'none', cage.locked ? { locked: true } : {})] : [];
  return [wall('C', [pair(left, top), pair(right, top), pair(right, bottom), pair(left, bottom), pair(left, top)], { thickness: feet(0), openings: gap, ...(cage.built === 'mesh' ? { material: 'mesh' as const } : { top: feet(1.5) }) })];
}

const FAULTS = /^(space\.(depth|width|height)|place\.(overlap|water)|reach\.(height|access))$/;
function faultsAt(document: Document, here: Disconnect): string[] {
  const checker = createChecker(document);
  const after = createChecker({ ...document, entities: { ...document.entities, [here.id]: here } });
  const pairs = checker.pairsOf(here).filter((p) => p.viewVerdict !== 'pass' || p.distanceVerdict === 'fail').map((p) => p.result.title);
  const place = checker.placeResultsOf(here).filter((r) => FAULTS.test(r.check) && (r.verdict === 'fail' || (r.check === 'reach.access' && r.verdict === 'incomplete'))).map((r) => r.title);
  const without = createChecker({ ...document, entities: Object.fromEntries(Object.entries(document.entities).filter(([id]) => id !== here.id)) });
  const crowded = Object.values(document.entities).filter((e): e is Disconnect => e.kind === 'disconnect' && e.id !== here.id && without.roomAt(e)?.free === true && after.roomAt(e)?.free === false).map((d) => `takes the room of ${d.tag}`);
  return [...pairs, ...place, ...crowded];
}

describe('the picture promises no place whose check would fail', () => {
  it('anywhere in the ground where the disconnect could stand free, turned as it is', () => {
    let tried = 0;
    fc.assert(fc.property(room, fc.array(fc.tuple(fc.nat(1000), fc.nat(1000)), { minLength: 40, maxLength: 40 }), (r, samples) => {
      const { document, own, put } = planOf(r);
      const checker = createChecker(document);
      const region = standingRegion(checker, own, seeingPlaces(checker, own).region);
      for (const [i, j] of samples) {
        const p = put((r.width * i) / 1000, (r.height * j) / 1000);
        if (!region?.contains(p.x, p.y)) continue;
        tried += 1;
        const faults = faultsAt(document, { ...own, at: point(p.x, p.y) });
        if (faults.length > 0) throw new Error(`${p.x}, ${p.y}: ${faults.join('; ')}`);
      }
    }), { numRuns: 130, endOnFailure: true });
    expect(tried).toBeGreaterThan(100);
  }, 300_000);
  it('anywhere along the stretches of wall that are drawn thick', () => {
    let tried = 0;
    fc.assert(fc.property(room, (r) => {
      const { document, own } = planOf(r);
      for (const s of placesFor(createChecker(document), own).stretches) for (const share of [0.02, 0.37, 0.5, 0.98]) {
        tried += 1;
        const here: Disconnect = { ...own, at: point(s.from.x + (s.to.x - s.from.x) * share, s.from.y + (s.to.y - s.from.y) * share), facing: s.facing, mount: { wall: s.wall, segment: s.segment } };
        const faults = faultsAt(document, here);
        if (faults.length > 0) throw new Error(`${here.at.x}, ${here.at.y} facing ${here.facing}: ${faults.join('; ')}`);
      }
    }), { numRuns: 20, endOnFailure: true });
    expect(tried).toBeGreaterThan(100);
  }, 300_000);
});
