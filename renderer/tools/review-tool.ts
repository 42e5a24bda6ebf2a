import { acceptEdit, candidateAt, candidatesWithin, choosing, openCandidates, rejecting } from '../../shared-core/offer/index';
import type { WallOffer } from '../../shared-core/offer/index';
import type { Point } from '../../shared-core/document/index';
import { boxOf, distanceOf, pointAt } from './plan-geometry';
import type { Modifiers, Step, Tool, ToolContext, ToolEvent } from './tool';

interface ReviewState { readonly from: Point | null; readonly boxing: boolean }
type PointerEvent = Extract<ToolEvent, { modifiers: Modifiers; at: Point; clicks: number }>;
const IDLE: ReviewState = { from: null, boxing: false };

const NOTHING = 'No walls are offered here. Offer walls stands in the side panel.';
const HOW = 'Click a wall to choose it, drag a box for several (Shift takes out). A makes walls of the chosen, X rejects them.';

const walls = (n: number): string => `${n} ${n === 1 ? 'wall' : 'walls'}`;

/** Going through the walls a plan shows: choose by click, box or key; only A makes walls of what is chosen. */
export const reviewTool: Tool<ReviewState> = {
  id: 'review',
  start: () => IDLE,
  isBusy: (state) => state.boxing,
  typing: () => ({ from: null, asks: 'point' }),
  step: (state, event, context): Step<ReviewState> => {
    const { offer, document } = context;
    if (!offer) return event.type === 'key' ? { state: IDLE, unused: true } : { state: IDLE, say: NOTHING };
    const open = openCandidates(offer, document);
    if (event.type === 'key') return key(offer, open, event.key, context);
    if (event.type === 'length' || event.type === 'size') return { state, unused: true };
    if (event.type === 'place') return toggledAt(offer, open, event.at, context);
    return pointed(state, offer, open, event, context);
  },
};

function key(offer: WallOffer, open: readonly number[], name: string, { document }: ToolContext): Step<ReviewState> {
  const chosen = open.filter((i) => offer.chosen.has(i));
  switch (name) {
    case 'Enter': {
      if (offer.at === null || !open.includes(offer.at)) return { state: IDLE, say: 'Tab goes to an offered wall, Enter chooses it.' };
      return { state: IDLE, offer: choosing(offer, [offer.at], !offer.chosen.has(offer.at)), say: HOW };
    }
    case 'a': case 'A':
      if (chosen.length === 0) return { state: IDLE, say: 'Choose offered walls first: click them, or drag a box round them.' };
      return { state: IDLE, edit: acceptEdit(offer, chosen, document), offer: choosing(offer, chosen, false), say: `${walls(chosen.length)} made of the offer. Undo takes them back into it.` };
    case 'x': case 'X': case 'Delete':
      if (chosen.length === 0) return { state: IDLE, say: 'Choose offered walls first: click them, or drag a box round them.' };
      return { state: IDLE, offer: rejecting(offer, chosen), say: `${walls(chosen.length)} rejected: no longer offered.` };
    default: return { state: IDLE, unused: true };
  }
}

function toggledAt(offer: WallOffer, open: readonly number[], at: Point, { reach }: ToolContext): Step<ReviewState> {
  const hit = candidateAt(offer, open, at, reach);
  if (hit === null) return { state: IDLE, say: HOW };
  return { state: IDLE, offer: { ...choosing(offer, [hit], !offer.chosen.has(hit)), at: hit }, say: HOW };
}

function pointed(state: ReviewState, offer: WallOffer, open: readonly number[], event: PointerEvent, context: ToolContext): Step<ReviewState> {
  if (event.type === 'press') return { state: { from: event.at, boxing: false }, say: HOW };
  const { from } = state;
  if (!from) return { state, say: HOW };
  const boxing = state.boxing || distanceOf(from, event.at) >= context.reach / 2;
  if (!boxing) return event.type === 'release' ? toggledAt(offer, open, from, context) : { state };
  const within = candidatesWithin(offer, open, boxOf([from, event.at]), event.modifiers.alt);
  if (event.type === 'release') return { state: IDLE, offer: choosing(offer, within, !event.modifiers.shift), say: HOW };
  const corners = [from, pointAt(event.at.x, from.y), event.at, pointAt(from.x, event.at.y)];
  return {
    state: { from, boxing: true }, draft: { lines: [{ points: corners, closed: true, style: 'box' }], snaps: [], texts: [] },
    say: `${walls(within.length)} inside${event.modifiers.shift ? ', taken out of the choice' : ''}. Alt: also what is only touched. Shift: take out.`,
  };
}
