import { atMost, given } from '../../../shared-core/code-data/index';
import type { Figure, Trace } from '../../../shared-core/code-data/index';
import { feederDevice, groupAmpacity } from '../../../shared-core/sizing/case';
import { ambientFactor, ambientFactorFahrenheit, bundlingFactor, correctedAmpacity, pickConductor, sizeForAmpacity, tableAmpacity, tableAmpacityNeeded } from '../../../shared-core/sizing/conductor';
import { showHorsepower } from '../../../shared-core/sizing/horsepower-text';
import { codeLetterFigure, equivalentHorsepower, fullLoadCurrent, horsepowerForCurrent, horsepowerForLockedRotor, lockedRotorCurrent, lockedRotorFromKva, lockedRotorKva, sumOf } from '../../../shared-core/sizing/motor';
import type { Motor } from '../../../shared-core/sizing/motor';
import { branchDevice, hermeticDevice, overloadDevice, overloadPercent, protectionRow, roundDown, standardRatings, startingCeiling } from '../../../shared-core/sizing/protection';
import type { ProtectiveDevice } from '../../../shared-core/sizing/protection';
import { disconnectAmperes, switchAmperes } from '../../../shared-core/sizing/rating';
import { lazy, motorFrom, readDevice } from './inputs';
import type { Inputs, Topic } from './inputs';
import { loadAmperes } from '../../../shared-core/sizing/general-load';

const A = (figure: Figure): number => figure.value;
const hp = (figure: Figure): string => showHorsepower(figure.value);

const motorFlc: Topic = (t, i, keys) => {
  const flc = (): number => A(fullLoadCurrent(t, motorFrom(i)));
  const answers: Record<string, () => unknown> = { flc_A: flc, flc_unity_A: () => A(fullLoadCurrent(t, { ...motorFrom(i), powerFactor: 1 })) };
  for (const key of keys) {
    const volts = /^flc_(\d+)V_A$/.exec(key)?.[1];
    if (volts !== undefined) answers[key] = () => A(fullLoadCurrent(t, { ...motorFrom(i, { volts: Number(volts) }), voltage: Number(volts) }));
  }
  return answers;
};

const lockedRotor: Topic = (t, i) => {
  const motor = motorFrom(i);
  const at = (end: 'minimum' | 'maximum'): Figure => lockedRotorKva(t, motor.horsepower, codeLetterFigure(t, i.text('code_letter'), end));
  const current = (end: 'minimum' | 'maximum'): number => A(lockedRotorFromKva(t, at(end), motor.voltage, motor.phases));
  return {
    kva_per_hp: () => A(codeLetterFigure(t, i.text('code_letter'), 'maximum')), locked_rotor_kVA: () => A(at('maximum')),
    locked_rotor_A: () => (i.has('code_letter') ? current('maximum') : A(lockedRotorCurrent(t, motor))), low_A: () => current('minimum'), high_A: () => current('maximum'),
  };
};

interface Unit { readonly motor: Motor; readonly count: number }

function unitsOf(i: Inputs): Unit[] {
  const shared = { ...(i.has('voltage_V') || i.has('system') || i.has('system_voltage_V') ? { volts: i.volts } : {}), phases: /single|three-wire/.test(i.textOr('system', '')) ? 1 as const : i.phases };
  if (i.list('motors').length > 0) return i.objects('motors').map((m) => ({ motor: motorFrom(m, shared), count: m.numberOr('count', 1) }));
  if (i.list('motors_hp').length > 0) return i.list('motors_hp').map((power) => ({ motor: motorFrom(withPower(i, power), shared), count: 1 }));
  return [{ motor: motorFrom(i, shared), count: i.numberOr('count', 1) }];
}
const withPower = (i: Inputs, power: unknown): Inputs => Object.assign(Object.create(Object.getPrototypeOf(i) as object) as Inputs, { values: { ...(i as unknown as { values: object }).values, power_hp: power } });

