import { describe, expect, it } from 'vitest';
import type { DeviceData, Document, LoadData, SupplySystem } from '../../shared-core/document/index';
import { sizeDevice } from '../../shared-core/sizing/index';
import { feet, sheetUnits, volts } from '../../shared-core/units/index';
import { projectWith, SYSTEM_208, SYSTEM_240, SYSTEM_480 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, { routeLength: 5, ...device }, more), 'disconnect-1');
const find = (s: ReturnType<typeof size>, check: string) => s.results.find((r) => r.check === `sizing.${check}`);
const amperes = (kind: LoadData['kind'], nameplateAmperes: number): Plain<LoadData> => ({ kind, nameplateAmperes, phases: 3 });
const STRONG: SupplySystem = { ...SYSTEM_480, source: { transformerKva: 2000, impedancePercent: 5.75 } };

describe('conductors are protected by their device (240.4(B) and (C), figures of 240.6(A) and Table 310.16)', () => {
  const wire = (load: Plain<LoadData>, device: Plain<DeviceData> = {}) => find(size(load, device, { system: STRONG }), 'conductor');
  it('above 800 A the ampacity reaches the device itself: 900 A continuous, 1200 A fuses, 3 x 600 kcmil (1260 A), not 3 x 500 (1140 A)', () => {
    expect(wire(amperes('continuous', 900))?.value).toBe('3 x 600 kcmil copper');
    expect(wire(amperes('continuous', 900), { conductor: { size: '500', perPhase: 3 } })).toMatchObject({ verdict: 'fail', title: expect.stringContaining('a device of 1,200 A does not protect it') });
  });
  it('up to 800 A the device may be the next size above it, and no more', () => {
    // 90 C insulation, seven conductors (70 %): 600 kcmil has 332.5 A, so at most 350 A; two of 4/0 have 364 A, so 400 A.
    const conductor = { conductorsInRaceway: 7, insulationCelsius: 90 } as const;
    expect(wire(amperes('continuous', 320), { conductor })).toMatchObject({ verdict: 'pass', value: '2 x 4/0 AWG copper', margin: { value: 44 } });
    expect([400, 350].map((fuseAmperes) => wire(amperes('noncontinuous', 320), { fuseAmperes, conductor: { ...conductor, size: '600' } })?.verdict)).toEqual(['fail', 'pass']);
    // 3/0 at 75 C has 200 A; 4/0 230 A. A standard size itself is no 'next size above'.
    expect([200, 225].map((fuseAmperes) => wire(amperes('noncontinuous', 200), { fuseAmperes, conductor: { size: '3/0', terminationCelsius: 75 } })?.verdict)).toEqual(['pass', 'fail']);
    expect([700, 800].map((ratedAmperes) => wire(amperes('noncontinuous', 700), { type: 'circuit-breaker', ratedAmperes, conductor: { size: '500', perPhase: 2 } })?.verdict)).toEqual(['pass', 'pass']);
    expect([800, 1000].map((ratedAmperes) => wire(amperes('noncontinuous', 750), { type: 'circuit-breaker', ratedAmperes, conductor: { size: '500', perPhase: 2 } })?.verdict)).toEqual(['pass', 'fail']);
  });
  it('a breaker upstream of a bare switch protects them as well', () => {
    const bare = { fusible: false, upstreamType: 'circuit-breaker', upstreamAmperes: 350 } as const;
    expect([{ ...bare, conductor: { size: '350' } }, { ...bare, conductor: { size: '400' } }].map((device) => wire(amperes('noncontinuous', 305), device)?.verdict)).toEqual(['pass', 'pass']);
    expect(wire(amperes('noncontinuous', 305), { ...bare, conductor: { size: '300' } })?.verdict).toBe('fail');
  });
  it('the rules of motors free them from it (240.4(G)): 25 hp on 10 AWG behind 60 A', () => {
    expect(wire({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3, design: 'B' })).toMatchObject({ verdict: 'pass', value: '8 AWG copper' });
    expect(find(size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3, design: 'B' }), 'fuse')?.value).toContain('60 A');
  });
  it('beside motors the device of the feeder rule may be larger than the ampacity, one for the rest of the load may not', () => {
    // 1 hp beside 720 A: the motor rule gives next to nothing, the load 722.6 A, so 800 A; 2 x 400 kcmil (670 A) would be too little, 2 x 500 (760 A) not.
    expect(wire({ kind: 'feeder', phases: 3, parts: [{ kind: 'motor', horsepower: 1, voltage: 460 }, { kind: 'noncontinuous', nameplateAmperes: 820 }] as never })).toMatchObject({ verdict: 'pass', value: '3 x 400 kcmil copper' });
  });
  it('of two needs both are shown, and the lesser spare counts', () => {
    expect(wire(amperes('continuous', 320), { conductor: { conductorsInRaceway: 7, insulationCelsius: 90 } })?.title).toContain('460 A at its terminals for 400 A, 364 A after correction for 320 A');
  });
});

