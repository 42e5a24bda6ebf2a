import type { Figure } from '../../../shared-core/code-data/index';
import { readSize, sizeForAmpacity } from '../../../shared-core/sizing/conductor';
import { conductorConstant, effectiveImpedancePercent, faultMultiplier, lineNeutralFault, motorContribution, pointToPoint, primaryFault, secondTransformer, terminalFault, transformerAmperes } from '../../../shared-core/sizing/fault-current';
import { transformerDevice, transformerPercent } from '../../../shared-core/sizing/transformer';
import type { Scheme } from '../../../shared-core/sizing/transformer';
import { counted } from '../../../shared-core/sizing/general-load';
import { nextDevice } from '../../../shared-core/sizing/general-load';
import { lazy } from './inputs';
import type { Topic } from './inputs';

const A = (figure: Figure): number => figure.value;

const faultCurrent: Topic = (t, i) => {
  const kva = (): Figure => i.figure('transformer_kVA', 'S', 'kVA');
  const secondary = lazy(() => { for (const name of ['secondary_V', 'secondary_V_LL', 'voltage_V']) if (i.has(name)) return i.figure(name, 'U', 'V'); throw new Error('no secondary voltage is given'); });
  const phases = i.has('secondary_V_LN') && !i.has('phases') ? 1 : i.phases;
  const full = lazy(() => transformerAmperes(t, kva(), secondary(), phases));
  const z = lazy(() => effectiveImpedancePercent(t, i.figure('impedance_pct', 'Z_np', '%'), /10/.test(i.textOr('impedance_tolerance', ''))));
  const multiplier = lazy(() => faultMultiplier(t, z()));
  const finite = i.has('isc_start_A') && i.has('transformer_kVA') && i.has('primary_V');
  const second = lazy(() => secondTransformer(t, i.figure('isc_start_A', 'I_p'), kva(), z(), i.figure('primary_V', 'U_p', 'V'), secondary(), phases));
  const terminals = lazy(() => (finite ? second().secondary : i.has('transformer_kVA') ? terminalFault(t, full(), multiplier()) : i.figure('isc_start_A', 'I_0')));
  const neutral = lazy(() => lineNeutralFault(t, terminals(), i.has('line_neutral_factor') ? i.figure('line_neutral_factor', 'k_LN', '') : t.rule('fault.line-neutral-factor', 'k_LN')));
  const constant = lazy(() => {
    if (i.has('C')) return i.figure('C', 'C', '');
    const words = i.text('conductor');
    const size = readSize(words.split(',')[0]?.replace(/ (copper|alumin\w+)/, '') ?? '');
    if (size === null) throw new Error(`conductor '${words}' is not known`);
    return conductorConstant(t, size, i.material, /steel/.test(words) ? 'steel' : 'nonmetallic');
  });
  const toNeutral = i.has('secondary_V_LN');
  const run = lazy(() => pointToPoint(t, toNeutral ? neutral() : terminals(), { length: i.figure('length_ft', 'L', 'ft'), perPhase: i.numberOr('conductors_per_phase', 1), volts: toNeutral ? i.figure('secondary_V_LN', 'U', 'V') : secondary(), phases }, constant()));
  const withRun = i.has('length_ft');
  return {
    fla_A: () => A(full()), multiplier: () => A(multiplier()), isc_secondary_A: () => A(terminals()), f: () => A(withRun ? run().f : second().f), M: () => A(withRun ? run().multiplier : second().multiplier), isc_panel_A: () => A(run().end), isc_A: () => A(withRun ? run().end : terminals()),
    contribution_A: () => A(motorContribution(t, i.figure('running_motor_fla_A', 'I_run'), i.has('multiplier') ? i.figure('multiplier', 'k_m', '') : t.rule('fault.motor-multiple', 'k_m'))),
    primary_A: () => A(transformerAmperes(t, kva(), i.figure('primary_V', 'U', 'V'), phases)), secondary_A: () => A(full()), isc_secondary_kA: () => A(terminals()) / 1000,
    isc_primary_kA: () => A(primaryFault(t, terminals(), secondary(), i.figure('primary_V', 'U_p', 'V'))) / 1000, isc_LL_A: () => A(terminals()), isc_LN_terminal_A: () => A(neutral()), isc_LN_A: () => A(withRun ? run().end : neutral()),
  };
};

const transformer: Topic = (t, i) => {
  const side = (name: 'primary_V' | 'secondary_V') => lazy(() => transformerAmperes(t, i.figure('rating_kVA', 'S', 'kVA'), i.figure(name, 'U', 'V'), i.phases, 'I_w'));
  const primary = side('primary_V');
  const secondary = side('secondary_V');
  const device = (current: () => Figure, scheme: Scheme, rounding?: 'down') => lazy(() => transformerDevice(t, current(), scheme, rounding));
  const own = lazy(() => (i.has('primary_V') ? { current: primary(), scheme: 'primary-only' as const } : { current: secondary(), scheme: 'secondary' as const }));
  const deviceOf125 = (current: () => Figure): Figure => nextDevice(t, counted(t, current(), 'load.continuous.percent'));
  return {
    primary_A: () => A(primary()), primary_125_calc_A: () => A(device(primary, 'primary-only')().calculated), primary_device_A: () => A(device(primary, 'primary-only')().device), secondary_A: () => A(secondary()),
    secondary_125_calc_A: () => A(device(secondary, 'secondary')().calculated), secondary_device_A: () => A(device(secondary, 'secondary')().device), primary_only_round_down_A: () => A(device(primary, 'primary-only', 'down')().device),
    primary_with_secondary_round_down_A: () => A(device(primary, 'primary-with-secondary', 'down')().device), secondary_round_up_A: () => A(device(secondary, 'secondary')().device),
    conductor_for_device: () => sizeForAmpacity(t, deviceOf125(secondary), 'copper', i.termination),
    limit_A: () => A(t.compute('Limit', 'I_lim = p / 100 x I_w', [transformerPercent(t, own().current, own().scheme).percent, own().current], 'A')), limit_pct: () => A(transformerPercent(t, own().current, own().scheme).percent),
  };
};

export const faultTopics: Readonly<Record<string, Topic>> = { 'fault-current': faultCurrent, transformer };
