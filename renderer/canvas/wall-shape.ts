import type { Opening, Wall } from '../../shared-core/document/index';
import { distanceOf } from '../tools/plan-geometry';

/** A run of wall between two ends or openings: flat coordinates x1, y1, x2, y2, ... in sheet units. */
export type Run = readonly number[];
/** An opening's two edges on the wall's centre line, from the segment's first point on, and the wall's direction there. */
export interface Gap { readonly opening: Opening; readonly x1: number; readonly y1: number; readonly x2: number; readonly y2: number; readonly ux: number; readonly uy: number }
export interface WallShape { readonly runs: readonly Run[]; readonly gaps: readonly Gap[] }

const known = new WeakMap<Wall, WallShape>();

/** A wall with its openings cut out; kept per wall, since walls never change in place. */
export function wallShape(wall: Wall): WallShape {
  const before = known.get(wall);
  if (before) return before;
  const shape = wall.openings.length === 0 ? { runs: [wall.points.flatMap((p) => [p.x, p.y])], gaps: [] } : cut(wall);
  known.set(wall, shape);
  return shape;
}

function cut(wall: Wall): WallShape {
  const runs: number[][] = []; const gaps: Gap[] = [];
  let run: number[] = [];
  wall.points.forEach((a, segment) => {
    run.push(a.x, a.y);
    const b = wall.points[segment + 1];
    if (!b) return;
    const length = distanceOf(a, b) || 1;
    const ux = (b.x - a.x) / length; const uy = (b.y - a.y) / length;
    for (const opening of wall.openings.filter((o) => o.segment === segment).sort((m, n) => m.from - n.from)) {
      const x1 = a.x + ux * opening.from; const y1 = a.y + uy * opening.from;
      const x2 = a.x + ux * opening.to; const y2 = a.y + uy * opening.to;
      run.push(x1, y1); runs.push(run); run = [x2, y2];
      gaps.push({ opening, x1, y1, x2, y2, ux, uy });
    }
  });
  runs.push(run);
  return { runs: runs.filter((r) => r.length >= 4), gaps };
}
