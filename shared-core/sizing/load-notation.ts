import type { LoadData, LoadKind } from '../document/index';
import { showHorsepower } from './horsepower-text';
import { readLoadText } from './load-text';
import type { LoadText } from './load-text';

/** Words by which the reader knows a kind; a kind without one shows by its figures, or cannot be said in a line. */
const KIND_WORDS: Readonly<Partial<Record<LoadKind, string>>> = {
  'motor': 'motor', 'dc-motor': 'motor', 'torque-motor': 'torque motor', 'machine': 'machine', 'heater': 'heater', 'appliance': 'appliance', 'transformer': 'transformer', 'welder': 'welder', 'drive': 'drive',
  'generator': 'generator', 'pv': 'PV', 'ev-supply': 'charger', 'pool': 'pool', 'fire-pump': 'fire pump', 'crane': 'crane', 'elevator': 'elevator', 'sign': 'sign', 'irrigation': 'irrigation', 'x-ray': 'x-ray', 'service': 'service', 'feeder': 'feeder',
};

const said = (value: number | undefined, write: (text: string) => string): string[] => (value === undefined ? [] : [write(String(value))]);

function figures(data: LoadData): string[] {
  return [
    ...(data.horsepower === undefined ? [] : [`${showHorsepower(data.horsepower)} hp`]), ...said(data.kilowatts, (n) => `${n} kW`), ...said(data.kva, (n) => `${n} kVA`),
    ...said(data.voltage, (n) => `${n} V`), ...(data.phases === undefined ? [] : [data.phases === 'dc' ? 'dc' : `${data.phases} ph`]),
    ...said(data.ratedLoadAmperes, (n) => `RLA ${n}`), ...said(data.branchSelectionAmperes, (n) => `BCSC ${n}`), ...said(data.driveInputAmperes, (n) => `input ${n} A`),
    ...said(data.minimumCircuitAmpacity, (n) => `MCA ${n}`), ...said(data.maximumOvercurrent, (n) => `MOCP ${n}`), ...(data.fusesOnly === true ? ['fuses only'] : []),
    ...(data.motorType === undefined ? [] : [data.motorType.replace('-', ' ')]), ...(data.design === undefined ? [] : [`design ${data.design}`]), ...(data.premiumEfficiency === true ? ['premium efficiency'] : []),
    ...(data.codeLetter === undefined ? [] : [`code ${data.codeLetter}`]), ...said(data.lockedRotorAmperes, (n) => `LRA ${n}`), ...said(data.serviceFactor, (n) => `SF ${n}`), ...said(data.temperatureRiseCelsius, (n) => `rise ${n} C`),
    ...(data.duty === undefined ? [] : [`${data.duty} duty`]), ...(data.timeRating === undefined ? [] : [data.timeRating === 'continuous' ? 'continuous-rated' : `${data.timeRating} min`]),
    ...(data.starting === undefined ? [] : [data.starting === 'wye-delta' ? 'wye-delta' : 'part winding']), ...said(data.powerFactor, (n) => `pf ${n}`), ...said(data.count, (n) => `qty ${n}`),
    // Last: before a word such as MOCP these amperes would be read as that word's.
    ...said(data.nameplateAmperes, (n) => `${n} A`),
  ];
}

/**
 * Writes a load in the trade notation that {@link readLoadText} reads: '7 1/2 hp 460 V 3 ph code G'. What the notation has
 * no words for (its supply system, its parts, facts of place) is left out.
 * @param name words before the first figure, e.g. 'spindle'
 */
export function writeLoadText(data: LoadData, name = ''): string {
  const line = (...words: readonly string[]): string => [...words, ...figures(data)].filter((word) => word !== '').join(' ');
  const says = (text: string): boolean => readLoadText(text).data.kind === data.kind;
  const plain = line(name);
  const worded = line(name, KIND_WORDS[data.kind] ?? '');
  return !says(plain) && says(worded) ? worded : plain;
}

/** What a load is after its line was typed anew: what the notation cannot say stays as it was. */
export function amendLoad(before: LoadData, line: LoadText, name = ''): LoadData {
  const sayable: Readonly<Record<string, unknown>> = { ...readLoadText(writeLoadText(before, name)).data };
  const typed: Readonly<Record<string, unknown>> = { ...line.data };
  const kept = Object.entries(before).filter(([field, value]) => field !== 'typed' && sayable[field] !== value && typed[field] === sayable[field]);
  return { ...line.data, ...Object.fromEntries(kept) };
}
