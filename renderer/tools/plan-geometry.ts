import { feet, sheetUnits } from '../../shared-core/units/index';
import { toSheet } from '../../shared-core/document/index';
import type { Entity, Point, Sheet } from '../../shared-core/document/index';
import type { Feet, SheetUnits } from '../../shared-core/units/index';

/** Plan boxes in sheet units; the field names are those of the spatial index. */
export interface Box { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }
export interface Vector { readonly x: number; readonly y: number }

export const pointAt = (x: number, y: number): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
export const shifted = (p: Point, by: Vector): Point => pointAt(p.x + by.x, p.y + by.y);
export const minus = (a: Vector, b: Vector): Vector => ({ x: a.x - b.x, y: a.y - b.y });
export const distanceOf = (a: Vector, b: Vector): number => Math.hypot(b.x - a.x, b.y - a.y);
export const middleOf = (a: Vector, b: Vector): Point => pointAt((a.x + b.x) / 2, (a.y + b.y) / 2);

export function boxOf(points: readonly Vector[]): Box {
  let minX = Infinity; let minY = Infinity; let maxX = -Infinity; let maxY = -Infinity;
  for (const { x, y } of points) {
    minX = Math.min(minX, x); minY = Math.min(minY, y);
    maxX = Math.max(maxX, x); maxY = Math.max(maxY, y);
  }
  return { minX, minY, maxX, maxY };
}

export const grown = (box: Box, by: number): Box => ({ minX: box.minX - by, minY: box.minY - by, maxX: box.maxX + by, maxY: box.maxY + by });
export const joined = (a: Box, b: Box): Box => ({ minX: Math.min(a.minX, b.minX), minY: Math.min(a.minY, b.minY), maxX: Math.max(a.maxX, b.maxX), maxY: Math.max(a.maxY, b.maxY) });
export const holds = (outer: Box, inner: Box): boolean => inner.minX >= outer.minX && inner.maxX <= outer.maxX && inner.minY >= outer.minY && inner.maxY <= outer.maxY;
export const meets = (a: Box, b: Box): boolean => a.minX <= b.maxX && a.maxX >= b.minX && a.minY <= b.maxY && a.maxY >= b.minY;

/** The points that say where an entity lies; empty for a load that waits to be placed and for exception records. */
export function pointsOf(entity: Entity): readonly Point[] {
  switch (entity.kind) {
    case 'wall': case 'route': return entity.points;
    case 'obstruction': case 'area': return entity.outline;
    case 'load': return entity.at ? [entity.at, ...(entity.outline ?? [])] : [];
    case 'machine': return [entity.at, ...(entity.outline ?? [])];
    case 'controller': case 'disconnect': case 'supply': return [entity.at];
    case 'exception': return [];
  }
}

/** The same entity with every one of its points changed. */
export function mapPoints<E extends Entity>(entity: E, change: (p: Point) => Point): E {
  const e: Entity = entity;
  switch (e.kind) {
    case 'wall': case 'route': return { ...entity, points: e.points.map(change) };
    case 'obstruction': case 'area': return { ...entity, outline: e.outline.map(change) };
    case 'load': return { ...entity, at: e.at && change(e.at), ...(e.outline ? { outline: e.outline.map(change) } : {}) };
    case 'machine': return { ...entity, at: change(e.at), ...(e.outline ? { outline: e.outline.map(change) } : {}) };
    case 'controller': case 'disconnect': case 'supply': return { ...entity, at: change(e.at) };
    case 'exception': return entity;
  }
}

/** Foot of the perpendicular, kept on the segment. t runs 0..1 from a to b; a segment of no length answers a. */
export function nearestOnSegment(p: Vector, a: Vector, b: Vector): { readonly at: Point; readonly t: number; readonly distance: number } {
  const dx = b.x - a.x; const dy = b.y - a.y;
  const lengthSquared = dx * dx + dy * dy;
  const t = lengthSquared === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / lengthSquared));
  const at = pointAt(a.x + t * dx, a.y + t * dy);
  return { at, t, distance: distanceOf(p, at) };
}

/** Where two unbounded lines cross, or null when they are as good as parallel. */
export function lineCrossing(a: Vector, b: Vector, c: Vector, d: Vector): Point | null {
  const rx = b.x - a.x; const ry = b.y - a.y; const sx = d.x - c.x; const sy = d.y - c.y;
  const cross = rx * sy - ry * sx;
  if (Math.abs(cross) < 1e-9 * Math.hypot(rx, ry) * Math.hypot(sx, sy)) return null;
  const t = ((c.x - a.x) * sy - (c.y - a.y) * sx) / cross;
  return pointAt(a.x + t * rx, a.y + t * ry);
}

/** Even-odd rule; good enough for picking with a pointer, never for a verdict. */
export function isInside(p: Vector, outline: readonly Vector[]): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i, i += 1) {
    const a = outline[i]; const b = outline[j];
    if (a && b && (a.y > p.y) !== (b.y > p.y) && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/** Nearest distance to a chain of points; the last joins the first when closed. */
export function distanceToChain(p: Vector, points: readonly Vector[], closed: boolean): number {
  let best = Infinity;
  const count = closed ? points.length : points.length - 1;
  for (let i = 0; i < count; i += 1) {
    const a = points[i]; const b = points[(i + 1) % points.length];
    if (a && b) best = Math.min(best, nearestOnSegment(p, a, b).distance);
  }
  return best;
}

export const turned = (p: Vector, about: Vector, degrees: number): Point => {
  const angle = (degrees * Math.PI) / 180; const c = Math.cos(angle); const s = Math.sin(angle);
  const dx = p.x - about.x; const dy = p.y - about.y;
  return pointAt(about.x + dx * c - dy * s, about.y + dx * s + dy * c);
};

/** Direction on the plan in degrees, 0 = right, clockwise on the screen (y down), within [0, 360). */
export const directionOf = (v: Vector): number => normalDegrees((Math.atan2(v.y, v.x) * 180) / Math.PI);
export const normalDegrees = (degrees: number): number => ((degrees % 360) + 360) % 360;

/** Half of a wall's thickness on the sheet; 0 while the sheet has no scale, because then a thickness means nothing. */
export const halfThickness = (sheet: Sheet, thickness: Feet): number => (sheet.scale ? toSheet(sheet.scale, feet(thickness / 2)) : 0);

export const lengthInFeet = (sheet: Sheet, length: number): Feet | null => (sheet.scale ? feet(length * sheet.scale.feetPerUnit) : null);
export const lengthOnSheet = (sheet: Sheet, length: Feet): SheetUnits | null => (sheet.scale ? toSheet(sheet.scale, length) : null);
