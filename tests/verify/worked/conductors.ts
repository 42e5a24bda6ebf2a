import { given } from '../../../shared-core/code-data/index';
import type { Figure, Trace } from '../../../shared-core/code-data/index';
import { groupAmpacity } from '../../../shared-core/sizing/case';
import { SIZES, ambientFactorFahrenheit, ambientFactor, bundlingFactor, correctedAmpacity, pickConductor, readSize, sizeForAmpacity, sizeIndex, tableAmpacity, tableAmpacityNeeded } from '../../../shared-core/sizing/conductor';
import { counted, largestContinuous, loadAmperes, nextDevice } from '../../../shared-core/sizing/general-load';
import { capGround, setArea, tableGround, upsizedGround } from '../../../shared-core/sizing/grounding';
import { fullLoadCurrent, sumOf } from '../../../shared-core/sizing/motor';
import { branchDevice, protectionRow } from '../../../shared-core/sizing/protection';
import { switchAmperes } from '../../../shared-core/sizing/rating';
import { referenceFuse } from '../../../shared-core/sizing/selection';
import { areaForDrop, dropByConstant, dropByOhms, dropConstant, dropLimit, dropLineNeutral, dropPercent, effectiveImpedance, lineToLine, loadVoltage, sizeForDrop, tableImpedance } from '../../../shared-core/sizing/voltage-drop';
import type { RacewayKind, Run } from '../../../shared-core/sizing/voltage-drop';
import { lazy, motorFrom, readDevice, Inputs } from './inputs';
import type { Topic } from './inputs';

const A = (figure: Figure): number => figure.value;
const larger = (...sizes: string[]): string => sizes.reduce((a, b) => (sizeIndex(b) > sizeIndex(a) ? b : a));
const sizeOf = (text: string): string => { const size = readSize(text); if (size === null) throw new Error(`size '${text}' is not known`); return size; };

const ampacity: Topic = (t, i) => {
  const ambient = lazy(() => (i.has('ambient_F') ? ambientFactorFahrenheit(t, i.number('ambient_F'), i.insulation) : ambientFactor(t, i.numberOr('ambient_C', 30), i.insulation)));
  const bundling = lazy(() => bundlingFactor(t, i.numberOr('current_carrying_conductors', 3)));
  const base = lazy(() => tableAmpacity(t, sizeOf(i.text('size_AWG')), i.material, i.insulation));
  const corrected = lazy(() => correctedAmpacity(t, base(), ambient(), bundling()));
  const load = lazy(() => i.figure('load_A', 'I_load'));
  const terminals = lazy(() => counted(t, load(), i.textOr('load_type', 'non-continuous') === 'continuous' ? 'load.continuous.percent' : 'load.noncontinuous.percent'));
  const needed = lazy(() => tableAmpacityNeeded(t, load(), ambient(), bundling()));
  return {
    base_A: () => A(base()), adjust: () => A(bundling()), ambient_factor: () => A(ambient()),
    ampacity_A: () => (i.has('termination_C') ? Math.min(A(corrected()), A(tableAmpacity(t, sizeOf(i.text('size_AWG')), i.material, i.termination))) : A(corrected())),
    table_ampacity_needed_A: () => A(needed()), termination_check_A: () => A(terminals()), termination_AWG: () => sizeForAmpacity(t, terminals(), i.material, i.termination), correction_AWG: () => sizeForAmpacity(t, needed(), i.material, i.insulation),
    conductor_AWG: () => pickConductor(t, { material: i.material, insulation: i.insulation, termination: i.termination, atTerminals: terminals(), corrected: load(), ambient: ambient(), bundling: bundling() }).size,
  };
};

interface Set { readonly size: string; readonly count: number }
const readSet = (text: string): Set => { const [, count, size] = /^(?:(\d+) ?x ?)?(.+)$/.exec(text.trim()) ?? []; return { count: Number(count ?? 1), size: sizeOf(size ?? '') }; };
const setFrom = (i: Inputs, name: string): Set => (i.has(name) ? readSet(i.text(name)) : i.has(`${name}_kcmil`) ? { count: 1, size: sizeOf(i.text(`${name}_kcmil`)) } : { count: 1, size: sizeOf(i.text(`${name}_AWG`)) });

