import RBush from 'rbush';
import { entityIds, knownChanges } from '../../shared-core/document/index';
import type { Document, Entity, Id } from '../../shared-core/document/index';
import { boxOf, pointsOf } from './plan-geometry';
import type { Box } from './plan-geometry';

/** One indexed piece: a wall or route is indexed segment by segment, so a long chain does not answer for its whole box. */
export interface Entry extends Box { readonly entity: Entity; readonly segment: number }

const byX = (a: Entry, b: Entry): boolean => a === b;

/**
 * Where things lie on one sheet. Follows the document by what its edits changed, else by comparing entities by identity, so that an
 * edit of a few marks costs a few index operations however many walls there are.
 */
export class PlanIndex {
  private tree = new RBush<Entry>();
  private entries = new Map<Id, readonly Entry[]>();
  private seen: Document | null = null;
  private sheet: Id | null = null;

  /** @returns whether anything on the sheet is different from the last call. */
  update(document: Document, sheet: Id): boolean {
    if (document.entities === this.seen?.entities && sheet === this.sheet) return false;
    const turnedPage = sheet !== this.sheet;
    if (turnedPage) { this.tree.clear(); this.entries.clear(); this.sheet = sheet; }
    const told = this.seen && !turnedPage ? knownChanges(this.seen, document) : null;
    this.seen = document;
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
    // Removing one by one costs about as much as half a rebuild for each third of the tree.
    if (stale.length > 200 && stale.length * 3 > this.tree.all().length) this.rebuild();
    else { for (const entry of stale) this.tree.remove(entry, byX); this.tree.load(fresh); }
    return turnedPage || stale.length + fresh.length > 0;
  }

  search(box: Box): Entry[] { return this.tree.search(box); }

  /** Entities with a piece in the box, each once, in no special order. */
  entitiesIn(box: Box): Entity[] {
    const found = new Set<Entity>();
    for (const entry of this.tree.search(box)) found.add(entry.entity);
    return [...found];
  }

  /** Everything placed on the sheet, in document order. */
  *all(): Generator<Entity> {
    for (const entries of this.entries.values()) if (entries[0]) yield entries[0].entity;
  }

  private rebuild(): void {
    this.tree.clear();
    this.tree.load([...this.entries.values()].flat());
  }
}

function entriesOf(entity: Entity): Entry[] {
  const points = pointsOf(entity);
  if (points.length === 0) return [];
  if (entity.kind !== 'wall' && entity.kind !== 'route') return [{ ...boxOf(points), entity, segment: 0 }];
  const entries: Entry[] = [];
  for (let i = 0; i + 1 < points.length; i += 1) entries.push({ ...boxOf(points.slice(i, i + 2)), entity, segment: i });
  return entries;
}
