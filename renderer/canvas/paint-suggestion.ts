import { showLength } from '../../shared-core/units/index';
import type { Ghost } from '../state/suggestion';
import { words } from '../text/index';
import { inkOf, paintChip } from './paint-primitives';
import type { Context } from './paint-primitives';
import { paintSymbol } from './paint-marks';
import type { Picture } from './picture';
import { symbolCentre, symbolPixels } from './symbol-place';
import { toScreen } from './view';

/** Long and short strokes, as a drawing shows what is only proposed: no verdict's line looks like it. */
const PROPOSED = [9, 3, 2, 3];
const RADIUS = 8;

/** Places that are only suggested: numbered rings, and for the chosen one a pale device in a broken frame with its lines. */
export function paintSuggestion(context: Context, picture: Picture, ghosts: readonly Ghost[]): void {
  const here = ghosts.filter((ghost) => ghost.device.sheet === picture.sheet.id);
  for (const ghost of here) if (ghost.isChosen) paintLines(context, picture, ghost);
  for (const ghost of here) if (!ghost.isChosen) paintNumber(context, toScreen(picture.view, ghost.device.at), ghost.number);
  for (const ghost of here) if (ghost.isChosen) paintChosen(context, picture, ghost);
}

function paintLines(context: Context, { view, document }: Picture, { sees }: Ghost): void {
  context.beginPath();
  for (const { from, to } of sees) { const a = toScreen(view, from); const b = toScreen(view, to); context.moveTo(a.x, a.y); context.lineTo(b.x, b.y); }
  context.strokeStyle = inkOf('halo'); context.lineWidth = 4.5; context.stroke();
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.6; context.setLineDash(PROPOSED); context.stroke(); context.setLineDash([]);
  for (const { from, to, distance } of sees) {
    const a = toScreen(view, from); const b = toScreen(view, to);
    if (Math.hypot(b.x - a.x, b.y - a.y) > 90) paintChip(context, (a.x + b.x) / 2, (a.y + b.y) / 2, showLength(distance, document.facts.units, { finest: 1 }), 'order', 11);
  }
}

function paintChosen(context: Context, { view, sheet, ratio }: Picture, { device, number }: Ghost): void {
  const symbol = symbolPixels(view, sheet);
  const centre = symbolCentre(device, symbol / view.zoom);
  if (!centre) return;
  context.save();
  context.globalAlpha = 0.55;
  paintSymbol(context, device, view, symbol, ratio);
  context.restore();
  const at = toScreen(view, centre); const half = symbol * 0.5 + 6;
  context.beginPath(); context.roundRect(at.x - half, at.y - half, 2 * half, 2 * half, 5);
  context.strokeStyle = inkOf('halo'); context.lineWidth = 4.5; context.stroke();
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.8; context.setLineDash([5, 4]); context.stroke(); context.setLineDash([]);
  paintChip(context, at.x, at.y + half + 13, words.suggest.ghost(number), 'order', 11);
}

function paintNumber(context: Context, { x, y }: { x: number; y: number }, number: number): void {
  context.beginPath(); context.arc(x, y, RADIUS + 2, 0, 2 * Math.PI); context.fillStyle = inkOf('halo'); context.fill();
  context.beginPath(); context.arc(x, y, RADIUS, 0, 2 * Math.PI);
  context.fillStyle = inkOf('paper'); context.fill();
  context.strokeStyle = inkOf('order'); context.lineWidth = 1.3; context.setLineDash([3, 2.5]); context.stroke(); context.setLineDash([]);
  paintNumberText(context, x, y, number);
}

function paintNumberText(context: Context, x: number, y: number, number: number): void {
  context.font = '600 11px "Atkinson Hyperlegible Next", system-ui, sans-serif'; context.textAlign = 'center'; context.textBaseline = 'middle';
  context.fillStyle = inkOf('order'); context.fillText(String(number), x, y + 0.5);
}