const egc: Topic = (t, i, keys) => {
  const isMotor = i.has('power_hp');
  const words = i.has('device') ? readDevice(i.text('device')) : null;
  const motor = lazy(() => motorFrom(i));
  const flc = lazy(() => fullLoadCurrent(t, motor()));
  const conductor = lazy(() => (i.has('conductor_AWG') ? sizeOf(i.text('conductor_AWG')) : sizeForAmpacity(t, groupAmpacity(t, [flc()], [], 'motor.conductor.percent'), i.material, i.termination)));
  const device = lazy((): Figure => {
    if (words?.amperes) return given('I_dev', words.amperes, 'A', 'typed');
    for (const name of ['device_A', 'ocpd_A', 'feeder_ocpd_A']) if (i.has(name)) return i.figure(name, 'I_dev');
    if (i.list('feeder_ocpds_A').length > 0) return given('I_dev', Math.max(...i.numbers('feeder_ocpds_A')), 'A', 'typed');
    if (isMotor) return words?.device === 'instantaneous-trip-breaker' ? referenceFuse(t, flc(), motor()) : branchDevice(t, flc(), protectionRow(t, motor()), words?.device ?? 'inverse-time-breaker').largest;
    throw new Error('no overcurrent device is given');
  });
  const material = i.has('installed') && /alum/.test(i.text('installed')) ? 'aluminum' as const : i.material;
  const base = lazy(() => tableGround(t, device(), material));
  const installed = lazy(() => setFrom(i, 'installed'));
  const from = (original: Set) => upsizedGround(t, base(), setArea(t, original.size, original.count, 'A_min'), setArea(t, installed().size, installed().count, 'A_inst'));
  const upsized = lazy(() => from(setFrom(i, 'original')));
  const grown = i.has('original_AWG') || i.has('original_kcmil');
  const answers: Record<string, () => unknown> = {
    base_egc_AWG: () => base(), table_egc_AWG: () => base(), ratio: () => A(upsized().ratio), egc_cmil: () => A(upsized().needed), conductor_AWG: () => conductor(), device_A: () => A(device()), reference_fuse_A: () => A(device()),
    egc_AWG: () => (grown ? capGround(t, upsized().size, installed().size) : isMotor || i.has('conductor_AWG') ? capGround(t, base(), conductor()) : base()),
  };
  for (const alternative of i.texts('alternatives')) {
    const set = readSet(alternative);
    answers[`from_${set.count > 1 ? `${set.count}x` : ''}${set.size.replace('/', '_')}_AWG`] = () => from(set).size;
  }
  for (const key of keys) {
    const [, count, size] = /^from_(?:(\d+)x)?(.+)_AWG$/.exec(key) ?? [];
    if (size !== undefined && !answers[key]) answers[key] = () => from({ count: Number(count ?? 1), size: sizeOf(size.replace('_', '/')) }).size;
  }
  return answers;
};

const KIND: Readonly<Record<string, RacewayKind>> = { aluminum: 'aluminum', steel: 'steel', PVC: 'nonmetallic' };

