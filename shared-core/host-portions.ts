import { Gathering } from './document/index';
import type { Document, Entity, Id } from './document/index';
import { readJsonBytes } from './host-frame';

/**
 * The entities of a large document as bytes that can be read a portion at a time, so that opening it holds no frame: lines of JSON, the first
 * one their number, then lists of ids with their entities in document order. A line end never stands inside JSON text.
 */

declare const TextEncoder: new () => { encode(text: string): Uint8Array };

/** Marks from which a document is handed over in portions. */
const LARGE = 2000;
/** Marks a line: a millisecond or two to read. */
const PORTION = 500;
const LINE_END = 10;

/** A document as it is handed to the window: a large one without its entities, which come beside it as bytes. */
export function inPortions(document: Document): { readonly document: Document; readonly entities?: Uint8Array } {
  const all = Object.entries(document.entities);
  if (all.length < LARGE) return { document };
  let text = `${all.length}\n`;
  for (let from = 0; from < all.length; from += PORTION) text += `${JSON.stringify(all.slice(from, from + PORTION))}\n`;
  return { document: { ...document, entities: {} }, entities: new TextEncoder().encode(text) };
}

/**
 * Puts a document that came in portions together, one at each step, which yields how much is done (0 to 1).
 * @returns the document; null when the bytes are not whole
 */
export function* outOfPortions(document: Document, bytes: Uint8Array): Generator<number, Document | null> {
  const gathering = new Gathering();
  let from = 0; let count: unknown = null;
  while (from < bytes.length) {
    const end = bytes.indexOf(LINE_END, from);
    const read = end < 0 ? null : readJsonBytes(bytes.subarray(from, end));
    if (!read) return null;
    if (count === null) count = read.value;
    else if (isPortion(read.value)) for (const [id, entity] of read.value) gathering.add(id, entity);
    else return null;
    from = end + 1;
    yield from / bytes.length;
  }
  return count === gathering.count ? { ...document, entities: gathering.entities } : null;
}

const isPortion = (value: unknown): value is readonly (readonly [Id, Entity])[] =>
  Array.isArray(value) && value.every((pair) => Array.isArray(pair) && pair.length === 2 && typeof pair[0] === 'string' && typeof pair[1] === 'object' && pair[1] !== null);
