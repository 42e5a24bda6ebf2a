import { describe, expect, it } from 'vitest';
import type { DeviceData, LoadData, SupplySystem } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

// What cannot be true is named, explained and asked for; no number comes of it, and nothing passes but the place itself.
const MOTOR = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 } as const;
type Sized = ReturnType<typeof sizeDevice>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, system: SupplySystem = SYSTEM_480): Sized => sizeDevice(projectWith(load, device, { system }), 'disconnect-1');
const find = (s: Sized, check: string) => s.results.find((r) => r.check === check);
const IMPOSSIBLE = [0, -1, Number.NaN, Number.POSITIVE_INFINITY] as const;

function expectNamed(s: Sized, words: string): void {
  const [first] = s.results;
  expect(first?.verdict).toBe('incomplete');
  expect(first?.title).toContain(words);
  expect(first?.missing.length).toBeGreaterThan(0);
  expect(first?.value).toBeUndefined();
  expect(s.summary).toMatchObject({ requiredAmperes: null, requiredHorsepower: null, conductor: null, equipmentGround: null, fuse: null, faultCurrent: null, raceway: null });
  expect(s.results.filter((r) => r.verdict === 'pass' && r.check !== 'sizing.option').map((r) => r.check)).toEqual(['sizing.enclosure']);
}

describe('figures of a load that cannot be', () => {
  const words: Readonly<Record<string, string>> = { horsepower: 'horsepower', kilowatts: 'kilowatts', kva: 'kVA', voltage: 'voltage', nameplateAmperes: 'nameplate amperes', lockedRotorAmperes: 'locked-rotor amperes', ratedLoadAmperes: 'rated-load amperes',
    branchSelectionAmperes: 'branch-circuit selection amperes', minimumCircuitAmpacity: 'minimum circuit ampacity', maximumOvercurrent: 'maximum overcurrent device', driveInputAmperes: 'drive input amperes', serviceFactor: 'service factor', powerFactor: 'power factor', temperatureRiseCelsius: 'temperature rise' };
  it.each(Object.entries(words).flatMap(([field, word]) => IMPOSSIBLE.map((value) => [field, value, word] as const)))('%s of %s', (field, value, word) => { expectNamed(size({ ...MOTOR, [field]: value }), `${word} is ${value}`); });
  it.each([0, -2, 1.5, Number.NaN])('%s units of it', (count) => { expectNamed(size({ ...MOTOR, count }), `number of units is ${count}`); });
  it('takes the bounds themselves', () => {
    expect(size({ ...MOTOR, powerFactor: 1, serviceFactor: 1, count: 1, temperatureRiseCelsius: 40 }).results[0]?.verdict).toBe('pass');
    expect(size({ kind: 'multimotor-cooling', minimumCircuitAmpacity: 40, maximumOvercurrent: 40, voltage: 460, phases: 3 }).results[0]?.verdict).toBe('pass');
    expect(size({ kind: 'hermetic', ratedLoadAmperes: 20, branchSelectionAmperes: 20, lockedRotorAmperes: 120, voltage: 460, phases: 3 }).results[0]?.verdict).toBe('pass');
    expect(size({ kind: 'heater', kilowatts: 20, kva: 20, voltage: 480, phases: 3 }).results[0]?.verdict).toBe('pass');
  });
});