const voltageDrop: Topic = (t, i, keys) => {
  const source = lazy(() => given('U', i.has('source_V') ? i.number('source_V') : i.has('system_voltage_V') ? i.number('system_voltage_V') : i.number('voltage_V'), 'V', 'typed'));
  const motor = lazy(() => motorFrom(i));
  const current = lazy((): Figure => {
    if (i.has('current_A')) return i.figure('current_A', 'I');
    if (i.has('load_kVA')) return loadAmperes(t, i.figure('load_kVA', 'S', 'kVA'), source(), i.phases);
    return fullLoadCurrent(t, motor(), 'I');
  });
  const run = lazy((): Run => ({ current: current(), length: i.figure('length_ft', 'L', 'ft'), phases: i.phases }));
  const constant = lazy(() => (i.has('K') ? i.figure('K', 'K', 'ohm cmil/ft') : dropConstant(t, i.material)));
  const size = lazy(() => sizeOf(i.has('size_AWG') ? i.text('size_AWG') : i.text('size_kcmil')));
  const raceway = (): RacewayKind => KIND[i.textOr('raceway', 'steel')] ?? 'steel';
  const pf = (): Figure => given('pf', i.numberOr('power_factor', 0.85), '', 'typed');
  const impedance = lazy((): Figure => {
    if (i.has('Z_eff_ohm_per_kft')) return i.figure('Z_eff_ohm_per_kft', 'Z', 'ohm/kft');
    if (i.has('R_ohm_per_kft') && i.has('XL_ohm_per_kft')) return effectiveImpedance(t, i.figure('R_ohm_per_kft', 'R', 'ohm/kft'), i.figure('XL_ohm_per_kft', 'X_L', 'ohm/kft'), pf());
    const table = tableImpedance(t, size(), i.material, raceway());
    return effectiveImpedance(t, table.resistance, table.reactance, pf());
  });
  const hasImpedance = i.has('Z_eff_ohm_per_kft') || i.has('XL_ohm_per_kft') || i.has('power_factor') || (i.has('raceway') && !i.has('K') && !i.has('R_ohm_per_kft'));
  const drop = lazy((): Figure => {
    if (hasImpedance) return dropByOhms(t, run(), impedance());
    if (i.has('R_ohm_per_kft')) return dropByOhms(t, run(), i.figure('R_ohm_per_kft', 'R', 'ohm/kft'));
    return dropByConstant(t, run(), constant(), size());
  });
  const limit = lazy(() => dropLimit(t, i.has('limit_pct') ? i.figure('limit_pct', 'd_max', '%') : t.rule('voltage-drop.limit', 'd_max'), source()));
  const byDrop = lazy(() => sizeForDrop(t, run(), constant(), limit()));
  const byAmpacity = lazy(() => (i.has('power_hp') ? sizeForAmpacity(t, groupAmpacity(t, [current()], [], 'motor.conductor.percent'), i.material, i.termination) : i.has('ocpd_A') ? sizeForAmpacity(t, i.figure('ocpd_A', 'I_dev'), i.material, i.termination) : i.has('size_AWG') || i.has('size_kcmil') ? size() : SIZES[0] ?? ''));
  const chosen = lazy(() => larger(byDrop().size, byAmpacity()));
  const device = lazy(() => (i.has('ocpd_A') ? i.figure('ocpd_A', 'I_dev') : branchDevice(t, current(), protectionRow(t, motor()), readDevice(i.textOr('device', 'inverse-time breaker')).device).largest));
  const ground = lazy(() => {
    const base = capGround(t, tableGround(t, device(), i.material), byAmpacity());
    return sizeIndex(chosen()) > sizeIndex(byAmpacity()) ? capGround(t, upsizedGround(t, base, setArea(t, byAmpacity(), 1, 'A_min'), setArea(t, chosen(), 1, 'A_inst')).size, chosen()) : base;
  });
  const answers: Record<string, () => unknown> = {
    current_A: () => A(current()), vd_V: () => A(drop()), vd_pct: () => A(dropPercent(t, drop(), source())), limit_V: () => A(limit()), needed_cmil: () => A(areaForDrop(t, run(), constant(), limit())), conductor_AWG: () => chosen(), ampacity_AWG: () => byAmpacity(),
    vd_line_neutral_V: () => A(dropLineNeutral(t, run(), impedance())), vd_line_line_V: () => A(lineToLine(t, dropLineNeutral(t, run(), impedance()))), load_voltage_V: () => A(loadVoltage(t, source(), drop())), min_load_V: () => A(loadVoltage(t, source(), limit())),
    Z_ohm_per_kft: () => A(impedance()), device_A: () => A(device()), egc_AWG: () => ground(),
  };
  for (const key of keys) {
    const [, sizeKey, unit] = /^vd_([\d_]+)_(V|pct)$/.exec(key) ?? [];
    if (sizeKey !== undefined) answers[key] = () => { const u = dropByConstant(t, run(), constant(), sizeOf(sizeKey.replace('_', '/'))); return unit === 'V' ? A(u) : A(dropPercent(t, u, source())); };
    const z = /^Z_([\d_]+)_ohm_per_kft$/.exec(key)?.[1];
    if (z !== undefined) answers[key] = () => {
      const c = i.objects('conductors').find((o) => sizeOf(o.text('size')) === z.replace('_', '/'));
      if (!c) throw new Error(`no conductor ${z}`);
      return A(effectiveImpedance(t, c.figure('R_ohm_per_kft', 'R', 'ohm/kft'), c.figure('XL_ohm_per_kft', 'X_L', 'ohm/kft'), pf()));
    };
  }
  return answers;
};

/** Several equal loads count as often as they are there. */
const loadSum = (t: Trace, i: Inputs, name: string, symbol: string): Figure | null => (i.has(name) ? i.figure(name, symbol, name.endsWith('VA') ? 'VA' : 'A') : null);

