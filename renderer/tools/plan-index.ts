import RBush from 'rbush';
import { entityIds, knownChanges } from '../../shared-core/document/index';
import type { Document, Entity, Id } from '../../shared-core/document/index';
import { boxOf, pointsOf } from './plan-geometry';
import type { Box } from './plan-geometry';

/** One indexed piece: a wall or route is indexed segment by segment, so a long chain does not answer for its whole box. */
export interface Entry extends Box { readonly entity: Entity; readonly segment: number; readonly isOnly: boolean }

const MARKS: ReadonlySet<Entity['kind']> = new Set(['load', 'machine', 'controller', 'disconnect', 'supply']);
export const isMark = (entity: Entity): boolean => MARKS.has(entity.kind);
/** A mark that is only a place: nothing of the building. */
const isPlace = (e: Entity): boolean => isMark(e) && !('outline' in e && e.outline !== undefined);

const isBuilt = ({ entity }: Entry): boolean => !isPlace(entity);
const isLine = ({ entity }: Entry): boolean => entity.kind === 'wall' || entity.kind === 'route';

const byX = (a: Entry, b: Entry): boolean => a === b;

interface Prepared { readonly sheet: Id; readonly entries: Map<Id, readonly Entry[]>; readonly things: RBush<Entry>; readonly lines: RBush<Entry> }
const prepared = new WeakMap<Document['entities'], Prepared>();
/** Entities put into the trees at a step. */
const PORTION = 1000;

/** Prepares the index of a sheet in steps of a few milliseconds, before a large document is shown: the next index that goes on to it takes it up. */
export function* preparePlanIndex(document: Document, sheet: Id): Generator<undefined, void> {
  const made: Prepared = { sheet, entries: new Map(), things: new RBush(), lines: new RBush() };
  const ids = entityIds(document.entities);
  for (let from = 0; from < ids.length; from += PORTION) {
    const fresh: Entry[] = [];
    for (const id of ids.slice(from, from + PORTION)) {
      const entity = document.entities[id];
      const entries = entity?.sheet === sheet ? entriesOf(entity) : [];
      if (entries.length > 0) { made.entries.set(id, entries); fresh.push(...entries); }
    }
    made.lines.load(fresh.filter(isLine));
    made.things.load(fresh.filter((e) => !isLine(e)));
    yield undefined;
  }
  prepared.set(document.entities, made);
}

/**
 * Where things lie on one sheet. Follows the document by what its edits changed, else by comparing entities by identity, so that an
 * edit of a few marks costs a few index operations however many walls there are.
 */
export class PlanIndex {
  /** All but walls and routes have a tree of their own: the few among very many walls are asked for in every frame. */
  private things = new RBush<Entry>();
  private lines = new RBush<Entry>();
  private entries = new Map<Id, readonly Entry[]>();
  private seen: Document | null = null;
  private sheet: Id | null = null;
  /** Another number whenever something of the building changed: all but marks that are only a place. */
  space = 0;

  /** @returns whether anything on the sheet is different from the last call. */
  update(document: Document, sheet: Id): boolean {
    if (document.entities === this.seen?.entities && sheet === this.sheet) return false;
    const turnedPage = sheet !== this.sheet;
    if (turnedPage) { this.things.clear(); this.lines.clear(); this.entries.clear(); this.sheet = sheet; }
    const told = this.seen && !turnedPage ? knownChanges(this.seen, document) : null;
    const ready = told ? undefined : prepared.get(document.entities);
    this.seen = document;
    if (ready?.sheet === sheet) {
      // What was prepared goes on with the edits of one index alone.
      prepared.delete(document.entities);
      ({ entries: this.entries, things: this.things, lines: this.lines } = ready);
      this.space += 1;
      return true;
    }
    const fresh: Entry[] = [];
    const stale: Entry[] = [];
    for (const id of told ?? this.entries.keys()) {
      const old = this.entries.get(id);
      if (old && document.entities[id] !== old[0]?.entity) { stale.push(...old); this.entries.delete(id); }
    }
    for (const id of told ?? entityIds(document.entities)) {
      const entity = document.entities[id];
      if (!entity || entity.sheet !== sheet || this.entries.has(id)) continue;
      const made = entriesOf(entity);
      if (made.length === 0) continue;
      this.entries.set(id, made);
      fresh.push(...made);
    }
    if (turnedPage || stale.some(isBuilt) || fresh.some(isBuilt)) this.space += 1;
    // Removing one by one costs about as much as half a rebuild for each third of the tree.
    if (stale.length > 200 && stale.length * 3 > this.entries.size) this.rebuild();
    else { for (const entry of stale) this.treeOf(entry).remove(entry, byX); this.load(fresh); }
    return turnedPage || stale.length + fresh.length > 0;
  }

  search(box: Box): Entry[] { return this.lines.search(box).concat(this.things.search(box)); }

  /** Marks in the box: loads, machines, controllers, disconnects and supplies. */
  marksIn(box: Box): Entity[] { return this.things.search(box).map((entry) => entry.entity).filter(isMark); }

  /** Entities with a piece in the box, each once, in no special order. */
  entitiesIn(box: Box): Entity[] {
    return eachOnce(this.search(box));
  }

  /** Everything placed on the sheet, in document order. */
  *all(): Generator<Entity> {
    for (const entries of this.entries.values()) if (entries[0]) yield entries[0].entity;
  }

  /** Everything placed on the sheet but walls and routes, in no special order. */
  allThings(): Entity[] { return this.things.all().map((entry) => entry.entity); }

  private treeOf(entry: Entry): RBush<Entry> { return isLine(entry) ? this.lines : this.things; }

  private load(entries: readonly Entry[]): void {
    this.lines.load(entries.filter(isLine));
    this.things.load(entries.filter((e) => !isLine(e)));
  }

  private rebuild(): void {
    this.things.clear(); this.lines.clear();
    this.load([...this.entries.values()].flat());
  }
}

/** The entities of pieces, each once. */
function eachOnce(entries: readonly Entry[]): Entity[] {
  const found: Entity[] = []; const several = new Set<Entity>();
  for (const entry of entries) { if (entry.isOnly) found.push(entry.entity); else several.add(entry.entity); }
  for (const entity of several) found.push(entity);
  return found;
}

function entriesOf(entity: Entity): Entry[] {
  const points = pointsOf(entity);
  if (points.length === 0) return [];
  if (entity.kind !== 'wall' && entity.kind !== 'route') return [{ ...boxOf(points), entity, segment: 0, isOnly: true }];
  const entries: Entry[] = [];
  for (let i = 0; i + 1 < points.length; i += 1) entries.push({ ...boxOf(points.slice(i, i + 2)), entity, segment: i, isOnly: points.length === 2 });
  return entries;
}
