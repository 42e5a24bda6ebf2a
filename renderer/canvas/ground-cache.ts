import type { Context } from './paint-primitives';
import { toPlan, toScreen } from './view';
import type { View } from './view';

/** From this many pieces in sight on, painting the ground takes longer than a frame without graphics hardware. */
const MANY = 12_000;

/**
 * The last full painting of the ground as a picture. While a gesture moves the view over very many walls the picture is
 * moved and scaled instead, and the ground is painted anew once the hand rests: the plan keeps up, and is sharp again at once.
 */
export class GroundCache {
  private canvas: HTMLCanvasElement | null = null;
  private view: View | null = null;
  /** What is on the screen now is the moved picture. */
  isStandIn = false;

  /** Keeps what was just painted, when it was costly enough to be worth it. */
  keep(context: Context, view: View, pieces: number): void {
    this.isStandIn = false;
    if (pieces < MANY) { this.view = null; return; }
    this.canvas ??= document.createElement('canvas');
    const { width, height } = context.canvas;
    if (this.canvas.width !== width || this.canvas.height !== height) { this.canvas.width = width; this.canvas.height = height; }
    const own = this.canvas.getContext('2d');
    if (!own) return;
    own.clearRect(0, 0, width, height);
    own.drawImage(context.canvas, 0, 0);
    this.view = view;
  }

  /** Paints the moved picture. @returns false when there is none, or it is too far from the view asked for to stand for it */
  paint(context: Context, view: View): boolean {
    const { canvas, view: kept } = this;
    if (!canvas || !kept || kept.width !== view.width || kept.height !== view.height) return false;
    const scale = view.zoom / kept.zoom;
    if (scale > 6) return false;
    const corner = toScreen(view, toPlan(kept, { x: 0, y: 0 }));
    context.drawImage(canvas, corner.x, corner.y, kept.width * scale, kept.height * scale);
    this.isStandIn = true;
    return true;
  }

  /** Something else than the view changed. */
  forget(): void { this.view = null; }
}
