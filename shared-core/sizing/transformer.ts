import type { Figure, RuleKey, Trace } from '../code-data/index';
import { standardRatings } from './protection';
import type { ProtectiveDevice } from './protection';

export type Scheme = 'primary-only' | 'primary-with-secondary' | 'secondary';

/** Percentage of Table 450.3(B) (1000 V and less) for a winding current and scheme. */
export function transformerPercent(t: Trace, current: Figure, scheme: Scheme): { readonly percent: Figure; readonly nextSizeUp: boolean } {
  if (scheme === 'primary-with-secondary') return { percent: t.rule('transformer.primary-with-secondary.percent', 'p'), nextSizeUp: false };
  const small = current.value < t.rule('transformer.split', 'I_9').value;
  if (scheme === 'secondary') return { percent: t.rule(small ? 'transformer.secondary-small.percent' : 'transformer.secondary.percent', 'p'), nextSizeUp: !small };
  const tiny = current.value < t.rule('transformer.tiny-split', 'I_2').value;
  const key: RuleKey = tiny ? 'transformer.primary-only-tiny.percent' : small ? 'transformer.primary-only-small.percent' : 'transformer.primary-only.percent';
  return { percent: t.rule(key, 'p'), nextSizeUp: !small };
}

/** Largest overcurrent device of a transformer winding: 125 percent may go one standard size up (note 1), the others may not. */
export function transformerDevice(t: Trace, current: Figure, scheme: Scheme, rounding: 'as the rule says' | 'down' = 'as the rule says', kind: ProtectiveDevice = 'inverse-time-breaker'): { readonly percent: Figure; readonly calculated: Figure; readonly device: Figure } {
  const { percent, nextSizeUp } = transformerPercent(t, current, scheme);
  const calculated = t.compute('Largest device before rounding', `I_calc = p / 100 x ${current.name}`, [percent, current], 'A');
  const list = standardRatings(kind, t.basis.edition);
  const up = nextSizeUp && rounding !== 'down';
  return { percent, calculated, device: t.choose(up ? 'Next standard size up' : 'Largest standard size not above', 'I_dev', list, up ? 'up' : 'down', calculated) };
}
