import { describe, expect, it } from 'vitest';
import { Trace, given } from '../../shared-core/code-data/index';
import type { DeviceData, LoadData, SupplySystem } from '../../shared-core/document/index';
import { primaryFault } from '../../shared-core/sizing/fault-current';
import { overloadDevice } from '../../shared-core/sizing/protection';
import { serviceDistance, serviceHandles, serviceMinimum } from '../../shared-core/sizing/service';
import { transformerDevice } from '../../shared-core/sizing/transformer';
import { serviceMarkings, sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
type Sized = ReturnType<typeof size>;
const find = (s: Sized, check: string) => s.results.find((r) => r.check === check);
const verdict = (s: Sized, check: string) => find(s, check)?.verdict;
const t = (): Trace => new Trace({ edition: '2023' });
const A = (value: number) => given('I', value, 'A', 'typed');
const MOTOR = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;
const stiff = (availableFaultCurrent: number): SupplySystem => ({ ...SYSTEM_480, source: { availableFaultCurrent } as never });

describe('fusible or not', () => {
  const chosen = (device: Plain<DeviceData>, more: More = {}) => find(size(MOTOR, { routeLength: 50, ...device }, more), 'sizing.fusing');
  it('holds fuses where nothing upstream protects the circuit, or what does is too large', () => {
    // 34 A: at most 60 A of time-delay fuses (175 percent, next size up) and 90 A of breaker (250 percent, next size up).
    expect(chosen({})?.value).toBe('fusible');
    expect([60, 70].map((upstreamAmperes) => chosen({ upstreamAmperes, upstreamType: 'fuse' })?.value)).toEqual(['non-fusible', 'fusible']);
    expect([90, 100].map((upstreamAmperes) => chosen({ upstreamAmperes, upstreamType: 'circuit-breaker' })?.value)).toEqual(['non-fusible', 'fusible']);
  });
  it('holds fuses where the plate allows fuses only and none is upstream', () => {
    const ask = (upstreamType: 'fuse' | 'circuit-breaker' | undefined, fusesOnly: boolean) => find(size({ ...MOTOR, fusesOnly }, { routeLength: 50, upstreamAmperes: 60, ...(upstreamType ? { upstreamType } : {}) }), 'sizing.fusing')?.value;
    expect([ask('circuit-breaker', true), ask('fuse', true), ask(undefined, true), ask('circuit-breaker', false)]).toEqual(['fusible', 'non-fusible', 'fusible', 'non-fusible']);
  });
  it('holds fuses where the fault current is not known, or above what a bare switch stands', () => {
    const { source: _source, ...bare } = SYSTEM_480;
    const upstream = { upstreamAmperes: 60, upstreamType: 'fuse' } as const;
    expect(chosen(upstream, { system: bare })?.value).toBe('fusible');
    expect(chosen({ ...upstream, conductor: { size: '4/0' }, routeLength: 5 }, { system: stiff(60_000) })?.value).toBe('fusible');
    expect(chosen({ ...upstream, conductor: { size: '4/0' }, routeLength: 5 }, { system: stiff(8000) })?.value).toBe('non-fusible');
    // 34 A of motor adds 136 A; 10 000 A less a tenth of margin is 9090 A.
    expect(chosen({ ...upstream, conductor: { size: '500' }, routeLength: 1 }, { system: stiff(9090) })?.value).toBe('fusible');
  });
  it('an upstream device of unknown kind is judged by the lower limit of fuses, and asked for where that decides', () => {
    const judged = (upstreamAmperes: number) => chosen({ fusible: false, upstreamAmperes });
    expect([60, 70, 90, 125, 150].map((amperes) => judged(amperes)?.verdict)).toEqual(['pass', 'incomplete', 'incomplete', 'incomplete', 'fail']);
    expect(judged(90)?.missing).toEqual(['kind of the upstream device (fuse or breaker)']);
    expect([chosen({ upstreamAmperes: 60 })?.value, chosen({ upstreamAmperes: 70 })?.value]).toEqual(['non-fusible', 'fusible']);
  });
  it('an entered switch without fuses needs to know what protects it, and judges it', () => {
    expect(chosen({ fusible: false })).toMatchObject({ verdict: 'incomplete', missing: ['ampere rating and kind of the upstream device'] });
    // Up to 225 percent (76.5 A, so 70 A) of fuse and 400 percent (136 A, so 125 A) of breaker only where it will not start.
    const judged = (upstreamAmperes: number, upstreamType: 'fuse' | 'circuit-breaker') => chosen({ fusible: false, upstreamAmperes, upstreamType })?.verdict;
    expect([judged(60, 'fuse'), judged(70, 'fuse'), judged(80, 'fuse')]).toEqual(['pass', 'judgement', 'fail']);
    expect([judged(90, 'circuit-breaker'), judged(125, 'circuit-breaker'), judged(150, 'circuit-breaker')]).toEqual(['pass', 'judgement', 'fail']);
  });
});

describe('fuses', () => {
  const fuse = (device: Plain<DeviceData>, load: Plain<LoadData> = MOTOR) => find(size(load, { routeLength: 50, fusible: true, ...device }), 'sizing.fuse');
  it('60 A at most, 70 A only where it will not start, 45 A at least', () => {
    const judged = (fuseAmperes: number) => fuse({ ratedAmperes: 100, fuseAmperes })?.verdict;
    expect([judged(40), judged(45), judged(60), judged(70), judged(80)]).toEqual(['judgement', 'pass', 'pass', 'judgement', 'fail']);
  });
  it('non-time-delay classes go to 300 percent, 400 where it will not start', () => {
    // 34 A: 102 A, so 110 A; 136 A, so 125 A.
    const judged = (fuseAmperes: number) => fuse({ ratedAmperes: 200, fuseClass: 'T', fuseAmperes })?.verdict;
    expect([judged(110), judged(125), judged(150)]).toEqual(['pass', 'judgement', 'fail']);
  });
  it('a fuse is no larger than its switch, whatever the motor would allow', () => { expect(fuse({ ratedAmperes: 60, fuseAmperes: 61 })?.title).toContain('does not fit a 60 A switch'); });
  it('class limits: J, RK and T to 600 A, CC to 30 A, L from 601 A (UL 248)', () => {
    expect(fuse({ ratedAmperes: 60, fuseClass: 'CC', fuseAmperes: 30 }, { kind: 'motor', horsepower: 10, voltage: 460, phases: 3 })?.verdict).toBe('pass');
    expect(fuse({ ratedAmperes: 60, fuseClass: 'CC', fuseAmperes: 40 }, { kind: 'motor', horsepower: 10, voltage: 460, phases: 3 })?.title).toContain('is made from');
    expect(fuse({ ratedAmperes: 100, fuseClass: 'L', fuseAmperes: 60 })?.title).toContain('is made from');
    expect(fuse({ ratedAmperes: 100, fuseClass: 'G', fuseAmperes: 50 })?.verdict).toBe('pass');
  });
  it('is proposed as large as the table allows where the switch holds it, else as the switch does', () => {
    expect(fuse({})?.title).toContain('60 A Class RK5 time-delay (at most 60 A');
    // 20 hp: 27 A, 47.25 A, so 50 A; a 60 A switch holds it. 15 hp: 21 A, 36.75 A, so 40 A, but a 30 A switch is chosen and holds 30 A.
    expect(size({ kind: 'motor', horsepower: 20, voltage: 460, phases: 3 }, { routeLength: 50, fusible: true }).summary.fuse?.amperes).toBe(50);
    expect(size({ kind: 'motor', horsepower: 15, voltage: 460, phases: 3 }, { routeLength: 50, fusible: true }).summary).toMatchObject({ switchAmperes: 30, fuse: { amperes: 30 } });
  });
  it('the marked maximum of cooling equipment governs, down to a standard size, and the ampacity sets the least', () => {
    const unit = (maximumOvercurrent: number): Plain<LoadData> => ({ kind: 'multimotor-cooling', minimumCircuitAmpacity: 28.4, maximumOvercurrent, lockedRotorAmperes: 150, voltage: 460, phases: 3 });
    expect(fuse({}, unit(45))?.title).toContain('at most 45 A, marked on the plate');
    expect(fuse({}, unit(47))?.title).toContain('at most 45 A');
    expect([25, 30, 45, 50].map((fuseAmperes) => fuse({ ratedAmperes: 60, fuseAmperes }, unit(45))?.verdict)).toEqual(['judgement', 'pass', 'pass', 'fail']);
  });
  it('a compressor in a group keeps its branch device below 175 percent, rounded down (440.22(B))', () => {
    // 24 A: 42 A, so 40 A, and 7.6 A of a 5 hp motor: 47.6 A, so 45 A; a single one may take 45 A from 2023 on.
    const group: Plain<LoadData> = { kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'hermetic', ratedLoadAmperes: 24, lockedRotorAmperes: 150 }, { kind: 'motor', horsepower: 5 }] as never };
    expect(fuse({}, group)?.title).toContain('at most 45 A, largest branch device plus the other loads');
    expect(fuse({}, { kind: 'hermetic', ratedLoadAmperes: 24, lockedRotorAmperes: 150, voltage: 460, phases: 3 })?.title).toContain('at most 45 A, 175 percent');
  });
  it('several motors: the largest branch device and the other currents, never rounded up (430.62)', () => {
    // 25 hp: 60 A of time-delay fuse; 10 hp 14 A and 5 hp 7.6 A: 81.6 A, so 80 A.
    expect(fuse({}, { kind: 'machine', voltage: 460, phases: 3, parts: [MOTOR, { kind: 'motor', horsepower: 10 }, { kind: 'motor', horsepower: 5 }] as never })?.title).toContain('at most 80 A, largest branch device');
    // Twice 25 hp: 60 A and one more 34 A: 94 A, so 90 A.
    expect(fuse({}, { ...MOTOR, count: 2 })?.title).toContain('at most 90 A, largest branch device');
  });
  it('a plate limit on a compressor is kept below 175 percent', () => {
    const compressor: Plain<LoadData> = { kind: 'hermetic', ratedLoadAmperes: 20, lockedRotorAmperes: 120, voltage: 460, phases: 3 };
    expect(fuse({}, compressor)?.title).toContain('at most 35 A, 175 percent of the compressor current; up to 45 A only');
    expect(fuse({}, { ...compressor, maximumOvercurrent: 30 })?.title).toContain('at most 30 A, the plate allows at most 30 A');
    expect(fuse({}, { ...compressor, maximumOvercurrent: 50 })?.title).toContain('at most 35 A, 175 percent');
  });
});

