import { applySimilarity, boundsUnder, composeSimilarity, IDENTITY, plainTurn } from '../geometry/index';
import type { Box, Similarity } from '../geometry/index';
import { sheetUnits } from '../units/index';
import { everyEntity } from './create';
import { layOf, planBounds } from './lay';
import { movedMark, rigidMotion } from './move-marks';
import type { Document, Id, PlanRef, Point, Scale, Sheet } from './types';
import type { Edit } from './edits';

const laid = (plan: PlanRef, motion: Similarity): PlanRef => ({ ...plan, lay: composeSimilarity(motion, layOf(plan)) });

function movedScale(scale: Scale | null, motion: Similarity): Scale | null {
  if (!scale) return null;
  const to = rigidMotion(motion).point;
  const moved = movedAreas(scale, motion);
  return moved.from.kind !== 'picks' ? moved : { ...moved, from: { ...moved.from, picks: moved.from.picks.map((pick) => ({ ...pick, from: to(pick.from), to: to(pick.to) })) } };
}

/** The views that a scale holds in go where the plan goes. */
function movedAreas(scale: Scale, motion: Similarity): Scale {
  const to = rigidMotion(motion).point;
  return scale.areas ? { ...scale, areas: scale.areas.map((area) => area.map(to)) } : scale;
}

/** Whether anything on the sheet has a place that a turned plan would leave behind. */
export const hasPlacedMarks = (document: Document, sheet: Id): boolean =>
  everyEntity(document).some((e) => e.sheet === sheet && e.kind !== 'exception' && !(e.kind === 'load' && e.at === null));

/**
 * Turns the plan of a sheet, in one edit.
 * @param turn degrees clockwise
 * @param marks 'along': all marks, scale picks and earlier plans of the sheet turn with it and the drawing area fits the
 * turned plan (a cropped one: what was shown); 'stay': only the plan turns, about the middle of the drawing area, which stays as it is
 * @throws RangeError when the sheet has no plan or the turn is not finite
 */
export function turnPlan(document: Document, name: string, sheetId: Id, turn: number, marks: 'along' | 'stay'): Edit {
  const sheet = document.sheets.find((s) => s.id === sheetId);
  if (!sheet?.plan || !Number.isFinite(turn)) throw new RangeError(`no plan to turn on ${sheetId}`);
  const { plan } = sheet;
  if (marks === 'stay') {
    const middle = { x: sheet.width / 2, y: sheet.height / 2 };
    const away = applySimilarity({ ...IDENTITY, turn }, middle);
    const motion = { scale: 1, turn: plainTurn(turn), x: middle.x - away.x, y: middle.y - away.y };
    return { name, patches: [{ at: 'sheets', before: document.sheets, after: document.sheets.map((s) => (s === sheet ? { ...s, plan: laid(plan, motion), scale: s.scale && movedAreas(s.scale, motion) } : s)) }] };
  }
  const area: Box = { minX: 0, minY: 0, maxX: sheet.width, maxY: sheet.height };
  const turned = { ...IDENTITY, turn };
  const bounds = isWholePlanShown(sheet) ? boundsUnder(composeSimilarity(turned, layOf(plan)), { minX: 0, minY: 0, maxX: plan.width, maxY: plan.height }) : boundsUnder(turned, area);
  return relaid(document, name, sheet, { scale: 1, turn: plainTurn(turn), x: -bounds.minX, y: -bounds.minY }, bounds);
}

/** Moves everything on the sheet at once, so that nothing slides over anything else; the drawing area takes the size of `bounds`. */
function relaid(document: Document, name: string, sheet: Sheet, motion: Similarity, bounds: Box): Edit {
  const after: Sheet = {
    ...sheet, plan: sheet.plan && laid(sheet.plan, motion), scale: movedScale(sheet.scale, motion), width: sheetUnits(bounds.maxX - bounds.minX), height: sheetUnits(bounds.maxY - bounds.minY),
    ...(sheet.earlier ? { earlier: sheet.earlier.map((p) => laid(p, motion)) } : {}),
  };
  const marks = everyEntity(document).filter((e) => e.sheet === sheet.id && e.kind !== 'exception');
  return { name, patches: [{ at: 'sheets', before: document.sheets, after: document.sheets.map((s) => (s === sheet ? after : s)) },
    ...marks.map((e) => ({ at: 'entity' as const, id: e.id, before: e, after: movedMark(e, rigidMotion(motion)) }))] };
}

/** Whether the drawing area is just the plan, neither cut down nor wider, to half a unit. */
export function isWholePlanShown({ plan, width, height }: Sheet): boolean {
  if (!plan) return true;
  const b = planBounds(plan);
  return Math.max(Math.abs(b.minX), Math.abs(b.minY), Math.abs(b.maxX - width), Math.abs(b.maxY - height)) < 0.5;
}

/**
 * Crops a sheet to a part of itself, or widens it again, in one edit: the box becomes the drawing area, and plan and marks keep
 * their places to each other. What lies outside is not shown and not exported, and not lost.
 * @param box sheet units, upright; planBounds of the plan shows all of it again
 * @throws RangeError when there is no such sheet or the box has no area
 */
export function setDrawingArea(document: Document, name: string, sheetId: Id, box: Box): Edit {
  const sheet = document.sheets.find((s) => s.id === sheetId);
  if (!sheet || !(box.maxX > box.minX) || !(box.maxY > box.minY)) throw new RangeError(`no drawing area for ${sheetId}`);
  return relaid(document, name, sheet, { ...IDENTITY, x: -box.minX, y: -box.minY }, box);
}

/** The turn that would make a line level, or upright where that is nearer: degrees clockwise, above -45 to 45. */
export function turnToLevel(from: Point, to: Point): number {
  const angle = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  return -(angle - 90 * Math.round(angle / 90));
}

