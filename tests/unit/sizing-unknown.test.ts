import { describe, expect, it } from 'vitest';
import { auditDocument } from '../../shared-core/audit/index';
import type { DeviceData, Disconnect, Load, LoadData } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
const find = (s: ReturnType<typeof size>, check: string) => s.results.find((r) => r.check === `sizing.${check}`);

/** What looks answered and is not: no pass where the data does not carry one. */
describe('a load of which only the amperes are known', () => {
  // 430.110(C): horsepower and standstill current are those of its motors.
  it.each(['machine', 'crane', 'elevator', 'irrigation', 'pool', 'other'] as const)('%s passes neither horsepower nor standstill current', (kind) => {
    const s = size({ kind, nameplateAmperes: 62, voltage: 480, phases: 3 }, { ratedAmperes: 100, ratedHorsepower: 60, upstreamAmperes: 80, upstreamType: 'fuse', fusible: false });
    for (const check of ['horsepower', 'locked-rotor']) expect(find(s, check), check).toMatchObject({ verdict: 'incomplete', missing: [expect.stringContaining('M-1')] });
    expect(find(s, 'horsepower')?.title).toContain(kind === 'other' ? 'it may be a motor' : 'it has motors');
  });
  it('a heater or a feeder needs neither', () => {
    for (const kind of ['heater', 'feeder', 'continuous'] as const) for (const check of ['horsepower', 'locked-rotor']) expect(find(size({ kind, nameplateAmperes: 62, voltage: 480, phases: 3 }), check)?.verdict, `${kind} ${check}`).toBe('pass');
  });
});

describe('a heater on a system above its rated voltage', () => {
  // Ohm's law: 10 kW at 460 V, three-phase, is 12.55 A; at 480 V the same resistance draws 13.1 A.
  it('counts with what it draws there, by power or by current', () => {
    expect(find(size({ kind: 'heater', kilowatts: 10, voltage: 460, phases: 3 }), 'load-current')?.title).toContain('13.1 A');
    expect(find(size({ kind: 'heater', nameplateAmperes: 46, voltage: 460, phases: 3 }), 'load-current')?.title).toContain('48 A');
    expect(find(size({ kind: 'heater', nameplateAmperes: 46, voltage: 480, phases: 3 }), 'load-current')?.title).toContain('46 A');
  });
});

describe('fuses entered without their class', () => {
  // Class H fuses interrupt 10 kA at most (general-use figure of the class, UL 248-6).
  it('carry no short-circuit rating; fuses still to be selected are of the class proposed', () => {
    const load = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;
    expect(find(size(load, { fusible: true, fuseAmperes: 50, ratedAmperes: 60 }), 'short-circuit-rating')).toMatchObject({ verdict: 'incomplete', missing: [expect.stringContaining('class of the fuses')] });
    for (const device of [{ fusible: true }, { fusible: true, fuseAmperes: 50, ratedAmperes: 60, fuseClass: 'J' }] as Plain<DeviceData>[]) expect(find(size(load, device), 'short-circuit-rating')?.verdict).toBe('pass');
  });
});

describe('a source besides the supply', () => {
  const cases: readonly (readonly [Plain<LoadData>, string])[] = [
    [{ kind: 'generator', kva: 100, voltage: 480, phases: 3 }, 'the generator feeds a fault as well'], [{ kind: 'pv', nameplateAmperes: 30, voltage: 480, phases: 3 }, 'the inverter feeds a fault as well'],
    [{ kind: 'motor', horsepower: 10, voltage: 460, phases: 3, conditions: ['two-sources'] }, 'the second source may give more'],
  ];
  it.each(cases)('%j leaves fault current and short-circuit rating to a person', (load, words) => {
    for (const device of [{}, { type: 'circuit-breaker' }, { type: 'circuit-breaker', ratedAmperes: 150, shortCircuitRating: 65_000 }, { fusible: true, fuseClass: 'J' }] as Plain<DeviceData>[]) {
      for (const check of ['fault-current', 'short-circuit-rating']) {
        const found = find(size(load, device), check);
        expect(['judgement', 'incomplete'], `${check} ${JSON.stringify(device)}`).toContain(found?.verdict);
      }
    }
    expect(find(size(load), 'short-circuit-rating')?.title).toContain(words);
    expect(find(size(load), 'fault-current')?.title).toContain(words);
  });
  it('what the supply alone gives too much still fails', () => { expect(find(size({ kind: 'generator', kva: 100, voltage: 480, phases: 3 }, { shortCircuitRating: 5000 }), 'short-circuit-rating')?.verdict).toBe('fail'); });
});

