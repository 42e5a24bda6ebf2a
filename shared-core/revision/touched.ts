import { entitiesOf, everyEntity, toSheet } from '../document/index';
import type { Document, Entity, Id, Sheet, Touched, Wall } from '../document/index';
import { feet, sheetUnits } from '../units/index';
import type { Feet } from '../units/index';
import type { Place } from './fit';

/** A square of the sheet that holds changed ink, sheet units; side is its edge. */
export interface ChangedSquare { readonly x: number; readonly y: number; readonly side: number; readonly gone: boolean; readonly fresh: boolean }

/** Squares by coarse buckets: a mark looks only into those it may touch. */
class Squares {
  private readonly buckets = new Map<string, ChangedSquare[]>();

  constructor(squares: readonly ChangedSquare[], private readonly size: number) {
    for (const square of squares) {
      const key = `${Math.floor((square.x + square.side / 2) / size)} ${Math.floor((square.y + square.side / 2) / size)}`;
      const list = this.buckets.get(key);
      if (list) list.push(square); else this.buckets.set(key, [square]);
    }
  }

  /** Squares whose middle lies within so much of the stretch from a to b. */
  near(a: Place, b: Place, by: number): ChangedSquare[] {
    const found: ChangedSquare[] = [];
    const column = (x: number): number => Math.floor(x / this.size);
    for (let c = column(Math.min(a.x, b.x) - by); c <= column(Math.max(a.x, b.x) + by); c += 1) for (let r = column(Math.min(a.y, b.y) - by); r <= column(Math.max(a.y, b.y) + by); r += 1) {
      for (const square of this.buckets.get(`${c} ${r}`) ?? []) if (fromStretch({ x: square.x + square.side / 2, y: square.y + square.side / 2 }, a, b) <= by) found.push(square);
    }
    return found;
  }
}

function fromStretch(p: Place, a: Place, b: Place): number {
  const dx = b.x - a.x; const dy = b.y - a.y;
  const length = dx * dx + dy * dy;
  const t = length === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / length));
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/** The stretches an entity is made of; a point is a stretch of no length. An exception lies nowhere. */
function stretchesOf(entity: Entity): (readonly [Place, Place])[] {
  const chain = (points: readonly Place[], closed: boolean): (readonly [Place, Place])[] =>
    points.slice(0, closed ? points.length : -1).map((p, i) => [p, points[(i + 1) % points.length]!] as const);
  switch (entity.kind) {
    case 'wall': case 'route': return chain(entity.points, false);
    case 'obstruction': case 'area': return chain(entity.outline, true);
    case 'load': return entity.at ? [[entity.at, entity.at], ...chain(entity.outline ?? [], true)] : [];
    case 'machine': return [[entity.at, entity.at], ...chain(entity.outline ?? [], true)];
    case 'controller': case 'disconnect': case 'supply': return [[entity.at, entity.at]];
    case 'exception': return [];
  }
}

/** The openings of a wall, each from jamb to jamb. */
function openingsOf({ points, openings }: Wall): (readonly [Id, Place, Place])[] {
  return openings.flatMap(({ id, segment, from, to }) => {
    const a = points[segment]; const b = points[segment + 1];
    if (!a || !b) return [];
    const long = Math.hypot(b.x - a.x, b.y - a.y) || 1;
    const along = (by: number): Place => ({ x: a.x + ((b.x - a.x) * by) / long, y: a.y + ((b.y - a.y) * by) / long });
    return [[id, along(from), along(to)] as const];
  });
}

/** Where a mark is met in reading order. */
const firstPlace = (entity: Entity): Place => stretchesOf(entity)[0]?.[0] ?? { x: 0, y: 0 };

/**
 * The marks of a sheet that a change of its plan touched: those near changed ink, and the disconnects whose line to a load
 * they serve crosses it. A wall is listed for each of its openings near changed ink as well.
 * @param near  how near counts; on a sheet without a scale only what lies on the changed squares themselves counts
 * @returns each mark once for each reason, in reading order: down the sheet in bands, then to the right
 */
export function touchedMarks(document: Document, sheet: Sheet, squares: readonly ChangedSquare[], near: Feet): Touched[] {
  if (squares.length === 0) return [];
  const side = Math.max(...squares.map((s) => s.side));
  const half = side * Math.SQRT1_2;
  const reach = (sheet.scale ? toSheet(sheet.scale, near) : sheetUnits(0)) + half;
  const beside = (sheet.scale ? toSheet(sheet.scale, BESIDE_LINE) : sheetUnits(0)) + half;
  const index = new Squares(squares, Math.max(4 * side, reach));
  const found: { readonly touched: Touched; readonly at: Place }[] = [];
  const add = (entity: Entity, why: Touched['why'], hit: readonly ChangedSquare[]): void => {
    if (hit.length > 0) found.push({ at: firstPlace(entity), touched: { id: entity.id, why, gone: hit.some((s) => s.gone), fresh: hit.some((s) => s.fresh) } });
  };
  for (const entity of everyEntity(document)) {
    if (entity.sheet !== sheet.id) continue;
    add(entity, { kind: 'near' }, stretchesOf(entity).flatMap(([a, b]) => index.near(a, b, reach)));
    if (entity.kind === 'wall') for (const [opening, a, b] of openingsOf(entity)) add(entity, { kind: 'opening', opening }, index.near(a, b, reach));
    if (entity.kind !== 'disconnect') continue;
    for (const id of entity.serves) {
      const load = document.entities[id];
      if (load?.kind !== 'load') continue;
      // The machine and the controller are to be seen as well as the motor.
      const targets = [load, ...[load.machine, load.controller].flatMap((other) => (other !== undefined && Object.hasOwn(document.entities, other) ? [document.entities[other]!] : []))];
      add(entity, { kind: 'line', load: id }, targets.flatMap((t) => ('at' in t && t.at && t.sheet === sheet.id ? index.near(entity.at, t.at, beside) : [])));
    }
  }
  const band = Math.max(8 * side, sheet.height / 24);
  return found.sort((a, b) => Math.floor(a.at.y / band) - Math.floor(b.at.y / band) || a.at.x - b.at.x).map(({ touched }) => touched);
}

/** The eye that a line starts from may stand a little beside the load. Own choice. */
const BESIDE_LINE: Feet = feet(1);

/** Everything of a sheet that has a place on it: what must be looked over when nobody can say what changed. */
export const marksOnFloor = (document: Document, sheet: Id): Id[] =>
  (['wall', 'obstruction', 'load', 'machine', 'controller', 'disconnect', 'supply', 'area', 'route'] as const).flatMap((kind) => entitiesOf(document, kind, sheet).flatMap((e) => (e.kind === 'load' && !e.at ? [] : [e.id])));

/** How near changed ink a mark must lie to be listed, unless a person says otherwise. Own choice: about a working space's depth. */
export const TOUCHED_WITHIN: Feet = feet(3);
