import { describe, expect, it } from 'vitest';
import { Trace, given, table } from '../../shared-core/code-data/index';
import type { Figure } from '../../shared-core/code-data/index';
import type { DeviceData, Disconnect, Document, Load, LoadData, SupplySystem } from '../../shared-core/document/index';
import { feet, sheetUnits, volts } from '../../shared-core/units/index';
import { readSize, sizeForAmpacity, sizeForArea, sizeName } from '../../shared-core/sizing/conductor';
import { lineNeutralFault, pointToPoint, secondTransformer, sourceImpedance, transformerAmperes } from '../../shared-core/sizing/fault-current';
import { loadAmperes } from '../../shared-core/sizing/general-load';
import { projectOf, routeBetween } from '../../shared-core/sizing/project';
import { startingCeiling } from '../../shared-core/sizing/protection';
import { switchCircuitVolts, switchClass } from '../../shared-core/sizing/rating';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
type Sized = ReturnType<typeof size>;
const find = (s: Sized, check: string) => s.results.find((r) => r.check === check);
const stepOf = (s: Sized, check: string, formula: string): number => Number(find(s, check)?.steps.find((x) => x.formula.startsWith(`${formula} = `))?.value ?? Number.NaN);
const at = (x: number, y: number) => ({ x: sheetUnits(x), y: sheetUnits(y) });
const t = (): Trace => new Trace({ edition: '2023' });
const figure = (name: string, value: number, unit: string): Figure => given(name, value, unit, 'typed');
const MOTOR = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;

describe('the circuit a load hangs on', () => {
  const unfed: Plain<DeviceData> = { fedFrom: undefined };
  const current = (s: Sized) => find(s, 'sizing.load-current');
  it.each<[string, Plain<LoadData>, SupplySystem, number, number]>([
    // Tables 430.248 and 430.250: 1 hp at 115 V is 16 A, 2 hp at 230 V is 12 A, 5 hp at 208 V three-phase is 16.7 A.
    ['line to neutral of a three-wire system', { kind: 'motor', horsepower: 1, voltage: 115, phases: 1 }, SYSTEM_240, 120, 16],
    ['line to line of a three-wire system', { kind: 'motor', horsepower: 2, voltage: 230, phases: 1 }, SYSTEM_240, 240, 12],
    ['line to neutral of a four-wire wye', { kind: 'motor', horsepower: 1, voltage: 115, phases: 1 }, SYSTEM_208, 120, 16],
    ['three phases of a four-wire wye', { kind: 'motor', horsepower: 5, voltage: 208, phases: 3 }, SYSTEM_208, 208, 16.7],
  ])('%s', (_name, load, system, voltage, amperes) => {
    for (const device of [{}, unfed]) {
      const s = size(load, device, { system });
      expect(current(s)?.value).toEqual({ value: amperes, unit: 'A' });
      expect(current(s)?.title).toContain(`at ${voltage} V`);
    }
  });
  it('a three-wire delta has no neutral to hang on', () => {
    const delta = { ...SYSTEM_208, name: 'delta', voltage: volts(240), wires: 3, voltsToGround: volts(120) };
    expect(current(size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 1 }, {}, { system: delta }))?.title).toContain('rated 115 V, but delta has 240 V');
  });
  it('a two-wire system has no neutral besides its own return', () => {
    const two = { ...SYSTEM_240, name: 'two-wire', wires: 2 };
    expect(current(size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 1 }, {}, { system: two }))?.title).toContain('but two-wire has 240 V');
  });
  it('three phases never hang between line and neutral', () => {
    expect(current(size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 3 }, {}, { system: SYSTEM_208 }))?.title).toContain('rated 115 V');
    expect(current(size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 3 }, unfed, { system: SYSTEM_208 }))?.title).toContain('M-1: 8.4 A at 120 V');
  });
  it('without a feed the only system still tells line from neutral', () => {
    expect(find(size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 1 }, unfed, { system: SYSTEM_240 }), 'sizing.poles')?.value).toBe('1-pole with solid neutral');
    expect(find(size({ kind: 'motor', horsepower: 2, voltage: 230, phases: 1 }, unfed, { system: SYSTEM_240 }), 'sizing.poles')?.value).toBe('2-pole');
    expect(find(size(MOTOR, unfed), 'sizing.poles')?.value).toBe('3-pole');
  });
  it('without a feed, the only system counts if the rating fits it; else the rating itself, and no system is guessed among several', () => {
    expect(find(size(MOTOR, unfed), 'sizing.voltage-drop')?.missing.join()).toContain('supply that feeds');
    expect(current(size({ kind: 'motor', horsepower: 25, phases: 3 }, unfed))?.title).toContain('34 A at 480 V');
    expect(current(size({ kind: 'motor', horsepower: 25, voltage: 575, phases: 3 }, unfed))?.title).toContain('27 A at 600 V');
    expect([440, 550].map((voltage) => current(size({ kind: 'motor', horsepower: 25, voltage, phases: 3 }, unfed, { facts: { systems: [SYSTEM_480, SYSTEM_208] } }))?.title.replace(/.* at /, ''))).toEqual(['480 V, 3-phase', '600 V, 3-phase']);
    expect(current(size({ kind: 'motor', horsepower: 25, phases: 3 }, unfed, { facts: { systems: [SYSTEM_480, SYSTEM_208] } }))?.missing.join()).toContain('voltage or supply system of M-1');
    expect(current(size({ kind: 'motor', horsepower: 25, voltage: 460 }, unfed, { facts: { systems: [SYSTEM_480, SYSTEM_208] } }))?.missing.join()).toContain('phases of M-1');
    expect(current(size({ ...MOTOR, system: 'gone' }))?.title).toContain('not in the project');
  });
  it('is rated from 91 to 105 percent of the system: 437 to 504 V on 480 V', () => {
    const verdict = (voltage: number) => current(size({ kind: 'heater', kilowatts: 10, voltage, phases: 3 }))?.verdict;
    expect([436, 437, 504, 505].map(verdict)).toEqual(['incomplete', 'pass', 'pass', 'incomplete']);
  });
  it('above 1000 V says that these rules and tables end there', () => {
    const s = size({ kind: 'heater', kilowatts: 100, phases: 3 }, {}, { system: { ...SYSTEM_480, name: '4160 V', voltage: volts(4160), voltsToGround: volts(2400) } });
    expect(current(s)).toMatchObject({ verdict: 'incomplete' });
    expect(current(s)?.title).toContain('1000 V');
    expect(s.summary).toMatchObject({ requiredAmperes: null, switchAmperes: null, conductor: null });
    expect(current(size({ kind: 'heater', kilowatts: 100, phases: 3 }, {}, { system: { ...SYSTEM_480, voltage: volts(1000), voltsToGround: volts(577) } }))?.verdict).toBe('pass');
  });
});

