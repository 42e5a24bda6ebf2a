import type { PlanRef } from './types';

/** One even fill over the whole plan; grey from 0 (black) to 1 (white). Blend modes as ISO 32000-1, 11.3.5 and CSS compositing define them. */
export interface LookLayer { readonly blend: 'difference' | 'color-dodge' | 'color-burn' | 'normal'; readonly grey: number; readonly alpha: number }

/** At full contrast, what is lighter than this becomes white, and what is darker than that share of it black. */
const WHITE_FROM = 0.12;
const BLACK_TO = 0.6;

/**
 * How a plan's look is made from its picture on white, first to last, on screen and on paper alike: difference with white inverts,
 * dodging lifts the ground to white, burning darkens the lines, paper over it fades.
 * @param fade 0 to 1, of the sheet
 */
export function lookLayers(plan: PlanRef, fade: number): LookLayer[] {
  const contrast = plan.look?.contrast ?? 0;
  return [
    ...(plan.look?.inverted ? [{ blend: 'difference', grey: 1, alpha: 1 } as const] : []),
    ...(contrast > 0 ? [{ blend: 'color-dodge', grey: WHITE_FROM * contrast, alpha: 1 }, { blend: 'color-burn', grey: 1 - BLACK_TO * contrast, alpha: 1 }] as const : []),
    ...(fade > 0 ? [{ blend: 'normal', grey: 1, alpha: fade } as const] : []),
  ];
}
