import { applyHomography, boundsUnder, composeHomography, cornerFault, cornersAround, cornersOfBox, depthUnder, enlargementAt, homographyBetween, inFrontOf, invertHomography, PLAIN_VIEW, ratioOfRectangle, similarityMatrix } from '../geometry/index';
import type { Box, CornerFault, Corners, Homography, Similarity } from '../geometry/index';
import { sheetUnits } from '../units/index';
import type { Feet, SheetUnits } from '../units/index';
import { everyEntity } from './create';
import { layOf, toSheetPoint } from './lay';
import { joinScale, PAPER_STRETCH, scaleFromDrawing, scaleFromPicks, stretchOf } from './scale';
import { layAnew, marksSeen } from './move-marks';
import type { Document, Entity, Id, PlanRef, Point, Scale, ScalePick, Sheet, Squared } from './types';
import type { Edit, Patch } from './edits';

interface Vector { readonly x: number; readonly y: number }

/** What a lens bends within one picture, as a share of a distance, after a camera's own correction. Common practice, no source. */
const LENS = 0.01;
/** How far a shape read off the slant of four corners may be off. Common practice, no source. */
const GUESSED_RATIO = 0.05;
/** A person points about one and a half picture elements off. */
const POINTING = 1.5;
/** What is seen from more than twice as far as the farthest corner is left out: it would be smeared beyond use. */
const FARTHEST = 0.5;
/** The corrected picture is at most so much larger than the photograph, and never larger than can be worked on at once. */
const MOST_GROWTH = 3;
const MOST_PIXELS = 80e6;
/** Long side of a common camera's view against the distance of its picture from the eye (a lens of 26 mm before a film of 36 mm). From memory. */
const USUAL_FOCUS = 26 / 36;

/** What the two sides of the corners are known by: nothing, or their lengths across and down, in any one unit. */
export type KnownSides = { readonly across: number; readonly down: number } | null;

/** How a photographed picture is to be made flat. */
export interface Squaring {
  /** Leads from the photograph's picture units to those of the flat picture. */
  readonly map: Homography;
  /** Size of the flat picture, whole numbers. */
  readonly width: number;
  readonly height: number;
  /** Where the four corners come to lie in it. */
  readonly box: Box;
  /** The corners in order around, upper left first, picture units of the photograph. */
  readonly corners: Corners;
  /** How far the corners may be off, picture units of the photograph. */
  readonly within: number;
  /** How far any distance may be off because the corners were pointed at by hand and the lens bends, as a share. */
  readonly uncertainty: number;
}
export type SquaringOutcome = { readonly ok: true; readonly squaring: Squaring } | { readonly ok: false; readonly fault: CornerFault | 'too-small' | 'outside' };

const LEAST_SIDE = 20;

/**
 * Plans the flat picture of a photographed plan from four corners of something that is rectangular in truth.
 * @param size of the photograph, picture units
 * @param picked the corners in any order, picture units
 * @param perUnit picture elements per picture unit: 1 for a photograph, more for a page of a PDF
 * @param pointed how far a corner may be off as it was pointed at, picture units; never taken for less than a hand can do
 */
export function planSquaring(size: { readonly width: number; readonly height: number }, picked: Corners, sides: KnownSides, perUnit = 1, pointed = 0): SquaringOutcome {
  const corners = cornersAround(picked);
  const fault = cornerFault(corners);
  if (fault) return { ok: false, fault };
  if (corners.some((c, i) => Math.hypot(c.x - corners[(i + 1) % 4]!.x, c.y - corners[(i + 1) % 4]!.y) < LEAST_SIDE / perUnit)) return { ok: false, fault: 'too-small' };
  if (corners.some((c) => c.x < -LEAST_SIDE || c.y < -LEAST_SIDE || c.x > size.width + LEAST_SIDE || c.y > size.height + LEAST_SIDE)) return { ok: false, fault: 'outside' };
  const ratio = sides ? sides.across / sides.down : ratioOfRectangle(corners, { x: size.width / 2, y: size.height / 2 }, USUAL_FOCUS * Math.max(size.width, size.height));
  const flat = homographyBetween(corners, cornersOfBox({ minX: 0, minY: 0, maxX: ratio, maxY: 1 }));
  const seen = inFrontOf(flat, cornersOfBox({ minX: 0, minY: 0, maxX: size.width, maxY: size.height }), FARTHEST * Math.min(...corners.map((c) => depthUnder(flat, c))));
  const spread = boundsOf(seen.map((p) => applyHomography(flat, p)));
  // No part between the corners comes out smaller than it was photographed, unless the whole grew beyond what can be worked on.
  const most = Math.min(MOST_PIXELS, MOST_GROWTH * size.width * size.height * perUnit ** 2);
  const scale = Math.min(perUnit / Math.min(...corners.map((c) => enlargementAt(flat, c))), Math.sqrt(most / ((spread.maxX - spread.minX) * (spread.maxY - spread.minY))));
  const place: Homography = [scale, 0, -spread.minX * scale, 0, scale, -spread.minY * scale, 0, 0, 1];
  const [left, top] = [-spread.minX * scale, -spread.minY * scale];
  const squaring = {
    map: composeHomography(place, flat), corners, box: { minX: left, minY: top, maxX: left + ratio * scale, maxY: top + scale },
    width: Math.max(1, Math.ceil((spread.maxX - spread.minX) * scale)), height: Math.max(1, Math.ceil((spread.maxY - spread.minY) * scale)),
  };
  const within = Math.max(pointed, POINTING / perUnit);
  return { ok: true, squaring: { ...squaring, within, uncertainty: Math.hypot(LENS, pointingError(squaring, seen, within)) } };
}