describe('power to current: the definition of power', () => {
  it.each<[Plain<LoadData>, SupplySystem, number]>([
    [{ kind: 'heater', kilowatts: 10, voltage: 480, phases: 3 }, SYSTEM_480, 10_000 / (Math.sqrt(3) * 480)], [{ kind: 'heater', kilowatts: 10, voltage: 240, phases: 1 }, SYSTEM_240, 10_000 / 240], [{ kind: 'continuous', kilowatts: 10, powerFactor: 0.8, phases: 3 }, SYSTEM_480, 10_000 / (Math.sqrt(3) * 480 * 0.8)],
    [{ kind: 'continuous', kva: 30, phases: 3 }, SYSTEM_480, 30_000 / (Math.sqrt(3) * 480)], [{ kind: 'continuous', kva: 5, voltage: 120, phases: 1 }, SYSTEM_240, 5000 / 120], [{ kind: 'appliance', kilowatts: 4.5, voltage: 240, phases: 1 }, SYSTEM_240, 18.75], [{ kind: 'continuous', nameplateAmperes: 17, phases: 3 }, SYSTEM_480, 17],
  ])('%o', (load, system, amperes) => { expect(find(size(load, {}, { system }), 'sizing.load-current')?.value).toEqual({ value: Number(amperes.toFixed(2)), unit: 'A' }); });
  it('says where the power factor came from', () => {
    const pf = (load: Plain<LoadData>) => find(size(load), 'sizing.load-current')?.steps.flatMap((x) => x.inputs).find((i) => i.name === 'pf');
    expect(pf({ kind: 'heater', kilowatts: 10, voltage: 480, phases: 3 })).toMatchObject({ value: 1, from: 'default' });
    expect(pf({ kind: 'continuous', kilowatts: 10, powerFactor: 0.8, phases: 3 })).toMatchObject({ value: 0.8, from: 'nameplate' });
    const volts_ = (load: Plain<LoadData>) => find(size(load), 'sizing.load-current')?.steps.flatMap((x) => x.inputs).find((i) => i.name === 'U');
    expect(volts_({ kind: 'heater', kilowatts: 10, voltage: 460, phases: 3 })).toMatchObject({ value: 460, from: 'nameplate' });
    expect(volts_({ kind: 'heater', kilowatts: 10, phases: 3 })).toMatchObject({ value: 480, from: 'plan' });
  });
  it('volt-amperes count as such', () => {
    for (const [phases, amperes] of [[1, 9600 / 240], [3, 9600 / (Math.sqrt(3) * 240)], ['dc', 40]] as const) expect(loadAmperes(t(), figure('S', 9600, 'VA'), figure('U', 240, 'V'), phases).value).toBeCloseTo(amperes, 9);
  });
  it('kW without a power factor is asked for, unless the load is heat', () => {
    expect(find(size({ kind: 'continuous', kilowatts: 10, phases: 3 }), 'sizing.load-current')?.missing.join()).toContain('power factor');
    expect(find(size({ kind: 'welder', kilowatts: 10, voltage: 480, phases: 1 }), 'sizing.load-current')?.missing.join()).toContain('power factor');
  });
  // 0.7457 kW is one horsepower; a metric 7.5 kW rating stands for the 10 hp row (14 A), 8 kW already for 15 hp (21 A).
  it('kW of a small motor takes the row of its own table: 1/6 hp single-phase, 1/2 hp three-phase, 1/4 hp dc', () => {
    const row = (kilowatts: number, voltage: number, phases: 1 | 3 | 'dc') => find(size({ kind: 'motor', kilowatts, voltage, phases }, { fedFrom: undefined }), 'sizing.load-current')?.value;
    // 0.12 kW is 0.161 hp, 0.18 kW is 0.241 hp: 4.4 A, 2.2 A (230 V), 1.6 A (240 V dc) by Tables 430.248, 430.250 and 430.247.
    expect([row(0.12, 115, 1), row(0.12, 230, 3), row(0.18, 240, 'dc')]).toEqual([{ value: 4.4, unit: 'A' }, { value: 2.2, unit: 'A' }, { value: 1.6, unit: 'A' }]);
  });
  it.each([[7.5, 14], [7.68, 14], [8, 21], [18.5, 34]])('a motor of %s kW takes the row of %s A', (kilowatts, amperes) => { expect(find(size({ kind: 'motor', kilowatts, voltage: 460, phases: 3 }), 'sizing.load-current')?.value).toEqual({ value: amperes, unit: 'A' }); });
});

