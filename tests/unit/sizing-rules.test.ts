import { describe, expect, it } from 'vitest';
import { Trace } from '../../shared-core/code-data/index';
import type { DeviceData, LoadData, Override, ProjectFacts } from '../../shared-core/document/index';
import { fullLoadCurrent, horsepowerForLockedRotor, lockedRotorCurrent } from '../../shared-core/sizing/motor';
import { smallMotorSwitches } from '../../shared-core/sizing/questions';
import { needsGroundFault, serviceDistance, serviceHandles } from '../../shared-core/sizing/service';
import { serviceMarkings, sizeDevice } from '../../shared-core/sizing/index';
import { standardRatings } from '../../shared-core/sizing/protection';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
const find = (s: ReturnType<typeof size>, check: string) => s.results.find((r) => r.check === check);
const verdict = (s: ReturnType<typeof size>, check: string) => find(s, check)?.verdict;
const override = (key: string, value: number): Partial<ProjectFacts> => ({ overrides: [{ id: 'override-1', key, value, unit: '', reason: 'county amendment 12', authority: 'county' } satisfies Override] });

// Worked cases of disconnect selection; table values from NFPA 70 Tables 430.250, 430.251(B), 310.16, 250.122 and Chapter 9 Table 8.
describe('four motors of one machine behind one switch', () => {
  const machine: Plain<LoadData> = { kind: 'machine', voltage: 460, phases: 3, parts: [10, 5, 3, 1].map((horsepower) => ({ kind: 'motor', horsepower })) as unknown as LoadData[] };
  it('needs 25 hp by both sums and 32.77 A', () => {
    const s = size(machine);
    expect(s.summary).toMatchObject({ requiredAmperes: 32.77, requiredHorsepower: 25, switchAmperes: 60 });
    const steps = find(s, 'sizing.horsepower')?.steps ?? [];
    expect(steps.find((x) => x.formula.startsWith('I_LR = '))?.value).toBe(174);
    expect(steps.find((x) => x.formula.startsWith('P_FLC'))?.value).toBe(25);
    expect(steps.find((x) => x.formula.startsWith('P_LRC'))?.value).toBe(25);
    expect(find(s, 'sizing.load-current')?.value).toEqual({ value: 28.5, unit: 'A' });
  });
  it('is too much for a 30 A switch of 15 hp, right for 60 A with 30 hp, wrong for 60 A with 15 hp', () => {
    expect([verdict(size(machine, { ratedAmperes: 30, ratedHorsepower: 15 }), 'sizing.ampere-rating'), verdict(size(machine, { ratedAmperes: 30, ratedHorsepower: 15 }), 'sizing.horsepower')]).toEqual(['fail', 'fail']);
    expect([verdict(size(machine, { ratedAmperes: 60, ratedHorsepower: 30 }), 'sizing.ampere-rating'), verdict(size(machine, { ratedAmperes: 60, ratedHorsepower: 30 }), 'sizing.horsepower')]).toEqual(['pass', 'pass']);
    expect([verdict(size(machine, { ratedAmperes: 60, ratedHorsepower: 15 }), 'sizing.ampere-rating'), verdict(size(machine, { ratedAmperes: 60, ratedHorsepower: 15 }), 'sizing.horsepower')]).toEqual(['pass', 'fail']);
  });
  it('counts the worst start where they never start together', () => {
    const apart = { ...machine, parts: (machine.parts as unknown as LoadData[]).map((p) => ({ ...p, startTogether: false })) };
    expect(find(size(apart), 'sizing.horsepower')?.steps.find((x) => x.formula.startsWith('I_LR = '))?.value).toBeCloseTo(81 + 28.5 - 14, 9);
  });
});

