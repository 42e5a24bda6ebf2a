import type { Context } from './paint-primitives';
import { inkOf } from './paint-primitives';
import type { Picture } from './picture';
import { toScreen, visibleBox } from './view';

/** The paper and the plan's tiles on it, coarse ones first, faded as the sheet says. */
export function paintPlan(context: Context, { view, ratio, sheet, plan }: Picture): void {
  const corner = toScreen(view, { x: 0, y: 0 });
  const width = sheet.width * view.zoom; const height = sheet.height * view.zoom;
  context.fillStyle = 'rgb(23 28 39 / 14%)';
  context.fillRect(corner.x + 2, corner.y + 3, width, height);
  context.fillStyle = inkOf('paper');
  context.fillRect(corner.x, corner.y, width, height);
  if (!plan || sheet.fade >= 1) return;
  const seen = visibleBox(view);
  const tiles = plan.visibleTiles({ x: seen.minX, y: seen.minY, width: seen.maxX - seen.minX, height: seen.maxY - seen.minY }, view.zoom * ratio);
  context.save();
  context.globalAlpha = 1 - sheet.fade;
  // Beyond life size a scan's own dots are the truth; smoothing would blur them into lines that are not there.
  context.imageSmoothingEnabled = view.zoom * ratio < 4;
  context.imageSmoothingQuality = 'medium';
  for (const { box, image } of tiles) {
    const at = toScreen(view, box);
    // Edges on whole device pixels, so that neighbouring tiles leave no seam.
    const x = Math.round(at.x * ratio) / ratio; const y = Math.round(at.y * ratio) / ratio;
    const right = Math.round((at.x + box.width * view.zoom) * ratio) / ratio; const bottom = Math.round((at.y + box.height * view.zoom) * ratio) / ratio;
    context.drawImage(image, x, y, right - x, bottom - y);
  }
  context.restore();
}
