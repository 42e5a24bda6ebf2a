import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** Bytes in use after a full collection. */
export function clearMemory(): number {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  collect(); collect();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

/**
 * Area seen from a point up to a radius past bare walls, independently and in quadratic time: every direction where
 * anything can change, then the nearest wall in the middle of each wedge.
 */
export function areaByDirection(cx: number, cy: number, radius: number, walls: readonly (readonly number[])[]): number {
  const angles = [-Math.PI, Math.PI]; const local = walls.map(([a, b, c, d]) => [a! - cx, b! - cy, c! - cx, d! - cy] as const);
  const note = (x: number, y: number): void => { angles.push(Math.atan2(y, x)); };
  for (const [i, [ax, ay, bx, by]] of local.entries()) {
    note(ax, ay); note(bx, by);
    const dx = bx - ax; const dy = by - ay; const q = dx * dx + dy * dy; const h = ax * dx + ay * dy; const D = h * h - q * (ax * ax + ay * ay - radius * radius);
    if (D > 0) for (const g of [-1, 1]) { const t = (-h + g * Math.sqrt(D)) / q; if (t > 0 && t < 1) note(ax + t * dx, ay + t * dy); }
    for (const [ex, ey, fx, fy] of local.slice(0, i)) {
      const gx = fx - ex; const gy = fy - ey; const den = dx * gy - dy * gx;
      if (den !== 0) { const t = ((ex - ax) * gy - (ey - ay) * gx) / den; if (t >= 0 && t <= 1) note(ax + t * dx, ay + t * dy); }
    }
  }
  angles.sort((p, q) => p - q);
  const reach = ([ax, ay, bx, by]: readonly [number, number, number, number], angle: number): number => {
    const ux = Math.cos(angle); const uy = Math.sin(angle); return (ax * (by - ay) - ay * (bx - ax)) / (ux * (by - ay) - uy * (bx - ax));
  };
  let area = 0;
  for (let k = 0; k + 1 < angles.length; k += 1) {
    const from = angles[k]!; const to = angles[k + 1]!; if (to - from < 1e-15) continue;
    const mid = (from + to) / 2; const ux = Math.cos(mid); const uy = Math.sin(mid);
    let best = radius; let nearest: (typeof local)[number] | null = null;
    for (const wall of local) {
      const [ax, ay, bx, by] = wall;
      if ((ux * ay - uy * ax) * (ux * by - uy * bx) > 0) continue;
      const r = reach(wall, mid); if (r > 0 && r < best) { best = r; nearest = wall; }
    }
    area += nearest ? 0.5 * reach(nearest, from) * reach(nearest, to) * Math.sin(to - from) : 0.5 * radius * radius * (to - from);
  }
  return area;
}