describe('horsepower that a fusible plate cannot have', () => {
  it('is refused by 115 percent of the table current, single- and three-phase', () => {
    // 5 hp at 230 V is 28 A, 32.2 A; 3 hp 17 A, 19.55 A (Table 430.248). 20 hp at 460 V is 27 A, 31.05 A (Table 430.250).
    const single = (ratedHorsepower: number) => find(size({ kind: 'motor', horsepower: 2, voltage: 230, phases: 1 }, { fusible: true, ratedAmperes: 30, ratedHorsepower }, { system: SYSTEM_240 }), 'sizing.horsepower');
    expect(single(5)).toMatchObject({ verdict: 'incomplete', title: expect.stringContaining('32.2 A') as unknown });
    expect(single(3)?.verdict).toBe('pass');
    const three = (ratedHorsepower: number) => find(size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { fusible: true, ratedAmperes: 30, ratedHorsepower }), 'sizing.horsepower')?.verdict;
    expect([three(15), three(20)]).toEqual(['pass', 'incomplete']);
  });
});

describe('breakers', () => {
  const breaker = (ratedAmperes: number | undefined) => find(size(MOTOR, { type: 'circuit-breaker', routeLength: 50, ...(ratedAmperes === undefined ? {} : { ratedAmperes }) }), 'sizing.breaker')?.verdict;
  it('90 A at most, 125 A only where it will not start', () => { expect([breaker(undefined), breaker(90), breaker(100), breaker(125), breaker(150)]).toEqual(['pass', 'pass', 'judgement', 'judgement', 'fail']); });
  it('a continuous load needs 125 percent of its current: 80 A on 100 A, not on 90 A', () => {
    const at = (ratedAmperes: number) => verdict(size({ kind: 'continuous', nameplateAmperes: 80, phases: 3 }, { type: 'circuit-breaker', ratedAmperes }), 'sizing.ampere-rating');
    expect([at(90), at(100)]).toEqual(['fail', 'pass']);
  });
  it('the breaker here protects its circuit, a molded-case switch does not', () => {
    expect(find(size(MOTOR, { type: 'molded-case-switch', ratedAmperes: 100 }), 'sizing.fusing')?.verdict).toBe('incomplete');
    expect(find(size(MOTOR, { type: 'circuit-breaker', ratedAmperes: 90 }), 'sizing.fusing')).toBeUndefined();
  });
});