describe('lengths of routes', () => {
  // Legs of 5 and 5 x sqrt(5) units, by Pythagoras; 3-4-5 and 6-8-10 triangles where the figures are whole.
  const route = (scaled: number, points: readonly [number, number][], drops: number): Document => {
    const base = projectWith(MOTOR, {}, { entities: { 'route-1': { id: 'route-1', sheet: 'sheet-1', kind: 'route', from: 'supply-1', to: 'disconnect-1', points: points.map(([x, y]) => at(x, y)), drops: feet(drops) } } });
    return { ...base, sheets: base.sheets.map((s) => (s.scale ? { ...s, scale: { ...s.scale, feetPerUnit: scaled } } : s)) };
  };
  const ends = [{ id: 'supply-1', sheet: 'sheet-1', at: at(0, 0), height: 5 }, { id: 'disconnect-1', sheet: 'sheet-1', at: at(8, 16), height: 5 }] as const;
  const between = (document: Document) => routeBetween(projectOf(document), ends[0], ends[1]);
  it.each<[number, [number, number][], number, number]>([
    [1, [[0, 0], [3, 4], [9, 12]], 2, 17], [1, [[0, 0], [3, 4], [8, 16]], 2, 20], [0.5, [[0, 0], [3, 4], [8, 16]], 2, 11], [4, [[1, 1], [7, 9]], 0, 40], [1, [[0, 0], [0, 0], [6, 8], [6, 8]], 0, 10], [1, [[5, 5]], 3, 3], [1, [[0, 0], [0.3, 0.4]], 0, 0.5],
  ])('%s ft a unit over %j with %s ft of drops is %s ft', (scale, points, drops, length) => {
    expect(between(route(scale, points, drops))).toMatchObject({ ok: true, from: 'plan', estimate: false, length, words: `drawn route, ${points.length} points and drops of ${drops} ft` });
  });
  it('is nothing where nothing is drawn', () => { expect(between(route(1, [[4, 4], [4, 4]], 0))).toMatchObject({ ok: false, reason: 'the drawn route has no length' }); });
  it('an estimate runs along the axes, up to the ceiling and down again', () => {
    // Across 50 and 40 ft at 1 ft a unit; a 10 ft ceiling over a handle at 5 ft and a panel at 5 ft leaves 5 ft at each end.
    const found = (scale: number, wallHeight: number) => {
      const base = projectWith(MOTOR);
      const document = { ...base, facts: { ...base.facts, defaults: { ...base.facts.defaults, wallHeight: feet(wallHeight) } }, sheets: base.sheets.map((s) => (s.scale ? { ...s, scale: { ...s.scale, feetPerUnit: scale } } : s)) };
      return routeBetween(projectOf(document), { ...ends[0], height: 5 }, { ...ends[1], at: at(50, 40), height: 4 });
    };
    expect(found(1, 10)).toMatchObject({ ok: true, estimate: true, length: 101, words: 'estimate: 90 ft along the axes and 11.0 ft of drops' });
    expect(found(0.25, 10)).toMatchObject({ length: 33.5, words: 'estimate: 23 ft along the axes and 11.0 ft of drops' });
    expect(found(1, 4.5)).toMatchObject({ length: 90.5, words: 'estimate: 90 ft along the axes and 0.5 ft of drops' });
  });
  it('another sheet, or none to measure on, is asked for', () => {
    const base = projectWith(MOTOR);
    expect(routeBetween(projectOf(base), { ...ends[0], sheet: 'sheet-2' }, ends[1])).toMatchObject({ ok: false, reason: 'the supply stands on another sheet and no route is drawn' });
    expect(routeBetween(projectOf(projectWith(MOTOR, {}, { scaled: false })), ends[0], ends[1])).toMatchObject({ ok: false, reason: 'the sheet has no scale' });
  });
  it('a drop counts the way from supply to device and on to the farthest load; a typed length is the whole way', () => {
    // 90 + 2 x (10 - 5) ft to the device, then 10 ft along and 5 + 8 ft of drops on to the load 2 ft above the floor.
    const facts = { defaults: { handleHeight: feet(5), wallThickness: feet(0.5), wallHeight: feet(10), eyeHeight: feet(5.5), ambientCelsius: 30 } };
    const s = size(MOTOR, {}, { facts });
    expect(stepOf(s, 'sizing.voltage-drop', 'L')).toBeCloseTo(100 + 23, 9);
    expect(find(size(MOTOR, { routeLength: 150 }, { facts }), 'sizing.voltage-drop')?.steps.find((x) => x.quantity === 'Route length')?.value).toBe(150);
    expect(find(size(MOTOR, { routeLength: 150 }, { facts }), 'sizing.voltage-drop')?.steps.some((x) => x.formula === 'L = L_1 + L_2')).toBe(false);
  });
});

