import { describe, expect, it } from 'vitest';
import type { DeviceData, Disconnect, Document, Load, LoadData, SupplySystem } from '../../shared-core/document/index';
import { feet, volts } from '../../shared-core/units/index';
import { readLoadText, sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
type Sized = ReturnType<typeof size>;
const find = (s: Sized, check: string) => s.results.find((r) => r.check === check);
const verdict = (s: Sized, check: string) => find(s, check)?.verdict;
const stepOf = (s: Sized, check: string, formula: string): number => Number(find(s, check)?.steps.find((x) => x.formula.startsWith(`${formula} = `))?.value ?? Number.NaN);
/** Ampacity that the conductors of a device must have. */
const ampacity = (s: Sized): number => { const r = find(s, 'sizing.conductor'); return Number(r?.steps.findLast((x) => x.formula.startsWith('I_z = ') && !x.formula.startsWith('I_z = n x') || x.formula.startsWith('I_d = '))?.value ?? Number.NaN); };
const MOTOR = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;
const machine = (...parts: Plain<LoadData>[]): Plain<LoadData> => ({ kind: 'machine', voltage: 460, phases: 3, parts: parts });

describe('motors of other than continuous duty', () => {
  // Table 430.22(E), a public copy of the 2008 edition; the row of varying duty as trade questions quote it. On 100 A of nameplate a
  // percentage is its amperes; 75 hp at 460 V has 96 A by Table 430.250.
  const of = (duty: NonNullable<LoadData['duty']>, timeRating?: LoadData['timeRating']) => size({ kind: 'motor', horsepower: 75, voltage: 460, phases: 3, nameplateAmperes: 100, duty, ...(timeRating === undefined ? {} : { timeRating }) }, { routeLength: 5 });
  it.each([
    ['short-time', [110, 120, 150, 150, null]], ['intermittent', [85, 85, 90, 90, 140]], ['periodic', [85, 90, 95, 95, 140]], ['varying', [110, 120, 150, 150, 200]],
  ] as const)('%s duty: %j percent of the nameplate for 5, 15, 30, 60 minutes and continuous', (duty, percents) => {
    ([5, 15, 30, 60, 'continuous'] as const).forEach((rating, i) => {
      const s = of(duty, rating);
      const percent = percents[i];
      if (percent === null || percent === undefined) { expect(verdict(s, 'sizing.conductor')).toBe('incomplete'); expect(s.summary.conductor).toBeNull(); return; }
      expect(ampacity(s), `${duty} ${rating}`).toBeCloseTo(percent, 9);
      const step = find(s, 'sizing.conductor')?.steps.find((x) => x.formula.startsWith('I_d = '));
      expect(step).toMatchObject({ confidence: 'memory', citation: { text: 'NFPA 70 Table 430.22(E)' } });
      expect(step?.citation?.note).toContain('2008 copy');
    });
  });
  it('continuous duty, entered or not, is 125 percent of the table current', () => {
    expect(ampacity(of('continuous'))).toBeCloseTo(120, 9);
    expect(ampacity(of('continuous', 5))).toBeCloseTo(120, 9);
    expect(ampacity(size({ kind: 'motor', horsepower: 75, voltage: 460, phases: 3 }, { routeLength: 5 }))).toBeCloseTo(120, 9);
  });
  it('asks for the time rating and for the nameplate current before any conductor is named', () => {
    expect(find(of('varying'), 'sizing.conductor')).toMatchObject({ verdict: 'incomplete', missing: ['time rating of M-1 (5, 15, 30 or 60 minutes, or continuous)'] });
    expect(find(size({ ...MOTOR, duty: 'varying', timeRating: 5 }), 'sizing.conductor')).toMatchObject({ verdict: 'incomplete', missing: ['nameplate amperes of M-1'] });
    expect(find(size({ ...MOTOR, duty: 'varying', timeRating: 7 as never, nameplateAmperes: 32 }), 'sizing.load-current')?.title).toContain('a time rating of 7 is none of');
  });
  it('the switch keeps 115 percent of the table current, and the running overload is for a person to settle', () => {
    const s = of('intermittent', 15);
    expect(s.summary.requiredAmperes).toBeCloseTo(110.4, 9);
    expect(find(s, 'sizing.overload')).toMatchObject({ verdict: 'judgement', citations: expect.arrayContaining([expect.objectContaining({ text: 'NFPA 70 430.33', confidence: 'memory' })]) as unknown });
    expect(verdict(of('continuous'), 'sizing.overload')).toBe('pass');
  });
  it('beside other motors it counts with its percentage, the largest continuous one with 125 (430.24)', () => {
    // 10 hp 14 A and 5 hp 7.6 A continuous, twice 3 hp of varying duty with 5 A on the plate, rated 30 minutes: 17.5 + 7.6 + 2 x 7.5.
    const varying = { kind: 'motor', horsepower: 3, nameplateAmperes: 5, duty: 'varying', timeRating: 30, count: 2 } as const;
    expect(ampacity(size(machine({ kind: 'motor', horsepower: 10 }, { kind: 'motor', horsepower: 5 }, varying), { routeLength: 5 }))).toBeCloseTo(17.5 + 7.6 + 15, 9);
    expect(ampacity(size(machine(varying), { routeLength: 5 }))).toBeCloseTo(15, 9);
    expect(ampacity(size(machine({ ...varying, count: 1 }, { kind: 'heater', kilowatts: 10, voltage: 480 }), { routeLength: 5 }))).toBeCloseTo(7.5 + (1.25 * 10_000) / (Math.sqrt(3) * 480), 6);
  });
  it('a local amendment takes the place of a percentage', () => {
    const facts = { overrides: [{ id: 'override-1', key: 'motor.duty.varying.5-minute.percent', value: 100, unit: '%', reason: 'special permission', authority: 'county' }] };
    expect(ampacity(size({ ...MOTOR, duty: 'varying', timeRating: 5, nameplateAmperes: 32 }, { routeLength: 5 }, { facts }))).toBeCloseTo(32, 9);
  });
});

describe('motors that start on part of their winding', () => {
  const start = (starting: 'wye-delta' | 'part-winding', driveSide?: 'line' | 'load') => ({ ...MOTOR, horsepower: 100, starting, ...(driveSide ? { driveSide } : {}) });
  const entered: Plain<DeviceData> = { ratedAmperes: 200, ratedHorsepower: 100, routeLength: 5, fusible: false, upstreamAmperes: 225, upstreamType: 'fuse' };
  // 100 hp at 460 V: 124 A. 430.22(C) and (D): 72 and 62.5 percent a lead behind the starter, 125 percent before it.
  it.each([['wye-delta', 'load', 0.72], ['part-winding', 'load', 0.625], ['wye-delta', 'line', 1.25], ['part-winding', 'line', 1.25]] as const)('%s, disconnect on the %s side: %s of the table current', (starting, side, share) => {
    expect(ampacity(size(start(starting, side), entered))).toBeCloseTo(share * 124, 9);
    expect(find(size(start(starting, side), entered), 'sizing.poles')?.value).toBe(side === 'load' ? '6-pole' : '3-pole');
  });
  it('six leads share the raceway: 80 percent, and seven conductors with the ground', () => {
    const s = size(start('wye-delta', 'load'), entered);
    expect(find(s, 'sizing.conductor')?.steps.find((x) => x.quantity === 'Adjustment factor')?.value).toBe(0.8);
    expect(find(s, 'sizing.raceway')?.title).toContain('for 7 conductors');
    expect(verdict(size(start('wye-delta', 'load'), { ...entered, poles: 3 }), 'sizing.poles')).toBe('fail');
    expect(verdict(size(start('wye-delta', 'load'), { ...entered, poles: 6 }), 'sizing.poles')).toBe('pass');
  });
  it('proposes no three-pole switch for six leads, and asks for the side where it is not entered', () => {
    expect(find(size(start('wye-delta', 'load')), 'sizing.ampere-rating')).toMatchObject({ verdict: 'incomplete' });
    expect(size(start('wye-delta', 'load')).summary.switchAmperes).toBeNull();
    for (const check of ['sizing.poles', 'sizing.conductor', 'sizing.raceway']) expect(find(size(start('part-winding'), entered), check), check).toMatchObject({ verdict: 'incomplete', missing: ['side of the starter of M-1 on which the disconnect stands'] });
  });
  it('does not mix the six leads of one motor with another load', () => { expect(find(size(machine({ ...start('wye-delta', 'load') }, { kind: 'motor', horsepower: 5 }), entered), 'sizing.poles')?.title).toContain('share the disconnect'); });
  it('a compressor on a wye-delta starter has 72 percent a lead too (440.32)', () => {
    const s = size({ kind: 'hermetic', ratedLoadAmperes: 100, lockedRotorAmperes: 600, voltage: 460, phases: 3, starting: 'wye-delta', driveSide: 'load' }, entered);
    expect(stepOf(s, 'sizing.conductor', 'I_z')).toBeCloseTo(72, 9);
  });
  it('is read from trade notation', () => {
    expect(readLoadText('P-1 pump 100 hp 460 V 3 ph wye-delta').data).toMatchObject({ starting: 'wye-delta' });
    expect(readLoadText('P-1 100 hp wye start, delta run')).toMatchObject({ notUnderstood: [], data: { starting: 'wye-delta' } });
    expect(readLoadText('P-1 100 hp part-winding start')).toMatchObject({ notUnderstood: [], data: { starting: 'part-winding' } });
    expect(readLoadText('V-1 valve 1 hp short-time duty 15 min rated')).toMatchObject({ notUnderstood: [], data: { duty: 'short-time', timeRating: 15 } });
    expect(readLoadText('V-1 1 hp varying duty continuous-rated')).toMatchObject({ notUnderstood: [], data: { duty: 'varying', timeRating: 'continuous' } });
    expect(readLoadText('V-1 1 hp 20 min').notUnderstood).not.toEqual([]);
  });
});

describe('motors whose nameplate current counts', () => {
  // 430.6(A)(1): built for low speed (under 1200 rpm), high torque or several speeds. 25 hp at 460 V has 34 A by the table.
  it('a nameplate above the table is for a person to settle, and counts where it is recorded', () => {
    const of = (nameplateAmperes: number | undefined, conditions: string[] = []) => size({ ...MOTOR, conditions, ...(nameplateAmperes === undefined ? {} : { nameplateAmperes }) });
    expect(find(of(40), 'sizing.load-current')).toMatchObject({ verdict: 'judgement', value: { value: 34, unit: 'A' } });
    expect(find(of(40), 'sizing.load-current')?.remedies.join()).toContain('M-1 is such a motor');
    expect(of(40).summary.requiredAmperes).toBeCloseTo(39.1, 9);
    expect(find(of(34), 'sizing.load-current')?.verdict).toBe('pass');
    expect(find(of(40, ['nameplate-current']), 'sizing.load-current')).toMatchObject({ verdict: 'pass', value: { value: 40, unit: 'A' } });
    expect(of(40, ['nameplate-current']).summary.requiredAmperes).toBeCloseTo(46, 9);
    expect(find(of(30, ['nameplate-current']), 'sizing.load-current')?.value).toEqual({ value: 30, unit: 'A' });
    expect(find(of(undefined, ['nameplate-current']), 'sizing.load-current')).toMatchObject({ verdict: 'incomplete', missing: ['nameplate amperes of M-1'] });
    expect(find(of(20, ['nameplate-current']), 'sizing.load-current')?.title).toContain('carries less than 25 hp');
    expect(find(of(40, ['nameplate-current']), 'sizing.ampere-rating')?.citations.some((c) => c.text === 'NFPA 70 430.6(A)(1)')).toBe(true);
  });
});

describe('motors that the tables do not print', () => {
  const current = (s: Sized) => find(s, 'sizing.load-current');
  it.each<[string, Plain<LoadData>, SupplySystem, string]>([
    ['between two rows', { kind: 'motor', horsepower: 4, voltage: 460, phases: 3 }, SYSTEM_480, '4 hp is not covered'],
    ['beyond the last row', { kind: 'motor', horsepower: 600, voltage: 460, phases: 3 }, SYSTEM_480, '600 hp is not covered'],
    ['beyond what a column prints', { kind: 'motor', horsepower: 300, voltage: 230, phases: 3 }, { ...SYSTEM_480, name: 'delta', voltage: volts(240), voltsToGround: volts(240) }, '300 hp is not covered by the motor table at 230 V'],
    ['a voltage without a column', { kind: 'motor', horsepower: 5, voltage: 277, phases: 1 }, SYSTEM_480, '277 V single-phase has no column'],
  ])('%s: asked for the nameplate current, then sized by it as our reading', (_name, load, system, words) => {
    expect(current(size(load, {}, { system }))).toMatchObject({ verdict: 'incomplete' });
    expect(current(size(load, {}, { system }))?.title).toContain(words);
    expect(current(size(load, {}, { system }))?.missing.join()).toContain('nameplate amperes of M-1');
    const plate = load.horsepower === 5 ? 20 : Number(load.horsepower) * (load.voltage === 230 ? 2.4 : 1.2);
    const s = size({ ...load, nameplateAmperes: plate }, {}, { system });
    expect(current(s)?.value).toEqual({ value: plate, unit: 'A' });
    expect(s.summary.requiredAmperes).toBeCloseTo(1.15 * plate, 2);
    expect(find(s, 'sizing.ampere-rating')?.steps.find((x) => x.formula.startsWith('I_min'))?.confidence).toBe('own-reading');
    expect(find(s, 'sizing.locked-rotor')).toMatchObject({ verdict: 'incomplete' });
    expect(find(s, 'sizing.locked-rotor')?.missing.join()).toMatch(/locked-rotor amperes|rated voltage/);
  });
  it('with marked locked-rotor amperes the rest follows', () => {
    const s = size({ kind: 'motor', horsepower: 4, voltage: 460, phases: 3, nameplateAmperes: 6, lockedRotorAmperes: 40 });
    // 6 A lies under the 7.6 A of 5 hp, 40 A under its 46 A: 5 hp by either table.
    expect(s.summary).toMatchObject({ requiredAmperes: 6.9, requiredHorsepower: 5 });
    expect(verdict(s, 'sizing.locked-rotor')).toBe('pass');
  });
  it('a motor smaller than the tables has six times its current at standstill (430.110(C)(3))', () => {
    const s = size({ kind: 'motor', horsepower: 0.25, voltage: 460, phases: 3, nameplateAmperes: 0.6 });
    expect(find(s, 'sizing.locked-rotor')?.value).toEqual({ value: 3.6, unit: 'A' });
    expect(verdict(s, 'sizing.locked-rotor')).toBe('pass');
  });
  it('is not believed with a current that its power cannot have', () => {
    // 600 hp is 447 kW: 562 A at 460 V without loss; 4000 A would turn 14 percent of 3.2 MVA into power.
    expect(current(size({ kind: 'motor', horsepower: 600, voltage: 460, phases: 3, nameplateAmperes: 500 }))?.title).toContain('carries less than 600 hp');
    expect(current(size({ kind: 'motor', horsepower: 600, voltage: 460, phases: 3, nameplateAmperes: 4000 }))?.title).toContain('far too much for 600 hp');
    expect(current(size({ kind: 'motor', horsepower: 600, voltage: 460, phases: 3, nameplateAmperes: 660 }))?.verdict).toBe('pass');
    expect(current(size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 1, nameplateAmperes: 9 }, {}, { system: SYSTEM_240 }))?.verdict).toBe('pass');
  });
  it('a marked standstill current that is no more than the running one is refused', () => { expect(find(size({ ...MOTOR, lockedRotorAmperes: 34 }), 'sizing.locked-rotor')?.title).toContain('34 A is not above its full-load current 34 A'); });
});