describe('a device above what the load needs', () => {
  const feeder = (device: Plain<DeviceData>, load = amperes('feeder', 100)) => size(load, { ratedAmperes: 200, ...device });
  const large = { size: '3/0', terminationCelsius: 75 } as const;
  // 100 A continuous asks for 125 A; 3/0 copper at 75 C has 200 A (Table 310.16), so a 200 A device protects it (240.4).
  it('is right for a feeder or service whose conductors suit it', () => {
    expect(find(feeder({ fuseAmperes: 200, fuseClass: 'RK1', conductor: large }), 'fuse')).toMatchObject({ verdict: 'pass', title: expect.stringContaining('more than the 125 A of the load; 3/0 AWG copper suits it') });
    expect(find(feeder({ type: 'circuit-breaker', conductor: large }), 'breaker')?.verdict).toBe('pass');
    expect(find(feeder({ fusible: false, upstreamAmperes: 200, upstreamType: 'circuit-breaker', conductor: large }), 'fusing')?.verdict).toBe('pass');
    // Conductors to be selected are selected for it.
    expect(find(feeder({ type: 'circuit-breaker' }), 'conductor')?.value).toBe('3/0 AWG copper');
  });
  it('and wrong with lesser conductors, a plate that says less, or a load with a limit of its own', () => {
    const small = { size: '1/0', terminationCelsius: 75 } as const;
    expect([find(feeder({ fuseAmperes: 200, fuseClass: 'RK1', conductor: small }), 'fuse')?.verdict, find(feeder({ type: 'circuit-breaker', conductor: small }), 'breaker')?.verdict, find(feeder({ fusible: false, upstreamAmperes: 200, upstreamType: 'circuit-breaker', conductor: small }), 'fusing')?.verdict]).toEqual(['fail', 'fail', 'fail']);
    for (const load of [{ ...amperes('continuous', 100), maximumOvercurrent: 150 }, amperes('heater', 100), { kind: 'transformer', kva: 75, phases: 3 }, { kind: 'motor', horsepower: 75, voltage: 460, phases: 3 }] as const) expect(find(feeder({ type: 'circuit-breaker', ratedAmperes: 400, conductor: { size: '600' } }, load), 'breaker')?.verdict, load.kind).toBe('fail');
  });
  it('keeps the small-conductor limits: 20 A on 14 AWG is too much whatever its ampacity (240.4(D))', () => {
    const on = (conductorSize: string) => size(amperes('noncontinuous', 12), { type: 'circuit-breaker', ratedAmperes: 20, conductor: { size: conductorSize, terminationCelsius: 75 } });
    expect([find(on('14'), 'conductor')?.verdict, find(on('14'), 'breaker')?.verdict, find(on('12'), 'conductor')?.verdict, find(on('12'), 'breaker')?.verdict]).toEqual(['fail', 'fail', 'pass', 'pass']);
  });
});

