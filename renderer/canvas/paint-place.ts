import type { AllowedRegion } from '../../shared-core/sight/index';
import type { Point } from '../../shared-core/document/index';
import type { HangingStretch } from '../../shared-core/advise/index';
import { words } from '../text/index';
import { inkOf, paintChip } from './paint-primitives';
import type { Context } from './paint-primitives';
import type { Picture } from './picture';
import type { ShownPlace } from './shown-place';
import { symbolCentre, symbolPixels } from './symbol-place';
import { toScreen } from './view';
import type { View } from './view';

const HATCH = 9;
let hatch: { readonly ratio: number; readonly pattern: CanvasPattern } | null = null;

/** One tile of a slanted hatch, drawn once per pixel ratio. */
function hatchFor(context: Context, ratio: number): CanvasPattern | null {
  if (hatch?.ratio === ratio) return hatch.pattern;
  const tile = document.createElement('canvas');
  const side = Math.round(HATCH * ratio);
  tile.width = tile.height = side;
  const c = tile.getContext('2d');
  if (!c) return null;
  c.strokeStyle = inkOf('order'); c.globalAlpha = 0.42; c.lineWidth = ratio * 0.8;
  for (const shift of [-side, 0, side]) { c.beginPath(); c.moveTo(shift - 2, side + 2); c.lineTo(shift + side + 2, -2); c.stroke(); }
  const pattern = context.createPattern(tile, 'repeat');
  if (!pattern) return null;
  pattern.setTransform(new DOMMatrix().scale(1 / ratio));
  hatch = { ratio, pattern };
  return pattern;
}

function traceRegion(context: Context, region: AllowedRegion, view: View): void {
  context.beginPath();
  for (const outline of region.outlines) {
    outline.forEach((edge, i) => {
      const from = toScreen(view, { x: edge.x1, y: edge.y1 }); const to = toScreen(view, { x: edge.x2, y: edge.y2 });
      if (i === 0) context.moveTo(from.x, from.y);
      if (!edge.arc) { context.lineTo(to.x, to.y); return; }
      const centre = toScreen(view, { x: edge.arc.cx, y: edge.arc.cy });
      // Angles grow the same way in the sheet's numbers and on the screen: y points down in both.
      context.arc(centre.x, centre.y, edge.arc.radius * view.zoom, Math.atan2(edge.y1 - edge.arc.cy, edge.x1 - edge.arc.cx), Math.atan2(edge.y2 - edge.arc.cy, edge.x2 - edge.arc.cx));
    });
    context.closePath();
  }
}

function traceOutline(context: Context, points: readonly Point[], view: View): void {
  context.beginPath();
  points.forEach((p, i) => { const s = toScreen(view, p); if (i === 0) context.moveTo(s.x, s.y); else context.lineTo(s.x, s.y); });
  context.closePath();
}

/**
 * Where the handle sees its loads (dashed edge), where in that it could stand as it is turned with room in front (hatched), and
 * the wall stretches it could hang on: thin where it sees its loads, thick where there is room in front too.
 */
export function paintRegion(context: Context, { region, standing, seeing, roomy }: ShownPlace, view: View, ratio: number): void {
  if (!region || region.isEmpty) return;
  const pattern = hatchFor(context, ratio);
  // Without volts to ground no room can be judged: the hatch would promise it, so there is only the dashed edge.
  if (pattern && standing) { traceRegion(context, standing, view); context.fillStyle = pattern; context.fill('evenodd'); }
  traceRegion(context, region, view);
  context.strokeStyle = inkOf('order'); context.lineWidth = 1; context.setLineDash([6, 4]); context.stroke(); context.setLineDash([]);
  paintStretches(context, seeing, view, 1.6);
  if (roomy) paintStretches(context, roomy, view, 4.5);
}

function paintStretches(context: Context, stretches: readonly HangingStretch[], view: View, width: number): void {
  context.beginPath();
  for (const { from, to, facing } of stretches) {
    // Off the face by half the line, so that it lies in front of the wall and not over it.
    const angle = (facing * Math.PI) / 180; const dx = Math.cos(angle) * 3; const dy = Math.sin(angle) * 3;
    const a = toScreen(view, from); const b = toScreen(view, to);
    context.moveTo(a.x + dx, a.y + dy); context.lineTo(b.x + dx, b.y + dy);
  }
  context.save();
  context.globalAlpha = 0.8; context.lineWidth = width; context.lineCap = 'butt'; context.stroke();
  context.restore();
}

/** Whose region is shown, where that disconnect is not itself the chosen mark. */
export function paintWhose(context: Context, { of, region }: ShownPlace, { view, sheet, selection }: Picture): void {
  if (!of || !region || selection.has(of.id)) return;
  const symbol = symbolPixels(view, sheet);
  const centre = symbolCentre(of, symbol / view.zoom);
  if (!centre) return;
  const at = toScreen(view, centre); const half = symbol * 0.5 + 5;
  context.beginPath(); context.roundRect(at.x - half, at.y - half, 2 * half, 2 * half, 5);
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.2; context.stroke();
  paintChip(context, at.x, at.y + half + 12, words.suggest.whose(of.tag), 'order', 11);
}

/** The clear space in front of a disconnect, and what stands in it. */
export function paintRoom(context: Context, { space }: ShownPlace, view: View): void {
  if (!space) return;
  traceOutline(context, space.outline, view);
  context.strokeStyle = inkOf('ink'); context.lineWidth = 1.2; context.setLineDash([4, 3]); context.stroke(); context.setLineDash([]);
  for (const conflict of space.conflicts) {
    traceOutline(context, conflict.outline, view);
    context.save(); context.globalAlpha = 0.3; context.fillStyle = inkOf('act'); context.fill(); context.restore();
    context.strokeStyle = inkOf('act'); context.lineWidth = 1.5; context.stroke();
  }
}
