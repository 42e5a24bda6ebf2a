import { describe, expect, it } from 'vitest';
import { checkDedicatedSpace, checkHandleCount, checkPanelOverlaps, createChecker, workingSpaceOf } from '../../shared-core/checks/index';
import type { Result } from '../../shared-core/code-data/index';

import type { Area, Disconnect, Document, Entity, LoadData, Supply, SupplySystem } from '../../shared-core/document/index';
import { amperes, feet, sheetUnits, volts } from '../../shared-core/units/index';
import { block, controller, disconnect, exception, load, machine, opening, plan, point, rect, wall } from './checks-plan';

// Layouts and verdicts restate practitioners' cases; table depths 110.26(A)(1) and 404.8(A) height as the rule data names them.
const inch = (n: number): number => n / 12;
const place = (document: Document, tag = 'DS'): Result[] => {
  const entity = document.entities[`disconnect-${tag}`] as Disconnect;
  return createChecker(document).placeResultsOf(entity);
};
const verdictOf = (results: readonly Result[], check: string): string | undefined => results.find((r) => r.check === check)?.verdict;
const system = (voltsToGround: number): SupplySystem => ({ id: 'system-main', name: 'supply', voltage: volts(voltsToGround * 2), phases: 3, wires: 4, voltsToGround: volts(voltsToGround) });
const size = (width: number, height: number, depth: number) => ({ size: { width: feet(width), height: feet(height), depth: feet(depth) } });

describe('handle height', () => {
  const at = (z: number, more: Partial<Disconnect> = {}, extra: Entity[] = [], loadAt: [number, number, number] = [34, 2, 1.5]): string | undefined =>
    verdictOf(place(plan([...extra, load('P-9', loadAt), disconnect('DS', [34, 0, z], ['P-9'], more)])), 'reach.height');
  it('7 ft 2 in fails, 6.58 ft and exactly 6 ft 7 in pass', () => { expect([at(7.167), at(6.58), at(79 / 12), at(79 / 12 + 1e-9)]).toEqual(['fail', 'pass', 'pass', 'fail']); });
  it('counts from the platform it is worked from, which must be drawn', () => {
    const platform = block('PL-1', rect(32, -2, 36, 2), 0, 2, { walkable: true, stairs: true });
    expect(at(6, { standing: feet(2) }, [platform])).toBe('pass');
    expect(at(6, { standing: feet(2) })).toBe('incomplete');
  });
  it('beside a motor that is itself high it is a judgement until another disconnect is within reach; beside one on the floor it fails', () => {
    const high = { at: point(20.5, 10) };
    const unit: [number, number, number] = [20.5, 10, 12];
    expect(at(12.5, high, [], unit)).toBe('judgement');
    expect(at(12.5, high, [disconnect('DS-2', [22, 10, 5], ['P-9'])], unit)).toBe('pass');
    expect(at(7.5)).toBe('fail');
    // The other one has to be readily accessible itself: not in a room whose door is locked.
    const room = wall('ROOM', [[21, 8], [23, 8], [23, 12], [21, 12], [21, 8]], { openings: [opening(0.2, 1.8, 'closed', { locked: true })] });
    expect(at(12.5, high, [room, disconnect('DS-2', [22, 10, 5], ['P-9'])], unit)).toBe('judgement');
  });
  it('above a ceiling next to a terminal unit: allowed, the depth stays a judgement', () => {
    const limitedAccess = { place: 'ceiling' as const, opening: [feet(2), feet(2)] as const, clearWidth: feet(2.5), clearDepth: feet(22 / 12), doorDegrees: 90 };
    const results = place(plan([load('FPB-3', [31, 20, 10.5], { kind: 'heater' }), disconnect('DS', [30, 20, 10.2], ['FPB-3'], { data: { limitedAccess } })]));
    expect(['reach.height', 'space.limited-opening', 'space.limited-width', 'space.depth'].map((c) => verdictOf(results, c))).toEqual(['pass', 'pass', 'pass', 'judgement']);
    expect(results.find((r) => r.check === 'space.depth')?.margin?.value).toBeCloseTo(-14 / 12);
    const small = { ...limitedAccess, opening: [feet(21 / 12), feet(2)] as const };
    expect(verdictOf(place(plan([load('FPB-3', [31, 20, 10.5], { kind: 'heater' }), disconnect('DS', [30, 20, 10.2], ['FPB-3'], { data: { limitedAccess: small } })])), 'space.limited-opening')).toBe('fail');
  });
});

