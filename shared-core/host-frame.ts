/**
 * One message with byte arrays in it, as bytes: what a request over the loopback host carries. A frame is the length of
 * a JSON head (4 bytes, big end first), the head, then the byte arrays one after another. Byte arrays are not put into
 * the JSON: a 100 MB scan as base64 would be copied four times.
 */

// Both exist in every place this code runs; shared-core is checked without the DOM's and Node's types.
declare const TextEncoder: new () => { encode(text: string): Uint8Array };
declare const TextDecoder: new (label: string, options: { fatal: boolean }) => { decode(bytes: Uint8Array): string };

interface Head { readonly value: unknown; readonly parts: readonly { readonly path: readonly (string | number)[]; readonly length: number }[] }

/** Media type of a frame in an HTTP request or answer. */
export const FRAME_MEDIA = 'application/octet-stream';
const HEAD_LIMIT = 256 * 1024 * 1024;

/** @param value plain JSON data that may hold Uint8Arrays anywhere; undefined fields are left out, as in JSON. */
export function packFrame(value: unknown): Uint8Array {
  const parts: { path: (string | number)[]; bytes: Uint8Array }[] = [];
  const path: (string | number)[] = [];
  const below = (key: string | number, item: unknown): unknown => { path.push(key); const plain = lift(item); path.pop(); return plain; };
  // What holds no bytes is not copied: a document of many thousand marks goes out with every save.
  const lift = (item: unknown): unknown => {
    if (typeof item !== 'object' || item === null) return item;
    if (item instanceof Uint8Array) { parts.push({ path: [...path], bytes: item }); return null; }
    if (Array.isArray(item)) {
      let copy: unknown[] | null = null;
      for (let i = 0; i < item.length; i += 1) { const plain = below(i, item[i]); if (plain !== item[i]) { copy ??= [...(item as unknown[])]; copy[i] = plain; } }
      return copy ?? item;
    }
    const entries = Object.entries(item);
    let isCopy = false;
    for (const entry of entries) { const plain = below(entry[0], entry[1]); if (plain !== entry[1]) { entry[1] = plain; isCopy = true; } }
    return isCopy ? Object.fromEntries(entries) : item;
  };
  // Order matters: lifting fills the list of parts that the head then names.
  const plain = lift(value);
  const head = new TextEncoder().encode(JSON.stringify({ value: plain, parts: parts.map((p) => ({ path: p.path, length: p.bytes.length })) }));
  const frame = new Uint8Array(4 + head.length + parts.reduce((sum, p) => sum + p.bytes.length, 0));
  new DataView(frame.buffer).setUint32(0, head.length);
  frame.set(head, 4);
  let at = 4 + head.length;
  for (const part of parts) { frame.set(part.bytes, at); at += part.bytes.length; }
  return frame;
}

/**
 * Reads a frame written by packFrame.
 * @returns null when the bytes are no whole frame: cut off, too long, or a part whose place does not exist. The byte
 * arrays are copies, so a small part does not keep a large frame alive.
 */
export function unpackFrame(frame: Uint8Array): { readonly value: unknown } | null {
  if (frame.length < 4) return null;
  const headLength = new DataView(frame.buffer, frame.byteOffset, frame.byteLength).getUint32(0);
  if (headLength > HEAD_LIMIT || 4 + headLength > frame.length) return null;
  const head = readHead(frame.subarray(4, 4 + headLength));
  if (!head) return null;
  const holder = { value: head.value };
  let at = 4 + headLength;
  for (const part of head.parts) {
    if (at + part.length > frame.length || !place(holder, ['value', ...part.path], frame.slice(at, at + part.length))) return null;
    at += part.length;
  }
  return at === frame.length ? holder : null;
}

/** @returns what the bytes of a JSON text say; null when they are none */
export function readJsonBytes(bytes: Uint8Array): { readonly value: unknown } | null {
  try { return { value: JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes)) as unknown }; } catch { return null; }
}

function readHead(bytes: Uint8Array): Head | null {
  const head = readJsonBytes(bytes)?.value;
  if (typeof head !== 'object' || head === null || !('value' in head) || !('parts' in head) || !Array.isArray(head.parts)) return null;
  const whole = head.parts.every((part: unknown) => typeof part === 'object' && part !== null
    && 'length' in part && Number.isSafeInteger(part.length) && (part.length as number) >= 0
    && 'path' in part && Array.isArray(part.path) && part.path.every((key) => typeof key === 'string' || Number.isSafeInteger(key)));
  return whole ? head as Head : null;
}

/** Puts bytes where the head holds null; a path over anything but own fields is refused, so no built-in is ever reached. */
function place(root: object, path: readonly (string | number)[], bytes: Uint8Array): boolean {
  let owner: unknown = root;
  for (const [i, key] of path.entries()) {
    if (typeof owner !== 'object' || owner === null || !Object.hasOwn(owner, key)) return false;
    const fields = owner as Record<string | number, unknown>;
    if (i < path.length - 1) owner = fields[key];
    else if (fields[key] !== null) return false;
    else fields[key] = bytes;
  }
  return true;
}
