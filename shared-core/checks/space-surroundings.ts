import type { SpaceCondition } from '../code-data/index';
import { entitiesOf, knownChanges } from '../document/index';
import type { Disconnect, Document, Entity, Id, Opening, Point, Wall } from '../document/index';
import type { Obstacle } from '../sight/index';
import { inFeet } from './choose-rules';
import { facingVector, faceOf } from './handle-point';
import type { ReadySheet } from './pair-view';
import { clipToBox, extentOf, toLocal, toPlan } from './space-frame';
import type { Extent, Frame, Local } from './space-frame';

/** Feet; what touches the front or a side of the space does not stand in it, and turning the plan must not make it. */
export const ROUNDING = 1e-7;

/** Something that stands, or swings, in front of a device. */
export interface Surrounding {
  readonly entity: Id;
  readonly opening?: Id;
  readonly kind: 'wall' | 'obstruction' | 'equipment' | 'door-swing';
  readonly condition: SpaceCondition;
  /** The face of the wall is not known to be insulated or grounded. */
  readonly faceUnknown: boolean;
  readonly polygon: readonly Local[];
  readonly extent: Extent;
  readonly bottom: number;
  readonly top: number;
}

/** Where a device's front is and which way it looks; null while the sheet has no scale. */
export function frameOf(document: Document, disconnect: Disconnect, depth: number): Frame | null {
  const scale = document.sheets.find((s) => s.id === disconnect.sheet)?.scale;
  if (!scale) return null;
  const wall = disconnect.mount ? document.entities[disconnect.mount.wall] : undefined;
  const facing = facingVector(disconnect.facing);
  const face = wall?.kind === 'wall' && disconnect.mount ? faceOf(wall, disconnect.mount.segment, facing, disconnect.at) : null;
  if (!face || wall?.kind !== 'wall') return { origin: disconnect.at, facing, feetPerUnit: scale.feetPerUnit };
  const out = Math.max(face.offset, wall.thickness / 2 / scale.feetPerUnit) + depth / scale.feetPerUnit;
  const origin = { x: face.foot.x + face.normal.x * out, y: face.foot.y + face.normal.y * out } as Point;
  return { origin, facing: face.normal, feetPerUnit: scale.feetPerUnit };
}

/** Everything in front of a device within the given reach and height range above its level's floor. */
export function surroundingsOf(document: Document, sheet: ReadySheet, disconnect: Disconnect, frame: Frame, reach: { readonly width: number; readonly depth: number }, low: number, high: number): Surrounding[] {
  const found: Surrounding[] = [];
  const { index, scene } = sheet;
  const take = (s: Omit<Surrounding, 'extent'>): void => {
    if (s.top <= low || s.bottom >= high) return;
    const extent = extentOf(clipToBox(s.polygon, -reach.width, 0, reach.width, reach.depth));
    // What stands behind the front takes no room; a bare line in front does, however thin.
    if (extent && extent.v2 > ROUNDING && extent.v1 < reach.depth) found.push({ ...s, extent: { ...extent, v1: Math.max(0, extent.v1) } });
  };
  const radius = Math.hypot(reach.width, reach.depth) / frame.feetPerUnit;
  const { x, y } = frame.origin;
  for (const obstacle of index?.obstaclesIn(x - radius, y - radius, x + radius, y + radius) ?? []) {
    const owner = scene.owners.get(obstacle.id);
    if (!owner || owner.heightAssumed || obstacle.transmission === 'leaf') continue;
    const polygon = planOf(obstacle).map(([px, py]) => toLocal(frame, px, py));
    take({ entity: owner.entity, ...(owner.opening === undefined ? {} : { opening: owner.opening }), polygon, bottom: obstacle.bottom, top: obstacle.top, ...faceConditionOf(document, owner.entity) });
  }
  for (const other of pointEquipment(document, disconnect, frame, radius)) take(other);
  for (const wall of sparseOf(document, disconnect.sheet).swinging) for (const swing of swingsOf(wall, frame, radius * frame.feetPerUnit)) take(swing);
  return found;
}

/** An obstacle's outline on the plan; a bare line with a sliver of width. */
export function planOf({ shape }: Obstacle): readonly (readonly [number, number])[] {
  if (shape.type === 'polygon') return shape.points;
  const { x1, y1, x2, y2, thickness } = shape;
  const length = Math.hypot(x2 - x1, y2 - y1) || 1;
  // A bare line has a sliver of width, so that clipping sees an area.
  const half = Math.max(thickness / 2, length * Number.EPSILON);
  const nx = (-(y2 - y1) / length) * half; const ny = ((x2 - x1) / length) * half;
  return [[x1 + nx, y1 + ny], [x2 + nx, y2 + ny], [x2 - nx, y2 - ny], [x1 - nx, y1 - ny]];
}

