import type { Disconnect, Entity, Point, Sheet } from '../../shared-core/document/index';
import { pointAt } from '../tools/plan-geometry';
import type { View } from './view';

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
