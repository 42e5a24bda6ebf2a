import type { DeviceData, LoadData, LoadKind } from '../../shared-core/document/index';
import { fieldWords } from '../text/index';

/** One field of a data form; the forms are drawn from these lists. */
export type FieldSpec<T> = { readonly [K in keyof T & string]: { readonly key: K; readonly label: string } & (
  | { readonly type: 'number'; readonly unit: string; readonly whole?: boolean; readonly max?: number }
  | { readonly type: 'choice'; readonly choices: readonly { readonly label: string; readonly value: string | number }[] }
  | { readonly type: 'flag' }
  /** Yes, no, or not known: three different things for a check. */
  | { readonly type: 'fact' }
  | { readonly type: 'text'; readonly max: number }) }[keyof T & string];

const choicesOf = (labels: Readonly<Record<string, string>>) => Object.entries(labels).map(([value, label]) => ({ value, label }));
const plainChoices = (...values: (string | number)[]) => values.map((value) => ({ value, label: String(value) }));

const LOAD_FIELDS: readonly FieldSpec<LoadData>[] = [
  { key: 'horsepower', label: 'Horsepower', type: 'number', unit: 'hp' },
  { key: 'kilowatts', label: 'Power', type: 'number', unit: 'kW' },
  { key: 'kva', label: 'Apparent power', type: 'number', unit: 'kVA' },
  { key: 'voltage', label: 'Nameplate voltage', type: 'number', unit: 'V' },
  { key: 'phases', label: 'Phases', type: 'choice', choices: [{ value: 3, label: 'three-phase' }, { value: 1, label: 'single-phase' }, { value: 'dc', label: 'direct current' }] },
  { key: 'nameplateAmperes', label: 'Nameplate current', type: 'number', unit: 'A' },
  { key: 'motorType', label: 'Motor type', type: 'choice', choices: choicesOf(fieldWords.motorType) },
  { key: 'design', label: 'Design letter', type: 'choice', choices: plainChoices('A', 'B', 'C', 'D', 'BE', 'CE') },
  { key: 'premiumEfficiency', label: 'Premium efficiency', type: 'flag' },
  { key: 'codeLetter', label: 'Code letter', type: 'text', max: 2 },
  { key: 'lockedRotorAmperes', label: 'Locked-rotor current', type: 'number', unit: 'A' },
  { key: 'serviceFactor', label: 'Service factor', type: 'number', unit: '' },
  { key: 'temperatureRiseCelsius', label: 'Temperature rise', type: 'number', unit: '°C' },
  { key: 'duty', label: 'Duty', type: 'choice', choices: choicesOf(fieldWords.duty) },
  { key: 'timeRating', label: 'Time rating', type: 'choice', choices: [...[5, 15, 30, 60].map((value) => ({ value, label: `${value} minutes` })), { value: 'continuous', label: 'continuous' }] },
  { key: 'starting', label: 'Starts by', type: 'choice', choices: [{ value: 'wye-delta', label: 'wye start, delta run' }, { value: 'part-winding', label: 'part winding' }] },
  { key: 'powerFactor', label: 'Power factor', type: 'number', unit: '', max: 1 },
  { key: 'ratedLoadAmperes', label: 'Rated-load current', type: 'number', unit: 'A' },
  { key: 'branchSelectionAmperes', label: 'Branch selection current', type: 'number', unit: 'A' },
  { key: 'minimumCircuitAmpacity', label: 'Minimum circuit ampacity', type: 'number', unit: 'A' },
  { key: 'maximumOvercurrent', label: 'Maximum overcurrent device', type: 'number', unit: 'A' },
  { key: 'fusesOnly', label: 'Nameplate allows fuses only', type: 'flag' },
  { key: 'driveInputAmperes', label: 'Drive input current', type: 'number', unit: 'A' },
  { key: 'driveSide', label: 'Disconnect stands on the', type: 'choice', choices: [{ value: 'line', label: 'line side of the drive or starter' }, { value: 'load', label: 'load side of the drive or starter' }] },
  { key: 'startTogether', label: 'Parts start together', type: 'fact' },
  { key: 'count', label: 'How many alike', type: 'number', unit: '', whole: true },
];

const MOTOR: readonly string[] = ['horsepower', 'voltage', 'phases', 'nameplateAmperes', 'motorType', 'design', 'premiumEfficiency', 'codeLetter', 'lockedRotorAmperes', 'serviceFactor', 'temperatureRiseCelsius', 'duty', 'starting', 'powerFactor', 'count'];
const NAMEPLATE: readonly string[] = ['voltage', 'phases', 'ratedLoadAmperes', 'branchSelectionAmperes', 'lockedRotorAmperes', 'minimumCircuitAmpacity', 'maximumOvercurrent', 'fusesOnly', 'horsepower'];
const POWER: readonly string[] = ['kilowatts', 'kva', 'nameplateAmperes', 'voltage', 'phases', 'powerFactor', 'count'];
const SHOWN: Readonly<Partial<Record<LoadKind, readonly string[]>>> = {
  'motor': MOTOR, 'fire-pump': MOTOR, 'crane': MOTOR, 'elevator': MOTOR, 'irrigation': MOTOR, 'pool': [...MOTOR, 'kilowatts'],
  'torque-motor': ['voltage', 'phases', 'nameplateAmperes', 'lockedRotorAmperes', 'horsepower'], 'dc-motor': ['horsepower', 'voltage', 'nameplateAmperes', 'duty'],
  'machine': ['voltage', 'phases', 'minimumCircuitAmpacity', 'maximumOvercurrent', 'horsepower', 'nameplateAmperes'],
  'hermetic': NAMEPLATE, 'multimotor-cooling': NAMEPLATE, 'drive': [...MOTOR, 'driveInputAmperes', 'driveSide'],
};

