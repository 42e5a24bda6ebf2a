import { given } from '../code-data/index';
import type { Figure, Trace } from '../code-data/index';
import type { Material } from './conductor';
import { tableImpedance } from './voltage-drop';
import type { RacewayKind } from './voltage-drop';

/** Rated current of a transformer winding. */
export function transformerAmperes(t: Trace, kva: Figure, volts: Figure, phases: 1 | 3, symbol = 'I_FL'): Figure {
  const formula = phases === 3 ? `${symbol} = S x 1000 / (sqrt(3) x U)` : `${symbol} = S x 1000 / U`;
  return t.compute('Full-load current of the transformer', formula, [{ ...kva, name: 'S' }, { ...volts, name: 'U' }], 'A');
}

/** Impedance to count with: the nameplate may read high by the tolerance. */
export function effectiveImpedancePercent(t: Trace, nameplate: Figure, worstCase: boolean): Figure {
  if (!worstCase) return { ...nameplate, name: 'Z' };
  return t.compute('Lowest impedance the nameplate allows', 'Z = Z_np x (1 - p / 100)', [{ ...nameplate, name: 'Z_np' }, t.rule('fault.impedance-tolerance.percent', 'p')], '%');
}

/** Short-circuit multiplier of a transformer. */
export const faultMultiplier = (t: Trace, impedance: Figure): Figure => t.compute('Multiplier', 'k_sc = 100 / Z', [{ ...impedance, name: 'Z' }], '');

/** Fault current at the transformer terminals, infinite source. */
export const terminalFault = (t: Trace, fullLoad: Figure, multiplier: Figure): Figure =>
  t.compute('Fault current at the transformer terminals', `I_sc = ${fullLoad.name} x k_sc`, [fullLoad, { ...multiplier, name: 'k_sc' }], 'A');

/** Reflected to the primary by the turns ratio. */
export const primaryFault = (t: Trace, secondary: Figure, secondaryVolts: Figure, primaryVolts: Figure): Figure =>
  t.compute('Secondary fault seen on the primary', 'I_p = I_s x U_s / U_p', [{ ...secondary, name: 'I_s' }, { ...secondaryVolts, name: 'U_s' }, { ...primaryVolts, name: 'U_p' }], 'A');

/** Through a second transformer with a finite primary fault current. */
export function secondTransformer(t: Trace, primary: Figure, kva: Figure, impedance: Figure, primaryVolts: Figure, secondaryVolts: Figure, phases: 1 | 3): { readonly f: Figure; readonly multiplier: Figure; readonly secondary: Figure } {
  const formula = phases === 3 ? 'f = I_p x U_p x sqrt(3) x Z / (100000 x S)' : 'f = I_p x U_p x Z / (100000 x S)';
  const f = t.compute('Factor of the transformer', formula, [{ ...primary, name: 'I_p' }, { ...primaryVolts, name: 'U_p' }, { ...impedance, name: 'Z' }, { ...kva, name: 'S' }], '');
  const multiplier = t.compute('Multiplier', 'M = 1 / (1 + f)', [f], '');
  return { f, multiplier, secondary: t.compute('Fault current on the secondary', 'I_sc = I_p x M x U_p / U_s', [{ ...primary, name: 'I_p' }, multiplier, { ...primaryVolts, name: 'U_p' }, { ...secondaryVolts, name: 'U_s' }], 'A') };
}

/** Conductor constant of the point-to-point method. */
export const conductorConstant = (t: Trace, size: string, material: Material, raceway: RacewayKind): Figure =>
  t.lookUp(`Conductor constant of ${size}`, 'C', 'conductor-constant', { size }, `${material}-${raceway === 'steel' ? 'steel' : 'nonmetallic'}`);

export interface PointToPoint { readonly f: Figure; readonly multiplier: Figure; readonly end: Figure }

