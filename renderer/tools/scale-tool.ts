import { joinScale, pickUncertaintyOf, scaleFromPicks, setSheets, shapeUncertainty } from '../../shared-core/document/index';
import type { Point, ScalePick } from '../../shared-core/document/index';
import { sheetUnits } from '../../shared-core/units/index';
import { chainDraft, stepChain } from './chain';
import { distanceOf, middleOf } from './plan-geometry';
import { snapDraft } from './tool';
import type { Draft, Step, Tool, ToolContext } from './tool';

/** within: how exactly the coarser of the points was pointed at, sheet units; the zoom may change from one to the next. */
interface ScaleState { readonly points: readonly Point[]; readonly within: number }

const FIRST = 'Click one end of a length you know: the longer it is, the truer the scale.';
const SECOND = 'Click the other end.';
const LENGTH = 'Type the length between the two points and press Enter. Earlier lengths are kept and show how far the print is stretched.';

/** Two picked points and a typed length. Marks stay where they are: only their meaning in feet changes. */
export const scaleTool: Tool<ScaleState> = {
  id: 'scale',
  start: () => ({ points: [], within: 0 }),
  isBusy: (state) => state.points.length > 0,
  typing: (state) => ({ from: state.points.at(-1) ?? null, asks: state.points.length === 2 ? 'length' : 'point' }),
  step: (state, event, context): Step<ScaleState> => {
    const [from, to] = state.points;
    if (event.type === 'length') {
      if (!from || !to) return { state, unused: true };
      return setScale({ from, to, length: event.length, typed: event.typed, within: sheetUnits(state.within) }, state, context);
    }
    if (from && to) {
      if (event.type === 'key' && event.key === 'Backspace') return { state: { ...state, points: [from] }, draft: chainDraft([from], null, context, 'limit'), scalePick: null, say: SECOND };
      if (event.type === 'press') return { state: { points: [context.snap(event.at).at], within: context.precision }, scalePick: null, say: SECOND };
      return { state, draft: picked(from, to), say: LENGTH, ...(event.type === 'key' ? { unused: true } : {}) };
    }
    const chain = stepChain(state.points, event, context, 2);
    if (chain.unused) return { state, unused: true };
    const [a, b] = chain.points;
    // A typed place is exact; a pointed one is as exact as the zoom it was pointed at.
    const within = chain.points.length > state.points.length && event.type !== 'place' ? Math.max(state.within, context.precision) : chain.points.length === 0 ? 0 : state.within;
    if (a && b) return { state: { points: [a, b], within }, draft: picked(a, b), scalePick: { from: a, to: b, within: sheetUnits(within) }, say: LENGTH };
    return { state: { points: chain.points, within }, draft: a ? draftTo(a, chain.snap?.at ?? a) : { lines: [], snaps: chain.snap ? snapDraft(chain.snap).snaps : [], texts: [] }, say: a ? SECOND : FIRST };
  },
};

const picked = (a: Point, b: Point): Draft => ({ lines: [{ points: [a, b], style: 'limit' }], snaps: [{ at: a, kind: 'end' }, { at: b, kind: 'end' }], texts: [{ at: middleOf(a, b), text: 'how long?' }] });
const draftTo = (a: Point, b: Point): Draft => ({ lines: distanceOf(a, b) > 0 ? [{ points: [a, b], style: 'limit' }] : [], snaps: [{ at: a, kind: 'end' }], texts: [] });

function setScale(pick: ScalePick, state: ScaleState, context: ToolContext): Step<ScaleState> {
  const { document, sheet } = context;
  const earlier = sheet.scale?.from.kind === 'picks' ? sheet.scale.from.picks : [];
  const picks = [...earlier, pick];
  const outcome = scaleFromPicks(picks, pickUncertaintyOf(sheet.plan), shapeUncertainty(sheet.plan, picks));
  if (!outcome.ok) return { state, draft: picked(pick.from, pick.to), say: outcome.reason };
  const edit = setSheets(document, `set the scale of ${sheet.name}`, document.sheets.map((s) => (s.id === sheet.id ? { ...s, scale: joinScale(sheet.scale, outcome.scale) } : s)));
  const percent = (100 * outcome.scale.relativeUncertainty).toFixed(outcome.scale.relativeUncertainty < 0.001 ? 2 : 1);
  return { state: { points: [], within: 0 }, edit, scalePick: null, say: `Scale set, good to ±${percent} %. Pick a second known length to check the print.` };
}