describe('a drive', () => {
  const line = { kind: 'drive', horsepower: 30, driveInputAmperes: 42, maximumOvercurrent: 70, voltage: 460, phases: 3 } as const;
  it('ahead of it the input current decides (430.128, from memory); a switch of less horsepower than the motor is for a person', () => {
    expect(find(size(line), 'horsepower')?.verdict).toBe('pass');
    expect(find(size(line, { ratedAmperes: 60, ratedHorsepower: 30 }), 'horsepower')?.verdict).toBe('pass');
    expect(find(size(line, { ratedAmperes: 60, ratedHorsepower: 15 }), 'horsepower')).toMatchObject({ verdict: 'judgement', margin: { value: -15, unit: 'hp' } });
    expect(find(size({ ...line, horsepower: undefined }, { ratedAmperes: 60, ratedHorsepower: 15 }), 'horsepower')?.verdict).toBe('pass');
  });
  it('in its output fuses are what its maker allows', () => {
    const load = { kind: 'drive', driveSide: 'load', horsepower: 30, voltage: 460, phases: 3 } as const;
    expect(find(size(load), 'fusing')?.verdict).toBe('judgement');
    expect(find(size(load, { fusible: true }), 'fusing')?.verdict).toBe('judgement');
    expect(find(size(load, { fusible: false, upstreamAmperes: 70, upstreamType: 'fuse' }), 'fusing')?.verdict).toBe('pass');
  });
});

describe('a plate that allows fuses only', () => {
  // 110.3(B): the plate is followed; a breaker that is the disconnect itself is no fuse.
  const unit = { kind: 'multimotor-cooling', minimumCircuitAmpacity: 28.4, maximumOvercurrent: 45, lockedRotorAmperes: 150, voltage: 208, phases: 3, fusesOnly: true } as const;
  const fusing = (device: Plain<DeviceData>, load: Plain<LoadData> = unit) => find(size(load, device, { system: SYSTEM_208 }), 'fusing')?.verdict;
  it('is not served by a breaker alone', () => {
    expect(fusing({ type: 'circuit-breaker', ratedAmperes: 45 })).toBe('incomplete');
    expect(fusing({ type: 'circuit-breaker', ratedAmperes: 45, upstreamAmperes: 60, upstreamType: 'circuit-breaker' })).toBe('fail');
    expect(fusing({ type: 'circuit-breaker', ratedAmperes: 45, upstreamAmperes: 45, upstreamType: 'fuse' })).toBe('pass');
    expect(fusing({ type: 'circuit-breaker', ratedAmperes: 45 }, { ...unit, fusesOnly: false })).toBeUndefined();
  });
});

describe('a breaker that is to be selected', () => {
  it('is not proposed where it must be larger than it may be', () => {
    // 440.12: 115 % of the currents, which are not above 40 A of marked ampacity: 46 A; the plate allows 40 A.
    const tight = { kind: 'multimotor-cooling', minimumCircuitAmpacity: 40, maximumOvercurrent: 40, lockedRotorAmperes: 200, voltage: 208, phases: 3 } as const;
    expect(find(size(tight, { type: 'circuit-breaker' }, { system: SYSTEM_208 }), 'ampere-rating')).toMatchObject({ verdict: 'incomplete' });
    expect(find(size({ ...tight, ratedLoadAmperes: 34 }, { type: 'circuit-breaker' }, { system: SYSTEM_208 }), 'ampere-rating')).toMatchObject({ verdict: 'pass' });
  });
  it('a molded-case switch trips at nothing: its rating is the one that the load needs', () => {
    const s = size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }, { type: 'molded-case-switch' });
    expect(find(s, 'ampere-rating')).toMatchObject({ verdict: 'pass', value: { value: 39.1, unit: 'A' }, title: expect.stringContaining('molded-case switch of at least 39.1 A') });
    expect(s.summary.switchAmperes).toBeNull();
  });
});

