import { describe, expect, it } from 'vitest';
import { createChecker } from '../../shared-core/checks/index';
import type { PairReport } from '../../shared-core/checks/index';
import type { Document, Entity } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { block, controller, disconnect, exactScale, exception, load, machine, opening, plan, point, rect, wall } from './checks-plan';

// Layouts and expected verdicts restate practitioners' cases (forum threads, trade columns, published rule texts; see the
// sources of the placement rules). Own reading: standing eye 5'-6", two lines, both clear = pass, both blocked = fail.
const pairsOf = (document: Document): PairReport[] => createChecker(document).checkAll();
const only = (document: Document): PairReport => {
  const pairs = pairsOf(document);
  expect(pairs).toHaveLength(1);
  return pairs[0] as PairReport;
};
const M = load('M-1', [10, 10, 1]);
const view = (entities: Entity[], at: [number, number, number]): PairReport => only(plan([...entities, M, disconnect('DS-1', at, ['M-1'])]));

describe('distance', () => {
  const at = (x: number, y: number, z = 1): PairReport => view([], [10 + x, 10 + y, z]);
  it('exactly 50 ft passes, the least over fails', () => {
    expect(at(30, 40).verdict).toBe('pass');
    expect(at(30, 40).result.margin).toEqual({ value: 0, unit: 'ft' });
    expect(at(30, 40 + 1e-13).verdict).toBe('fail');
  });
  it('is straight in space: height counts', () => { expect(at(0, 50, 2).verdict).toBe('fail'); });
  it('9 m is the limit in Canada: 29.5 ft pass, 30 ft fail', () => {
    const ca = (x: number): PairReport => only(plan([M, disconnect('DS-1', [10 + x, 10, 1], ['M-1'])], { jurisdiction: 'CA' }));
    expect([ca(29.5).verdict, ca(30).verdict]).toEqual(['pass', 'fail']);
    expect(ca(30).result.citations[0]?.text).toBe('CSA C22.1 28-604(3)(a)');
  });
  it('a scale that is not sure enough makes a distance near the limit marginal', () => {
    const scale = { ...exactScale, relativeUncertainty: 0.02 };
    const near = only(plan([load('M-1', [12, 10, 1.5]), disconnect('DS-A', [54, 36, 5], ['M-1'])], {}, scale));
    expect(near.verdict).toBe('marginal');
    expect(near.uncertainty).toBeCloseTo(0.99, 2);
    expect(near.result.remedies).toContain('Measure the distance from DS-A to M-1 on site.');
  });
  it('a local amendment replaces the limit and is said with the citation', () => {
    const overrides = [{ id: 'override-1', key: 'within-sight.distance', value: 25, unit: 'ft', reason: 'city ordinance', authority: 'town' }];
    const pair = only(plan([M, disconnect('DS-1', [40, 10, 1], ['M-1'])], { overrides }));
    expect(pair.verdict).toBe('fail');
    expect(pair.result.citations[0]?.note).toContain('city ordinance');
  });
  it('a machine longer than the limit is a judgement that says nearest and farthest', () => {
    const conveyor = machine('CV-1', [60, 11.5, 2], { outline: rect(0, 10, 120, 13), bodyTop: feet(3) });
    const pairs = pairsOf(plan([load('CV-1-M', [4, 9, 2], { kind: 'motor' }, { machine: conveyor.id }), conveyor, disconnect('DS-A', [6, 7, 5], ['CV-1-M'])]));
    expect(pairs.map((p) => [p.target, p.verdict])).toEqual([['motor', 'pass'], ['machine', 'judgement']]);
    expect(pairs[1]?.reach?.nearest).toBeCloseTo(Math.hypot(3, 3));
    expect(pairs[1]?.reach?.farthest).toBeCloseTo(Math.hypot(114, 6, 3));
    // What practice advises beside it (forum threads on conveyor drives): a stop along the length is another thing than isolation.
    expect(pairs[1]?.result.remedies).toContainEqual(expect.stringMatching(/pull cords or stop buttons, which stop but do not isolate/));
    expect(pairs[0]?.result.remedies).toEqual([]);
  });
});

