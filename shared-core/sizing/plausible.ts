import { Gap, table } from '../code-data/index';
import type { DeviceData, LoadData, LoadKind, SupplySystem } from '../document/index';

/** What cannot be true is named before anything is computed from it: an impossible figure never becomes another number. */
type Named = readonly [name: string, value: number | undefined, unit: string];

function positive(tag: string, figures: readonly Named[]): void {
  for (const [name, value, unit] of figures) {
    if (value !== undefined && (!Number.isFinite(value) || value <= 0)) throw new Gap(`${tag}: ${name} is ${value} ${unit}`.trim(), [`${name} of ${tag}, greater than zero`]);
  }
}

function whole(tag: string, figures: readonly Named[]): void {
  for (const [name, value, unit] of figures) {
    if (value !== undefined && (!Number.isInteger(value) || value < 1)) throw new Gap(`${tag}: ${name} is ${value} ${unit}`.trim(), [`${name} of ${tag}, a whole number`]);
  }
}

const KILOWATTS_PER_HORSEPOWER = 0.7457;
/** Rated kW and hp of one motor agree within this; more is two motors, or input power. */
const POWER_RATIO = 1.25;
const TIME_RATINGS: readonly unknown[] = [5, 15, 30, 60, 'continuous'];

/**
 * Names what cannot be true in the data of one load or part.
 * @throws Gap with the field and what to enter
 */
export function checkLoadData(tag: string, data: LoadData): void {
  positive(tag, [['horsepower', data.horsepower, 'hp'], ['kilowatts', data.kilowatts, 'kW'], ['kVA', data.kva, 'kVA'], ['voltage', data.voltage, 'V'],
    ['nameplate amperes', data.nameplateAmperes, 'A'], ['locked-rotor amperes', data.lockedRotorAmperes, 'A'], ['rated-load amperes', data.ratedLoadAmperes, 'A'], ['branch-circuit selection amperes', data.branchSelectionAmperes, 'A'],
    ['minimum circuit ampacity', data.minimumCircuitAmpacity, 'A'], ['maximum overcurrent device', data.maximumOvercurrent, 'A'], ['drive input amperes', data.driveInputAmperes, 'A'], ['service factor', data.serviceFactor, ''],
    ['power factor', data.powerFactor, ''], ['temperature rise', data.temperatureRiseCelsius, 'C']]);
  whole(tag, [['number of units', data.count, '']]);
  if (data.powerFactor !== undefined && data.powerFactor > 1) throw new Gap(`${tag}: a power factor of ${data.powerFactor} is above 1`, [`power factor of ${tag} between 0 and 1 (85 percent is 0.85)`]);
  if (data.serviceFactor !== undefined && data.serviceFactor < 1) throw new Gap(`${tag}: a service factor of ${data.serviceFactor} is below 1`, [`service factor of ${tag}`]);
  if (data.timeRating !== undefined && !TIME_RATINGS.includes(data.timeRating)) throw new Gap(`${tag}: a time rating of ${data.timeRating} is none of ${TIME_RATINGS.join(', ')}`, [`time rating of ${tag} (5, 15, 30 or 60 minutes, or continuous)`]);
  if (data.codeLetter !== undefined && !table('code-letter').rows.some((r) => r.letter === data.codeLetter?.toUpperCase())) throw new Gap(`${tag}: '${data.codeLetter}' is no code letter (A to V without I, O and Q)`, [`code letter of ${tag}`]);
  contradictions(tag, data);
}

/** Kinds that turn nothing: horsepower beside them is another load's, or the kind is wrong, and a motor would go unnoticed. */
export const WITHOUT_SHAFT: ReadonlySet<LoadKind> = new Set(['heater', 'transformer', 'ev-supply', 'pv', 'sign', 'x-ray', 'induction-heating', 'service', 'feeder', 'continuous', 'noncontinuous']);