describe('a project under the Canadian code', () => {
  it('has no rating that passes in silence by another code', () => {
    const canadian = projectWith({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }, {}, { system: SYSTEM_480, facts: { jurisdiction: 'CA', systems: [SYSTEM_480] } });
    expect(sizeDevice(canadian, 'disconnect-1').results.find((r) => r.check === 'sizing.jurisdiction')).toMatchObject({ verdict: 'judgement', title: expect.stringContaining('NFPA 70') });
    expect(auditDocument(canadian).deviceVerdicts['disconnect-1']).not.toBe('pass');
    expect(find(size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }), 'jurisdiction')).toBeUndefined();
  });
});

describe('a disconnect of a feeder and a motor', () => {
  it('is the motor\'s as well, and needs its horsepower', () => {
    const plain = projectWith({ kind: 'feeder', nameplateAmperes: 40, voltage: 480, phases: 3 });
    const motor = { ...plain.entities['load-1']!, id: 'load-2', tag: 'M-2', data: { kind: 'motor', horsepower: 50, voltage: 460, phases: 3 } } as Load;
    const device = (serves: string[]) => ({ ...plain.entities['disconnect-1'] as Disconnect, serves });
    const of = (serves: string[]) => sizeDevice({ ...plain, entities: { ...plain.entities, 'load-2': motor, 'disconnect-1': device(serves) } }, 'disconnect-1').results.find((r) => r.check === 'sizing.horsepower');
    expect(of(['load-1'])?.title).toContain('not a motor disconnect');
    // 65 A and 40 A: the next row of Table 430.250 at 460 V is 124 A, 100 hp.
    for (const serves of [['load-1', 'load-2'], ['load-2', 'load-1']]) expect(of(serves)?.value).toEqual({ value: 100, unit: 'hp' });
  });
});

describe('motors that feed a fault while they run down', () => {
  // Four times their running current, a convention; of cooling equipment and machines only the amperes are known.
  it.each<[string, Plain<LoadData>, number]>([
    ['a compressor', { kind: 'hermetic', ratedLoadAmperes: 26, lockedRotorAmperes: 150 }, 26], ['cooling equipment', { kind: 'multimotor-cooling', minimumCircuitAmpacity: 40, maximumOvercurrent: 50 }, 40], ['its sum of currents', { kind: 'multimotor-cooling', ratedLoadAmperes: 34, minimumCircuitAmpacity: 40, maximumOvercurrent: 50 }, 34],
    ['a machine by its amperes', { kind: 'machine', nameplateAmperes: 62 }, 62], ['three machines', { kind: 'machine', nameplateAmperes: 20, count: 3 }, 60],
  ])('%s', (_name, load, running) => {
    const found = find(size({ ...load, voltage: 460, phases: 3 }, { routeLength: 50 }), 'fault-current');
    expect(found?.steps.find((s) => s.formula === 'I_m = k_m x I_run')?.value).toBeCloseTo(4 * running, 9);
  });
  it('a heater feeds nothing back', () => { expect(find(size({ kind: 'heater', kilowatts: 20, voltage: 480, phases: 3 }, { routeLength: 50 }), 'fault-current')?.steps.some((s) => s.formula.startsWith('I_m = '))).toBe(false); });
});