describe('40 hp at 460 V: amperes fit a 60 A frame, horsepower does not', () => {
  const motor = { kind: 'motor', horsepower: 40, voltage: 460, phases: 3 } as const;
  it.each<[Plain<DeviceData>, string]>([
    [{ fusible: true, ratedAmperes: 60, ratedHorsepower: 30 }, 'fail'], [{ fusible: true, ratedAmperes: 100, ratedHorsepower: 60 }, 'pass'], [{ fusible: true, ratedAmperes: 100, ratedHorsepower: 25 }, 'fail'],
    [{ fusible: false, ratedAmperes: 60, ratedHorsepower: 50, upstreamAmperes: 100, upstreamType: 'circuit-breaker' }, 'pass'],
  ])('%o is %s', (device, expected) => { expect(verdict(size(motor, device), 'sizing.horsepower')).toBe(expected); expect(verdict(size(motor, device), 'sizing.ampere-rating')).toBe('pass'); });
  it('refuses a fusible plate of 50 hp on 60 A, which no exception covers', () => {
    expect(verdict(size(motor, { fusible: true, ratedAmperes: 60, ratedHorsepower: 50 }), 'sizing.horsepower')).toBe('incomplete');
    expect(find(size(motor, { fusible: true, ratedAmperes: 60, ratedHorsepower: 50 }), 'sizing.horsepower')?.title).toContain('74.75 A');
  });
  it('does not size a machine with hidden motors as if it had none', () => { expect(verdict(size({ kind: 'machine', nameplateAmperes: 62, phases: 3 }), 'sizing.horsepower')).toBe('incomplete'); });
  it('asks above 1000 V, for a class below its range, and for direct-current fuses, in place of proposing', () => {
    expect(verdict(size(motor, { fuseClass: 'L' }), 'sizing.fuse')).toBe('incomplete');
    expect(find(size({ ...motor, horsepower: 100, voltage: 2300 }, {}, { system: { ...SYSTEM_480, voltage: 2400 as never, voltsToGround: 2400 as never } }), 'sizing.load-current')?.title).toContain('above the 1000 V');
  });
  it('proposes 100 A', () => { expect(size(motor).summary).toMatchObject({ requiredAmperes: 59.8, switchAmperes: 100 }); });
  it('with other than time-delay fuses needs a larger frame', () => { expect(size(motor, { fuseClass: 'T' }).summary.switchAmperes).toBe(200); });
});

describe('a nameplate that allows fuses only', () => {
  const unit = { kind: 'multimotor-cooling', voltage: 208, phases: 3, minimumCircuitAmpacity: 28.4, maximumOvercurrent: 45, fusesOnly: true } as const;
  const on = { system: SYSTEM_208 };
  it('fails with a breaker and a non-fused switch', () => { expect(verdict(size(unit, { fusible: false, ratedAmperes: 60, upstreamAmperes: 45, upstreamType: 'circuit-breaker' }, on), 'sizing.fusing')).toBe('fail'); });
  it('passes with 45 A fuses in the switch', () => {
    const s = size(unit, { fusible: true, ratedAmperes: 60, fuseAmperes: 45 }, on);
    expect([verdict(s, 'sizing.fusing'), verdict(s, 'sizing.fuse')]).toEqual(['pass', 'pass']);
  });
  it('passes with a breaker where the plate allows one', () => { expect(verdict(size({ ...unit, fusesOnly: false }, { fusible: false, ratedAmperes: 60, upstreamAmperes: 45, upstreamType: 'circuit-breaker' }, on), 'sizing.fusing')).toBe('pass'); });
  it('fails with 60 A fuses', () => { expect(verdict(size(unit, { fusible: true, ratedAmperes: 60, fuseAmperes: 60 }, on), 'sizing.fuse')).toBe('fail'); });
  it('asks for the kind of the upstream device when it is not known', () => { expect(verdict(size(unit, { fusible: false, upstreamAmperes: 45 }, on), 'sizing.fusing')).toBe('incomplete'); });
});