describe('what stands between', () => {
  it('a tank that hides both lines fails and is named with the height where it is met', () => {
    const pair = view([block('T-1', rect(18, 7, 26, 13), 0, 9)], [34, 10, 5]);
    expect(pair.verdict).toBe('fail');
    expect(pair.result.title).toContain('T-1 stands between');
    expect(pair.bodyLine?.meets[0]).toMatchObject({ entity: 'obstruction-T-1', transmission: 'opaque' });
    expect(pair.result.remedies[0]).toContain('T-1');
  });
  it('a low bench hides the body line only: judgement', () => {
    const pair = view([block('B-1', rect(6, 20, 16, 23), 0, 3)], [10, 34, 5]);
    expect([pair.verdict, pair.eyeLine?.state, pair.bodyLine?.state]).toEqual(['judgement', 'clear', 'blocked']);
  });
  it('a corner that clips the line while part of the enclosure shows is a judgement, without its width a failure', () => {
    const tank = block('T-1', rect(18, 7, 26, 13), 0, 9);
    const seen = (size: boolean): PairReport => only(plan([tank, M, disconnect('DS-C', [30, 17, 5], ['M-1'], size ? { data: { size: { width: feet(1), height: feet(1), depth: feet(0.5) } } } : {})]));
    expect([seen(true).verdict, seen(false).verdict]).toEqual(['judgement', 'fail']);
  });
  it('a slab hides what is straight below, a standing eye sees over its edge from far out', () => {
    const slab = block('slab', rect(0, 0, 20, 20), 13.3, 14);
    const from = (x: number, y: number, z: number): PairReport => only(plan([slab, load('AHU-2', [10, 10, 15], { kind: 'motor' }, { standing: feet(14) }), disconnect('DS-1', [x, y, z], ['AHU-2'])]));
    expect([from(12, 10, 5).verdict, from(32, 10, 5).verdict, from(44, 10, 5).verdict, from(16, 18, 18.5).verdict]).toEqual(['fail', 'fail', 'judgement', 'pass']);
  });
  it('a load under the floor that people stand on is never seen without doubt', () => {
    const pair = only(plan([load('P-1', [10, 10, -3]), disconnect('DS-1', [14, 10, 4], ['P-1'])]));
    expect([pair.verdict, pair.bodyLine?.state]).toEqual(['judgement', 'doubtful']);
  });
  it('a load is no obstacle to itself but hides another', () => {
    const big = load('M-9', [20, 10, 2], { kind: 'motor' }, { outline: rect(18, 8, 22, 12), bodyTop: feet(8) });
    const pairs = pairsOf(plan([M, big, disconnect('DS-1', [30, 10, 5], ['M-1', 'M-9'])]));
    expect(pairs.map((p) => p.verdict)).toEqual(['fail', 'pass']);
  });
  it('a body whose top is not given makes a line above it doubtful', () => {
    const big = load('M-9', [20, 10, 2], { kind: 'motor' }, { outline: rect(18, 8, 22, 12) });
    const pair = only(plan([load('M-1', [10, 10, 6]), big, disconnect('DS-1', [30, 10, 6], ['M-1'])]));
    expect([pair.verdict, pair.bodyLine?.state]).toEqual(['judgement', 'doubtful']);
    expect(pair.result.title).toContain('height is not given');
  });
});