describe('an arc welder', () => {
  // 630.12(A), from memory: a device of at most 200 percent of the primary current; what is proposed is the smallest that carries it.
  const welder = { kind: 'welder', nameplateAmperes: 52, voltage: 480, phases: 3 } as const;
  it('may stand behind a device of 200 percent, and is proposed a smaller one', () => {
    const fuse = (fuseAmperes: number, load: Plain<LoadData> = welder) => find(size(load, { ratedAmperes: 200, fuseAmperes }), 'fuse')?.verdict;
    expect(find(size(welder), 'fuse')?.value).toBe('60 A Class RK5 time-delay');
    expect([fuse(60), fuse(100), fuse(110), fuse(45)]).toEqual(['pass', 'pass', 'fail', 'judgement']);
    expect(fuse(100, { ...welder, conditions: ['resistance-welder'] })).toBe('fail');
    expect(fuse(100, { ...welder, maximumOvercurrent: 80 })).toBe('fail');
    expect(find(size({ ...welder, maximumOvercurrent: 50 }), 'fuse')?.value).toBe('50 A Class RK5 time-delay');
  });
});

describe('voltage drop through disconnects that feed each other', () => {
  const above = (routeLength: number, more: Plain<DeviceData> = {}) => {
    const plain = projectWith({ kind: 'heater', kilowatts: 30, voltage: 480, phases: 3 });
    return { 'disconnect-0': { ...plain.entities['disconnect-1'] as Disconnect, id: 'disconnect-0', tag: 'DS-0', data: { fedFrom: 'supply-1', routeLength, conductor: { size: '8' }, ...more } as DeviceData } };
  };
  const load = { kind: 'heater', kilowatts: 30, voltage: 480, phases: 3 } as const;
  const drop = (routeLength: number, up: number, facts = {}, more: Plain<DeviceData> = {}) => find(size(load, { fedFrom: 'disconnect-0', routeLength, conductor: { size: '8' } }, { entities: above(up, more), facts: { systems: [SYSTEM_480], ...facts } }), 'voltage-drop');
  const limit = (key: string, value: number) => ({ overrides: [{ id: 'override-1', key, value, unit: '%', reason: 'r', authority: 'a' }] });
  it('adds up from the supply on, and the advised 5 percent hold for the whole (210.19 and 215.2 notes)', () => {
    // 36.1 A on 8 AWG (16,510 cmil), K 12.9: sqrt(3) x 12.9 x 36.1 x 100 / 16,510 = 4.88 V, 1.02 % a hundred feet.
    expect(drop(200, 150)).toMatchObject({ verdict: 'pass', title: expect.stringContaining('3.56 % from the supply on') });
    expect(drop(200, 300)).toMatchObject({ verdict: 'judgement', title: expect.stringContaining('above the 5 % that is advised of the whole'), margin: { value: -0.0869, unit: '%' } });
    expect(drop(200, 150, limit('voltage-drop.total-limit', 3.5))).toMatchObject({ verdict: 'fail' });
    expect(drop(400, 10)).toMatchObject({ verdict: 'judgement', title: expect.stringContaining('above the 3 %') });
  });
  it('what is not known above is said, and under a local limit of the whole asked for', () => {
    expect(drop(100, 100, {}, { fedFrom: 'disconnect-1' })?.title).toContain('the runs above are not known');
    expect(drop(100, 100, limit('voltage-drop.total-limit', 5), { fedFrom: 'disconnect-1' })?.verdict).toBe('incomplete');
    expect(find(size(load, { routeLength: 100, conductor: { size: '8' } }), 'voltage-drop')?.title).not.toContain('from the supply');
  });
});

describe('surge protection of a service', () => {
  it('is required of dwellings from 2020 on (230.67), practice elsewhere', () => {
    const reason = (edition: '2017' | '2020' | '2023', conditions: string[]) => size({ kind: 'service', nameplateAmperes: 100, voltage: 240, phases: 1, conditions }, { serviceEquipment: true }, { system: SYSTEM_240, facts: { edition, systems: [SYSTEM_240] } }).summary.options.find((o) => o.option === 'surge-protection')?.reason;
    expect([reason('2017', ['dwelling']), reason('2020', ['dwelling']), reason('2023', [])].map((r) => r?.includes('required'))).toEqual([false, true, false]);
  });
});
