import { enlargementOf, layOf, toSheetPoint } from '../../shared-core/document/index';
import type { Point, Sheet } from '../../shared-core/document/index';
import { cornersAround, cornersOfBox } from '../../shared-core/geometry/index';
import type { Corners } from '../../shared-core/geometry/index';
import type { PlanPickId } from '../state/store';
import { distanceOf } from './plan-geometry';
import type { Draft, DraftStyle, Step, Tool } from './tool';

interface Picking { readonly points: readonly Point[]; readonly done: boolean }

interface Kind { readonly id: PlanPickId; readonly count: number; readonly says: readonly string[]; readonly after: string; readonly draft: (points: readonly Point[]) => Draft }

const lines = (points: readonly Point[], closed: boolean, style: DraftStyle): Draft =>
  ({ lines: points.length > 1 ? [{ points, closed, style }] : [], snaps: points.map((at) => ({ at, kind: 'end' as const })), texts: [] });
const corner = (x: number, y: number): Point => ({ x, y } as Point);
const boxOfTwo = ([a, b]: readonly Point[]): Draft => (a && b ? lines([a, corner(b.x, a.y), b, corner(a.x, b.y)], true, 'box') : lines(a ? [a] : [], false, 'box'));

/** Clicks, or one drag for the first two points, collect what the side panel then asks about. Never snaps to marks: the plan is meant. */
const pickTool = ({ id, count, says, after, draft }: Kind): Tool<Picking> => ({
  id,
  start: () => ({ points: [], done: false }),
  isBusy: (state) => state.points.length > 0 && !state.done,
  typing: () => ({ from: null, asks: 'point' }),
  step: (state, event, context): Step<Picking> => {
    const points = state.done ? [] : state.points;
    const asked = (kept: readonly Point[]): string => says[Math.min(kept.length, says.length - 1)] ?? '';
    const take = (at: Point): Step<Picking> => {
      const last = points.at(-1);
      if (last && distanceOf(last, at) <= context.precision) return { state: { points, done: false }, draft: draft(points), say: asked(points) };
      const next = [...points, at];
      if (next.length < count) return { state: { points: next, done: false }, draft: draft(next), planPick: null, say: asked(next) };
      return { state: { points: next, done: true }, draft: draft(next), planPick: { id, points: next }, say: after };
    };
    switch (event.type) {
      case 'press': return take(event.at);
      case 'place': return take(event.at);
      case 'release': return points.length === 1 && count === 2 && distanceOf(points[0]!, event.at) > 3 * context.reach ? take(event.at) : { state, draft: draft(state.points), say: state.done ? after : asked(points) };
      case 'move': return { state, draft: draft(state.done || points.length === 0 ? state.points : [...points, event.at]), say: state.done ? after : asked(points) };
      case 'key':
        if (event.key === 'Backspace' && points.length > 0) return { state: { points: points.slice(0, -1), done: false }, draft: draft(points.slice(0, -1)), planPick: null, say: asked(points.slice(0, -1)) };
        return { state, draft: draft(state.points), unused: true };
      default: return { state, unused: true };
    }
  },
});

export const levelTool = pickTool({
  id: 'level', count: 2, draft: (points) => lines(points, false, 'limit'),
  says: ['Click one end of a line of the plan that should run level or upright: the longer it is, the truer.', 'Click its other end.'], after: 'The side panel shows the turn; nothing has changed yet.',
});
export const cropTool = pickTool({
  id: 'crop', count: 2, draft: boxOfTwo,
  says: ['Drag a box around the part of the plan to keep.', 'Click the opposite corner.'], after: 'The side panel asks whether to keep this part only.',
});

interface Cornering { readonly points: readonly Point[]; /** How exactly each was pointed at, sheet units. */ readonly within: readonly number[]; readonly dragged: number | null; readonly told: boolean }

const FOUR = 4;
const CORNERS_SAY = ['Click the four corners of something rectangular: the frame of the sheet, or a large room.', 'Click the second corner.', 'Click the third corner.', 'Click the fourth corner.'];
const CORNERS_AFTER = 'Drag a corner to mend it, zoomed in for exactness. The side panel asks about the sides.';

/** Where the corners lie that a flat plan was made by, so that they can be mended. */
const cornersThere = ({ plan }: Sheet): Point[] => (plan?.squared ? cornersOfBox(plan.squared.box).map((p) => toSheetPoint(plan, p)) : []);

const cornersWithin = ({ plan }: Sheet): number => (plan?.squared ? plan.squared.within * enlargementOf(plan) * layOf(plan).scale : 0);

const outlineOf = (points: readonly Point[]): Draft => {
  const around = points.length === FOUR ? cornersAround(points as unknown as Corners) as unknown as readonly Point[] : points;
  return { ...lines(around, points.length === FOUR, points.length === FOUR ? 'box' : 'limit'), snaps: points.map((at) => ({ at, kind: 'end' as const })) };
};

/** Four corners clicked in any order; each can be dragged until they are used. */
export const cornersTool: Tool<Cornering> = {
  id: 'corners',
  start: ({ sheet }) => { const points = cornersThere(sheet); return { points, within: points.map(() => cornersWithin(sheet)), dragged: null, told: false }; },
  isBusy: (state) => state.points.length > 0 && state.points.length < FOUR,
  resting: (state) => outlineOf(state.points),
  typing: () => ({ from: null, asks: 'point' }),
  step: (state, event, context): Step<Cornering> => {
    const { points, dragged } = state;
    const show = (now: Pick<Cornering, 'points' | 'within' | 'dragged'>, ask: readonly Point[] = now.points): Step<Cornering> => {
      const isWhole = now.points.length === FOUR;
      const tell = isWhole && now.dragged === null && (!state.told || now.points !== points);
      return { state: { ...now, told: isWhole && (state.told || tell) }, draft: outlineOf(ask), say: isWhole ? CORNERS_AFTER : CORNERS_SAY[now.points.length]!,
        ...(tell ? { planPick: { id: 'corners', points: now.points, within: Math.max(...now.within) } } : isWhole ? {} : { planPick: null }) };
    };
    const still = (): Step<Cornering> => show({ ...state, dragged: null });
    const put = (at: Point): Step<Cornering> => (points.length === FOUR || points.some((p) => distanceOf(p, at) <= context.precision) ? still()
      : show({ points: [...points, at], within: [...state.within, context.precision], dragged: null }));
    const drag = (index: number, at: Point, isOver: boolean): Step<Cornering> => show({
      points: points.map((p, i) => (i === index ? at : p)), within: state.within.map((w, i) => (i === index ? context.precision : w)), dragged: isOver ? null : index });
    switch (event.type) {
      case 'press': {
        const near = points.findIndex((p) => distanceOf(p, event.at) <= 1.5 * context.reach);
        return near >= 0 ? show({ ...state, dragged: near }) : put(event.at);
      }
      case 'place': return put(event.at);
      case 'move': return dragged !== null ? drag(dragged, event.at, false) : show(state, points.length > 0 && points.length < FOUR ? [...points, event.at] : points);
      // The last move before the button goes up may never have been told.
      case 'release': return dragged !== null ? drag(dragged, event.at, true) : still();
      case 'key': return event.key === 'Backspace' && points.length > 0 ? show({ points: points.slice(0, -1), within: state.within.slice(0, -1), dragged: null }) : { state, draft: outlineOf(points), unused: true };
      default: return { state, unused: true };
    }
  },
};
