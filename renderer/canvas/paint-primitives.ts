import { CAP_HEIGHT, PALETTE } from '../../shared-core/report/index';
import type { Ink, Primitive } from '../../shared-core/report/index';

export type Context = CanvasRenderingContext2D;

export const FACE = '"Atkinson Hyperlegible Next", system-ui, sans-serif';
export const fontOf = (size: number, bold: boolean): string => `${bold ? 600 : 400} ${size}px ${FACE}`;
export const inkOf = (ink: Ink): string => PALETTE[ink];

const widths = new Map<string, number>();
let gauge: Context | null = null;

/** Width of a text in CSS pixels; remembered, because measuring is slow and the same tags come again in every frame. */
export function textWidth(text: string, size: number, bold: boolean): number {
  const key = `${size}${bold ? 'b' : 'r'}${text}`;
  const known = widths.get(key);
  if (known !== undefined) return known;
  gauge ??= document.createElement('canvas').getContext('2d');
  if (!gauge) return text.length * size * 0.55;
  gauge.font = fontOf(size, bold);
  const width = gauge.measureText(text).width;
  if (widths.size > 20_000) widths.clear();
  widths.set(key, width);
  return width;
}

/** Text measured before the face had loaded is too narrow or too wide: forget it. */
export const forgetWidths = (): void => { widths.clear(); };

/** Draws plain vector marks in the context's present coordinates, in order. */
export function paintPrimitives(context: Context, marks: readonly Primitive[]): void {
  for (const mark of marks) {
    if (mark.kind === 'text') {
      context.font = fontOf(mark.size, mark.weight === 'bold');
      context.textAlign = mark.align === 'middle' ? 'center' : mark.align;
      context.textBaseline = 'alphabetic';
      context.fillStyle = inkOf(mark.ink);
      context.fillText(mark.text, mark.x, mark.y + (mark.size * CAP_HEIGHT) / 2);
      continue;
    }
    context.beginPath();
    if (mark.kind === 'circle') context.arc(mark.x, mark.y, mark.radius, 0, 2 * Math.PI);
    else for (const step of mark.steps) {
      if (step.to === 'move') context.moveTo(step.x, step.y);
      else if (step.to === 'line') context.lineTo(step.x, step.y);
      else if (step.to === 'arc') context.arc(step.x, step.y, step.radius, step.start, step.end, step.end < step.start);
      else context.closePath();
    }
    if (mark.fill) { context.fillStyle = inkOf(mark.fill); context.fill(); }
    if (mark.stroke) {
      context.strokeStyle = inkOf(mark.stroke); context.lineWidth = mark.width;
      context.setLineDash(mark.dash ? [...mark.dash] : []);
      context.stroke();
    }
  }
  context.setLineDash([]);
}

/** A small label: text on paper within a thin rim. x and y are its middle. */
export function paintChip(context: Context, x: number, y: number, text: string, ink: Ink, size = 12): void {
  const width = textWidth(text, size, true) + 12; const height = size + 7;
  context.beginPath();
  context.roundRect(x - width / 2, y - height / 2, width, height, 4);
  context.fillStyle = inkOf('paper'); context.fill();
  context.strokeStyle = inkOf(ink); context.lineWidth = 1; context.stroke();
  paintPrimitives(context, [{ kind: 'text', x, y, text, size, ink, weight: 'bold', align: 'middle' }]);
}

/** Text with a light rim, readable over a scan. y is the middle of its capitals. */
export function paintHaloText(context: Context, x: number, y: number, text: string, size: number, bold: boolean, ink: Ink, align: CanvasTextAlign = 'left'): void {
  context.font = fontOf(size, bold); context.textAlign = align; context.textBaseline = 'alphabetic';
  context.lineJoin = 'round'; context.lineWidth = 3; context.strokeStyle = inkOf('halo'); context.fillStyle = inkOf(ink);
  const base = y + (size * CAP_HEIGHT) / 2;
  context.strokeText(text, x, base); context.fillText(text, x, base);
  context.lineJoin = 'miter';
}
