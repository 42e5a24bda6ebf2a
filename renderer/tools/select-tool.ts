import { removeEntities } from '../../shared-core/document/index';
import type { Edit, Id, Point } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { lengthText, pointedWithin, roughPlace } from './chain';
import { cornerEdit, faceEdit, hangEdit, moveEdit, turnEdit } from './change';
import { handleAt, handlesOf } from './handles';
import type { Handle } from './handles';
import { nameOfAll } from './naming';
import { boxOf, distanceOf, lengthOnSheet, middleOf, minus, pointAt, pointsOf } from './plan-geometry';
import { hangOnWall, isExactSnap } from './snap';
import { entityOf, snapDraft } from './tool';
import type { Draft, Modifiers, Step, Tool, ToolContext, ToolEvent } from './tool';

type SelectState =
  | { readonly mode: 'idle' }
  | { readonly mode: 'pressed'; readonly at: Point; readonly id: Id | null; readonly handle: Handle | null; readonly wasSelected: boolean }
  | { readonly mode: 'moving'; readonly at: Point; readonly ids: readonly Id[] }
  | { readonly mode: 'handling'; readonly id: Id; readonly handle: Handle }
  | { readonly mode: 'marquee'; readonly at: Point };

type PointerEvent = Extract<ToolEvent, { modifiers: Modifiers; at: Point; clicks: number }>;
/** How far the turning handle stands off, in reaches: beyond the tag. */
export const TURN_ARM = 5.5;
const IDLE: SelectState = { mode: 'idle' };

/** Choosing, moving, turning and reshaping what stands on the plan. */
export const selectTool: Tool<SelectState> = {
  id: 'select',
  start: () => IDLE,
  isBusy: (state) => state.mode !== 'idle',
  typing: (state, context) => ({ from: state.mode === 'moving' ? state.at : middleOfSelection(context), asks: 'point' }),
  step: (state, event, context): Step<SelectState> => {
    if (event.type === 'key') return key(state, event.key, event.modifiers, context);
    if (event.type === 'place') return placeSelection(state, event.at, context);
    if (event.type === 'length' || event.type === 'size') return { state, unused: true };
    switch (state.mode) {
      case 'idle': return event.type === 'press' ? press(event, context) : { state };
      case 'pressed': return pressed(state, event, context);
      case 'moving': return moving(state, event, context);
      case 'handling': return handling(state, event, context);
      case 'marquee': return marquee(state, event, context);
    }
  },
};

function press(event: PointerEvent, context: ToolContext): Step<SelectState> {
  const { selection, document, reach } = context;
  const handle = handleAt(handlesOf(document, selection, TURN_ARM * reach), event.at, reach);
  const id = handle ? selection[0] ?? null : context.pick(event.at);
  if (id && event.clicks > 1) return { state: IDLE, inspect: id };
  const wasSelected = id !== null && selection.includes(id);
  const state: SelectState = { mode: 'pressed', at: event.at, id, handle, wasSelected };
  // What is pressed is chosen at once, so that a drag moves what the hand is on.
  if (id && !wasSelected) return { state, select: event.modifiers.shift ? [...selection, id] : [id] };
  return { state };
}

function pressed(state: Extract<SelectState, { mode: 'pressed' }>, event: PointerEvent, context: ToolContext): Step<SelectState> {
  if (event.type === 'release') {
    if (state.id === null) return { state: IDLE, ...(event.modifiers.shift ? {} : { select: [] }) };
    if (state.handle || !state.wasSelected) return { state: IDLE };
    return { state: IDLE, select: event.modifiers.shift ? context.selection.filter((id) => id !== state.id) : [state.id] };
  }
  if (distanceOf(event.at, state.at) < context.reach / 2) return { state };
  if (state.handle && state.id) return handling({ mode: 'handling', id: state.id, handle: state.handle }, event, context);
  if (state.id) return moving({ mode: 'moving', at: state.at, ids: context.selection.includes(state.id) ? context.selection : [state.id] }, event, context);
  return marquee({ mode: 'marquee', at: state.at }, event, context);
}