describe('openings', () => {
  const room = (leaf: Parameters<typeof opening>[2]): Entity[] => [wall('W1', [[0, 15], [12, 15]], { openings: [opening(4, 7, leaf)] })];
  const through = (leaf: Parameters<typeof opening>[2]): PairReport => only(plan([...room(leaf), load('M-4', [5.5, 6, 1]), disconnect('DS-C', [5.5, 23, 5], ['M-4'])]));
  it('a closed solid leaf blocks; an empty doorway does not', () => { expect([through('closed').verdict, through('none').verdict]).toEqual(['fail', 'pass']); });
  it('a leaf that is only normally open, a vision panel and a window are never a silent pass', () => {
    for (const leaf of ['normally-open', 'vision-panel', 'glazed'] as const) {
      expect(through(leaf).verdict).toBe('judgement');
      expect(through(leaf).eyeLine?.meets[0]?.opening).toBe('opening-4-7');
    }
  });
  it('the wall over the head and under the sill still blocks', () => {
    const window = wall('W1', [[0, 15], [12, 15]], { openings: [opening(4, 7, 'none', { sill: feet(3), head: feet(6) })] });
    const at = (z: number): PairReport => only(plan([window, load('M-4', [5.5, 6, z]), disconnect('DS-C', [5.5, 23, z], ['M-4'])]));
    expect([at(2).bodyLine?.state, at(4).bodyLine?.state, at(8).bodyLine?.state]).toEqual(['blocked', 'clear', 'blocked']);
    expect([at(3).bodyLine?.state, at(6).bodyLine?.state]).toEqual(['blocked', 'blocked']);
  });
  it('mesh is clear, and said', () => {
    const pair = view([wall('F', [[25, -10], [25, 50]], { top: feet(8), material: 'mesh' })], [33, 12, 5]);
    expect(pair.verdict).toBe('pass');
    expect(pair.result.title).toContain('seen through a mesh guard');
  });
});

describe('walls', () => {
  const L = [wall('W1', [[20, 0], [20, 18]], { thickness: feet(0.5) }), wall('W2', [[20, 18], [40, 18]], { thickness: feet(0.5) })];
  const hung = (at: [number, number, number], wallId: string, facing: number): PairReport =>
    only(plan([...L, load('M-2', [10, 8, 1.2]), disconnect('DS', at, ['M-2'], { mount: { wall: `wall-${wallId}`, segment: 0 }, facing })]));
  it('a device is not hidden by the wall it hangs on, from the side it faces', () => {
    expect(hung([19.75, 14, 5], 'W1', 180).verdict).toBe('pass');
    expect(hung([20.25, 14, 5], 'W1', 0).verdict).toBe('fail');
  });
  it('one snapped to the centre line counts as on the face it looks from', () => {
    expect(hung([20, 5, 5], 'W1', 180).verdict).toBe('pass');
    expect(hung([20, 5, 5], 'W1', 0).verdict).toBe('fail');
  });
  it('one drawn on the other side than it faces stays hidden', () => { expect(hung([20.25, 5, 5], 'W1', 180).verdict).toBe('fail'); });
  it('corners are closed: a line that clips the outer corner of two walls is blocked, drawn as one wall or as two', () => {
    const corner: [number, number][] = [[0, 0], [10, 0], [10, 10]];
    const thick = { thickness: feet(1) };
    const pair = (walls: Entity[]): PairReport => only(plan([...walls, load('M', [9, -2, 5]), disconnect('DS', [12, 1, 5], ['M'])]));
    // The line from (9,-2) to (12,1) passes the corner (10.5,-0.5) exactly; a little nearer it cuts the notch.
    const near = (walls: Entity[]): PairReport => only(plan([...walls, load('M', [9, -1.8, 5]), disconnect('DS', [12, 1.2, 5], ['M'])]));
    expect(near([wall('A', corner, thick)]).verdict).toBe('fail');
    expect(near([wall('A', corner.slice(0, 2), thick), wall('B', corner.slice(1), thick)]).verdict).toBe('fail');
    expect(pair([wall('A', corner, thick)]).verdict).toBe('fail');
    expect(only(plan([wall('A', corner, thick), load('M', [9, -2.2, 5]), disconnect('DS', [12.2, 1, 5], ['M'])])).verdict).toBe('pass');
  });
  it('a pick uncertainty near nothing takes no time and changes nothing', () => {
    const scale = { ...exactScale, pickUncertainty: sheetUnits(5e-324) };
    expect(only(plan([wall('A', [[0, 0], [10, 0], [10, 10]], { thickness: feet(1) }), M, disconnect('DS', [20, 10, 1], ['M-1'])], {}, scale)).verdict).toBe('fail');
  });
  it('a view that hangs on less than the plan is sure of is marginal', () => {
    const scale = { ...exactScale, pickUncertainty: sheetUnits(0.2) };
    const past = (end: number): PairReport => only(plan([wall('W', [[20, 0], [20, end]]), M, disconnect('DS', [30, 10, 5], ['M-1'])], {}, scale));
    expect([past(9.7).verdict, past(9).verdict]).toEqual(['marginal', 'pass']);
  });
});

