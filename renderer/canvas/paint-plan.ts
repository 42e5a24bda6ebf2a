import { layOf, lookLayers, toSheetPoint } from '../../shared-core/document/index';
import type { PlanRef } from '../../shared-core/document/index';
import { boundsUnder, invertSimilarity, similarityMatrix } from '../../shared-core/geometry/index';
import type { PlanTile } from '../plan/index';
import type { Context } from './paint-primitives';
import { inkOf } from './paint-primitives';
import type { Picture } from './picture';
import { toScreen, visibleBox } from './view';
import type { View } from './view';

/** The paper and the plan's tiles on it as they lie, coarse ones first, faded as the sheet says; nothing outside the drawing area. */
export function paintPlan(context: Context, { view, ratio, sheet, plan: source }: Pick<Picture, 'view' | 'ratio' | 'sheet' | 'plan'>): void {
  const corner = toScreen(view, { x: 0, y: 0 });
  const width = sheet.width * view.zoom; const height = sheet.height * view.zoom;
  context.fillStyle = 'rgb(23 28 39 / 14%)';
  context.fillRect(corner.x + 2, corner.y + 3, width, height);
  context.fillStyle = inkOf('paper');
  context.fillRect(corner.x, corner.y, width, height);
  const { plan } = sheet;
  if (!source || !plan || sheet.fade >= 1) return;
  const lay = layOf(plan);
  const seen = boundsUnder(invertSimilarity(lay), overlapOf(visibleBox(view), { minX: 0, minY: 0, maxX: sheet.width, maxY: sheet.height }));
  const pixelsPerUnit = view.zoom * ratio * lay.scale;
  const tiles = source.visibleTiles({ x: seen.minX, y: seen.minY, width: seen.maxX - seen.minX, height: seen.maxY - seen.minY }, pixelsPerUnit);
  context.save();
  context.beginPath();
  context.rect(corner.x, corner.y, width, height);
  context.clip();
  // Beyond life size a scan's own dots are the truth; smoothing would blur them into lines that are not there.
  context.imageSmoothingEnabled = pixelsPerUnit < 4;
  context.imageSmoothingQuality = 'medium';
  if (lay.turn === 0) drawUpright(context, tiles, view, ratio, lay); else drawTurned(context, tiles, view, ratio, lay);
  if (tiles.length > 0) overlay(context, view, plan, sheet.fade);
  context.restore();
}

type Lay = ReturnType<typeof layOf>;

const overlapOf = (a: ReturnType<typeof visibleBox>, b: typeof a): typeof a => {
  const minX = Math.max(a.minX, b.minX); const minY = Math.max(a.minY, b.minY);
  return { minX, minY, maxX: Math.max(minX, Math.min(a.maxX, b.maxX)), maxY: Math.max(minY, Math.min(a.maxY, b.maxY)) };
};

/** Edges on whole device pixels, so that neighbouring tiles leave no seam. */
function drawUpright(context: Context, tiles: readonly PlanTile[], view: View, ratio: number, lay: Lay): void {
  const zoom = view.zoom * lay.scale;
  const whole = (n: number): number => Math.round(n * ratio) / ratio;
  for (const { box, image } of tiles) {
    const at = toScreen(view, { x: lay.x + lay.scale * box.x, y: lay.y + lay.scale * box.y });
    const x = whole(at.x); const y = whole(at.y);
    context.drawImage(image, x, y, whole(at.x + box.width * zoom) - x, whole(at.y + box.height * zoom) - y);
  }
}

/** Turned edges cannot lie on whole pixels: each tile reaches half a pixel over its neighbour instead. */
function drawTurned(context: Context, tiles: readonly PlanTile[], view: View, ratio: number, lay: Lay): void {
  const origin = toScreen(view, { x: 0, y: 0 });
  const over = 0.5 / (ratio * view.zoom * lay.scale);
  context.save();
  context.transform(view.zoom, 0, 0, view.zoom, origin.x, origin.y);
  context.transform(...similarityMatrix(lay));
  for (const { box, image } of tiles) context.drawImage(image, box.x - over, box.y - over, box.width + 2 * over, box.height + 2 * over);
  context.restore();
}

/**
 * Inverts, strengthens and fades what was drawn, as the plan's look says: each is one fill over the whole plan, and the exported PDF
 * does the same with the same blend modes. Fading paints paper over: faint tiles would show the seams where they overlap.
 */
function overlay(context: Context, view: View, plan: PlanRef, fade: number): void {
  const layers = lookLayers(plan, fade);
  if (layers.length === 0) return;
  context.beginPath();
  for (const [x, y] of [[0, 0], [plan.width, 0], [plan.width, plan.height], [0, plan.height]] as const) { const at = toScreen(view, toSheetPoint(plan, { x, y })); context.lineTo(at.x, at.y); }
  context.closePath();
  for (const { blend, grey, alpha } of layers) {
    context.globalCompositeOperation = blend === 'normal' ? 'source-over' : blend;
    context.globalAlpha = alpha;
    context.fillStyle = blend === 'normal' ? inkOf('paper') : `rgb(${Math.round(255 * grey)} ${Math.round(255 * grey)} ${Math.round(255 * grey)})`;
    context.fill();
  }
}
