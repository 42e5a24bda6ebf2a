import { changedIds, entitiesOf } from '../../shared-core/document/index';
import type { Document, Entity, Id } from '../../shared-core/document/index';

/** Which results of an earlier document still hold for a later one. */
export interface Stale {
  /** Nothing of the earlier results may be shown as true. */
  readonly all: boolean;
  /** Disconnects whose results may have changed. */
  readonly disconnects: ReadonlySet<Id>;
}

const ALL: Stale = { all: true, disconnects: new Set() };
const NONE: Stale = { all: false, disconnects: new Set() };

/**
 * What an edit may have changed about earlier results, told from the entities that differ. Wider than needed where in
 * doubt: a result shown as current although it is not would be the worst fault there is.
 */
export function staleBetween(earlier: Document, later: Document): Stale {
  if (earlier === later) return NONE;
  if (earlier.facts !== later.facts || earlier.sheets !== later.sheets) return ALL;
  if (earlier.entities === later.entities) return NONE;
  const changed = changedIds(earlier, later);
  if (changed.length === 0) return NONE;
  const concerned = new Set<Id>();
  const loads = new Set<Id>();
  for (const id of changed) for (const entity of versions(earlier, later, id)) {
    if (bounds(entity)) return ALL;
    if (entity.kind === 'disconnect') { concerned.add(entity.id); for (const load of entity.serves) loads.add(load); }
    else if (entity.kind === 'load') loads.add(entity.id);
    else if (entity.kind === 'exception') { concerned.add(entity.disconnect); loads.add(entity.load); }
    else if (entity.kind === 'route') { concerned.add(entity.from); concerned.add(entity.to); }
    else if (entity.kind === 'machine' || entity.kind === 'controller') addOwners(earlier, later, entity.id, loads);
  }
  addServers(later, loads, concerned);
  addFed(later, concerned);
  return { all: false, disconnects: concerned };
}

function versions(earlier: Document, later: Document, id: Id): Entity[] {
  return [earlier.entities[id], later.entities[id]].filter((e): e is Entity => e !== undefined);
}

/** Things that can stand in a line, set an enclosure or feed the rest. */
const bounds = (e: Entity): boolean => e.kind === 'wall' || e.kind === 'obstruction' || e.kind === 'area' || e.kind === 'supply' || ((e.kind === 'load' || e.kind === 'machine') && e.outline !== undefined);

function addOwners(earlier: Document, later: Document, part: Id, loads: Set<Id>): void {
  for (const document of [earlier, later]) for (const load of entitiesOf(document, 'load')) {
    if (load.machine === part || load.controller === part) loads.add(load.id);
  }
}

function addServers(document: Document, loads: ReadonlySet<Id>, concerned: Set<Id>): void {
  if (loads.size === 0) return;
  for (const { id, serves } of entitiesOf(document, 'disconnect')) if (serves.some((load) => loads.has(load))) concerned.add(id);
}

/** A disconnect fed through another takes its ratings from it. */
function addFed(document: Document, concerned: Set<Id>): void {
  for (let before = -1; before !== concerned.size;) {
    before = concerned.size;
    for (const { id, data } of entitiesOf(document, 'disconnect')) if (data.fedFrom !== undefined && concerned.has(data.fedFrom)) concerned.add(id);
  }
}