const boundsOf = (points: readonly Vector[]): Box => ({
  minX: Math.min(...points.map((p) => p.x)), minY: Math.min(...points.map((p) => p.y)), maxX: Math.max(...points.map((p) => p.x)), maxY: Math.max(...points.map((p) => p.y)) });

/** How much a distance anywhere on the flat picture changes when each corner was pointed at a little off: corners close together say little about what is far from them. */
function pointingError({ map, corners, box }: Pick<Squaring, 'map' | 'corners' | 'box'>, seen: readonly Vector[], pointing: number): number {
  const places = [...corners, ...seen].map((p) => ({ there: p, here: applyHomography(map, p) }));
  const apart = Math.min(box.maxX - box.minX, box.maxY - box.minY) / 4;
  const lengths = places.flatMap((a, i) => places.slice(i + 1).map((b) => ({ a, b, length: Math.hypot(a.here.x - b.here.x, a.here.y - b.here.y) }))).filter((one) => one.length > apart);
  const squares = lengths.map(() => 0);
  for (const [at] of corners.entries()) {
    for (const [dx, dy] of [[pointing, 0], [0, pointing]] as const) {
      const off = homographyBetween(corners.map((c, i) => (i === at ? { x: c.x + dx, y: c.y + dy } : c)) as unknown as Corners, cornersOfBox(box));
      lengths.forEach(({ a, b, length }, i) => {
        const [p, q] = [applyHomography(off, a.there), applyHomography(off, b.there)];
        squares[i]! += (Math.hypot(p.x - q.x, p.y - q.y) / length - 1) ** 2;
      });
    }
  }
  return Math.sqrt(Math.max(0, ...squares));
}

/** From the photograph's picture units to those of the plan's own picture; the plain view for a plan that was not made flat. */
export const viewOf = (plan: PlanRef): Homography => (plan.squared ? homographyBetween(plan.squared.corners, cornersOfBox(plan.squared.box)) : PLAIN_VIEW);

const asHomography = (lay: Similarity): Homography => { const [a, b, c, d, e, f] = similarityMatrix(lay); return [a, c, e, b, d, f, 0, 0, 1]; };

/** From the photograph to the sheet. */
const sheetView = (plan: PlanRef): Homography => composeHomography(asHomography(layOf(plan)), viewOf(plan));

/** Sheet points as places of the photograph that the plan's picture was made from; of the picture itself where it was not made flat. */
export function toPhotograph(plan: PlanRef, points: readonly Point[]): Vector[] {
  const back = invertHomography(sheetView(plan));
  return points.map((p) => applyHomography(back, p));
}

/** The photograph a flat plan was made from, else the plan itself. */
export const photographOf = (plan: PlanRef): PlanRef => plan.squared?.original ?? plan;

/** How far one picked point of this plan may be off, sheet units: one and a half picture elements as photographed, half a point of a PDF page. */
export function pickUncertaintyOf(plan: PlanRef | null): SheetUnits {
  if (!plan) return sheetUnits(POINTING);
  const grown = plan.squared ? Math.max(1, enlargementOf(plan)) : 1;
  return sheetUnits((photographOf(plan).media === 'application/pdf' ? 0.5 : POINTING) * grown * layOf(plan).scale);
}

