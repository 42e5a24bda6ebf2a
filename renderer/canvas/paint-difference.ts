import type { Difference, SheetPatch } from '../state/revision';
import { inkOf } from './paint-primitives';
import type { Context } from './paint-primitives';
import { toScreen } from './view';
import type { View } from './view';

/** A patch smaller than this on the screen gets a ring of at least this size, so that no change hides at the whole sheet's zoom. */
const LEAST_RING = 18;
/** Beyond so many patches rings would only cover the plan. */
const MOST_RINGS = 400;

/** What changed between two plans, over the faded new one: gone ink in stripes within a dashed ring, new ink solid within a full ring. */
export function paintDifference(context: Context, view: View, ratio: number, difference: Difference): void {
  const corner = toScreen(view, { x: 0, y: 0 });
  const { fine, coarse } = difference;
  // The glance picture keeps every changed element when many fall on one of the screen's.
  const image = view.zoom * ratio < (coarse.width / difference.width) * 1.5 ? coarse : fine;
  context.save();
  context.imageSmoothingEnabled = view.zoom * ratio < image.width / difference.width;
  context.drawImage(image, corner.x, corner.y, difference.width * view.zoom, difference.height * view.zoom);
  for (const patch of difference.patches.slice(0, MOST_RINGS)) ring(context, view, patch);
  context.restore();
}

function ring(context: Context, view: View, patch: SheetPatch): void {
  const a = toScreen(view, { x: patch.minX, y: patch.minY }); const b = toScreen(view, { x: patch.maxX, y: patch.maxY });
  const growX = Math.max(4, (LEAST_RING - (b.x - a.x)) / 2); const growY = Math.max(4, (LEAST_RING - (b.y - a.y)) / 2);
  context.beginPath();
  context.roundRect(a.x - growX, a.y - growY, b.x - a.x + 2 * growX, b.y - a.y + 2 * growY, 4);
  context.strokeStyle = 'rgb(255 255 255 / 85%)'; context.lineWidth = 4; context.setLineDash([]);
  context.stroke();
  context.strokeStyle = patch.fresh ? inkOf('order') : inkOf('act'); context.lineWidth = 1.5; context.setLineDash(patch.fresh ? [] : [6, 4]);
  context.stroke();
  // Both at once: the full ring of what is new with the dashes of what is gone on it.
  if (patch.fresh && patch.gone) { context.strokeStyle = inkOf('act'); context.setLineDash([6, 10]); context.stroke(); }
  context.setLineDash([]);
}