/** Bare metal, concrete, brick and tile are grounded; a wall is insulated only where a person says so. */
export function faceConditionOf(document: Document, id: Id): Pick<Surrounding, 'kind' | 'condition' | 'faceUnknown'> {
  const entity = document.entities[id];
  if (entity?.kind === 'wall') {
    const known = entity.face === 'insulated' || entity.face === 'grounded' || entity.material === 'mesh';
    return { kind: 'wall', condition: entity.face === 'insulated' ? 1 : 2, faceUnknown: !known };
  }
  return { kind: entity?.kind === 'obstruction' ? 'obstruction' : 'equipment', condition: 2, faceUnknown: false };
}

interface Sparse { readonly points: readonly Entity[]; readonly swinging: readonly Wall[] }
const sparse = new WeakMap<Document, Map<Id, Sparse>>();
/** Walls with swinging doors, by their ids, of the document asked about last: a wall under the hand is not looked for among all others. */
let lastSwinging: { readonly of: Document; readonly walls: readonly Wall[] } | null = null;

function swingingWalls(document: Document): readonly Wall[] {
  if (lastSwinging?.of === document) return lastSwinging.walls;
  const swings = (e: Entity | undefined): e is Wall => e?.kind === 'wall' && e.openings.some((o) => o.swing && o.leaf !== 'none');
  const changed = lastSwinging && knownChanges(lastSwinging.of, document);
  const ids = new Set(changed);
  const kept = lastSwinging && changed ? lastSwinging.walls.filter((wall) => !ids.has(wall.id)) : entitiesOf(document, 'wall').filter(swings);
  const walls = [...kept, ...[...ids].map((id) => document.entities[id]).filter(swings)].sort((a, b) => (a.id < b.id ? -1 : 1));
  lastSwinging = { of: document, walls };
  return walls;
}

/** Equipment without outline and walls with swinging doors: few beside thousands of walls, so picked out once. */
function sparseOf(document: Document, sheet: Id): Sparse {
  const known = sparse.get(document) ?? new Map<Id, Sparse>();
  sparse.set(document, known);
  const found = known.get(sheet);
  if (found) return found;
  const made: Sparse = {
    points: (['disconnect', 'supply', 'controller', 'load', 'machine'] as const).flatMap((kind): Entity[] => entitiesOf(document, kind, sheet)).filter((e) => !(e.kind === 'load' || e.kind === 'machine') || !e.outline),
    swinging: swingingWalls(document).filter((wall) => wall.sheet === sheet),
  };
  known.set(sheet, made);
  return made;
}

/** The disconnects of a sheet, without looking through its walls each time. */
export const disconnectsOn = (document: Document, sheet: Id): Disconnect[] => sparseOf(document, sheet).points.filter((e): e is Disconnect => e.kind === 'disconnect');

/** The enclosure seen from its front, drawn in on all sides by so many feet; a device of unknown size is its handle, with so much around it. */
export function boxOfEnclosure(size: Disconnect['data']['size'], slack: number): Extent {
  return size ? { u1: slack - size.width / 2, u2: size.width / 2 - slack, v1: slack - size.depth, v2: -slack } : { u1: -slack, u2: slack, v1: -slack, v2: slack };
}

/** Half the width that equipment drawn as a point is taken to have, feet; no more than makes it show up. */
export const POINT_HALF = 0.25;

/** Panels, controllers, other switches, and loads without outline near a front: live parts opposite where they have any. */
function pointEquipment(document: Document, disconnect: Disconnect, frame: Frame, radius: number): Omit<Surrounding, 'extent'>[] {
  const isNear = (e: Entity): boolean => {
    if (!('at' in e) || !e.at) return false;
    // Too far for any corner of it to stand within the reach: nearly everything on a large sheet. An enclosure on a wall may be drawn away from its mark.
    const isAtMark = e.kind !== 'disconnect' || !e.mount || !e.data.size;
    const size = e.kind === 'disconnect' && e.data.size ? e.data.size.width + e.data.size.depth : 0;
    return !isAtMark || Math.hypot(e.at.x - frame.origin.x, e.at.y - frame.origin.y) <= radius + (2 * POINT_HALF + size) / frame.feetPerUnit;
  };
  return pointsOn(document, disconnect, frame, isNear).filter((s) => !isBeside(s.polygon));
}

