import { entityIds, rememberCount } from './overlay';
import type { Document, Entity, EntityKind, Id } from './types';

type Entities = Document['entities'];
type Kinds = Partial<Record<EntityKind, readonly Entity[]>>;

/**
 * Entities by kind, in insertion order, remembered per state of the document. An edit hands the lists on and changes only
 * what it touched, so that asking for the few disconnects among ten thousand walls costs nothing in every frame of a drag.
 */
const rosters = new WeakMap<Entities, Kinds>();

const noLists = (): Record<EntityKind, Entity[]> => ({ wall: [], obstruction: [], area: [], load: [], machine: [], controller: [], disconnect: [], supply: [], route: [], exception: [] });

/** Entities that come one after another, as a record with its lists by kind: made while the window goes on, they cost nothing at once later. */
export class Gathering {
  private readonly made: Record<Id, Entity> = {};
  private readonly lists = noLists();
  count = 0;

  /** @param id a new one each time */
  add(id: Id, entity: Entity): void { this.made[id] = entity; this.lists[entity.kind].push(entity); this.count += 1; }

  /** All that were added; nothing may be added any more. */
  get entities(): Entities {
    rosters.set(this.made, this.lists);
    rememberCount(this.made, this.count);
    return this.made;
  }
}

export function rosterOf(entities: Entities, kind: EntityKind): readonly Entity[] {
  const kinds = rosters.get(entities) ?? {};
  const known = kinds[kind];
  if (known) return known;
  // All kinds in one go: each is asked for sooner or later, and going through the record is what costs.
  const found = noLists();
  for (const id of entityIds(entities)) {
    const entity = entities[id];
    if (entity) found[entity.kind].push(entity);
  }
  rosters.set(entities, { ...found, ...kinds });
  return found[kind];
}

interface Change { readonly at: string; readonly id?: string; readonly before: unknown; readonly after: unknown }

/** Carries what is known of one state over to the state that an edit's patches made of it. */
export function carryRosters(before: Entities, after: Entities, changes: readonly Change[]): void {
  const known = rosters.get(before);
  if (!known) return;
  const kinds: Kinds = { ...known };
  const touched = new Map<EntityKind, Change[]>();
  for (const change of changes) {
    if (change.at !== 'entity') continue;
    const old = change.before as Entity | null; const next = change.after as Entity | null;
    // An entity that changes its kind keeps its place among all, which only a new search can tell.
    if (old && next && old.kind !== next.kind) { delete kinds[old.kind]; delete kinds[next.kind]; continue; }
    const kind = (old ?? next)?.kind;
    if (!kind) continue;
    const group = touched.get(kind);
    if (group) group.push(change); else touched.set(kind, [change]);
  }
  for (const [kind, group] of touched) { const list = kinds[kind]; if (list) kinds[kind] = amended(list, group); }
  rosters.set(after, kinds);
}

/** Few changes are looked up one by one, which is cheap by identity; many in one go through the list. */
const FEW = 8;

function amended(list: readonly Entity[], changes: readonly Change[]): readonly Entity[] {
  const made = [...list];
  const places = changes.length > FEW ? new Map(made.map((entity, i) => [entity.id, i])) : null;
  let isTorn = false;
  for (const { id, before, after } of changes) {
    const next = after as Entity | null;
    if (!before) { if (next) { places?.set(next.id, made.length); made.push(next); } continue; }
    const at = places ? places.get(id ?? '') ?? -1 : placeOf(made, before as Entity, id);
    if (at < 0) continue;
    if (next) made[at] = next; else { isTorn = true; made[at] = GONE; places?.delete(id ?? ''); }
  }
  return isTorn ? made.filter((entity) => entity !== GONE) : made;
}

/** Stands for an entity taken out, until the list is closed up. */
const GONE = {} as Entity;

function placeOf(list: readonly Entity[], before: Entity, id: string | undefined): number {
  const at = list.indexOf(before);
  return at >= 0 ? at : list.findIndex((entity) => entity.id === id);
}

/** Tags as people count: P-9 before P-10. One comparer for all, since making one for each pair is slow on thousands. */
export const compareTags: (a: string, b: string) => number = new Intl.Collator('en', { numeric: true }).compare;