describe('running overload, on the nameplate current (430.32)', () => {
  it.each([[1.15, undefined, 125, 140], [1.14, undefined, 115, 130], [undefined, 40, 125, 140], [undefined, 41, 115, 130], [undefined, undefined, 115, 130], [1, 40, 125, 140]])('service factor %s, rise %s C: %s percent, then %s', (serviceFactor, temperatureRise, percent, retry) => {
    const facts = { ...(serviceFactor === undefined ? {} : { serviceFactor }), ...(temperatureRise === undefined ? {} : { temperatureRise }) };
    expect(overloadDevice(t(), A(100), facts).value).toBeCloseTo(percent, 9);
    expect(overloadDevice(t(), A(100), facts, 'will not start').value).toBeCloseTo(retry, 9);
  });
  it('is asked of one motor with a nameplate current, and named for those without', () => {
    expect(find(size({ ...MOTOR, nameplateAmperes: 32, serviceFactor: 1.15 }), 'sizing.overload')).toMatchObject({ value: { value: 40, unit: 'A' }, title: expect.stringContaining('as a fuse 40 A') as unknown });
    expect(find(size({ ...MOTOR, nameplateAmperes: 32 }), 'sizing.overload')?.title).toContain('36.8 A (no service factor or rise entered: the lower figure)');
    expect(find(size(MOTOR), 'sizing.overload')).toBeUndefined();
    expect(find(size(MOTOR), 'sizing.load-current')?.remedies.join()).toContain('nameplate amperes of M-1');
    expect(find(size({ ...MOTOR, nameplateAmperes: 32 }), 'sizing.load-current')?.remedies).toEqual([]);
    expect(find(size({ kind: 'heater', kilowatts: 10, phases: 3 }), 'sizing.load-current')?.remedies).toEqual([]);
  });
});

