import type { Disconnect, Document, Entity, Id, Point, Sheet } from '../../shared-core/document/index';
import type { PlanSource } from '../plan/index';
import { pointAt } from '../tools/plan-geometry';
import type { PlanIndex } from '../tools/plan-index';
import type { RunnerView } from '../tools/runner';
import type { LabelLayout } from './label-layout';
import type { ShownSight } from './shown-sight';
import type { View } from './view';

/** Everything one frame is painted from: plain values, no canvas and no React. */
export interface Picture {
  readonly view: View;
  /** Device pixels per CSS pixel. */
  readonly ratio: number;
  readonly document: Document;
  readonly preview: Document | null;
  readonly sheet: Sheet;
  readonly index: PlanIndex;
  readonly plan: PlanSource | null;
  readonly selection: ReadonlySet<Id>;
  /** Marks that the preview changes: they are painted with the hand, not with the rest. */
  readonly moving: ReadonlySet<Id>;
  readonly sight: ShownSight;
  readonly labels: LabelLayout;
  readonly hand: RunnerView;
  readonly hasFocus: boolean;
}

/** Side of a device's box in CSS pixels: a steady size to read, smaller when the whole sheet is seen. */
export function symbolPixels(view: View, sheet: Sheet): number {
  const real = sheet.scale ? (2.2 / sheet.scale.feetPerUnit) * view.zoom : (Math.max(sheet.width, sheet.height) / 50) * view.zoom;
  return Math.round(Math.min(26, Math.max(9, real)));
}

/** Below this size marks show without words. */
export const LEGIBLE_SYMBOL = 11;

/**
 * Where a mark's symbol stands: a disconnect on a wall stands in front of the face it hangs on, so its box does not
 * cover the wall; its handle, and every line measured from it, stay at the face.
 */
export function symbolCentre(entity: Entity, symbolOnSheet: number): Point | null {
  if (!('at' in entity) || entity.at === null) return null;
  if (entity.kind !== 'disconnect' || !entity.mount) return entity.at;
  const angle = (entity.facing * Math.PI) / 180;
  return pointAt(entity.at.x + Math.cos(angle) * symbolOnSheet * 0.56, entity.at.y + Math.sin(angle) * symbolOnSheet * 0.56);
}

/** Where the verdict's mark stands: beside the symbol, along the wall it may hang on. */
export function statusPlace(disconnect: Disconnect, centre: { x: number; y: number }, symbol: number): { x: number; y: number } {
  const angle = ((disconnect.facing - 90) * Math.PI) / 180;
  const c = Math.cos(angle); const s = Math.sin(angle);
  const reach = symbol * (0.5 / Math.max(Math.abs(c), Math.abs(s)) + 0.45);
  return { x: centre.x + c * reach, y: centre.y + s * reach };
}
