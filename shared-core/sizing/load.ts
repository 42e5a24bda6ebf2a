import { Gap, atLeast, given, round, table } from '../code-data/index';
import type { Figure, Trace } from '../code-data/index';
import type { Disconnect, Id, Load, LoadData, LoadKind, SupplySystem } from '../document/index';
import { loadAmperes } from './general-load';
import { fullLoadCurrent, lockedRotorCurrent, outsideTables } from './motor';
import type { Motor, Phases } from './motor';
import { checkDeviceData, checkLoadData, checkSystem } from './plausible';
import { entityOf, loadsOf } from './project';
import type { Project } from './project';

/** Where a load hangs: nominal volts it works at, and to ground where known. */
export interface Circuit {
  readonly volts: number;
  readonly phases: Phases;
  readonly system: SupplySystem | null;
  /** One leg and neutral: one pole and a solid neutral. */
  readonly lineNeutral: boolean;
  readonly voltsToGround: number | null;
}

/** One elementary load: a motor, a compressor, a heater ... with how many of it there are. */
export interface Part {
  readonly tag: string;
  readonly data: LoadData;
  readonly count: number;
  /** The load it belongs to, and how many of that load there are. */
  readonly load: Id;
  readonly machines: number;
  /** Whether it is one part of several in its load. */
  readonly isPart: boolean;
  /** It never starts while another part of its load starts. */
  readonly startsAlone: boolean;
}

/** What a person calls a part of a machine, kept with what was typed: parts carry no tag of their own. */
export const partName = (part: LoadData): string => part.typed?.name ?? '';

/** How a part is called: the machine and its own name, else its number; a name that two parts bear goes with the number. */
function partTag(machine: string, parts: readonly LoadData[], at: number): string {
  const name = parts[at] ? partName(parts[at]) : '';
  const alike = parts.filter((p) => partName(p) === name).length;
  if (name !== '' && alike === 1) return `${machine} ${name}`;
  return name === '' ? `${machine} part ${at + 1}` : `${machine} ${name} (part ${at + 1})`;
}

/** How a part is sized. */
export type PartClass = 'motor' | 'torque-motor' | 'hermetic' | 'cooling' | 'drive' | 'transformer' | 'continuous' | 'noncontinuous';

const MOTOR_KINDS: ReadonlySet<LoadKind> = new Set(['motor', 'dc-motor', 'machine', 'pool', 'fire-pump', 'crane', 'elevator', 'irrigation', 'appliance', 'other']);
/** Loads that run three hours or more count as continuous; heaters, signs and vehicle supply always do. */
const NONCONTINUOUS: ReadonlySet<LoadKind> = new Set(['noncontinuous', 'x-ray', 'welder']);

export function partClass(data: LoadData): PartClass {
  if (data.kind === 'torque-motor') return 'torque-motor';
  if (data.kind === 'hermetic') return 'hermetic';
  if (data.kind === 'multimotor-cooling') return 'cooling';
  if (data.kind === 'transformer') return 'transformer';
  if (data.kind === 'drive') return data.driveSide === 'load' ? 'motor' : 'drive';
  const power = data.horsepower !== undefined || (data.kind === 'motor' || data.kind === 'dc-motor');
  if (power && MOTOR_KINDS.has(data.kind)) return 'motor';
  return NONCONTINUOUS.has(data.kind) ? 'noncontinuous' : 'continuous';
}

/**
 * Parts of the loads on one disconnect; parts of a machine take what they lack from it. That its parts start together counts
 * whatever a part says; that they do not holds for each part that says nothing else.
 */
export function partsOf(loads: readonly Load[]): Part[] {
  return loads.flatMap((load): Part[] => {
    const { id, tag, data: { count: machines = 1, parts = [], system, voltage, phases, startTogether } } = load;
    if (parts.length === 0) return [{ tag, data: load.data, count: machines, load: id, machines, isPart: false, startsAlone: startTogether === false }];
    return parts.map((part, i) => ({
      tag: partTag(tag, parts, i), count: machines * (part.count ?? 1), load: id, machines, isPart: true,
      startsAlone: startTogether !== true && (part.startTogether ?? startTogether) === false,
      data: { ...part, ...(part.system ?? system ? { system: part.system ?? system } : {}), ...(part.voltage ?? voltage ? { voltage: part.voltage ?? voltage } : {}), ...(part.phases ?? phases ? { phases: part.phases ?? phases } : {}) },
    }));
  });
}