describe('where figures of a derivation came from', () => {
  const steps = (check: string, device: Plain<DeviceData> = {}, load: Plain<LoadData> = { kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }) => find(size(load, device), check)?.steps ?? [];
  const step = (check: string, quantity: string, device: Plain<DeviceData> = {}) => steps(check, device).find((s) => s.quantity.startsWith(quantity));
  it('horsepower is a figure of the nameplate, in hp', () => { expect(step('load-current', 'Full-load current')?.inputs).toContainEqual({ name: 'horsepower', value: 25, unit: 'hp', from: 'nameplate' }); });
  it('what is assumed of the conductors, and what is entered, is said', () => {
    expect([step('conductor', 'Conductors and raceway')?.formula, step('conductor', 'Ambient temperature')?.inputs[0]?.from]).toEqual(['assumed, since nothing is entered: copper, 75 C insulation, EMT', 'default']);
    const entered = { conductor: { material: 'aluminum', insulationCelsius: 90, raceway: 'RMC', ambientCelsius: 40, terminationCelsius: 75 } } as const;
    expect([step('conductor', 'Conductors and raceway', entered), step('conductor', 'Ambient temperature', entered)]).toMatchObject([{ value: 'aluminum, 90 C insulation, RMC', formula: 'as entered' }, { value: 40, inputs: [{ from: 'typed' }] }]);
  });
  it('an estimated route and a fault current that rests on typical figures are marked where they are taken over', () => {
    expect(step('voltage-drop', 'Route length', { routeLength: undefined })?.confidence).toBe('own-reading');
    expect(step('ampere-rating', 'Available fault current')?.confidence).toBe('typical');
  });
  it('the grounding conductor says by which device, and asks for one upstream', () => {
    expect(find(size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }), 'equipment-ground')).toMatchObject({ title: expect.stringContaining(', by the 60 A fuse here'), remedies: [expect.stringContaining('Enter the device upstream')] });
    expect(find(size({ kind: 'motor', horsepower: 25, voltage: 460, phases: 3 }, { upstreamAmperes: 100, upstreamType: 'fuse' }), 'equipment-ground')).toMatchObject({ value: '8 AWG copper', remedies: [] });
  });
});

describe('data that cannot be true together', () => {
  it('40 hp are 29.8 kW: 480 V three-phase carries that from 35.9 A on (U x I x sqrt(3))', () => {
    const drive = (driveInputAmperes: number) => find(size({ kind: 'drive', horsepower: 40, driveInputAmperes, maximumOvercurrent: 80, voltage: 480, phases: 3 }), 'load-current');
    expect([drive(35.8)?.verdict, drive(35.9)?.verdict]).toEqual(['incomplete', 'pass']);
    expect(drive(10)?.title).toContain('carry less than its 40 hp');
  });
  it('amperes and power of one plate: 36 kW are 43.3 A at 480 V three-phase, 75 kVA are 90.2 A (P or S over U x sqrt(3))', () => {
    const load = (data: Partial<Plain<LoadData>>) => find(size({ kind: 'heater', voltage: 480, phases: 3, ...data }), 'load-current')?.verdict;
    expect([37, 38, 43.3, 49, 50].map((nameplateAmperes) => load({ kilowatts: 36, nameplateAmperes }))).toEqual(['incomplete', 'pass', 'pass', 'pass', 'incomplete']);
    expect([9, 78, 79, 103, 104].map((nameplateAmperes) => load({ kind: 'transformer', kva: 75, nameplateAmperes }))).toEqual(['incomplete', 'incomplete', 'pass', 'pass', 'incomplete']);
    // Other loads take volt-amperes besides; none takes more than fourfold.
    expect([37, 43, 60, 173, 174].map((nameplateAmperes) => load({ kind: 'continuous', kilowatts: 36, nameplateAmperes }))).toEqual(['incomplete', 'pass', 'pass', 'pass', 'incomplete']);
    expect([20, 16].map((nameplateAmperes) => find(size({ kind: 'heater', voltage: 240, phases: 1, kilowatts: 4.8, nameplateAmperes }, {}, { system: SYSTEM_240 }), 'load-current')?.verdict)).toEqual(['pass', 'incomplete']);
  });
  it('a fuse size in a switch without fuses', () => {
    const fusing = (device: Plain<DeviceData>) => find(size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { fusible: false, upstreamAmperes: 25, upstreamType: 'fuse', ...device }), 'fusing')?.verdict;
    expect([fusing({}), fusing({ fuseAmperes: 25 })]).toEqual(['pass', 'incomplete']);
  });
  it('what is to be taken is not asked to be entered', () => {
    expect(find(size({ kind: 'motor', horsepower: 20, voltage: 460, phases: 3 }, { routeLength: 1e6 }), 'conductor')?.remedies).toEqual(['Take another supply point, or a higher limit as a local amendment.']);
    expect(find(size({ kind: 'motor', voltage: 460, phases: 3 }), 'load-current')?.remedies).toEqual(['Enter the horsepower of M-1.']);
  });
});

