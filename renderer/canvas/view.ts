import type { Point } from '../../shared-core/document/index';
import { pointAt } from '../tools/plan-geometry';
import type { Box, Vector } from '../tools/plan-geometry';

/**
 * The only transform between the screen and the sheet: x right and y down on both, no turning.
 * Lengths on the screen are CSS pixels; the canvas multiplies by the pixel ratio of the display on its own.
 */
export interface View {
  /** The sheet position in the middle of the canvas. */
  readonly centre: Point;
  /** CSS pixels per sheet unit. */
  readonly zoom: number;
  readonly width: number;
  readonly height: number;
}

export interface ZoomLimits { readonly least: number; readonly most: number }

export const toScreen = (view: View, p: Vector): Vector =>
  ({ x: (p.x - view.centre.x) * view.zoom + view.width / 2, y: (p.y - view.centre.y) * view.zoom + view.height / 2 });

export const toPlan = (view: View, screen: Vector): Point =>
  pointAt((screen.x - view.width / 2) / view.zoom + view.centre.x, (screen.y - view.height / 2) / view.zoom + view.centre.y);

/** The part of the sheet that is seen. */
export function visibleBox(view: View): Box {
  const halfX = view.width / 2 / view.zoom; const halfY = view.height / 2 / view.zoom;
  return { minX: view.centre.x - halfX, minY: view.centre.y - halfY, maxX: view.centre.x + halfX, maxY: view.centre.y + halfY };
}

/** The plan follows the hand: moved by so many pixels. */
export const panned = (view: View, dx: number, dy: number): View =>
  ({ ...view, centre: pointAt(view.centre.x - dx / view.zoom, view.centre.y - dy / view.zoom) });

/** Zoomed by a factor, with the sheet position under a screen point held still. */
export function zoomedAt(view: View, factor: number, screen: Vector, limits: ZoomLimits): View {
  const zoom = Math.min(limits.most, Math.max(limits.least, view.zoom * factor));
  const held = toPlan(view, screen);
  return { ...view, zoom, centre: pointAt(held.x - (screen.x - view.width / 2) / zoom, held.y - (screen.y - view.height / 2) / zoom) };
}

/** The canvas changed size; what is in the middle stays there. */
export const resized = (view: View, width: number, height: number): View => ({ ...view, width, height });

/** The whole box in the middle, with a margin in pixels. A box of no size is shown at the zoom the view has. */
export function fitted(view: View, box: Box, margin: number, limits: ZoomLimits): View {
  const zoomX = (view.width - 2 * margin) / (box.maxX - box.minX); const zoomY = (view.height - 2 * margin) / (box.maxY - box.minY);
  const wanted = Math.min(zoomX, zoomY);
  const zoom = Number.isFinite(wanted) && wanted > 0 ? Math.min(limits.most, Math.max(limits.least, wanted)) : view.zoom;
  return { ...view, zoom, centre: pointAt((box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2) };
}

/** Least and most zoom for a sheet: from a quarter of the window to where one sheet unit is a coarse square. */
export function limitsFor(width: number, height: number, sheetWidth: number, sheetHeight: number): ZoomLimits {
  const fit = Math.min(width / sheetWidth, height / sheetHeight);
  return { least: fit / 4, most: Math.max(fit * 100, 12) };
}

/**
 * The view that shows a box with the least disturbance: unchanged when it is in sight and legible already, moved when it
 * would fit, zoomed out when it is too large and zoomed in when it would be too small to read.
 * @param legible  zoom below which marks cannot be read
 */
export function revealed(view: View, box: Box, margin: number, legible: number, limits: ZoomLimits): View {
  const fit = fitted(view, box, margin, limits);
  // A single point fits at any zoom.
  const isPoint = box.maxX === box.minX && box.maxY === box.minY;
  const zoom = Math.min(isPoint ? limits.most : fit.zoom, Math.max(view.zoom, Math.min(legible, limits.most)));
  const seen = visibleBox({ ...view, zoom });
  const inset = margin / zoom;
  const isSeen = zoom === view.zoom && box.minX >= seen.minX + inset && box.maxX <= seen.maxX - inset && box.minY >= seen.minY + inset && box.maxY <= seen.maxY - inset;
  return isSeen ? view : { ...fit, zoom };
}

/** A view between two others, t from 0 to 1; the zoom runs evenly by factor, so the movement looks even. */
export function viewBetween(a: View, b: View, t: number): View {
  const zoom = a.zoom * (b.zoom / a.zoom) ** t;
  // The centre keeps step with the zoom, so that a point common to both views does not drift away and back.
  const share = Math.abs(b.zoom / a.zoom - 1) < 1e-3 ? t : (1 / zoom - 1 / a.zoom) / (1 / b.zoom - 1 / a.zoom);
  return { ...b, zoom, centre: pointAt(a.centre.x + (b.centre.x - a.centre.x) * share, a.centre.y + (b.centre.y - a.centre.y) * share) };
}