const every = (t: Trace, units: readonly Unit[], current: (motor: Motor) => Figure): Figure[] => units.flatMap((u) => { const one = current(u.motor); return Array.from({ length: u.count }, () => one); });

const motorDisconnect: Topic = (t, i) => {
  const units = unitsOf(i);
  const [first] = units;
  const single = units.length === 1 && first?.count === 1 && !i.has('resistance_load_kW');
  const phases = first?.motor.phases === 1 ? 1 : 3;
  const volts = first?.motor.voltage ?? i.volts;
  const other = lazy(() => (i.has('resistance_load_kW') ? [loadAmperes(t, given('P', i.number('resistance_load_kW'), 'kW', 'typed'), given('U', i.numberOr('resistance_voltage_V', volts), 'V', 'typed'), phases)] : []));
  const running = lazy(() => sumOf(t, 'Sum of the running currents', 'I_sum', [...every(t, units, (m) => fullLoadCurrent(t, m)), ...other()]));
  const locked = lazy(() => sumOf(t, 'Sum of the locked-rotor currents', 'I_LR', [...every(t, units, (m) => lockedRotorCurrent(t, m)), ...other()]));
  const byCurrent = lazy(() => horsepowerForCurrent(t, running(), volts, phases));
  const byLocked = lazy(() => horsepowerForLockedRotor(t, i.has('nameplate_lra_A') ? i.figure('nameplate_lra_A', 'I_LR') : locked(), volts, phases));
  const need = lazy(() => disconnectAmperes(t, running(), single ? 'motor.disconnect.percent' : 'motor.combination.disconnect.percent'));
  const equivalent = (): string => hp(equivalentHorsepower(t, byCurrent(), byLocked()));
  return {
    flc_A: () => A(running()), min_ampere_rating_A: () => A(need()), switch_size_A: () => A(switchAmperes(t, need())), combined_flc_A: () => A(running()), combined_lrc_A: () => A(locked()),
    hp_from_lrc: () => hp(byLocked()), hp_from_flc: () => hp(byCurrent()), equivalent_hp: equivalent, min_hp: () => (single && !i.has('nameplate_lra_A') ? showHorsepower(first.motor.horsepower) : equivalent()), table_lrc_A: () => A(locked()),
  };
};

const motorConductors: Topic = (t, i, keys) => {
  const answers: Record<string, () => unknown> = {};
  const ampacity = (motor: Motor): Figure => { const flc = fullLoadCurrent(t, motor); return groupAmpacity(t, [flc], [], 'motor.conductor.percent'); };
  for (const key of keys) {
    const power = /^ampacity_(.+)hp_A$/.exec(key)?.[1]?.replace(/_/g, ' ');
    if (power !== undefined) answers[key] = () => {
      const unit = unitsOf(i).find((u) => showHorsepower(u.motor.horsepower) === power || String(u.motor.horsepower) === power);
      if (!unit) throw new Error(`no motor of ${power} hp`);
      return A(ampacity(unit.motor));
    };
  }
  if (i.list('motors').length > 0) return answers;
  const motor = motorFrom(i);
  const need = lazy(() => ampacity(motor));
  const ambient = lazy(() => ambientOf(t, i));
  const bundling = lazy(() => bundlingFactor(t, i.numberOr('current_carrying_conductors', 3)));
  const pick = lazy(() => pickConductor(t, { material: i.material, insulation: i.insulation, termination: i.termination, atTerminals: need(), corrected: need(), ambient: ambient(), bundling: bundling() }));
  return { ...answers,
    flc_A: () => A(fullLoadCurrent(t, motor)), min_ampacity_A: () => A(need()), conductor_AWG: () => pick().size, ambient_factor: () => A(ambient()), table_ampacity_needed_A: () => A(tableAmpacityNeeded(t, need(), ambient(), bundling())),
    corrected_ampacity_A: () => A(correctedAmpacity(t, tableAmpacity(t, pick().size, i.material, i.insulation), ambient(), bundling())),
    max_device_A: () => A(branchDevice(t, fullLoadCurrent(t, motor), protectionRow(t, motor), readDevice(i.text('device')).device).largest),
  };
};