describe('the horsepower of what is no enclosed switch', () => {
  it('is marked on it: a pull-out or a plug passes by no typical figure, and a molded case switch needs none (430.109(A)(3), (F))', () => {
    const ask = (device: Plain<DeviceData>) => find(size({ kind: 'motor', horsepower: 5, voltage: 460, phases: 3 }, { ratedAmperes: 60, ...device }), 'horsepower');
    expect([ask({ type: 'pullout' })?.verdict, ask({ type: 'attachment-plug' })?.verdict, ask({ type: 'pullout', ratedHorsepower: 10 })?.verdict, ask({ type: 'enclosed-switch' })?.verdict]).toEqual(['incomplete', 'incomplete', 'pass', 'pass']);
    expect(ask({ type: 'molded-case-switch' })).toMatchObject({ verdict: 'pass', title: expect.stringContaining('a listed molded case switch'), citations: expect.arrayContaining([expect.objectContaining({ text: 'NFPA 70 430.109(A)(3)' })]) });
  });
});

describe('the typical series ends', () => {
  it('lugs beyond 1200 A are asked for', () => { expect([1200, 1201].map((ratedAmperes) => find(size(amperes('noncontinuous', 1000), { ratedAmperes }, { system: STRONG }), 'lugs')?.verdict)).toEqual(['pass', 'incomplete']); });
  it('an entered duty is kept where its series ends; one still to be selected becomes heavy', () => {
    const D240: SupplySystem = { id: 'system-480', name: '240 V delta', voltage: volts(240), phases: 3, wires: 3, voltsToGround: volts(240), source: { transformerKva: 300, impedancePercent: 4 } };
    // The general-duty series of the table ends at 800 A with fuses, at 600 A without.
    const sized = (nameplateAmperes: number, device: Plain<DeviceData> = {}) => size(amperes('noncontinuous', nameplateAmperes), device, { system: D240 });
    expect([find(sized(800), 'duty')?.value, find(sized(801), 'duty')?.value, sized(801).summary.switchAmperes]).toEqual(['general', 'heavy', 1200]);
    const bare = (nameplateAmperes: number) => sized(nameplateAmperes, { fusible: false, upstreamAmperes: 800, upstreamType: 'circuit-breaker' }).summary;
    expect([bare(600), bare(601)].map((s) => [s.duty, s.switchAmperes])).toEqual([['general', 600], ['heavy', 800]]);
    expect(find(sized(801, { duty: 'general' }), 'ampere-rating')).toMatchObject({ verdict: 'incomplete', title: expect.stringContaining('no typical general-duty fusible switch reaches 801 A at 240 V') });
  });
  it('a single-phase transformer of 10 kVA at 240 V carries 41.7 A: 166 A are four times that, 167 A are more', () => {
    const system: SupplySystem = { ...SYSTEM_240, source: { transformerKva: 10, impedancePercent: 2 } };
    const fault = (nameplateAmperes: number) => find(size({ kind: 'noncontinuous', nameplateAmperes, voltage: 240, phases: 1 }, {}, { system }), 'fault-current')?.verdict;
    expect([166, 167].map(fault)).toEqual(['pass', 'incomplete']);
  });
});

describe('motors of other kinds', () => {
  it('a dc motor with its nameplate current has a running overload (430.32: 115 percent of 37 A), a fire pump has none', () => {
    const DC: SupplySystem = { id: 'system-480', name: 'dc', voltage: volts(240), phases: 'dc', wires: 2, voltsToGround: volts(240) };
    const ask = (load: Plain<LoadData>) => find(size(load, {}, load.phases === 'dc' ? { system: DC } : {}), 'overload')?.value;
    expect(ask({ kind: 'dc-motor', horsepower: 10, voltage: 240, phases: 'dc', nameplateAmperes: 37 })).toEqual({ value: 42.55, unit: 'A' });
    expect(ask({ kind: 'fire-pump', horsepower: 40, voltage: 460, phases: 3, nameplateAmperes: 50 })).toBeUndefined();
    expect(ask({ kind: 'drive', driveSide: 'load', horsepower: 40, voltage: 460, phases: 3, nameplateAmperes: 50 })).toBeUndefined();
  });
  it('the secondary of a wound rotor is named as not sized (430.23, from memory)', () => {
    const remedies = (motorType: LoadData['motorType']) => find(size({ kind: 'motor', horsepower: 50, voltage: 460, phases: 3, ...(motorType ? { motorType } : {}) }), 'conductor')?.remedies.join() ?? '';
    expect([remedies('wound-rotor').includes('secondary current'), remedies(undefined).includes('secondary current')]).toEqual([true, false]);
  });
  it('direct current is no general-duty switch\'s', () => {
    expect(find(size({ kind: 'dc-motor', horsepower: 5, voltage: 240, phases: 'dc' }, {}, { system: { id: 'system-480', name: 'dc', voltage: volts(240), phases: 'dc', wires: 2, voltsToGround: volts(240) } }), 'duty')?.value).toBe('heavy');
  });
});