describe('working space', () => {
  // Front at (20, 0), looking to larger y; the wall opposite 3.25 ft away, side walls 34 in apart.
  const sides = [wall('L', [[20 - inch(17), 0], [20 - inch(17), 3.2]]), wall('R', [[20 + inch(17), 0], [20 + inch(17), 3.2]])];
  const facing = (opposite: Entity[], voltsToGround = 277): Result[] => place(plan([...sides, ...opposite, load('M-1', [18, -10, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, data: size(16 / 12, 30 / 12, 0.5) })], { systems: [system(voltsToGround)] }));
  const concrete = wall('B', [[0, 3.25], [40, 3.25]], { face: 'grounded' });
  const depth = (results: readonly Result[]): Result | undefined => results.find((r) => r.check === 'space.depth');

  it('277 V to ground facing a block wall wants 3.5 ft: 3.25 ft is 3 in short', () => {
    const results = facing([concrete]);
    expect(depth(results)?.verdict).toBe('fail');
    expect(depth(results)?.margin?.value).toBeCloseTo(-0.25);
    expect([verdictOf(results, 'space.width'), verdictOf(results, 'space.height')]).toEqual(['pass', 'pass']);
  });
  it('facing gypsum on wood 3 ft are enough; not knowing which is asked', () => {
    expect(depth(facing([{ ...concrete, face: 'insulated' }]))?.verdict).toBe('pass');
    expect(depth(facing([wall('B', [[0, 3.25], [40, 3.25]])]))).toMatchObject({ verdict: 'incomplete', missing: ['what the face of the wall opposite DS is made of'] });
  });
  it('facing another panel 4 ft are needed: 9 in short', () => {
    const panel: Supply = { kind: 'supply', id: 'supply-1', sheet: 'sheet-1', tag: 'LP-2', name: '', at: point(20, 3.5), system: 'system-main', role: 'panel' };
    const result = depth(facing([{ ...concrete, face: 'insulated' }, panel]));
    expect(result?.verdict).toBe('fail');
    expect(result?.margin?.value).toBeCloseTo(-0.75);
  });
  it('120 V to ground wants 3 ft whatever faces it', () => { expect(depth(facing([concrete], 120))?.verdict).toBe('pass'); });
  it('side walls 29 in apart leave too little width', () => {
    const narrow = place(plan([wall('L', [[19.5, 0], [19.5, 3]]), wall('R', [[19.5 + inch(29), 0], [19.5 + inch(29), 3]]), load('M-1', [18, -10, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, data: size(0.5, 1, 0.5) })]));
    expect([verdictOf(narrow, 'space.width'), verdictOf(narrow, 'space.depth')]).toEqual(['fail', 'pass']);
    expect(narrow.find((r) => r.check === 'space.width')?.margin?.value).toBeCloseTo(-inch(1));
  });
  it('a slanted wall takes what it takes: beside the width it is no conflict, however near it comes further along', () => {
    // The wall u + v = 6: at the right edge of a 30 in. width, u = 1.25, it stands 4.75 ft away, over the 3.5 ft of 277 V; shifted to u + v = 4 it is 2.75 ft away there.
    const slanted = (sum: number): Result[] => place(plan([wall('S', [[20 - 4, sum + 4], [20 + 8, sum - 8]], { face: 'grounded' }), load('M-1', [18, -10, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, data: size(1, 1, 0.5) })], { systems: [system(277)] }));
    expect([depth(slanted(6))?.verdict, verdictOf(slanted(6), 'space.width')]).toEqual(['pass', 'pass']);
    // Moving the width 0.75 ft off (the enclosure is 1 ft wide) to u = -2 .. 0.5 leaves 3.5 ft exactly; any nearer and it is too shallow.
    expect([slanted(4.0001), slanted(3.9)].map((r) => [verdictOf(r, 'space.width'), depth(r)?.verdict])).toEqual([['pass', 'pass'], ['pass', 'fail']]);
  });
  it('a duct at 6 ft takes head room, one at 6.5 ft does not', () => {
    const duct = (bottom: number): string | undefined => verdictOf(place(plan([block('duct', rect(19, 1, 21, 2), bottom, 9), load('M-1', [18, -10, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, data: size(1, 1, 0.5) })])), 'space.height');
    expect([duct(6), duct(6.5)]).toEqual(['fail', 'pass']);
  });

  describe('behind a condenser', () => {
    const unit = load('CU-1', [11.333, 2.833, 1.5], { kind: 'hermetic' }, { outline: rect(10, 1.5, 12.667, 4.167), bodyTop: feet(3) });
    const hung = (x1: number, x2: number, edition: '2020' | '2023' = '2023'): Result[] => place(plan([wall('W', [[0, 0], [30, 0]]), unit,
      disconnect('DS', [(x1 + x2) / 2, 0, 5], ['CU-1'], { facing: 90, mount: { wall: 'wall-W', segment: 0 }, data: size(x2 - x1, 1, 0.4) })], { edition, systems: [system(120)] }));
    it('straight behind it fails from 2023 and is argued before', () => {
      expect(verdictOf(hung(10.958, 11.708), 'space.depth')).toBe('fail');
      expect(hung(10.958, 11.708).find((r) => r.check === 'space.depth')?.margin?.value).toBeCloseTo(1.1 - 3);
      expect(verdictOf(hung(10.958, 11.708, '2020'), 'space.depth')).toBe('judgement');
    });
    it('beside it the 30 in move away from the unit', () => {
      const beside = hung(8.825, 9.575);
      expect([verdictOf(beside, 'space.depth'), verdictOf(beside, 'space.width')]).toEqual(['pass', 'pass']);
    });
    it('any width that covers the whole box meets the unit', () => {
      const clipped = hung(9.425, 10.175);
      expect([verdictOf(clipped, 'space.depth'), verdictOf(clipped, 'space.width')]).toContain('fail');
      const document = plan([wall('W', [[0, 0], [30, 0]]), unit, disconnect('DS', [9.8, 0, 5], ['CU-1'], { facing: 90, mount: { wall: 'wall-W', segment: 0 }, data: size(0.75, 1, 0.4) })], { systems: [system(120)] });
      expect(workingSpaceOf(document, 'disconnect-DS')?.conflicts[0]?.overlap.width).toBeCloseTo(0.175);
    });
  });

  it('a unit placed into a space raises the finding at once, a space of another device is only said', () => {
    const base = [load('M-1', [18, -10, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, data: size(1, 1, 0.5) })];
    expect(verdictOf(place(plan(base)), 'space.depth')).toBe('pass');
    expect(verdictOf(place(plan([...base, load('CU-9', [20, 2, 1])])), 'space.depth')).toBe('fail');
    const shared = place(plan([...base, disconnect('DS-2', [22, 0, 5], ['M-1'], { facing: 90 })])).find((r) => r.check === 'space.depth');
    expect([shared?.verdict, shared?.title]).toEqual(['pass', expect.stringContaining('shared with the space of DS-2')]);
  });
  it('a door that swings through it is a judgement; swinging the other way it is none', () => {
    const door = (side: 'left' | 'right'): Result[] => place(plan([wall('W', [[16, 4.5], [30, 4.5]], { face: 'insulated', openings: [opening(2, 5, 'closed', { swing: { hinge: 'from', side } })] }), load('M-1', [18, -10, 2]), disconnect('DS', [19, 0, 5], ['M-1'], { facing: 90, data: size(1, 1, 0.5) })]));
    expect([verdictOf(door('left'), 'space.door-swing'), verdictOf(door('right'), 'space.door-swing')]).toEqual(['judgement', undefined]);
  });
  it('an enclosure of unknown size is asked for where it matters, and only there', () => {
    const unsized = (gap: number): string | undefined => verdictOf(place(plan([wall('W', [[0, 0], [40, 0]]), wall('B', [[0, gap], [40, gap]], { face: 'grounded' }), load('M-1', [18, 2, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, mount: { wall: 'wall-W', segment: 0 } })])), 'space.depth');
    expect([unsized(3.4), unsized(4.2), unsized(5)]).toEqual(['fail', 'incomplete', 'pass']);
  });
  it('no supply system: incomplete by name', () => {
    const results = place(plan([load('M-1', [18, -10, 2], { kind: 'motor', system: 'system-gone' }), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90 })]));
    expect(depth(results)?.missing).toEqual(['supply system of what DS serves (volts to ground)']);
  });
  it('the outline to draw is the space in sheet units, in front of the enclosure', () => {
    const document = plan([wall('W', [[0, 0], [40, 0]], { thickness: feet(1) }), load('M-1', [18, 2, 2]), disconnect('DS', [20, 0, 5], ['M-1'], { facing: 90, mount: { wall: 'wall-W', segment: 0 }, data: size(1, 1, 0.5) })]);
    const ys = workingSpaceOf(document, 'disconnect-DS')?.outline.map((p) => p.y) ?? [];
    expect([Math.min(...ys), Math.max(...ys)]).toEqual([1, 4]);
  });
});