describe('figures of a load that contradict each other', () => {
  it.each<[string, Plain<LoadData>, SupplySystem, string]>([
    ['nameplate three times the table current', { ...MOTOR, nameplateAmperes: 102 }, SYSTEM_480, '3 times the table current 34 A'],
    // 25 hp is 18.65 kW: at 460 V three-phase that takes 23.4 A at unity power factor and no losses at all.
    ['nameplate below what the power takes without any loss', { ...MOTOR, nameplateAmperes: 22 }, SYSTEM_480, 'carries less than 25 hp'],
    ['a 480 V motor on a 208 V system', { ...MOTOR, voltage: 480 }, SYSTEM_208, 'rated 480 V, but 208Y/120 V has 208 V'],
    ['a 208 V motor on a 480 V system', { ...MOTOR, voltage: 208 }, SYSTEM_480, 'rated 208 V, but 480Y/277 V has 480 V'],
    ['a three-phase motor on a single-phase system', { ...MOTOR, voltage: 230 }, SYSTEM_240, 'is 3-phase, but 120/240 V is not'],
    ['a direct-current motor on alternating current', { kind: 'dc-motor', horsepower: 5, voltage: 240, phases: 'dc' }, SYSTEM_240, 'direct current, but 120/240 V is not'],
    ['power factor in percent', { ...MOTOR, powerFactor: 85 }, SYSTEM_480, 'above 1'],
    ['service factor below 1', { ...MOTOR, serviceFactor: 0.9 }, SYSTEM_480, 'below 1'],
    ['letter I', { ...MOTOR, codeLetter: 'I' }, SYSTEM_480, "'I' is no code letter"],
    ['letter O', { ...MOTOR, codeLetter: 'O' }, SYSTEM_480, "'O' is no code letter"],
    ['letter Q', { ...MOTOR, codeLetter: 'q' }, SYSTEM_480, "'q' is no code letter"],
    ['letter Z', { ...MOTOR, codeLetter: 'Z' }, SYSTEM_480, "'Z' is no code letter"],
    ['locked rotor not above running', { ...MOTOR, nameplateAmperes: 32, lockedRotorAmperes: 32 }, SYSTEM_480, 'not above its running'],
    ['locked rotor not above rated load', { kind: 'hermetic', ratedLoadAmperes: 20, lockedRotorAmperes: 20, voltage: 460, phases: 3 }, SYSTEM_480, 'not above its rated-load'],
    ['largest device below the ampacity', { kind: 'multimotor-cooling', minimumCircuitAmpacity: 40, maximumOvercurrent: 35, voltage: 460, phases: 3 }, SYSTEM_480, '35 A is below its circuit ampacity 40 A'],
    ['ampacity below the rated load', { kind: 'hermetic', ratedLoadAmperes: 20, minimumCircuitAmpacity: 19, lockedRotorAmperes: 120, voltage: 460, phases: 3 }, SYSTEM_480, '19 A is below its rated-load current 20 A'],
    ['selection current below the rated load', { kind: 'hermetic', ratedLoadAmperes: 20, branchSelectionAmperes: 18, lockedRotorAmperes: 120, voltage: 460, phases: 3 }, SYSTEM_480, '18 A is below its rated-load current 20 A'],
    ['more kW than kVA', { kind: 'continuous', kilowatts: 20, kva: 15, powerFactor: 0.9, voltage: 480, phases: 3 }, SYSTEM_480, '20 kW is more than its 15 kVA'],
    // A motor entered under a kind without a shaft would need no horsepower rating at all.
    ...(['heater', 'transformer', 'ev-supply', 'pv', 'sign', 'x-ray', 'induction-heating', 'service', 'feeder', 'continuous', 'noncontinuous'] as const).map((kind): [string, Plain<LoadData>, SupplySystem, string] => [`horsepower of ${kind}`, { kind, horsepower: 25, nameplateAmperes: 30, voltage: 460, phases: 3 }, SYSTEM_480, '25 hp on what has no shaft']),
    ['no machine at all', { kind: 'machine', voltage: 460, phases: 3, count: 0, parts: [{ kind: 'motor', horsepower: 5 }] as never }, SYSTEM_480, 'number of units is 0'],
    ['half a machine', { kind: 'machine', voltage: 460, phases: 3, count: 1.5, parts: [{ kind: 'motor', horsepower: 5 }] as never }, SYSTEM_480, 'number of units is 1.5'],
    ['25 hp and 5 kW', { ...MOTOR, kilowatts: 5 }, SYSTEM_480, 'not the power of one motor'],
    ['25 hp and 30 kW', { ...MOTOR, kilowatts: 30 }, SYSTEM_480, 'not the power of one motor'],
  ])('%s', (_name, load, system, words) => { expectNamed(size(load, {}, system), words); });
  it('25 hp beside 18.65 kW is one motor', () => { expect(size({ ...MOTOR, kilowatts: 18.65 }).results[0]?.verdict).toBe('pass'); });
  it('a part of a machine is named by its number', () => { expectNamed(size({ kind: 'machine', voltage: 460, phases: 3, parts: [{ kind: 'motor', horsepower: 5 }, { kind: 'motor', horsepower: -5 }] as never }), 'M-1 part 2: horsepower is -5 hp'); });
});

