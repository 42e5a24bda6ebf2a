import { putEntities } from '../../shared-core/document/index';
import type { Disconnect, Edit, Entity, Id, Load, Point } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import type { SheetUnits } from '../../shared-core/units/index';
import { knownWithin, pointedWithin, roughPlace } from './chain';
import { placedDisconnect } from './change';
import { nextTag } from './naming';
import { hangOnWall, isExactSnap } from './snap';
import { entityOf, snapDraft } from './tool';
import type { Step, Tool, ToolContext } from './tool';

interface PlaceState { readonly id: Id; readonly isPressed: boolean }
type Placed = 'load' | 'machine' | 'controller' | 'disconnect' | 'supply';

/**
 * Marks that stand at one point. The mark is shown, with everything that follows from it, before it is placed; letting
 * the button go places it.
 */
function placeTool(kind: Placed, prompt: string): Tool<PlaceState> {
  const start = (context: ToolContext): PlaceState => ({ id: context.newId(kind), isPressed: false });
  const step = (state: PlaceState, event: Parameters<Tool<PlaceState>['step']>[1], context: ToolContext): Step<PlaceState> => {
    if (event.type === 'key' || event.type === 'length' || event.type === 'size') return { state, unused: true };
    const isExact = event.type === 'place';
    const snap = isExact ? { at: event.at, kind: 'free' as const } : context.snap(event.at);
    const within = isExact || isExactSnap(snap) ? undefined : pointedWithin(context);
    const { edit, placed, hangs } = placeEdit(kind, state.id, { at: isExact ? event.at : snap.at, within }, isExact ? null : event.at, context);
    if (isExact || (event.type === 'release' && state.isPressed)) {
      return { state: start(context), edit, select: [placed], say: `${hangs ? 'Hung on the wall, facing away from it, handle at the usual height. Change it in the side panel.' : prompt}${within === undefined ? '' : roughPlace(context)}` };
    }
    return { state: { ...state, isPressed: event.type === 'press' || (state.isPressed && event.type === 'move') }, preview: edit,
      draft: { ...(kind === 'disconnect' ? { lines: [], snaps: [] } : snapDraft(snap)), texts: [] }, say: prompt };
  };
  // A placed mark has no last point; a typed pair is counted from the sheet's corner, or from one selected mark.
  return { id: kind, start, step, isBusy: () => false, typing: (_, context) => ({ from: anchorOf(context), asks: 'point' }) };
}

function anchorOf({ document, selection, sheet }: ToolContext): Point | null {
  const only = selection.length === 1 && selection[0] !== undefined ? entityOf(document, selection[0]) : null;
  return only && only.sheet === sheet.id && 'at' in only ? only.at : null;
}

interface Placing { readonly edit: Edit; readonly placed: Id; readonly hangs: boolean }

function placeEdit(kind: Placed, id: Id, { at, within }: { readonly at: Point; readonly within: SheetUnits | undefined }, pointed: Point | null, context: ToolContext): Placing {
  const { document, sheet, index, reach } = context;
  const waiting = kind === 'load' ? waitingLoad(context) : null;
  if (waiting) return { edit: putEntities(document, `placed ${waiting.tag}`, [knownWithin({ ...waiting, sheet: sheet.id, at }, within)]), placed: waiting.id, hangs: false };
  const mark = knownWithin(newMark(kind, id, at, context), within);
  if (mark.kind !== 'disconnect') return { edit: putEntities(document, `placed ${mark.tag}`, [mark]), placed: id, hangs: false };
  const hang = hangOnWall(index, sheet, pointed ?? at, pointed ? 2 * reach : reach / 4, mark.standing + mark.handleHeight);
  // A wall fixes it across; along the wall it is as exact as the hand.
  return { edit: putEntities(document, `placed ${mark.tag}`, [placedDisconnect(mark, at, hang)]), placed: id, hangs: hang !== null };
}

/** The load of the equipment list that waits for its place: the one asked for, or a selected one. */
function waitingLoad({ document, selection, placing }: ToolContext): Load | null {
  for (const id of placing === null ? selection : [placing, ...selection]) {
    const entity = entityOf(document, id);
    if (entity?.kind === 'load' && entity.at === null) return entity;
  }
  return null;
}

type Mark = Extract<Entity, { kind: Placed }>;

function newMark(kind: Placed, id: Id, at: Point, { document, sheet, selection }: ToolContext): Mark {
  const base = { id, sheet: sheet.id, tag: nextTag(document, kind), at };
  switch (kind) {
    case 'load': return { ...base, kind, name: '', height: feet(2), standing: feet(0), data: { kind: 'motor' } };
    case 'machine': return { ...base, kind, name: '', height: feet(3), standing: feet(0) };
    case 'controller': return { ...base, kind, name: '', height: feet(5), standing: feet(0) };
    case 'supply': return { ...base, kind, name: '', system: document.facts.systems[0]?.id ?? 'system-main', role: 'panel' };
    case 'disconnect': return { ...base, kind, handleHeight: document.facts.defaults.handleHeight, standing: feet(0), facing: 90, mount: null, serves: servedBySelection(document, selection), data: {} } satisfies Disconnect;
  }
}

/** Loads chosen before the disconnect is placed are the ones it isolates; nothing else is guessed. */
const servedBySelection = (document: ToolContext['document'], selection: readonly Id[]): Id[] =>
  selection.filter((id) => entityOf(document, id)?.kind === 'load');

export const loadTool = placeTool('load', 'Click where the motor or other load stands.');
export const machineTool = placeTool('machine', 'Click where the driven machine stands.');
export const controllerTool = placeTool('controller', 'Click where the controller is.');
export const disconnectTool = placeTool('disconnect', 'Click where the disconnect goes; near a wall face it hangs there. Loads chosen before are linked to it.');
export const supplyTool = placeTool('supply', 'Click where the panel or transformer is.');