/** Of a machine entered by its parts only these count beside them. */
const BESIDE_PARTS: readonly string[] = ['voltage', 'phases', 'startTogether', 'count'];
/** Kinds that may be several loads behind one disconnect. */
const WITH_PARTS: readonly LoadKind[] = ['machine', 'service', 'feeder', 'crane', 'elevator', 'irrigation', 'appliance', 'other'];
export const mayHaveParts = (data: LoadData): boolean => data.parts !== undefined || WITH_PARTS.includes(data.kind);

/** The fields that matter for a kind of load; a field that already holds a value always shows, so nothing is hidden. */
export function loadFields(data: LoadData): readonly FieldSpec<LoadData>[] {
  const shown = (data.parts?.length ?? 0) > 0 ? BESIDE_PARTS : SHOWN[data.kind] ?? POWER;
  const set = (key: keyof LoadData): boolean => data[key] !== undefined || (key === 'timeRating' && data.duty !== undefined && data.duty !== 'continuous') || (key === 'driveSide' && data.starting !== undefined);
  return LOAD_FIELDS.filter((field) => shown.includes(field.key) || set(field.key));
}

export const DEVICE_FIELDS: readonly FieldSpec<DeviceData>[] = [
  { key: 'type', label: 'Kind', type: 'choice', choices: choicesOf(fieldWords.deviceType) },
  { key: 'ratedAmperes', label: 'Rated current', type: 'number', unit: 'A' },
  { key: 'ratedVolts', label: 'Rated voltage', type: 'number', unit: 'V' },
  { key: 'ratedHorsepower', label: 'Horsepower rating', type: 'number', unit: 'hp' },
  { key: 'duty', label: 'Duty', type: 'choice', choices: [{ value: 'general', label: 'general duty' }, { value: 'heavy', label: 'heavy duty' }] },
  { key: 'poles', label: 'Poles', type: 'number', unit: '', whole: true, max: 6 },
  { key: 'fuseClass', label: 'Fuse class', type: 'choice', choices: plainChoices('J', 'RK1', 'RK5', 'T', 'CC', 'L', 'H', 'K5', 'G', 'CF') },
  { key: 'fuseAmperes', label: 'Fuse size', type: 'number', unit: 'A' },
  { key: 'enclosure', label: 'Enclosure type', type: 'choice', choices: plainChoices('1', '2', '3', '3R', '3S', '3X', '3RX', '3SX', '4', '4X', '5', '6', '6P', '12', '12K', '13') },
  { key: 'shortCircuitRating', label: 'Short-circuit rating', type: 'number', unit: 'A' },
  { key: 'upstreamAmperes', label: 'Protection upstream', type: 'number', unit: 'A' },
  { key: 'upstreamType', label: 'Upstream it is a', type: 'choice', choices: choicesOf(fieldWords.upstreamType) },
];

/** Yes, no, or not known: three different things for a check. */
export const DEVICE_FACTS: readonly { readonly key: 'fusible' | 'serviceEquipment' | 'neutral' | 'groundBar' | 'lockable' | 'energisedWorkLikely'; readonly label: string }[] = [
  { key: 'fusible', label: 'Fusible' }, { key: 'lockable', label: 'Lockable open' }, { key: 'neutral', label: 'Solid neutral' }, { key: 'groundBar', label: 'Ground bar' },
  { key: 'serviceEquipment', label: 'Suitable as service equipment' }, { key: 'energisedWorkLikely', label: 'Work while energised is likely' },
];

export const CONDUCTOR_FIELDS: readonly FieldSpec<NonNullable<DeviceData['conductor']>>[] = [
  { key: 'material', label: 'Material', type: 'choice', choices: [{ value: 'copper', label: 'copper' }, { value: 'aluminum', label: 'aluminum' }] },
  { key: 'size', label: 'Size', type: 'text', max: 10 },
  { key: 'perPhase', label: 'Per phase', type: 'number', unit: '', whole: true, max: 20 },
  { key: 'insulationCelsius', label: 'Insulation', type: 'choice', choices: [60, 75, 90].map((value) => ({ value, label: `${value} °C` })) },
  { key: 'terminationCelsius', label: 'Terminations', type: 'choice', choices: [60, 75].map((value) => ({ value, label: `${value} °C` })) },
  { key: 'raceway', label: 'Raceway', type: 'choice', choices: plainChoices('EMT', 'IMC', 'RMC', 'PVC-40', 'PVC-80') },
  { key: 'conductorsInRaceway', label: 'Conductors in it', type: 'number', unit: '', whole: true, max: 100 },
  { key: 'ambientCelsius', label: 'Ambient', type: 'number', unit: '°C' },
];