describe('general or heavy duty', () => {
  const duty = (device: Plain<DeviceData>, more: More = {}) => find(size({ kind: 'motor', horsepower: 5, voltage: 208, phases: 3 }, { routeLength: 50, ...device }, { system: SYSTEM_208, ...more }), 'sizing.duty');
  it('general where volts, place, options and fault current allow', () => { expect(duty({})).toMatchObject({ verdict: 'pass', value: 'general' }); });
  it.each<[string, Plain<DeviceData>, More]>([['a washdown place', {}, { environments: ['washdown'] }], ['an entered enclosure 4X', { enclosure: '4X' }, {}], ['a viewing window', { options: ['viewing-window'] }, {}], ['a fault current above 100 kA', { routeLength: 1, conductor: { size: '500', perPhase: 4 } }, { system: { ...SYSTEM_208, source: { availableFaultCurrent: 150_000 } as never } }]])('heavy for %s', (_name, device, more) => { expect(duty(device, more)).toMatchObject({ verdict: 'pass', value: 'heavy' }); });
  it('outdoors in rain stays general (Type 3R)', () => { expect(duty({}, { environments: ['outdoor rain'] })?.value).toBe('general'); });
  it('waits for the place where nothing is drawn', () => { expect(duty({}, { environments: [] })?.verdict).toBe('incomplete'); });
  it('entered general duty stops at 240 V', () => { expect([find(size(MOTOR, { duty: 'general' }), 'sizing.duty')?.verdict, duty({ duty: 'general' })?.verdict]).toEqual(['fail', 'pass']); });
});

describe('poles and neutral', () => {
  const poles = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, system: SupplySystem = SYSTEM_480) => find(size(load, device, { system }), 'sizing.poles');
  it('a pole less is asked back where the conductor left closed may be a grounded one, and fails where none can be (404.2(B), from memory)', () => {
    const lamp = { kind: 'noncontinuous', nameplateAmperes: 10, voltage: 120, phases: 1 } as const;
    const twoWire = { ...SYSTEM_240, name: '120 V', voltage: 120 as never, voltsToGround: 120 as never, wires: 2 };
    const corner = { ...SYSTEM_480, wires: 3, voltsToGround: 480 as never };
    expect([1, 2].map((n) => poles(lamp, { poles: n }, twoWire)?.verdict)).toEqual(['judgement', 'pass']);
    expect([1, 2, 3].map((n) => poles(MOTOR, { poles: n }, corner)?.verdict)).toEqual(['fail', 'judgement', 'pass']);
    expect(poles(MOTOR, { poles: 2 }, SYSTEM_480)?.verdict).toBe('fail');
    expect(poles({ kind: 'motor', horsepower: 2, voltage: 230, phases: 1 }, { poles: 1 }, SYSTEM_240)?.verdict).toBe('fail');
    expect(poles({ kind: 'heater', kilowatts: 5, voltage: 480, phases: 1 }, { poles: 1 }, corner)?.verdict).toBe('judgement');
  });
  it('every ungrounded conductor opens (430.103)', () => {
    expect(poles(MOTOR)?.value).toBe('3-pole');
    expect(poles({ kind: 'heater', kilowatts: 5, voltage: 480, phases: 1 })?.value).toBe('2-pole');
    expect(poles({ kind: 'heater', kilowatts: 5, voltage: 277, phases: 1 })?.value).toBe('1-pole with solid neutral');
    expect(poles({ kind: 'feeder', nameplateAmperes: 100, phases: 3 })?.value).toBe('3-pole with solid neutral');
    expect(poles({ kind: 'service', nameplateAmperes: 100, voltage: 240, phases: 1 }, {}, SYSTEM_240)?.value).toBe('2-pole with solid neutral');
    expect(poles({ kind: 'feeder', nameplateAmperes: 100, phases: 3 }, {}, { ...SYSTEM_480, wires: 3 })?.value).toBe('3-pole');
  });
  it('fewer poles and a missing neutral fail, more poles do not', () => {
    expect([2, 3, 4].map((count) => poles(MOTOR, { poles: count })?.verdict)).toEqual(['fail', 'pass', 'pass']);
    const heater: Plain<LoadData> = { kind: 'heater', kilowatts: 5, voltage: 277, phases: 1 };
    expect([poles(heater, { poles: 1, neutral: false })?.verdict, poles(heater, { poles: 1, neutral: true })?.verdict, poles(heater, { poles: 1 })?.verdict, poles(MOTOR, { poles: 3, neutral: false })?.verdict]).toEqual(['fail', 'pass', 'incomplete', 'pass']);
    // Not entered is not there, unless it is ordered; a breaker has none of its own.
    expect([poles(heater, { poles: 1, options: ['solid-neutral'] })?.verdict, poles(heater, { poles: 1, type: 'circuit-breaker' })?.verdict]).toEqual(['pass', 'pass']);
  });
});

