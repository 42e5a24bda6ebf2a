import type { AllowedRegion } from '../../shared-core/sight/index';
import type { Point } from '../../shared-core/document/index';
import { inkOf } from './paint-primitives';
import type { Context } from './paint-primitives';
import type { ShownPlace } from './shown-place';
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

/** Where the handle could be (hatched) and the wall stretches it could hang on (thick). */
export function paintRegion(context: Context, { region, stretches }: ShownPlace, view: View, ratio: number): void {
  if (!region || region.isEmpty) return;
  traceRegion(context, region, view);
  const pattern = hatchFor(context, ratio);
  if (pattern) { context.fillStyle = pattern; context.fill('evenodd'); }
  context.strokeStyle = inkOf('order'); context.lineWidth = 1; context.setLineDash([6, 4]); context.stroke(); context.setLineDash([]);
  context.beginPath();
  for (const s of stretches) { const a = toScreen(view, { x: s.x1, y: s.y1 }); const b = toScreen(view, { x: s.x2, y: s.y2 }); context.moveTo(a.x, a.y); context.lineTo(b.x, b.y); }
  context.save();
  context.globalAlpha = 0.75; context.lineWidth = 4; context.lineCap = 'round'; context.stroke();
  context.restore();
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
