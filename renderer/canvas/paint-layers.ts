import type { Id, PlanRef, Point } from '../../shared-core/document/index';
import { openCandidates } from '../../shared-core/offer/index';
import type { WallOffer } from '../../shared-core/offer/index';
import type { PlanSource } from '../plan/index';
import { sheetWith } from '../state/revision';
import type { Difference, Shown } from '../state/revision';
import { ghostsOf, suggestionStore } from '../state/suggestion';
import { grown } from '../tools/plan-geometry';
import type { LabelLayout } from './label-layout';
import { paintDifference } from './paint-difference';
import { paintHand } from './paint-hand';
import { paintMarks, visibleMarks } from './paint-marks';
import { paintOffer, paintOfferAt } from './paint-offer';
import { paintRegion, paintRoom, paintWhose } from './paint-place';
import { paintPlan } from './paint-plan';
import type { Context } from './paint-primitives';
import { paintBlockers, paintDistances, paintSightLines, paintUnproved } from './paint-sight';
import { paintAreaName } from './paint-space';
import { paintSuggestion } from './paint-suggestion';
import type { Picture } from './picture';
import type { ShownPlace } from './shown-place';
import type { ShownSight } from './shown-sight';
import { LEGIBLE_SYMBOL, symbolPixels } from './symbol-place';
import { visibleBox } from './view';

/** A plan that is compared with the sheet's own, and which of the two shows. */
export interface Comparison { readonly plan: PlanRef; readonly source: PlanSource; readonly shown: Shown; readonly difference: Difference | null }

/** All that the three layers of one frame are painted from. */
export interface Frame extends Picture {
  /** A sheet is shown as it would be: it has no verdicts, and nothing is in the hand. */
  readonly isTrial: boolean;
  readonly comparison: Comparison | null;
  readonly offer: WallOffer | null;
  readonly place: ShownPlace;
  /** Disconnects whose verdicts the preview may change: painted with the hand. */
  readonly concerned: ReadonlySet<Id>;
  readonly liveSight: ShownSight;
  readonly handLabels: LabelLayout;
}

/** Under the difference the new plan only says where one is. */
const COMPARED_FADE = 0.6;

/** The plan, and the walls and areas over it. */
export function paintGroundLayer(context: Context, frame: Frame, paintBuilding: () => void): void {
  const { comparison } = frame;
  if (!comparison || comparison.shown === 'old') paintPlan(context, frame);
  else {
    const sheet = sheetWith(frame.sheet, comparison.plan);
    paintPlan(context, { ...frame, sheet: { ...sheet, fade: comparison.shown === 'difference' ? Math.max(sheet.fade, COMPARED_FADE) : sheet.fade }, plan: comparison.source });
  }
  paintBuilding();
  // Over the walls: one that was drawn where ink is gone would hide just that.
  if (comparison?.shown === 'difference' && comparison.difference) paintDifference(context, frame.view, frame.ratio, comparison.difference);
}

/** Marks, sight lines and the region: everything that the hand does not change in this frame. */
export function paintMarkLayer(context: Context, frame: Frame): void {
  const { view, sheet, document, selection, sight, labels, ratio, offer, moving, concerned } = frame;
  const symbol = symbolPixels(view, sheet);
  const seen = grown(visibleBox(view), 40 / view.zoom);
  const isSettled = (id: Id): boolean => !concerned.has(id) && !moving.has(id);
  const inSight = (p: { from: Point; to: Point }): boolean => Math.max(p.from.x, p.to.x) >= seen.minX && Math.min(p.from.x, p.to.x) <= seen.maxX && Math.max(p.from.y, p.to.y) >= seen.minY && Math.min(p.from.y, p.to.y) <= seen.maxY;
  const pairs = sight.pairs.filter((p) => isSettled(p.disconnect) && inSight(p));
  const style = { view, document, symbol, chosen: selection };
  if (offer) paintOffer(context, offer, openCandidates(offer, document), view);
  if (!frame.isTrial) paintRegion(context, frame.place, view, ratio);
  for (const [id, place] of labels.areas) paintAreaName(context, document.entities[id], place, view);
  paintUnproved(context, sight.unproved.filter((u) => isSettled(u.disconnect) && inSight(u)), view);
  paintBlockers(context, pairs.filter((p) => selection.has(p.disconnect) || selection.has(p.load)), style);
  paintSightLines(context, pairs, style);
  const marks = visibleMarks(frame.index, view, symbol).filter((e) => !moving.has(e.id));
  const verdicts = concerned.size === 0 ? sight.verdicts : new Map([...sight.verdicts].filter(([id]) => isSettled(id)));
  paintMarks(context, marks, { view, ratio, symbol, labels, verdicts });
  if (symbol >= LEGIBLE_SYMBOL) paintDistances(context, pairs, labels.lines, view);
}

/** What the hand holds, points at or is asked about. */
export function paintHandLayer(context: Context, frame: Frame): void {
  const { offer, place, document, view } = frame;
  if (frame.isTrial) return;
  paintRoom(context, place, view);
  paintSuggestion(context, frame, ghostsOf(suggestionStore.getState(), document));
  if (offer && offer.at !== null && frame.hand.tool === 'review' && openCandidates(offer, document).includes(offer.at)) paintOfferAt(context, offer, view);
  paintHand(context, frame, frame.liveSight, frame.handLabels);
  paintWhose(context, place, frame);
}