describe('short-circuit rating', () => {
  const rating = (device: Plain<DeviceData>, amperes: number) => find(size(MOTOR, { routeLength: 1, conductor: { size: '500', perPhase: 4 }, ...device }, { system: stiff(amperes) }), 'sizing.short-circuit-rating');
  it('10 kA bare, 200 kA with Class R fuses in heavy duty, a lower one with Class H (typical labels)', () => {
    const bare = { fusible: false, upstreamAmperes: 60, upstreamType: 'fuse' } as const;
    expect([rating(bare, 8000)?.verdict, rating(bare, 9500)?.verdict, rating(bare, 11_000)?.verdict]).toEqual(['pass', 'marginal', 'fail']);
    expect(rating({ fusible: true }, 100_000)).toMatchObject({ verdict: 'pass', value: { value: 200_000, unit: 'A' } });
    expect(rating({ fusible: true, fuseClass: 'H' }, 30_000)?.verdict).toBe('fail');
    expect(rating({ fusible: true, fuseClass: 'CF' }, 30_000)).toMatchObject({ verdict: 'incomplete' });
  });
  it('is never that of a switch for a breaker, a plug or another device: marked on it, or selected with it', () => {
    for (const type of ['circuit-breaker', 'molded-case-switch', 'attachment-plug', 'general-use-switch', 'pullout'] as const) {
      expect(rating({ type, ratedAmperes: 60, upstreamAmperes: 60, upstreamType: 'fuse' }, 4000), type).toMatchObject({ verdict: 'incomplete' });
      expect(rating({ type, ratedAmperes: 60, shortCircuitRating: 10_000 }, 4000)?.verdict, type).toBe('pass');
    }
    // 4000 A less next to nothing of conductor, 136 A of the motor, and a tenth of margin.
    const open = rating({ type: 'circuit-breaker' }, 4000);
    expect(open?.title).toContain('to be selected: interrupting rating of at least');
    expect(Number((open?.value as { value: number }).value)).toBeGreaterThan(4000 * 1.1);
    expect(Number((open?.value as { value: number }).value)).toBeLessThanOrEqual(Math.ceil(4136 * 1.1));
  });
  it('as entered where it is entered', () => { expect([rating({ shortCircuitRating: 65_000 }, 40_000)?.verdict, rating({ shortCircuitRating: 42_000 }, 40_000)?.verdict, rating({ shortCircuitRating: 30_000 }, 40_000)?.verdict]).toEqual(['pass', 'marginal', 'fail']); });
});

describe('lugs', () => {
  const lugs = (device: Plain<DeviceData>) => find(size(MOTOR, { routeLength: 50, ...device }), 'sizing.lugs');
  it('typical ones are those of switches; of another device they are for a person to confirm', () => {
    expect(lugs({})?.verdict).toBe('pass');
    for (const type of ['circuit-breaker', 'molded-case-switch', 'pullout'] as const) expect(lugs({ type, ratedAmperes: 60 }), type).toMatchObject({ verdict: 'judgement', remedies: [expect.stringContaining('6 AWG copper')] });
  });
  it('an ordered larger lug settles what the typical one does not take', () => {
    expect([lugs({ ratedAmperes: 60, conductor: { size: '500' } })?.verdict, lugs({ ratedAmperes: 60, conductor: { size: '500' }, options: ['larger-lugs'] })?.verdict, lugs({ conductor: { size: '500' } })?.title]).toEqual(['fail', 'pass', expect.stringContaining('to be ordered: larger or multiple lugs')]);
  });
});

