import { enlargementOf, holdsAt, layOf, pickUncertaintyOf, shapeUncertainty, toSheetPoint } from '../../shared-core/document/index';
import type { PlanRef, Point, Scale } from '../../shared-core/document/index';
import type { HostOutput } from '../../shared-core/host-api';

export type FileScale = HostOutput<'examinePlan'>['scales'][number];

/** The scale a file states for itself holds as typed by its maker; the printed sheet may still be stretched. */
const STATED_UNCERTAINTY = 0.002;

/**
 * A scale that the plan's file states, as a scale of the sheet. A drawing without paper is drawn full size: 1 : 1.
 * Where it holds in some views of the page only, it is kept with them.
 * @param all every scale that the file states: others like this one hold in their views too
 * @returns null where the file does not say its unit, or where the picture was made flat from a photograph and is the file's no longer
 */
export function scaleOfFile(plan: PlanRef, one: FileScale, all: readonly FileScale[]): Scale | null {
  const { name, feetPerUnit } = one;
  if (feetPerUnit === null || !(feetPerUnit > 0) || plan.squared || enlargementOf(plan) !== 1) return null;
  const perUnit = feetPerUnit / layOf(plan).scale;
  const unitsPerPaperInch = plan.unitsPerPaperInch === undefined ? 1 / (12 * perUnit) : plan.unitsPerPaperInch * layOf(plan).scale;
  const alike = all.filter((other) => isAlike(one, other));
  return { feetPerUnit: perUnit, ...(alike.some((other) => holdsWhole(other, plan, EDGE)) ? {} : { areas: alike.map((other) => outlineOf(plan, other)) }), relativeUncertainty: Math.hypot(STATED_UNCERTAINTY, shapeUncertainty(plan, [])), pickUncertainty: pickUncertaintyOf(plan),
    from: { kind: 'stated', typed: name, ratio: plan.unitsPerPaperInch === undefined ? 1 : perUnit * 12 * unitsPerPaperInch, unitsPerPaperInch } };
}

/** Two figures for one scale, as files round them. */
const ALIKE = 1e-4;
/** What holds in so much of width and height leaves out nothing but the margin. */
const EDGE = 0.995;

/** A view whose unit is blank is like itself only. */
const isAlike = (a: FileScale, b: FileScale): boolean => a === b || (a.feetPerUnit !== null && b.feetPerUnit !== null && Math.abs(b.feetPerUnit / a.feetPerUnit - 1) < ALIKE);

/**
 * A scale of picked lengths on a page that shows views of different scales: it holds in the views that the lengths lie in, and in
 * those drawn alike. Where the lengths lie elsewhere, or all views are alike, it is the whole sheet's, as the person said it.
 */
export function inViews(plan: PlanRef, picked: Scale, all: readonly FileScale[]): Scale {
  const views = all.map((view) => ({ view, area: outlineOf(plan, view) }));
  const [own] = views.filter(({ view, area }) => picked.from.kind === 'picks' && !holdsWhole(view, plan, EDGE) && picked.from.picks.every((pick) => holdsAt({ areas: [area] }, [pick.from, pick.to])));
  return !own || all.every((view) => isAlike(own.view, view)) ? picked : { ...picked, areas: views.filter(({ view }) => isAlike(own.view, view)).map(({ area }) => area) };
}

function outlineOf(plan: PlanRef, { box: [x, y, width, height] }: FileScale): Point[] {
  return [[x, y], [x + width, y], [x + width, y + height], [x, y + height]].map(([px, py]) => toSheetPoint(plan, { x: px!, y: py! }));
}

/** A detail's scale is no scale of the sheet: it must hold in so much of its width and height. */
const WHOLE = 0.9;
export const holdsWhole = ({ box: [, , width, height] }: Pick<FileScale, 'box'>, sheet: { readonly width: number; readonly height: number }, share = WHOLE): boolean => width >= sheet.width * share && height >= sheet.height * share;

/** In which part of the picture a scale holds: 'upper left', 'right', 'middle'. */
export function partOf({ box: [x, y, width, height] }: Pick<FileScale, 'box'>, sheet: { readonly width: number; readonly height: number }): string {
  const third = (from: number, size: number, all: number, names: readonly [string, string]): string => { const middle = (from + size / 2) / all; return size >= all * WHOLE || (middle > 1 / 3 && middle < 2 / 3) ? '' : names[middle < 0.5 ? 0 : 1]; };
  const words = [third(y, height, sheet.height, ['upper', 'lower']), third(x, width, sheet.width, ['left', 'right'])].filter((word) => word !== '');
  return words.length === 0 ? 'middle' : words.join(' ');
}
