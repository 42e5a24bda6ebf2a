import { Gap, OutOfReach, atLeast, round, table } from '../code-data/index';
import type { Figure, RuleKey, TableRow, Trace } from '../code-data/index';

const ascending = (a: number, b: number): number => a - b;
/** Ratings of enclosed switches: a product series, not a list of the code. */
export const SWITCH_RATINGS: readonly number[] = [...new Set(table('switch-horsepower').rows.map((r) => Number(r.amperes)))].sort(ascending);

/** The series as a list to choose from. */
export const switchList = { name: 'enclosed-switch rating', id: 'switch-horsepower', column: 'amperes', values: SWITCH_RATINGS } as const;

/** Smallest ampere rating of a disconnect: a percentage of the current (430.110, 440.12). */
export function disconnectAmperes(t: Trace, current: Figure, rule: RuleKey): Figure {
  return t.compute('Smallest ampere rating of the disconnect', `I_min = p / 100 x ${current.name}`, [t.rule(rule, 'p'), current], 'A');
}

/** Next enclosed-switch rating by amperes alone. */
export function switchAmperes(t: Trace, need: Figure): Figure {
  return t.choose('Switch rating by amperes', 'I_switch', switchList, 'up', need);
}

export type Duty = 'general' | 'heavy';
export type Construction = 'fusible' | 'non-fusible';

/** Voltage class of the switch that serves a system: general duty stops at 240 V. */
export function switchClass(duty: Duty, construction: Construction, volts: number): 240 | 600 {
  if (duty === 'general') return 240;
  return volts > 240 || construction === 'non-fusible' ? 600 : 240;
}

/** Nominal circuit voltage of the switch table that serves a system. */
export function switchCircuitVolts(volts: number): 120 | 240 | 480 | 600 {
  if (volts <= 120) return 120;
  if (volts <= 240) return 240;
  return volts <= 480 ? 480 : 600;
}

export interface SwitchPick {
  readonly amperes: Figure;
  /** Typical horsepower of that switch, null where the load needs none. */
  readonly horsepower: Figure | null;
  readonly duty: Duty;
  readonly volts: 240 | 600;
}

export interface SwitchNeed {
  readonly amperes: Figure;
  /** Horsepower by circuit voltage of the switch table (a 208 V motor is rated by its 240 V equivalent); null for other loads. */
  readonly horsepower: ((circuitVolts: number) => Figure) | null;
  readonly volts: number;
  readonly phases: 1 | 3;
  readonly construction: Construction;
  readonly duty: Duty;
  /** Horsepower holds with time-delay fuses only. */
  readonly timeDelay: boolean;
  /** The smallest fuse it must hold, amperes. */
  readonly smallestFuse?: Figure | null;
}

const NOTHING_PUBLISHED = 'nothing published';

const hpRow = (need: SwitchNeed, amperes: number, circuit: number): TableRow | undefined => table('switch-horsepower').rows.find((r) =>
  r.duty === need.duty && r.class === switchClass(need.duty, need.construction, need.volts) && r.construction === need.construction
  && r.amperes === amperes && r.voltage === circuit && r.phases === need.phases);

/** Whether the series of a duty, class and construction has a rating: general duty ends earlier. */
const isMade = ({ duty, construction }: SwitchNeed, voltageClass: 240 | 600, amperes: number): boolean =>
  table('switch-horsepower').rows.some((r) => r.duty === duty && r.class === voltageClass && r.construction === construction && r.amperes === amperes);

/** The column of typical horsepower that a construction and its fuses allow. */
export const horsepowerColumn = (construction: Construction, timeDelay: boolean): 'standard' | 'conservative' =>
  (construction === 'fusible' && !timeDelay ? 'standard' : 'conservative');

/**
 * The smallest typical switch that meets amperes, horsepower and fuse; every refusal is a step.
 * @throws Gap when nothing published reaches, naming what to ask for
 */
export function pickSwitch(t: Trace, need: SwitchNeed): SwitchPick {
  const volts = switchClass(need.duty, need.construction, need.volts);
  if (need.volts > volts) throw new Gap(`no ${need.duty}-duty switch is rated for ${need.volts} V`, ['voltage rating of the switch']);
  const column = horsepowerColumn(need.construction, need.timeDelay);
  for (const amperes of SWITCH_RATINGS) {
    if (!atLeast(amperes, need.amperes.value) || (need.smallestFuse && !atLeast(amperes, need.smallestFuse.value))) continue;
    const own = { name: `enclosed-switch rating`, id: 'switch-horsepower' as const, column: 'amperes', values: [amperes] };
    const floor = need.smallestFuse && need.smallestFuse.value > need.amperes.value ? need.smallestFuse : need.amperes;
    if (!isMade(need, volts, amperes)) continue;
    if (need.horsepower === null) return { amperes: t.choose('Switch rating', 'I_switch', switchList, 'up', floor), horsepower: null, duty: need.duty, volts };
    const circuit = circuitForHorsepower(need, amperes);
    const row = hpRow(need, amperes, circuit);
    const rated = row?.[column];
    if (row && typeof rated !== 'number' && row.evidence !== NOTHING_PUBLISHED) throw new Gap(`the horsepower of a ${amperes} A switch is unreadable`);
    if (typeof rated !== 'number') throw new OutOfReach(`no horsepower is published for a ${amperes} A ${need.duty}-duty ${need.construction} switch at ${circuit} V, ${need.phases}-phase`, ['ampere and horsepower rating of the switch, from its nameplate'], 'incomplete', ['Take a switch or breaker whose nameplate covers the load and enter its ratings.']);
    const wanted = need.horsepower(circuit);
    if (!atLeast(rated, wanted.value)) continue;
    const horsepower = t.lookUp(`Typical horsepower of a ${amperes} A switch at ${circuit} V`, 'P_switch', 'switch-horsepower',
      { duty: need.duty, class: volts, construction: need.construction, amperes, voltage: circuit, phases: need.phases }, column);
    t.test('Horsepower is enough', `ok = P_switch >= ${wanted.name}`, [horsepower, wanted]);
    return { amperes: t.choose('Switch rating that meets amperes, horsepower and fuse', 'I_switch', own, 'up', floor), horsepower, duty: need.duty, volts };
  }
  throw new OutOfReach(`no typical ${need.duty}-duty ${need.construction} switch reaches ${round(need.amperes.value)} A${need.horsepower === null ? '' : ' and the horsepower'} at ${need.volts} V`,
    ['ampere and horsepower rating of the switch, from its nameplate'], 'incomplete', ['Take a switch or breaker whose nameplate covers the load and enter its ratings.']);
}

/** 120 V figures are published for fusible general-duty switches of 30 and 60 A; elsewhere the 240 V figure counts. */
const LARGEST_120_VOLT = 60;
function circuitForHorsepower(need: SwitchNeed, amperes: number): 120 | 240 | 480 | 600 {
  const direct = switchCircuitVolts(need.volts);
  return direct === 120 && !(need.duty === 'general' && need.construction === 'fusible' && amperes <= LARGEST_120_VOLT && need.phases === 1) ? 240 : direct;
}
