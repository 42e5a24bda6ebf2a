import { putEntities } from '../../shared-core/document/index';
import type { Edit, Id, Point, Wall } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { chainDraft, chainWithin, knownWithin, roughPlace, stepChain } from './chain';
import { halfThickness } from './plan-geometry';
import type { Step, Tool, ToolContext } from './tool';

interface WallState { readonly points: readonly Point[]; readonly id: Id; readonly within: number }

/** Walls as a chain of points along their centre line; thickness and height are the project's defaults until changed. */
export const wallTool: Tool<WallState> = {
  id: 'wall',
  start: (context) => ({ points: [], id: context.newId('wall'), within: 0 }),
  isBusy: (state) => state.points.length > 0,
  typing: (state) => ({ from: state.points.at(-1) ?? null, asks: 'point' }),
  step: (state, event, context): Step<WallState> => {
    const chain = stepChain(state.points, event, context, 2);
    if (chain.unused) return { state, unused: true };
    const within = chain.points.length === 0 ? 0 : chainWithin(state.within, chain, context);
    if (chain.finish) {
      const points = chain.finish === 'closed' && chain.points[0] ? [...chain.points, chain.points[0]] : chain.points;
      return { state: wallTool.start(context), edit: wallEdit(context, state.id, points, within), select: [state.id], say: `Wall drawn. Click to start the next one.${within > 0 ? roughPlace(context) : ''}` };
    }
    const { thickness } = wallOf(context, state.id, []);
    return {
      state: { ...state, points: chain.points, within },
      draft: chainDraft(chain.points, chain.snap, context, 'ink', 2 * halfThickness(context.sheet, thickness)),
      say: chain.points.length === 0 ? 'Click where the wall starts.' : 'Next corner: click, or type a length. Shift: right angles. Enter: done. Backspace: one back.',
    };
  },
};

function wallOf({ document, sheet }: ToolContext, id: Id, points: readonly Point[]): Wall {
  const { wallThickness, wallHeight } = document.facts.defaults;
  return { kind: 'wall', id, sheet: sheet.id, points, thickness: wallThickness, bottom: feet(0), top: wallHeight, material: 'opaque', openings: [] };
}

function wallEdit(context: ToolContext, id: Id, points: readonly Point[], within: number): Edit {
  return putEntities(context.document, 'drew a wall', [knownWithin(wallOf(context, id, points), within)]);
}