describe('10 hp over 1450 ft: wire grows past the terminals', () => {
  const s = size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { ratedAmperes: 30, routeLength: 1450, conductor: { terminationCelsius: 75 } });
  it('takes 4 AWG for 3 percent', () => { expect(s.summary.conductor).toBe('4 AWG copper'); expect(verdict(s, 'sizing.voltage-drop')).toBe('pass'); });
  it('does not fit the lugs of the 30 A switch, which is a fail until larger lugs are ordered', () => {
    expect(verdict(s, 'sizing.lugs')).toBe('fail');
    expect(s.summary.options.map((o) => o.option)).toContain('larger-lugs');
    expect(verdict(size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { ratedAmperes: 30, routeLength: 1450, options: ['larger-lugs'] }), 'sizing.lugs')).toBe('pass');
  });
  it('enlarges the grounding conductor to the phase size, never beyond', () => { expect(s.summary.equipmentGround).toBe('4 AWG copper'); });
});

describe('a drive and a switch on its output', () => {
  it('needs 46 A and 30 hp, and proposes the early-break contact', () => {
    const s = size({ kind: 'drive', driveSide: 'load', horsepower: 30, voltage: 460, phases: 3 });
    expect(s.summary).toMatchObject({ requiredAmperes: 46, requiredHorsepower: 30 });
    expect(s.summary.options.map((o) => o.option)).toContain('early-break-contact');
  });
  it('on the line side goes by the input current', () => { expect(size({ kind: 'drive', driveInputAmperes: 40, maximumOvercurrent: 80, voltage: 480, phases: 3 }).summary.requiredAmperes).toBe(46); });
});

describe('small motors', () => {
  it('3/4 hp at 230 V: a general-use switch of 13.8 A or a snap switch of 8.63 A', () => {
    const t = new Trace({ edition: '2023' });
    const current = fullLoadCurrent(t, { horsepower: 0.75, voltage: 230, phases: 1 });
    const small = smallMotorSwitches(t, current);
    expect(current.value).toBe(6.9);
    expect(small.generalUse.value).toBeCloseTo(13.8, 9);
    expect(small.snap.value).toBeCloseTo(8.625, 9);
    expect(find(size({ kind: 'motor', horsepower: 0.75, voltage: 230, phases: 1 }, {}, { system: SYSTEM_240 }), 'sizing.device-type')?.remedies.join(' ')).toContain('13.8 A');
  });
  it.each<[number, Plain<DeviceData>, string]>([[2, { ratedAmperes: 30 }, 'pass'], [2, { ratedAmperes: 20 }, 'fail'], [3, { ratedAmperes: 60 }, 'fail']])('%s hp at 230 V with a general-use switch %o is %s', (horsepower, device, expected) => {
    expect(verdict(size({ kind: 'motor', horsepower, voltage: 230, phases: 1 }, { type: 'general-use-switch', ...device }, { system: SYSTEM_240 }), 'sizing.device-type')).toBe(expected);
  });
  it('above 100 hp an isolating switch is for the authority to accept', () => { expect(verdict(size({ kind: 'motor', horsepower: 125, voltage: 460, phases: 3 }, { type: 'general-use-switch' }), 'sizing.device-type')).toBe('judgement'); });
  it('exactly 100 hp does not qualify', () => { expect(verdict(size({ kind: 'motor', horsepower: 100, voltage: 460, phases: 3 }, { type: 'general-use-switch' }), 'sizing.device-type')).toBe('fail'); });
});

