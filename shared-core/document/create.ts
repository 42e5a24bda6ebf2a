import { feet, volts } from '../units/index';
import { entityIds } from './overlay';
import { rosterOf } from './roster';
import { FORMAT_VERSION } from './schema';
import type { Document, Entity, EntityKind, Id, ProjectFacts } from './types';

/** A new id: the kind says at a glance what a reference points at; the rest is random, so merged projects do not collide. */
export function newId(kind: EntityKind | 'sheet' | 'opening' | 'system' | 'override'): Id {
  const random = Array.from({ length: 12 }, () => Math.floor(Math.random() * 36).toString(36)).join('');
  return `${kind}-${random}`;
}

/** Heights in feet: handle 5'-0", wall 10'-0" by 0'-6", standing eye 5'-6" (our own reading, the code gives none). */
export function defaultFacts(): ProjectFacts {
  return {
    name: 'Untitled', site: '', revision: 'A', edition: '2023', jurisdiction: 'US', units: 'US',
    systems: [{ id: 'system-main', name: '480Y/277 V, 3-phase, 4-wire', voltage: volts(480), phases: 3, wires: 4, voltsToGround: volts(277) }],
    overrides: [],
    defaults: { handleHeight: feet(5), wallThickness: feet(0.5), wallHeight: feet(10), eyeHeight: feet(5.5), ambientCelsius: 30 },
  };
}

export function emptyDocument(): Document {
  return { formatVersion: FORMAT_VERSION, facts: defaultFacts(), sheets: [], entities: {} };
}

/** All entities of one kind, in insertion order, in a list of the caller's own. */
export function entitiesOf<K extends EntityKind>(document: Document, kind: K, sheet?: Id): Extract<Entity, { kind: K }>[] {
  const roster = rosterOf(document.entities, kind) as readonly Extract<Entity, { kind: K }>[];
  return sheet === undefined ? [...roster] : roster.filter((e) => e.sheet === sheet);
}

/** All entities in document order, in a list of the caller's own. */
export function everyEntity({ entities }: Document): Entity[] {
  const found: Entity[] = [];
  for (const id of entityIds(entities)) { const entity = entities[id]; if (entity) found.push(entity); }
  return found;
}