describe('motors and resistance heat behind one switch', () => {
  // The handbook example: 5, 3 and two 1/2 hp at 230 V with 10 kW at 240 V three-phase: 15.2 + 9.6 + 2 x 2.2 + 24.06 = 53.26 A, 61.2 A at
  // 115 percent, 20 hp; standstill 92 + 64 + 2 x 20 = 196 A of the motors and 24.06 A of heat, 220.06 A. The motors alone: 29.2 A and 196 A are 15 hp.
  const system = { ...SYSTEM_480, name: '240 V', voltage: volts(240), voltsToGround: volts(240), wires: 3 };
  const load: Plain<LoadData> = { kind: 'machine', phases: 3, parts: [{ kind: 'motor', horsepower: 5, voltage: 230 }, { kind: 'motor', horsepower: 3, voltage: 230 }, { kind: 'motor', horsepower: 0.5, voltage: 230, count: 2 }, { kind: 'heater', kilowatts: 10, voltage: 240 }] as never };
  const ask = (device: Plain<DeviceData>, of: Plain<LoadData> = load) => find(size(of, device, { system }), 'sizing.horsepower');
  it('counts the heat in both sums', () => {
    const s = size(load, {}, { system });
    expect(s.summary.requiredAmperes).toBeCloseTo(61.25, 1);
    expect(s.summary.requiredHorsepower).toBe(20);
    expect(stepOf(s, 'sizing.horsepower', 'I_LR')).toBeCloseTo(220.06, 1);
  });
  it('lets the horsepower cover the motors alone where the amperes carry standstill and heat (430.110(C)(1) Exception)', () => {
    expect(ask({ ratedAmperes: 400, ratedHorsepower: 15, fusible: false })).toMatchObject({ verdict: 'pass', citations: expect.arrayContaining([expect.objectContaining({ text: 'NFPA 70 430.110(C)(1) Exception' })]) as unknown });
    expect(ask({ ratedAmperes: 221, ratedHorsepower: 15, fusible: false })?.verdict).toBe('pass');
    expect(ask({ ratedAmperes: 220, ratedHorsepower: 15, fusible: false })?.verdict).toBe('fail');
    expect(ask({ ratedAmperes: 400, ratedHorsepower: 10, fusible: false })?.verdict).toBe('fail');
    expect(ask({ ratedAmperes: 200, ratedHorsepower: 20, fusible: false })?.verdict).toBe('pass');
    expect(ask({ ratedHorsepower: 15, fusible: false })?.verdict).toBe('fail');
  });
  it('on 208 V counts the motors alone as a 240 V plate does', () => {
    // 10 hp at 208 V is 30.8 A, above the 28 A of 10 hp at 230 V: 15 hp on a 240 V plate.
    const warm = machine({ kind: 'motor', horsepower: 10, voltage: 208 }, { kind: 'heater', kilowatts: 5, voltage: 208 });
    const at = (ratedHorsepower: number) => find(size({ ...warm, voltage: 208 }, { ratedAmperes: 400, ratedHorsepower, fusible: false }, { system: SYSTEM_208 }), 'sizing.horsepower');
    expect([at(10)?.verdict, at(15)?.verdict]).toEqual(['fail', 'pass']);
    expect(at(15)?.title).toContain('covers the motors alone');
  });
  it('is for resistance heat only', () => {
    const other = { ...load, parts: (load.parts as unknown as LoadData[]).map((p) => (p.kind === 'heater' ? { kind: 'continuous', nameplateAmperes: 24.06, voltage: 240 } : p)) as never };
    expect(ask({ ratedAmperes: 400, ratedHorsepower: 15, fusible: false }, other)?.verdict).toBe('fail');
    expect(ask({ ratedAmperes: 400, ratedHorsepower: 15, fusible: false }, { ...load, parts: (load.parts as unknown as LoadData[]).slice(0, 3) as never })?.verdict).toBe('pass');
  });
});