/** The system that feeds a disconnect, through the supplies and disconnects above it. */
export function feedingSystem(project: Project, device: Disconnect): SupplySystem | null {
  const seen = new Set<string>();
  for (let at = entityOf(project, device.data.fedFrom); at && !seen.has(at.id);) {
    seen.add(at.id);
    if (at.kind === 'supply') return project.systems.get(at.system) ?? null;
    at = at.kind === 'disconnect' ? entityOf(project, at.data.fedFrom) : undefined;
  }
  return null;
}

const near = (t: Trace, rated: number, nominal: number): boolean =>
  atLeast(rated, nominal * t.rule('data.voltage-low.percent', 'p').value / 100) && rated <= nominal * t.rule('data.voltage-high.percent', 'p').value / 100;

function nominalVolts(voltage: number, phases: Phases): number {
  if (phases === 'dc') return voltage;
  const served = table('voltage-range').rows.find((r) => r.phases === phases && voltage >= Number(r.from) && voltage <= Number(r.to));
  return served ? Number(served.to) : voltage;
}

/**
 * The circuit a part works on: its system from the load, the feeding supply, or the only system of the project.
 * @throws Gap naming what is missing or contradicts
 */
export function circuitOf(t: Trace, project: Project, device: Disconnect, part: Part): Circuit {
  const { data, tag } = part;
  const fed = feedingSystem(project, device);
  const own = data.system === undefined ? null : project.systems.get(data.system) ?? null;
  if (data.system !== undefined && !own) throw new Gap(`${tag}: its supply system is not in the project`, [`supply system of ${tag}`]);
  if (own && fed && own.id !== fed.id) throw new Gap(`${tag} is on ${own.name}, but the disconnect is fed from ${fed.name}`, [`supply system of ${tag}, or what feeds the disconnect`]);
  const only = project.systems.size === 1 ? [...project.systems.values()][0] ?? null : null;
  const system = own ?? fed ?? (only && (data.voltage === undefined || fits(t, data.voltage, data.phases, only)) ? only : null);
  if (!system) {
    if (data.voltage === undefined) throw new Gap(`${tag} has no voltage and no supply system`, [`voltage or supply system of ${tag}`]);
    if (data.phases === undefined) throw new Gap(`${tag} has no number of phases`, [`phases of ${tag}`]);
    return { volts: nominalVolts(data.voltage, data.phases), phases: data.phases, system: null, lineNeutral: false, voltsToGround: null };
  }
  return onSystem(t, part, system);
}

const fits = (t: Trace, rated: number, phases: Phases | undefined, system: SupplySystem): boolean =>
  near(t, rated, system.voltage) || (phases !== 3 && near(t, rated, system.voltsToGround));

function onSystem(t: Trace, { data, tag }: Part, system: SupplySystem): Circuit {
  checkSystem(system);
  const rated = data.voltage ?? system.voltage;
  const toLine = near(t, rated, system.voltage);
  const toNeutral = data.phases !== 3 && !toLine && system.wires > (system.phases === 3 ? 3 : 2) && near(t, rated, system.voltsToGround);
  if (!toLine && !toNeutral) throw new Gap(`${tag} is rated ${rated} V, but ${system.name} has ${system.voltage} V`, [`rated voltage of ${tag}, or its supply system`]);
  const phases = data.phases ?? (toNeutral ? 1 : system.phases === 3 ? undefined : system.phases);
  if (phases === undefined) throw new Gap(`${tag} has no number of phases`, [`phases of ${tag}`]);
  if ((phases === 'dc') !== (system.phases === 'dc') || (phases === 3 && system.phases === 1)) throw new Gap(`${tag} is ${phases === 'dc' ? 'direct current' : `${phases}-phase`}, but ${system.name} is not`, [`phases of ${tag}, or its supply system`]);
  return { volts: toNeutral ? system.voltsToGround : system.voltage, phases, system, lineNeutral: toNeutral, voltsToGround: system.voltsToGround };
}

const KILOWATTS_PER_HORSEPOWER = 0.7457;
/** Metric ratings (7.5 kW) are within 3 percent of their horsepower row (10 hp). */
const METRIC_TOLERANCE = 1.03;

