import type { Document, Id } from '../document/index';
import type { Meeting } from './types';

/** What a person calls an entity in a sentence. */
export function nameOf(document: Document, id: Id): string {
  const entity = document.entities[id];
  switch (entity?.kind) {
    case 'load': case 'machine': case 'controller': case 'disconnect': case 'supply': return entity.tag;
    case 'obstruction': case 'area': return entity.label === '' ? 'an obstruction' : entity.label;
    case 'wall': return entity.material === 'mesh' ? 'a mesh guard' : entity.material === 'glazed' ? 'a glazed wall' : 'a wall';
    default: return 'something that is no longer in the project';
  }
}

/** What a line meets, in words. */
export function nameOfMeeting(document: Document, meeting: Meeting): string {
  const entity = document.entities[meeting.entity];
  if (meeting.opening !== undefined && entity?.kind === 'wall') {
    const leaf = entity.openings.find((o) => o.id === meeting.opening)?.leaf;
    if (leaf === 'closed') return 'a closed door';
    if (leaf === 'normally-open') return 'a door that is only normally open';
    if (leaf === 'vision-panel') return 'a door with a vision panel';
    return 'a window';
  }
  if (meeting.transmission === 'leaf') return `${nameOf(document, meeting.entity)}, whose height is not given`;
  return nameOf(document, meeting.entity);
}

/** 'T-2', 'T-2 and a wall', 'T-2, a wall and B-1'. */
export function listWords(words: readonly string[]): string {
  const distinct = [...new Set(words)];
  if (distinct.length < 2) return distinct[0] ?? '';
  return `${distinct.slice(0, -1).join(', ')} and ${distinct.at(-1) ?? ''}`;
}