describe('direct current', () => {
  const system: SupplySystem = { id: 'system-dc', name: '240 V dc', voltage: volts(240), phases: 'dc', wires: 2, voltsToGround: volts(240), source: { availableFaultCurrent: 8000 } as never };
  // Table 430.247: 10 hp at 240 V armature is 38 A; 150 percent for its fuses and breakers (Table 430.52(C)(1)): 57 A, next size 60 A.
  const dc: Plain<LoadData> = { kind: 'dc-motor', horsepower: 10, voltage: 240, phases: 'dc' };
  const sized = (device: Plain<DeviceData> = {}) => size(dc, { routeLength: 40, ...device }, { system });
  it('is computed as far as the tables go', () => {
    const s = sized();
    expect(s.summary).toMatchObject({ requiredAmperes: 43.7, requiredHorsepower: 10, poles: 2, switchAmperes: null });
    expect(ampacity(s)).toBeCloseTo(47.5, 9);
    expect(find(sized({ type: 'circuit-breaker' }), 'sizing.breaker')?.title).toContain('at most 60 A');
  });
  it('behind a single-phase rectifier its conductors carry 190 or 150 percent (430.22(A))', () => {
    const at = (...conditions: string[]) => ampacity(size({ ...dc, conditions }, { routeLength: 40 }, { system }));
    expect([at(), at('rectifier-half-wave'), at('rectifier-full-wave')].map((a) => Number(a.toFixed(6)))).toEqual([47.5, 72.2, 57]);
    expect(ampacity(size({ ...MOTOR, conditions: ['rectifier-half-wave'] }, { routeLength: 5 }))).toBeCloseTo(42.5, 9);
  });
  it('proposes no switch and no fuse: the published ratings are for alternating current', () => {
    const s = sized();
    for (const check of ['sizing.ampere-rating', 'sizing.horsepower', 'sizing.voltage-rating', 'sizing.fuse']) expect(verdict(s, check), check).toBe('incomplete');
  });
  it('never passes an entered rating that may be one for alternating current', () => {
    const s = sized({ ratedAmperes: 60, ratedHorsepower: 10, ratedVolts: 250, fuseAmperes: 60, shortCircuitRating: 10_000 });
    for (const check of ['sizing.horsepower', 'sizing.voltage-rating', 'sizing.fuse', 'sizing.short-circuit-rating', 'sizing.fault-current']) expect(verdict(s, check), check).toBe('judgement');
    expect(verdict(s, 'sizing.ampere-rating')).toBe('pass');
    const low = sized({ ratedAmperes: 60, ratedHorsepower: 7.5, ratedVolts: 125, fuseAmperes: 70, shortCircuitRating: 5000 });
    for (const check of ['sizing.horsepower', 'sizing.voltage-rating', 'sizing.fuse', 'sizing.short-circuit-rating']) expect(verdict(low, check), check).toBe('fail');
  });
  it('has the stated fault current at its source as a bound; running motors add to it', () => {
    expect(find(sized(), 'sizing.fault-current')).toMatchObject({ verdict: 'judgement', value: { value: 8000, unit: 'A' } });
    expect(find(sized(), 'sizing.fault-current')?.title).toContain('dc motors that run add to it');
    const heat: Plain<LoadData> = { kind: 'heater', kilowatts: 5, voltage: 240, phases: 'dc' };
    expect(find(size(heat, { routeLength: 40 }, { system }), 'sizing.fault-current')).toMatchObject({ verdict: 'pass', value: { value: 8000, unit: 'A' } });
    expect(verdict(size(heat, { routeLength: 40, ratedAmperes: 60, shortCircuitRating: 10_000 }, { system }), 'sizing.short-circuit-rating')).toBe('judgement');
    const { source: _source, ...bare } = system;
    expect(find(size(heat, { routeLength: 40 }, { system: bare }), 'sizing.fault-current')).toMatchObject({ verdict: 'incomplete' });
    expect(find(size(heat, {}, { system: { ...system, source: { availableFaultCurrent: -1 } as never } }), 'sizing.fault-current')?.title).toContain('-1 A');
  });
  it('a fault current with something open does not decide that a switch needs no fuses', () => { expect(find(sized({ upstreamAmperes: 60, upstreamType: 'fuse' }), 'sizing.fusing')?.value).toBe('fusible'); });
  it('has no equivalent horsepower for several motors', () => { expect(find(size({ kind: 'machine', phases: 'dc', parts: [dc, dc] as never }, { ratedAmperes: 100, ratedHorsepower: 40 }, { system }), 'sizing.horsepower')).toMatchObject({ verdict: 'incomplete', missing: ['disconnect of its own for each dc motor'] }); });
});