/** Horsepower of a motor, from kilowatts where only these are given: the table row that covers them. */
export function horsepowerOf(t: Trace, part: Part, phases: Phases): number {
  const { data, tag } = part;
  if (data.horsepower !== undefined) return data.horsepower;
  if (data.kilowatts === undefined) throw new Gap(`${tag} has no horsepower`, [`horsepower of ${tag}`]);
  const exact = data.kilowatts / KILOWATTS_PER_HORSEPOWER;
  const id = phases === 'dc' ? 'full-load-dc' : phases === 1 ? 'full-load-single-phase' : 'full-load-three-phase';
  const row = table(id).rows.filter((r) => r.motor !== 'synchronous').find((r) => Number(r.horsepower) * METRIC_TOLERANCE >= exact);
  if (!row) throw new Gap(`${tag}: ${data.kilowatts} kW is beyond the motor table`, [`horsepower of ${tag}`]);
  t.state('Horsepower of the table row', Number(row.horsepower), 'hp', `${data.kilowatts} kW / 0.7457 = ${round(exact)} hp; the row that covers it (own reading)`, 'nameplate');
  return Number(row.horsepower);
}

/** The motor of a part as the tables ask for it. */
export function motorOf(t: Trace, part: Part, circuit: Circuit): Motor {
  const { data } = part;
  return {
    horsepower: horsepowerOf(t, part, circuit.phases), voltage: data.voltage ?? circuit.volts, phases: circuit.phases,
    ...(data.motorType ? { type: data.motorType } : {}), ...(data.design ? { design: data.design } : {}), ...(data.codeLetter ? { codeLetter: data.codeLetter } : {}),
    ...(data.powerFactor !== undefined ? { powerFactor: data.powerFactor } : {}), ...(data.lockedRotorAmperes !== undefined ? { lockedRotorAmperes: data.lockedRotorAmperes } : {}),
  };
}

/** Running current of one unit of a part: table current for motors, nameplate for the rest. */
export function currentOf(t: Trace, part: Part, circuit: Circuit): Figure {
  const { data, tag } = part;
  const kind = partClass(data);
  if (kind === 'motor') return motorCurrent(t, part, circuit);
  if (kind === 'torque-motor') {
    if (data.nameplateAmperes === undefined) throw new Gap(`${tag} is a torque motor: its nameplate current counts`, [`nameplate amperes of ${tag}`]);
    return given('I_FLC', data.nameplateAmperes, 'A', 'nameplate', tag);
  }
  if (kind === 'hermetic') {
    if (data.ratedLoadAmperes === undefined) throw new Gap(`${tag} has no rated-load current`, [`rated-load amperes (RLA) of ${tag}`]);
    const rated = given('I_RLA', data.ratedLoadAmperes, 'A', 'nameplate', tag);
    if (data.branchSelectionAmperes === undefined) return rated;
    return t.compute('Greater of rated-load and branch-circuit selection current', 'I_h = max(I_RLA, I_BCS)', [rated, given('I_BCS', data.branchSelectionAmperes, 'A', 'nameplate', tag)], 'A');
  }
  if (kind === 'drive') {
    const amps = data.driveInputAmperes ?? data.nameplateAmperes;
    if (amps === undefined) throw new Gap(`${tag} has no input current`, [`drive input amperes of ${tag}`]);
    const carried = (amps * circuit.volts * (circuit.phases === 3 ? Math.sqrt(3) : 1)) / 1000;
    if (data.horsepower !== undefined && carried < data.horsepower * KILOWATTS_PER_HORSEPOWER) throw new Gap(`${tag}: ${amps} A of input at ${circuit.volts} V carry less than its ${data.horsepower} hp`, [`horsepower and input amperes of ${tag}: they contradict each other`]);
    return given('I_in', amps, 'A', 'nameplate', tag);
  }
  return plainCurrent(t, part, circuit);
}

