import { given } from '../code-data/index';
import type { Figure, Trace } from '../code-data/index';
import { area, sizeForArea, sizeIndex, sizeName } from './conductor';
import type { Material } from './conductor';

/** Equipment grounding conductor by the overcurrent device (Table 250.122). */
export function tableGround(t: Trace, device: Figure, material: Material): string {
  return t.word('Equipment grounding conductor by the device', 'equipment-ground', { amperes: device.value }, material);
}

/** Total area of a set of conductors. */
export function setArea(t: Trace, size: string, sets: number, symbol: string): Figure {
  return t.compute(`Area of ${sets > 1 ? `${sets} x ` : ''}${sizeName(size)}`, `${symbol} = n x A`, [given('n', sets, '', 'computed'), area(t, size)], 'cmil');
}

export interface UpsizedGround { readonly size: string; readonly ratio: Figure; readonly needed: Figure }

/** Grounding conductor enlarged in the ratio by which the phase conductors were (250.122(B)). */
export function upsizedGround(t: Trace, base: string, original: Figure, installed: Figure): UpsizedGround {
  const ratio = t.compute('Enlargement of the phase conductors', `k_up = ${installed.name} / ${original.name}`, [installed, original], '');
  const needed = t.compute('Area of the grounding conductor', 'A_g = k_up x A_base', [ratio, area(t, base, 'A_base')], 'cmil');
  return { size: sizeForArea(t, needed, 'Grounding conductor'), ratio, needed };
}

/** Never larger than the circuit conductors (250.122(A)); those of a set in parallel count together, so that one of them caps nothing (250.122(F), own reading). */
export function capGround(t: Trace, ground: string, phase: string, perPhase = 1): string {
  if (perPhase > 1 || sizeIndex(ground) <= sizeIndex(phase)) return ground;
  t.state('Grounding conductor, not larger than the circuit conductors', sizeName(phase), '', `the phase conductors are ${sizeName(phase)}`);
  return phase;
}