describe('a fire pump', () => {
  // 50 hp at 460 V: 65 A, 363 A at standstill (Tables 430.250 and 430.251(B)); the device carries that without end (695.4).
  const pump: Plain<LoadData> = { kind: 'fire-pump', horsepower: 50, voltage: 460, phases: 3 };
  it('names the current that its device carries, and leaves the device to a person', () => {
    for (const [check, device] of [['sizing.fuse', {}], ['sizing.breaker', { type: 'circuit-breaker', ratedAmperes: 150 }], ['sizing.ampere-rating', {}]] as const) {
      const r = find(size(pump, device), check);
      expect(r?.verdict, check).toBe('judgement');
      expect(r?.title, check).toContain('363 A');
      expect(r?.remedies.join(), check).toContain('363 A');
    }
    expect(find(size(pump), 'sizing.fuse')?.steps.find((x) => x.formula.startsWith('I_fp'))).toMatchObject({ value: 363, confidence: 'memory' });
  });
  it('beside another load as well', () => {
    const shared: Plain<LoadData> = { kind: 'machine', voltage: 460, phases: 3, parts: [pump, { kind: 'motor', horsepower: 5 }] as never };
    for (const load of [shared, { ...pump, count: 2 }]) expect(find(size(load, { ratedAmperes: 200, ratedHorsepower: 150, fuseAmperes: 150 }), 'sizing.fuse')).toMatchObject({ verdict: 'judgement' });
  });
  // 20 kA at X/R 4: 13.856 milliohm, 3.361 and 13.443. 100 ft of 4 AWG copper in steel (Table 9: 0.31 and 0.060 ohm a 1000 ft) to 34.36 and 19.44, together 39.48 milliohm.
  const stiff = { ...SYSTEM_480, source: { availableFaultCurrent: 20_000 as never, xOverR: 4 } };
  const wired: Plain<DeviceData> = { routeLength: 100, conductor: { size: '4' } };
  const ask = (check: string, load: Plain<LoadData> = pump, device: Plain<DeviceData> = wired, more: Parameters<typeof projectWith>[2] = { system: stiff }) => find(size(load, device, more), `sizing.fire-pump-${check}`);
  it('starting, takes sqrt(3) x 363 A x 39.48 milliohm = 24.8 V, 5.17 % of 480 V, where 15 % are allowed at the controller (695.7(A))', () => {
    expect(ask('starting')).toMatchObject({ verdict: 'pass', value: { value: 5.17, unit: '%' }, margin: { value: 9.83 } });
    // The same wire over 400 ft: 127.36 and 37.44, together 132.75 milliohm, 83.5 V, 17.39 %.
    expect(ask('starting', pump, { ...wired, routeLength: 400 })).toMatchObject({ verdict: 'fail', value: { value: 17.39 } });
    expect(ask('starting')?.steps.some((x) => x.confidence === 'memory')).toBe(true);
  });
  it('running at 115 %, has 480 - sqrt(3) x 74.75 A x 39.48 milliohm = 474.9 V at its terminals, where a 460 V motor needs 437 V (695.7(B); figure of a published code question)', () => {
    expect(ask('running')).toMatchObject({ verdict: 'pass', value: { value: 474.89, unit: 'V' }, margin: { value: 37.89 } });
    expect(ask('running')?.steps.find((x) => x.formula.startsWith('U_min'))?.value).toBeCloseTo(437, 9);
    // A motor rated at the full system voltage, or without one, needs 456 V; 600 ft: 189.36 and 49.44, 195.7 milliohm, 454.66 V.
    for (const voltage of [480, undefined]) expect(ask('running', { ...pump, voltage }, { ...wired, routeLength: 600 })).toMatchObject({ verdict: 'fail', value: { value: 454.66 } });
    expect(ask('running', { ...pump, nameplateAmperes: 70 })?.steps.find((x) => x.formula.startsWith('I_115'))?.value).toBeCloseTo(80.5, 9);
  });
  it('other loads on the disconnect and pumps alike count with it', () => {
    const shared: Plain<LoadData> = { kind: 'machine', voltage: 460, phases: 3, parts: [{ ...pump, count: 2 }, { kind: 'motor', horsepower: 5 }] as never };
    const steps = (check: string, symbol: string) => Number(ask(check, shared)?.steps.find((x) => x.formula.startsWith(`${symbol} = `))?.value);
    expect(steps('starting', 'I_start')).toBeCloseTo(2 * 363 + 7.6, 9);
    expect(steps('running', 'I_run')).toBeCloseTo(2 * 74.75 + 7.6, 9);
    expect(steps('device', 'I_fp') || Number(ask('device', shared, { ...wired, upstreamAmperes: 800 })?.steps.find((x) => x.formula.startsWith('I_fp = '))?.value)).toBeCloseTo(2 * 363 + 7.6, 9);
  });
  it('never keeps its voltage on what is not known: no source, no length, a transformer without its utility, an estimate, other loads', () => {
    const bare: SupplySystem = { ...SYSTEM_480, source: undefined };
    for (const check of ['starting', 'running']) {
      expect(ask(check, pump, wired, { system: bare }), check).toMatchObject({ verdict: 'incomplete', missing: [expect.stringContaining('available fault current')] });
      expect(ask(check, pump, { conductor: { size: '4' } }, { system: stiff, scaled: false }), check).toMatchObject({ verdict: 'incomplete' });
      expect(ask(check, pump, { ...wired, fedFrom: undefined as never }, { system: stiff }), check).toMatchObject({ verdict: 'incomplete' });
      expect(ask(check, pump, wired, {}), check).toMatchObject({ verdict: 'judgement', title: expect.stringContaining('ahead of the transformer') });
      expect(ask(check, pump, { conductor: { size: '4' } }), check).toMatchObject({ verdict: 'judgement', title: expect.stringContaining('an estimate') });
      const other: Document['entities'] = { 'load-2': { ...projectWith(MOTOR).entities['load-1']!, id: 'load-2', tag: 'M-2' } as Load, 'disconnect-2': { ...projectWith(MOTOR).entities['disconnect-1']!, id: 'disconnect-2', tag: 'DS-2', serves: ['load-2'] } as Disconnect };
      expect(ask(check, pump, wired, { system: stiff, entities: other }), check).toMatchObject({ verdict: 'judgement', title: expect.stringContaining('other loads') });
      expect(ask(check, { kind: 'fire-pump', nameplateAmperes: 65, voltage: 460, phases: 3 }), check).toMatchObject({ verdict: 'incomplete' });
    }
  });
  it('goes to its controller where that stands on the plan, to the motor where it does not', () => {
    const far: Document['entities'] = { 'controller-1': { id: 'controller-1', sheet: 'sheet-1', kind: 'controller', tag: 'FPC', name: '', at: { x: 450, y: 40 } as never, height: feet(4), standing: feet(0) } };
    const linked = { ...far, 'load-1': { ...projectWith(pump).entities['load-1']!, controller: 'controller-1' } as Load };
    const on = (entities: Document['entities']) => Number(ask('starting', pump, { conductor: { size: '4' } }, { system: stiff, entities })?.steps.find((x) => x.quantity === 'Length on to the controller')?.value);
    expect(on(linked)).toBeGreaterThan(400);
    expect(on(far)).toBeLessThan(40);
  });
  it('through a disconnect above it adds both runs', () => {
    const above: Document['entities'] = { 'disconnect-0': { ...projectWith(pump).entities['disconnect-1']!, id: 'disconnect-0', tag: 'DS-0', serves: ['load-1'], data: { fedFrom: 'supply-1', routeLength: feet(60), conductor: { size: '4' } } } as Disconnect };
    expect(ask('starting', pump, { ...wired, routeLength: 40, fedFrom: 'disconnect-0' }, { system: stiff, entities: above })?.value).toEqual({ value: 5.17, unit: '%' });
  });
  it('is held by a device of 363 A and more, opened by less (695.4(B)(2))', () => {
    const held = (device: Plain<DeviceData>) => ask('device', pump, { ...wired, ...device });
    expect(held({})).toMatchObject({ verdict: 'incomplete', missing: ['amperes of the overcurrent device of the fire pump'] });
    expect([held({ upstreamAmperes: 362.9 }), held({ upstreamAmperes: 363 }), held({ fuseAmperes: 400, upstreamAmperes: 350 }), held({ fuseAmperes: 400 }), held({ type: 'circuit-breaker', ratedAmperes: 150 }), held({ ratedAmperes: 400 })].map((r) => r?.verdict)).toEqual(['fail', 'judgement', 'fail', 'judgement', 'fail', 'incomplete']);
    expect(held({ type: 'circuit-breaker', ratedAmperes: 150 })?.margin).toEqual({ value: -213, unit: 'A' });
  });
  it('by its amperes alone has no standstill current, marked it has', () => {
    const plain: Plain<LoadData> = { kind: 'fire-pump', nameplateAmperes: 65, voltage: 460, phases: 3 };
    expect(find(size(plain), 'sizing.fuse')).toMatchObject({ verdict: 'incomplete', missing: [expect.stringContaining('locked-rotor amperes')] });
    expect(ask('device', { ...plain, lockedRotorAmperes: 380 }, { ...wired, upstreamAmperes: 370 })).toMatchObject({ verdict: 'fail' });
  });
  it('no other load is asked this', () => { for (const check of ['starting', 'running', 'device']) expect(ask(check, MOTOR)).toBeUndefined(); });
  it('has conductors of 125 percent', () => { expect(ampacity(size(pump, { routeLength: 5 }))).toBeCloseTo(81.25, 9); });
});