/** Fault current at the end of a run (point-to-point); line to line for three and single phase, or line to neutral with its own volts. */
export function pointToPoint(t: Trace, start: Figure, run: { readonly length: Figure; readonly perPhase: number; readonly volts: Figure; readonly phases: 1 | 3 }, constant: Figure): PointToPoint {
  const path = run.phases === 3 ? 'sqrt(3)' : '2';
  const f = t.compute('Factor of the run', `f = ${path} x L x I_0 / (C x n x U)`,
    [{ ...run.length, name: 'L' }, { ...start, name: 'I_0' }, { ...constant, name: 'C' }, given('n', run.perPhase, '', 'computed'), { ...run.volts, name: 'U' }], '');
  const multiplier = t.compute('Multiplier', 'M = 1 / (1 + f)', [f], '');
  return { f, multiplier, end: t.compute('Fault current at the end of the run, point to point', 'I_pp = M x I_0', [multiplier, { ...start, name: 'I_0' }], 'A') };
}

/** Line-to-neutral current at the terminals of a centre-tapped transformer. */
export const lineNeutralFault = (t: Trace, lineLine: Figure, factor: Figure): Figure =>
  t.compute('Line-to-neutral fault current at the terminals', 'I_LN = k_LN x I_LL', [{ ...factor, name: 'k_LN' }, { ...lineLine, name: 'I_LL' }], 'A');

/** What running motors add. */
export const motorContribution = (t: Trace, running: Figure, multiple: Figure): Figure =>
  t.compute('Contribution of running motors', 'I_m = k_m x I_run', [{ ...multiple, name: 'k_m' }, { ...running, name: 'I_run' }], 'A');

/** Resistance and reactance of a source that gives a fault current, split by its X/R. */
export function sourceImpedance(t: Trace, start: Figure, volts: Figure, xOverR: Figure, phases: 1 | 3): { readonly r: Figure; readonly x: Figure } {
  const root = phases === 3 ? 'sqrt(3) x ' : '';
  const z = t.compute('Impedance of the source', `Z_s = U / (${root}I_0)`, [{ ...volts, name: 'U' }, { ...start, name: 'I_0' }], 'ohm');
  const ratio = { ...xOverR, name: 'k_XR' };
  const r = t.compute('Resistance of the source', 'R_s = Z_s / sqrt(1 + k_XR ^ 2)', [z, ratio], 'ohm');
  return { r, x: t.compute('Reactance of the source', 'X_s = R_s x k_XR', [r, ratio], 'ohm') };
}

interface Ohms { readonly r: Figure; readonly x: Figure }
interface Stretch { readonly length: Figure; readonly perPhase: number; readonly phases: 1 | 3 }

/** Resistance and reactance of a source and a run after it, there and back on a single-phase circuit (Table 9, 75 C). */
export function impedanceToEnd(t: Trace, source: Ohms, run: Stretch, size: string, material: Material, raceway: RacewayKind): Ohms {
  const { resistance, reactance } = tableImpedance(t, size, material, raceway);
  const n = given('n', run.perPhase, '', 'computed');
  const path = run.phases === 3 ? '' : '2 x ';
  const L = { ...run.length, name: 'L' };
  const r = t.compute('Resistance to the end of the run', `R_e = R_0 + ${path}R x L / (1000 x n)`, [{ ...source.r, name: 'R_0' }, resistance, L, n], 'ohm');
  return { r, x: t.compute('Reactance to the end of the run', `X_e = X_0 + ${path}X_L x L / (1000 x n)`, [{ ...source.x, name: 'X_0' }, reactance, L, n], 'ohm') };
}

/** Independent check: resistances and reactances of source and run added as vectors. */
export function faultByImpedance(t: Trace, source: Ohms, run: Stretch & { readonly volts: Figure }, size: string, material: Material, raceway: RacewayKind): Ohms & { readonly end: Figure } {
  const { r, x } = impedanceToEnd(t, source, run, size, material, raceway);
  const root = run.phases === 3 ? 'sqrt(3) x ' : '';
  return { end: t.compute('Fault current at the end of the run, by impedance', `I_imp = U / (${root}sqrt(R_e ^ 2 + X_e ^ 2))`, [{ ...run.volts, name: 'U' }, r, x], 'A'), r, x };
}
