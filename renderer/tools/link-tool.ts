import { putEntities } from '../../shared-core/document/index';
import type { Disconnect, Document, Edit, Entity, Id, Load, Machine, Controller, Point } from '../../shared-core/document/index';
import { entityOf } from './tool';
import type { Draft, Step, Tool, ToolContext } from './tool';

interface LinkState { readonly from: Id | null; readonly isPressed: boolean }
type Linked = Disconnect | Load | Machine | Controller;

const KINDS = ['disconnect', 'load', 'machine', 'controller'] as const;
const START = 'Click a disconnect, then each load it isolates. From a load, click its machine or controller.';

/** Says what isolates what: disconnect to load, and load to its driven machine and controller. The same pair again unlinks. */
export const linkTool: Tool<LinkState> = {
  id: 'link',
  start: ({ document, selection }) => ({ from: selection.length === 1 && selection[0] !== undefined && isLinked(entityOf(document, selection[0])) ? selection[0] : null, isPressed: false }),
  isBusy: (state) => state.from !== null,
  typing: () => ({ from: null, asks: 'point' }),
  step: (state, event, context): Step<LinkState> => {
    if (event.type === 'key' && event.key === 'Enter' && state.from) return { state: { from: null, isPressed: false }, say: START };
    if (event.type !== 'press' && event.type !== 'move' && event.type !== 'release') return { state, unused: true };
    const here = context.pick(event.at, KINDS);
    const draft = state.from ? draftOf(state.from, here, event.at, context) : undefined;
    const say = state.from ? promptFor(state.from, context.document) : START;
    if (event.type === 'move' || !here || here === state.from) {
      // Pressing empty paper lets go of the disconnect; pressing it again keeps it.
      if (event.type === 'press') return { state: { from: here, isPressed: true }, say: START };
      return { state: { ...state, isPressed: event.type === 'move' && state.isPressed }, say, ...(draft ? { draft } : {}) };
    }
    if (!state.from) return event.type === 'press' ? { state: { from: here, isPressed: true }, select: [here], say: promptFor(here, context.document) } : { state, say };
    if (event.type === 'release' && !state.isPressed) return { state, say, ...(draft ? { draft } : {}) };
    const edit = linkEdit(context.document, state.from, here);
    if (!edit) return { state: { from: here, isPressed: event.type === 'press' }, select: [here], say: promptFor(here, context.document) };
    return { state: { ...state, isPressed: false }, edit, say: `${edit.name}. ${promptFor(state.from, context.document)}` };
  },
};

const isLinked = (e: Entity | null): e is Linked => e !== null && (KINDS as readonly string[]).includes(e.kind);

function promptFor(id: Id, document: Document): string {
  const from = entityOf(document, id);
  if (from?.kind === 'disconnect') return `Click each load that ${from.tag} isolates; click a linked one to unlink it. Enter: done.`;
  if (from?.kind === 'load') return `Click the disconnect that isolates ${from.tag}, or its machine or controller. Enter: done.`;
  return START;
}

/** Links, or unlinks what is linked already; null when the two do not go together. */
export function linkEdit(document: Document, one: Id, other: Id): Edit | null {
  const a = entityOf(document, one); const b = entityOf(document, other);
  const disconnect = a?.kind === 'disconnect' ? a : b?.kind === 'disconnect' ? b : null;
  const load = a?.kind === 'load' ? a : b?.kind === 'load' ? b : null;
  if (!load) return null;
  if (disconnect) {
    const isServed = disconnect.serves.includes(load.id);
    const serves = isServed ? disconnect.serves.filter((id) => id !== load.id) : [...disconnect.serves, load.id];
    return putEntities(document, `${isServed ? 'unlinked' : 'linked'} ${disconnect.tag} ${isServed ? 'from' : 'to'} ${load.tag}`, [{ ...disconnect, serves }]);
  }
  const part = a?.kind === 'machine' || a?.kind === 'controller' ? a : b?.kind === 'machine' || b?.kind === 'controller' ? b : null;
  if (!part) return null;
  const isOwn = load[part.kind] === part.id;
  const { [part.kind]: _, ...rest } = load;
  return putEntities(document, `${isOwn ? 'unlinked' : 'linked'} ${load.tag} ${isOwn ? 'from' : 'to'} ${part.tag}`, [isOwn ? rest : { ...rest, [part.kind]: part.id }]);
}

function draftOf(from: Id, to: Id | null, at: Point, { document }: ToolContext): Draft | undefined {
  const placeOf = (id: Id): Point | null => { const e = entityOf(document, id); return isLinked(e) ? e.at : null; };
  const a = placeOf(from); const b = to ? placeOf(to) ?? at : at;
  return a ? { lines: [{ points: [a, b], style: 'guide' }], snaps: to ? [{ at: b, kind: 'end' }] : [], texts: [] } : undefined;
}