describe('Design A, whose standstill current has no table (430.110(C)(1) Exception)', () => {
  const of = (codeLetter: string | undefined) => find(size({ ...MOTOR, design: 'A', ...(codeLetter === undefined ? {} : { codeLetter }) }), 'sizing.locked-rotor');
  it('goes by the upper end of its code letter: G, 6.29 kVA a horsepower, 197.4 A for 25 hp at 460 V', () => {
    // Table 430.7(B): 6.29 x 25 x 1000 / (sqrt(3) x 460).
    expect(of('G')).toMatchObject({ verdict: 'pass', value: { value: 197.37, unit: 'A' } });
    expect(of('g')?.value).toEqual({ value: 197.37, unit: 'A' });
  });
  it('and so does its horsepower on the switch, as a marked standstill current does for any design', () => {
    // Table 430.251(B) at 460 V: 25 hp 183 A, 30 hp 218 A, 40 hp 290 A. Letter K ends at 8.99: 282 A.
    const hp = (more: Plain<LoadData>) => size({ ...MOTOR, ...more }).summary.requiredHorsepower;
    expect([hp({ design: 'A', codeLetter: 'G' }), hp({ design: 'A', codeLetter: 'K' }), hp({ lockedRotorAmperes: 219 }), hp({ lockedRotorAmperes: 170 }), hp({ design: 'B' })]).toEqual([30, 40, 40, 25, 25]);
    for (const design of ['BE', 'CE'] as const) expect(find(size({ ...MOTOR, design }), 'sizing.horsepower')).toMatchObject({ verdict: 'incomplete' });
  });
  it('is asked for where there is no letter, or one without an upper end', () => {
    expect(of(undefined)).toMatchObject({ verdict: 'incomplete', missing: ['locked-rotor amperes or code letter'] });
    expect(of('V')).toMatchObject({ verdict: 'incomplete', missing: ['locked-rotor amperes'] });
    expect(of('V')?.title).toContain('code letter V has no upper end');
  });
});

