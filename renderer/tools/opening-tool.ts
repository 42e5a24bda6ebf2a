import { putEntities } from '../../shared-core/document/index';
import type { Edit, Id, Opening, Point, Wall } from '../../shared-core/document/index';
import { feet, sheetUnits } from '../../shared-core/units/index';
import { lengthText } from './chain';
import { distanceOf, halfThickness, lengthOnSheet, middleOf, nearestOnSegment, pointAt } from './plan-geometry';
import { entityOf } from './tool';
import type { Draft, Step, Tool, ToolContext } from './tool';

/** A position along one segment of a wall. */
interface OnWall { readonly wall: Id; readonly segment: number; readonly along: number }
interface OpeningState { readonly first: OnWall | null; readonly id: Id }

const DOOR_WIDTH = feet(3);
const DOOR_HEAD = feet(7);

/** Doors and holes: one edge, then the other edge on the same piece of wall; a click alone followed by Enter is a 3 ft door. */
export const openingTool: Tool<OpeningState> = {
  id: 'opening',
  start: (context) => ({ first: null, id: context.newId('opening') }),
  isBusy: (state) => state.first !== null,
  typing: (state, context) => ({ from: state.first ? pointOn(state.first, context) : null, asks: 'point' }),
  step: (state, event, context): Step<OpeningState> => {
    const { first } = state;
    if (event.type === 'key') {
      if (event.key === 'Backspace' && first) return { state: { ...state, first: null }, say: START };
      if (event.key !== 'Enter' || !first) return { state, unused: true };
      return finish(state, first, first.along + (lengthOnSheet(context.sheet, DOOR_WIDTH) ?? 40), context);
    }
    if (event.type === 'length' || event.type === 'size') return { state, unused: true };
    const here = first ? alongSame(first, event.at, context) : nearestWall(event.at, context);
    if (!here) return { state, say: first ? 'Stay on the same piece of wall.' : 'Point at a wall: a door or opening is cut into one.' };
    if (!first && event.type === 'release') return { state };
    if (!first) return event.type === 'press' || event.type === 'place' ? { state: { ...state, first: here }, draft: draftOf(here, here, context), say: NEXT } : { state, draft: draftOf(here, here, context), say: START };
    const isWide = Math.abs(here.along - first.along) > context.reach / 2;
    if (isWide && (event.type === 'press' || event.type === 'place' || (event.type === 'release' && Math.abs(here.along - first.along) > 2 * context.reach))) return finish(state, first, here.along, context);
    return { state, draft: draftOf(first, here, context), say: NEXT };
  },
};

const START = 'Click one edge of the door or opening on a wall.';
const NEXT = "Click the other edge, or type the width. Enter: 3'-0\" wide.";

function nearestWall(at: Point, { index, sheet, reach }: ToolContext): OnWall | null {
  let best: OnWall | null = null; let near = Infinity;
  const out = 2 * reach;
  for (const { entity, segment } of index.search({ minX: at.x - out, minY: at.y - out, maxX: at.x + out, maxY: at.y + out })) {
    if (entity.kind !== 'wall') continue;
    const a = entity.points[segment]; const b = entity.points[segment + 1];
    if (!a || !b) continue;
    const foot = nearestOnSegment(at, a, b);
    if (foot.distance < near && foot.distance <= Math.max(reach, halfThickness(sheet, entity.thickness))) { near = foot.distance; best = { wall: entity.id, segment, along: foot.t * distanceOf(a, b) }; }
  }
  return best;
}

const wallOf = (on: OnWall, { document }: ToolContext): Wall | null => { const e = entityOf(document, on.wall); return e?.kind === 'wall' ? e : null; };

function alongSame(first: OnWall, at: Point, context: ToolContext): OnWall | null {
  const wall = wallOf(first, context);
  const a = wall?.points[first.segment]; const b = wall?.points[first.segment + 1];
  return a && b ? { ...first, along: nearestOnSegment(at, a, b).t * distanceOf(a, b) } : null;
}

function pointOn(on: OnWall, context: ToolContext): Point | null {
  const wall = wallOf(on, context);
  const a = wall?.points[on.segment]; const b = wall?.points[on.segment + 1];
  if (!a || !b) return null;
  const t = on.along / (distanceOf(a, b) || 1);
  return pointAt(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
}

function finish(state: OpeningState, first: OnWall, to: number, context: ToolContext): Step<OpeningState> {
  const edit = openingEdit(state.id, first, to, context);
  if (!edit) return { state: openingTool.start(context), say: 'There is no room for an opening here: it would leave the wall or run into another opening.' };
  return { state: openingTool.start(context), edit, select: [first.wall], say: 'Put in as a closed solid door, which blocks the view. Change what it is in the side panel.' };
}

/** A new opening is a closed solid door, because that blocks the view: anything clearer must be said by a person. */
function openingEdit(id: Id, first: OnWall, end: number, context: ToolContext): Edit | null {
  const wall = wallOf(first, context);
  const a = wall?.points[first.segment]; const b = wall?.points[first.segment + 1];
  if (!wall || !a || !b) return null;
  const length = distanceOf(a, b);
  let from = Math.min(first.along, end); let to = Math.max(first.along, end);
  // A whole door that would run past the end of its wall is slid back onto it.
  if (to > length) { from = Math.max(0, from - (to - length)); to = length; }
  if (!(to - from > 0) || wall.openings.some((o) => o.segment === first.segment && from < o.to && to > o.from)) return null;
  const opening: Opening = { id, segment: first.segment, from: sheetUnits(from), to: sheetUnits(to), sill: wall.bottom, head: feet(Math.min(wall.top, wall.bottom + DOOR_HEAD)), leaf: 'closed', swing: { hinge: 'from', side: 'left' } };
  if (!(opening.head > opening.sill)) return null;
  return putEntities(context.document, 'put in a door', [{ ...wall, openings: [...wall.openings, opening] }]);
}

function draftOf(first: OnWall, here: OnWall, context: ToolContext): Draft {
  const a = pointOn(first, context); const b = pointOn(here, context);
  if (!a || !b) return { lines: [], snaps: [], texts: [] };
  const width = distanceOf(a, b);
  return {
    lines: width > 0 ? [{ points: [a, b], style: 'limit' }] : [], snaps: [{ at: b, kind: 'wall' }],
    texts: width > 0 ? [{ at: middleOf(a, b), text: lengthText(context, width) }] : [],
  };
}