describe('figures of a disconnect that cannot be', () => {
  const words: Readonly<Record<string, string>> = { ratedAmperes: 'ampere rating', ratedVolts: 'voltage rating', ratedHorsepower: 'horsepower rating', fuseAmperes: 'fuse', shortCircuitRating: 'short-circuit rating', upstreamAmperes: 'upstream device' };
  it.each(Object.entries(words).flatMap(([field, word]) => IMPOSSIBLE.map((value) => [field, value, word] as const)))('%s of %s', (field, value, word) => { expectNamed(size(MOTOR, { [field]: value }), `DS-1: ${word} is ${value}`); });
  it.each([0, -3, 2.5])('%s poles', (poles) => { expectNamed(size(MOTOR, { poles }), `number of poles is ${poles}`); });
  it.each([0, -1, 1.5])('%s conductors per phase', (perPhase) => { expectNamed(size(MOTOR, { conductor: { perPhase } }), `conductors per phase is ${perPhase}`); });
  it.each([0, -1, 4.5])('%s conductors in the raceway', (conductorsInRaceway) => { expectNamed(size(MOTOR, { conductor: { conductorsInRaceway } }), `number of conductors in the raceway is ${conductorsInRaceway}`); });
  it.each([0, -10, Number.NaN, Number.POSITIVE_INFINITY])('a route of %s ft', (routeLength) => {
    const s = size(MOTOR, { routeLength });
    for (const check of ['sizing.voltage-drop', 'sizing.fault-current', 'sizing.short-circuit-rating']) expect(find(s, check)?.verdict, check).toBe('incomplete');
    expect(find(s, 'sizing.voltage-drop')?.title).toContain(`a route of ${routeLength} ft has no length`);
    expect(s.summary).toMatchObject({ voltageDropPercent: null, faultCurrent: null });
  });
  it.each([-300, -61, 86, Number.NaN])('an ambient temperature of %s C', (ambientCelsius) => {
    const s = size(MOTOR, { conductor: { ambientCelsius } });
    expect(find(s, 'sizing.conductor')).toMatchObject({ verdict: 'incomplete' });
    expect(find(s, 'sizing.conductor')?.title).toContain(String(ambientCelsius));
    expect(s.summary.conductor).toBeNull();
  });
  it.each([-60, -40])('frost of %s C is no slip', (ambientCelsius) => { expect(find(size(MOTOR, { conductor: { ambientCelsius } }), 'sizing.conductor')?.verdict).toBe('pass'); });
});