/** Table current of a motor; where the tables do not print it, its nameplate current, marked as our reading. */
function motorCurrent(t: Trace, part: Part, circuit: Circuit): Figure {
  const { data: { nameplateAmperes: plate, conditions }, tag } = part;
  const motor = motorOf(t, part, circuit);
  if (plate !== undefined) refuseTooLittle(t, tag, plate, motor);
  if (conditions?.includes('nameplate-current') === true) {
    if (plate === undefined) throw new Gap(`${tag} is a low-speed, high-torque or multispeed motor: its nameplate current counts`, [`nameplate amperes of ${tag}`]);
    const citation = { text: 'NFPA 70 430.6(A)(1)', edition: t.basis.edition, confidence: t.basis.edition === '2026' ? 'memory' as const : 'confirmed' as const };
    t.state('Full-load current', plate, 'A', 'low-speed, high-torque or multispeed motor: the nameplate counts', 'nameplate', citation);
    return given('I_FLC', plate, 'A', 'nameplate', tag);
  }
  const outside = outsideTables(t, motor);
  if (outside === null) {
    const flc = fullLoadCurrent(t, motor);
    const limit = t.rule('data.nameplate-ratio', 'k').value;
    const ratio = (plate ?? flc.value) / flc.value;
    if (ratio > limit || ratio < 1 / limit) throw new Gap(`${tag}: nameplate ${plate} A is ${round(ratio)} times the table current ${round(flc.value)} A`, [`horsepower, voltage and nameplate amperes of ${tag}: they contradict each other`]);
    return { ...flc, name: 'I_FLC' };
  }
  if (plate === undefined) throw new Gap(`${tag}: ${outside}`, [`horsepower and voltage of ${tag} as the motor table prints them, or the nameplate amperes of ${tag}`]);
  t.state('Full-load current', plate, 'A', `${outside}: the nameplate current stands for it (own reading)`, 'nameplate');
  return { ...given('I_FLC', plate, 'A', 'nameplate', tag), confidence: 'own-reading' };
}

/** No motor gives more power than its volts and amperes carry, and none wastes nearly all of them. */
function refuseTooLittle(t: Trace, tag: string, plate: number, { horsepower, voltage, phases }: Motor): void {
  const carried = (plate * voltage * (phases === 3 ? Math.sqrt(3) : 1)) / 1000;
  const power = horsepower * KILOWATTS_PER_HORSEPOWER;
  const missing = [`horsepower, voltage and nameplate amperes of ${tag}: they contradict each other`];
  if (carried < power) throw new Gap(`${tag}: nameplate ${plate} A at ${voltage} V carries less than ${horsepower} hp`, missing);
  if (power < (carried * t.rule('data.power-share.percent', 'p').value) / 100) throw new Gap(`${tag}: nameplate ${plate} A at ${voltage} V is far too much for ${horsepower} hp`, missing);
}

/**
 * Amperes of a load that is no motor: stated, or from kW or kVA at its voltage. A resistance on a system above its rated voltage draws
 * more in proportion (Ohm's law).
 */
function plainCurrent(t: Trace, part: Part, circuit: Circuit): Figure {
  const rated = ratedCurrent(t, part, circuit);
  const { voltage, kind } = part.data;
  if (kind !== 'heater' || voltage === undefined || voltage >= circuit.volts) return rated;
  return t.compute('Current at the system voltage', 'I_load = I_r x U_s / U_r', [{ ...rated, name: 'I_r' }, given('U_s', circuit.volts, 'V', 'plan'), given('U_r', voltage, 'V', 'nameplate', part.tag)], 'A');
}

/** How far amperes and power of one plate may lie apart: rounding, and volts between rated and nominal (own reading). */
const PLATE_TOLERANCE = 1.15;
/** No load of these kinds wastes more than three quarters of its volt-amperes (own reading). */
const MOST_REACTIVE = 4;

/** Amperes, kVA and kW of one plate say the same: what does not is two loads, or a unit was mistaken. */
function refuseOtherPower({ kva, kilowatts, kind, voltage }: LoadData, plate: number, tag: string, circuit: Circuit): void {
  const carried = (plate * (voltage ?? circuit.volts) * (circuit.phases === 3 ? Math.sqrt(3) : 1)) / 1000;
  const missing = [`amperes and power of ${tag}: they contradict each other`];
  const say = (power: string): Gap => new Gap(`${tag}: ${plate} A at ${voltage ?? circuit.volts} V are ${round(carried)} kVA, and its plate says ${power}`, missing);
  if (kva !== undefined && (carried * PLATE_TOLERANCE < kva || carried > kva * PLATE_TOLERANCE)) throw say(`${kva} kVA`);
  const most = kind === 'heater' ? PLATE_TOLERANCE : MOST_REACTIVE;
  if (kilowatts !== undefined && (carried * PLATE_TOLERANCE < kilowatts || carried > kilowatts * most)) throw say(`${kilowatts} kW`);
}