/** Pairs of fields that are each possible and cannot both be true. */
function contradictions(tag: string, data: LoadData): void {
  const { horsepower, kilowatts, kva, nameplateAmperes, lockedRotorAmperes, ratedLoadAmperes, branchSelectionAmperes, minimumCircuitAmpacity, maximumOvercurrent } = data;
  const below = (low: number | undefined, high: number | undefined): boolean => low !== undefined && high !== undefined && low < high;
  if (below(maximumOvercurrent, minimumCircuitAmpacity)) throw new Gap(`${tag}: its largest device ${maximumOvercurrent} A is below its circuit ampacity ${minimumCircuitAmpacity} A`, [`MCA and MOCP of ${tag}`]);
  if (below(minimumCircuitAmpacity, ratedLoadAmperes)) throw new Gap(`${tag}: its circuit ampacity ${minimumCircuitAmpacity} A is below its rated-load current ${ratedLoadAmperes} A`, [`MCA and rated-load amperes of ${tag}`]);
  if (below(branchSelectionAmperes, ratedLoadAmperes)) throw new Gap(`${tag}: its branch-circuit selection current ${branchSelectionAmperes} A is below its rated-load current ${ratedLoadAmperes} A`, [`rated-load and branch-circuit selection amperes of ${tag}`]);
  for (const [running, words] of [[nameplateAmperes, 'running'], [ratedLoadAmperes, 'rated-load']] as const) {
    if (lockedRotorAmperes === undefined || running === undefined) continue;
    // A torque motor stands still at its nameplate current.
    if (data.kind === 'torque-motor' ? lockedRotorAmperes < running : lockedRotorAmperes <= running) throw new Gap(`${tag}: locked-rotor current is not above its ${words} current`, [`locked-rotor amperes of ${tag}`]);
  }
  if (horsepower !== undefined && WITHOUT_SHAFT.has(data.kind)) throw new Gap(`${tag}: ${horsepower} hp on what has no shaft (${data.kind.replace(/-/g, ' ')})`, [`kind of ${tag}: a motor, or no horsepower`]);
  if (below(kva, kilowatts)) throw new Gap(`${tag}: ${kilowatts} kW is more than its ${kva} kVA`, [`kW and kVA of ${tag}`]);
  if (horsepower !== undefined && kilowatts !== undefined) {
    const ratio = kilowatts / (horsepower * KILOWATTS_PER_HORSEPOWER);
    if (ratio > POWER_RATIO || ratio < 1 / POWER_RATIO) throw new Gap(`${tag}: ${horsepower} hp and ${kilowatts} kW are not the power of one motor`, [`horsepower or kilowatts of ${tag}`]);
  }
}

/**
 * Names what cannot be true in the data of a disconnect.
 * @throws Gap with the field and what to enter
 */
export function checkDeviceData({ tag, data }: { readonly tag: string; readonly data: DeviceData }): void {
  positive(tag, [['ampere rating', data.ratedAmperes, 'A'], ['voltage rating', data.ratedVolts, 'V'], ['horsepower rating', data.ratedHorsepower, 'hp'], ['fuse', data.fuseAmperes, 'A'],
    ['short-circuit rating', data.shortCircuitRating, 'A'], ['upstream device', data.upstreamAmperes, 'A']]);
  whole(tag, [['number of poles', data.poles, ''], ['conductors per phase', data.conductor?.perPhase, ''], ['number of conductors in the raceway', data.conductor?.conductorsInRaceway, '']]);
}

/** Volts to ground over volts between lines: the whole, the half of a tapped winding, a wye, the high leg of a tapped delta. */
const GROUND_RATIOS: readonly number[] = [1, 0.5, 1 / Math.sqrt(3), Math.sqrt(3) / 2];
const GROUND_TOLERANCE = 0.03;
/** No supply of a building gives less at its terminals; what is written as 22 is 22 kA (own reading). */
const LEAST_FAULT_CURRENT = 250;

/**
 * Names what cannot be true of a supply system.
 * @throws Gap with the field and what to enter
 */
export function checkSystem(system: SupplySystem): void {
  const { name, voltage, voltsToGround } = system;
  positive(name, [['voltage', voltage, 'V'], ['voltage to ground', voltsToGround, 'V']]);
  whole(name, [['number of wires', system.wires, '']]);
  const ratio = voltsToGround / voltage;
  if (voltsToGround <= voltage && !GROUND_RATIOS.some((r) => Math.abs(ratio / r - 1) < GROUND_TOLERANCE)) throw new Gap(`${name}: ${voltsToGround} V to ground belongs to no system of ${voltage} V: it is the whole, the half, or the voltage of a wye`, [`voltage and voltage to ground of ${name}`]);
  if (voltsToGround > voltage) throw new Gap(`${name}: ${voltsToGround} V to ground is more than its ${voltage} V`, [`voltage to ground of ${name}`]);
}

/**
 * Names what cannot be true of the source of a system.
 * @throws Gap with the field and what to enter
 */
export function checkSource({ name, source }: SupplySystem): void {
  positive(name, [['available fault current', source?.availableFaultCurrent, 'A'], ['transformer', source?.transformerKva, 'kVA'], ['transformer impedance', source?.impedancePercent, '%'], ['X/R', source?.xOverR, '']]);
  const stated = source?.availableFaultCurrent;
  if (stated !== undefined && stated < LEAST_FAULT_CURRENT) throw new Gap(`${name}: an available fault current of ${stated} A is less than a supply gives; ${stated} kA is ${stated * 1000} A`, [`available fault current of ${name} in amperes`]);
  if (source?.impedancePercent !== undefined && source.impedancePercent > 100) throw new Gap(`${name}: a transformer impedance of ${source.impedancePercent} % is above 100 %`, [`transformer impedance of ${name} in percent`]);
}

