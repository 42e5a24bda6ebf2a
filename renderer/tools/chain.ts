import { holdsAt, pickUncertaintyOf } from '../../shared-core/document/index';
import type { Entity, Point } from '../../shared-core/document/index';
import { sheetUnits, showLength } from '../../shared-core/units/index';
import type { SheetUnits } from '../../shared-core/units/index';
import { distanceOf, lengthInFeet, middleOf } from './plan-geometry';
import { isExactSnap } from './snap';
import type { Snap } from './snap';
import { snapDraft } from './tool';
import type { Draft, DraftStyle, ToolContext, ToolEvent } from './tool';

/** A line being drawn point by point: walls, routes, outlines. */
export interface ChainStep {
  readonly points: readonly Point[];
  readonly finish: 'open' | 'closed' | null;
  readonly snap: Snap | null;
  /** What the point that was just pointed at was drawn to. */
  readonly added?: Snap;
  readonly unused?: boolean;
}

/**
 * One event in the life of a chain: clicks add points, a drag adds its end, the first point closes, a double click or
 * Enter finishes, Backspace takes the last point back, Escape is the runner's.
 * @param least  how many points make something; finishing with fewer drops the chain
 */
export function stepChain(points: readonly Point[], event: ToolEvent, context: ToolContext, least: number): ChainStep {
  const last = points.at(-1); const first = points[0];
  const keep = (snap: Snap | null = null): ChainStep => ({ points, finish: null, snap });
  if (event.type === 'place') return { points: sameAs(last, event.at) ? points : [...points, event.at], finish: null, snap: null };
  if (event.type === 'key') {
    if (event.key === 'Enter') return points.length >= least ? { points, finish: 'open', snap: null } : { points: [], finish: null, snap: null, unused: points.length === 0 };
    if (event.key === 'Backspace' && points.length > 0) return { points: points.slice(0, -1), finish: null, snap: null };
    return { ...keep(), unused: true };
  }
  if (event.type !== 'press' && event.type !== 'move' && event.type !== 'release') return { ...keep(), unused: true };
  const snap = context.snap(event.at, { from: last, before: points.at(-2), square: event.modifiers.shift, own: points.slice(0, -1) });
  if (event.type === 'move') return keep(snap);
  if (event.type === 'release') {
    // A press that was dragged well away draws the line to where it was let go.
    const dragged = last !== undefined && distanceOf(last, snap.at) > 3 * context.reach;
    if (!dragged) return keep(snap);
  } else if (event.clicks > 1 && points.length >= least) return { points, finish: 'open', snap };
  if (first && points.length >= 3 && sameAs(first, snap.at)) return { points, finish: 'closed', snap };
  return sameAs(last, snap.at) ? { points, finish: null, snap } : { points: [...points, snap.at], finish: null, snap, added: snap };
}

const sameAs = (a: Point | undefined, b: Point): boolean => a !== undefined && distanceOf(a, b) < 1e-9;

/** The chain so far, the piece to the pointer, and that piece's length. */
export function chainDraft(points: readonly Point[], snap: Snap | null, context: ToolContext, style: DraftStyle, width?: number): Draft {
  const last = points.at(-1);
  const shown = snap && last ? [...points, snap.at] : points;
  const marks = snap ? snapDraft(snap) : { lines: [], snaps: [] };
  return {
    lines: [...(shown.length > 1 ? [{ points: shown, style, ...(width === undefined ? {} : { width }) }] : []), ...marks.lines],
    snaps: [...(points.length === 1 && last ? [{ at: last, kind: 'end' as const }] : []), ...marks.snaps],
    texts: snap && last && distanceOf(last, snap.at) > 0 ? [{ at: middleOf(last, snap.at), text: lengthText(context, distanceOf(last, snap.at), [last, snap.at]) }] : [],
  };
}

/** A mark that may stand farther off than this by the zoom it was pointed at is told of, feet. Own choice: two inches. */
const ROUGH = 1 / 6;

/** How far a place may be off that was pointed at, where that is more than the plan's own points are: one pixel of the screen. */
export function pointedWithin({ sheet, precision }: Pick<ToolContext, 'sheet' | 'precision'>): SheetUnits | undefined {
  return precision > (sheet.scale?.pickUncertainty ?? pickUncertaintyOf(sheet.plan)) ? sheetUnits(precision) : undefined;
}

/** How far the points of a chain may be off, with one that was just pointed at; 0: no more than the plan's own. */
export const chainWithin = (before: number, { added }: Pick<ChainStep, 'added'>, context: Pick<ToolContext, 'sheet' | 'precision'>): number =>
  (added && !isExactSnap(added) ? Math.max(before, pointedWithin(context) ?? 0) : before);

/** A mark whose place is known so well; without a figure as well as the plan's own points are. */
export function knownWithin<E extends Entity>(mark: E, within: number | undefined): E {
  const { within: _, ...exact } = mark;
  return { ...exact, ...(within === undefined || within === 0 ? {} : { within: sheetUnits(within) }) } as unknown as E;
}

/** What to say of a place that was pointed at from far away. Empty where it is exact enough. */
export function roughPlace({ document, sheet, precision }: Pick<ToolContext, 'document' | 'sheet' | 'precision'>): string {
  const off = lengthInFeet(sheet, precision);
  if (off === null || off < ROUGH || precision <= (sheet.scale?.pickUncertainty ?? 0)) return '';
  return ` At this zoom a place is good to about ${showLength(off, document.facts.units, { finest: 1 })}, and every distance from it: zoom in or type it to be exact.`;
}

/** What is said in place of a length where the sheet shows another view, drawn to another scale. */
export const NO_SCALE_THERE = 'The scale of the sheet is not known there.';

/**
 * A sheet length as the project writes lengths; in sheet units while there is no scale.
 * @param points where it was measured: no length is known where the scale does not hold
 */
export function lengthText(context: Pick<ToolContext, 'document' | 'sheet'>, length: number, points: readonly Point[] = []): string {
  if (context.sheet.scale && !holdsAt(context.sheet.scale, points)) return NO_SCALE_THERE;
  const real = lengthInFeet(context.sheet, length);
  return real === null ? `${Math.round(length)} sheet units, no scale yet` : showLength(real, context.document.facts.units);
}