function moving(state: Extract<SelectState, { mode: 'moving' }>, event: PointerEvent, context: ToolContext): Step<SelectState> {
  const { edit, draft, say } = movedTo(state.ids, state.at, event.at, event.modifiers, context);
  return event.type === 'release' ? { state: IDLE, edit, say: `${say}${roughPlace(context)}` } : { state, preview: edit, draft, say };
}

interface Moved { readonly edit: Edit; readonly draft: Draft; readonly say: string }

function movedTo(ids: readonly Id[], from: Point, to: Point, modifiers: Modifiers, context: ToolContext): Moved {
  const { document, sheet, index, reach } = context;
  const only = ids.length === 1 && ids[0] !== undefined ? entityOf(document, ids[0]) : null;
  const exclude = new Set(ids);
  const delta = squared(minus(to, from), modifiers.shift);
  const name = nameOfAll(document, ids);
  if (only?.kind === 'disconnect') {
    const at = pointAt(only.at.x + delta.x, only.at.y + delta.y);
    // Alt keeps the wall from pulling, for a disconnect on a stand beside it.
    const hang = modifiers.alt ? null : hangOnWall(index, sheet, at, 2 * reach, only.standing + only.handleHeight, exclude);
    return { edit: hangEdit(document, only, at, hang, { within: pointedWithin(context) }), draft: { lines: [], snaps: hang ? [{ at: hang.at, kind: 'wall' }] : [], texts: [] },
      say: hang ? `${name} hangs on the wall and faces away from it. Alt: free of the wall.` : `${name} stands free.` };
  }
  const grip = only ? nearestCorner(pointsOf(only), from) : null;
  const snap = grip && distanceOf(grip, from) <= 2 * reach && !modifiers.shift ? context.snap(pointAt(grip.x + delta.x, grip.y + delta.y), { exclude }) : null;
  const by = snap && grip && snap.kind !== 'free' && snap.kind !== 'extension' ? minus(snap.at, grip) : delta;
  return {
    edit: moveEdit(document, ids, by, sheet, { within: snap && isExactSnap(snap) ? undefined : pointedWithin(context) }), say: `${name} by ${lengthText(context, Math.hypot(by.x, by.y))}. Shift: straight.`,
    draft: { lines: [], snaps: snap && snap.kind !== 'free' ? snapDraft(snap).snaps : [], texts: [{ at: to, text: lengthText(context, Math.hypot(by.x, by.y)) }] },
  };
}

const squared = (v: { x: number; y: number }, square: boolean): { x: number; y: number } =>
  !square ? v : Math.abs(v.x) >= Math.abs(v.y) ? { x: v.x, y: 0 } : { x: 0, y: v.y };

function nearestCorner(points: readonly Point[], at: Point): Point | null {
  let best: Point | null = null;
  for (const p of points) if (!best || distanceOf(p, at) < distanceOf(best, at)) best = p;
  return best;
}

function handling(state: Extract<SelectState, { mode: 'handling' }>, event: PointerEvent, context: ToolContext): Step<SelectState> {
  const entity = entityOf(context.document, state.id);
  if (!entity) return { state: IDLE };
  if (state.handle.kind === 'turn') {
    if (entity.kind !== 'disconnect') return { state: IDLE };
    const edit = faceEdit(context.document, entity, event.at, event.modifiers.alt);
    return event.type === 'release' ? { state: IDLE, edit } : { state, preview: edit, say: 'Turning in steps of 15 degrees. Alt: free.' };
  }
  const points = pointsOf(entity);
  const neighbour = points[state.handle.corner - 1] ?? points[state.handle.corner + 1];
  const snap = context.snap(event.at, { from: neighbour, square: event.modifiers.shift, exclude: new Set([state.id]) });
  const edit = cornerEdit(context.document, state.id, state.handle.corner, snap.at, context.sheet, { within: isExactSnap(snap) ? undefined : pointedWithin(context) });
  if (event.type === 'release') return { state: IDLE, edit };
  const text = neighbour ? [{ at: middleOf(neighbour, snap.at), text: lengthText(context, distanceOf(neighbour, snap.at)) }] : [];
  return { state, preview: edit, draft: { ...snapDraft(snap), texts: text }, say: 'Shift: right angles.' };
}

