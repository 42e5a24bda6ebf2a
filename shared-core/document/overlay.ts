import type { Document, Entity, Id } from './types';

type Entities = Document['entities'];
interface Overlay { readonly base: Entities; readonly ids: readonly Id[] }
const overlays = new WeakMap<Entities, Overlay>();

/**
 * Entities that read, list and compare as a record of their own would, made of a record and the few that are otherwise, so that a frame
 * of a drag does not copy a hundred thousand walls. For trials that live for a frame: reading is a little dearer, nothing can be written.
 * @param others the entity under its id; null where it is gone
 */
export function overlaid(base: Entities, others: ReadonlyMap<Id, Entity | null>): Entities {
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
    ownKeys: () => [...Object.keys(base).filter((id) => others.get(id) !== null), ...[...others].flatMap(([id, entity]) => (entity && !Object.hasOwn(base, id) ? [id] : []))],
    getOwnPropertyDescriptor: (_, key) => { const value = own(key); return value && { value, enumerable: true, configurable: true, writable: false }; },
    set: () => false, defineProperty: () => false, deleteProperty: () => false,
  });
  overlays.set(made, { base, ids: [...others.keys()] });
  return made;
}

/** What an overlay was made of; undefined for a record of its own. */
export const overlayOf = (entities: Entities): Overlay | undefined => overlays.get(entities);
