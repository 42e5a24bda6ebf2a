import { entitiesOf } from '../document/index';
import type { Controller, Document, Entity, Id, Load, Machine, Material, Obstruction, Sheet, Wall } from '../document/index';
import type { Obstacle, Scene, Transmission } from '../sight/index';
import { feet } from '../units/index';
import { Corners } from './wall-joints';
import { isLooseOpening, wallPieces } from './wall-pieces';

/** What an obstacle of a scene stands for in the document. */
export interface Owner { readonly entity: Id; readonly opening?: Id; readonly heightAssumed?: true }

/** A closed leaf that a person can open; loose where the opening as drawn cannot be built. */
export interface Door { readonly obstacle: string; readonly locked: boolean; readonly loose?: true }

/** A sheet as sight sees it, with the way back from each obstacle to what a person drew. */
export interface SheetScene {
  readonly sheet: Sheet;
  readonly scene: Scene;
  readonly owners: ReadonlyMap<string, Owner>;
  /** Obstacle ids by entity; a wall has several, keyed `wall/segment` as well. */
  readonly obstaclesOf: ReadonlyMap<string, readonly string[]>;
  /** Closed leaves that a person can open, by obstacle id. */
  readonly doors: readonly Door[];
  /** How far things may be off whose corners were pointed at from far away, sheet units, by entity. */
  readonly rough: ReadonlyMap<Id, number>;
}

/** No drawn thing reaches higher; stands for 'height not given'. */
const UNKNOWN_TOP = 1000;

const TRANSMISSION: Readonly<Record<Material, Transmission>> = { opaque: 'opaque', glazed: 'glazed', mesh: 'mesh' };

/** What can stand in a line of sight. */
type Standing = Wall | Obstruction | Load | Machine;
export const isStanding = (entity: Entity | undefined): entity is Standing =>
  entity !== undefined && (entity.kind === 'wall' || entity.kind === 'obstruction' || ((entity.kind === 'load' || entity.kind === 'machine') && entity.outline !== undefined));

/**
 * One sheet as upright prisms, kept by what was drawn, so that a wall under the hand replaces its own pieces and corners
 * and nothing else: walls cut at their openings (a header over the head, the wall under the sill, the leaf by its kind),
 * corners closed, obstructions, and the bodies of loads and machines.
 */
export class SheetModel {
  private readonly obstacles = new Map<string, Obstacle>();
  private readonly owners = new Map<string, Owner>();
  private readonly obstaclesOf = new Map<string, string[]>();
  /** Every key of obstaclesOf that an entity has. */
  private readonly keys = new Map<Id, Set<string>>();
  private readonly doors = new Map<string, Door>();
  private readonly rough = new Map<Id, number>();
  private readonly corners: Corners;
  private readonly feetPerUnit: number;

  constructor(private readonly sheet: Sheet, extent: number) {
    this.feetPerUnit = sheet.scale?.feetPerUnit ?? Number.NaN;
    this.corners = new Corners(sheet.scale?.pickUncertainty ?? 0, extent);
  }

  /** Sets up an entity that is not in the model. @returns its obstacles, corners with other walls included */
  put(entity: Standing): Obstacle[] {
    const made: Obstacle[] = [];
    if (entity.within !== undefined) this.rough.set(entity.id, entity.within);
    if (entity.kind === 'wall') this.putWall(entity, made);
    else if (entity.kind === 'obstruction') this.add(made, blockOf(entity), { entity: entity.id });
    else this.putBody(entity, made);
    return made;
  }

  /** Takes an entity out. @returns the ids of the obstacles that go */
  drop(id: Id): string[] {
    const gone = [...new Set([...this.obstaclesOf.get(id) ?? [], ...this.corners.drop(id)])];
    for (const obstacle of gone) {
      const owner = this.owners.get(obstacle);
      if (owner && owner.entity !== id) this.obstaclesOf.set(owner.entity, (this.obstaclesOf.get(owner.entity) ?? []).filter((other) => other !== obstacle));
      this.obstacles.delete(obstacle); this.owners.delete(obstacle); this.doors.delete(obstacle);
    }
    for (const key of this.keys.get(id) ?? []) this.obstaclesOf.delete(key);
    this.keys.delete(id); this.rough.delete(id);
    return gone;
  }

  /** The model as it is now; what it lists follows the model. */
  view(): SheetScene {
    const { sheet, feetPerUnit, obstacles, owners, obstaclesOf, doors, rough } = this;
    return { sheet, scene: { feetPerUnit, get obstacles() { return [...obstacles.values()]; } }, owners, obstaclesOf, rough, get doors() { return [...doors.values()]; } };
  }