describe('on the unit', () => {
  // Along the south face, edge 2 runs from (8,5) to (0,5) on a plan whose y runs down: x is counted from its right end.
  const along = (x1: number, x2: number): { from: ReturnType<typeof sheetUnits>; to: ReturnType<typeof sheetUnits> } => ({ from: sheetUnits(8 - x2), to: sheetUnits(8 - x1) });
  const unit = load('RTU-2', [4, 2.5, 3], { kind: 'hermetic' }, { outline: rect(0, 0, 8, 5), bodyTop: feet(6), reserved: [
    { use: 'access-panel', edge: 2, ...along(1, 4), bottom: feet(0), top: feet(6) }, { use: 'nameplate', edge: 2, ...along(5, 5.8), bottom: feet(2.5), top: feet(3.3) }] });
  const hung = (x1: number, x2: number, z1: number, z2: number): Result[] => place(plan([unit, disconnect('DS', [(x1 + x2) / 2, 5, (z1 + z2) / 2], ['RTU-2'], { facing: 90, data: size(x2 - x1, z2 - z1, 0.4) })]));
  it('on an access panel and over a nameplate fail, on the post passes with room in front', () => {
    expect(verdictOf(hung(1.5, 2.33, 2, 3.2), 'reach.on-unit')).toBe('fail');
    const plate = hung(5.1, 5.93, 2.2, 3.4).find((r) => r.check === 'reach.on-unit');
    expect(plate?.verdict).toBe('fail');
    expect([plate?.steps[0]?.value, plate?.steps[0]?.inputs[0]?.value]).toEqual([expect.closeTo(0.7), expect.closeTo(0.8)]);
    expect(verdictOf(hung(6.6, 7.43, 2, 3.2), 'reach.on-unit')).toBe('pass');
    expect(verdictOf(hung(6.6, 7.43, 2, 3.2), 'space.depth')).toBe('pass');
  });
  it('panels that are not marked are a judgement', () => {
    const { reserved: _, ...bare } = unit;
    expect(verdictOf(place(plan([bare, disconnect('DS', [4, 5, 3], ['RTU-2'], { facing: 90 })])), 'reach.on-unit')).toBe('judgement');
  });
});

describe('water', () => {
  const pool: Area = { kind: 'area', id: 'area-1', sheet: 'sheet-1', label: 'pool', outline: rect(0, 0, 30, 15), environments: ['pool-water'] };
  const fence = wall('F', [[32, 4], [32, 14.5]], { top: feet(6) });
  const pump = load('PM-1', [36, 8, 0.7], { kind: 'pool' });
  const water = (at: [number, number, number], more: Entity[] = []): Result | undefined => place(plan([pool, pump, ...more, disconnect('DS', at, ['PM-1'])])).find((r) => r.check === 'place.water');
  it('4 ft 2 in fails, 6.5 ft passes', () => { expect([water([34.17, 8, 4.5])?.verdict, water([36.5, 10, 4.5])?.verdict]).toEqual(['fail', 'pass']); });
  it('behind a fence the shortest way round it counts', () => {
    expect(water([34.2, 12, 4.5])?.verdict).toBe('fail');
    const round = water([34.2, 12, 4.5], [fence]);
    expect(round?.verdict).toBe('pass');
    expect(round?.value).toMatchObject({ value: expect.closeTo(5.33, 2) as number });
  });
  it('a gate in the fence is no permanent barrier, and a low wall can be reached over', () => {
    const gate = { openings: [opening(3, 9, 'closed')] };
    expect(water([34.2, 12, 4.5], [wall('FENCE', [[32, 4], [32, 14.5]], { top: feet(6), ...gate })])?.verdict).toBe('fail');
    expect([4.9, 5].map((top) => water([34.2, 12, 4.5], [wall('FENCE', [[32, 4], [32, 14.5]], { top: feet(top) })])?.verdict)).toEqual(['fail', 'pass']);
  });
  it('without a drawn edge of the water it is asked for', () => {
    expect(place(plan([pump, disconnect('DS', [36, 10, 4.5], ['PM-1'])])).find((r) => r.check === 'place.water')?.verdict).toBe('incomplete');
  });
});

describe('sharing', () => {
  const four = (data: LoadData, more = {}): Entity[] => [load('a', [11, 11, 2], data, more), load('b', [20, 11, 2], data, more), load('c', [12, 15, 2], data, more), load('d', [21, 15, 2], data, more)];
  const sharing = (...entities: Entity[]): string | undefined => verdictOf(place(plan([...entities, disconnect('DS', [24, 9, 5], ['a', 'b', 'c', 'd'])])), 'place.sharing');
  it('motors of one machine may share, and all are in sight', () => {
    const mc = machine('MC-1', [16, 13, 2], { outline: rect(10, 10, 22, 16), bodyTop: feet(4) });
    const document = plan([mc, ...four({ kind: 'motor' }, { machine: mc.id }), disconnect('DS', [24, 9, 5], ['a', 'b', 'c', 'd'])]);
    expect(verdictOf(place(document), 'place.sharing')).toBe('pass');
    expect(createChecker(document).checkAll().filter((p) => p.target === 'motor').map((p) => p.verdict)).toEqual(['pass', 'pass', 'pass', 'pass']);
  });
  it('motors in one room: a judgement until recorded; hidden ones fail', () => {
    expect(sharing(...four({ kind: 'motor' }))).toBe('judgement');
    expect(sharing(...four({ kind: 'motor', conditions: ['one-room'] }))).toBe('pass');
    expect(sharing(...four({ kind: 'motor', conditions: ['one-room'] }), wall('W', [[15, 0], [15, 30]]))).toBe('fail');
  });
  it('a fire pump shares with nobody', () => {
    expect(verdictOf(place(plan([load('FP', [10, 10, 2], { kind: 'fire-pump' }), load('M', [12, 10, 2]), disconnect('DS', [14, 9, 5], ['FP', 'M'])])), 'place.sharing')).toBe('fail');
  });
});