describe('grounding conductors of sets in parallel (250.122(F))', () => {
  const ground = (device: Plain<DeviceData>, load = amperes('noncontinuous', 1150)) => find(size(load, device, { system: STRONG }), 'equipment-ground')?.value;
  it('are of full size in each raceway, whatever one conductor of the set measures: 1200 A, 3/0 beside 1/0', () => { expect(ground({ conductor: { size: '1/0', perPhase: 8 } })).toBe('3/0 AWG copper'); });
  it('one conductor caps its own: 10 AWG by the 25 A device, 12 AWG beside 12 AWG', () => { expect(ground({}, { kind: 'motor', horsepower: 10, voltage: 460, phases: 3 })).toBe('12 AWG copper'); });
});

describe('a raceway shared with other circuits', () => {
  it('is not sized by its own conductors alone', () => {
    const raceway = (conductorsInRaceway: number) => find(size({ kind: 'motor', horsepower: 30, voltage: 460, phases: 3 }, { conductor: { conductorsInRaceway } }), 'raceway')?.verdict;
    expect([3, 4, 9].map(raceway)).toEqual(['pass', 'judgement', 'judgement']);
    expect(size({ kind: 'motor', horsepower: 30, voltage: 460, phases: 3 }, { conductor: { conductorsInRaceway: 9 } }).summary.raceway).toBeNull();
  });
});

describe('slash-rated breakers (240.85, from memory)', () => {
  const on = (voltage: number, toGround: number, phases: 1 | 3 = 3, wires = 3): SupplySystem => ({ id: 'system-480', name: 'system', voltage: volts(voltage), phases, wires, voltsToGround: volts(toGround) });
  const rated = (ratedVolts: number, system: SupplySystem, type: DeviceData['type'] = 'circuit-breaker', load: Plain<LoadData> = amperes('noncontinuous', 20)) => find(size(load, { ratedVolts, type, ratedAmperes: 30 }, { system }), 'voltage-rating')?.verdict;
  it('serve a grounded wye, and pass no ungrounded, corner-grounded or high-leg delta without a word', () => {
    expect([rated(480, on(480, 277)), rated(480, on(480, 480)), rated(600, on(480, 480)), rated(600, on(600, 347)), rated(600, on(600, 600)), rated(240, on(208, 120)), rated(240, on(240, 240)), rated(480, on(240, 240)), rated(240, on(240, 120, 3, 4))])
      .toEqual(['pass', 'judgement', 'judgement', 'pass', 'judgement', 'pass', 'judgement', 'pass', 'judgement']);
  });
  it('single phase from a tapped winding is what 120/240 V is made for', () => { expect(rated(240, SYSTEM_240, 'circuit-breaker', { kind: 'noncontinuous', nameplateAmperes: 20, voltage: 240, phases: 1 })).toBe('pass'); });
  it('a switch has no slash; one to be selected is named straight-rated where it has to be', () => {
    expect(rated(480, on(480, 480), 'enclosed-switch')).toBe('pass');
    const title = (system: SupplySystem) => find(size(amperes('noncontinuous', 20), { type: 'circuit-breaker' }, { system }), 'voltage-rating')?.title;
    expect([title(on(480, 480))?.includes('straight-rated'), title(on(480, 277))?.includes('straight-rated')]).toEqual([true, false]);
  });
  it('without the volts to ground nothing is settled', () => {
    const free = projectWith({ kind: 'noncontinuous', nameplateAmperes: 20, voltage: 480, phases: 3 }, { type: 'circuit-breaker', ratedVolts: 480, ratedAmperes: 30, fedFrom: undefined } as never, { facts: { systems: [] } });
    expect(sizeDevice(free, 'disconnect-1').results.find((r) => r.check === 'sizing.voltage-rating')?.verdict).toBe('judgement');
  });
});

