import { holdsAt } from '../../shared-core/document/index';
import type { Point } from '../../shared-core/document/index';
import { showLength, feet } from '../../shared-core/units/index';
import { chainDraft, lengthText, NO_SCALE_THERE, stepChain } from './chain';
import { distanceOf, lengthInFeet } from './plan-geometry';
import type { Step, Tool, ToolContext } from './tool';

interface MeasureState { readonly points: readonly Point[] }

/** Lengths along a line of points, with the scale's uncertainty; leaves nothing on the plan. */
export const measureTool: Tool<MeasureState> = {
  id: 'measure',
  start: () => ({ points: [] }),
  isBusy: (state) => state.points.length > 0,
  typing: (state) => ({ from: state.points.at(-1) ?? null, asks: 'point' }),
  step: (state, event, context): Step<MeasureState> => {
    const chain = stepChain(state.points, event, context, 2);
    if (chain.unused) return { state, unused: true };
    if (chain.finish) return { state: { points: [] }, say: totalText(chain.points, context) };
    const shown = chain.snap && chain.points.length > 0 ? [...chain.points, chain.snap.at] : chain.points;
    return { state: { points: chain.points }, draft: chainDraft(chain.points, chain.snap, context, 'limit'), say: shown.length > 1 ? totalText(shown, context) : 'Click where the measure starts.' };
  },
};

function totalText(points: readonly Point[], context: ToolContext): string {
  let total = 0;
  points.forEach((p, i) => { const next = points[i + 1]; if (next) total += distanceOf(p, next); });
  const real = lengthInFeet(context.sheet, total);
  const { scale } = context.sheet;
  if (real === null || !scale) return lengthText(context, total);
  if (!holdsAt(scale, points)) return NO_SCALE_THERE;
  const off = Math.hypot(scale.relativeUncertainty * real, Math.SQRT2 * Math.max(scale.pickUncertainty, context.precision) * scale.feetPerUnit);
  const { units } = context.document.facts;
  return `${showLength(real, units)}, give or take ${showLength(feet(off), units)}`;
}