const serviceFeeder: Topic = (t, i, keys) => {
  const volts = (): Figure => i.figure('voltage_V', 'U', 'V');
  const count125 = (f: Figure | null): Figure | null => (f ? counted(t, f, 'load.continuous.percent') : null);
  const total = lazy(() => {
    const parts = [loadSum(t, i, 'noncontinuous_VA', 'S_n'), count125(loadSum(t, i, 'continuous_VA', 'S_c')), i.has('motor_VA') ? counted(t, i.figure('motor_VA', 'S_m', 'VA'), 'motor.group.largest.percent') : null].filter((f) => f !== null);
    return { ...sumOf(t, 'Load to count', 'S_sum', parts), unit: 'VA' };
  });
  const each = lazy(() => (i.has('each_A') ? given('I_all', i.number('each_A') * i.numberOr('count', 1), 'A', 'typed') : null));
  const design = lazy(() => { const load = rawLoad(); return t.compute('Load over the allowed loading', 'I_des = I_load / (p / 100)', [{ ...load, name: 'I_load' }, i.figure('loading_limit_pct', 'p', '%')], 'A'); });
  const rawLoad = lazy((): Figure => {
    if (i.has('load_kW')) return loadAmperes(t, i.figure('load_kW', 'P', 'kW'), volts(), i.phases);
    if (i.has('noncontinuous_VA') || i.has('continuous_VA') || i.has('motor_VA')) return loadAmperes(t, total(), volts(), i.phases);
    const one = each();
    if (one) return one;
    const parts = [loadSum(t, i, 'continuous_A', 'I_c'), loadSum(t, i, 'noncontinuous_A', 'I_n')].filter((f) => f !== null);
    return sumOf(t, 'Load current', 'I_load', parts);
  });
  const need = lazy((): Figure => {
    if (i.has('loading_limit_pct')) return design();
    if (i.has('noncontinuous_VA') || i.has('continuous_VA') || i.has('motor_VA')) return rawLoad();
    const one = each();
    const continuous = one && i.textOr('load_type', 'continuous') === 'continuous' ? count125(one) : one;
    const parts = [continuous, count125(loadSum(t, i, 'continuous_A', 'I_c')), loadSum(t, i, 'noncontinuous_A', 'I_n')].filter((f) => f !== null);
    if (i.list('motors_hp').length > 0) {
      const motors = i.texts('motors_hp').map((power) => fullLoadCurrent(t, motorFrom(new Inputs({ power_hp: power, voltage_V: i.number('voltage_V'), phases: i.phases }))));
      return groupAmpacity(t, motors, parts, 'motor.group.largest.percent');
    }
    return i.has('load_kW') && parts.length === 0 ? (i.textOr('load_type', '') === 'continuous' ? counted(t, rawLoad(), 'load.continuous.percent') : rawLoad()) : sumOf(t, 'Smallest ampacity', 'I_z', parts);
  });
  const size = lazy(() => (i.has('unbalanced_load_A') ? larger(loadSize(), minimum()) : sizeForAmpacity(t, need(), i.material, i.termination)));
  const loadSize = lazy(() => sizeForAmpacity(t, i.figure('unbalanced_load_A', 'I_un'), i.material, i.termination));
  const minimum = lazy(() => tableGround(t, i.figure('ocpd_A', 'I_dev'), i.material));
  const device = (): number => A(nextDevice(t, need()));
  const answers: Record<string, () => unknown> = {
    total_VA: () => A(total()), load_A: () => A(rawLoad()), ocpd_A: device, device_A: device, conductor_AWG: () => size(), conductor_kcmil: () => size(), min_ampacity_A: () => A(need()), min_device_calc_A: () => A(need()), design_A: () => A(design()),
    ampacity_A: () => A(tableAmpacity(t, size(), i.material, i.termination)), load_AWG: () => loadSize(), minimum_AWG: () => minimum(), disconnect_A: () => A(switchAmperes(t, need())),
  };
  for (const key of keys) {
    const breaker = /^load_(\d+)_A$/.exec(key)?.[1];
    if (breaker !== undefined) answers[key] = () => A(largestContinuous(t, given('I_cb', Number(breaker), 'A', 'typed')));
  }
  return answers;
};

export const conductorTopics: Readonly<Record<string, Topic>> = { ampacity, egc, 'voltage-drop': voltageDrop, 'service-feeder': serviceFeeder };