describe('what is not covered says so', () => {
  it('above 1000 V', () => {
    const s = size({ kind: 'motor', horsepower: 200, voltage: 2300, phases: 3 }, {}, { system: { ...SYSTEM_480, name: '2400 V', voltage: volts(2400), voltsToGround: volts(2400) } });
    expect(find(s, 'sizing.load-current')?.title).toContain('medium voltage are not covered');
    expect(s.summary).toMatchObject({ requiredAmperes: null, conductor: null, fuse: null });
  });
  it('a 208 V part of a machine on 480 V', () => { expect(find(size(machine({ kind: 'motor', horsepower: 5 }, { kind: 'motor', horsepower: 5, voltage: 208 })), 'sizing.load-current')?.title).toContain('rated 208 V'); });
  it('a system of 208 V takes motors of 200 and 208 V', () => { for (const voltage of [200, 208]) expect(find(size({ kind: 'motor', horsepower: 5, voltage, phases: 3 }, {}, { system: SYSTEM_208 }), 'sizing.load-current')?.verdict).toBe('pass'); });
});

describe('a small compressor that is not marked with its locked-rotor current', () => {
  // 440.12(C): six times its rated load; 440.4(A), from memory: single-phase above 9 A at 115 V or 4.5 A at 230 V is marked, and so is every polyphase one.
  const ask = (ratedLoadAmperes: number, voltage: number, phases: 1 | 3 = 1, system = SYSTEM_240) => find(size({ kind: 'hermetic', ratedLoadAmperes, voltage, phases }, {}, { system }), 'sizing.locked-rotor');
  it('counts six times its rated load', () => {
    expect(ask(8, 115)).toMatchObject({ verdict: 'pass', value: { value: 48, unit: 'A' } });
    expect(ask(9, 115)?.verdict).toBe('pass');
    expect(ask(4.5, 230)).toMatchObject({ verdict: 'pass', value: { value: 27, unit: 'A' } });
    expect(ask(4.5, 230)?.steps.some((x) => x.confidence === 'memory')).toBe(true);
  });
  it('has to be marked where it is larger, polyphase or at a higher voltage', () => {
    for (const larger of [ask(9.1, 115), ask(4.6, 230), ask(4, 460, 3, SYSTEM_480), ask(4, 208, 3, SYSTEM_208), ask(4, 480, 1, SYSTEM_480), ask(4, 277, 1, SYSTEM_480)]) expect(larger).toMatchObject({ verdict: 'incomplete', missing: ['locked-rotor amperes (LRA) of M-1'] });
  });
  it('with a branch-circuit selection current counts six times that', () => {
    expect(find(size({ kind: 'hermetic', ratedLoadAmperes: 4, branchSelectionAmperes: 5, voltage: 230, phases: 1 }, {}, { system: SYSTEM_240 }), 'sizing.locked-rotor')?.value).toEqual({ value: 30, unit: 'A' });
  });
});