/** How much larger a flat plan came out than its photograph, in the middle between its corners; 1 for a plan as it is. */
export const enlargementOf = (plan: PlanRef): number => (plan.squared ? enlargementAt(viewOf(plan), middleOf(plan.squared.corners)) : 1);

const middleOf = (corners: Corners): Vector => ({ x: corners.reduce((sum, c) => sum + c.x / 4, 0), y: corners.reduce((sum, c) => sum + c.y / 4, 0) });

/**
 * How far the plan's own shape may be off, as a share of any distance on it: a photograph made flat keeps what the lens bent and how
 * surely its corners were pointed at; 0 for scans and drawings. A shape that was only read off the slant counts until lengths were
 * picked in two directions.
 */
export function shapeUncertainty(plan: PlanRef | null, picks: readonly ScalePick[]): number {
  if (!plan?.squared) return 0;
  return plan.squared.sides === 'guessed' && stretchOf(picks) === null ? Math.hypot(plan.squared.uncertainty, GUESSED_RATIO) : plan.squared.uncertainty;
}

export type SquareEdit = { readonly ok: true; readonly edit: Edit } | { readonly ok: false; readonly mark: Entity };

/** What a person says about the corners' sides. */
export type StatedSides = { readonly of: 'building' | 'paper'; readonly across: { readonly length: Feet; readonly typed: string }; readonly down: { readonly length: Feet; readonly typed: string } } | null;

/**
 * Lays the flat picture of a photographed plan under its marks, in one edit. Every mark, pick and opening goes through the same map as
 * the picture, so it stays on what it was put on. The photograph is kept inside the new plan.
 * @param made the bytes and kind of the flat picture
 * @returns the edit; or a mark that stands where the photograph shows nothing of the plan's ground any more
 * @throws RangeError when the sheet has no plan
 */
export function squarePlan(document: Document, name: string, sheetId: Id, squaring: Squaring, sides: StatedSides, made: { readonly blob: string; readonly media: PlanRef['media'] }): SquareEdit {
  const sheet = document.sheets.find((s) => s.id === sheetId);
  if (!sheet?.plan) throw new RangeError(`no plan to make flat on ${sheetId}`);
  const { issue, look } = sheet.plan;
  const { issue: _, look: __, squared: ___, ...original } = photographOf(sheet.plan);
  const squared: Squared = {
    original,
    corners: squaring.corners.map(({ x, y }) => ({ x: sheetUnits(x), y: sheetUnits(y) })) as unknown as Squared['corners'],
    box: squaring.box, within: squaring.within, uncertainty: squaring.uncertainty, sides: sides?.of ?? 'guessed',
  };
  const perInch = sides?.of === 'paper' ? (squaring.box.maxX - squaring.box.minX) / (12 * sides.across.length) : undefined;
  const plan: PlanRef = { blob: made.blob, name: original.name, media: made.media, page: 0, width: sheetUnits(squaring.width), height: sheetUnits(squaring.height), squared,
    ...(perInch === undefined ? {} : { unitsPerPaperInch: perInch }), ...(issue ? { issue } : {}), ...(look ? { look } : {}) };
  return seenAnew(document, name, sheet, plan, { minX: 0, minY: 0, maxX: squaring.width, maxY: squaring.height }, sides?.of === 'building' ? sidePicks(squaring.box, sides) : []);
}

/** The stated sides as picked lengths: two directions at once. */
function sidePicks({ minX, minY, maxX, maxY }: Box, sides: NonNullable<StatedSides>): ScalePick[] {
  const at = (x: number, y: number): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
  return [{ from: at(minX, minY), to: at(maxX, minY), ...sides.across }, { from: at(minX, minY), to: at(minX, maxY), ...sides.down }];
}

/**
 * The same corners with the shape that lengths picked in two directions give the rectangle, where it had only been read off the slant.
 * @returns how much too long it is across against down, as a share, and the mended view; null where nothing tells, or it agrees to 0.3 %
 */
export function mendedShape(plan: PlanRef, picks: readonly ScalePick[], perUnit: number): { readonly off: number; readonly squaring: Squaring } | null {
  const { squared } = plan;
  const off = squared?.sides === 'guessed' && layOf(plan).turn === 0 ? stretchOf(picks) : null;
  if (!squared || off === null || Math.abs(off) < LEAST_STRETCH) return null;
  const { minX, minY, maxX, maxY } = squared.box;
  const outcome = planSquaring(squared.original, squared.corners, { across: (maxX - minX) / (1 + off), down: maxY - minY }, perUnit, squared.within);
  return outcome.ok ? { off, squaring: outcome.squaring } : null;
}