describe('rules of their own', () => {
  it('a fire pump: one supply disconnect fit for service; an ordinary switch fails; no sight check is made', () => {
    const pump = (data: Disconnect['data'], extra: Entity[] = []): Document => plan([load('FP', [10, 10, 2], { kind: 'fire-pump' }), disconnect('DS', [12, 10, 5], ['FP'], { data }), ...extra]);
    expect(verdictOf(place(pump({ serviceEquipment: true })), 'place.fire-pump')).toBe('judgement');
    expect(verdictOf(place(pump({ serviceEquipment: false })), 'place.fire-pump')).toBe('fail');
    expect(verdictOf(place(pump({})), 'place.fire-pump')).toBe('incomplete');
    expect(verdictOf(place(pump({ serviceEquipment: true }, [disconnect('DS-2', [14, 10, 5], ['FP'])])), 'place.fire-pump')).toBe('fail');
    expect(createChecker(pump({})).checkAll()).toEqual([]);
  });
  it('2026 vehicle charging: the emergency shutoff is 20 ft to 100 ft away, beyond 50 ft argued; other disconnects may be anywhere', () => {
    const shutoff = (x: number): string | undefined => createChecker(plan([load('EV', [0, 10, 4], { kind: 'ev-supply' }), disconnect('DS', [x, 10, 4], ['EV'], { data: { options: ['emergency-shutoff'] } })], { edition: '2026' })).checkAll()[0]?.verdict;
    expect([shutoff(19), shutoff(20), shutoff(49), shutoff(60), shutoff(101)]).toEqual(['fail', 'pass', 'pass', 'judgement', 'fail']);
    expect(createChecker(plan([load('EV', [0, 10, 4], { kind: 'ev-supply' }), disconnect('DS', [300, 10, 4], ['EV'])], { edition: '2026' })).checkAll()).toEqual([]);
  });
  it('2026 vehicle charging: an emergency shutoff that is nowhere on the plan is asked for, in dwellings it is not', () => {
    const asked = (options: string[], conditions: string[] = [], edition: '2023' | '2026' = '2026'): string | undefined => verdictOf(place(plan([load('EV', [0, 10, 4], { kind: 'ev-supply', conditions }), disconnect('DS', [30, 10, 4], ['EV'], { data: { options } })], { edition })), 'place.emergency-shutoff');
    expect([asked([]), asked(['emergency-shutoff']), asked([], ['one-or-two-family']), asked([], [], '2023')]).toEqual(['incomplete', undefined, undefined, undefined]);
  });
  it('cooling in Canada between 3 m and 9 m is a judgement: sources conflict', () => {
    const unit = (x: number): string | undefined => createChecker(plan([load('CU', [0, 10, 4], { kind: 'hermetic' }), disconnect('DS', [x, 10, 4], ['CU'])], { jurisdiction: 'CA' })).checkAll()[0]?.verdict;
    expect([unit(9.5), unit(20), unit(30)]).toEqual(['pass', 'judgement', 'fail']);
  });
  it('a motor of 1/8 hp: sight is argued, so a hidden one is a judgement', () => {
    const small = (horsepower: number): string | undefined => createChecker(plan([wall('W', [[15, 0], [15, 30]]), load('M', [10, 10, 2], { kind: 'motor', horsepower: horsepower as LoadData['horsepower'] & number }), disconnect('DS', [20, 10, 5], ['M'])])).checkAll()[0]?.verdict;
    expect([small(0.125), small(0.5)]).toEqual(['judgement', 'fail']);
  });
  it('service conductors inside: no figure is a judgement, a local one is a limit', () => {
    const inside = (overrides: Document['facts']['overrides']): string | undefined => verdictOf(place(plan([load('SVC', [10, 10, 5], { kind: 'service' }), disconnect('DS', [12, 12, 5], ['SVC'], { data: { routeLength: feet(14) } })], { overrides })), 'place.service-length');
    expect(inside([])).toBe('judgement');
    expect(inside([{ id: 'override-1', key: 'service.inside-length', value: 10, unit: 'ft', reason: 'ordinance', authority: 'town' }])).toBe('fail');
  });
  it('service handles: seven fail, six in enclosures pass, six breakers in one panelboard pass only up to 2017', () => {
    const handles = (count: number, breakers: boolean, edition: Document['facts']['edition'] = '2023'): string | undefined => {
      const panel: Supply = { kind: 'supply', id: 'supply-1', sheet: 'sheet-1', tag: 'MSB', name: '', at: point(5, 5), system: 'system-main', role: 'panel' };
      const all = Array.from({ length: count }, (_, i) => disconnect(`S${i}`, [i, 10, 5], ['SVC'], { data: breakers ? { type: 'circuit-breaker', fedFrom: 'supply-1' } : { type: 'enclosed-switch' } }));
      return checkHandleCount(plan([panel, load('SVC', [10, 10, 5], { kind: 'service' }), ...all], { edition }))[0]?.verdict;
    };
    expect([handles(7, false), handles(6, false), handles(6, true, '2020'), handles(6, true, '2017')]).toEqual(['fail', 'pass', 'fail', 'pass']);
  });
  it('a switch in a drive output without an early-break contact is a judgement by practice', () => {
    const vfd = controller('VFD', [80, 60, 4]);
    const local = (options: string[]): string | undefined => verdictOf(place(plan([vfd, load('P-7', [10, 10, 2], { kind: 'motor', driveSide: 'load' }, { controller: vfd.id }), disconnect('DS', [12, 12, 5], ['P-7'], { data: { options } })])), 'place.interlock');
    expect([local([]), local(['early-break-contact'])]).toEqual(['judgement', 'pass']);
  });
  it('rules that speak of the place without a distance are never a silent pass', () => {
    for (const kind of ['generator', 'x-ray', 'service', 'feeder'] as const) {
      const results = place(plan([load('L', [10, 10, 4], { kind }), disconnect('DS', [12, 10, 5], ['L'])]));
      expect(results.some((r) => r.verdict === 'judgement' && r.check.startsWith('place.'))).toBe(true);
    }
    expect(verdictOf(place(plan([load('L', [10, 10, 4], { kind: 'other' }), disconnect('DS', [12, 10, 5], ['L'])])), 'place.rule')).toBe('incomplete');
  });
  it('a lock provision that a rule asks for: unknown is asked for, none fails', () => {
    const lock = (lockable: boolean | undefined): string | undefined => verdictOf(place(plan([load('G', [10, 10, 4], { kind: 'generator' }), disconnect('DS', [12, 10, 5], ['G'], { data: lockable === undefined ? {} : { lockable } })])), 'place.lock');
    expect([lock(true), lock(false), lock(undefined)]).toEqual(['pass', 'fail', 'incomplete']);
  });
});