describe('a general-use switch', () => {
  // 430.109(G) lets one serve torque motors; compressors and hidden motors are motors too.
  const kind = (load: Plain<LoadData>, type: DeviceData['type'] = 'general-use-switch', system?: SupplySystem) => find(size(load, { type, ratedAmperes: 100 }, system ? { system } : {}), 'sizing.device-type')?.verdict;
  const torque = { kind: 'torque-motor', nameplateAmperes: 6, lockedRotorAmperes: 7, voltage: 460, phases: 3 } as const;
  it('serves torque motors alone, and nothing else that turns without a person saying so', () => {
    expect(kind(torque)).toBe('pass');
    expect(kind(torque, 'pullout')).toBe('judgement');
    expect(kind({ kind: 'machine', voltage: 460, phases: 3, parts: [torque, { kind: 'motor', horsepower: 50 }] as never })).toBe('judgement');
    expect(kind({ kind: 'hermetic', ratedLoadAmperes: 26, lockedRotorAmperes: 150, voltage: 460, phases: 3 })).toBe('judgement');
    expect(kind({ kind: 'multimotor-cooling', minimumCircuitAmpacity: 40, maximumOvercurrent: 50, voltage: 460, phases: 3 })).toBe('judgement');
    expect(kind({ kind: 'machine', nameplateAmperes: 62, voltage: 460, phases: 3 })).toBe('judgement');
    expect(kind({ kind: 'heater', kilowatts: 20, voltage: 480, phases: 3 })).toBe('pass');
  });
});

describe('sections that no table or rule carries', () => {
  it('are confirmed in the editions that were read and from memory in 2026, wherever they stand', () => {
    for (const edition of ['2017', '2020', '2023', '2026'] as const) {
      const results = [size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3, nameplateAmperes: 36 }, {}, { facts: { edition } }), size({ kind: 'service', nameplateAmperes: 100, phases: 3 }, { serviceEquipment: true }, { facts: { edition } })].flatMap((s) => s.results);
      for (const section of ['430.109(A)', '430.103', '430.6(A)(1)', '230.66(A)']) {
        const cited = results.flatMap((r) => r.citations).filter((c) => c.text === `NFPA 70 ${section}`);
        expect(cited.length, section).toBeGreaterThan(0);
        for (const c of cited) expect(c, `${section} ${edition}`).toMatchObject({ edition, confidence: edition === '2026' ? 'memory' : 'confirmed' });
      }
    }
  });
});
