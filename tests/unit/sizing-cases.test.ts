import { describe, expect, it } from 'vitest';
import { Trace, given } from '../../shared-core/code-data/index';
import type { DeviceData, LoadData } from '../../shared-core/document/index';
import { setArea, tableGround, upsizedGround } from '../../shared-core/sizing/grounding';
import { dropByOhms, dropLimit, tableResistance } from '../../shared-core/sizing/voltage-drop';
import { sizeDevice } from '../../shared-core/sizing/index';
import { projectWith, SYSTEM_208 } from '../support/sizing-project';
import type { Plain } from '../support/sizing-project';

// What practitioners ask of a disconnect, with the figures an engineer works out by hand from the tables named; the others of the
// kind stand in sizing-rules (one machine, fuses only, drives, services) and in checks-sight (recorded exceptions).
type More = NonNullable<Parameters<typeof projectWith>[2]>;
const size = (load: Plain<LoadData>, device: Plain<DeviceData> = {}, more: More = {}) => sizeDevice(projectWith(load, device, more), 'disconnect-1');
type Sized = ReturnType<typeof size>;
const find = (s: Sized, check: string) => s.results.find((r) => r.check === check);
const t = (): Trace => new Trace({ edition: '2023' });

describe('10 hp, 460 V, 1450 ft one way on 480 V: the wire grows past the terminals', () => {
  // Chapter 9 Table 8 resistances at 75 C; sqrt(3) x 14 A x R x 1450 ft / 1000; 3 percent of 480 V is 14.4 V.
  const drop = (wire: string): number => { const own = t(); return dropByOhms(own, { current: given('I', 14, 'A', 'table'), length: given('L', 1450, 'ft', 'typed'), phases: 3 }, tableResistance(own, wire, 'copper')).value; };
  it.each([['12', 69.62], ['10', 43.6], ['8', 27.35], ['6', 17.26], ['4', 10.83]])('%s AWG drops %s V', (wire, volts) => { expect(drop(wire)).toBeCloseTo(volts, 1); });
  it('so 4 AWG is the first under 14.4 V, and what is proposed', () => {
    const limit = dropLimit(t(), given('d', 3, '%', 'table'), given('U', 480, 'V', 'plan')).value;
    expect(limit).toBeCloseTo(14.4, 9);
    expect([drop('6') > limit, drop('4') <= limit]).toEqual([true, true]);
    const s = size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { ratedAmperes: 30, routeLength: 1450, conductor: { terminationCelsius: 75 } });
    expect(find(s, 'sizing.conductor')?.title).toContain('enlarged from 14 AWG copper for voltage drop');
    expect(s.summary.conductor).toBe('4 AWG copper');
    expect(find(s, 'sizing.lugs')?.remedies.join()).toContain('never trim strands');
  });
  it('the grounding conductor grows with it: 10 AWG by the 25 A device, 6.39 times its area from 12 AWG on, 66 349 circular mils', () => {
    const own = t();
    const base = tableGround(own, given('I', 25, 'A', 'typed'), 'copper');
    const grown = upsizedGround(own, base, setArea(own, '12', 1, 'A_min'), setArea(own, '4', 1, 'A_inst'));
    expect(base).toBe('10');
    expect(grown.ratio.value).toBeCloseTo(6.39, 2);
    expect(grown.needed.value / 66_349).toBeCloseTo(1, 3);
    // The next size over 66 349 circular mils would be 2 AWG (66 360); never larger than the phase conductors, so 4 AWG.
    expect(grown.size).toBe('2');
    expect(size({ kind: 'motor', horsepower: 10, voltage: 460, phases: 3 }, { ratedAmperes: 30, routeLength: 1450 }).summary.equipmentGround).toBe('4 AWG copper');
  });
});

describe('40 hp at 460 V: 115 percent comes to 59.8 A', () => {
  const motor = { kind: 'motor', horsepower: 40, voltage: 460, phases: 3 } as const;
  it('amperes fit a 60 A frame by 0.2 A, the horsepower of that frame is 10 short, a 100 A frame has 20 to spare', () => {
    const at = (ratedAmperes: number, ratedHorsepower: number, check: string) => find(size(motor, { fusible: true, ratedAmperes, ratedHorsepower }), check);
    expect(at(60, 30, 'sizing.ampere-rating')).toMatchObject({ verdict: 'pass', margin: { value: 0.2, unit: 'A' } });
    expect(at(60, 30, 'sizing.horsepower')).toMatchObject({ verdict: 'fail', margin: { value: -10, unit: 'hp' } });
    expect(at(100, 60, 'sizing.horsepower')).toMatchObject({ verdict: 'pass', margin: { value: 20, unit: 'hp' } });
  });
  it('a breaker needs no horsepower, a listed unfused switch of 50 hp has it', () => {
    expect(find(size(motor, { type: 'circuit-breaker', ratedAmperes: 100 }), 'sizing.horsepower')?.verdict).toBe('pass');
    expect(find(size(motor, { fusible: false, ratedAmperes: 60, ratedHorsepower: 50, upstreamAmperes: 100, upstreamType: 'fuse' }), 'sizing.horsepower')?.verdict).toBe('pass');
  });
});

describe('a condenser of 28.4 A ampacity and 45 A at most on 208 V', () => {
  const unit = { kind: 'multimotor-cooling', voltage: 208, phases: 3, minimumCircuitAmpacity: 28.4, maximumOvercurrent: 45, lockedRotorAmperes: 150 } as const;
  it('has conductors by its plate and a device not above it: 10 AWG at 60 C, 45 A', () => {
    const s = size(unit, { routeLength: 5 }, { system: SYSTEM_208 });
    // Table 310.16: 10 AWG carries 30 A at 60 C; 125 percent is already in the plate.
    expect(s.summary.conductor).toBe('10 AWG copper');
    expect(find(s, 'sizing.fuse')?.title).toContain('at most 45 A, marked on the plate');
  });
  it.each<[Plain<DeviceData>, boolean, string]>([
    [{ fusible: false, ratedAmperes: 60, upstreamAmperes: 45, upstreamType: 'circuit-breaker' }, true, 'fail'], [{ fusible: false, ratedAmperes: 60, upstreamAmperes: 45, upstreamType: 'fuse' }, true, 'pass'],
    [{ fusible: false, ratedAmperes: 60, upstreamAmperes: 45, upstreamType: 'circuit-breaker' }, false, 'pass'], [{ fusible: false, ratedAmperes: 60, upstreamAmperes: 50, upstreamType: 'circuit-breaker' }, false, 'fail'], [{ fusible: true, ratedAmperes: 60, fuseAmperes: 45 }, true, 'pass'],
  ])('%o with a plate of fuses only %s is %s', (device, fusesOnly, expected) => { expect(find(size({ ...unit, fusesOnly }, device, { system: SYSTEM_208 }), 'sizing.fusing')?.verdict).toBe(expected); });
});
