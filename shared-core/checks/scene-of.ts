import { entitiesOf } from '../document/index';
import type { Controller, Document, Id, Load, Machine, Material, Obstruction, Sheet, Wall } from '../document/index';
import type { Obstacle, Scene, Transmission } from '../sight/index';
import { feet } from '../units/index';
import { joinWalls } from './wall-joints';
import { wallPieces } from './wall-pieces';

/** What an obstacle of a scene stands for in the document. */
export interface Owner { readonly entity: Id; readonly opening?: Id; readonly heightAssumed?: true }

/** A sheet as sight sees it, with the way back from each obstacle to what a person drew. */
export interface SheetScene {
  readonly sheet: Sheet;
  readonly scene: Scene;
  readonly owners: ReadonlyMap<string, Owner>;
  /** Obstacle ids by entity; a wall has several, keyed `wall/segment` as well. */
  readonly obstaclesOf: ReadonlyMap<string, readonly string[]>;
  /** Closed leaves that a person can open, by obstacle id. */
  readonly doors: readonly { readonly obstacle: string; readonly locked: boolean }[];
}

/** No drawn thing reaches higher; stands for 'height not given'. */
const UNKNOWN_TOP = 1000;

const TRANSMISSION: Readonly<Record<Material, Transmission>> = { opaque: 'opaque', glazed: 'glazed', mesh: 'mesh' };

/** Collects obstacles and remembers whose they are. */
class SceneBuilder {
  readonly obstacles: Obstacle[] = [];
  readonly owners = new Map<string, Owner>();
  readonly obstaclesOf = new Map<string, string[]>();

  add(obstacle: Obstacle, owner: Owner, segment?: number): void {
    this.obstacles.push(obstacle);
    this.owners.set(obstacle.id, owner);
    this.note(owner.entity, obstacle.id);
    if (segment !== undefined) this.note(`${owner.entity}/${segment}`, obstacle.id);
  }

  private note(key: string, id: string): void {
    const known = this.obstaclesOf.get(key);
    if (known) known.push(id); else this.obstaclesOf.set(key, [id]);
  }
}

/**
 * One sheet as a scene of upright prisms: walls cut at their openings (a header over the head, the wall under the
 * sill, the leaf by its kind), corners closed, obstructions, and the bodies of loads and machines.
 * @returns plan in sheet units, heights in feet above the level's floor; without a scale feetPerUnit is NaN and walls are
 * bare lines, because a thickness in feet cannot be drawn: ask for the scale before any verdict.
 */
export function sceneOf(document: Document, sheetId: Id): SheetScene {
  const sheet = document.sheets.find((s) => s.id === sheetId);
  if (!sheet) throw new RangeError(`no sheet '${sheetId}'`);
  const feetPerUnit = sheet.scale?.feetPerUnit ?? Number.NaN;
  const builder = new SceneBuilder();
  const thicknessOf = (wall: Wall): number => (sheet.scale ? wall.thickness / feetPerUnit : 0);
  const walls = entitiesOf(document, 'wall', sheetId);
  const doors: { obstacle: string; locked: boolean }[] = [];
  for (const wall of walls) {
    for (const piece of wallPieces(wall, thicknessOf(wall))) {
      builder.add(piece.obstacle, piece.opening === undefined ? { entity: wall.id } : { entity: wall.id, opening: piece.opening }, piece.segment);
      const opening = piece.opening === undefined ? undefined : wall.openings.find((o) => o.id === piece.opening);
      if (opening && opening.leaf !== 'glazed') doors.push({ obstacle: piece.obstacle.id, locked: opening.locked ?? false });
    }
  }
  for (const joint of joinWalls(walls, thicknessOf, sheet.scale?.pickUncertainty ?? 0)) {
    builder.add(joint.obstacle, { entity: joint.wall });
  }
  for (const obstruction of entitiesOf(document, 'obstruction', sheetId)) builder.add(blockOf(obstruction), { entity: obstruction.id });
  for (const load of entitiesOf(document, 'load', sheetId)) addBody(builder, load);
  for (const machine of entitiesOf(document, 'machine', sheetId)) addBody(builder, machine);
  return { sheet, scene: { feetPerUnit, obstacles: builder.obstacles }, owners: builder.owners, obstaclesOf: builder.obstaclesOf, doors };
}

function blockOf(obstruction: Obstruction): Obstacle {
  return {
    id: obstruction.id, shape: { type: 'polygon', points: obstruction.outline.map((p) => [p.x, p.y] as const) },
    bottom: obstruction.bottom, top: obstruction.top, transmission: TRANSMISSION[obstruction.material],
  };
}

/**
 * The body of a load or machine. Where its top is not given, it is solid up to twice the height of its centre and
 * doubtful above: a line that passes there must not come out clear.
 */
function addBody(builder: SceneBuilder, body: Load | Machine): void {
  if (!body.outline || (body.kind === 'load' && !body.at)) return;
  const shape = { type: 'polygon', points: body.outline.map((p) => [p.x, p.y] as const) } as const;
  const bottom = feet(Math.min(body.standing, body.height));
  if (body.bodyTop !== undefined) {
    builder.add({ id: body.id, shape, bottom: feet(Math.min(bottom, body.bodyTop)), top: body.bodyTop, transmission: 'opaque' }, { entity: body.id });
    return;
  }
  const likelyTop = feet(Math.max(bottom, 2 * body.height - bottom));
  builder.add({ id: body.id, shape, bottom, top: likelyTop, transmission: 'opaque' }, { entity: body.id });
  builder.add({ id: `${body.id}/above`, shape, bottom: likelyTop, top: feet(UNKNOWN_TOP), transmission: 'leaf' }, { entity: body.id, heightAssumed: true });
}

/** Anything a line of sight can be drawn to. */
export type Target = Load | Machine | Controller;
