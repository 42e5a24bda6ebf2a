import type { Entity, EntityKind, Id, Point } from '../../shared-core/document/index';
import { boxOf, distanceOf, distanceToChain, holds, isInside, meets, nearestOnSegment, pointsOf } from '../tools/plan-geometry';
import type { Box } from '../tools/plan-geometry';
import type { Entry, PlanIndex } from '../tools/plan-index';

/** Foremost first: small marks lie over lines, lines over faces, faces over areas. */
const ORDER: readonly EntityKind[] = ['disconnect', 'load', 'controller', 'machine', 'supply', 'route', 'wall', 'obstruction', 'area'];

export interface PickOptions {
  /** How near counts, sheet units. */
  readonly reach: number;
  /** Half the size of a symbol on the sheet, sheet units: a symbol is hit anywhere on it. */
  readonly symbol: number;
  /** How far in front of its wall a hung disconnect's symbol stands, sheet units. */
  readonly hangsOff?: number;
  readonly kinds?: readonly EntityKind[] | undefined;
  /** Half a wall's thickness on the sheet. */
  readonly halfThickness: (thickness: number) => number;
}

/** The foremost thing at a position: by kind first, then by distance, then the smaller outline. Own geometry, the same for pointer and keyboard. */
export function pickAt(index: PlanIndex, at: Point, options: PickOptions): Id | null {
  const out = Math.max(options.reach, options.symbol) + Math.max(options.halfThickness(4), options.hangsOff ?? 0);
  let best: { id: Id; rank: number; distance: number } | null = null;
  for (const entry of index.search({ minX: at.x - out, minY: at.y - out, maxX: at.x + out, maxY: at.y + out })) {
    const { entity } = entry;
    if (options.kinds && !options.kinds.includes(entity.kind)) continue;
    const hit = hitOf(entry, at, options);
    if (hit === null) continue;
    const rank = ORDER.indexOf(entity.kind) + (hit.face ? 10 : 0);
    if (!best || rank < best.rank || (rank === best.rank && hit.distance < best.distance)) best = { id: entity.id, rank, distance: hit.distance };
  }
  return best?.id ?? null;
}

/** face: hit inside an outline, away from its edge; distance is then the outline's size, so that the smaller one wins. */
function hitOf({ entity, segment }: Entry, at: Point, options: PickOptions): { distance: number; face: boolean } | null {
  const { reach, symbol } = options;
  const edge = (distance: number, within: number): { distance: number; face: boolean } | null => (distance <= within ? { distance, face: false } : null);
  switch (entity.kind) {
    case 'wall': case 'route': {
      const a = entity.points[segment]; const b = entity.points[segment + 1];
      return a && b ? edge(nearestOnSegment(at, a, b).distance, entity.kind === 'wall' ? Math.max(reach, options.halfThickness(entity.thickness)) : reach) : null;
    }
    case 'obstruction': case 'area': return edge(distanceToChain(at, entity.outline, true), reach) ?? insideOf(at, entity.outline);
    case 'load': case 'machine': return (entity.at ? edge(distanceOf(at, entity.at), Math.max(reach, symbol)) : null) ?? (entity.outline ? insideOf(at, entity.outline) : null);
    case 'disconnect': {
      const off = entity.mount ? options.hangsOff ?? 0 : 0; const angle = (entity.facing * Math.PI) / 180;
      const centre = { x: entity.at.x + off * Math.cos(angle), y: entity.at.y + off * Math.sin(angle) };
      return edge(nearestOnSegment(at, entity.at, centre).distance, Math.max(reach, symbol));
    }
    case 'controller': case 'supply': return edge(distanceOf(at, entity.at), Math.max(reach, symbol));
    case 'exception': return null;
  }
}

function insideOf(at: Point, outline: readonly Point[]): { distance: number; face: boolean } | null {
  if (!isInside(at, outline)) return null;
  const box = boxOf(outline);
  return { distance: (box.maxX - box.minX) * (box.maxY - box.minY), face: true };
}

/** Everything wholly in a box, or all that meets it, in document order. */
export function pickWithin(index: PlanIndex, box: Box, touching: boolean): Id[] {
  return index.entitiesIn(box).filter((entity) => (touching ? reallyMeets(entity, box) : holds(box, boxOf(pointsOf(entity))))).map((e) => e.id);
}

function reallyMeets(entity: Entity, box: Box): boolean {
  const points = pointsOf(entity);
  if (points.some((p) => p.x >= box.minX && p.x <= box.maxX && p.y >= box.minY && p.y <= box.maxY)) return true;
  const isChain = entity.kind === 'wall' || entity.kind === 'route';
  const isFace = entity.kind === 'obstruction' || entity.kind === 'area';
  if (!isChain && !isFace) return false;
  const count = isFace ? points.length : points.length - 1;
  for (let i = 0; i < count; i += 1) {
    const a = points[i]; const b = points[(i + 1) % points.length];
    if (a && b && segmentMeetsBox(a, b, box)) return true;
  }
  return isFace && isInside({ x: box.minX, y: box.minY }, points);
}

function segmentMeetsBox(a: Point, b: Point, box: Box): boolean {
  if (!meets(boxOf([a, b]), box)) return false;
  const side = (x: number, y: number): number => Math.sign((b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x));
  const sides = [side(box.minX, box.minY), side(box.maxX, box.minY), side(box.minX, box.maxY), side(box.maxX, box.maxY)];
  return !(sides.every((s) => s > 0) || sides.every((s) => s < 0));
}

const READABLE: ReadonlySet<EntityKind> = new Set(['disconnect', 'load', 'controller', 'machine', 'supply', 'obstruction', 'area']);

/** The marks a person steps through with Tab, line by line from the top left; walls and routes are reached through the plan list. */
export function readingOrder(index: PlanIndex, lineHeight: number): Id[] {
  const marks = index.allThings().filter((e) => READABLE.has(e.kind)).map((e) => ({ id: e.id, at: pointsOf(e)[0] }));
  const row = (at: Point | undefined): number => Math.floor((at?.y ?? 0) / lineHeight);
  return marks.sort((a, b) => row(a.at) - row(b.at) || (a.at?.x ?? 0) - (b.at?.x ?? 0) || (a.id < b.id ? -1 : 1)).map((m) => m.id);
}
