import { KEY_RECORD, WATER } from '../../shared-core/checks/index';
import { placementConditions, placementRules } from '../../shared-core/code-data/index';
import type { DeviceData, LoadKind } from '../../shared-core/document/index';
import { deviceOptions, sizingConditions } from '../../shared-core/sizing/index';

export const loadKindNames: Readonly<Record<LoadKind, string>> = {
  'motor': 'motor', 'torque-motor': 'torque motor', 'dc-motor': 'DC motor', 'machine': 'machine with several motors', 'hermetic': 'hermetic compressor',
  'multimotor-cooling': 'cooling equipment, several motors', 'heater': 'heater', 'appliance': 'appliance', 'continuous': 'continuous load', 'noncontinuous': 'non-continuous load',
  'transformer': 'transformer', 'welder': 'welder', 'drive': 'variable-speed drive', 'generator': 'generator', 'pv': 'PV equipment', 'ev-supply': 'vehicle charging equipment',
  'pool': 'pool equipment', 'fire-pump': 'fire pump', 'crane': 'crane or hoist', 'elevator': 'elevator', 'sign': 'sign', 'irrigation': 'irrigation machine', 'x-ray': 'X-ray equipment',
  'induction-heating': 'induction heating', 'service': 'service', 'feeder': 'feeder', 'other': 'other load',
};

const CHECKS: Readonly<Record<string, string>> = {
  'sight.motor': 'sight of the motor', 'sight.machine': 'sight of the driven machine', 'sight.controller': 'sight of the controller', 'sight.unit': 'sight of the unit',
  'sizing.fire-pump-device': 'device that holds', 'sizing.fire-pump-starting': 'drop at start', 'sizing.fire-pump-running': 'running voltage',
  'sizing.load-current': 'load current', 'sizing.ampere-rating': 'switch', 'sizing.horsepower': 'horsepower', 'sizing.locked-rotor': 'locked rotor', 'sizing.voltage-rating': 'voltage', 'sizing.device-type': 'kind',
  'sizing.fusing': 'fusible or not', 'sizing.equipment-ground': 'equipment ground', 'sizing.fault-current': 'fault current here', 'sizing.short-circuit-rating': 'short-circuit rating', 'sizing.duty': 'duty',
  'data.revision': 'plan changed',
  'place.overlap': 'drawn into something', 'reach.height': 'handle height', 'reach.access': 'ready access', 'space.depth': 'space in front', 'space.width': 'space, width', 'space.height': 'head room',
};

/** The name of a check in trade words; a check without its own words shows the last part of its dotted name, spelled out. */
export function checkName(check: string): string {
  const known = CHECKS[check];
  if (known !== undefined) return known;
  return (check.split('.').at(-1) ?? check).replaceAll('-', ' ');
}

const spelled = (stored: string): string => stored.replaceAll('-', ' ');
const EXCEPTIONS: ReadonlyMap<string, string> = new Map([...placementRules.flatMap((rule) => rule.outOfSight.conditions.map((c) => [c.id, c.words] as const)), [KEY_RECORD, 'who holds the key is on record']]);

export const optionName = (option: string): string => deviceOptions[option] ?? spelled(option);
/** A fact of a load in words. */
export const conditionName = (condition: string): string => placementConditions[condition] ?? sizingConditions[condition] ?? spelled(condition);
/** The condition that a recorded exception rests on, in words. */
export const exceptionName = (condition: string): string => EXCEPTIONS.get(condition) ?? spelled(condition);

export const fieldWords = {
  deviceType: {
    'enclosed-switch': 'enclosed switch', 'circuit-breaker': 'circuit breaker', 'molded-case-switch': 'molded-case switch', 'attachment-plug': 'plug and receptacle',
    'general-use-switch': 'general-use switch', 'pullout': 'pullout',
  } satisfies Record<NonNullable<DeviceData['type']>, string>,
  upstreamType: { 'fuse': 'fuse', 'circuit-breaker': 'circuit breaker' } satisfies Record<NonNullable<DeviceData['upstreamType']>, string>,
  limitedPlace: { 'ceiling': 'above a lay-in ceiling', 'crawl-space': 'in a crawl space' } satisfies Record<NonNullable<DeviceData['limitedAccess']>['place'], string>,
  motorType: { 'squirrel-cage': 'squirrel cage', 'wound-rotor': 'wound rotor', 'synchronous': 'synchronous' },
  duty: { 'continuous': 'continuous', 'short-time': 'short-time', 'intermittent': 'intermittent', 'periodic': 'periodic', 'varying': 'varying' },
  material: { opaque: 'opaque', glazed: 'glazed', mesh: 'open mesh' },
  leaf: { 'none': 'empty doorway', 'closed': 'closed door', 'normally-open': 'door normally open', 'vision-panel': 'door with vision panel', 'glazed': 'window' },
  face: { grounded: 'grounded: concrete, brick, tile', insulated: 'insulated', unknown: 'not known' },
  role: { 'panel': 'panel', 'transformer': 'transformer', 'service-entrance': 'service entrance' },
} as const;

/** What an area can be; several may hold at once. The enclosure choice reads these words. */
export const environmentChoices: readonly { readonly value: string; readonly label: string }[] = [
  { value: 'dry', label: 'dry' }, { value: 'damp', label: 'damp or dripping' }, { value: 'dust', label: 'dust' }, { value: 'coolant', label: 'oil or coolant' },
  { value: 'washdown', label: 'washdown' }, { value: 'corrosive', label: 'corrosive' }, { value: 'outdoor-rain', label: 'outdoors, rain and sleet' },
  { value: 'outdoor-dust', label: 'outdoors, windblown dust' }, { value: 'submersion', label: 'may be submerged' }, { value: WATER, label: 'water of a pool, spa or fountain' }, { value: 'classified', label: 'classified (hazardous)' },
];