describe('service rules', () => {
  const t = (edition: '2017' | '2020' | '2023' | '2026' = '2023') => new Trace({ edition });
  it('7 disconnects are too many, 6 in separate enclosures are not', () => {
    expect(serviceHandles(t(), 7, 'separate enclosures').verdict).toBe('fail');
    expect(serviceHandles(t(), 6, 'separate enclosures').verdict).toBe('pass');
  });
  it('6 breakers in one panelboard without a main were allowed until 2017', () => {
    expect(serviceHandles(t('2017'), 6, 'one enclosure without a main').verdict).toBe('pass');
    for (const edition of ['2020', '2023', '2026'] as const) expect(serviceHandles(t(edition), 6, 'one enclosure without a main').verdict).toBe('fail');
  });
  it('14 ft inside is a judgement without a local limit and a fail with 10 ft', () => {
    expect(serviceDistance(t(), 14).verdict).toBe('judgement');
    const local = new Trace({ edition: '2023', overrides: [{ key: 'service.inside-length', value: 10, unit: 'ft', reason: 'city code', authority: 'city' }] });
    expect(serviceDistance(local, 14)).toMatchObject({ verdict: 'fail', margin: { value: -4 } });
    expect(serviceDistance(local, 10).verdict).toBe('pass');
  });
  it.each([[1000, 480, 277, true], [999, 480, 277, false], [1200, 208, 120, false], [1200, 480, 480, false], [1600, 600, 347, true], [1600, 1000, 577, true], [1600, 1001, 578, false]])('%s A on %s V with %s V to ground: ground-fault protection %s', (amperes, volts, toGround, needed) => {
    expect(needsGroundFault(t(), amperes, volts, toGround)).toBe(needed);
  });
  it('asks for suitability, and checks the smallest rating', () => {
    const service: Plain<LoadData> = { kind: 'service', nameplateAmperes: 40, phases: 3 };
    expect(verdict(size(service), 'sizing.service-suitability')).toBe('incomplete');
    expect(verdict(size(service, { serviceEquipment: true }), 'sizing.service-suitability')).toBe('pass');
    expect(verdict(size(service, { serviceEquipment: true, ratedAmperes: 30 }), 'sizing.service-rating')).toBe('fail');
    expect(verdict(size(service, { serviceEquipment: true, ratedAmperes: 60 }), 'sizing.service-rating')).toBe('pass');
  });
  it('marks by edition', () => {
    expect(serviceMarkings('2017', { dwelling: false, amperes: 1000, arcFlashFrom: 1200 }).join()).not.toContain('detailed');
    expect(serviceMarkings('2023', { dwelling: false, amperes: 1000, arcFlashFrom: 1000 }).join()).toContain('detailed');
    expect(serviceMarkings('2023', { dwelling: true, amperes: 200, arcFlashFrom: 1000 })).toContain('EMERGENCY DISCONNECT, SERVICE DISCONNECT');
  });
});

describe('editions and local amendments', () => {
  const compressor = { kind: 'hermetic', ratedLoadAmperes: 24, lockedRotorAmperes: 150, voltage: 230, phases: 1 } as const;
  it.each([['2017', 40], ['2020', 40], ['2023', 45]] as const)('%s: a 24 A compressor takes %s A', (edition, fuse) => {
    expect(find(size(compressor, {}, { system: SYSTEM_240, facts: { edition } }), 'sizing.fuse')?.title).toContain(`at most ${fuse} A`);
  });
  it('10 A is a standard breaker rating from 2023 on, a fuse rating always', () => {
    expect((['2017', '2020', '2023', '2026'] as const).map((e) => standardRatings('inverse-time-breaker', e).values[0])).toEqual([15, 15, 10, 10]);
    expect(standardRatings('time-delay-fuse', '2017').values.slice(0, 4)).toEqual([1, 3, 6, 10]);
  });
  it('cites by edition and says what was not read', () => {
    const cite = (edition: '2017' | '2023' | '2026') => find(size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }, {}, { facts: { edition } }), 'sizing.fuse')?.citations.find((c) => c.text.includes('430.52'));
    expect(cite('2017')?.text).toBe('NFPA 70 Table 430.52');
    expect(cite('2023')).toMatchObject({ text: 'NFPA 70 Table 430.52(C)(1)', confidence: 'confirmed' });
    expect(cite('2026')).toMatchObject({ confidence: 'memory' });
    expect(cite('2026')?.note).toContain('not read');
  });
  it('a local amendment replaces the figure, is named with its reason, and can only be a usable number', () => {
    const motor = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;
    const s = size(motor, {}, { facts: override('motor.disconnect.percent', 125) });
    expect(s.summary.requiredAmperes).toBe(42.5);
    expect(find(s, 'sizing.ampere-rating')?.citations.some((c) => c.note?.includes('county amendment 12'))).toBe(true);
    expect(find(s, 'sizing.ampere-rating')?.steps.some((x) => x.inputs.some((i) => i.from === 'override'))).toBe(true);
    expect(verdict(size(motor, {}, { facts: override('motor.disconnect.percent', 0) }), 'sizing.ampere-rating')).toBe('incomplete');
  });
  it('Designs BE and CE are asked for their own figures', () => {
    const s = size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3, design: 'BE' }, {}, { facts: { edition: '2026' } });
    expect(verdict(s, 'sizing.fuse')).toBe('incomplete');
    expect(find(s, 'sizing.locked-rotor')?.missing.join()).toContain('locked-rotor');
  });
});