/** Ambient correction by either scale; 30 C where none is given. */
export const ambientOf = (t: Trace, i: Inputs): Figure => (i.has('ambient_F') ? ambientFactorFahrenheit(t, i.number('ambient_F'), i.insulation) : ambientFactor(t, i.numberOr('ambient_C', 30), i.insulation));

const motorFeeders: Topic = (t, i) => {
  const units = unitsOf(i);
  const device = i.has('branch_device') ? readDevice(i.text('branch_device')).device : 'inverse-time-breaker';
  const other = i.has('noncontinuous_load_A') ? [i.figure('noncontinuous_load_A', 'I_nc')] : [];
  const motors = lazy(() => units.flatMap((u) => Array.from({ length: u.count }, () => ({ motor: u.motor, current: fullLoadCurrent(t, u.motor) }))));
  const need = lazy(() => groupAmpacity(t, motors().map((m) => m.current), other, 'motor.group.largest.percent'));
  const branches = lazy(() => motors().map((m) => ({ ...m, branch: branchDevice(t, m.current, protectionRow(t, m.motor), device) })));
  const largest = lazy(() => branches().reduce((a, b) => (b.branch.largest.value > a.branch.largest.value ? b : a)));
  const feeder = lazy(() => feederDevice(t, largest().branch.largest, sumOf(t, 'Currents of the others', 'I_oth', [...branches().filter((b) => b !== largest()).map((b) => b.current), ...other]), device));
  return {
    min_ampacity_A: () => A(need()), conductor_AWG: () => sizeForAmpacity(t, need(), i.material, i.termination), largest_branch_device_A: () => A(largest().branch.largest), branch_calc_A: () => A(largest().branch.calculated), branch_device_A: () => A(largest().branch.largest),
    feeder_calc_A: () => A(feeder().calculated), feeder_device_A: () => A(feeder().largest), leg_ampacity_A: () => legAmpacity(t, i, motors(), other),
  };
};

/** Three-wire feeder: line-to-line motors load both legs, line-to-neutral motors the lighter one; the heavier leg counts. */
function legAmpacity(t: Trace, i: Inputs, motors: readonly { readonly motor: Motor; readonly current: Figure }[], other: readonly Figure[]): number {
  const line = Math.max(...motors.map((m) => m.motor.voltage));
  const both = motors.filter((m) => m.motor.voltage > line / 1.5 && line > 150).map((m) => m.current);
  const legs: Figure[][] = [[...both], [...both]];
  const sum = (leg: readonly Figure[]): number => leg.reduce((total, f) => total + f.value, 0);
  for (const m of motors.filter((x) => !both.includes(x.current)).sort((a, b) => b.current.value - a.current.value)) legs.sort((a, b) => sum(a) - sum(b))[0]?.push(m.current);
  return Math.max(...legs.filter((leg) => leg.length > 0).map((leg) => A(groupAmpacity(t, leg, other, 'motor.group.largest.percent'))));
}

