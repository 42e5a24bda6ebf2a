import { entityIds } from '../shared-core/document/index';
import type { Document } from '../shared-core/document/index';

/** Marks written between two turns of the window: a millisecond or two. */
const PORTION = 1000;
const aTurn = (): Promise<void> => new Promise((resolve) => { setTimeout(resolve, 0); });

/**
 * The JSON of a document as bytes (the contract takes a document either way), written a portion a turn: a project of a hundred
 * thousand marks is kept safe every few edits, and no frame waits for that.
 * @param turn lets the window go on in between
 */
export async function documentBytes({ entities, ...rest }: Document, turn: () => Promise<void> = aTurn): Promise<Uint8Array<ArrayBuffer>> {
  // A blob of small blobs: putting many megabytes into one at once would take as long as several frames.
  const parts: Blob[] = [];
  let text = `${JSON.stringify(rest).slice(0, -1)},"entities":{`;
  let count = 0;
  for (const id of entityIds(entities)) {
    text += `${count === 0 ? '' : ','}${JSON.stringify(id)}:${JSON.stringify(entities[id])}`;
    count += 1;
    if (count % PORTION === 0) { parts.push(new Blob([text])); text = ''; await turn(); }
  }
  parts.push(new Blob([`${text}}}`]));
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}