describe('targets', () => {
  it('motor and driven machine are two: a fan wheel behind the wall fails', () => {
    const fan = machine('EF-1', [10, 16, 2]);
    const from = (at: [number, number, number]): string[] => pairsOf(plan([wall('W1', [[0, 13], [20, 13]]), load('EF-1-M', [10, 10, 2], { kind: 'motor' }, { machine: fan.id }), fan, disconnect('DS', at, ['EF-1-M'])])).map((p) => `${p.target} ${p.verdict}`);
    expect(from([16, 9, 5])).toEqual(['motor pass', 'machine fail']);
    expect(from([21.5, 13, 5])).toEqual(['motor pass', 'machine pass']);
  });
  it('a drive in another room: the switch at the pump serves the motor, the one at the drive serves the drive', () => {
    const drive = controller('VFD-7', [80, 69.5, 4.5]);
    const pump = load('P-7', [10, 10, 1.5], { kind: 'motor' }, { controller: drive.id });
    const room = [wall('ER-W', [[70, 50], [70, 80]]), wall('ER-S', [[70, 50], [95, 50]])];
    const input = disconnect('DS-I', [80, 67, 4.5], ['P-7']); const local = disconnect('DS-L', [13, 12, 5], ['P-7']);
    const alone = pairsOf(plan([...room, drive, pump, input])).map((p) => `${p.target} ${p.verdict}`);
    expect(alone).toEqual(['motor fail', 'controller pass']);
    const both = pairsOf(plan([...room, drive, pump, input, local]));
    expect(both.map((p) => p.verdict)).toEqual(['pass', 'pass', 'pass', 'pass']);
    expect(both[0]?.viewVerdict).toBe('fail');
    expect(both[0]?.result.title).toContain('DS-L');
  });
  it('a panel that is asked for and not there is asked for by name', () => {
    const pair = only(plan([load('MC-1', [10, 10, 3], { kind: 'machine' }), disconnect('DS', [12, 10, 5], ['MC-1'])]));
    expect([pair.verdict, pair.result.missing]).toEqual(['incomplete', ['controller or control panel of MC-1']]);
  });
});

describe('what is missing', () => {
  it('no scale, no place: incomplete, with the name of what is missing', () => {
    expect(only(plan([M, disconnect('DS', [12, 10, 5], ['M-1'])], {}, null)).result.missing).toEqual(['scale of sheet Ground floor']);
    const unplaced = only(plan([{ ...M, at: null }, disconnect('DS', [12, 10, 5], ['M-1'])]));
    expect([unplaced.verdict, unplaced.distance, unplaced.result.missing]).toEqual(['incomplete', null, ['place of M-1 on the plan']]);
  });
  it('a fault inside a check proves nothing: incomplete', () => {
    const broken = only(plan([block('T', [point(Number.NaN, 0), point(1, 0), point(1, 1)], 0, 3), M, disconnect('DS', [12, 10, 5], ['M-1'])]));
    expect(broken.verdict).toBe('incomplete');
  });
});

