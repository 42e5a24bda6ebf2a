import { entitiesOf, putEntities } from '../../shared-core/document/index';
import type { Disconnect, Document, Edit, Entity, Id, Point, Sheet, Wall } from '../../shared-core/document/index';
import { boxOf, directionOf, distanceOf, lengthOnSheet, mapPoints, middleOf, minus, nearestOnSegment, normalDegrees, pointsOf, shifted, turned } from './plan-geometry';
import type { Vector } from './plan-geometry';
import { knownWithin } from './chain';
import { nameOf, nameOfAll, nextTag } from './naming';
import { faceOf } from './snap';
import type { Hang } from './snap';
import { entityOf } from './tool';
import { feet } from '../../shared-core/units/index';
import type { SheetUnits } from '../../shared-core/units/index';

const isEntity = (e: Entity | null): e is Entity => e !== null;
const entitiesOfIds = (document: Document, ids: readonly Id[]): Entity[] => ids.map((id) => entityOf(document, id)).filter(isEntity);

/** Disconnects that hang on one of these walls go where the wall goes. */
function hungOn(document: Document, walls: ReadonlySet<Id>): Disconnect[] {
  if (walls.size === 0) return [];
  return entitiesOf(document, 'disconnect').filter((d) => d.mount !== null && walls.has(d.mount.wall));
}

/**
 * Moves marks by the same amount. What hangs on a moved wall moves with it; a disconnect moved on its own leaves its
 * wall unless it still lies on that wall's face.
 * @param pointed how exactly the new place was pointed at; left out where they go so far from where they were (arrow keys, a typed way)
 */
export function moveEdit(document: Document, ids: readonly Id[], by: Vector, sheet: Sheet, pointed?: Pointed): Edit {
  const moved = new Map<Id, Entity>();
  const chosen = entitiesOfIds(document, ids);
  const walls = new Set(chosen.filter((e) => e.kind === 'wall').map((e) => e.id));
  for (const entity of [...chosen, ...hungOn(document, walls)]) {
    const there = mapPoints(entity, (p) => shifted(p, by));
    const hung = there.kind === 'disconnect' ? keptHanging(document, there, walls, sheet) : there;
    moved.set(entity.id, pointed ? placedWithin(hung, pointed, chosen.length === 1) : hung);
  }
  return putEntities(document, `moved ${nameOfAll(document, ids)}`, [...moved.values()]);
}

/** How far a place that was pointed at may be off; undefined: no more than the plan's own points. */
export interface Pointed { readonly within: SheetUnits | undefined }

/** A mark alone is as exact as the hand that put it there; several, and the corners of one, keep their places to each other, so the worst stays. */
function placedWithin(mark: Entity, { within }: Pointed, alone: boolean): Entity {
  return knownWithin(mark, alone && 'at' in mark ? within : Math.max(within ?? 0, mark.within ?? 0));
}

function keptHanging(document: Document, disconnect: Disconnect, movedWalls: ReadonlySet<Id>, sheet: Sheet): Disconnect {
  const { mount } = disconnect;
  if (!mount || movedWalls.has(mount.wall)) return disconnect;
  const wall = entityOf(document, mount.wall);
  const face = wall?.kind === 'wall' ? faceOf(wall, mount.segment, sheet, disconnect.at, disconnect.handleHeight) : null;
  const slack = lengthOnSheet(sheet, feet(0.02)) ?? 0;
  return face && distanceOf(face.at, disconnect.at) <= slack ? { ...disconnect, at: face.at } : { ...disconnect, mount: null };
}

/** A disconnect brought to a wall face, or to a free place when there is none. */
export const placedDisconnect = (disconnect: Disconnect, at: Point, hang: Hang | null): Disconnect =>
  hang ? { ...disconnect, at: hang.at, facing: hang.facing, mount: { wall: hang.wall, segment: hang.segment } } : { ...disconnect, at, mount: null };

/** Moves one disconnect with the pull of walls. */
export function hangEdit(document: Document, disconnect: Disconnect, at: Point, hang: Hang | null, pointed?: Pointed): Edit {
  const placed = placedDisconnect(disconnect, at, hang);
  return putEntities(document, `moved ${disconnect.tag}`, [pointed ? knownWithin(placed, pointed.within) : placed]);
}

/** Moves one corner of a wall, obstruction, area or route; what hangs on the wall keeps its share of the segment. */
export function cornerEdit(document: Document, id: Id, corner: number, at: Point, sheet: Sheet, pointed?: Pointed): Edit {
  const entity = entityOf(document, id);
  if (!entity) return { name: '', patches: [] };
  let count = -1;
  const after = mapPoints(entity, (p) => { count += 1; return count === corner ? at : p; });
  const shaped = after.kind === 'wall' && entity.kind === 'wall' ? withOpeningsKept(after, entity) : after;
  const kept = pointed ? placedWithin(shaped, pointed, false) : shaped;
  const hung = kept.kind === 'wall' && entity.kind === 'wall' ? hungOn(document, new Set([id])).map((d) => rehung(d, entity, kept, sheet)) : [];
  return putEntities(document, `changed ${nameOf(entity)}`, [kept, ...hung]);
}

/** Openings are measured along their segment; a shorter segment cuts them, and one with no room left goes. */
function withOpeningsKept(wall: Wall, before: Wall): Wall {
  const lengthOf = (w: Wall, segment: number): number => { const a = w.points[segment]; const b = w.points[segment + 1]; return a && b ? distanceOf(a, b) : 0; };
  const openings = wall.openings.flatMap((o) => {
    const now = lengthOf(wall, o.segment); const then = lengthOf(before, o.segment);
    if (now === then) return [o];
    const to = Math.min(o.to, now) as typeof o.to;
    return to > o.from ? [{ ...o, to }] : [];
  });
  return { ...wall, openings };
}

