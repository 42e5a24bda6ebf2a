import { describe, expect, it } from 'vitest';
import { readHorsepower, readLoadText, showHorsepower } from '../../shared-core/sizing/index';

describe('horsepower as the trade writes it', () => {
  it.each([['7 1/2', 7.5], ['7-1/2', 7.5], ['7½', 7.5], ['1/3', 1 / 3], ['25', 25], ['7.5', 7.5], ['7,5', 7.5]])('%s is %f', (text, value) => { expect(readHorsepower(text)).toBeCloseTo(value, 12); });
  it.each(['', 'x', '7 1', '1/0', '-5', '7 1/0'])("'%s' is none", (text) => { expect(readHorsepower(text)).toBeNull(); });
  it.each(['¼', '½', '¾'].map((text, i) => [text, (i + 1) / 4] as const))('%s is %f', (text, value) => { expect(readHorsepower(text)).toBe(value); expect(readHorsepower(`2${text}`)).toBe(2 + value); });
  it.each([[0.125, '1/8'], [0.25, '1/4'], [0.5, '1/2'], [0.75, '3/4'], [1.5, '1 1/2'], [7.5, '7 1/2'], [1 / 3, '1/3'], [0.33, '1/3'], [25, '25'], [0.166667, '1/6'], [0.9, '0.9'], [2.1406, '2.141']])('%f is shown as %s', (value, text) => { expect(showHorsepower(value)).toBe(text); });
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
  // Each way of writing one figure alone, with all that is read of it and nothing besides.
  it.each<[string, Record<string, unknown>]>([
    ['pf 85%', { powerFactor: 0.85 }], ['pf 85', { powerFactor: 0.85 }], ['pf 0.85', { powerFactor: 0.85 }], ['PF: .85', { notUnderstood: true }], ['power factor = 0,9', { powerFactor: 0.9 }], ['pf 1', { powerFactor: 1 }], ['pf 1%', { powerFactor: 0.01 }], ['pf 100%', { powerFactor: 1 }],
    ['25 hp', { kind: 'motor', horsepower: 25 }], ['25 H.P. ', { kind: 'motor', horsepower: 25 }], ['1-1/2 horsepower', { kind: 'motor', horsepower: 1.5 }], ['½ hp', { kind: 'motor', horsepower: 0.5 }], ['0,5 hp', { kind: 'motor', horsepower: 0.5 }],
    ['12 kVA', { kind: 'continuous', kva: 12 }], ['12.5 kW', { kind: 'continuous', kilowatts: 12.5 }], ['MCA: 28.4 A', { kind: 'multimotor-cooling', minimumCircuitAmpacity: 28.4 }], ['28.4 amps MCA', { kind: 'multimotor-cooling', minimumCircuitAmpacity: 28.4 }],
    ['MOP 45', { maximumOvercurrent: 45 }], ['max fuse 45 A', { maximumOvercurrent: 45 }], ['maximum breaker = 45', { maximumOvercurrent: 45 }], ['45 A MOCP', { maximumOvercurrent: 45 }], ['RLA 29', { kind: 'hermetic', ratedLoadAmperes: 29 }], ['29 A RLA', { kind: 'hermetic', ratedLoadAmperes: 29 }],
    ['BCSC 31', { branchSelectionAmperes: 31 }], ['BCS 31 A', { branchSelectionAmperes: 31 }], ['LRA 180', { lockedRotorAmperes: 180 }], ['FLA 32', { kind: 'continuous', nameplateAmperes: 32 }], ['32 A FLC', { kind: 'continuous', nameplateAmperes: 32 }], ['nameplate 32 A', { kind: 'continuous', nameplateAmperes: 32 }], ['np 32', { kind: 'continuous', nameplateAmperes: 32 }],
    ['32 amperes', { kind: 'continuous', nameplateAmperes: 32 }], ['1,150 A', { kind: 'continuous', nameplateAmperes: 1150 }], ['12,5 A', { kind: 'continuous', nameplateAmperes: 12.5 }], ['input 40 A', { driveInputAmperes: 40 }], ['40 A input', { driveInputAmperes: 40 }], ['SF 1.15', { serviceFactor: 1.15 }], ['service factor: 1,15', { serviceFactor: 1.15 }],
    ['rise 40 °C', { temperatureRiseCelsius: 40 }], ['40 C rise', { temperatureRiseCelsius: 40 }], ['480 V', { voltage: 480 }], ['480 volts', { voltage: 480 }], ['480VAC', { voltage: 480 }], ['240 vdc', { voltage: 240, phases: 'dc' }], ['480Y/277 V', { voltage: 480 }], ['480/277', { voltage: 480 }], ['277/480 V', { voltage: 480 }], ['208Y/120', { voltage: 208 }], ['120/208 V', { voltage: 208 }], ['120/240 V', { voltage: 240 }], ['600Y/347 volts', { voltage: 600 }],
    ['3 ph', { phases: 3 }], ['3-phase', { phases: 3 }], ['3ph.', { phases: 3 }], ['3ø', { phases: 3 }], ['3φ', { phases: 3 }], ['three phase', { phases: 3 }], ['1 ph', { phases: 1 }], ['1ø', { phases: 1 }], ['1φ', { phases: 1 }], ['single-phase', { phases: 1 }], ['dc', { phases: 'dc' }], ['direct current', { phases: 'dc' }],
    ['code G', { codeLetter: 'G' }], ['code letter h', { codeLetter: 'H' }], ['design B', { design: 'B' }], ['NEMA design ce', { design: 'CE' }], ['wound-rotor', { motorType: 'wound-rotor' }], ['synchronous', { motorType: 'synchronous' }], ['squirrel cage', { motorType: 'squirrel-cage' }], ['premium efficiency', { premiumEfficiency: true }], ['premium', { premiumEfficiency: true }],
    ['fuses only', { fusesOnly: true }], ['fuse only', { fusesOnly: true }], ['qty 4', { count: 4 }], ['x 12', { count: 12 }], ['short-time duty', { duty: 'short-time' }], ['Varying duty', { duty: 'varying' }], ['continuous duty', { duty: 'continuous' }],
  ])("'%s' alone", (text, data) => {
    const read = readLoadText(text);
    const { typed: _typed, kind, ...rest } = read.data;
    if (data.notUnderstood === true) { expect(read.notUnderstood).not.toEqual([]); return; }
    expect(read.notUnderstood).toEqual([]);
    expect({ kind, ...rest }).toEqual({ kind: 'other', ...data });
    expect(read.tag).toBeUndefined();
    expect(read.name).toBeUndefined();
  });
  it.each(['pf 0', 'pf 120%', '0 hp', '0 V 0 A', '460/230 V', '230/460', '208/480 V', '0 kW', 'code 7', 'x', 'pf', 'hp', 'MCA', '1/0 hp', '12 x 4/5'])("'%s' is asked back", (text) => { expect(readLoadText(text).notUnderstood.length + (readLoadText(text).name === undefined ? 0 : 1)).toBeGreaterThan(0); });
  it.each<[string, string]>([
    ['fire pump 50 hp', 'fire-pump'], ['pool pump 2 hp', 'pool'], ['water heater 4.5 kW', 'appliance'], ['dishwasher 12 A', 'appliance'], ['unit heater 10 kW', 'heater'], ['heating coil 5 kW', 'heater'], ['transformer 75 kVA', 'transformer'], ['welder 40 A', 'welder'], ['VFD 40 A', 'drive'], ['supply drive 40 A', 'drive'], ['generator 120 A', 'generator'],
    ['EV outlet 40 A', 'ev-supply'], ['charger 40 A', 'ev-supply'], ['solar array 30 A', 'pv'], ['inverter 30 A', 'pv'], ['hoist 5 hp', 'crane'], ['crane 20 A', 'crane'], ['elevator 30 hp', 'elevator'], ['lift 3 hp', 'elevator'], ['sign 12 A', 'sign'], ['irrigation 20 hp', 'irrigation'], ['x-ray 60 A', 'x-ray'], ['xray 60 A', 'x-ray'], ['torque motor 6 A', 'torque-motor'], ['service 400 A', 'service'], ['feeder 200 A', 'feeder'],
    ['pump', 'motor'], ['fan 5 A', 'motor'], ['conveyor 7.5 kW', 'motor'], ['compressor 460 V', 'motor'], ['press dc', 'dc-motor'], ['lathe 5 hp 240 V dc', 'dc-motor'], ['machine 62 A', 'machine'], ['lathe', 'other'],
  ])("'%s' is a load of kind %s", (text, kind) => { expect(readLoadText(text).data.kind).toBe(kind); });
  it.each<[string, string]>([
    ['main drive motor 50 hp', 'motor'], ['drive motor 10 hp', 'motor'], ['belt drive fan 5 hp', 'motor'], ['V-belt drive fan 5 hp', 'motor'], ['direct drive fan 3 hp', 'motor'], ['direct-drive blower 3 hp', 'motor'], ['gear drive 10 hp', 'motor'], ['drive roll 3 hp', 'motor'], ['belt drive 3 A', 'motor'],
    ['VFD 40 A', 'drive'], ['VFD-3 30 hp', 'drive'], ['ASD 30 hp', 'drive'], ['variable frequency drive 40 A input', 'drive'], ['adjustable speed drive 30 hp', 'drive'], ['adjustable-frequency ac drive 30 A input', 'drive'], ['VFD for the main drive motor 20 hp', 'drive'], ['drive 40 A', 'drive'], ['supply drive 40 A', 'drive'], ['variable speed pump 5 hp', 'motor'],
    ['vibrating feeder 5 hp', 'motor'], ['bottle feeder 3 A', 'motor'], ['weigh feeder 1 hp', 'motor'], ['generator fuel pump 1 hp', 'motor'], ['sewage lift pump 5 hp', 'motor'], ['lift station 5 hp', 'motor'], ['hot water service pump 2 hp', 'motor'], ['transformer cooling fan 1 hp', 'motor'], ['welder fume fan 1 hp', 'motor'],
  ])("'%s' is a %s: what turns is a motor, whatever it drives or belongs to", (text, kind) => { expect(readLoadText(text).data.kind).toBe(kind); });
  it('a tag is a word with a number, not a figure with its unit', () => {
    const head = (text: string) => { const { tag, name } = readLoadText(text); return [tag, name]; };
    expect(head('P-301 pump 5 hp')).toEqual(['P-301', 'pump']);
    expect(head('AHU12.a supply fan 5 hp')).toEqual(['AHU12.a', 'supply fan']);
    expect(head('pump P-301 5 hp')).toEqual([undefined, 'pump P-301']);
    expect(head('MX7 hp 5')).toEqual([undefined, 'MX7 hp']);
    expect(head('5 hp')).toEqual([undefined, undefined]);
    expect(readLoadText('5 hp pump').notUnderstood).toEqual([{ from: 5, to: 9, text: 'pump' }]);
  });
  it('keeps what was typed beside the figure that was read of it', () => {
    expect(readLoadText('P-1 7 1/2 hp 480Y/277 V MCA 28,4 A').data.typed).toEqual({ horsepower: '7 1/2 hp', voltage: '480Y/277 V', minimumCircuitAmpacity: 'MCA 28,4 A' });
    expect(readLoadText('P-1 3 ph').data.typed).toBeUndefined();
  });
  it('joins neighbours that it does not understand, and keeps others apart', () => {
    expect(readLoadText('5 hp foo bar 460 V baz').notUnderstood.map((m) => m.text)).toEqual(['foo bar', 'baz']);
    expect(readLoadText('5 hp foo, bar').notUnderstood).toEqual([{ from: 5, to: 8, text: 'foo' }, { from: 10, to: 13, text: 'bar' }]);
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