/** All equipment of its sheet that is drawn as points, seen from a front. */
export function pointsOn(document: Document, disconnect: Disconnect, frame: Frame, isAsked: (e: Entity) => boolean = () => true): Omit<Surrounding, 'extent'>[] {
  const at = (p: Point, half: number): Local[] => { const [u, v] = toLocal(frame, p.x, p.y); return [[u - half, v - half], [u + half, v - half], [u + half, v + half], [u - half, v + half]]; };
  const everywhere = { bottom: Number.NEGATIVE_INFINITY, top: Number.POSITIVE_INFINITY, faceUnknown: false, kind: 'equipment' } as const;
  return sparseOf(document, disconnect.sheet).points.flatMap((e): Omit<Surrounding, 'extent'>[] => {
    if (e.id === disconnect.id || !('at' in e) || !e.at || !isAsked(e)) return [];
    if (e.kind === 'disconnect') return [{ ...everywhere, entity: e.id, condition: 3, polygon: enclosureOf(document, e, frame) ?? at(e.at, POINT_HALF) }];
    if (e.kind === 'supply' || e.kind === 'controller') return [{ ...everywhere, entity: e.id, condition: 3, polygon: at(e.at, POINT_HALF) }];
    if ((e.kind === 'load' || e.kind === 'machine') && !e.outline) return [{ ...everywhere, entity: e.id, condition: 2, polygon: at(e.at, POINT_HALF) }];
    return [];
  });
}

/** Equipment on the same wall stands beside, not in front: only what projects further than the code lets associated equipment counts. */
function isBeside(polygon: readonly Local[]): boolean {
  const extent = extentOf(polygon);
  return !extent || extent.v2 <= inFeet({ value: 6, unit: 'in' });
}

function enclosureOf(document: Document, other: Disconnect, frame: Frame): Local[] | null {
  const size = other.data.size;
  if (!size) return null;
  const front = frameOf(document, other, size.depth);
  if (!front) return null;
  const half = size.width / 2; const back = 0 - size.depth;
  const corners: Local[] = [[-half, 0], [half, 0], [half, back], [-half, back]];
  return corners.map((corner) => { const p = toPlan(front, corner); return toLocal(frame, p.x, p.y); });
}

/** The sweeps of a sheet's doors within part of it, seen from a front. */
export function swingsNear(document: Document, sheet: Id, frame: Frame, box: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number }): Omit<Surrounding, 'extent'>[] {
  const radius = Math.max(...[[box.left, box.top], [box.left, box.bottom], [box.right, box.top], [box.right, box.bottom]].map(([x, y]) => Math.hypot((x ?? 0) - frame.origin.x, (y ?? 0) - frame.origin.y)));
  return sparseOf(document, sheet).swinging.flatMap((wall) => swingsOf(wall, frame, radius * frame.feetPerUnit));
}

const SWING_CHORDS = 8;

/** The floor that a door's leaf sweeps on its way to 90 degrees, as a polygon around the arc. */
function swingsOf(wall: Wall, frame: Frame, radius: number): Omit<Surrounding, 'extent'>[] {
  return wall.openings.filter((o) => o.swing && o.leaf !== 'none').flatMap((opening) => {
    const polygon = sweepOf(wall, opening)?.map((p) => toLocal(frame, p.x, p.y));
    if (!polygon || polygon.every(([u, v]) => Math.hypot(u, v) > 3 * radius)) return [];
    return [{ entity: wall.id, opening: opening.id, kind: 'door-swing' as const, condition: 1 as const, faceUnknown: false, polygon, bottom: opening.sill, top: opening.head }];
  });
}

function sweepOf(wall: Wall, opening: Opening): Point[] | null {
  const a = wall.points[opening.segment]; const b = wall.points[opening.segment + 1];
  if (!a || !b || !opening.swing) return null;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length === 0) return null;
  const along = { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
  const atEnd = opening.swing.hinge === 'from' ? opening.from : opening.to;
  const hinge = { x: a.x + along.x * atEnd, y: a.y + along.y * atEnd };
  const towards = opening.swing.hinge === 'from' ? 1 : -1;
  const leaf = { x: along.x * towards, y: along.y * towards };
  // Left of the segment's direction on a plan whose y runs down.
  const side = opening.swing.side === 'left' ? 1 : -1;
  const open = { x: along.y * side, y: -along.x * side };
  const width = opening.to - opening.from;
  const quarter = Math.PI / 2;
  const outer = width / Math.cos(quarter / SWING_CHORDS / 2);
  const arc = Array.from({ length: SWING_CHORDS + 1 }, (_, i) => {
    const angle = (quarter * i) / SWING_CHORDS;
    return { x: hinge.x + outer * (leaf.x * Math.cos(angle) + open.x * Math.sin(angle)), y: hinge.y + outer * (leaf.y * Math.cos(angle) + open.y * Math.sin(angle)) } as Point;
  });
  return [hinge as Point, ...arc];
}