describe('ready access', () => {
  const fence = (openings: ReturnType<typeof opening>[] = []): Entity => wall('F', [[25, -10], [25, 50]], { top: feet(8), material: 'mesh', openings });
  const heater = load('IWH-1', [20, 10, 4], { kind: 'appliance', kilowatts: 9.5, horsepower: 1 as LoadData['horsepower'] & number });
  const reach = (entities: Entity[], more: Partial<Disconnect> = {}): Result | undefined => place(plan([heater, ...entities, disconnect('DS', [33, 12, 5], ['IWH-1'], more)])).find((r) => r.check === 'reach.access');
  it('a handle that takes a portable ladder is not readily accessible, whatever height the next-to exception allows', () => {
    const high = (more: Entity[]): string | undefined => verdictOf(place(plan([load('M', [20.5, 10, 12]), disconnect('DS', [20.5, 10, 12.5], ['M']), ...more])), 'reach.access');
    expect([high([]), high([disconnect('DS-2', [22, 12, 5], ['M'])])]).toEqual(['fail', 'pass']);
  });
  it('an arm does not go through a bare wall, and a way does not begin on its other side', () => {
    const closet = wall('C', [[21, 8], [23, 8], [23, 12], [21, 12], [21, 8]]);
    const inside = place(plan([closet, load('M', [20, 10, 2]), disconnect('DS', [22, 10, 5], ['M'])])).find((r) => r.check === 'reach.access');
    expect(inside?.verdict).toBe('fail');
    // The load in a closet 1 ft wide, the handle in the open: nobody walks from the one to the other.
    const narrow = wall('N', [[20, 8], [21, 8], [21, 12], [20, 12], [20, 8]]);
    expect(place(plan([narrow, load('M', [20.5, 10, 2]), disconnect('DS', [30, 10, 5], ['M'])])).find((r) => r.check === 'reach.access')?.verdict).toBe('fail');
  });
  it('a load on another sheet, or not placed, is not passed over where the rule wants nothing in sight', () => {
    const solar = (more: Partial<Entity>): string | undefined => verdictOf(place(plan([{ ...load('PV', [10, 10, 4], { kind: 'pv' }), ...more } as Entity, disconnect('DS', [20, 10, 5], ['PV'])])), 'reach.access');
    expect([solar({}), solar({ sheet: 'sheet-2' }), solar({ at: null })]).toEqual(['pass', 'incomplete', 'incomplete']);
  });
  it('in the open it passes', () => { expect(reach([])?.verdict).toBe('pass'); });
  it('44 ft to walk round a fence for 13 ft straight is a judgement that says both', () => {
    // The case walks round the far end (79 ft); the shortest way is round the near one: sqrt(5^2 + 20^2) + sqrt(8^2 + 22^2).
    const round = reach([fence()]);
    expect(round?.verdict).toBe('judgement');
    expect(round?.steps[0]?.value).toBeGreaterThan(44);
    expect(round?.steps[0]?.value).toBeLessThan(49);
  });
  it('a gate opens the way; a locked one closes it until who holds the key is on record', () => {
    const closed = (locked: boolean, leaf: 'closed' | 'normally-open' = 'closed'): Entity[] => [wall('B', [[25, 50], [60, 50], [60, -10], [25, -10]], { top: feet(8) }), fence([opening(18, 22, leaf, { locked })])];
    expect(reach(closed(false))?.verdict).toBe('pass');
    expect(reach(closed(true))?.verdict).toBe('fail');
    // One that stands open as a rule but is locked at times closes the way too.
    expect([reach(closed(false, 'normally-open'))?.verdict, reach(closed(true, 'normally-open'))?.verdict]).toEqual(['pass', 'fail']);
    expect(reach([...closed(true), exception('DS', 'IWH-1', 'keys-held')])?.verdict).toBe('pass');
    expect(reach([...closed(true), exception('DS', 'IWH-1', 'keys-held', { person: '' })])?.verdict).toBe('fail');
  });
  it('another level without stairs is climbing; with stairs it is not', () => {
    const roofs = (stairs: boolean): Entity[] => [block('upper', rect(0, 0, 30, 40), 0, 20, { walkable: true, stairs }), block('lower', rect(30, 0, 50, 40), 0, 12, { walkable: true, stairs })];
    const unit = load('RTU-1', [15, 12, 22], { kind: 'hermetic' }, { standing: feet(20) });
    const access = (stairs: boolean): string | undefined => verdictOf(place(plan([...roofs(stairs), unit, disconnect('DS', [34, 12, 5], ['RTU-1'], { standing: feet(12) })])), 'reach.access');
    expect([access(false), access(true)]).toEqual(['fail', 'pass']);
  });
  it('reaching over a running unit is climbing', () => {
    const unit = load('CU-1', [11.333, 2.833, 1.5], { kind: 'hermetic' }, { outline: rect(10, 1.5, 12.667, 4.167), bodyTop: feet(3) });
    const hung = (x: number): string | undefined => verdictOf(place(plan([wall('W', [[0, 0], [30, 0]]), unit, disconnect('DS', [x, 0, 5], ['CU-1'], { facing: 90, mount: { wall: 'wall-W', segment: 0 }, data: size(0.75, 1, 0.4) })])), 'reach.access');
    expect([hung(11.333), hung(9.2)]).toEqual(['fail', 'pass']);
  });
  it('the bucket in a locked motor control room: a lock undoes ready access until it is on record that those who work there hold the key', () => {
    // The room closed on all sides, its one door kept locked, as in the case of the industrial exception.
    const room = wall('MCC', [[150, 0], [150, 80], [230, 80], [230, 0], [150, 0]], { openings: [opening(30, 33, 'closed', { locked: true })] });
    const access = (...records: Entity[]): string | undefined => verdictOf(place(plan([room, load('P-301', [20, 20, 1.5]), disconnect('MCC-2F', [200, 40, 4.5], ['P-301'], { data: { lockable: true } }), ...records]), 'MCC-2F'), 'reach.access');
    expect([access(), access(exception('MCC-2F', 'P-301', 'keys-held')), access(exception('MCC-2F', 'P-301', 'keys-held', { document: '' }))]).toEqual(['fail', 'pass', 'fail']);
  });
  it('a motor circuit needs one disconnect that is readily accessible', () => {
    const room = wall('R', [[30, 5], [40, 5], [40, 20], [30, 20], [30, 5]], { openings: [opening(4, 7, 'closed', { locked: true })] });
    const motor = load('M', [20, 10, 2]);
    const access = (extra: Entity[]): string | undefined => verdictOf(place(plan([room, motor, disconnect('DS', [35, 12, 5], ['M']), ...extra])), 'reach.access');
    expect([access([]), access([disconnect('DS-2', [22, 12, 5], ['M'])])]).toEqual(['fail', 'pass']);
  });
});

