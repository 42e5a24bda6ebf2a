import { Gap, atLeast, table } from '../code-data/index';
import type { Edition, Figure, RuleKey, Trace } from '../code-data/index';
import type { Design, MotorType, Phases } from './motor';

export type ProtectiveDevice = 'nontime-delay-fuse' | 'time-delay-fuse' | 'inverse-time-breaker' | 'instantaneous-trip-breaker';

/** The largest fuse of the class below the 601 to 6000 A classification. */
const LARGEST_ORDINARY_FUSE = 600;

/**
 * Standard ratings of 240.6(A) for a kind of device, as a list to choose from.
 * @param smallest where the list starts, for fuse and breaker lines that are not made smaller
 */
export function standardRatings(device: ProtectiveDevice, edition: Edition, smallest = 0): { readonly name: string; readonly id: 'standard-rating'; readonly column: string; readonly values: readonly number[] } {
  const fuse = device === 'nontime-delay-fuse' || device === 'time-delay-fuse';
  const column = fuse ? 'fuse' : edition === '2017' || edition === '2020' ? 'breaker-to-2020' : 'breaker-from-2023';
  const values = table('standard-rating').rows.filter((r) => r[column] === true).map((r) => Number(r.amperes)).filter((r) => r >= smallest);
  return { name: fuse ? 'standard fuse rating' : 'standard breaker rating', id: 'standard-rating', column, values };
}

/** The row of the percentage table for a motor. */
export function protectionRow(t: Trace, motor: { readonly phases: Phases; readonly type?: MotorType; readonly design?: Design; readonly efficient?: boolean; readonly premium?: boolean }): string {
  if (motor.design === 'BE' || motor.design === 'CE') throw new Gap(`the percentages for Design ${motor.design} were not read`, ['largest branch device stated by the motor or controller maker']);
  if (motor.phases === 'dc') return 'dc';
  if (motor.phases === 1) return 'single-phase';
  if (motor.type === 'synchronous' || motor.type === 'wound-rotor') return motor.type;
  const efficient = motor.efficient === true || (motor.premium === true && t.allows('motor.premium-efficiency.named').value);
  return efficient && (motor.design === undefined || motor.design === 'B') ? 'squirrel-cage-efficient' : 'squirrel-cage';
}

export interface BranchDevice {
  /** Percentage of the table times full-load current. */
  readonly calculated: Figure;
  /** Next standard size up, or the setting itself for an instantaneous-trip breaker. */
  readonly largest: Figure;
}

/** Largest branch-circuit device of a motor (430.52(C)(1)): the percentage, then one standard size up. */
export function branchDevice(t: Trace, current: Figure, motorRow: string, device: ProtectiveDevice, smallest = 0): BranchDevice {
  const percent = t.lookUp('Percentage of full-load current', 'p', 'branch-protection', { motor: motorRow }, device);
  const calculated = t.compute('Percentage value', `I_calc = p / 100 x ${current.name}`, [percent, current], 'A');
  if (device === 'instantaneous-trip-breaker') return { calculated, largest: calculated };
  return { calculated, largest: t.choose('Largest device, next standard size up', 'I_dev', standardRatings(device, t.basis.edition, smallest), 'up', calculated) };
}

/** Standard size at or below a figure. */
export function roundDown(t: Trace, need: Figure, device: ProtectiveDevice, symbol = 'I_down'): Figure {
  return t.choose('Largest standard size not above', symbol, standardRatings(device, t.basis.edition), 'down', need);
}

/** Ceiling where the table value will not let the motor start (430.52(C)(1)(b) or Exception No. 2); never rounded up. */
export function startingCeiling(t: Trace, current: Figure, device: ProtectiveDevice, options: { readonly efficient?: boolean; readonly tableDevice?: Figure } = {}): { readonly calculated: Figure; readonly largest: Figure } {
  const large = options.tableDevice !== undefined && options.tableDevice.value > LARGEST_ORDINARY_FUSE;
  const key = ceilingRule(t, current, device, options.efficient === true, large);
  const calculated = t.compute('Ceiling where the motor will not start', `I_ceil = p_c / 100 x ${current.name}`, [t.rule(key, 'p_c'), current], 'A');
  if (device === 'instantaneous-trip-breaker') return { calculated, largest: calculated };
  return { calculated, largest: roundDown(t, calculated, device, 'I_top') };
}