describe('services', () => {
  it.each<[string[], number]>([[[], 60], [['one-branch-circuit'], 15], [['two-branch-circuits'], 30], [['one-family-dwelling'], 100], [['dwelling'], 100], [['two-family-dwelling'], 60], [['one-branch-circuit', 'dwelling'], 15]])('%j: at least %s A (230.79)', (conditions, floor) => { expect(serviceMinimum(t(), conditions).value).toBe(floor); });
  it('one to six disconnects, each in its own enclosure from 2020 on', () => {
    expect([1, 6, 7].map((n) => serviceHandles(t(), n, 'separate enclosures'))).toMatchObject([{ verdict: 'pass', margin: { value: 5 }, title: '1 service disconnect, at most 6' }, { verdict: 'pass', margin: { value: 0 }, title: '6 service disconnects, at most 6' }, { verdict: 'fail', margin: { value: -1 } }]);
    expect(serviceHandles(t(), 1, 'one enclosure without a main').verdict).toBe('pass');
    expect(serviceHandles(t(), 2, 'one enclosure without a main').verdict).toBe('fail');
    expect(serviceHandles(t(), 6, 'one enclosure with a main').verdict).toBe('pass');
  });
  it('the run inside has no figure until a town gives one', () => {
    expect(serviceDistance(t(), 3)).toMatchObject({ verdict: 'judgement', value: { value: 3, unit: 'ft' } });
    const local = new Trace({ edition: '2023', overrides: [{ key: 'service.inside-length', value: 10, unit: 'ft', reason: 'r', authority: 'a' }] });
    expect([9.99, 10, 10.01].map((feet) => serviceDistance(local, feet).verdict)).toEqual(['pass', 'pass', 'fail']);
    expect(() => serviceDistance(local, 9, false)).toThrow(/cannot show that the local limit of 10 ft is kept/);
    expect(serviceDistance(local, 10.01, false).verdict).toBe('fail');
  });
  it('marks: arc-flash label from 1000 A in 2023, 1200 A in 2017 and 2020; an emergency disconnect at dwellings from 2020', () => {
    const marks = (edition: '2017' | '2020' | '2023' | '2026', dwelling: boolean, amperes: number) => serviceMarkings(edition, { dwelling, amperes, arcFlashFrom: edition === '2023' ? 1000 : 1200 }).join('; ');
    expect([marks('2023', false, 999), marks('2023', false, 1000), marks('2020', false, 1199), marks('2020', false, 1200)].map((m) => m.includes('detailed arc-flash'))).toEqual([false, true, false, true]);
    expect([marks('2017', true, 200), marks('2020', true, 200), marks('2023', true, 200), marks('2023', false, 200)].map((m) => m.includes('EMERGENCY DISCONNECT'))).toEqual([false, true, true, false]);
    expect([marks('2017', false, 200), marks('2023', false, 200)].map((m) => m.includes('location of the source'))).toEqual([false, true]);
    expect([marks('2023', true, 200), marks('2023', false, 200)].map((m) => m.includes('arc-flash warning'))).toEqual([false, true]);
  });
  it('an emergency disconnect is asked of dwellings only, from 2020 on', () => {
    const ask = (conditions: string[], edition: '2017' | '2020' | '2023') => find(size({ kind: 'service', nameplateAmperes: 100, voltage: 240, phases: 1, conditions }, { serviceEquipment: true }, { system: SYSTEM_240, facts: { edition } }), 'sizing.service-emergency')?.verdict;
    expect([ask(['dwelling'], '2017'), ask(['dwelling'], '2020'), ask(['one-family-dwelling'], '2023'), ask(['two-family-dwelling'], '2023'), ask(['one-or-two-family'], '2023'), ask([], '2023'), ask([], '2017'), ask(['no-dwelling'], '2023'), ask(['industrial'], '2023')])
      .toEqual(['pass', 'judgement', 'judgement', 'judgement', 'judgement', 'incomplete', 'pass', 'pass', 'pass']);
    // Above 150 V to ground nobody lives.
    expect(find(size({ kind: 'service', nameplateAmperes: 100, phases: 3 }, { serviceEquipment: true }), 'sizing.service-emergency')?.verdict).toBe('pass');
  });
  it('ground-fault protection of equipment from 1000 A on solidly grounded wye above 150 V to ground', () => {
    const ask = (ratedAmperes: number, system: SupplySystem) => find(size({ kind: 'service', nameplateAmperes: 500, phases: 3 }, { serviceEquipment: true, ratedAmperes }, { system }), 'sizing.service-ground-fault')?.value;
    expect([ask(1000, SYSTEM_480), ask(999, SYSTEM_480), ask(1200, SYSTEM_208), ask(1200, { ...SYSTEM_480, voltsToGround: 480 as never })]).toEqual(['needed', 'not required', 'not required', 'not required']);
  });
  it('the questions of a service are asked of a service, and of nothing else', () => {
    const asked = (s: Sized) => s.results.filter((r) => r.check.startsWith('sizing.service-')).length;
    expect([asked(size({ kind: 'service', nameplateAmperes: 100, phases: 3 })), asked(size({ kind: 'feeder', nameplateAmperes: 100, phases: 3 })), asked(size(MOTOR)), asked(size(MOTOR, { serviceEquipment: true })), asked(size(MOTOR, { serviceEquipment: false }))]).toEqual([7, 0, 0, 7, 0]);
  });
});

