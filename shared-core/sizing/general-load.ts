import { given } from '../code-data/index';
import type { Figure, RuleKey, Trace } from '../code-data/index';
import { standardRatings } from './protection';

/** Line current of a power in kW (with its power factor) or kVA. */
export function loadAmperes(t: Trace, power: Figure, volts: Figure, phases: 1 | 3 | 'dc', powerFactor: Figure = given('pf', 1, '', 'default')): Figure {
  const root = phases === 3 ? 'sqrt(3) x ' : '';
  const U = { ...volts, name: 'U' };
  if (power.unit === 'kVA') return t.compute('Load current', `I_load = S x 1000 / (${root}U)`, [{ ...power, name: 'S' }, U], 'A');
  if (power.unit === 'VA') return t.compute('Load current', `I_load = S / (${root}U)`, [{ ...power, name: 'S' }, U], 'A');
  return t.compute('Load current', `I_load = P x 1000 / (${root}U x pf)`, [{ ...power, name: 'P' }, U, { ...powerFactor, name: 'pf' }], 'A');
}

/** A load as conductors and devices count it: continuous at 125 percent. */
export const counted = (t: Trace, load: Figure, rule: RuleKey, what = 'Load to count'): Figure =>
  t.compute(what, 'I_c = p / 100 x I_part', [t.rule(rule, 'p'), { ...load, name: 'I_part' }], load.unit);

/** Largest continuous load on a breaker. */
export const largestContinuous = (t: Trace, breaker: Figure): Figure => t.compute('Largest continuous load', `I_cont = p / 100 x ${breaker.name}`, [t.rule('load.breaker.continuous-percent', 'p'), breaker], 'A');

/** Next standard device for a need. */
export const nextDevice = (t: Trace, need: Figure, device: 'time-delay-fuse' | 'inverse-time-breaker' = 'time-delay-fuse'): Figure =>
  t.choose('Next standard size', 'I_dev', standardRatings(device, t.basis.edition), 'up', need);
