import { applyHomography, applySimilarity, composeSimilarity, depthUnder, enlargementAt, invertHomography, plainTurn, turnParts } from '../geometry/index';
import type { Box, Homography, Similarity } from '../geometry/index';
import { sheetUnits } from '../units/index';
import type { Disconnect, Entity, Id, Point, Scale, Wall } from './types';

interface Vector { readonly x: number; readonly y: number }

/** What happens to the ground that marks stand on. */
export interface Motion {
  readonly point: (p: Vector) => Point;
  /** Where something at this place that faced so many degrees faces afterwards. */
  readonly facing: (at: Vector, degrees: number) => number;
  /** How much larger a short length at this place becomes. */
  readonly enlarges: (at: Vector) => number;
  /** Whether lengths along an edge stay what they were. */
  readonly keepsLengths: boolean;
}

/** A motion that turns and moves, lengths kept. @param motion its scale must be 1 */
export const rigidMotion = (motion: Similarity): Motion => ({
  point: (p) => pointAt(applySimilarity(motion, p)), facing: (_, degrees) => full(degrees + motion.turn), enlarges: () => 1, keepsLengths: true });

/** The ground seen from elsewhere. Things keep facing square to the line they stood along, as on a wall. */
export const viewMotion = (map: Homography): Motion => {
  const point = (p: Vector): Point => pointAt(applyHomography(map, p));
  return {
    point, keepsLengths: false, enlarges: (at) => enlargementAt(map, at),
    facing: (at, degrees) => {
      const [cos, sin] = turnParts(degrees);
      const along = (t: number): Point => point({ x: at.x - t * sin, y: at.y + t * cos });
      const [a, b] = [along(-1), along(1)];
      return full((Math.atan2(b.y - a.y, b.x - a.x) * 180) / Math.PI - 90);
    },
  };
};

const pointAt = ({ x, y }: Vector): Point => ({ x: sheetUnits(x), y: sheetUnits(y) });
const full = (degrees: number): number => ((degrees % 360) + 360) % 360;
const apart = (a: Vector, b: Vector): number => Math.hypot(b.x - a.x, b.y - a.y);

/** A stretch along an edge, measured from its first point, as it lies after the edge's ground moved. */
function stretchAlong<T extends { readonly from: number; readonly to: number }>(stretch: T, a: Point | undefined, b: Point | undefined, motion: Motion): T {
  if (motion.keepsLengths || !a || !b || apart(a, b) === 0) return stretch;
  const at = (along: number) => sheetUnits(apart(motion.point(a), motion.point({ x: a.x + ((b.x - a.x) * along) / apart(a, b), y: a.y + ((b.y - a.y) * along) / apart(a, b) })));
  return { ...stretch, from: at(stretch.from), to: at(stretch.to) };
}

/** A mark as it stands after the ground under it moved. */
export function movedMark(entity: Entity, motion: Motion): Entity {
  const [at] = placesOf(entity);
  const moved = movedPlaces(entity, motion);
  return moved.within === undefined || !at || motion.keepsLengths ? moved : { ...moved, within: sheetUnits(moved.within * motion.enlarges(at)) };
}

function movedPlaces(entity: Entity, motion: Motion): Entity {
  const to = motion.point;
  const withOutline = (outline: readonly Point[] | undefined): { outline?: readonly Point[] } => (outline ? { outline: outline.map(to) } : {});
  switch (entity.kind) {
    case 'wall': return { ...entity, points: entity.points.map(to), openings: entity.openings.map((o) => stretchAlong(o, entity.points[o.segment], entity.points[o.segment + 1], motion)) };
    case 'route': return { ...entity, points: entity.points.map(to) };
    case 'obstruction': case 'area': return { ...entity, outline: entity.outline.map(to) };
    case 'load': return { ...entity, at: entity.at && to(entity.at), ...withOutline(entity.outline),
      ...(entity.reserved ? { reserved: entity.reserved.map((r) => stretchAlong(r, entity.outline?.[r.edge], entity.outline?.[(r.edge + 1) % entity.outline.length], motion)) } : {}) };
    case 'machine': return { ...entity, at: to(entity.at), ...withOutline(entity.outline) };
    case 'disconnect': return { ...entity, at: to(entity.at), facing: motion.facing(entity.at, entity.facing) };
    case 'controller': case 'supply': return { ...entity, at: to(entity.at) };
    case 'exception': return entity;
  }
}