describe('transformers (450.3(B)) and turns', () => {
  it.each([[9, 'primary-only', 11.25, 15], [8.9, 'primary-only', 14.863, 10], [100, 'primary-only', 125, 125], [101, 'primary-only', 126.25, 150], [1.9, 'primary-only', 5.7, 3], [2, 'primary-only', 3.34, 3], [100, 'primary-with-secondary', 250, 250], [101, 'primary-with-secondary', 252.5, 250], [9, 'secondary', 11.25, 15], [8.9, 'secondary', 14.863, 10]] as const)('%s A, %s: %s A, so a fuse of %s A', (amperes, scheme, calculated, device) => {
    const made = transformerDevice(t(), A(amperes), scheme, 'as the rule says', 'time-delay-fuse');
    expect(made.calculated.value).toBeCloseTo(calculated, 9);
    expect(made.device.value).toBe(device);
  });
  it('a device may be asked to stay below', () => { expect(transformerDevice(t(), A(101), 'primary-only', 'down', 'time-delay-fuse').device.value).toBe(125); });
  it('a fault seen on the primary keeps its volt-amperes', () => { expect(primaryFault(t(), given('I', 20_000, 'A', 'typed'), given('U', 208, 'V', 'typed'), given('V', 480, 'V', 'typed')).value).toBeCloseTo((20_000 * 208) / 480, 9); });
  it('the primary disconnect of 75 kVA at 480 V: 90.2 A, 112.8 A, so 125 A', () => { expect(find(size({ kind: 'transformer', kva: 75, phases: 3 }, { routeLength: 20 }), 'sizing.fuse')?.title).toContain('at most 125 A'); });
});

describe('options follow from facts, each with its reason', () => {
  const options = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => size(load, { routeLength: 50, ...device }, more).summary.options.map((o) => o.option);
  it.each<[string, Plain<LoadData>, Plain<DeviceData>, string]>([
    ['a drive upstream', { kind: 'drive', driveSide: 'load', horsepower: 30, voltage: 460, phases: 3 }, {}, 'early-break-contact'], ['work inside', MOTOR, { energisedWorkLikely: true }, 'barriered-line-side'], ['work inside', MOTOR, { energisedWorkLikely: true }, 'voltage-indication'], ['work inside', MOTOR, { energisedWorkLikely: true }, 'viewing-window'],
    ['a plug', MOTOR, { type: 'attachment-plug', ratedHorsepower: 30 }, 'receptacle-interlock'], ['two sources', { ...MOTOR, conditions: ['two-sources'] }, {}, 'double-throw'], ['a generator', { kind: 'generator', nameplateAmperes: 100, phases: 3 }, {}, 'double-throw'], ['a service', { kind: 'service', nameplateAmperes: 100, phases: 3 }, {}, 'surge-protection'],
    ['Class R fuses', MOTOR, { fusible: true }, 'fuse-rejection-kit'], ['a neutral', { kind: 'heater', kilowatts: 5, voltage: 277, phases: 1 }, {}, 'solid-neutral'], ['a grounding conductor', MOTOR, {}, 'ground-bar'],
  ])('%s', (_name, load, device, option) => { expect(options(load, device)).toContain(option); expect(options({ kind: 'heater', kilowatts: 5, voltage: 480, phases: 3 }, { fusible: false, upstreamAmperes: 15, upstreamType: 'fuse', groundBar: true })).toEqual([]); });
  it('surge protection follows what is marked as service equipment', () => { expect([true, false].map((serviceEquipment) => options(MOTOR, { serviceEquipment }).includes('surge-protection'))).toEqual([true, false]); });
  it('are not proposed again where they are there, and keep what a person chose', () => {
    expect(options(MOTOR, { groundBar: true, fusible: true, fuseClass: 'J' })).toEqual([]);
    expect(options({ kind: 'heater', kilowatts: 5, voltage: 277, phases: 1 }, { neutral: true, groundBar: true, fuseClass: 'J' })).toEqual([]);
    expect(size(MOTOR, { groundBar: true, fuseClass: 'J', options: ['own-nameplate'] }).summary.options).toEqual([{ option: 'own-nameplate', reason: 'chosen by the person' }]);
    expect(options(MOTOR, { options: ['ground-bar'], fuseClass: 'J' })).toEqual(['ground-bar']);
  });
  it('larger or several lugs where the conductors are beyond the typical ones', () => {
    expect(options(MOTOR, { conductor: { size: '500' } })).toContain('larger-lugs');
    expect(options(MOTOR, { conductor: { size: '1/0', perPhase: 2 } })).toContain('multiple-lugs');
    expect(options(MOTOR)).not.toContain('larger-lugs');
  });
});