describe('what else a place asks', () => {
  it('a fire pump controller stands in sight of its motor', () => {
    const seen = (extra: Entity[]): string | undefined => verdictOf(place(plan([controller('FPC', [16, 10, 4]), load('FP', [10, 10, 2], { kind: 'fire-pump' }, { controller: 'controller-FPC' }), disconnect('DS', [40, 10, 5], ['FP'], { data: { serviceEquipment: true } }), ...extra])), 'place.fire-pump-controller');
    expect([seen([]), seen([wall('W', [[13, 0], [13, 20]])])]).toEqual(['pass', 'fail']);
    expect(verdictOf(place(plan([load('FP', [10, 10, 2], { kind: 'fire-pump' }), disconnect('DS', [40, 10, 5], ['FP'], { data: { serviceEquipment: true } })])), 'place.fire-pump-controller')).toBe('incomplete');
  });
  it('a duct over a panel, less than 6 ft above it, is a judgement; a motor disconnect has no such space', () => {
    const panel: Supply = { kind: 'supply', id: 'supply-1', sheet: 'sheet-1', tag: 'LP-1', name: '', at: point(20, 20), system: 'system-main', role: 'panel' };
    const over = (bottom: number): string | undefined => checkDedicatedSpace(plan([panel, block('duct', rect(18, 18, 22, 22), bottom, bottom + 1)]))[0]?.verdict;
    expect([over(8), over(12.5)]).toEqual(['judgement', 'pass']);
    expect(checkDedicatedSpace(plan([load('M', [1, 1, 1]), disconnect('DS', [20, 20, 5], ['M']), block('duct', rect(18, 18, 22, 22), 8, 9)]))).toEqual([]);
  });
  it('the margin says how far the handle may move, and what sets it', () => {
    const margins = (x: number): ReturnType<ReturnType<typeof createChecker>['marginsOf']> => {
      const document = plan([load('M', [10, 10, 5]), disconnect('DS', [x, 10, 5], ['M'])]);
      return createChecker(document).marginsOf(document.entities['disconnect-DS'] as Disconnect);
    };
    expect(margins(50)[0]).toMatchObject({ setBy: 'limit', target: 'motor' });
    expect(margins(50)[0]?.margin).toBeCloseTo(10);
    expect(margins(70)[0]?.margin).toBeCloseTo(-10);
    expect(margins(70)[0]?.improves?.x).toBeCloseTo(-1);
    const walled = plan([wall('W', [[20, 0], [20, 8]]), load('M', [10, 10, 5]), disconnect('DS', [30, 10, 5], ['M'])]);
    expect(createChecker(walled).marginsOf(walled.entities['disconnect-DS'] as Disconnect)[0]).toMatchObject({ setBy: 'obstacle', entity: 'wall-W' });
  });
});