describe('figures of a supply that cannot be', () => {
  it.each<[string, Plain<SupplySystem>, string]>([
    ['no voltage', { voltage: 0 }, 'voltage is 0'], ['voltage that is none', { voltage: Number.NaN }, 'voltage is NaN'], ['no voltage to ground', { voltsToGround: 0 }, 'voltage to ground is 0'],
    ['more to ground than between lines', { voltsToGround: 500 }, '500 V to ground is more than its 480 V'], ['no wires', { wires: 0 }, 'number of wires is 0'], ['half a wire', { wires: 3.5 }, 'number of wires is 3.5'],
  ])('%s', (_name, change, words) => { expectNamed(size(MOTOR, {}, { ...SYSTEM_480, ...change } as SupplySystem), words); });
  it('an ungrounded system has its whole voltage to ground', () => { expect(size(MOTOR, {}, { ...SYSTEM_480, voltsToGround: 480 } as SupplySystem).results[0]?.verdict).toBe('pass'); });
  it.each<[Plain<NonNullable<SupplySystem['source']>>, string]>([
    [{ availableFaultCurrent: 0 }, 'available fault current is 0'], [{ availableFaultCurrent: -5 }, 'available fault current is -5'], [{ transformerKva: 0, impedancePercent: 5 }, 'transformer is 0 kVA'], [{ transformerKva: 500, impedancePercent: 0 }, 'impedance is 0 %'],
    [{ transformerKva: 500, impedancePercent: 575 }, '575 % is above 100 %'], [{ transformerKva: 500, impedancePercent: 5.75, xOverR: -4 }, 'X/R is -4'], [{ availableFaultCurrent: Number.NaN }, 'available fault current is NaN'],
  ])('a source of %o', (source, words) => {
    const s = size(MOTOR, { routeLength: 50 }, { ...SYSTEM_480, source } as SupplySystem);
    for (const check of ['sizing.fault-current', 'sizing.short-circuit-rating']) expect(find(s, check)?.verdict, check).toBe('incomplete');
    expect(find(s, 'sizing.fault-current')?.title).toContain(words);
    expect(s.summary.faultCurrent).toBeNull();
    expect(find(s, 'sizing.ampere-rating')?.verdict).toBe('pass');
  });
});

describe('units that were mistaken in the data of a supply', () => {
  const ask = (system: Partial<SupplySystem>, check = 'sizing.fault-current') => find(size(MOTOR, { routeLength: 50 }, { ...SYSTEM_480, ...system }), check);
  it('kA for A: 22 A of fault current would be covered by anything', () => {
    for (const amperes of [10, 22, 65, 200]) expect(ask({ source: { availableFaultCurrent: amperes as never } })).toMatchObject({ verdict: 'incomplete', title: expect.stringContaining(`${amperes} kA is`) });
    expect(ask({ source: { availableFaultCurrent: 22 as never } }, 'sizing.short-circuit-rating')?.verdict).toBe('incomplete');
    expect(ask({ source: { availableFaultCurrent: 250 as never } })?.verdict).toBe('pass');
  });
  it('MVA for kVA: 1.5 kVA cannot feed 34 A', () => {
    expect(ask({ source: { transformerKva: 1.5, impedancePercent: 5.75 } })).toMatchObject({ verdict: 'incomplete', title: expect.stringContaining('carries 1.8 A, and the load draws 34 A') });
    // 34 A at 480 V are 28.3 kVA; beyond four times its rating a transformer is not the one that feeds the load.
    expect([7, 7.1].map((kva) => ask({ source: { transformerKva: kva, impedancePercent: 3 } })?.verdict)).toEqual(['incomplete', 'pass']);
  });
  it.each([[480, 120], [480, 300], [208, 104.5], [480, 265]])('%s V with %s V to ground', (voltage, voltsToGround) => {
    const fits = voltage === 208;
    expect(find(size({ ...MOTOR, voltage: voltage === 208 ? 208 : 460 }, {}, { ...SYSTEM_480, voltage: voltage as never, voltsToGround: voltsToGround as never }), 'sizing.load-current')?.verdict).toBe(fits ? 'pass' : 'incomplete');
  });
  it.each([[480, 277], [600, 347], [208, 120], [240, 120], [240, 240], [240, 208], [400, 230], [380, 220], [415, 240]])('%s V with %s V to ground is one', (voltage, voltsToGround) => {
    expect(find(size({ kind: 'heater', kilowatts: 5, phases: 3 }, {}, { ...SYSTEM_480, voltage: voltage as never, voltsToGround: voltsToGround as never }), 'sizing.load-current')?.verdict).toBe('pass');
  });
});