describe('what may serve instead of a switch with horsepower', () => {
  const words = (load: Plain<LoadData>, system: SupplySystem = SYSTEM_480, device: Plain<DeviceData> = {}) => find(size(load, device, { system }), 'sizing.device-type')?.remedies.join(' ') ?? '';
  const small = (horsepower: number, more: Plain<LoadData> = {}): Plain<LoadData> => ({ kind: 'motor', horsepower, voltage: 230, phases: 1, ...more });
  it('a lockable breaker for any one motor, an isolating switch above 100 hp, nothing for several', () => {
    expect(words(MOTOR)).toContain('breaker that can be locked open');
    expect([100, 125].map((horsepower) => words({ ...MOTOR, horsepower }).includes('isolating switch'))).toEqual([false, true]);
    expect(words({ ...MOTOR, count: 2 })).toBe('');
    expect(words({ kind: 'machine', voltage: 460, phases: 3, parts: [MOTOR, MOTOR] as never })).toBe('');
    expect(words({ kind: 'heater', kilowatts: 5, phases: 3 })).toBe('');
    expect(words(MOTOR, SYSTEM_480, { type: 'enclosed-switch' })).toBe('');
  });
  it('a general-use switch of twice the current up to 2 hp and 300 V', () => {
    expect([2, 3].map((horsepower) => words(small(horsepower), SYSTEM_240).includes('general-use switch of at least'))).toEqual([true, false]);
    expect(words({ ...MOTOR, horsepower: 2 })).not.toContain('general-use switch');
    expect(words(small(2), SYSTEM_240)).toContain('at least 24 A, or an ac snap switch of at least 15 A,');
  });
  it('the branch device itself up to 1/8 hp', () => {
    const tiny = { ...small(0.125), nameplateAmperes: 1.5 };
    expect(words(tiny, SYSTEM_240)).toContain('branch-circuit overcurrent device may be the disconnect');
    expect(words(small(0.1667), SYSTEM_240)).not.toContain('branch-circuit overcurrent device may be');
  });
});

describe('an edition whose text was not read', () => {
  it.each(['sizing.device-type', 'sizing.poles', 'sizing.service-suitability'])('%s says so in 2026, and only there', (check) => {
    const confidence = (edition: '2020' | '2023' | '2026') => find(size({ kind: 'service', nameplateAmperes: 100, phases: 3 }, { serviceEquipment: true, type: 'enclosed-switch' }, { facts: { edition } }), check)?.citations.find((c) => c.text.startsWith('NFPA 70'))?.confidence;
    expect([confidence('2020'), confidence('2023'), confidence('2026')]).toEqual(['confirmed', 'confirmed', 'memory']);
  });
});

describe('the short view of a device says what its results say', () => {
  it('an entered rating, a proposed switch, a proposed breaker', () => {
    expect(size(MOTOR, { ratedAmperes: 100, ratedVolts: 600, poles: 4, enclosure: '4X' }).summary).toMatchObject({ switchAmperes: 100, switchVolts: 600, poles: 4, enclosure: '4X' });
    expect(size(MOTOR).summary).toMatchObject({ switchAmperes: 60, switchVolts: 600, poles: 3, enclosure: '1', duty: 'heavy' });
    expect(size(MOTOR, { type: 'circuit-breaker' }).summary).toMatchObject({ switchAmperes: 90, switchVolts: null, duty: null, fusible: false, fuse: null });
  });
  it('a blank where a result is not known', () => {
    const s = size(MOTOR, {}, { scaled: false, environments: [] });
    expect(s.summary).toMatchObject({ voltageDropPercent: null, faultCurrent: null, enclosure: null, requiredAmperes: 39.1 });
  });
});
