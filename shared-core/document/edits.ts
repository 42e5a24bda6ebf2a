import { rememberChanges } from './changes';
import { overlaid } from './overlay';
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
export function applyEdit(document: Document, edit: Edit): Document {
  let { facts, sheets } = document;
  let entities: Record<Id, Entity> | null = null;
  for (const patch of edit.patches) {
    if (patch.at === 'facts') facts = patch.after;
    else if (patch.at === 'sheets') sheets = patch.after;
    else {
      entities ??= { ...document.entities };
      const present = Object.hasOwn(entities, patch.id);
      if (present !== (patch.before !== null)) throw new RangeError(`edit '${edit.name}' expects ${patch.id} ${patch.before ? 'present' : 'absent'}`);
      if (patch.after === null) delete entities[patch.id];
      else entities[patch.id] = patch.after;
    }
  }
  if (entities) carry(document.entities, entities, edit);
  return { ...document, facts, sheets, entities: entities ?? document.entities };
}

/**
 * The document as an edit would make it, for a frame of a drag: equal to what applyEdit gives, without copying what stays. Its entities
 * can be read and listed, not written nor handed to another thread. @throws RangeError as applyEdit does
 */
export function previewEdit(document: Document, edit: Edit): Document {
  let { facts, sheets } = document;
  const others = new Map<Id, Entity | null>();
  for (const patch of edit.patches) {
    if (patch.at === 'facts') facts = patch.after;
    else if (patch.at === 'sheets') sheets = patch.after;
    else {
      const earlier = others.get(patch.id);
      const present = earlier === undefined ? Object.hasOwn(document.entities, patch.id) : earlier !== null;
      if (present !== (patch.before !== null)) throw new RangeError(`edit '${edit.name}' expects ${patch.id} ${patch.before ? 'present' : 'absent'}`);
      others.set(patch.id, patch.after);
    }
  }
  if (others.size === 0) return { ...document, facts, sheets };
  const entities = overlaid(document.entities, others);
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
  const gone = new Set(ids);
  for (const entity of Object.values(document.entities)) {
    if (entity.kind === 'exception' && (gone.has(entity.disconnect) || gone.has(entity.load))) gone.add(entity.id);
    if (entity.kind === 'route' && (gone.has(entity.from) || gone.has(entity.to))) gone.add(entity.id);
  }
  const patches: Patch[] = [];
  for (const entity of Object.values(document.entities)) {
    if (gone.has(entity.id)) { patches.push(patchEntity(document, entity.id, null)); continue; }
    const after = withoutReferences(entity, gone);
    if (after !== entity) patches.push(patchEntity(document, entity.id, after));
  }
  return { name, patches };
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
