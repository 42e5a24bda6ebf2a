import { entityIds, overlayOf } from './overlay';
import type { Document, Id } from './types';

type Entities = Document['entities'];
const remembered = new WeakMap<Entities, WeakMap<Entities, readonly Id[]>>();

/** Says what an edit changed, so that a drag over many walls need not look for it in every frame. More ids than differ do no harm. */
export function rememberChanges(earlier: Entities, later: Entities, ids: readonly Id[]): void {
  const known = remembered.get(later) ?? new WeakMap<Entities, readonly Id[]>();
  known.set(earlier, ids);
  remembered.set(later, known);
}

/** Ids whose entity is another object, came or went. Told from what edits left behind where that is known, else looked for. */
export function changedIds(earlier: Document, later: Document): readonly Id[] {
  const known = knownChanges(earlier, later);
  if (known) return known;
  const found = findChanges(earlier.entities, later.entities);
  rememberChanges(earlier.entities, later.entities, found);
  return found;
}

/** The same without looking through everything; null where no edit told it. */
export function knownChanges(earlier: Document, later: Document): readonly Id[] | null {
  const from = earlier.entities; const to = later.entities;
  if (from === to) return [];
  const told = remembered.get(to)?.get(from) ?? remembered.get(from)?.get(to);
  if (told) return told;
  // What is laid over one record, or over it and the next one, differs at most in what each of them changed.
  const before = overlayOf(from); const after = overlayOf(to);
  if (!before && !after) return null;
  const one = before?.base ?? from; const other = after?.base ?? to;
  const between = one === other ? [] : remembered.get(other)?.get(one) ?? remembered.get(one)?.get(other);
  if (!between) return null;
  const ids = [...new Set([...between, ...before?.ids ?? [], ...after?.ids ?? []])].filter((id) => from[id] !== to[id]);
  rememberChanges(from, to, ids);
  return ids;
}

function findChanges(earlier: Entities, later: Entities): Id[] {
  const changed: Id[] = [];
  for (const id of entityIds(later)) if (earlier[id] !== later[id]) changed.push(id);
  for (const id of entityIds(earlier)) if (!Object.hasOwn(later, id)) changed.push(id);
  return changed;
}
