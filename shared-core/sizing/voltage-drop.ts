import { given } from '../code-data/index';
import type { Figure, Trace } from '../code-data/index';
import { area, sizeForArea, sizeName } from './conductor';
import type { Material } from './conductor';

/** Raceway as the impedance table knows it. */
export type RacewayKind = 'steel' | 'aluminum' | 'nonmetallic';
export type DropPhases = 1 | 3 | 'dc';

/** Two-wire circuits go out and back; three-phase drops are line to line. */
const pathFactor = (phases: DropPhases): string => (phases === 3 ? 'sqrt(3)' : '2');

export interface Run { readonly current: Figure; readonly length: Figure; readonly phases: DropPhases; readonly perPhase?: number }

const sets = (run: Run): Figure => given('n', run.perPhase ?? 1, '', 'computed');

/** Resistivity constant of the K method. */
export const dropConstant = (t: Trace, material: Material): Figure => t.rule(material === 'copper' ? 'voltage-drop.k-copper' : 'voltage-drop.k-aluminum', 'K');

/** Voltage drop by the K method. */
export function dropByConstant(t: Trace, run: Run, constant: Figure, size: string): Figure {
  return t.compute(`Voltage drop on ${sizeName(size)}, K method`, `U_d = ${pathFactor(run.phases)} x K x I x L / (n x A)`,
    [{ ...constant, name: 'K' }, { ...run.current, name: 'I' }, { ...run.length, name: 'L' }, sets(run), area(t, size)], 'V');
}

/** Circular mils that keep a drop, by the K method. */
export function areaForDrop(t: Trace, run: Run, constant: Figure, limit: Figure): Figure {
  return t.compute('Area that keeps the drop', `A_need = ${pathFactor(run.phases)} x K x I x L / (n x U_lim)`,
    [{ ...constant, name: 'K' }, { ...run.current, name: 'I' }, { ...run.length, name: 'L' }, sets(run), { ...limit, name: 'U_lim' }], 'cmil');
}

/** Size for a drop limit by the K method. */
export const sizeForDrop = (t: Trace, run: Run, constant: Figure, limit: Figure): { readonly needed: Figure; readonly size: string } => {
  const needed = areaForDrop(t, run, constant, limit);
  return { needed, size: sizeForArea(t, needed, 'Size by voltage drop') };
};

/** Voltage drop from ohms per 1000 ft (resistance or effective impedance). */
export function dropByOhms(t: Trace, run: Run, ohms: Figure, symbol = 'U_d'): Figure {
  return t.compute('Voltage drop', `${symbol} = ${pathFactor(run.phases)} x I x ${ohms.name} x L / (1000 x n)`, [{ ...run.current, name: 'I' }, ohms, { ...run.length, name: 'L' }, sets(run)], 'V');
}

/** Drop of one conductor to neutral. */
export function dropLineNeutral(t: Trace, run: Run, ohms: Figure): Figure {
  return t.compute('Voltage drop, line to neutral', `U_n = I x ${ohms.name} x L / (1000 x n)`, [{ ...run.current, name: 'I' }, ohms, { ...run.length, name: 'L' }, sets(run)], 'V');
}

/** Line to line from line to neutral. */
export const lineToLine = (t: Trace, neutral: Figure): Figure => t.compute('Voltage drop, line to line', `U_d = sqrt(3) x ${neutral.name}`, [neutral], 'V');

/** Effective impedance at a lagging power factor: Z = R pf + X sin(arccos pf). */
export function effectiveImpedance(t: Trace, resistance: Figure, reactance: Figure, powerFactor: Figure): Figure {
  return t.compute('Effective impedance', 'Z = R x pf + X_L x sqrt(1 - pf ^ 2)', [{ ...resistance, name: 'R' }, { ...reactance, name: 'X_L' }, { ...powerFactor, name: 'pf' }], 'ohm/kft');
}

/** Table 9 resistance and reactance of a size in a raceway. */
export function tableImpedance(t: Trace, size: string, material: Material, raceway: RacewayKind): { readonly resistance: Figure; readonly reactance: Figure } {
  return {
    resistance: t.lookUp(`Resistance of ${sizeName(size)} ${material}`, 'R', 'impedance', { size, raceway }, material),
    reactance: t.lookUp(`Reactance of ${sizeName(size)} in ${raceway} raceway`, 'X_L', 'impedance', { size, raceway }, 'reactance'),
  };
}

/** Table 8 direct-current resistance at 75 C. */
export const tableResistance = (t: Trace, size: string, material: Material): Figure => t.lookUp(`Resistance of ${sizeName(size)} ${material}`, 'R', 'conductor', { size }, material, 'ohm/kft');

/** Drop in percent of the source voltage. */
export const dropPercent = (t: Trace, drop: Figure, source: Figure): Figure => t.compute('Voltage drop in percent', `d = 100 x ${drop.name} / U`, [drop, { ...source, name: 'U' }], '%');

/** Volts that a percent limit allows. */
export const dropLimit = (t: Trace, percent: Figure, source: Figure): Figure => t.compute('Allowed drop', `U_lim = ${percent.name} / 100 x U`, [percent, { ...source, name: 'U' }], 'V');

/** Voltage left at the load. */
export const loadVoltage = (t: Trace, source: Figure, drop: Figure): Figure => t.compute('Voltage at the load', `U_load = U - ${drop.name}`, [{ ...source, name: 'U' }, drop], 'V');