/** Less than this is within what a lens bends and a hand misses. */
const LEAST_STRETCH = 0.003;

/** Shows the photograph again as it was taken, marks with it. @throws RangeError when the sheet's plan was not made flat */
export function unsquarePlan(document: Document, name: string, sheetId: Id): SquareEdit {
  const sheet = document.sheets.find((s) => s.id === sheetId);
  const { squared, look, issue } = sheet?.plan ?? {};
  if (!sheet || !squared) throw new RangeError(`no flat plan on ${sheetId}`);
  const lying = { ...squared.original, ...(look ? { look } : {}), ...(issue ? { issue } : {}) };
  const bounds = boundsUnder(layOf(lying), { minX: 0, minY: 0, maxX: lying.width, maxY: lying.height });
  const lay = { ...layOf(lying), x: layOf(lying).x - bounds.minX, y: layOf(lying).y - bounds.minY };
  return seenAnew(document, name, sheet, lying.lay ? { ...lying, lay } : lying, bounds, []);
}

/** Another view of the same plan under its marks, and everything on the sheet through the map between the two. */
function seenAnew(document: Document, name: string, sheet: Sheet, plan: PlanRef, area: Box, first: readonly ScalePick[]): SquareEdit {
  const before = sheet.plan!;
  const map = composeHomography(sheetView(plan), invertHomography(sheetView(before)));
  const marks = everyEntity(document).filter((e) => e.sheet === sheet.id && e.kind !== 'exception');
  const scale = scaleSeen(sheet.scale, map, plan, first, first.length > 0 ? sideEnds(before) : []);
  const seen = marksSeen(map, marks, { before: sheet.scale, after: scale });
  if ('unseen' in seen) return { ok: false, mark: seen.unseen };
  const after: Sheet = { ...sheet, plan, scale, width: sheetUnits(area.maxX - area.minX), height: sheetUnits(area.maxY - area.minY),
    ...(sheet.earlier ? { earlier: sheet.earlier.map((p) => ({ ...p, lay: layAnew(map, layOf(p), area) })) } : {}) };
  return { ok: true, edit: { name, patches: [{ at: 'sheets', before: document.sheets, after: document.sheets.map((s) => (s === sheet ? after : s)) }, 
    ...marks.map((mark): Patch => ({ at: 'entity', id: mark.id, before: mark, after: seen.moved.get(mark.id) ?? mark }))] } };
}

/** Where the stated sides of a flat plan meet, sheet units: lengths picked between them give way to sides that are stated anew. */
const sideEnds = (plan: PlanRef): Point[] => (plan.squared?.sides === 'building' ? cornersOfBox(plan.squared.box).map((corner) => toSheetPoint(plan, corner)) : []);
const isOne = (points: readonly Point[], p: Point): boolean => points.some((q) => Math.hypot(p.x - q.x, p.y - q.y) < 1e-6);

/** Picked lengths go along; a drawing scale holds on only where the new view says how large its paper is. */
function scaleSeen(scale: Scale | null, map: Homography, plan: PlanRef, first: readonly ScalePick[], replaced: readonly Point[]): Scale | null {
  const to = (p: Point): Point => { const { x, y } = applyHomography(map, p); return { x: sheetUnits(x), y: sheetUnits(y) }; };
  const old = scale?.from.kind === 'picks' ? scale.from.picks.filter((pick) => !(isOne(replaced, pick.from) && isOne(replaced, pick.to))).map((pick) => ({ ...pick, from: to(pick.from), to: to(pick.to) })) : [];
  const picks = [...first, ...old];
  const picked = picks.length > 0 ? scaleFromPicks(picks, pickUncertaintyOf(plan), shapeUncertainty(plan, picks)) : null;
  const stated = scale?.from.kind === 'stated' ? scale.from : scale?.stated;
  const drawn = stated && plan.unitsPerPaperInch !== undefined
    ? scaleFromDrawing(stated.typed, stated.ratio, plan.unitsPerPaperInch * layOf(plan).scale, Math.hypot(PAPER_STRETCH, shapeUncertainty(plan, [])), pickUncertaintyOf(plan)) : null;
  const base = drawn?.ok ? drawn.scale : null;
  const seen = picked?.ok ? joinScale(base, picked.scale) : base;
  return seen && scale?.areas ? { ...seen, areas: scale.areas.map((area) => area.map(to)) } : seen;
}