describe('the disputed locked-rotor cell takes the safer reading in each direction', () => {
  const t = () => new Trace({ edition: '2023' });
  it('horsepower to current: 1000 A, marked as disputed', () => {
    const trace = t();
    expect(lockedRotorCurrent(trace, { horsepower: 10, voltage: 115, phases: 1 })).toMatchObject({ value: 1000, confidence: 'disputed' });
    expect(trace.steps[0]?.citation?.note).toContain('600 A');
  });
  it('current to horsepower: 600 A is the end of 10 hp, beyond it there is no row', () => {
    const at = (value: number) => () => horsepowerForLockedRotor(t(), { name: 'I', value, unit: 'A', from: 'typed' }, 115, 1).value;
    expect(at(480)()).toBe(7.5);
    expect(at(481)()).toBe(10);
    expect(at(600)()).toBe(10);
    expect(at(601)).toThrow(/no row reaches/);
  });
});

describe('fault current', () => {
  // 300 kVA, 208 V, 2 % less 10 %: 46 263 A at the terminals, an engineering-handbook example.
  const system = { ...SYSTEM_208, source: { transformerKva: 300, impedancePercent: 2 } } as typeof SYSTEM_480;
  it('is worked out both ways with its spread, and carries motors', () => {
    const r = find(size({ kind: 'motor', horsepower: 10, voltage: 208, phases: 3 }, { routeLength: 20, conductor: { size: '2', raceway: 'RMC' } }, { system }), 'sizing.fault-current');
    expect(r?.steps.find((s) => s.formula === 'I_sc = I_FL x k_sc')?.value).toBeCloseTo(46_263, -1);
    expect(r?.steps.some((s) => s.formula.startsWith('I_pp'))).toBe(true);
    expect(r?.steps.some((s) => s.formula.startsWith('I_imp'))).toBe(true);
    expect(r?.steps.find((s) => s.formula === 'I_m = k_m x I_run')?.value).toBeCloseTo(4 * 30.8, 9);
    expect(r?.title).toMatch(/point to point \d+\.\d % (lower|higher)/);
  });
  it('asks for the source when it is not known', () => {
    const { source: _source, ...bare } = SYSTEM_480;
    const s = size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, {}, { system: bare });
    expect(verdict(s, 'sizing.fault-current')).toBe('incomplete');
    expect(verdict(s, 'sizing.short-circuit-rating')).toBe('incomplete');
    expect(find(s, 'sizing.fault-current')?.missing.join()).toContain('fault current');
  });
  it('a circle of feeding disconnects is named, not followed for ever', () => {
    expect(find(size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { fedFrom: 'disconnect-1', routeLength: 10 }), 'sizing.fault-current')?.title).toContain('circle');
  });
  it('marks an estimated route', () => { expect(find(size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }), 'sizing.fault-current')?.title).toContain('estimate'); });
});