function ratedCurrent(t: Trace, { data, tag }: Part, circuit: Circuit): Figure {
  if (data.nameplateAmperes !== undefined) { refuseOtherPower(data, data.nameplateAmperes, tag, circuit); return given('I_load', data.nameplateAmperes, 'A', 'nameplate', tag); }
  const volts = given('U', data.voltage ?? circuit.volts, 'V', data.voltage === undefined ? 'plan' : 'nameplate', tag);
  if (data.kva !== undefined) return loadAmperes(t, given('S', data.kva, 'kVA', 'nameplate', tag), volts, circuit.phases);
  if (data.kilowatts === undefined) throw new Gap(`${tag} has no current, kW or kVA`, [`amperes, kW or kVA of ${tag}`]);
  const resistive = data.kind === 'heater' || circuit.phases === 'dc' || data.powerFactor !== undefined || data.kind === 'appliance';
  if (!resistive) throw new Gap(`${tag} has kW but no power factor`, [`power factor or amperes of ${tag}`]);
  return loadAmperes(t, given('P', data.kilowatts, 'kW', 'nameplate', tag), volts, circuit.phases, given('pf', data.powerFactor ?? 1, '', data.powerFactor === undefined ? 'default' : 'nameplate', tag));
}

/** Locked-rotor current of one unit: motors by table or plate, compressors by plate, other loads their running current. */
export function lockedOf(t: Trace, part: Part, circuit: Circuit, running: Figure): Figure {
  const { data, tag } = part;
  const kind = partClass(data);
  if (kind === 'motor') {
    if (data.lockedRotorAmperes !== undefined && data.lockedRotorAmperes <= running.value) throw new Gap(`${tag}: locked-rotor ${data.lockedRotorAmperes} A is not above its full-load current ${round(running.value)} A`, [`locked-rotor amperes of ${tag}`]);
    return lockedRotorCurrent(t, motorOf(t, part, circuit), running);
  }
  if (kind === 'hermetic' || kind === 'torque-motor' || kind === 'cooling') {
    const small = data.lockedRotorAmperes === undefined && kind === 'hermetic' ? smallCompressor(t, data, circuit, running) : null;
    if (small) return small;
    // The nameplate current of a torque motor is the one it draws at standstill.
    if (kind === 'torque-motor' && (data.lockedRotorAmperes ?? 0) <= running.value) return standstillPlate(t, running, tag);
    if (data.lockedRotorAmperes === undefined) throw new Gap(`${tag} has no locked-rotor current`, [`locked-rotor amperes (LRA) of ${tag}`]);
    return given('I_LRC', data.lockedRotorAmperes, 'A', 'nameplate', tag);
  }
  return { ...running, name: 'I_LRC' };
}

function standstillPlate(t: Trace, plate: Figure, tag: string): Figure {
  t.state('Locked-rotor current', plate.value, 'A', 'torque motor: its nameplate current is that at standstill (from memory)', 'nameplate', { text: 'NFPA 70 430.6(B)', edition: t.basis.edition, confidence: 'memory' });
  return { ...given('I_LRC', plate.value, 'A', 'nameplate', tag), confidence: 'memory' };
}

/** Highest nominal volts that the figures for 115 V and for 230 V stand for. */
const SMALL_115 = 130;
const SMALL_230 = 250;

/** Locked-rotor current of a small compressor that need not be marked with it (440.12(C)); null where it has to be (440.4(A)). */
function smallCompressor(t: Trace, data: LoadData, circuit: Circuit, running: Figure): Figure | null {
  if (circuit.phases !== 1 || circuit.volts > SMALL_230 || data.ratedLoadAmperes === undefined) return null;
  const most = t.rule(circuit.volts > SMALL_115 ? 'hermetic.small.amperes-230-volt' : 'hermetic.small.amperes-115-volt', 'I_small');
  if (!t.test('So small that no locked-rotor current need be marked', 'ok = I_RLA <= I_small', [given('I_RLA', data.ratedLoadAmperes, 'A', 'nameplate'), most])) return null;
  return t.compute('Locked-rotor current of a small compressor without a marked one', `I_LRC = k x ${running.name}`, [t.rule('hermetic.small.locked-rotor-multiple', 'k'), running], 'A');
}

/** Every load placed or not that a disconnect serves, or a gap when there is none. */
export function servedParts(project: Project, device: Disconnect): Part[] {
  const loads = loadsOf(project, device);
  if (loads.length === 0) throw new Gap('it serves no load', ['load that this disconnect isolates'], 'incomplete', ['Link the disconnect to the load it isolates.']);
  const parts = partsOf(loads);
  checkDeviceData(device);
  for (const { tag, data, count } of parts) checkLoadData(tag, { ...data, count });
  return parts;
}
