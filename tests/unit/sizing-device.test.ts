import { describe, expect, it } from 'vitest';
import { sizeDevice } from '../../shared-core/sizing/index';
import type { DeviceData, LoadData } from '../../shared-core/document/index';
import { projectWith, SYSTEM_208, SYSTEM_240 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

const MOTOR = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: Parameters<typeof projectWith>[2] = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
const find = (s: ReturnType<typeof size>, check: string) => s.results.find((r) => r.check === check);

describe('a 25 hp, 460 V motor', () => {
  // Figures: NFPA 70 Table 430.250 (34 A), 430.110(A) (115 percent), 430.22 (125 percent), Table 430.52(C)(1) (175 percent),
  // Table 310.16 (6 AWG, 55 A at 60 C); 60 A heavy-duty switch: typical catalogue figure of 30 hp at 480 V.
  const s = size({ ...MOTOR, nameplateAmperes: 32, serviceFactor: 1.15 });
  it('gets 39.1 A, a 60 A switch, 60 A time-delay fuses and 6 AWG', () => {
    expect(s.summary).toMatchObject({ requiredAmperes: 39.1, switchAmperes: 60, requiredHorsepower: 25, fusible: true, fuse: { amperes: 60 }, duty: 'heavy', poles: 3, enclosure: '1', conductor: '6 AWG copper', equipmentGround: '10 AWG copper' });
  });
  it('shows where each number comes from, with edition and table', () => {
    const rating = find(s, 'sizing.ampere-rating');
    expect(rating?.steps.map((step) => step.citation?.text)).toEqual(expect.arrayContaining(['NFPA 70 Table 430.250', 'NFPA 70 430.110(A)']));
    expect(rating?.steps.find((step) => step.formula === 'I_min = p / 100 x I_FLC')?.value).toBeCloseTo(39.1, 9);
    expect(rating?.citations.every((c) => c.edition === '2023' || c.edition === '')).toBe(true);
  });
  it('takes the overload from the nameplate, not from the table', () => {
    expect(find(s, 'sizing.overload')?.value).toEqual({ value: 40, unit: 'A' });
  });
});

describe('what was entered is checked', () => {
  it.each([
    [{ ratedAmperes: 30 }, 'sizing.ampere-rating', 'fail'],
    [{ ratedAmperes: 60 }, 'sizing.ampere-rating', 'pass'],
    [{ ratedAmperes: 60, ratedHorsepower: 20 }, 'sizing.horsepower', 'fail'],
    [{ ratedAmperes: 60, ratedHorsepower: 25 }, 'sizing.horsepower', 'pass'],
    [{ ratedVolts: 240 }, 'sizing.voltage-rating', 'fail'],
    [{ ratedAmperes: 60, fuseAmperes: 70 }, 'sizing.fuse', 'fail'],
    [{ ratedAmperes: 100, fuseAmperes: 70 }, 'sizing.fuse', 'judgement'],
    [{ ratedAmperes: 100, fuseAmperes: 80 }, 'sizing.fuse', 'fail'],
    [{ ratedAmperes: 100, fuseAmperes: 35 }, 'sizing.fuse', 'judgement'],
    [{ fusible: false, upstreamAmperes: 60, upstreamType: 'circuit-breaker' as const }, 'sizing.fusing', 'pass'],
    [{ fusible: false, upstreamAmperes: 200, upstreamType: 'circuit-breaker' as const }, 'sizing.fusing', 'fail'],
    [{ fusible: false }, 'sizing.fusing', 'incomplete'],
    [{ duty: 'general' as const }, 'sizing.duty', 'fail'],
    [{ poles: 2 }, 'sizing.poles', 'fail'],
    [{ enclosure: '3R' }, 'sizing.enclosure', 'fail'],
    [{ enclosure: '12' }, 'sizing.enclosure', 'pass'],
    [{ shortCircuitRating: 4000 }, 'sizing.short-circuit-rating', 'fail'],
    [{ shortCircuitRating: 4900 }, 'sizing.short-circuit-rating', 'marginal'],
    [{ conductor: { size: '10' } }, 'sizing.conductor', 'fail'],
    [{ conductor: { size: '4' } }, 'sizing.conductor', 'pass'],
    [{ conductor: { size: 'thick' } }, 'sizing.conductor', 'incomplete'],
  ])('%o: %s is %s', (device, check, verdict) => { expect(find(size(MOTOR, device), check)?.verdict).toBe(verdict); });

  it('lets a listed unfused switch with enough horsepower be below 115 percent (430.110(A) exception)', () => {
    const device = { fusible: false, ratedAmperes: 30, ratedHorsepower: 25, upstreamAmperes: 60, upstreamType: 'circuit-breaker' as const };
    expect(find(size(MOTOR, device), 'sizing.ampere-rating')?.verdict).toBe('pass');
    expect(find(size(MOTOR, { ...device, fusible: true }), 'sizing.ampere-rating')?.verdict).toBe('fail');
  });
  // Whatever is not surely a listed unfused motor-circuit switch with the horsepower keeps the whole 115 percent.
  it.each<[string, Plain<DeviceData>]>([
    ['not entered whether it holds fuses', { fusible: undefined }], ['fuses in it', { fusible: true }], ['a breaker', { type: 'circuit-breaker' }], ['a molded-case switch', { type: 'molded-case-switch' }], ['a general-use switch', { type: 'general-use-switch' }], ['a plug', { type: 'attachment-plug' }], ['a pullout', { type: 'pullout' }],
    ['horsepower not entered', { ratedHorsepower: undefined }], ['horsepower too low', { ratedHorsepower: 20 }],
  ])('no exception: %s', (_name, change) => {
    const device: Plain<DeviceData> = { fusible: false, ratedAmperes: 30, ratedHorsepower: 25, upstreamAmperes: 60, upstreamType: 'circuit-breaker', ...change };
    expect(find(size(MOTOR, device), 'sizing.ampere-rating')?.verdict).toBe('fail');
  });
  it('no exception for a load or a feeder that needs no horsepower', () => {
    const device: Plain<DeviceData> = { fusible: false, ratedAmperes: 30, ratedHorsepower: 100, upstreamAmperes: 60, upstreamType: 'circuit-breaker' };
    for (const kind of ['continuous', 'feeder'] as const) expect(find(size({ kind, nameplateAmperes: 40, phases: 3 }, device), 'sizing.ampere-rating')?.verdict).toBe('fail');
    expect(find(size({ kind: 'feeder', phases: 3, voltage: 480, parts: [{ kind: 'motor', horsepower: 25 }, { kind: 'motor', horsepower: 5 }] as never }, device), 'sizing.ampere-rating')?.verdict).toBe('fail');
  });
  it('the exception on 208 V needs the horsepower that the load counts as on a 240 V plate, or a plate for 208 V', () => {
    // 10 hp at 208 V is 30.8 A; Table 430.250 gives 28 A to 10 hp at 230 V, so it counts as 15 hp there.
    const ask = (ratedHorsepower: number) => find(size({ kind: 'motor', horsepower: 10, voltage: 208, phases: 3 }, { fusible: false, ratedAmperes: 30, ratedHorsepower, upstreamAmperes: 60, upstreamType: 'circuit-breaker' }, { system: SYSTEM_208 }), 'sizing.ampere-rating')?.verdict;
    expect([ask(7.5), ask(10), ask(15)]).toEqual(['fail', 'judgement', 'pass']);
  });
  it('a general-use switch is for one small motor, not for several', () => {
    const two = { kind: 'machine', voltage: 230, phases: 1, parts: [{ kind: 'motor', horsepower: 1 }, { kind: 'motor', horsepower: 1 }] as never } as const;
    const device: Plain<DeviceData> = { type: 'general-use-switch', ratedAmperes: 30 };
    expect(find(size(two, device, { system: SYSTEM_240 }), 'sizing.device-type')?.verdict).toBe('judgement');
    expect(find(size({ kind: 'motor', horsepower: 1, voltage: 230, phases: 1, count: 2 }, device, { system: SYSTEM_240 }), 'sizing.device-type')?.verdict).toBe('judgement');
    expect(find(size({ kind: 'motor', horsepower: 1, voltage: 230, phases: 1 }, device, { system: SYSTEM_240 }), 'sizing.device-type')?.verdict).toBe('pass');
  });
});

describe('systems', () => {
  it('counts 10 hp at 208 V as 15 hp on a 240 V switch', () => {
    const s = size({ kind: 'motor', horsepower: 10, voltage: 208, phases: 3 }, {}, { system: SYSTEM_208 });
    expect(s.summary).toMatchObject({ requiredAmperes: 35.42, switchAmperes: 60, requiredHorsepower: 10, duty: 'general' });
    expect(find(s, 'sizing.horsepower')?.title).toContain('15 hp');
  });
  it('finds one leg and neutral for a 115 V motor on 120/240 V', () => {
    const s = size({ kind: 'motor', horsepower: 1, voltage: 115, phases: 1 }, {}, { system: SYSTEM_240 });
    expect(s.summary).toMatchObject({ requiredAmperes: 18.4, poles: 1 });
    expect(s.summary.options.map((o) => o.option)).toContain('solid-neutral');
  });
  it.each<[Plain<LoadData>, string]>([
    [{ ...MOTOR, nameplateAmperes: 102 }, '3 times the table'],
    [{ ...MOTOR, voltage: 208 }, 'rated 208 V'],
    [{ ...MOTOR, powerFactor: 85 }, 'power factor'],
    [{ ...MOTOR, codeLetter: 'I' }, 'no code letter'],
    [{ ...MOTOR, horsepower: -5 }, 'horsepower is -5'],
    [{ ...MOTOR, horsepower: 4 }, 'not covered'],
    [{ kind: 'motor', voltage: 460, phases: 3 }, 'no horsepower'],
    [{ kind: 'motor', horsepower: 5, voltage: 460 }, 'phases'],
    [{ kind: 'hermetic', voltage: 460, phases: 3 }, 'rated-load current'],
    [{ kind: 'heater', voltage: 480, phases: 3 }, 'no current, kW or kVA'],
    [{ kind: 'hermetic', ratedLoadAmperes: 20, lockedRotorAmperes: 15, voltage: 460, phases: 3 }, 'locked-rotor'],
    [{ kind: 'multimotor-cooling', minimumCircuitAmpacity: 40, maximumOvercurrent: 30, voltage: 460, phases: 3 }, 'below its circuit ampacity'],
  ])('names what is wrong in %o and gives no number', (load, words) => {
    const s = size(load);
    const first = s.results[0];
    expect(first?.verdict).toBe('incomplete');
    expect(first?.title).toContain(words);
    expect(first?.missing.length).toBeGreaterThan(0);
    expect(s.summary).toMatchObject({ requiredAmperes: null, switchAmperes: null, conductor: null, fuse: null });
    expect(s.results.filter((r) => r.verdict === 'pass' && r.check !== 'sizing.option').map((r) => r.check)).toEqual(['sizing.enclosure']);
  });
  it('refuses a route without length', () => {
    expect(find(size(MOTOR, { routeLength: 0 }), 'sizing.voltage-drop')?.title).toContain('has no length');
  });
  it('leaves a hazardous area to an engineer', () => {
    expect(find(size(MOTOR, {}, { environments: ['classified'] }), 'sizing.enclosure')).toMatchObject({ verdict: 'judgement', title: expect.stringContaining("outside this tool's scope") as string });
  });
});