type Stage = 'normal' | 'will not start';
const motorOverload: Topic = (t, i, keys) => {
  const facts = (x: Inputs): { readonly serviceFactor?: number; readonly temperatureRise?: number } => ({ ...(x.has('service_factor') ? { serviceFactor: x.number('service_factor') } : {}), ...(x.has('temperature_rise_C') ? { temperatureRise: x.number('temperature_rise_C') } : {}) });
  const plate = (x: Inputs): Figure => x.figure(x.has('nameplate_primary_A') ? 'nameplate_primary_A' : 'nameplate_fla_A', 'I_np');
  const stage: Stage = i.flag('starting_problem') || /not start/.test(i.textOr('stage', '')) ? 'will not start' : 'normal';
  const setting = (): Figure => overloadDevice(t, plate(i), facts(i), stage);
  const answers: Record<string, () => unknown> = {
    max_overload_A: () => A(setting()), calc_A: () => A(setting()), max_if_will_not_start_A: () => A(overloadDevice(t, plate(i), facts(i), 'will not start')),
    fuse_A: () => A(roundDown(t, setting(), 'time-delay-fuse')), pct: () => A(overloadPercent(t, facts(i), stage)),
  };
  for (const key of keys) {
    const power = /^overload_(.+)hp_A$/.exec(key)?.[1]?.replace(/_/g, ' ');
    const factor = /^pct_sf_(.+)$/.exec(key)?.[1]?.replace('_', '.');
    if (power !== undefined) answers[key] = () => { const m = i.objects('motors').find((x) => x.text('power_hp') === power); if (!m) throw new Error(`no motor of ${power} hp`); return A(overloadDevice(t, plate(m), facts(m), stage)); };
    if (factor !== undefined) answers[key] = () => { const c = i.objects('cases').find((x) => x.number('service_factor') === Number(factor)); if (!c) throw new Error(`no case ${factor}`); return A(overloadPercent(t, facts(c), /not start/.test(c.textOr('stage', '')) ? 'will not start' : 'normal')); };
  }
  return answers;
};

const shortCircuit: Topic = (t, i, keys) => {
  const smallest = i.numberOr('smallest_standard_A', 0);
  const named = i.has('device') ? readDevice(i.text('device').replace(/^non-time-delay or /, '')).device : 'time-delay-fuse';
  const answers: Record<string, () => unknown> = {};
  const candidate = (power: string): Motor & { efficient: boolean } => ({ ...motorFrom(withPower(i, power.replace(/_/g, ' '))) });
  for (const key of keys) {
    const [, what, power] = /^(max|calc|suits)_(.+?)hp(?:_A)?$/.exec(key) ?? [];
    if (power === undefined) continue;
    const made = lazy(() => { const m = candidate(power); return branchDevice(t, fullLoadCurrent(t, m), protectionRow(t, m), i.has('device') ? named : 'inverse-time-breaker', smallest); });
    answers[key] = what === 'max' ? () => A(made().largest) : what === 'calc' ? () => A(made().calculated) : () => atMost(i.number('breaker_A'), made().largest.value);
  }
  if (!i.has('power_hp')) return answers;
  const motor = motorFrom(i);
  const flc = lazy(() => fullLoadCurrent(t, motor));
  const row = lazy(() => protectionRow(t, motor));
  const by = (device: ProtectiveDevice) => lazy(() => branchDevice(t, flc(), row(), device, smallest));
  const top = (device: ProtectiveDevice) => lazy(() => startingCeiling(t, flc(), device, { efficient: motor.efficient, tableDevice: by(device)().largest }));
  const own = by(named);
  const ntd = by('nontime-delay-fuse'); const td = by('time-delay-fuse'); const breaker = by('inverse-time-breaker'); const trip = by('instantaneous-trip-breaker');
  const need = lazy(() => groupAmpacity(t, [flc()], [], 'motor.conductor.percent'));
  const within = (amount: number, device: 'breaker' | 'setting'): boolean => atMost(amount, device === 'breaker' ? breaker().largest.value : trip().largest.value);
  for (const key of keys) {
    const [, kind, amount] = /^(breaker|setting)_(\d+)A_ok$/.exec(key) ?? [];
    if (amount !== undefined) answers[key] = () => within(Number(amount), kind as 'breaker' | 'setting');
  }
  return { ...answers,
    flc_A: () => A(flc()), min_ampacity_A: () => A(need()), conductor_AWG: () => sizeForAmpacity(t, need(), i.material, i.termination), calc_A: () => A(own().calculated), max_device_A: () => A(own().largest),
    round_down_A: () => A(roundDown(t, own().calculated, named)), absolute_max_calc_A: () => A(top(named)().calculated), absolute_max_device_A: () => A(top(named)().largest), max_setting_A: () => A(trip().largest),
    inverse_time_calc_A: () => A(breaker().calculated), inverse_time_max_A: () => A(breaker().largest), instantaneous_calc_A: () => A(trip().calculated), instantaneous_max_A: () => A(trip().largest),
    ntd_calc_A: () => A(ntd().calculated), ntd_max_A: () => A(ntd().largest), td_calc_A: () => A(td().calculated), td_max_A: () => A(td().largest), td_absolute_calc_A: () => A(top('time-delay-fuse')().calculated), td_absolute_A: () => A(top('time-delay-fuse')().largest),
    fuse_calc_A: () => A(td().calculated), fuse_max_A: () => A(td().largest),
  };
};

