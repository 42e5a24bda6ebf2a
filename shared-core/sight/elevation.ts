import { windingNumber } from '../geometry/index';
import { feet } from '../units/index';
import type { Feet } from '../units/index';
import { enterWall } from './contact';
import type { Prism } from './contact';
import type { Handle, Target, Transmission } from './scene';
import { traceSight } from './trace';
import type { SightIndex } from './sight-index';

/** One obstacle cut by the upright plane through a sight line. */
export interface ElevationCut {
  readonly obstacle: string;
  readonly transmission: Transmission;
  /** Level distance from the handle where the plane enters and leaves it; equal for a bare line. */
  readonly from: Feet;
  readonly to: Feet;
  readonly bottom: Feet;
  readonly top: Feet;
  /** Whether the sight line itself meets it. */
  readonly meets: boolean;
}
export interface ElevationProfile {
  /** Level distance from handle to target. */
  readonly length: Feet;
  readonly handleHeight: Feet;
  readonly targetHeight: Feet;
  /** Nearest to the handle first. The target's own body is included, as what it is: it does not count against the line. */
  readonly cuts: readonly ElevationCut[];
}

/** What stands in the upright plane of a sight line, whatever its height: the elevation strip. Rounded, for drawing. */
export function elevationProfile(index: SightIndex, handle: Handle, target: Target): ElevationProfile {
  const vx = target.x - handle.x; const vy = target.y - handle.y;
  const length = Math.hypot(vx, vy) * index.feetPerUnit;
  const met = new Set(traceSight(index, handle, target).meetings.map((meeting) => meeting.obstacle));
  const cuts: ElevationCut[] = [];
  for (const slot of index.inBox(Math.min(handle.x, target.x), Math.min(handle.y, target.y), Math.max(handle.x, target.x), Math.max(handle.y, target.y))) {
    const { id, transmission, bottom, top } = index.obstacles[slot]!;
    for (const [from, to] of stretchesInside(handle.x, handle.y, vx, vy, index.prism(slot)))
      cuts.push({ obstacle: id, transmission, from: feet(from * length), to: feet(to * length), bottom, top, meets: met.has(id) });
  }
  cuts.sort((a, b) => a.from - b.from || a.to - b.to || (a.obstacle < b.obstacle ? -1 : 1));
  return { length: feet(length), handleHeight: handle.z, targetHeight: target.z, cuts };
}

/** Shares of the plan line that lie in the plan shape, in order. */
function stretchesInside(ax: number, ay: number, vx: number, vy: number, prism: Prism): (readonly [number, number])[] {
  const { ring } = prism;
  if (!ring) {
    const from = enterWall(ax, ay, vx, vy, prism.x1, prism.y1, prism.x2, prism.y2, prism.thickness, 0, 1);
    if (from === null) return [];
    // The way out is the way in from the other end.
    const back = enterWall(ax + vx, ay + vy, -vx, -vy, prism.x1, prism.y1, prism.x2, prism.y2, prism.thickness, 0, 1);
    return [[from, Math.max(from, 1 - (back ?? 1 - from))]];
  }
  const marks = [0, 1];
  for (let i = 0, n = ring.length, j = n - 2; i < n; j = i, i += 2) {
    const ex = ring[i]! - ring[j]!; const ey = ring[i + 1]! - ring[j + 1]!; const wx = ring[j]! - ax; const wy = ring[j + 1]! - ay;
    const turn = vx * ey - vy * ex;
    if (turn === 0) continue;
    const share = (wx * ey - wy * ex) / turn; const along = (wx * vy - wy * vx) / turn;
    if (share > 0 && share < 1 && along >= -1e-12 && along <= 1 + 1e-12) marks.push(share);
  }
  marks.sort((a, b) => a - b);
  const inside: [number, number][] = [];
  for (let k = 0; k + 1 < marks.length; k += 1) {
    const from = marks[k]!; const to = marks[k + 1]!; const mid = (from + to) / 2;
    if (to <= from || windingNumber(ring, ax + mid * vx, ay + mid * vy) === 0) continue;
    const last = inside.at(-1);
    if (last && last[1] === from) last[1] = to; else inside.push([from, to]);
  }
  return inside;
}