describe('fault current by first principles', () => {
  // 50 kVA at 240 V: 208.3 A; at 2 % impedance 50 times that, 10 417 A line to line; 1.5 times to neutral, 15 625 A (trade practice).
  it('single phase, line to line and line to neutral', () => {
    const full = transformerAmperes(t(), figure('S', 50, 'kVA'), figure('U', 240, 'V'), 1);
    expect(full.value).toBeCloseTo(208.33, 2);
    const lineLine = figure('I_LL', full.value * 50, 'A');
    expect(lineLine.value).toBeCloseTo(10_416.7, 1);
    expect(lineNeutralFault(t(), lineLine, figure('k', 1.5, '')).value).toBeCloseTo(15_625, 0);
  });
  it('a device near such a transformer counts the greater of both ways', () => {
    const system = { ...SYSTEM_240, source: { transformerKva: 50, impedancePercent: 2 } } as SupplySystem;
    const device: Plain<DeviceData> = { routeLength: 1, conductor: { size: '500', material: 'copper', raceway: 'RMC' } };
    const near = size({ kind: 'heater', kilowatts: 10, voltage: 240, phases: 1 }, device, { system });
    // The nameplate may read 10 % high, so 1.8 % counts: 11 574 A line to line, 17 361 A to neutral, less one foot of conductor.
    expect(stepOf(near, 'sizing.fault-current', 'I_LN')).toBeCloseTo(17_361, 0);
    expect(near.summary.faultCurrent).toBeGreaterThan(16_800);
    expect(near.summary.faultCurrent).toBeLessThan(17_361);
    // Far away the line-to-neutral way at half the volts is the weaker: 2 x 10 417 A grows past it.
    const far = size({ kind: 'heater', kilowatts: 10, voltage: 240, phases: 1 }, { ...device, routeLength: 500 }, { system });
    const pp = far.results.find((r) => r.check === 'sizing.fault-current')?.steps.filter((x) => x.formula === 'I_pp = M x I_0').map((x) => Number(x.value)) ?? [];
    expect(pp).toHaveLength(2);
    expect(pp[0]).toBeGreaterThan(pp[1] ?? Infinity);
    expect(stepOf(far, 'sizing.fault-current', 'I_pp')).toBe(pp[0]);
  });
  it('a grounded two-wire source has no second way', () => {
    const system = { ...SYSTEM_240, wires: 2, voltsToGround: volts(240), source: { transformerKva: 50, impedancePercent: 2 } } as SupplySystem;
    expect(find(size({ kind: 'heater', kilowatts: 10, voltage: 240, phases: 1 }, { routeLength: 20 }, { system }), 'sizing.fault-current')?.steps.some((x) => x.formula.startsWith('I_LN'))).toBe(false);
  });
  it('the impedance of a source gives its current back, split at right angles by X/R', () => {
    for (const phases of [1, 3] as const) {
      const { r, x } = sourceImpedance(t(), figure('I_0', 20_000, 'A'), figure('U', 480, 'V'), figure('k', 4, ''), phases);
      expect(x.value / r.value).toBeCloseTo(4, 9);
      expect(480 / ((phases === 3 ? Math.sqrt(3) : 1) * Math.hypot(r.value, x.value))).toBeCloseTo(20_000, 3);
    }
  });
  it('through a second transformer: an infinite primary leaves only its own impedance, a weak one only the primary', () => {
    // 25 kVA, 480 to 240 V single phase at 2 %: 104.2 A full load, 5208 A alone. With S_sc of the primary in series the reciprocals add.
    for (const phases of [1, 3] as const) {
      const root = phases === 3 ? Math.sqrt(3) : 1;
      const own = 25_000 / (root * 240) / 0.02;
      const at480 = (primary: number) => secondTransformer(t(), figure('I', primary, 'A'), figure('S', 25, 'kVA'), figure('Z', 2, '%'), figure('U', 480, 'V'), figure('V', 240, 'V'), phases).secondary.value;
      expect(at480(1e9)).toBeCloseTo(own, 1);
      expect(at480(3000)).toBeCloseTo(1 / (1 / own + 1 / 6000), 3);
    }
  });
  it('point to point is a chain: two halves of a run in turn are the whole run', () => {
    const C = figure('C', 13_923, '');
    const end = (start: number, length: number): number => pointToPoint(t(), figure('I', start, 'A'), { length: figure('L', length, 'ft'), perPhase: 2, volts: figure('U', 480, 'V'), phases: 3 }, C).end.value;
    expect(end(end(30_000, 40), 60)).toBeCloseTo(end(30_000, 100), 6);
    expect(end(30_000, 100)).toBeCloseTo(1 / (1 / 30_000 + (Math.sqrt(3) * 100) / (13_923 * 2 * 480)), 6);
  });
  it('below another disconnect both runs count, and the motors of the whole system feed it', () => {
    const upstream = (length: number): Document['entities'] => ({ 'disconnect-0': { id: 'disconnect-0', sheet: 'sheet-1', kind: 'disconnect', tag: 'DS-0', at: at(20, 10), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: ['load-1'], data: { fedFrom: 'supply-1', routeLength: feet(length), conductor: { size: '1/0', raceway: 'RMC' } } } });
    const below = size(MOTOR, { fedFrom: 'disconnect-0', routeLength: 60, conductor: { size: '1/0', raceway: 'RMC' } }, { entities: upstream(40) });
    const direct = size(MOTOR, { routeLength: 100, conductor: { size: '1/0', raceway: 'RMC' } });
    expect(below.summary.faultCurrent).toBe(direct.summary.faultCurrent);
    expect(stepOf(below, 'sizing.fault-current', 'I_m')).toBeCloseTo(4 * 34, 9);
  });
  it('counts the motors that run on the system, each as often as there are of it, and no heater', () => {
    const more: Document['entities'] = { 'load-2': { id: 'load-2', sheet: 'sheet-1', kind: 'load', tag: 'C-1', name: '', at: at(80, 60), height: feet(2), standing: feet(0), data: { kind: 'hermetic', ratedLoadAmperes: 20, lockedRotorAmperes: 120, voltage: 460, phases: 3, count: 2 } as LoadData },
      'load-3': { id: 'load-3', sheet: 'sheet-1', kind: 'load', tag: 'H-1', name: '', at: at(80, 60), height: feet(2), standing: feet(0), data: { kind: 'heater', kilowatts: 20, voltage: 480, phases: 3 } as LoadData },
      'load-4': { id: 'load-4', sheet: 'sheet-1', kind: 'load', tag: 'M-9', name: '', at: at(80, 60), height: feet(2), standing: feet(0), data: { kind: 'motor' } },
      'disconnect-9': { id: 'disconnect-9', sheet: 'sheet-1', kind: 'disconnect', tag: 'DS-9', at: at(20, 10), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: ['load-2', 'load-3', 'load-4'], data: { fedFrom: 'supply-1' } } };
    expect(stepOf(size(MOTOR, { routeLength: 50 }, { entities: more }), 'sizing.fault-current', 'I_m')).toBeCloseTo(4 * (34 + 2 * 20), 9);
    expect(find(size({ kind: 'heater', kilowatts: 20, voltage: 480, phases: 3 }, { routeLength: 50 }), 'sizing.fault-current')?.steps.some((x) => x.formula.startsWith('I_m = '))).toBe(false);
  });
});

