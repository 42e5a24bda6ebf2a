import { outlinesContain } from '../geometry/index';
import { feet, sheetUnits } from '../units/index';
import type { Feet, SheetUnits } from '../units/index';
import type { Point, Scale, ScalePick, StatedScale } from './types';

/** Straight plan distance in sheet units. */
export const planDistance = (a: Point, b: Point): SheetUnits => sheetUnits(Math.hypot(b.x - a.x, b.y - a.y));

/** Sheet units to feet on the ground. */
export const toFeet = (scale: Scale, length: SheetUnits): Feet => feet(length * scale.feetPerUnit);
/** Feet on the ground to sheet units. */
export const toSheet = (scale: Scale, length: Feet): SheetUnits => sheetUnits(length / scale.feetPerUnit);

interface PlanPoint { readonly x: number; readonly y: number }

/** Whether the scale is known at all these places and between them: they lie in one view. */
export const holdsAt = ({ areas }: Pick<Scale, 'areas'>, points: readonly PlanPoint[]): boolean => !areas || areas.some((area) => isWithin(area, points));

function isWithin(area: readonly Point[], points: readonly PlanPoint[]): boolean {
  const outline = area.map((p, i) => { const q = area[(i + 1) % area.length] ?? p; return { x1: p.x, y1: p.y, x2: q.x, y2: q.y }; });
  return points.every((p) => outlinesContain([outline], p.x, p.y));
}

/** The scale as it counts for distances between these places; null where it is not set, or not known there. */
export const scaleAt = (scale: Scale | null | undefined, points: readonly PlanPoint[]): Scale | null => (scale && holdsAt(scale, points) ? scale : null);

/** The scale as it counts for distances between these marks: the one whose place is known worst decides. */
export function scaleBetween(scale: Scale, marks: readonly { readonly within?: SheetUnits | undefined }[]): Scale {
  const worst = marks.reduce((most, { within }) => Math.max(most, within ?? 0), 0);
  return worst > scale.pickUncertainty ? { ...scale, pickUncertainty: sheetUnits(worst) } : scale;
}

export type ScaleOutcome = { readonly ok: true; readonly scale: Scale } | { readonly ok: false; readonly reason: string };

/**
 * The scale that fits picked lengths best (least squares through the origin of length over sheet distance).
 * The relative uncertainty joins the picking error of each pair with the residuals between pairs.
 * @param pickUncertainty how far one picked point may be off at least, sheet units; a pick may say more of itself
 * @param shape how far the plan's own shape may be off as a share of a distance (shapeUncertainty); residuals beyond it count instead
 */
export function scaleFromPicks(picks: readonly ScalePick[], pickUncertainty: SheetUnits, shape = 0): ScaleOutcome {
  if (picks.length === 0) return { ok: false, reason: 'Pick two points a known distance apart.' };
  let sumDD = 0; let sumDL = 0; let sumErrors = 0;
  for (const pick of picks) {
    const d = planDistance(pick.from, pick.to);
    const within = Math.max(pickUncertainty, pick.within ?? 0);
    if (!(d > 2 * within)) return { ok: false, reason: 'The two points lie on top of each other: pick points further apart.' };
    if (!(pick.length > 0) || !Number.isFinite(pick.length)) return { ok: false, reason: `The length '${pick.typed}' must be greater than zero.` };
    sumDD += d * d; sumDL += d * pick.length; sumErrors += (d * within) ** 2;
  }
  const feetPerUnit = sumDL / sumDD;
  // Both ends of a pick may be off, by sqrt(2) times one point's error: what that does to the fitted scale, each pick by its weight.
  const picking = (Math.SQRT2 * Math.sqrt(sumErrors)) / sumDD;
  let worst = 0;
  for (const pick of picks) worst = Math.max(worst, Math.abs(pick.length / (planDistance(pick.from, pick.to) * feetPerUnit) - 1));
  return { ok: true, scale: { feetPerUnit, relativeUncertainty: Math.hypot(picking, Math.max(shape, picks.length > 1 ? worst : 0)), pickUncertainty, from: { kind: 'picks', picks } } };
}

