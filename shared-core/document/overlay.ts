import type { Document, Entity, Id } from './types';

type Entities = Document['entities'];

/** A record of its own, and what is otherwise. */
interface Layer {
  readonly base: Entities;
  /** The entity under its id; null where one of the base is gone. */
  readonly others: ReadonlyMap<Id, Entity | null>;
  /** Ids that come after those of the base, in their order: what is new, and what was gone and is back. */
  readonly late: ReadonlySet<Id>;
}
/** One change of an entity: what stood before, or null, and what stands after. */
export interface EntityChange { readonly id: Id; readonly before: Entity | null; readonly after: Entity | null }

const layers = new WeakMap<Entities, Layer>();
const counts = new WeakMap<Entities, number>();
const layerOf = (entities: Entities): Layer => layers.get(entities) ?? { base: entities, others: new Map(), late: new Set() };

/** So many entities are copied at once rather than laid over. */
const SMALL = 2000;
/** So many others are carried from edit to edit; beyond them a record of its own is made. */
const MOST_OTHERS = 4000;
/** A number as a key goes before all others in a record of its own. */
const isNumber = (id: Id): boolean => /^(?:0|[1-9]\d*)$/.test(id);

/**
 * Entities that read, list and compare as a record of their own would, made of a record and the few that are otherwise, so that neither
 * an edit nor a frame of a drag copies a hundred thousand walls. Reading is a little dearer, and nothing can be written: what goes to
 * another thread or into a file is read by id (`entityIds`).
 * @param changes in their order; each must fit what stands before it
 */
export function overlaid(entities: Entities, changes: readonly EntityChange[]): Entities {
  const before = layerOf(entities);
  const others = new Map(before.others); const late = new Set(before.late);
  for (const { id, before: old, after } of changes) {
    if (after !== null) { others.set(id, after); if (old === null) late.add(id); continue; }
    late.delete(id);
    if (Object.hasOwn(before.base, id)) others.set(id, null); else others.delete(id);
  }
  return reading({ base: before.base, others, late });
}

/** The same as a record to keep: laid over where that spares copying very many. */
export function amendedEntities(entities: Entities, changes: readonly EntityChange[]): Entities {
  const known = layers.get(entities);
  if (entityCount(known?.base ?? entities) >= SMALL && (known?.others.size ?? 0) + changes.length <= MOST_OTHERS && !changes.some((c) => isNumber(c.id))) return overlaid(entities, changes);
  const made: Record<Id, Entity> = known ? Object.fromEntries(entityIds(entities).map((id) => [id, entities[id] as Entity])) : { ...entities };
  for (const { id, after } of changes) if (after === null) delete made[id]; else made[id] = after;
  return made;
}

function reading(layer: Layer): Entities {
  const { base, others } = layer;
  const own = (key: PropertyKey): Entity | undefined => {
    const other = typeof key === 'string' ? others.get(key) : undefined;
    return other === undefined && Object.hasOwn(base, key) ? base[key as Id] : other ?? undefined;
  };
  const made: Entities = new Proxy<Record<Id, Entity>>({}, {
    get: (_, key) => {
      const other = typeof key === 'string' ? others.get(key) : undefined;
      return other === undefined ? Reflect.get(base, key) as unknown : other ?? undefined;
    },
    has: (_, key) => own(key) !== undefined || key in Object.prototype,
    ownKeys: () => idsOf(layer),
    getOwnPropertyDescriptor: (_, key) => { const value = own(key); return value && { value, enumerable: true, configurable: true, writable: false }; },
    set: () => false, defineProperty: () => false, deleteProperty: () => false,
  });
  layers.set(made, layer);
  return made;
}

const idsOf = ({ base, others, late }: Layer): Id[] => {
  const ids = Object.keys(base);
  if (others.size === 0) return ids;
  return [...ids.filter((id) => others.get(id) !== null && !late.has(id)), ...late];
};

/** The ids of all entities, in document order; quicker than listing the keys of what is laid over. */
export function entityIds(entities: Entities): readonly Id[] {
  const layer = layers.get(entities);
  return layer ? idsOf(layer) : Object.keys(entities);
}

/** Says how many entities a record holds. */
export const rememberCount = (entities: Entities, count: number): void => { counts.set(entities, count); };

/** How many entities there are; counted once for each record. */
export function entityCount(entities: Entities): number {
  const known = counts.get(entities);
  if (known !== undefined) return known;
  const layer = layers.get(entities);
  let count = layer ? entityCount(layer.base) + layer.late.size : Object.keys(entities).length;
  // What is gone, or is back at the end, stands in the base no more.
  if (layer) for (const [id, other] of layer.others) if ((other === null || layer.late.has(id)) && Object.hasOwn(layer.base, id)) count -= 1;
  counts.set(entities, count);
  return count;
}

/** Whether the entities are laid over a record: they cannot be handed to another thread as they are. */
export const isOverlaid = (entities: Entities): boolean => layers.has(entities);

/** What entities were made of, and the ids that are otherwise there; undefined for a record of its own. */
export function overlayOf(entities: Entities): { readonly base: Entities; readonly ids: Iterable<Id> } | undefined {
  const layer = layers.get(entities);
  return layer && { base: layer.base, ids: layer.others.keys() };
}