function marquee(state: Extract<SelectState, { mode: 'marquee' }>, event: PointerEvent, context: ToolContext): Step<SelectState> {
  const box = boxOf([state.at, event.at]);
  const found = context.within(box, event.modifiers.alt);
  const select = event.modifiers.shift ? [...new Set([...context.selection, ...found])] : found;
  if (event.type === 'release') return { state: IDLE, select };
  const corners = [state.at, pointAt(event.at.x, state.at.y), event.at, pointAt(state.at.x, event.at.y)];
  return { state, draft: { lines: [{ points: corners, closed: true, style: 'box' }], snaps: [], texts: [] }, say: `${found.length} inside. Alt: also what is only touched. Shift: add to the selection.` };
}

function placeSelection(state: SelectState, at: Point, context: ToolContext): Step<SelectState> {
  const from = state.mode === 'moving' ? state.at : middleOfSelection(context);
  if (!from || context.selection.length === 0) return { state, unused: true };
  return { state: IDLE, edit: moveEdit(context.document, context.selection, minus(at, from), context.sheet) };
}

function middleOfSelection({ document, selection, sheet }: ToolContext): Point | null {
  const points = selection.flatMap((id) => { const e = entityOf(document, id); return e && e.sheet === sheet.id ? [...pointsOf(e)] : []; });
  const only = points.length === 1 ? points[0] : undefined;
  if (only) return only;
  if (points.length === 0) return null;
  const box = boxOf(points);
  return middleOf({ x: box.minX, y: box.minY }, { x: box.maxX, y: box.maxY });
}

const ARROWS: Readonly<Record<string, { x: number; y: number }>> = { ArrowLeft: { x: -1, y: 0 }, ArrowRight: { x: 1, y: 0 }, ArrowUp: { x: 0, y: -1 }, ArrowDown: { x: 0, y: 1 } };
const TURNS: Readonly<Record<string, number>> = { '[': -15, ']': 15, '{': -90, '}': 90 };

/** One press of an arrow key: 1 in or 1 ft, 25 mm or 0.25 m; one or eight pixels while there is no scale. */
export function nudgeStep({ document, sheet, precision }: Pick<ToolContext, 'document' | 'sheet' | 'precision'>, large: boolean): number {
  const step = document.facts.units === 'US' ? feet(large ? 1 : 1 / 12) : feet((large ? 0.25 : 0.025) / 0.3048);
  return lengthOnSheet(sheet, step) ?? precision * (large ? 8 : 1);
}

function key(state: SelectState, name: string, modifiers: Modifiers, context: ToolContext): Step<SelectState> {
  const { selection, document, sheet } = context;
  const only = selection[0];
  if (state.mode !== 'idle' || only === undefined || modifiers.control) return { state, unused: true };
  const arrow = ARROWS[name];
  if (arrow) {
    const step = nudgeStep(context, modifiers.shift);
    return { state, edit: moveEdit(document, selection, { x: arrow.x * step, y: arrow.y * step }, sheet) };
  }
  const turn = TURNS[name];
  if (turn !== undefined) return { state, edit: turnEdit(document, selection, turn) };
  if (name === 'Delete' || name === 'Backspace') return { state, edit: removeEntities(document, `deleted ${nameOfAll(document, selection)}`, selection), say: 'Deleted. Undo brings it back with its links.' };
  if (name === 'Enter') return { state, inspect: only };
  if (name === 'j' || name === 'J') return hangSelection(only, context);
  return { state, unused: true };
}

/** The keyboard's way to do what a drop near a wall does. */
function hangSelection(id: Id, context: ToolContext): Step<SelectState> {
  const entity = entityOf(context.document, id);
  if (entity?.kind !== 'disconnect') return { state: IDLE, unused: true };
  const reach = Math.max(4 * context.reach, lengthOnSheet(context.sheet, feet(3)) ?? 0);
  const hang = hangOnWall(context.index, context.sheet, entity.at, reach, entity.standing + entity.handleHeight);
  return hang ? { state: IDLE, edit: { ...hangEdit(context.document, entity, entity.at, hang), name: `hung ${entity.tag} on a wall` }, say: `${entity.tag} hangs on the wall and faces away from it.` }
    : { state: IDLE, say: 'No wall within 3 ft to hang it on.' };
}
