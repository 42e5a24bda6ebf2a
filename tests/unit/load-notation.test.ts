import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LoadData } from '../../shared-core/document/index';
import { amendLoad, readLoadText, writeLoadText } from '../../shared-core/sizing/index';
import { horsepower, volts } from '../../shared-core/units/index';

describe('a load written in trade notation', () => {
  it.each<[LoadData, string, string]>([
    [{ kind: 'motor', horsepower: horsepower(7.5), voltage: volts(460), phases: 3, codeLetter: 'G' }, '', '7 1/2 hp 460 V 3 ph code G'],
    [{ kind: 'motor', horsepower: horsepower(1.5) }, 'spindle', 'spindle 1 1/2 hp'],
    [{ kind: 'heater', kilowatts: 5, voltage: volts(480), phases: 3 }, '', 'heater 5 kW 480 V 3 ph'],
    [{ kind: 'heater', kilowatts: 5 }, 'sump heater', 'sump heater 5 kW'],
    [{ kind: 'motor', horsepower: horsepower(5), motorType: 'wound-rotor', design: 'B', premiumEfficiency: true, duty: 'varying', timeRating: 15, starting: 'part-winding' }, '', '5 hp wound rotor design B premium efficiency varying duty 15 min part winding'],
    [{ kind: 'motor', horsepower: horsepower(5), motorType: 'squirrel-cage', timeRating: 'continuous', starting: 'wye-delta' }, '', '5 hp squirrel cage continuous-rated wye-delta'],
    [{ kind: 'dc-motor', horsepower: horsepower(10), voltage: volts(240), phases: 'dc' }, '', '10 hp 240 V dc'],
  ])('%j', (data, name, text) => { expect(writeLoadText(data, name)).toBe(text); });

  const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });
  const amperes = fc.integer({ min: 1, max: 9999 }).map((n) => n / 10);
  // Sizes of the motor tables, nameplate voltages: NFPA 70 Tables 430.248 and 430.250 head rows.
  const data = fc.record({
    kind: fc.constantFrom('motor', 'heater', 'transformer', 'drive', 'welder', 'appliance', 'hermetic', 'torque-motor', 'elevator', 'x-ray', 'fire-pump', 'noncontinuous', 'induction-heating'),
    horsepower: maybe(fc.constantFrom(1 / 6, 0.25, 1 / 3, 0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 100)), kilowatts: maybe(amperes), kva: maybe(amperes), voltage: maybe(fc.constantFrom(115, 208, 230, 460, 575)), phases: maybe(fc.constantFrom(1, 3)),
    nameplateAmperes: maybe(amperes), ratedLoadAmperes: maybe(amperes), lockedRotorAmperes: maybe(amperes), maximumOvercurrent: maybe(amperes), driveInputAmperes: maybe(amperes), codeLetter: maybe(fc.constantFrom('A', 'G', 'V')),
    design: maybe(fc.constantFrom('A', 'B', 'C', 'D', 'BE', 'CE')), motorType: maybe(fc.constantFrom('squirrel-cage', 'wound-rotor', 'synchronous')), duty: maybe(fc.constantFrom('continuous', 'short-time', 'intermittent', 'periodic', 'varying')),
    timeRating: maybe(fc.constantFrom(5, 15, 30, 60, 'continuous')), starting: maybe(fc.constantFrom('wye-delta', 'part-winding')),
    serviceFactor: maybe(fc.constantFrom(1, 1.15, 1.25)), temperatureRiseCelsius: maybe(fc.constantFrom(40, 80)), powerFactor: maybe(fc.constantFrom(0.75, 0.85, 1)), premiumEfficiency: maybe(fc.constant(true)), fusesOnly: maybe(fc.constant(true)),
    count: maybe(fc.integer({ min: 1, max: 40 })), system: maybe(fc.constant('system-1')), startTogether: maybe(fc.boolean()), driveSide: maybe(fc.constantFrom('line', 'load')),
  }).map((all) => Object.fromEntries(Object.entries(all).filter(([, v]) => v !== undefined)) as unknown as LoadData);

  it('what was typed for figures that are gone goes with them, and a kind that a line cannot say gives way to one that it says', () => {
    // A kept hint would stand beside a field that no longer holds it.
    expect(amendLoad({ kind: 'motor', typed: { name: 'spindle' } }, readLoadText('motor'))).toEqual({ kind: 'motor' });
    expect(amendLoad({ kind: 'induction-heating', kilowatts: 5 }, readLoadText('heater 5 kW'))).toMatchObject({ kind: 'heater', kilowatts: 5 });
    expect(amendLoad({ kind: 'induction-heating', kilowatts: 5 }, readLoadText('6 kW'))).toMatchObject({ kind: 'induction-heating', kilowatts: 6 });
  });
  it('a plate that allows fuses only says so, and one that does not is silent', () => {
    expect(writeLoadText({ kind: 'multimotor-cooling', minimumCircuitAmpacity: 28 as never, fusesOnly: true })).toBe('MCA 28 fuses only');
    expect(writeLoadText({ kind: 'multimotor-cooling', minimumCircuitAmpacity: 28 as never, fusesOnly: false })).toBe('MCA 28');
    expect(writeLoadText({ kind: 'motor', horsepower: horsepower(5), premiumEfficiency: false })).toBe('5 hp');
    expect(writeLoadText({ kind: 'motor', horsepower: horsepower(5), premiumEfficiency: true })).toBe('5 hp premium efficiency');
  });
  it('reads back without a piece that is not understood, and typed over unchanged it is the same load', () => {
    fc.assert(fc.property(data, fc.constantFrom('', 'spindle', 'M1 spindle'), (load, name) => {
      const line = readLoadText(writeLoadText(load, name));
      expect(line.notUnderstood).toEqual([]);
      const { typed: _, ...again } = amendLoad(load, line, name);
      expect(again).toEqual(load);
    }), { numRuns: 500 });
  });
  it('what the line no longer says is gone, and what it cannot say stays', () => {
    const load: LoadData = { kind: 'motor', horsepower: horsepower(5), codeLetter: 'G', system: 'system-1', startTogether: false };
    const { typed: _, ...next } = amendLoad(load, readLoadText('7 1/2 hp'));
    expect(next).toEqual({ kind: 'motor', horsepower: 7.5, system: 'system-1', startTogether: false });
  });
});