function rehung(disconnect: Disconnect, before: Wall, after: Wall, sheet: Sheet): Disconnect {
  const segment = disconnect.mount?.segment ?? 0;
  const a = before.points[segment]; const b = before.points[segment + 1]; const c = after.points[segment]; const d = after.points[segment + 1];
  if (!a || !b || !c || !d) return { ...disconnect, mount: null };
  const { t } = nearestOnSegment(disconnect.at, a, b);
  const side = Math.sign((b.x - a.x) * (disconnect.at.y - a.y) - (b.y - a.y) * (disconnect.at.x - a.x)) || 1;
  const length = distanceOf(c, d) || 1;
  const on = shifted(c, { x: (d.x - c.x) * t, y: (d.y - c.y) * t });
  const raw = shifted(on, { x: (-(d.y - c.y) / length) * side, y: ((d.x - c.x) / length) * side });
  const face = faceOf(after, segment, sheet, raw, disconnect.handleHeight);
  return face ? { ...disconnect, at: face.at, facing: face.facing } : { ...disconnect, mount: null };
}

/** Turns marks about their common middle; a disconnect turned on its own leaves its wall. */
export function turnEdit(document: Document, ids: readonly Id[], degrees: number): Edit {
  const chosen = entitiesOfIds(document, ids);
  const points = chosen.flatMap((e) => [...pointsOf(e)]);
  if (points.length === 0) return { name: '', patches: [] };
  const box = boxOf(points);
  const about = middleOf({ x: box.minX, y: box.minY }, { x: box.maxX, y: box.maxY });
  const walls = new Set(chosen.filter((e) => e.kind === 'wall').map((e) => e.id));
  const turnedMarks = [...new Set([...chosen, ...hungOn(document, walls)])].map((entity): Entity => {
    const there = mapPoints(entity, (p) => turned(p, about, degrees));
    if (there.kind !== 'disconnect') return there;
    return { ...there, facing: normalDegrees(there.facing + degrees), mount: there.mount && walls.has(there.mount.wall) ? there.mount : null };
  });
  return putEntities(document, `turned ${nameOfAll(document, ids)}`, turnedMarks);
}

/** Faces a disconnect towards a position, in whole 15 degrees unless fine. */
export function faceEdit(document: Document, disconnect: Disconnect, towards: Point, fine: boolean): Edit {
  const exact = directionOf(minus(towards, disconnect.at));
  const facing = normalDegrees(fine ? exact : Math.round(exact / 15) * 15);
  return putEntities(document, `turned ${disconnect.tag}`, [{ ...disconnect, facing }]);
}

/**
 * Copies of marks with new ids and tags, moved by an amount. References between the copied marks point at the copies;
 * a copied disconnect keeps no load and no wall that was not copied with it, because one load on two disconnects or a
 * disconnect floating off its wall would be a silent claim.
 */
export function copyEdit(document: Document, originals: readonly Entity[], by: Vector, sheet: Id, newId: (kind: Entity['kind'] | 'opening') => Id): { edit: Edit; ids: Id[] } {
  const copied = originals.filter((e) => e.kind !== 'exception' && (e.kind !== 'route' || (originals.some((o) => o.id === e.from) && originals.some((o) => o.id === e.to))));
  const ids = new Map(copied.map((e) => [e.id, newId(e.kind)]));
  const taken = new Set<string>();
  const renamed = (id: Id | undefined): Id | undefined => (id === undefined ? undefined : ids.get(id));
  const copies = copied.map((entity): Entity => {
    const moved = { ...mapPoints(entity, (p) => shifted(p, by)), id: ids.get(entity.id) ?? entity.id, sheet } as Entity;
    const tagged = 'tag' in moved ? { ...moved, tag: nextTag(document, moved.kind, taken) } : moved;
    if ('tag' in tagged) taken.add(tagged.tag);
    switch (tagged.kind) {
      case 'wall': return { ...tagged, openings: tagged.openings.map((o) => ({ ...o, id: newId('opening') })) };
      case 'disconnect': {
        const { fedFrom, verified: _, ...data } = tagged.data;
        const wall = tagged.mount ? renamed(tagged.mount.wall) : undefined;
        const stillThere = fedFrom !== undefined && Object.hasOwn(document.entities, fedFrom) ? fedFrom : undefined;
        const fed = renamed(fedFrom) ?? stillThere;
        return { ...tagged, serves: tagged.serves.flatMap((id) => renamed(id) ?? []), mount: wall !== undefined && tagged.mount ? { ...tagged.mount, wall } : null,
          data: fed === undefined ? data : { ...data, fedFrom: fed } };
      }
      case 'load': {
        const { machine, controller, ...rest } = tagged;
        const newMachine = renamed(machine); const newController = renamed(controller);
        return { ...rest, ...(newMachine === undefined ? {} : { machine: newMachine }), ...(newController === undefined ? {} : { controller: newController }) };
      }
      case 'route': return { ...tagged, from: renamed(tagged.from) ?? tagged.from, to: renamed(tagged.to) ?? tagged.to };
      default: return tagged;
    }
  });
  const only = copied.length === 1 ? copied[0] : undefined;
  return { edit: putEntities(document, `copied ${only ? nameOf(only) : `${copied.length} marks`}`, copies), ids: copies.map((e) => e.id) };
}
