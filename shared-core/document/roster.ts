import type { Document, Entity, EntityKind } from './types';

type Entities = Document['entities'];
type Kinds = Partial<Record<EntityKind, readonly Entity[]>>;

/**
 * Entities by kind, in insertion order, remembered per state of the document. An edit hands the lists on and changes only
 * what it touched, so that asking for the few disconnects among ten thousand walls costs nothing in every frame of a drag.
 */
const rosters = new WeakMap<Entities, Kinds>();

export function rosterOf(entities: Entities, kind: EntityKind): readonly Entity[] {
  const kinds = rosters.get(entities) ?? {};
  const known = kinds[kind];
  if (known) return known;
  const found: Entity[] = [];
  for (const id in entities) { const entity = entities[id]; if (entity?.kind === kind) found.push(entity); }
  rosters.set(entities, { ...kinds, [kind]: found });
  return found;
}

interface Change { readonly at: string; readonly id?: string; readonly before: unknown; readonly after: unknown }

/** Carries what is known of one state over to the state that an edit's patches made of it. */
export function carryRosters(before: Entities, after: Entities, changes: readonly Change[]): void {
  const known = rosters.get(before);
  if (!known) return;
  const kinds: Kinds = { ...known };
  for (const change of changes) {
    if (change.at !== 'entity') continue;
    const old = change.before as Entity | null; const next = change.after as Entity | null;
    // An entity that changes its kind keeps its place among all, which only a new search can tell.
    if (old && next && old.kind !== next.kind) { delete kinds[old.kind]; delete kinds[next.kind]; continue; }
    const kind = (old ?? next)?.kind;
    const list = kind && kinds[kind];
    if (!kind || !list) continue;
    kinds[kind] = !old && next ? [...list, next] : list.flatMap((entity) => (entity.id !== change.id ? [entity] : next ? [next] : []));
  }
  rosters.set(after, kinds);
}