describe('large equipment: NFPA 70 110.26(C)(2) and (3), 2023: 1200 A and over 6 ft wide; 800 A and doors within 25 ft', () => {
  // A line-up 8 ft wide against the wall y = 0, front at y = 2, looking down the sheet; 277 V to ground with nothing grounded opposite: depth 3 ft.
  const board = (more: Entity[], data: Partial<Disconnect['data']> = {}): Result[] => place(plan([
    wall('BACK', [[0, 0], [60, 0]]), load('SRV', [30, 12, 3], { kind: 'service' }),
    disconnect('MSB', [30, 0, 5], ['SRV'], { facing: 90, mount: { wall: 'wall-BACK', segment: 0 }, data: { ratedAmperes: amperes(1600), size: { width: feet(8), height: feet(7.5), depth: feet(2) }, ...data } }), ...more]), 'MSB');
  const entrance = (more: Entity[], data: Partial<Disconnect['data']> = {}): string | undefined => verdictOf(board(more, data), 'space.entrance');
  const ends = (left: number, right: number): Entity[] => [wall('L', [[26 - left, 0], [26 - left, 8]]), wall('R', [[34 + right, 0], [34 + right, 8]])];
  const opposite = (y: number): Entity => wall('O', [[0, y], [60, y]], { face: 'insulated' });

  it('twice the depth free in front: one entrance is enough, unless it is nearer than the depth', () => {
    expect(entrance([])).toBe('pass');
    expect(entrance([opposite(8.5)])).toBe('pass');
    expect(entrance([opposite(7.5)])).toBe('judgement');
    expect(entrance([wall('SIDE', [[36, 0], [36, 20]], { openings: [opening(1, 4, 'none')] })])).toBe('judgement');
  });
  it('with less in front the ends decide: both open is for a person to confirm, none at all fails', () => {
    const titleOf = (more: Entity[]): string | undefined => board(more).find((r) => r.check === 'space.entrance')?.title;
    expect(titleOf([opposite(7), ...ends(2.5, 2.5)])).toContain('free at both ends');
    expect(titleOf([opposite(7), ...ends(2.5, 1)])).toContain('end only');
    // Shut in: 1 ft at each end, and the wall opposite stands 1 ft beyond the depth.
    expect(entrance([opposite(6), ...ends(1, 1)])).toBe('fail');
    // A door leaf at an end may be the entrance itself.
    expect(entrance([opposite(6), wall('L', [[25, 0], [25, 8]], { openings: [opening(2, 5, 'closed')] }), wall('R', [[35, 0], [35, 8]])])).toBe('judgement');
  });
  it('is not asked below 1200 A or 6 ft, and asks for a width that is not given', () => {
    expect([entrance([], { ratedAmperes: amperes(1000) }), entrance([], { size: { width: feet(6), height: feet(7), depth: feet(2) } })]).toEqual([undefined, undefined]);
    expect(verdictOf(place(plan([load('SRV', [30, 12, 3], { kind: 'service' }), disconnect('MSB', [30, 0, 5], ['SRV'], { facing: 90, data: { ratedAmperes: amperes(1600) } })]), 'MSB'), 'space.entrance')).toBe('incomplete');
  });
  it('doors: measured from the working space; inwards from the same room fails, outwards wants its hardware confirmed, none drawn is no pass', () => {
    const door = (y: number, side: 'left' | 'right' | null): Entity => wall('D', [[0, y], [60, y]], { openings: [opening(28, 31, 'closed', side ? { swing: { hinge: 'from', side } } : {})] });
    const doors = (more: Entity[]): string | undefined => verdictOf(board(more), 'space.doors');
    // The space reaches to y = 5 (front 2 ft, depth 3 ft): a wall at y = 29.9 is 24.9 ft away, one at 30.1 is 25.1 ft.
    expect([doors([door(29.9, null)]), doors([door(30.1, null)]), doors([])]).toEqual(['judgement', 'pass', 'judgement']);
    // Drawn left to right with y down, left of the segment is up the sheet: towards the equipment.
    expect([doors([door(20, 'left')]), doors([door(20, 'right')])]).toEqual(['fail', 'judgement']);
    // Behind another wall it is another room's door.
    expect(doors([door(20, 'left'), wall('X', [[0, 15], [60, 15]])])).toBe('judgement');
  });
  it('hardware: recorded on every door that swings away it passes, said to be missing it fails, not known is never a pass', () => {
    const said = { yes: { panicHardware: true }, no: { panicHardware: false }, unknown: {} } as const;
    const leaf = (x: number, hardware: keyof typeof said, side: 'left' | 'right' | null = 'right') => opening(x, x + 3, 'closed', { ...(side ? { swing: { hinge: 'from', side } as const } : {}), ...said[hardware] });
    const doors = (...openings: ReturnType<typeof opening>[]): string | undefined => verdictOf(board([wall('D', [[0, 20], [60, 20]], { openings })]), 'space.doors');
    expect([doors(leaf(28, 'yes')), doors(leaf(28, 'unknown')), doors(leaf(28, 'no'))]).toEqual(['pass', 'judgement', 'fail']);
    // A second door counts as well as the first; one without a drawn swing, or one that swings in, is not made good by its hardware.
    expect([doors(leaf(28, 'yes'), leaf(34, 'yes')), doors(leaf(28, 'yes'), leaf(34, 'unknown')), doors(leaf(28, 'yes'), leaf(34, 'no'))]).toEqual(['pass', 'judgement', 'fail']);
    expect([doors(leaf(28, 'yes', null)), doors(leaf(28, 'yes', 'left'))]).toEqual(['judgement', 'fail']);
    // Behind another wall: not shown to be a door of this room, so it neither fails nor passes without a word.
    expect(verdictOf(board([wall('D', [[0, 20], [60, 20]], { openings: [leaf(28, 'no')] }), wall('X', [[0, 15], [60, 15]])]), 'space.doors')).toBe('judgement');
  });
});

describe('the space kept for panels and service equipment: NFPA 70 110.26(E)', () => {
  const panel: Supply = { kind: 'supply', id: 'supply-1', sheet: 'sheet-1', tag: 'LP-1', name: '', at: point(20, 20), system: 'system-main', role: 'panel' };
  const kept = (...more: Entity[]) => checkDedicatedSpace(plan([panel, ...more]))[0];
  it('a floor that people stand on is structure; a tank drawn as a machine is foreign until a person says otherwise', () => {
    const slab = kept(block('MEZ', rect(0, 0, 40, 40), 9, 10, { walkable: true }));
    expect([slab?.verdict, slab?.title]).toEqual(['pass', 'LP-1: nothing foreign drawn in the space kept above it; MEZ above it is structure']);
    const tankOver = machine('TK', [20, 20, 9], { outline: rect(18, 18, 22, 22), standing: feet(8), bodyTop: feet(11) });
    expect(kept(tankOver)?.verdict).toBe('judgement');
    expect(kept({ ...tankOver, standing: feet(13), height: feet(14), bodyTop: feet(16) })?.verdict).toBe('pass');
  });
});

describe('what cases of practice say of the place', () => {
  it('a switch inside the parapet is in reach from the roof it is worked from; one on the next roof is not without stairs', () => {
    const roofs = [block('UPPER', rect(0, 0, 30, 40), 0, 20, { walkable: true }), block('LOWER', rect(30, 0, 50, 40), 0, 12, { walkable: true })];
    const unit = load('RTU', [15, 12, 22], { kind: 'hermetic' }, { standing: feet(20) });
    const results = (at: [number, number, number], standing: number) => place(plan([...roofs, unit, disconnect('DS', at, ['RTU'], { standing: feet(standing) })]));
    expect(verdictOf(results([29.5, 20, 3.2], 20), 'reach.height')).toBe('pass');
    const across = results([34, 12, 5], 12).find((r) => r.check === 'reach.access');
    expect([across?.verdict, across?.title]).toEqual(['fail', expect.stringContaining('without stairs: a ladder or hatch is climbing')]);
    const stairs = roofs.map((r) => ({ ...r, stairs: true }));
    expect(place(plan([...stairs, unit, disconnect('DS', [34, 12, 5], ['RTU'], { standing: feet(12) })])).find((r) => r.check === 'reach.access')?.title).toContain(`8'-0" of level, by the fixed stairs marked on the platform`);
  });
  it('a unit placed later into a space raises the finding with the next check, and taking it away ends it', () => {
    const before = plan([wall('W', [[0, 0], [40, 0]]), load('M', [20, 12, 2]), disconnect('DS', [20, 0, 5], ['M'], { facing: 90, mount: { wall: 'wall-W', segment: 0 }, data: { size: { width: feet(1), height: feet(2), depth: feet(0.5) } } })]);
    const later = { ...before, entities: { ...before.entities, 'obstruction-CU': block('CU', rect(18, 2, 22, 4), 0, 4) } };
    expect([before, later, before].map((d) => verdictOf(place(d), 'space.depth'))).toEqual(['pass', 'fail', 'pass']);
  });
});

