import { entitiesOf } from '../../shared-core/document/index';
import type { Document, Entity, EntityKind, Id } from '../../shared-core/document/index';

const NOUNS: Readonly<Record<EntityKind, string>> = {
  wall: 'wall', obstruction: 'obstruction', area: 'area', load: 'load', machine: 'machine', controller: 'controller',
  disconnect: 'disconnect', supply: 'supply', exception: 'exception', route: 'route',
};

/** What a person calls it: its tag or label, otherwise its kind with an article. */
export function nameOf(entity: Entity): string {
  if ('tag' in entity) return entity.tag;
  if ('label' in entity && entity.label) return entity.label;
  const noun = NOUNS[entity.kind];
  return `${/^[aeiou]/.test(noun) ? 'an' : 'a'} ${noun}`;
}

/** 'DS-07', or '3 marks'. */
export function nameOfAll(document: Document, ids: readonly Id[]): string {
  const only = ids.length === 1 && ids[0] !== undefined ? document.entities[ids[0]] : undefined;
  return only ? nameOf(only) : `${ids.length} marks`;
}

const PREFIX = { load: 'M', machine: 'MC', controller: 'C', disconnect: 'DS', supply: 'P' } as const;
const DIGITS = { load: 0, machine: 0, controller: 0, disconnect: 2, supply: 0 } as const;

/** The next tag nobody has yet, e.g. DS-08 after DS-07. */
export function nextTag(document: Document, kind: keyof typeof PREFIX, taken: ReadonlySet<string> = new Set()): string {
  const tags = new Set(taken);
  let highest = 0;
  const pattern = new RegExp(`^${PREFIX[kind]}-(\\d+)$`);
  for (const tagged of Object.keys(PREFIX) as (keyof typeof PREFIX)[]) for (const entity of entitiesOf(document, tagged)) {
    tags.add(entity.tag);
    const match = entity.kind === kind ? pattern.exec(entity.tag) : null;
    if (match) highest = Math.max(highest, Number(match[1]));
  }
  let number = highest + 1;
  const write = (): string => `${PREFIX[kind]}-${String(number).padStart(DIGITS[kind], '0')}`;
  while (tags.has(write())) number += 1;
  return write();
}