  private putWall(wall: Wall, made: Obstacle[]): void {
    const thickness = this.sheet.scale ? wall.thickness / this.feetPerUnit : 0;
    for (const piece of wallPieces(wall, thickness)) {
      this.add(made, piece.obstacle, piece.opening === undefined ? { entity: wall.id } : { entity: wall.id, opening: piece.opening }, piece.segment);
      const opening = piece.opening === undefined ? undefined : wall.openings.find((o) => o.id === piece.opening);
      if (opening && opening.leaf !== 'glazed') this.doors.set(piece.obstacle.id, { obstacle: piece.obstacle.id, locked: opening.locked ?? false, ...(isLooseOpening(wall, opening) ? { loose: true } : {}) });
    }
    for (const joint of this.corners.put(wall, thickness / 2)) this.add(made, joint.obstacle, { entity: joint.wall });
  }

  /**
   * The body of a load or machine. Where its top is not given, it is solid up to twice the height of its centre and
   * doubtful above: a line that passes there must not come out clear.
   */
  private putBody(body: Load | Machine, made: Obstacle[]): void {
    if (!body.outline || (body.kind === 'load' && !body.at)) return;
    const shape = { type: 'polygon', points: body.outline.map((p) => [p.x, p.y] as const) } as const;
    const bottom = feet(Math.min(body.standing, body.height));
    if (body.bodyTop !== undefined) {
      this.add(made, { id: body.id, shape, bottom: feet(Math.min(bottom, body.bodyTop)), top: body.bodyTop, transmission: 'opaque' }, { entity: body.id });
      return;
    }
    const likelyTop = feet(Math.max(bottom, 2 * body.height - bottom));
    this.add(made, { id: body.id, shape, bottom, top: likelyTop, transmission: 'opaque' }, { entity: body.id });
    this.add(made, { id: `${body.id}/above`, shape, bottom: likelyTop, top: feet(UNKNOWN_TOP), transmission: 'leaf' }, { entity: body.id, heightAssumed: true });
  }

  private add(made: Obstacle[], obstacle: Obstacle, owner: Owner, segment?: number): void {
    if (this.obstacles.has(obstacle.id)) throw new RangeError(`An obstacle with the id '${obstacle.id}' is in the scene already.`);
    made.push(obstacle);
    this.obstacles.set(obstacle.id, obstacle);
    this.owners.set(obstacle.id, owner);
    this.note(owner.entity, owner.entity, obstacle.id);
    if (segment !== undefined) this.note(owner.entity, `${owner.entity}/${segment}`, obstacle.id);
  }

  private note(entity: Id, key: string, obstacle: string): void {
    const known = this.obstaclesOf.get(key);
    if (known) { known.push(obstacle); return; }
    this.obstaclesOf.set(key, [obstacle]);
    const keys = this.keys.get(entity);
    if (keys) keys.add(key); else this.keys.set(entity, new Set([key]));
  }
}

/** A sheet's model with everything that stands on it. @throws RangeError when the document has no such sheet */
export function modelOf(document: Document, sheetId: Id): SheetModel {
  const steps = modelInSteps(document, sheetId);
  for (;;) { const { done, value } = steps.next(); if (done) return value; }
}

/** Things set up between two places where work in steps may pause. */
const STEP = 128;

/** The same in steps of a few milliseconds. */
export function* modelInSteps(document: Document, sheetId: Id): Generator<undefined, SheetModel> {
  const sheet = document.sheets.find((s) => s.id === sheetId);
  if (!sheet) throw new RangeError(`no sheet '${sheetId}'`);
  const walls = entitiesOf(document, 'wall', sheetId);
  const extent = walls.reduce((most, { points }) => points.reduce((m, p) => Math.max(m, Math.abs(p.x), Math.abs(p.y)), most), 1);
  const model = new SheetModel(sheet, extent);
  let count = 0;
  for (const kind of ['wall', 'obstruction', 'load', 'machine'] as const) for (const entity of kind === 'wall' ? walls : entitiesOf(document, kind, sheetId)) {
    model.put(entity);
    count += 1;
    if (count % STEP === 0) yield;
  }
  return model;
}

/**
 * One sheet as a scene of upright prisms.
 * @returns plan in sheet units, heights in feet above the level's floor; without a scale feetPerUnit is NaN and walls are
 * bare lines, because a thickness in feet cannot be drawn: ask for the scale before any verdict.
 */
export const sceneOf = (document: Document, sheetId: Id): SheetScene => {
  const { scene, doors, ...rest } = modelOf(document, sheetId).view();
  return { ...rest, scene: { feetPerUnit: scene.feetPerUnit, obstacles: scene.obstacles }, doors };
};

function blockOf(obstruction: Obstruction): Obstacle {
  return {
    id: obstruction.id, shape: { type: 'polygon', points: obstruction.outline.map((p) => [p.x, p.y] as const) },
    bottom: obstruction.bottom, top: obstruction.top, transmission: TRANSMISSION[obstruction.material],
  };
}

/** Anything a line of sight can be drawn to. */
export type Target = Load | Machine | Controller;
