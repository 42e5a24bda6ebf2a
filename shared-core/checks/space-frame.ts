import type { Point } from '../document/index';
import { sheetUnits } from '../units/index';

/** Plan seen from a device's front: u to its right hand as one faces it, v away from the front; both in feet. */
export interface Frame {
  readonly origin: Point;
  readonly facing: Point;
  readonly feetPerUnit: number;
}
export type Local = readonly [u: number, v: number];

export function toLocal(frame: Frame, x: number, y: number): Local {
  const dx = (x - frame.origin.x) * frame.feetPerUnit; const dy = (y - frame.origin.y) * frame.feetPerUnit;
  return [dy * frame.facing.x - dx * frame.facing.y, dx * frame.facing.x + dy * frame.facing.y];
}

export function toPlan(frame: Frame, [u, v]: Local): Point {
  const { origin, facing, feetPerUnit } = frame;
  return { x: sheetUnits(origin.x + (v * facing.x - u * facing.y) / feetPerUnit), y: sheetUnits(origin.y + (v * facing.y + u * facing.x) / feetPerUnit) };
}

/** Part of a polygon within u1..u2 and v1..v2. */
export function clipToBox(points: readonly Local[], u1: number, v1: number, u2: number, v2: number): Local[] {
  const sides: readonly ((p: Local) => number)[] = [([u]) => u - u1, ([u]) => u2 - u, ([, v]) => v - v1, ([, v]) => v2 - v];
  return sides.reduce<readonly Local[]>(clipSide, points) as Local[];
}

function clipSide(points: readonly Local[], inside: (p: Local) => number): Local[] {
  const out: Local[] = [];
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length] ?? p;
    const dp = inside(p); const dq = inside(q);
    if (dp >= 0) out.push(p);
    if ((dp > 0 && dq < 0) || (dp < 0 && dq > 0)) {
      const t = dp / (dp - dq);
      out.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
    }
  });
  return out;
}

/** Area of a polygon, whichever way it turns. What a cut of an outline that is not convex adds along the box's sides counts nothing. */
export function areaOf(points: readonly Local[]): number {
  return Math.abs(points.reduce((sum, [u, v], i) => { const [a, b] = points[(i + 1) % points.length] ?? [u, v]; return sum + u * b - a * v; }, 0)) / 2;
}

/** Square feet below which a polygon is a bare line. */
const BARE = 1e-9;

/** Extent of the part of a polygon within a box; null where it only runs along its sides. A bare line counts however thin. */
export function extentWithin(points: readonly Local[], u1: number, v1: number, u2: number, v2: number): Extent | null {
  const cut = clipToBox(points, u1, v1, u2, v2);
  return areaOf(cut) > BARE || areaOf(points) <= BARE ? extentOf(cut) : null;
}

export interface Extent { readonly u1: number; readonly u2: number; readonly v1: number; readonly v2: number }

/** Box around points, or null when there are none. */
export function extentOf(points: readonly Local[]): Extent | null {
  if (points.length === 0) return null;
  const us = points.map(([u]) => u); const vs = points.map(([, v]) => v);
  return { u1: Math.min(...us), u2: Math.max(...us), v1: Math.min(...vs), v2: Math.max(...vs) };
}
