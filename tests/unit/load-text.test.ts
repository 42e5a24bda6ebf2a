import { describe, expect, it } from 'vitest';
import { readHorsepower, readLoadText, showHorsepower } from '../../shared-core/sizing/index';

describe('horsepower as the trade writes it', () => {
  it.each([['7 1/2', 7.5], ['7-1/2', 7.5], ['7½', 7.5], ['1/3', 1 / 3], ['25', 25], ['7.5', 7.5], ['7,5', 7.5]])('%s is %f', (text, value) => { expect(readHorsepower(text)).toBeCloseTo(value, 12); });
  it.each(['', 'x', '7 1', '1/0', '-5', '7 1/0'])("'%s' is none", (text) => { expect(readHorsepower(text)).toBeNull(); });
  it.each([[7.5, '7 1/2'], [1 / 3, '1/3'], [25, '25'], [0.166667, '1/6'], [0.9, '0.9']])('%f is shown as %s', (value, text) => { expect(showHorsepower(value)).toBe(text); });
});

describe('a load in trade notation', () => {
  it('reads tag, name, power, volts, phases and code letter', () => {
    expect(readLoadText('P-301 pump 25 hp 460 V 3 ph code G')).toMatchObject({ tag: 'P-301', name: 'pump', notUnderstood: [], data: { kind: 'motor', horsepower: 25, voltage: 460, phases: 3, codeLetter: 'G' } });
  });
  it.each([
    ['M204 7 1/2hp, 480/277, three-phase', { kind: 'motor', horsepower: 7.5, voltage: 480, phases: 3 }],
    ['EF-1 exhaust fan 1/3 HP 115V 1PH', { kind: 'motor', horsepower: 1 / 3, voltage: 115, phases: 1 }],
    ['CU-4 MCA 28.4 MOCP 45 208 V 3 ph fuses only', { kind: 'multimotor-cooling', minimumCircuitAmpacity: 28.4, maximumOvercurrent: 45, fusesOnly: true, voltage: 208 }],
    ['C-1 compressor RLA 29 LRA 180 480V 3ph', { kind: 'hermetic', ratedLoadAmperes: 29, lockedRotorAmperes: 180 }],
    ['H-2 duct heater 20 kW 480 V 3 ph', { kind: 'heater', kilowatts: 20 }],
    ['T-1 transformer 75 kVA 480 V 3 ph', { kind: 'transformer', kva: 75 }],
    ['MX-7 mixer 7,5 kW 400 V 3 ph', { kind: 'motor', kilowatts: 7.5, voltage: 400 }],
    ['P-9 pump 10 hp 240 V dc', { kind: 'dc-motor', horsepower: 10, phases: 'dc' }],
    ['P-2 pump 50 hp 460 V 3 ph design B SF 1.15 61.5 FLA pf 85%', { design: 'B', serviceFactor: 1.15, nameplateAmperes: 61.5, powerFactor: 0.85 }],
    ['P-3 pump 10 hp 120/240 V 1 ph', { voltage: 240 }],
    ['P-4 pump 10 hp 460 V 3 ph rise 40 C x4', { temperatureRiseCelsius: 40, count: 4 }],
    ['1,150 A feeder 480 V', { nameplateAmperes: 1150 }],
  ])('%s', (text, data) => {
    const read = readLoadText(text);
    expect(read.notUnderstood.filter((m) => m.text !== 'feeder')).toEqual([]);
    expect(read.data).toMatchObject(data);
  });
  it('underlines what it does not understand, with its place', () => {
    const text = 'P-301 pump 25 hp 460 V 3 ph bananas 12q';
    const read = readLoadText(text);
    expect(read.notUnderstood).toEqual([{ from: 28, to: 39, text: 'bananas 12q' }]);
    for (const m of read.notUnderstood) expect(text.slice(m.from, m.to)).toBe(m.text);
  });
  it('does not choose between the two voltages of a plate, nor between contradicting figures', () => {
    expect(readLoadText('P-1 10 hp 230/460 V 3 ph')).toMatchObject({ notUnderstood: [{ text: '230/460 V' }] });
    expect(readLoadText('P-1 10 hp 230/460 V 3 ph').data.voltage).toBeUndefined();
    expect(readLoadText('P-1 10 hp 20 hp 460 V')).toMatchObject({ data: { horsepower: 10 }, notUnderstood: [{ text: '20 hp' }] });
  });
  it.each(['', '   ', '???', '0 hp', '460', '-5 hp', '\u0000', 'hp '.repeat(500)])('survives %j', (text) => { expect(readLoadText(text).data.kind).toBeTruthy(); });
});