describe('torque motors stand still at their nameplate current (430.6(B), from memory)', () => {
  it('so that no other locked-rotor current is asked for, and the same one is no contradiction', () => {
    for (const more of [{}, { lockedRotorAmperes: 12 }]) expect(find(size({ kind: 'torque-motor', nameplateAmperes: 12, voltage: 460, phases: 3, ...more }), 'locked-rotor')).toMatchObject({ verdict: 'pass', value: { value: 12, unit: 'A' } });
    expect(find(size({ kind: 'torque-motor', nameplateAmperes: 12, lockedRotorAmperes: 11, voltage: 460, phases: 3 }), 'load-current')?.verdict).toBe('incomplete');
    expect(find(size({ kind: 'torque-motor', nameplateAmperes: 12, lockedRotorAmperes: 14, voltage: 460, phases: 3 }), 'locked-rotor')?.value).toEqual({ value: 14, unit: 'A' });
  });
});

it('the locked-rotor result of several loads is that of the largest, not a running current (5 hp: 46 A, Table 430.251(B))', () => {
  expect(find(size({ kind: 'motor', horsepower: 5, voltage: 460, phases: 3, count: 3 }), 'locked-rotor')?.value).toEqual({ value: 46, unit: 'A' });
});

describe('what rests on a maker\'s series is marked typical wherever it shows', () => {
  it('the switch rating and the voltage class', () => {
    const s = size(amperes('continuous', 20));
    for (const [check, quantity] of [['ampere-rating', 'Switch rating'], ['voltage-rating', 'The voltage class is enough']] as const) expect(find(s, check)?.steps.find((step) => step.quantity === quantity)?.confidence, check).toBe('typical');
    expect(find(s, 'fuse')?.steps.find((step) => step.quantity === 'Next standard size')?.confidence).not.toBe('typical');
  });
});

