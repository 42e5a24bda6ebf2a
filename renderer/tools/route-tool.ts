import { putEntities } from '../../shared-core/document/index';
import type { Document, Id, Point, Route } from '../../shared-core/document/index';
import { feet } from '../../shared-core/units/index';
import { chainDraft, stepChain } from './chain';
import { nameOf } from './naming';
import { entityOf } from './tool';
import type { Step, Tool, ToolContext } from './tool';

interface RouteState { readonly from: Id | null; readonly points: readonly Point[]; readonly id: Id }

const START = 'Click the supply or disconnect where the wiring starts.';

/** The way of the wiring: from a supply or disconnect, over corners, to a disconnect or load. */
export const routeTool: Tool<RouteState> = {
  id: 'route',
  start: (context) => ({ from: null, points: [], id: context.newId('route') }),
  isBusy: (state) => state.from !== null,
  typing: (state) => ({ from: state.points.at(-1) ?? null, asks: 'point' }),
  step: (state, event, context): Step<RouteState> => {
    if (event.type === 'key' && event.key === 'Backspace' && state.points.length <= 1) return { state: routeTool.start(context), say: START, unused: state.from === null };
    if (event.type === 'press' && !state.from) {
      const from = context.pick(event.at, ['supply', 'disconnect']);
      const at = from ? placeOf(context.document, from) : null;
      return from && at ? { state: { ...state, from, points: [at] }, say: NEXT } : { state, say: START };
    }
    if (!state.from) return { state, say: START, unused: event.type === 'key' };
    const to = event.type === 'press' ? context.pick(event.at, ['disconnect', 'load', 'supply']) : null;
    const at = to && to !== state.from ? placeOf(context.document, to) : null;
    if (to && at && endsAt(context.document, to)) return finish(state, state.from, to, at, context);
    if (event.type === 'key' && event.key === 'Enter') return { state, say: 'Finish on a disconnect or a load.' };
    const chain = stepChain(state.points, event, context, Infinity);
    return chain.unused ? { state, unused: true } : { state: { ...state, points: chain.points }, draft: chainDraft(chain.points, chain.snap, context, 'guide'), say: NEXT };
  },
};

const NEXT = 'Click corners on the way; finish on a disconnect or a load. Shift: right angles. Backspace: one back.';

const placeOf = (document: Document, id: Id): Point | null => { const e = entityOf(document, id); return e && 'at' in e ? e.at : null; };
const endsAt = (document: Document, id: Id): boolean => { const kind = entityOf(document, id)?.kind; return kind === 'disconnect' || kind === 'load' || kind === 'supply'; };

function finish(state: RouteState, from: Id, to: Id, at: Point, context: ToolContext): Step<RouteState> {
  const end = entityOf(context.document, to);
  const route: Route = { kind: 'route', id: state.id, sheet: context.sheet.id, from, to, points: [...state.points, at], drops: feet(0) };
  return { state: routeTool.start(context), edit: putEntities(context.document, `routed to ${end ? nameOf(end) : 'a mark'}`, [route]), select: [route.id], say: 'Route drawn. Add drops and rises in the side panel.' };
}