describe('exceptions', () => {
  const mcc = disconnect('MCC-2F', [200, 40, 4.5], ['P-301'], { data: { lockable: true } });
  const room = wall('MCC-W', [[150, 0], [150, 80]], { openings: [opening(30, 33, 'closed', { locked: true })] });
  const pump = load('P-301', [20, 20, 1.5], { kind: 'motor', conditions: ['industrial', 'qualified-persons'] });
  const judged = (...entities: Entity[]): PairReport => only(plan([room, ...entities]));
  it('without a record a lockable switch out of sight fails', () => { expect(judged(pump, mcc).verdict).toBe('fail'); });
  it('industrial procedures on record: accepted on paper, so the authority decides', () => {
    const pair = judged(pump, mcc, exception('MCC-2F', 'P-301', 'industrial-procedures'));
    expect([pair.verdict, pair.viewVerdict]).toEqual(['judgement', 'fail']);
  });
  it('no written procedure on file, or a school: refused', () => {
    expect(judged(pump, mcc, exception('MCC-2F', 'P-301', 'industrial-procedures', { document: '' })).verdict).toBe('fail');
    expect(judged({ ...pump, data: { kind: 'motor' } }, mcc, exception('MCC-2F', 'P-301', 'industrial-procedures')).verdict).toBe('fail');
  });
  it('comfort cooling has no such exception, cooling essential to a process has', () => {
    const cooling = (conditions: string[]): PairReport => judged({ ...pump, data: { kind: 'hermetic', conditions } }, mcc, exception('MCC-2F', 'P-301', 'process-cooling'));
    expect(cooling(['industrial', 'qualified-persons']).verdict).toBe('fail');
    expect(cooling(['industrial', 'qualified-persons', 'process-essential']).verdict).toBe('judgement');
    expect(judged({ ...pump, data: { kind: 'hermetic' } }, mcc, exception('MCC-2F', 'P-301', 'impracticable')).verdict).toBe('fail');
    // What a motor's rule accepts is no condition of the cooling rule, recorded ever so fully.
    expect(judged({ ...pump, data: { kind: 'hermetic', conditions: ['industrial', 'qualified-persons'] } }, mcc, exception('MCC-2F', 'P-301', 'industrial-procedures')).verdict).toBe('fail');
  });
  it('impracticable, reason cost: judgement; a submersible pump: settled', () => {
    expect(judged(pump, mcc, exception('MCC-2F', 'P-301', 'impracticable', { reason: 'cost' })).verdict).toBe('judgement');
    const well = load('WP-1', [150, 80, -180], { kind: 'motor', conditions: ['submersible'] }, { controller: 'controller-PS-1' });
    const parts = [well, controller('PS-1', [10, 10, 4])];
    const lock = (lockable: boolean): string[] => pairsOf(plan([...parts, disconnect('SW-1', [11.2, 10, 4.5], ['WP-1'], { data: { lockable } }), exception('SW-1', 'WP-1', 'impracticable')])).map((p) => `${p.target} ${p.verdict}`);
    expect(lock(true)).toEqual(['motor pass', 'controller pass']);
    expect(lock(false)).toEqual(['motor fail', 'controller pass']);
    // Without a switch at the pressure switch the panel breaker is all there is: the pump is excused, its controller is not.
    const basement = wall('BASEMENT', [[30, 0], [30, 40]], { bottom: feet(-2), top: feet(8) });
    const breaker = disconnect('LP-1', [45, 10, 5], ['WP-1'], { data: { lockable: true } });
    const far = pairsOf(plan([...parts, basement, breaker, exception('LP-1', 'WP-1', 'impracticable')]));
    expect(far.map((p) => [p.target, p.verdict, p.viewVerdict])).toEqual([['motor', 'pass', 'judgement'], ['controller', 'fail', 'fail']]);
    expect(far[1]?.result.remedies.some((r) => r.includes('exception'))).toBe(false);
  });
  it('an appliance may be locked elsewhere: with the record and a provision that stays', () => {
    const heater = load('WH-1', [15, 40, 3], { kind: 'appliance', kilowatts: 4.5 });
    const W1 = wall('W1', [[0, 30], [60, 30]]);
    const panel = (lockable: boolean | undefined, ...records: Entity[]): string => only(plan([W1, heater, disconnect('LP-1', [20, 17, 5], ['WH-1'], { data: lockable === undefined ? {} : { lockable } }), ...records])).verdict;
    const record = exception('LP-1', 'WH-1', 'lockable-instead');
    expect([panel(true), panel(true, record), panel(false, record), panel(undefined, record)]).toEqual(['fail', 'pass', 'fail', 'incomplete']);
    // A record that leaves out a part is no record: it is asked for.
    for (const part of ['reason', 'document', 'person', 'date'] as const) expect(panel(true, { ...record, [part]: ' ' })).toBe('incomplete');
  });
  it('pool equipment has none', () => {
    const pair = only(plan([wall('W', [[12, 0], [12, 20]]), load('PM-1', [10, 10, 1], { kind: 'pool' }), disconnect('DS', [14, 10, 4.5], ['PM-1'], { data: { lockable: true } }), exception('DS', 'PM-1', 'lockable-instead')]));
    expect(pair.verdict).toBe('fail');
    expect(pair.result.title).toContain('no exception exists');
  });
});