describe('drawn into each other: nothing can be built there (own reading; no rule prints it)', () => {
  const M = load('M', [10, 10, 2]);
  const overlap = (entities: Entity[], at: [number, number, number], more: Partial<Disconnect> = {}): Result | undefined => place(plan([M, ...entities, disconnect('DS', at, ['M'], { facing: 90, ...more })])).find((r) => r.check === 'place.overlap');
  const other = (at: [number, number, number], more: Partial<Disconnect> = {}): Disconnect => disconnect('DS-2', at, ['M'], { facing: 90, ...more });
  const sized = { data: size(1, 2, 0.5) };

  it('two enclosures by their boxes, in plan and in height: side by side is fine, an inch into each other is said', () => {
    const beside = (gap: number, z = 5): Result | undefined => overlap([other([20 + 1 + gap, 30, z], sized)], [20, 30, 5], sized);
    expect([beside(0), beside(0.01), beside(-1 / 12)?.verdict]).toEqual([undefined, undefined, 'fail']);
    expect(beside(-1 / 12)?.title).toBe('DS is drawn into DS-2 by 0\'-1"');
    // Two feet high each: one above the other from 2 ft on.
    expect([beside(-1, 7), beside(-1, 6.9)?.verdict]).toEqual([undefined, 'fail']);
  });
  it('back to back on the two sides of one wall they do not meet', () => {
    const W = wall('W', [[0, 30], [40, 30]], { thickness: feet(0.5) });
    const hung = (y: number, facing: number, data: Partial<Disconnect> = {}) => ({ mount: { wall: 'wall-W', segment: 0 }, facing, ...data });
    for (const data of [sized, {}]) expect(overlap([W, other([20, 30.25, 5], hung(30.25, 90, data))], [20, 29.75, 5], hung(29.75, 270, data))).toBeUndefined();
    expect(overlap([W, other([20.2, 29.75, 5], hung(29.75, 270))], [20, 29.75, 5], hung(29.75, 270))?.verdict).toBe('fail');
  });
  it('marks of unknown size: on top of each other fails, close by asks for the size, further off is fine', () => {
    expect([0, 0.6, 1.1].map((d) => overlap([other([20 + d, 30, 5])], [20, 30, 5])?.verdict)).toEqual(['fail', 'incomplete', undefined]);
    expect(overlap([controller('C', [20.1, 30, 5])], [20, 30, 5])?.verdict).toBe('fail');
  });
  it('inside an obstruction, by its handle or by a part of its enclosure, and only at its height', () => {
    const tank = block('T', rect(18, 28, 22, 32), 0, 9);
    expect([overlap([tank], [20, 30, 5])?.verdict, overlap([tank], [25, 30, 5]), overlap([{ ...tank, top: feet(3) }], [20, 30, 5])]).toEqual(['fail', undefined, undefined]);
    // The enclosure, 1 ft wide and half a foot deep behind its front, stands 0.2 ft into the tank's side.
    expect([overlap([tank], [22.3, 30, 5], sized)?.verdict, overlap([tank], [22.5, 30, 5], sized)]).toEqual(['fail', undefined]);
    // In the recess of a bench that goes round it on three sides it stands in nothing.
    const bench = block('U', [[15, 25], [25, 25], [25, 35], [22, 35], [22, 28], [18, 28], [18, 35], [15, 35]].map(([x, y]) => point(x!, y!)), 0, 9);
    expect([overlap([bench], [20, 30, 5], sized), overlap([bench], [20, 28.2, 5], sized)?.verdict]).toEqual([undefined, 'fail']);
  });
  it('in a wall that it does not hang on, also past a corner', () => {
    const corner = [wall('A', [[0, 30], [40, 30]], { thickness: feet(0.5) }), wall('B', [[40, 30], [40, 60]], { thickness: feet(0.5) })];
    const hung = (x: number): string | undefined => overlap(corner, [x, 30.25, 5], { mount: { wall: 'wall-A', segment: 0 }, data: size(1, 2, 0.5) })?.verdict;
    // The face of B is at x = 39.75: an enclosure 1 ft wide fits with its middle at 39.25.
    expect([hung(39.25), hung(39.3)]).toEqual([undefined, 'fail']);
    expect(overlap(corner, [20, 30, 5])?.verdict).toBe('fail');
  });
  it('deep inside a body fails, on the face of the unit it serves it does not; over one of unknown top it is a judgement', () => {
    const unit = { ...M, outline: rect(6, 6, 14, 14), bodyTop: feet(6) };
    const at = (y: number, body: Entity, z = 5): string | undefined => place(plan([body, disconnect('DS', [10, y, z], ['M'], { facing: 90 })])).find((r) => r.check === 'place.overlap')?.verdict;
    expect([at(14, unit), at(13.5, unit), at(12, unit), at(12, unit, 6.5)]).toEqual([undefined, undefined, 'fail', undefined]);
    const { bodyTop: _, ...open } = unit;
    expect([at(12, open, 3), at(12, open, 6)]).toEqual(['fail', 'judgement']);
    expect(place(plan([M, machine('X', [30, 30, 3], { outline: rect(28, 28, 32, 32), bodyTop: feet(6) }), disconnect('DS', [31.7, 30, 5], ['M'])])).find((r) => r.check === 'place.overlap')?.title).toBe(`DS is drawn into X by 0'-3 5/8"`);
  });
  it('a panel on top of a controller is said for the document', () => {
    const panel: Supply = { kind: 'supply', id: 'supply-1', sheet: 'sheet-1', tag: 'LP-1', name: '', at: point(20, 20), system: 'system-main', role: 'panel' };
    expect(checkPanelOverlaps(plan([panel, controller('C', [20.2, 20, 4])]))[0]).toMatchObject({ verdict: 'fail', title: 'LP-1 and C are drawn one on top of the other' });
    expect(checkPanelOverlaps(plan([panel, controller('C', [21, 20, 4])]))).toEqual([]);
  });
  it('a drawing turned and moved says the same', () => {
    const turned = (degrees: number): string | undefined => {
      const c = Math.cos((degrees * Math.PI) / 180); const s = Math.sin((degrees * Math.PI) / 180);
      const t = (x: number, y: number): [number, number] => [c * x - s * y + 100, s * x + c * y + 50];
      const p = (x: number, y: number, z: number): [number, number, number] => [...t(x, y), z];
      return verdictOf(place(plan([load('M', p(10, 10, 2)), other(p(20.95, 30, 5), { ...sized, facing: 90 + degrees }), disconnect('DS', p(20, 30, 5), ['M'], { ...sized, facing: 90 + degrees })])), 'place.overlap');
    };
    expect([0, 33, 90, 217].map(turned)).toEqual(['fail', 'fail', 'fail', 'fail']);
  });
});