interface CoolingUnit { readonly current: Figure; readonly fan: Figure | null; readonly locked: number | null }

const hermetic: Topic = (t, i) => {
  const single = lazy((): Figure => (i.has('branch_circuit_selection_A') ? t.compute('Greater of rated-load and branch-circuit selection current', 'I_h = max(I_RLA, I_BCS)', [i.figure('compressor_rla_A', 'I_RLA'), i.figure('branch_circuit_selection_A', 'I_BCS')], 'A') : i.figure('compressor_rla_A', 'I_RLA')));
  const units = lazy((): CoolingUnit[] => {
    if (i.list('units').length > 0) return i.objects('units').map((u) => ({ current: u.figure(u.has('rla_A') ? 'rla_A' : 'compressor_A', 'I_RLA'), fan: u.has('fan_A') ? u.figure('fan_A', 'I_fan') : null, locked: u.has('lra_A') ? u.number('lra_A') : null }));
    if (i.list('compressors_A').length > 0) return i.numbers('compressors_A').map((c) => ({ current: given('I_RLA', c, 'A', 'typed'), fan: null, locked: null }));
    if (i.has('largest_load_A')) return [{ current: i.figure('largest_load_A', 'I_RLA'), fan: null, locked: null }];
    return i.has('compressor_rla_A') ? [{ current: single(), fan: null, locked: i.has('locked_rotor_A') ? i.number('locked_rotor_A') : null }] : [];
  });
  const others = lazy((): Figure[] => [...units().flatMap((u) => (u.fan ? [u.fan] : [])), ...(i.has('other_motor_fla_A') ? [i.figure('other_motor_fla_A', 'I_fan')] : []), ...(i.has('other_motors_A') ? [i.figure('other_motors_A', 'I_oth')] : []), ...i.numbers('motors_fla_A').map((m) => given('I_m', m, 'A', 'typed'))]);
  const all = lazy(() => [...units().map((u) => u.current), ...others()]);
  const running = lazy(() => (all().length === 1 && all()[0] ? all()[0] as Figure : sumOf(t, 'Sum of the currents', 'I_sum', all())));
  const largest = lazy(() => all().reduce((a, b) => (b.value > a.value ? b : a)));
  const rest = lazy(() => (all().length > 1 ? sumOf(t, 'Currents of the others', 'I_rest', all().filter((f) => f !== largest())) : null));
  const locked = lazy(() => sumOf(t, 'Sum of the locked-rotor currents', 'I_LR', units().map((u) => given('I_LRA', u.locked ?? 0, 'A', 'typed'))));
  const volts = (): number => (i.has('voltage_V') ? i.volts : 480);
  const byCurrent = lazy(() => horsepowerForCurrent(t, running(), volts(), i.phases));
  const byLocked = lazy(() => horsepowerForLockedRotor(t, locked(), volts(), i.phases));
  const disconnect = lazy(() => disconnectAmperes(t, running(), all().length > 1 ? 'hermetic.combination.disconnect.percent' : 'hermetic.disconnect.percent'));
  const down = /down/.test(i.textOr('rounding_rule', ''));
  const device = lazy(() => hermeticDevice(t, { ...largest(), name: 'I_max' }, rest(), { roundDown: down, device: 'time-delay-fuse' }));
  const ampacity = lazy(() => (i.has('mca_A') ? i.figure('mca_A', 'I_MCA') : groupAmpacity(t, all(), [], all().length > 1 ? 'hermetic.group.largest.percent' : 'hermetic.conductor.percent')));
  const size = lazy(() => sizeForAmpacity(t, ampacity(), i.material, i.termination));
  const mop = lazy((): Figure => { const first = device().ceiling; return first.value >= ampacity().value ? first : t.choose('Not below the circuit ampacity', 'I_mop', standardRatings('time-delay-fuse', t.basis.edition), 'up', ampacity()); });
  const group = lazy(() => groupDevice(t, i, units()));
  const marked = (): number => A(roundDown(t, i.figure('mocp_A', 'I_mark'), 'time-delay-fuse'));
  return {
    min_ampere_rating_A: () => A(disconnect()), switch_size_A: () => A(switchAmperes(t, disconnect())), combined_rla_A: () => A(running()), combined_lra_A: () => A(locked()), governing_current_A: () => A(largest()),
    hp_from_rla: () => hp(byCurrent()), hp_from_lra: () => hp(byLocked()), equivalent_hp: () => hp(equivalentHorsepower(t, byCurrent(), byLocked())),
    min_ampacity_A: () => A(ampacity()), mca_A: () => A(ampacity()), conductor_AWG: () => size(), conductor_ampacity_A: () => A(tableAmpacity(t, size(), i.material, i.termination)),
    ocpd_175pct_calc_A: () => A(device().calculated), first_try_calc_A: () => A(device().calculated), first_try_ocpd_A: () => A(device().firstTry), ocpd_225pct_calc_A: () => A(device().ceilingCalculated), max_calc_A: () => A(device().ceilingCalculated),
    ocpd_max_A: () => A(device().ceiling), max_ocpd_A: () => A(device().ceiling), mop_calc_A: () => A(device().ceilingCalculated), mop_before_check_A: () => A(device().ceiling), mop_A: () => A(mop()),
    max_fuse_calc_A: () => A(device().ceilingCalculated), fuse_A: () => A(device().ceiling), largest_branch_device_A: () => group().largest, calc_A: () => group().calculated,
    ocpd_A: () => (i.has('mocp_A') ? marked() : i.has('motor') || i.list('units').length > 1 ? group().device : A(device().firstTry)),
  };
};

