import { enlargementOf, layOf, pickUncertaintyOf, shapeUncertainty } from '../../shared-core/document/index';
import type { PlanRef, Scale } from '../../shared-core/document/index';
import type { HostOutput } from '../../shared-core/host-api';

export type FileScale = HostOutput<'examinePlan'>['scales'][number];

/** The scale a file states for itself holds as typed by its maker; the printed sheet may still be stretched. */
const STATED_UNCERTAINTY = 0.002;

/**
 * A scale that the plan's file states, as a scale of the sheet. A drawing without paper is drawn full size: 1 : 1.
 * @returns null where the file does not say its unit, or where the picture was made flat from a photograph and is the file's no longer
 */
export function scaleOfFile(plan: PlanRef, { name, feetPerUnit }: Pick<FileScale, 'name' | 'feetPerUnit'>): Scale | null {
  if (feetPerUnit === null || !(feetPerUnit > 0) || plan.squared || enlargementOf(plan) !== 1) return null;
  const perUnit = feetPerUnit / layOf(plan).scale;
  const unitsPerPaperInch = plan.unitsPerPaperInch === undefined ? 1 / (12 * perUnit) : plan.unitsPerPaperInch * layOf(plan).scale;
  return { feetPerUnit: perUnit, relativeUncertainty: Math.hypot(STATED_UNCERTAINTY, shapeUncertainty(plan, [])), pickUncertainty: pickUncertaintyOf(plan),
    from: { kind: 'stated', typed: name, ratio: plan.unitsPerPaperInch === undefined ? 1 : perUnit * 12 * unitsPerPaperInch, unitsPerPaperInch } };
}

/** A detail's scale is no scale of the sheet: it must hold in so much of its width and height. */
const WHOLE = 0.9;
export const holdsWhole = ({ box: [, , width, height] }: Pick<FileScale, 'box'>, sheet: { readonly width: number; readonly height: number }): boolean => width >= sheet.width * WHOLE && height >= sheet.height * WHOLE;

/** In which part of the picture a scale holds: 'upper left', 'right', 'middle'. */
export function partOf({ box: [x, y, width, height] }: Pick<FileScale, 'box'>, sheet: { readonly width: number; readonly height: number }): string {
  const third = (from: number, size: number, all: number, names: readonly [string, string]): string => { const middle = (from + size / 2) / all; return size >= all * WHOLE || (middle > 1 / 3 && middle < 2 / 3) ? '' : names[middle < 0.5 ? 0 : 1]; };
  const words = [third(y, height, sheet.height, ['upper', 'lower']), third(x, width, sheet.width, ['left', 'right'])].filter((word) => word !== '');
  return words.length === 0 ? 'middle' : words.join(' ');
}
