import { putEntities } from '../../shared-core/document/index';
import type { Entity, Id, Point } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { chainDraft, chainWithin, knownWithin, lengthText, stepChain } from './chain';
import { distanceOf, pointAt } from './plan-geometry';
import { snapDraft } from './tool';
import type { Draft, Step, Tool, ToolContext } from './tool';

interface OutlineState {
  readonly points: readonly Point[];
  /** Where the button went down, while it is down on a first corner: a drag from there is a rectangle. */
  readonly pressed: Point | null;
  readonly id: Id;
  /** How far its corners may be off where they were pointed at from far away. */
  readonly within: number;
}

type Outlined = 'obstruction' | 'area';

function outlineTool(kind: Outlined, noun: string): Tool<OutlineState> {
  const start = (context: ToolContext): OutlineState => ({ points: [], pressed: null, id: context.newId(kind), within: 0 });
  const finish = (state: OutlineState, outline: readonly Point[], context: ToolContext): Step<OutlineState> => ({
    state: start(context), edit: putEntities(context.document, `drew ${noun}`, [knownWithin(outlined(kind, state.id, outline, context), state.within)]), select: [state.id],
    say: kind === 'obstruction' ? 'Drawn as high as a wall until you give it its own height: a height too low could hide that it blocks a view.' : 'Area drawn. Say in the side panel what its surroundings are.',
  });
  const step = (state: OutlineState, event: Parameters<Tool<OutlineState>['step']>[1], context: ToolContext): Step<OutlineState> => {
    if (event.type === 'size' && state.points.length === 1 && state.points[0] && event.width > 0 && event.height > 0) {
      const at = state.points[0];
      return finish(state, rectangle(at, pointAt(at.x + event.width, at.y + event.height)), context);
    }
    if (state.pressed && (event.type === 'move' || event.type === 'release')) {
      const snap = context.snap(event.at);
      const isBox = Math.abs(snap.at.x - state.pressed.x) > context.reach && Math.abs(snap.at.y - state.pressed.y) > context.reach;
      if (event.type === 'release') return isBox ? finish({ ...state, within: chainWithin(state.within, { added: snap }, context) }, rectangle(state.pressed, snap.at), context) : { state: { ...state, pressed: null }, say: NEXT };
      if (isBox) return { state, draft: boxDraft(state.pressed, snap.at, context, snapDraft(snap)), say: 'Let go to finish the rectangle.' };
      return { state };
    }
    const chain = stepChain(state.points, event, context, 3);
    if (chain.unused) return { state, unused: true };
    if (chain.finish) return finish(state, chain.points, context);
    const isFirst = event.type === 'press' && chain.points.length === 1;
    return {
      state: { ...state, points: chain.points, within: chain.points.length === 0 ? 0 : chainWithin(state.within, chain, context), pressed: isFirst ? chain.points[0] ?? null : null },
      draft: chainDraft(chain.points, chain.snap, context, 'ink'),
      say: chain.points.length === 0 ? `Drag a rectangle for ${noun}, or click its corners.` : NEXT,
    };
  };
  return { id: kind, start, step, isBusy: (state) => state.points.length > 0, typing: (state) => ({ from: state.points.at(-1) ?? null, asks: 'point' }) };
}

const NEXT = "Next corner, or type a size (4' x 2'). Enter or the first corner: close. Backspace: one back.";

const rectangle = (a: Point, b: Point): readonly Point[] => [a, pointAt(b.x, a.y), b, pointAt(a.x, b.y)];

function boxDraft(a: Point, b: Point, context: ToolContext, marks: Pick<Draft, 'lines' | 'snaps'>): Draft {
  const corners = rectangle(a, b);
  const width = lengthText(context, distanceOf(a, pointAt(b.x, a.y))); const height = lengthText(context, distanceOf(a, pointAt(a.x, b.y)));
  return {
    lines: [{ points: corners, closed: true, style: 'ink' }, ...marks.lines], snaps: marks.snaps,
    texts: [{ at: pointAt((a.x + b.x) / 2, a.y), text: width }, { at: pointAt(b.x, (a.y + b.y) / 2), text: height }],
  };
}

function outlined(kind: Outlined, id: Id, outline: readonly Point[], { document, sheet }: ToolContext): Entity {
  if (kind === 'area') return { kind, id, sheet: sheet.id, label: '', outline, environments: [] };
  return { kind, id, sheet: sheet.id, label: '', outline, bottom: feet(0), top: document.facts.defaults.wallHeight, material: 'opaque' };
}

/** Tanks, racks, benches: anything that stands in the way. */
export const obstructionTool = outlineTool('obstruction', 'an obstruction');
/** Where the surroundings ask for a certain enclosure. */
export const areaTool = outlineTool('area', 'an area');