/** Several cooling units and motors on one feeder: the largest branch device and all other currents. */
function groupDevice(t: Trace, i: Inputs, units: readonly CoolingUnit[]): { readonly largest: number; readonly calculated: number; readonly device: number } {
  const parts = units.map((u) => ({ running: [u.current, ...(u.fan ? [u.fan] : [])], branch: hermeticDevice(t, u.current, u.fan, { roundDown: true, device: 'time-delay-fuse' }).firstTry }));
  if (i.has('motor')) {
    const motor = motorFrom(i.object('motor'), { volts: i.volts, phases: i.phases });
    const current = fullLoadCurrent(t, motor);
    parts.push({ running: [current], branch: branchDevice(t, current, protectionRow(t, motor), readDevice(i.object('motor').textOr('device', 'inverse-time breaker')).device).largest });
  }
  const top = parts.reduce((a, b) => (b.branch.value > a.branch.value ? b : a));
  const made = feederDevice(t, top.branch, sumOf(t, 'Currents of the others', 'I_oth', parts.filter((p) => p !== top).flatMap((p) => p.running)), 'time-delay-fuse');
  return { largest: top.branch.value, calculated: made.calculated.value, device: made.largest.value };
}

export const motorTopics: Readonly<Record<string, Topic>> = {
  'motor-flc': motorFlc, 'locked-rotor': lockedRotor, 'motor-disconnect': motorDisconnect, 'motor-conductors': motorConductors, 'motor-feeders': motorFeeders, 'motor-overload': motorOverload, 'motor-short-circuit': shortCircuit, hermetic,
};