/**
 * The scale from a drawing scale and the sheet's print size.
 * @param ratio real length over paper length, e.g. 96 for 1/8" = 1'-0"
 * @param unitsPerPaperInch sheet units per inch of paper (72 for PDF points)
 */
export function scaleFromDrawing(typed: string, ratio: number, unitsPerPaperInch: number, relativeUncertainty: number, pickUncertainty: SheetUnits): ScaleOutcome {
  if (!(ratio > 0) || !Number.isFinite(ratio)) return { ok: false, reason: `'${typed}' is not a drawing scale: write 1/8" = 1'-0" or 1:100.` };
  if (!(unitsPerPaperInch > 0) || !Number.isFinite(unitsPerPaperInch)) return { ok: false, reason: 'The print size of this sheet is not known: give the sheet size, or pick two points.' };
  return { ok: true, scale: { feetPerUnit: ratio / 12 / unitsPerPaperInch, relativeUncertainty, pickUncertainty, from: { kind: 'stated', typed, ratio, unitsPerPaperInch } } };
}

const statedPart = ({ typed, ratio, unitsPerPaperInch }: StatedScale): StatedScale => ({ typed, ratio, unitsPerPaperInch });

/**
 * A newly given scale beside what the sheet had, in whatever order they came: picked lengths always decide, and a drawing
 * scale stands beside them to be held against them.
 */
export function joinScale(before: Scale | null, given: Scale): Scale {
  if (given.from.kind === 'stated') return before?.from.kind === 'picks' ? { ...before, stated: statedPart(given.from) } : given;
  const stated = before?.from.kind === 'stated' ? statedPart(before.from) : before?.stated;
  // Lengths picked where the drawing scale holds say nothing about the rest of the sheet; one picked elsewhere does.
  const areas = before?.areas && given.from.kind === 'picks' && given.from.picks.every((pick) => holdsAt(before, [pick.from, pick.to])) ? before.areas : given.areas;
  return { ...given, ...(stated ? { stated } : {}), ...(areas ? { areas } : {}) };
}

/** Paper stretches in copiers and printers by up to this much; without a second length nobody knows by how much. Common practice, no source. */
export const PAPER_STRETCH = 0.005;

/**
 * How far the picked lengths make things larger than the stated drawing scale does, as a share (0.02: 2 % larger).
 * @returns null when nothing was stated or the two agree within the uncertainty of the picks and of paper
 */
export function contradiction(scale: Scale): number | null {
  if (!scale.stated) return null;
  const off = scale.feetPerUnit / (scale.stated.ratio / 12 / scale.stated.unitsPerPaperInch) - 1;
  return Math.abs(off) > scale.relativeUncertainty + PAPER_STRETCH ? off : null;
}

/**
 * How much longer the plan is drawn along x than along y, as a share, from lengths picked in different directions: each pick says
 * L^2 = (a dx)^2 + (b dy)^2, and a and b are fitted to all of them by least squares.
 * @returns a / b - 1; null unless two picks differ in direction by 30 degrees or more
 */
export function stretchOf(picks: readonly ScalePick[]): number | null {
  const angles = picks.map(({ from, to }) => Math.atan2(Math.abs(to.y - from.y), Math.abs(to.x - from.x)));
  if (picks.length < 2 || Math.max(...angles) - Math.min(...angles) < Math.PI / 6) return null;
  let [xx, xy, yy, xl, yl] = [0, 0, 0, 0, 0];
  for (const { from, to, length } of picks) {
    // Weighted so that each pick counts by its relative error.
    const [u, v] = [((to.x - from.x) / length) ** 2, ((to.y - from.y) / length) ** 2];
    xx += u * u; xy += u * v; yy += v * v; xl += u; yl += v;
  }
  const det = xx * yy - xy * xy;
  const [a2, b2] = [(xl * yy - yl * xy) / det, (yl * xx - xl * xy) / det];
  return det > 0 && a2 > 0 && b2 > 0 ? Math.sqrt(b2 / a2) - 1 : null;
}