describe('conductors and raceways', () => {
  it('continuous loads take the greater of 125 percent at the terminals or 100 percent after correction; motors 125 percent after it', () => {
    // Six conductors in the raceway (80 %), 75 C copper: 1 AWG has 130 A at the terminals and 104 A after adjustment, which a 110 A device
    // protects and the 125 A of 100 A continuous does not (240.4(B)): 1/0 has 120 A.
    const conductor = { conductorsInRaceway: 6, terminationCelsius: 75, insulationCelsius: 75 } as const;
    for (const kind of ['continuous', 'noncontinuous'] as const) {
      const s = size({ kind, nameplateAmperes: kind === 'continuous' ? 100 : 104, phases: 3 }, { routeLength: 5, conductor });
      expect(s.summary.conductor).toBe(kind === 'continuous' ? '1/0 AWG copper' : '1 AWG copper');
    }
    // A motor of 96 A needs 120 A after adjustment: 1/0 has 150 x 0.8 = 120 A.
    expect(size({ kind: 'motor', horsepower: 75, voltage: 460, phases: 3 }, { routeLength: 5, conductor }).summary.conductor).toBe('1/0 AWG copper');
  });
  it('whatever is proposed and passes, every comparison in its derivation holds', () => {
    for (const r of size(MOTOR, { routeLength: 5 }).results.filter((x) => x.verdict === 'pass')) {
      for (const step of r.steps.filter((x) => typeof x.value === 'boolean' && x.formula.startsWith('ok = '))) expect(step.value, `${r.check} ${step.formula}`).toBe(true);
    }
  });
  it('the drop that counts is the larger of both methods', () => {
    for (const wire of ['10', '4', '250']) {
      const s = size(MOTOR, { routeLength: 300, conductor: { size: wire } });
      const seen = find(s, 'sizing.voltage-drop')?.steps.find((x) => x.formula.startsWith('U_d = max('));
      expect(seen?.value).toBe(Math.max(...seen?.inputs.map((i) => Number(i.value)) ?? []));
      expect(s.summary.voltageDropPercent).toBeCloseTo((100 * Number(seen?.value)) / 480, 2);
    }
  });
  it('every test that its own derivation of a proposed conductor shows holds', () => {
    const tests = find(size(MOTOR, { routeLength: 5 }), 'sizing.conductor')?.steps.filter((x) => x.formula.startsWith('ok = I_')) ?? [];
    expect(tests.map((x) => x.formula)).toEqual(['ok = I_T >= I_z', 'ok = I_C >= I_z']);
    expect(tests.every((x) => x.value === true)).toBe(true);
  });
  it('a small general load keeps the small-conductor limits of 240.4(D): 14 AWG to 15 A, 12 AWG to 20 A, 10 AWG to 30 A', () => {
    const wire = (nameplateAmperes: number) => size({ kind: 'noncontinuous', nameplateAmperes, phases: 3 }, { routeLength: 5, conductor: { terminationCelsius: 75 } }).summary.conductor;
    expect([14, 18, 28].map(wire)).toEqual(['14 AWG copper', '12 AWG copper', '10 AWG copper']);
  });
  it('terminals count 60 C up to 100 A, 75 C above, and 75 C for motors marked Design B, C or D (110.14(C)(1))', () => {
    // 42.5 A: 6 AWG at 60 C (55 A), 8 AWG at 75 C (50 A).
    const wire = (more: Plain<LoadData>) => size({ ...MOTOR, ...more }, { routeLength: 5 }).summary.conductor;
    expect((['B', 'C', 'D'] as const).map((design) => wire({ design }))).toEqual(['8 AWG copper', '8 AWG copper', '8 AWG copper']);
    expect([wire({}), wire({ design: 'A', codeLetter: 'G' })]).toEqual(['6 AWG copper', '6 AWG copper']);
    const load = (nameplateAmperes: number, device: Plain<DeviceData> = {}) => size({ kind: 'noncontinuous', nameplateAmperes, phases: 3 }, { routeLength: 5, ...device }).summary.conductor;
    // 100 A: 1 AWG at 60 C (110 A); 101 A: 2 AWG at 75 C (115 A). As entered, whatever the current.
    expect([load(100), load(101), load(100, { conductor: { terminationCelsius: 75 } })]).toEqual(['1 AWG copper', '2 AWG copper', '3 AWG copper']);
    expect(size({ kind: 'machine', voltage: 460, phases: 3, parts: [{ ...MOTOR, design: 'B' }, { kind: 'motor', horsepower: 5 }] as never }, { routeLength: 5 }).summary.conductor).toBe('6 AWG copper');
    const why = (more: Plain<LoadData>, device: Plain<DeviceData> = {}) => find(size({ ...MOTOR, ...more }, { routeLength: 5, ...device }), 'sizing.conductor')?.steps.find((x) => x.quantity === 'Terminal temperature');
    expect(why({ design: 'B' })).toMatchObject({ value: 75, formula: 'motor marked Design B, C or D', inputs: [{ from: 'default' }] });
    expect(why({})).toMatchObject({ value: 60, formula: 'circuit of 100 A or less without a 75 C marking entered' });
    expect(why({ horsepower: 100 })).toMatchObject({ value: 75, formula: 'circuit above 100 A' });
    expect(why({ design: 'B' }, { conductor: { terminationCelsius: 60 } })).toMatchObject({ value: 60, formula: 'as entered', inputs: [{ from: 'typed' }] });
  });
  it('an entered conductor keeps the small-conductor limits too, by the device ahead of it', () => {
    const wire = (size_: string, device: Plain<DeviceData> = {}, kind: 'noncontinuous' | 'motor' = 'noncontinuous') => find(size(kind === 'motor' ? { kind, horsepower: 10, voltage: 460, phases: 3 } : { kind, nameplateAmperes: 18, phases: 3 }, { routeLength: 5, conductor: { size: size_, terminationCelsius: 75 }, ...device }), 'sizing.conductor');
    // 18 A takes a 20 A device: 14 AWG carries 20 A at 75 C, yet may stand behind 15 A only; 12 AWG behind 20 A, 10 AWG behind 30 A.
    expect([wire('14')?.verdict, wire('12')?.verdict]).toEqual(['fail', 'pass']);
    expect(wire('14')?.citations[0]?.text).toBe('NFPA 70 240.4(D)');
    expect([wire('12', { fusible: false, upstreamAmperes: 25, upstreamType: 'fuse' })?.verdict, wire('10', { fusible: false, upstreamAmperes: 25, upstreamType: 'fuse' })?.verdict]).toEqual(['fail', 'pass']);
    // Motor circuits are exempt (240.4(G)): 10 hp needs 17.5 A.
    expect(wire('14', {}, 'motor')?.verdict).toBe('pass');
  });
  it('the least current still has the least conductor, and the most has no set at all', () => {
    expect(size({ kind: 'noncontinuous', nameplateAmperes: 0.4, phases: 3 }, { routeLength: 5 }).summary.conductor).toBe('14 AWG copper');
    // Twelve sets of 600 kcmil carry 12 x 420 A at 75 C; above 800 A their device is not larger (240.4(C)), and the one after 5000 A is 6000 A.
    const largest = (nameplateAmperes: number) => find(size({ kind: 'noncontinuous', nameplateAmperes, phases: 3 }, { fusible: false, routeLength: 5 }), 'sizing.conductor');
    expect([largest(5000)?.verdict, largest(5001)?.verdict]).toEqual(['pass', 'incomplete']);
  });
  it('only 1/0 AWG and larger may run in parallel (310.10(G))', () => {
    const wire = (size_: string, perPhase: number) => find(size({ kind: 'motor', horsepower: 60, voltage: 460, phases: 3 }, { routeLength: 5, conductor: { size: size_, perPhase } }), 'sizing.conductor');
    expect([wire('1', 2)?.verdict, wire('1/0', 2)?.verdict, wire('1', 1)?.verdict]).toEqual(['fail', 'pass', 'pass']);
    expect(wire('1', 2)?.title).toContain('1/0 AWG and larger');
  });
  it('conductors ahead of fuses under a larger device are a tap for a person to settle', () => {
    const wire = (upstreamAmperes: number, device: Plain<DeviceData> = {}) => find(size(MOTOR, { routeLength: 5, fusible: true, upstreamAmperes, upstreamType: 'circuit-breaker', ...device }), 'sizing.conductor');
    // 34 A: up to 125 A of breaker may start the motor; 6 AWG (55 A at 60 C) is protected by 60 A, 3/0 (200 A at 75 C) by 200 A, 600 kcmil (420 A) by 450 A.
    expect([wire(125)?.verdict, wire(150)?.verdict]).toEqual(['pass', 'judgement']);
    expect(wire(150)?.title).toContain('it is a tap');
    // Nothing entered upstream: what the fuses here do not protect is said.
    const alone = find(size(MOTOR, { routeLength: 5, fusible: true }), 'sizing.conductor');
    expect(alone?.remedies.join()).toContain('Enter the device upstream');
    expect(wire(125)?.remedies.join()).not.toContain('Enter the device upstream');
    expect([wire(200, { conductor: { size: '3/0', terminationCelsius: 75 } })?.verdict, wire(225, { conductor: { size: '3/0', terminationCelsius: 75 } })?.verdict]).toEqual(['pass', 'judgement']);
    // 1 AWG carries 130 A at 75 C: the next standard size above, 150 A, may protect it (240.4(B)).
    expect(wire(150, { conductor: { size: '1', terminationCelsius: 75 } })?.verdict).toBe('pass');
    // Above 800 A the conductors carry the whole rating (240.4(C)): 2 x 600 kcmil is 840 A.
    const twice = { conductor: { size: '600', perPhase: 2, terminationCelsius: 75 } } as const;
    expect([wire(900, twice)?.verdict, wire(800, twice)?.verdict]).toEqual(['judgement', 'pass']);
    expect(wire(400, { fusible: false })?.verdict).toBe('pass');
  });
  it.each([['#4', '4'], ['4 AWG', '4'], ['250 kcmil', '250'], ['500MCM', '500'], [' 1/0 awg copper', '1/0'], ['4/0', '4/0'], ['2000', '2000']])("'%s' is %s", (text, size_) => { expect(readSize(text)).toBe(size_); });
  it.each(['thick', '5/0', '', '15', '#', '275 kcmil'])("'%s' is no size", (text) => { expect(readSize(text)).toBeNull(); });
  it('names sizes as the trade does', () => { expect(['14', '1/0', '4/0', '250', '1000'].map(sizeName)).toEqual(['14 AWG', '1/0 AWG', '4/0 AWG', '250 kcmil', '1000 kcmil']); });
  it('an area of circular mils takes the next size: 4110 is 14 AWG, 4111 is 12 AWG (Chapter 9 Table 8)', () => { expect([4110, 4111, 66_360, 66_361].map((cmil) => sizeForArea(t(), figure('A', cmil, 'cmil')))).toEqual(['14', '12', '2', '1']); });
  it('a raceway is filled to 40 percent by more than two conductors', () => {
    // 3 x 6 AWG and 10 AWG THHN: 3 x 0.0507 + 0.0211 = 0.1732 in2; over 0.4 is 0.433; 1 in EMT has 0.864, 3/4 in 0.533, 1/2 in 0.304 (Chapter 9 Tables 4 and 5).
    const r = find(size(MOTOR, { routeLength: 5 }), 'sizing.raceway');
    expect(stepOf(size(MOTOR, { routeLength: 5 }), 'sizing.raceway', 'A_need')).toBeCloseTo(0.433, 3);
    expect(r?.value).toBe('3/4 in EMT');
    expect(r?.title).toContain('for 4 conductors');
    expect(r?.steps.find((x) => x.formula === 'ok = A_in >= A_need')?.value).toBe(true);
  });
});