function ceilingRule(t: Trace, current: Figure, device: ProtectiveDevice, efficient: boolean, large: boolean): RuleKey {
  if (device === 'instantaneous-trip-breaker') return efficient ? 'motor.start.instantaneous-efficient.percent' : 'motor.start.instantaneous.percent';
  if (device === 'inverse-time-breaker') {
    const split = t.rule('motor.start.breaker-split', 'I_split').value;
    return current.value > split ? 'motor.start.breaker-over-100.percent' : 'motor.start.breaker-to-100.percent';
  }
  if (large) return 'motor.start.large-fuse.percent';
  return device === 'time-delay-fuse' ? 'motor.start.time-delay-fuse.percent' : 'motor.start.nontime-delay-fuse.percent';
}

/** Which overload percentage holds: by service factor and marked temperature rise (430.32). */
export function overloadPercent(t: Trace, motor: { readonly serviceFactor?: number; readonly temperatureRise?: number }, stage: 'normal' | 'will not start'): Figure {
  const factor = t.rule('motor.overload.service-factor', 'SF_min').value;
  const rise = t.rule('motor.overload.rise', 'dT_max').value;
  const high = (motor.serviceFactor !== undefined && atLeast(motor.serviceFactor, factor)) || (motor.temperatureRise !== undefined && motor.temperatureRise <= rise);
  if (stage === 'normal') return t.rule(high ? 'motor.overload.high.percent' : 'motor.overload.other.percent', 'p_ol');
  return t.rule(high ? 'motor.overload.retry-high.percent' : 'motor.overload.retry-other.percent', 'p_ol');
}

/** Largest overload device of a continuous-duty motor over 1 hp, on its NAMEPLATE current. */
export function overloadDevice(t: Trace, nameplate: Figure, motor: { readonly serviceFactor?: number; readonly temperatureRise?: number }, stage: 'normal' | 'will not start' = 'normal'): Figure {
  return t.compute(stage === 'normal' ? 'Largest overload setting' : 'Largest overload setting where the motor will not start', `I_ol = p_ol / 100 x ${nameplate.name}`, [overloadPercent(t, motor, stage), nameplate], 'A');
}

export interface HermeticDevice {
  readonly calculated: Figure;
  readonly firstTry: Figure;
  readonly ceilingCalculated: Figure;
  readonly ceiling: Figure;
}

/**
 * Protective device of a motor-compressor with any other loads (440.22): 175 percent of the largest plus the rest, then
 * 225 percent where it will not start. Whether the first figure may go one size up depends on the edition.
 */
export function hermeticDevice(t: Trace, largest: Figure, others: Figure | null, options: { readonly roundDown?: boolean; readonly device?: ProtectiveDevice; readonly group?: boolean } = {}): HermeticDevice {
  const device = options.device ?? 'inverse-time-breaker';
  const floor = t.rule('hermetic.protection.floor', 'I_floor');
  const value = (key: RuleKey, symbol: string, what: string): Figure => {
    const percent = t.rule(key, 'p');
    return others === null ? t.compute(what, `${symbol} = p / 100 x ${largest.name}`, [percent, largest], 'A')
      : t.compute(what, `${symbol} = p / 100 x ${largest.name} + ${others.name}`, [percent, largest, others], 'A');
  };
  const size = (calculated: Figure, symbol: string, up: boolean): Figure => {
    const list = standardRatings(device, t.basis.edition);
    if (calculated.value < floor.value) return t.compute('A device need not be smaller', `${symbol} = max(I_floor, ${calculated.name})`, [floor, calculated], 'A', floor.citation);
    return t.choose(up ? 'Next standard size up' : 'Largest standard size not above', symbol, list, up ? 'up' : 'down', calculated, 'A', calculated.citation);
  };
  const rule = t.allows('hermetic.protection.next-size-up');
  const up = options.roundDown !== true && options.group !== true && others === null && rule.value;
  const calculated = value('hermetic.protection.percent', 'I_175', 'First value, 175 percent');
  const firstTry = size(calculated, 'I_dev', up);
  const ceilingCalculated = value('hermetic.protection.ceiling-percent', 'I_225', 'Ceiling, 225 percent');
  return { calculated, firstTry, ceilingCalculated, ceiling: size(ceilingCalculated, 'I_top', false) };
}
