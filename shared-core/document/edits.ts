import { rememberChanges } from './changes';
import { amendedEntities, overlaid } from './overlay';
import { entitiesOf } from './create';
import { carryRosters } from './roster';
import type { Document, Entity, Id, ProjectFacts, Sheet } from './types';

/** One reversible change; 'before' and 'after' are whole values, so that undo restores the exact document. */
export type Patch =
  | { readonly at: 'entity'; readonly id: Id; readonly before: Entity | null; readonly after: Entity | null }
  | { readonly at: 'facts'; readonly before: ProjectFacts; readonly after: ProjectFacts }
  | { readonly at: 'sheets'; readonly before: readonly Sheet[]; readonly after: readonly Sheet[] };

/** A named, invertible command: undo says the name ('moved DS-07'). A drag is one edit. */
export interface Edit { readonly name: string; readonly patches: readonly Patch[] }

/** Applies an edit. @throws RangeError when a patch does not fit the document (programmer error: the edit was built on another revision). */
export function applyEdit(document: Document, edit: Edit): Document { return edited(document, edit, amendedEntities); }

/**
 * The document as an edit would make it, for a frame of a drag: equal to what applyEdit gives, without copying what stays. Its entities
 * can be read and listed, not written nor handed to another thread. @throws RangeError as applyEdit does
 */
export function previewEdit(document: Document, edit: Edit): Document { return edited(document, edit, overlaid); }

type EntityPatch = Extract<Patch, { at: 'entity' }>;

function edited(document: Document, edit: Edit, amend: (entities: Document['entities'], changes: readonly EntityPatch[]) => Document['entities']): Document {
  let { facts, sheets } = document;
  const changes: EntityPatch[] = []; const now = new Map<Id, boolean>();
  for (const patch of edit.patches) {
    if (patch.at === 'facts') facts = patch.after;
    else if (patch.at === 'sheets') sheets = patch.after;
    else {
      const present = now.get(patch.id) ?? Object.hasOwn(document.entities, patch.id);
      if (present !== (patch.before !== null)) throw new RangeError(`edit '${edit.name}' expects ${patch.id} ${patch.before ? 'present' : 'absent'}`);
      now.set(patch.id, patch.after !== null);
      changes.push(patch);
    }
  }
  if (changes.length === 0) return { ...document, facts, sheets };
  const entities = amend(document.entities, changes);
  carry(document.entities, entities, edit);
  return { ...document, facts, sheets, entities };
}

/** What is known of the entities before an edit goes on to those after it. */
function carry(before: Document['entities'], after: Document['entities'], { patches }: Edit): void {
  carryRosters(before, after, patches);
  rememberChanges(before, after, [...new Set(patches.flatMap((p) => (p.at === 'entity' ? [p.id] : [])))]);
}

/** The edit that takes an edit back. */
export function invertEdit(edit: Edit): Edit {
  return { name: edit.name, patches: edit.patches.map((p) => ({ ...p, before: p.after, after: p.before }) as Patch).reverse() };
}

const patchEntity = (document: Document, id: Id, after: Entity | null): Patch =>
  ({ at: 'entity', id, before: Object.hasOwn(document.entities, id) ? document.entities[id] ?? null : null, after });

/** Adds or replaces whole entities under one name. */
export function putEntities(document: Document, name: string, entities: readonly Entity[]): Edit {
  return { name, patches: entities.map((entity) => patchEntity(document, entity.id, entity)) };
}

/** Removes entities and every reference to them (openings go with their wall; links, mounts and exceptions are cleaned). */
export function removeEntities(document: Document, name: string, ids: readonly Id[]): Edit {
  const gone = new Set(ids.filter((id) => Object.hasOwn(document.entities, id)));
  for (const entity of entitiesOf(document, 'exception')) if (gone.has(entity.disconnect) || gone.has(entity.load)) gone.add(entity.id);
  for (const entity of entitiesOf(document, 'route')) if (gone.has(entity.from) || gone.has(entity.to)) gone.add(entity.id);
  // Only these two kinds name others and stay without them: the walls among a hundred thousand need not be looked through.
  const stay = [...entitiesOf(document, 'disconnect'), ...entitiesOf(document, 'load')].filter((entity) => !gone.has(entity.id));
  const amended = stay.map((entity) => withoutReferences(entity, gone)).filter((after, i) => after !== stay[i]);
  return { name, patches: [...[...gone].map((id) => patchEntity(document, id, null)), ...amended.map((after) => patchEntity(document, after.id, after))] };
}

function withoutReferences(entity: Entity, gone: ReadonlySet<Id>): Entity {
  if (entity.kind === 'disconnect') {
    const serves = entity.serves.filter((id) => !gone.has(id));
    const mount = entity.mount && gone.has(entity.mount.wall) ? null : entity.mount;
    let data = entity.data;
    if (data.fedFrom !== undefined && gone.has(data.fedFrom)) { const { fedFrom: _, ...rest } = data; data = rest; }
    if (serves.length === entity.serves.length && mount === entity.mount && data === entity.data) return entity;
    return { ...entity, serves, mount, data };
  }
  if (entity.kind === 'load') {
    const dropMachine = entity.machine !== undefined && gone.has(entity.machine);
    const dropController = entity.controller !== undefined && gone.has(entity.controller);
    if (!dropMachine && !dropController) return entity;
    const { machine, controller, ...rest } = entity;
    return { ...rest, ...(dropMachine || machine === undefined ? {} : { machine }), ...(dropController || controller === undefined ? {} : { controller }) };
  }
  return entity;
}

export function setFacts(document: Document, name: string, after: ProjectFacts): Edit {
  return { name, patches: [{ at: 'facts', before: document.facts, after }] };
}

export function setSheets(document: Document, name: string, after: readonly Sheet[]): Edit {
  return { name, patches: [{ at: 'sheets', before: document.sheets, after }] };
}