describe('switch classes and protective devices', () => {
  it('general duty is 240 V; heavy duty has a 240 V class only where it holds fuses', () => {
    expect([switchClass('general', 'fusible', 480), switchClass('heavy', 'fusible', 240), switchClass('heavy', 'fusible', 241), switchClass('heavy', 'non-fusible', 120)]).toEqual([240, 240, 600, 600]);
    expect([120, 121, 240, 241, 480, 481, 600].map(switchCircuitVolts)).toEqual([120, 240, 240, 480, 480, 600, 600]);
  });
  it('120 V horsepower is published for fusible general-duty switches of 30 and 60 A; elsewhere the 240 V figure counts', () => {
    const at = (horsepower: number, device: Plain<DeviceData> = {}) => find(size({ kind: 'motor', horsepower, voltage: 115, phases: 1 }, device, { system: SYSTEM_240 }), 'sizing.horsepower')?.steps.find((x) => x.table?.id === 'switch-horsepower' && x.how === 'look-up')?.table?.keys?.voltage;
    expect([at(1), at(1, { fusible: false, upstreamAmperes: 25, upstreamType: 'fuse' }), at(1, { duty: 'heavy' })]).toEqual([120, 240, 240]);
  });
  it('general duty entered on 240 V is right, on 277 V wrong', () => { expect(find(size({ kind: 'motor', horsepower: 2, voltage: 230, phases: 1 }, { duty: 'general' }, { system: SYSTEM_240 }), 'sizing.duty')?.verdict).toBe('pass'); });
  it('fuses of the 601 to 6000 A classification may go to 300 percent at most, smaller time-delay fuses to 225 (430.52(C)(1)(b))', () => {
    const ceiling = (tableDevice: number) => startingCeiling(t(), figure('I_FLC', 300, 'A'), 'time-delay-fuse', { tableDevice: figure('I_dev', tableDevice, 'A') }).calculated.value;
    expect([ceiling(600), ceiling(601), ceiling(700)]).toEqual([675, 900, 900]);
  });
  it('an inverse-time breaker may go to 400 percent up to 100 A of full load, beyond to 300', () => {
    const ceiling = (amperes: number) => startingCeiling(t(), figure('I_FLC', amperes, 'A'), 'inverse-time-breaker').calculated.value;
    expect([ceiling(100), ceiling(100.5)]).toEqual([400, 301.5]);
  });
  it('a grounding conductor needs a device that is known: nothing is shown without one', () => {
    const s = size({ kind: 'drive', driveInputAmperes: 40, voltage: 480, phases: 3 }, { fusible: false });
    expect(s.summary.conductor).not.toBeNull();
    expect(s.summary.equipmentGround).toBeNull();
    expect(find(s, 'sizing.equipment-ground')?.verdict).toBe('incomplete');
  });
  it('code letters give single-phase current as kVA over volts: letter J of 5 hp at 230 V is at least 154 A, letter K 174 A beside the 168 A of the table', () => {
    // 7.1 and 8.0 kVA a horsepower (Table 430.7(B)); Table 430.251(A) prints 168 A.
    const ask = (codeLetter: string) => find(size({ kind: 'motor', horsepower: 5, voltage: 230, phases: 1, codeLetter }, {}, { system: SYSTEM_240 }), 'sizing.locked-rotor');
    expect(ask('J')).toMatchObject({ verdict: 'pass', value: { value: 168, unit: 'A' } });
    expect(ask('K')).toMatchObject({ verdict: 'judgement', value: { value: 173.91, unit: 'A' } });
    expect(ask('j')?.steps.find((x) => x.formula.startsWith('I_letter'))?.value).toBeCloseTo(7.1 * 5 * 1000 / 230, 6);
  });
  it('loads that start one after another count the start that adds most to the rest', () => {
    // A torque motor of 55 A with 60 A locked adds 5 A at its start, a 5 hp motor (7.6 A, 46 A locked) 38.4 A: 46 + 55 = 101 A.
    const parts = [{ kind: 'torque-motor', nameplateAmperes: 55, lockedRotorAmperes: 60, startTogether: false }, { kind: 'motor', horsepower: 5, startTogether: false }];
    expect(stepOf(size({ kind: 'machine', voltage: 460, phases: 3, parts: parts as never }), 'sizing.horsepower', 'I_LR')).toBeCloseTo(101, 9);
    expect(stepOf(size({ kind: 'machine', voltage: 460, phases: 3, parts: parts.map((p, i) => ({ ...p, startTogether: i === 1 })) as never }), 'sizing.horsepower', 'I_LR')).toBeCloseTo(106, 9);
  });
  // 430.110(C)(1): the locked-rotor currents of all that may start together. Table 430.251(B) at 460 V: 10 hp 81 A, 5 hp 46 A; Table 430.250: 14 A, 7.6 A.
  it.each<[string, Plain<LoadData>, (boolean | undefined)[], number]>([
    ['nothing said: all together', {}, [undefined, undefined], 81 + 46], ['together said of the machine alone', { startTogether: true }, [undefined, undefined], 81 + 46], ['apart said of the machine alone', { startTogether: false }, [undefined, undefined], 81 + 7.6],
    ['apart said of every part', {}, [false, false], 81 + 7.6], ['apart said of one part', {}, [false, undefined], 81 + 46], ['the machine says together, the parts apart', { startTogether: true }, [false, false], 81 + 46], ['the machine says apart, one part together', { startTogether: false }, [undefined, true], 81 + 46],
    ['two machines alike start at once', { startTogether: false, count: 2 }, [undefined, undefined], 2 * (81 + 7.6)], ['two machines alike, said of their parts', { count: 2 }, [false, false], 2 * (81 + 7.6)],
  ])('starting together: %s', (_name, machine, [a, b], sum) => {
    const parts = [{ kind: 'motor', horsepower: 10, ...(a === undefined ? {} : { startTogether: a }) }, { kind: 'motor', horsepower: 5, ...(b === undefined ? {} : { startTogether: b }) }];
    expect(stepOf(size({ kind: 'machine', voltage: 460, phases: 3, parts: parts as never, ...machine }), 'sizing.horsepower', 'I_LR')).toBeCloseTo(sum, 9);
  });
  it('what one machine says of its parts says nothing of another on the same disconnect', () => {
    const machine = { kind: 'machine', voltage: 460, phases: 3, startTogether: false, parts: [{ kind: 'motor', horsepower: 10 }, { kind: 'motor', horsepower: 5 }] } as unknown as LoadData;
    const sum = (second: LoadData) => {
      const plain = projectWith(machine);
      const twin = { ...plain.entities['load-1']!, id: 'load-2', tag: 'M-2', data: second } as Load;
      const device = plain.entities['disconnect-1'] as Disconnect;
      return stepOf(sizeDevice({ ...plain, entities: { ...plain.entities, 'load-2': twin, 'disconnect-1': { ...device, serves: ['load-1', 'load-2'] } } }, 'disconnect-1'), 'sizing.horsepower', 'I_LR');
    };
    expect(sum(machine)).toBeCloseTo(2 * (81 + 7.6), 9);
    expect(sum({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3, startTogether: false } as LoadData)).toBeCloseTo(81 + 7.6 + 81, 9);
    expect(sum({ kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'motor', horsepower: 10 }] } as unknown as LoadData)).toBeCloseTo(81 + 7.6 + 81, 9);
  });
  it('a part is called by the name a person gave it, by its number where it has none or shares it', () => {
    const machine = (...names: string[]) => size({ kind: 'machine', voltage: 460, phases: 3, parts: names.map((name) => ({ kind: 'motor', horsepower: 5, ...(name === '' ? {} : { typed: { name } }) })) as never });
    expect(find(machine('spindle', '', 'fan', 'fan'), 'sizing.locked-rotor')?.title).toContain('M-1 spindle 46 A, M-1 part 2 46 A, M-1 fan (part 3) 46 A, M-1 fan (part 4) 46 A');
  });
  it('a synchronous motor between the steps of its note takes the lower one, below 80 percent none (note to Table 430.250: 1.1 at 90, 1.25 at 80 percent)', () => {
    // 100 hp at 460 V synchronous: 101 A at unity power factor.
    const amperes = (powerFactor: number) => find(size({ kind: 'motor', horsepower: 100, voltage: 460, phases: 3, motorType: 'synchronous', powerFactor }), 'sizing.load-current');
    expect([1, 0.99, 0.9, 0.899, 0.895, 0.8].map((pf) => (amperes(pf)?.value as { value: number } | undefined)?.value)).toEqual([101, 111.1, 111.1, 126.25, 126.25, 126.25]);
    for (const pf of [0.799, 0.795]) expect(amperes(pf)?.verdict).toBe('incomplete');
  });
  it('the smallest fuse worth proposing carries 125 percent of the current', () => {
    expect(stepOf(size(MOTOR), 'sizing.fuse', 'I_run')).toBeCloseTo(42.5, 9);
    expect(stepOf(size(MOTOR), 'sizing.fuse', 'I_small')).toBe(45);
  });
  it('a size that is found by area or by ampacity is shown to reach what is needed', () => {
    // Table 310.16: 6 AWG copper has 65 A at 75 C; Table 8: 6 AWG has 26,240 cmil.
    for (const find of [(own: Trace) => sizeForAmpacity(own, figure('I_z', 60, 'A'), 'copper', 75), (own: Trace) => sizeForArea(own, figure('A_n', 20_000, 'cmil'))]) {
      const own = t();
      expect(find(own)).toBe('6');
      expect(own.steps.filter((s) => s.formula.startsWith('ok = ')).map((s) => s.value)).toEqual([true]);
    }
  });
  it('is listed nowhere twice: each rating of the standard list is larger than the one before', () => {
    const ratings = table('standard-rating').rows.map((r) => Number(r.amperes));
    expect(ratings).toEqual([...new Set(ratings)].sort((a, b) => a - b));
  });
});
