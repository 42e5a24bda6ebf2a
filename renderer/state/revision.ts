import { createStore } from 'zustand/vanilla';
import { useStore } from 'zustand';
import { layOf, planBounds } from '../../shared-core/document/index';
import type { Id, PlanRef, Sheet, Touched } from '../../shared-core/document/index';
import { fitSimilarity } from '../../shared-core/revision/index';
import type { ChangedSquare, Fit, FitOutcome, Place, PointPair } from '../../shared-core/revision/index';
import { sheetUnits } from '../../shared-core/units/index';

/** Which plan is looked at while two are compared. */
export type Shown = 'old' | 'new' | 'difference';

/** A patch of the sheet that is not as it was, sheet units. */
export interface SheetPatch { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number; readonly gone: boolean; readonly fresh: boolean }

/** The computed difference of two plans, laid on the sheet. Pictures are closed when the comparison ends. */
export interface Difference {
  /** Picture elements a sheet unit. */
  readonly resolution: number;
  /** Ink nearer than this to ink of the other plan counts as the same, sheet units. */
  readonly tolerance: number;
  readonly patches: readonly SheetPatch[];
  readonly squares: readonly ChangedSquare[];
  /** Changed ink as a picture over the drawing area from the sheet's corner, fine and for the whole sheet at a glance. */
  readonly fine: ImageBitmap;
  readonly coarse: ImageBitmap;
  readonly width: number;
  readonly height: number;
}

export type DifferenceState =
  | { readonly kind: 'working'; readonly done: number }
  | { readonly kind: 'ready'; readonly difference: Difference; readonly touched: readonly Touched[] }
  /** Nobody can say what changed. */
  | { readonly kind: 'failed'; readonly reason: string };

interface Common {
  readonly sheet: Id;
  /** The plan that lay under the marks when the work began. */
  readonly old: PlanRef;
  /** The new plan; how it lies is known once it is compared. */
  readonly plan: PlanRef;
}

/** Where the work on a revision stands. */
export type RevisionWork =
  | Common & { readonly kind: 'picking'; readonly issue: string; readonly pairs: readonly PointPair[]; readonly half: { readonly side: 'old' | 'new'; readonly at: Place } | null }
  /** pairs and fit are of a new plan; both null where an earlier one is looked at as it lay. */
  | Common & { readonly kind: 'comparing'; readonly issue: string; readonly pairs: readonly PointPair[] | null; readonly fit: Fit | null; readonly shown: Shown; readonly difference: DifferenceState };

export interface RevisionState {
  readonly work: RevisionWork | null;
  /** While a key or button is held the other plan shows. */
  readonly held: boolean;
  /** The part of the sheet, sheet units, that the picking views are asked to show; a new object each time. */
  readonly lookAt: { readonly pair: PointPair } | null;
}

export const revisionStore = createStore<RevisionState>()(() => ({ work: null, held: false, lookAt: null }));
export const useRevision = <T>(select: (state: RevisionState) => T): T => useStore(revisionStore, select);

/** How far a point picked on a plan may be off, in that picture's units: half a point of a PDF page, one and a half elements of a scan. Common practice, no source. */
const pickedWithin = (plan: PlanRef): number => (plan.media === 'application/pdf' ? 0.5 : 1.5);

/** The fit of the pairs picked so far: the coarser of the two plans, or the zoom a point was picked at, decides how exact it can be. */
export function fitPairs(old: PlanRef, plan: PlanRef, pairs: readonly PointPair[]): FitOutcome {
  const worst = (side: 'sheet' | 'picture'): number => Math.max(0, ...pairs.map((pair) => pair[side].within ?? 0));
  const onOld = Math.max(pickedWithin(old) * layOf(old).scale, worst('sheet'));
  const first = fitSimilarity(pairs, onOld);
  if (!first.ok) return first;
  return fitSimilarity(pairs, Math.max(onOld, Math.max(pickedWithin(plan), worst('picture')) * first.fit.lay.scale));
}

/** What is shown of two plans at this moment. */
export function shownNow(work: Extract<RevisionWork, { kind: 'comparing' }>, held: boolean): Shown {
  if (!held) return work.shown;
  return work.shown === 'old' ? 'new' : 'old';
}

/** A rim that rounding and a skewed scan leave; less than any part of a building. */
const RIM = 0.02;

/**
 * The drawing area with another plan under the marks: grown to the right and down where the new plan reaches farther, but not
 * where the sheet shows a part of its old plan only, because then a person cropped it.
 */
export function areaWith(sheet: Sheet, next: PlanRef): { readonly width: Sheet['width']; readonly height: Sheet['height'] } {
  const was = sheet.plan ? planBounds(sheet.plan) : null; const is = planBounds(next);
  const grown = (size: number, old: number | undefined, wanted: number): number => (old !== undefined && old > size * (1 + RIM) ? size : Math.max(size, wanted));
  return { width: sheetUnits(grown(sheet.width, was?.maxX, is.maxX)), height: sheetUnits(grown(sheet.height, was?.maxY, is.maxY)) };
}

/** The sheet as it looks with another plan under its marks. */
export const sheetWith = (sheet: Sheet, plan: PlanRef): Sheet => ({ ...sheet, ...areaWith(sheet, plan), plan });
