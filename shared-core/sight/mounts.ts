import { feet } from '../units/index';
import type { Feet } from '../units/index';
import type { AllowedRegion } from './region';
import type { Obstacle } from './scene';
import type { SightIndex } from './sight-index';

/** A stretch of a wall's face along which a handle may hang. */
export interface MountStretch {
  readonly wall: string;
  /** Seen from the wall's first end towards its second, on a y-down sheet. */
  readonly side: 'left' | 'right';
  /** Handle positions (plan units): `standoff` in front of the face. */
  readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number;
  readonly length: Feet;
}

/**
 * The stretches of walls where a handle, standing off the face by the depth of its enclosure, lies in the region.
 * @param standoff feet from the face to the handle; must be positive, because on the face itself rounding decides
 * @param shortest stretches shorter than this are left out
 */
export function mountStretches(
  index: SightIndex, region: AllowedRegion, walls: readonly Obstacle[], standoff: Feet = feet(0.5), shortest: Feet = feet(0.1),
): MountStretch[] {
  if (!(standoff > 0)) throw new RangeError(`A handle stands off its wall by more than zero, got ${standoff}.`);
  const stretches: MountStretch[] = [];
  for (const wall of walls) {
    if (wall.shape.type !== 'wall') continue;
    const { x1, y1, x2, y2, thickness } = wall.shape;
    const length = Math.hypot(x2 - x1, y2 - y1);
    if (length === 0) continue;
    const off = thickness / 2 + standoff / index.feetPerUnit;
    for (const side of ['left', 'right'] as const) {
      // Right of the direction on a y-down sheet is the direction turned by +90 degrees in (x, y).
      const sign = side === 'right' ? 1 : -1;
      const nx = (-(y2 - y1) / length) * off * sign; const ny = ((x2 - x1) / length) * off * sign;
      const ax = x1 + nx; const ay = y1 + ny; const bx = x2 + nx; const by = y2 + ny;
      for (const [from, to] of sharesInside(region, ax, ay, bx, by)) {
        const run = feet((to - from) * length * index.feetPerUnit);
        if (run >= shortest) stretches.push({ wall: wall.id, side, x1: ax + from * (bx - ax), y1: ay + from * (by - ay), x2: ax + to * (bx - ax), y2: ay + to * (by - ay), length: run });
      }
    }
  }
  return stretches;
}

/** Shares of a segment that lie in the region. */
export function sharesInside(region: AllowedRegion, ax: number, ay: number, bx: number, by: number): (readonly [number, number])[] {
  const dx = bx - ax; const dy = by - ay; const marks = [0, 1];
  const note = (share: number): void => { if (share > 0 && share < 1) marks.push(share); };
  for (const outline of region.outlines) for (const edge of outline) {
    if (edge.arc) {
      const px = ax - edge.arc.cx; const py = ay - edge.arc.cy; const q = dx * dx + dy * dy; const h = px * dx + py * dy;
      const rest = h * h - q * (px * px + py * py - edge.arc.radius ** 2);
      if (rest >= 0) { note((-h - Math.sqrt(rest)) / q); note((-h + Math.sqrt(rest)) / q); }
    } else {
      const ex = edge.x2 - edge.x1; const ey = edge.y2 - edge.y1; const wx = edge.x1 - ax; const wy = edge.y1 - ay; const turn = dx * ey - dy * ex;
      if (turn !== 0) note((wx * ey - wy * ex) / turn);
    }
  }
  marks.sort((a, b) => a - b);
  const inside: [number, number][] = [];
  for (let k = 0; k + 1 < marks.length; k += 1) {
    const from = marks[k]!; const to = marks[k + 1]!; const mid = (from + to) / 2;
    if (to - from < 1e-12 || !region.contains(ax + mid * dx, ay + mid * dy)) continue;
    const last = inside.at(-1);
    if (last && from - last[1] < 1e-12) last[1] = to; else inside.push([from, to]);
  }
  return inside;
}