function placesOf(entity: Entity): readonly Vector[] {
  switch (entity.kind) {
    case 'wall': case 'route': return entity.points;
    case 'obstruction': case 'area': return entity.outline;
    case 'load': return [...(entity.at ? [entity.at] : []), ...(entity.outline ?? [])];
    case 'machine': return [entity.at, ...(entity.outline ?? [])];
    case 'disconnect': case 'controller': case 'supply': return [entity.at];
    case 'exception': return [];
  }
}

/** Whether the new view shows the ground of all of a mark, rather than its horizon. */
export const isSeen = (map: Homography, entity: Entity): boolean => placesOf(entity).every((p) => depthUnder(map, p) > 0 && Number.isFinite(applyHomography(map, p).x));

/**
 * A disconnect seen anew that hangs on a wall: a wall is as thick as it is in feet, so the device keeps its share of that off the wall's
 * middle line instead of its distance on the sheet.
 */
export function rehung(before: Disconnect, seen: Disconnect, walls: { readonly before: Wall; readonly after: Wall }, scales: { readonly before: Scale | null; readonly after: Scale | null }): Disconnect {
  const segment = before.mount?.segment ?? 0;
  const [a, b] = [walls.before.points[segment], walls.before.points[segment + 1]];
  const [c, d] = [walls.after.points[segment], walls.after.points[segment + 1]];
  if (!a || !b || !c || !d || !scales.before || !scales.after || apart(a, b) === 0 || apart(c, d) === 0) return seen;
  const off = ((b.x - a.x) * (before.at.y - a.y) - (b.y - a.y) * (before.at.x - a.x)) / apart(a, b);
  const far = (off * scales.before.feetPerUnit) / scales.after.feetPerUnit;
  const along = ((d.x - c.x) * (seen.at.x - c.x) + (d.y - c.y) * (seen.at.y - c.y)) / apart(c, d);
  const [ux, uy] = [(d.x - c.x) / apart(c, d), (d.y - c.y) / apart(c, d)];
  return { ...seen, at: pointAt({ x: c.x + ux * along - uy * far, y: c.y + uy * along + ux * far }) };
}

/** The turn, scaling and shift that does to two points of a sheet what a new view of it does. */
function likeness(map: Homography, [p, q]: readonly [Vector, Vector]): Similarity {
  const [a, b] = [applyHomography(map, p), applyHomography(map, q)];
  const scale = apart(a, b) / apart(p, q);
  const turn = plainTurn(((Math.atan2(b.y - a.y, b.x - a.x) - Math.atan2(q.y - p.y, q.x - p.x)) * 180) / Math.PI);
  const moved = applySimilarity({ scale, turn, x: 0, y: 0 }, p);
  return { scale, turn, x: a.x - moved.x, y: a.y - moved.y };
}

/** How an earlier plan lies after the sheet was seen anew: as near as a plan can that keeps its own shape. @param area the new drawing area */
export function layAnew(map: Homography, lay: Similarity, { maxX, maxY }: Box): Similarity {
  const back = invertHomography(map);
  return composeSimilarity(likeness(map, [applyHomography(back, { x: maxX / 4, y: maxY / 4 }), applyHomography(back, { x: (3 * maxX) / 4, y: (3 * maxY) / 4 })]), lay);
}

/** Everything about a sheet's marks after another view: null for a mark whose ground it does not show. */
export function marksSeen(map: Homography, marks: readonly Entity[], scales: { readonly before: Scale | null; readonly after: Scale | null }): { readonly moved: ReadonlyMap<Id, Entity> } | { readonly unseen: Entity } {
  const motion = viewMotion(map);
  const unseen = marks.find((mark) => !isSeen(map, mark));
  if (unseen) return { unseen };
  const moved = new Map(marks.map((mark) => [mark.id, movedMark(mark, motion)]));
  for (const mark of marks) {
    if (mark.kind !== 'disconnect' || !mark.mount) continue;
    const [before, after, seen] = [marks.find((m) => m.id === mark.mount?.wall), moved.get(mark.mount.wall), moved.get(mark.id)];
    if (before?.kind === 'wall' && after?.kind === 'wall' && seen?.kind === 'disconnect') moved.set(mark.id, rehung(mark, seen, { before, after }, scales));
  }
  return { moved };
}