describe('services', () => {
  const at = (x: number) => ({ x: sheetUnits(x), y: sheetUnits(12) });
  const entrance = { 'supply-1': { id: 'supply-1', sheet: 'sheet-1', kind: 'supply', tag: 'SE', name: 'Entrance', at: at(0), system: 'system-480', role: 'service-entrance' } } as const;
  const others = (ratings: readonly (number | undefined)[], serviceEquipment = true): Document['entities'] => Object.fromEntries(ratings.flatMap((ratedAmperes, i) => [
    [`load-s${i}`, { id: `load-s${i}`, sheet: 'sheet-1', kind: 'load', tag: `S-${i}`, name: '', at: at(i), height: feet(2), standing: feet(0), data: { kind: 'continuous', nameplateAmperes: 10, phases: 3 } }],
    [`disconnect-s${i}`, { id: `disconnect-s${i}`, sheet: 'sheet-1', kind: 'disconnect', tag: `SD-${i}`, at: at(i), handleHeight: feet(5), standing: feet(0), facing: 0, mount: null, serves: [`load-s${i}`], data: { fedFrom: 'supply-1', ...(serviceEquipment ? { serviceEquipment } : {}), ...(ratedAmperes === undefined ? {} : { ratedAmperes }) } }],
  ]));
  const ask = (check: string, load: Plain<LoadData>, device: Plain<DeviceData>, more: More = {}) => find(size(load, device, more), `service-${check}`);
  it('count every disconnect that hangs on the point of entrance or is marked as service equipment, whatever it serves (230.71)', () => {
    const count = (n: number, from: object, marked: boolean) => ask('handles', amperes('continuous', 10), { serviceEquipment: true }, { entities: { ...others(Array.from({ length: n }, () => 30), marked), ...from } })?.verdict;
    expect([count(5, entrance, false), count(6, entrance, false), count(6, {}, true), count(6, {}, false)]).toEqual(['pass', 'fail', 'fail', 'pass']);
  });
  it('without what feeds them cannot be counted', () => { expect(ask('handles', amperes('service', 100), { serviceEquipment: true, fedFrom: undefined })?.verdict).toBe('incomplete'); });
  it('of several disconnects each carries its load, and all together the smallest rating (230.80)', () => {
    const rating = (ratedAmperes: number, ratings: readonly (number | undefined)[]) => ask('rating', amperes('service', 20), { serviceEquipment: true, ratedAmperes }, { entities: { ...entrance, ...others(ratings) } });
    expect([rating(30, [30]), rating(30, [20]), rating(30, [undefined]), rating(60, [undefined]), rating(20, [60])].map((r) => r?.verdict)).toEqual(['pass', 'fail', 'incomplete', 'pass', 'fail']);
    expect(rating(30, [undefined])?.missing).toEqual(['ampere rating of SD-0']);
  });
  it('a rating between 60 and 100 A waits for what building is served, where it may be a dwelling (230.79(C) and (D))', () => {
    const rating = (ratedAmperes: number, conditions: string[], system = SYSTEM_240) => ask('rating', { kind: 'service', nameplateAmperes: 40, voltage: system.voltage, phases: system.phases, conditions }, { serviceEquipment: true, ratedAmperes }, { system })?.verdict;
    expect([rating(60, []), rating(100, []), rating(60, ['no-dwelling']), rating(60, ['one-family-dwelling']), rating(60, ['one-or-two-family']), rating(60, ['two-branch-circuits']), rating(30, []), rating(60, [], SYSTEM_480)])
      .toEqual(['incomplete', 'pass', 'pass', 'fail', 'fail', 'pass', 'fail', 'pass']);
  });
  it('a breaker to be selected is rated as a breaker: 750 A, so 1000 A, and ground-fault protection (230.95)', () => {
    const on = { system: STRONG };
    expect(ask('rating', amperes('service', 750), { serviceEquipment: true, type: 'circuit-breaker' }, on)?.title).toContain('1,000 A, at least 937.5 A');
    expect(ask('ground-fault', amperes('service', 750), { serviceEquipment: true, type: 'circuit-breaker' }, on)?.value).toBe('needed');
  });
  it('each marking has the section that asks for it, in the words of its edition (110.16, 110.22, 110.24, 230.70(B), 230.72(A), 230.85)', () => {
    const sections = (edition: '2017' | '2020' | '2023' | '2026', load: Plain<LoadData>, device: Plain<DeviceData>, more: More = {}) => ask('markings', load, device, { facts: { edition }, ...more })?.steps.filter((s) => s.quantity === 'Marking').map((s) => `${s.citation?.text.replace('NFPA 70 ', '') ?? ''} ${s.confidence}: ${String(s.value)}`);
    const large = { serviceEquipment: true, ratedAmperes: 1200 } as const;
    expect(sections('2023', amperes('service', 900), large)).toEqual(['230.70(B) confirmed: SERVICE DISCONNECT', '110.24(A) confirmed: available fault current and date of its calculation', '110.22(A) confirmed: purpose, identification of its source and location of the source', '110.16(A) confirmed: arc-flash warning', '110.16(B) confirmed: detailed arc-flash label with its date']);
    expect(sections('2017', amperes('service', 900), large)?.[2]).toBe('110.22(A) confirmed: purpose');
    expect(sections('2026', amperes('service', 900), large)?.map((s) => s.split(':')[0])).toEqual(['230.70(B) memory', '110.24(A) memory', '110.22(A) memory', '110.16 memory', '110.16 memory']);
    const home = { kind: 'service', nameplateAmperes: 80, voltage: 240, phases: 1, conditions: ['one-family-dwelling'] } as const;
    expect((['2020', '2023', '2026'] as const).map((e) => sections(e, home, { serviceEquipment: true, ratedAmperes: 100 }, { facts: { edition: e }, system: SYSTEM_240 })?.at(-1))).toEqual(['230.85', '230.85(E)', '230.70'].map((s, i) => `${s} ${i === 2 ? 'memory' : 'confirmed'}: EMERGENCY DISCONNECT, SERVICE DISCONNECT`));
    expect(sections('2023', amperes('service', 20), { serviceEquipment: true, ratedAmperes: 60 }, { entities: { ...entrance, ...others([60]) } })?.[1]).toBe('230.72(A) confirmed: the load it serves, grouped with the others');
  });
  it('the missing distance of 230.70(A)(1) is from memory in 2026', () => { expect(ask('distance', amperes('service', 100), { serviceEquipment: true }, { facts: { edition: '2026' }, entities: entrance })?.citations[0]?.confidence).toBe('memory'); });
  it('208Y/120 V may serve a dwelling', () => { expect(ask('emergency', { kind: 'service', nameplateAmperes: 40, phases: 3 }, { serviceEquipment: true }, { system: SYSTEM_208 })?.verdict).toBe('incomplete'); });
});
