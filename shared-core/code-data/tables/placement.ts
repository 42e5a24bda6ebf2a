import { equipmentRules } from './placement-equipment';
import { generalRules } from './placement-general';
import { motorRules } from './placement-motors';
import type { PlacementRule } from './placement-types';

export * from './placement-types';
export { placementSources } from './placement-sources';

/** All rules that depend on place: 7 general, 32 for equipment, 1 special, 1 overlay. Own words; the adopted code governs. */
export const placementRules: readonly PlacementRule[] = [...generalRules, ...motorRules, ...equipmentRules];

/** Figures of the general rules, each as printed. */
export const placementFigures = {
  /** 404.8(A): 6'-7" (2.0 m); read in the 2017, 2020-based and 2023 texts. */
  handleHeight: { US: { value: 79, unit: 'in' }, CA: { value: 2, unit: 'm' } },
  /** 680.13: horizontally from the inside wall, or by the way round a permanent barrier; read in two texts. */
  fromWater: { value: 5, unit: 'ft' },
  /** 230.71 and 225.33: handles for one supply. */
  handles: { value: 6, sinceSeparateEnclosures: '2020' },
  /** 'Next to' has no figure in the code: our own reading. */
  nextTo: { value: 3, unit: 'ft' },
  /** 430.75 'immediately adjacent' has no figure: our own choice. */
  adjacent: { value: 3, unit: 'ft' },
} as const;

/** Conditions a person records with a load, each in words; rules and exceptions ask for them by these names. */
export const placementConditions: Readonly<Record<string, string>> = {
  industrial: 'industrial installation', 'qualified-persons': 'only qualified persons service it', 'process-essential': 'essential to an industrial process',
  submersible: 'submersible pump in a well', 'valve-actuator': 'valve-actuator motor assembly', 'coordinated-group': 'controllers coordinated for parts of one machine or process',
  'over-1000-volts': 'over 1000 V', 'location-labelled': 'equipment labelled with where its disconnect is', 'remote-operated': 'disconnect remotely operable from beside the equipment',
  'unit-switch': 'unit switch with a marked off position that opens all ungrounded conductors', 'separate-control-supply': 'control circuit fed from elsewhere', 'resistance-welder': 'resistance welder',
  'pv-equipment': 'inverter or converter of a photovoltaic system', 'crane-bridge': 'disconnect on the crane bridge', 'discharge-lighting': 'discharge lighting over 1000 V', 'no-supplementary-overcurrent': 'no supplementary overcurrent device',
  'one-or-two-family': 'one- or two-family dwelling', 'in-a-group': 'one of several motors behind one switch', 'one-room': 'motors in one room, in sight of the switch', 'one-overcurrent-device': 'motors under one overcurrent device (430.53(A))',
  'ready-disconnect-elsewhere': 'another disconnect of the circuit is readily accessible',
};
