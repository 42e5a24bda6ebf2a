import { createHash } from 'node:crypto';
import { strFromU8, strToU8, unzipSync, zip, zipSync } from 'fflate';
import type { Zippable } from 'fflate';
import { z } from 'zod';
import { FORMAT_VERSION, migrateProject, filesOf, readDocumentInSteps } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import type { Outcome } from '../../shared-core/host-api';
import { atOnce, cancelled, inTurns } from './in-turns';
import type { Running, Steps } from './in-turns';
import { done, failed } from './problems';

/**
 * The `.lockstead` container: a zip with `contents.json` (format version, and size and digest of everything else),
 * `project.json` (the document) and the original plan bytes under `plans/<sha-256>`. Nothing in it is ever run, and no
 * name in it ever becomes a path. Equal content gives equal bytes.
 */
export interface ProjectFile {
  readonly document: Document;
  /** Original plan bytes by their SHA-256. */
  readonly plans: ReadonlyMap<string, Uint8Array>;
}

export const LIMITS = {
  entries: 600,
  projectBytes: 96 * 1024 ** 2,
  contentsBytes: 1024 ** 2,
  planBytes: 1024 ** 3,
  unpackedBytes: 2 * 1024 ** 3,
} as const;

const PLAN_NAME = /^plans\/([0-9a-f]{64})$/;
const contentsSchema = z.object({
  format: z.literal('lockstead'),
  formatVersion: z.number().int().min(1),
  entries: z.array(z.object({ name: z.string(), size: z.number().int().min(0), sha256: z.string().regex(/^[0-9a-f]{64}$/) })).max(LIMITS.entries),
});

export const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

const HASHED_AT_ONCE = 8 * 1024 ** 2;
/** The digest of what may be hundreds of megabytes. @yields how much of it is done, 0 to 1 */
export function* sha256InSteps(bytes: Uint8Array): Steps<string> {
  const hash = createHash('sha256');
  for (let at = 0; at < bytes.length; at += HASHED_AT_ONCE) { hash.update(bytes.subarray(at, at + HASHED_AT_ONCE)); yield at / bytes.length; }
  return hash.digest('hex');
}

/** What JSON.stringify gives, a thousand marks at a time. */
function* jsonInSteps(document: Document): Steps<string> {
  const AT_ONCE = 1000;
  const marks = Object.entries(document.entities);
  const parts: string[] = [];
  for (let at = 0; at < marks.length; at += AT_ONCE) {
    parts.push(JSON.stringify(Object.fromEntries(marks.slice(at, at + AT_ONCE))).slice(1, -1));
    yield at / marks.length;
  }
  return `{${Object.entries(document).filter(([, value]) => value !== undefined).map(([key, value]) => `${JSON.stringify(key)}:${key === 'entities' ? `{${parts.join(',')}}` : JSON.stringify(value)}`).join(',')}}`;
}

/** Zip dates begin in 1980; one fixed date keeps equal projects equal. */
const ZIP = { mtime: new Date(1980, 0, 1, 12) };

/**
 * Packs a project. Only plans that a sheet refers to are kept.
 * @returns a problem when a sheet's plan bytes are not at hand, or the document itself would not open again
 */
export function packProject(document: Document, plans: ReadonlyMap<string, Uint8Array>): Outcome<Uint8Array> {
  const parts = atOnce(partsInSteps(document, plans));
  return parts.ok ? done(zipSync(parts.value, ZIP)) : parts;
}

/** The same in turns with everything else, byte for byte; 'cancelled' as well. */
export async function packProjectInTurns(document: Document, plans: ReadonlyMap<string, Uint8Array>, running: Running = {}): Promise<Outcome<Uint8Array>> {
  const parts = await inTurns(partsInSteps(document, plans), { ...running, note: 'Checking the project', from: 0, to: 0.5 });
  if (!parts?.ok) return parts ?? cancelled();
  running.onProgress?.(0.5, 'Packing the file');
  return new Promise((resolve) => {
    const stop = zip(parts.value, ZIP, (fault, bytes) => { settle(fault ? failed('not-saveable', 'The project could not be packed.', 'Save again. The file on the disk was left as it was.') : done(bytes)); });
    const abort = (): void => { stop(); settle(cancelled()); };
    const settle = (outcome: Outcome<Uint8Array>): void => { running.signal?.removeEventListener('abort', abort); resolve(outcome); };
    if (running.signal?.aborted) abort(); else running.signal?.addEventListener('abort', abort);
  });
}

function* partsInSteps(document: Document, plans: ReadonlyMap<string, Uint8Array>): Steps<Outcome<Zippable>> {
  const checked = yield* readDocumentInSteps(document);
  if (!checked.ok) return failed('not-saveable', `The project holds data that could not be read back (${checked.faults[0] ?? ''}).`, 'Undo the last change and save again. The file on the disk was left as it was.');
  const parts = new Map<string, Uint8Array>([['project.json', strToU8(yield* jsonInSteps(document))]]);
  for (const sheet of document.sheets) {
    for (const plan of filesOf(sheet)) {
      const bytes = plans.get(plan.blob);
      if (!bytes) return failed('plan-missing', `The plan ${plan.name} of the sheet ${sheet.name} is not at hand.`, 'Bring the plan in again, then save. The file on the disk was left as it was.');
      parts.set(`plans/${plan.blob}`, bytes);
    }
  }
  const entries: { name: string; size: number; sha256: string }[] = [];
  for (const [name, bytes] of parts) entries.push({ name, size: bytes.length, sha256: yield* sha256InSteps(bytes) });
  entries.sort((a, b) => (a.name < b.name ? -1 : 1));
  const contents = strToU8(JSON.stringify({ format: 'lockstead', formatVersion: FORMAT_VERSION, entries }, null, 1));
  // Plans are compressed pictures and PDFs already: stored as they are, which also keeps saving quick.
  return done({
    'contents.json': [contents, { level: 0 }],
    ...Object.fromEntries(entries.map(({ name }) => [name, [parts.get(name) ?? new Uint8Array(), { level: name === 'project.json' ? 6 : 0 }]])),
  });
}

/**
 * Reads a project file of this or an older format.
 * @param name the file's name, for the words of a problem
 * @returns a problem for what is no project, is cut off, damaged, hostile or of a newer program
 */
export const unpackProject = (bytes: Uint8Array, name: string): Outcome<ProjectFile> => atOnce(unpackInSteps(bytes, name));

/** The same in turns with everything else; 'cancelled' as well. */
export const unpackProjectInTurns = async (bytes: Uint8Array, name: string, running: Running = {}): Promise<Outcome<ProjectFile>> =>
  await inTurns(unpackInSteps(bytes, name), { ...running, note: 'Reading the project', from: 0.05, to: 0.95 }) ?? cancelled();

function* unpackInSteps(bytes: Uint8Array, name: string): Steps<Outcome<ProjectFile>> {
  const damaged = (detail: string): Outcome<never> => failed('damaged-file', `${name} is cut off or damaged (${detail}).`, 'Open an older copy. The file was left as it is.');
  if (!(bytes[0] === 0x50 && bytes[1] === 0x4b)) {
    return failed('not-a-project', `${name} is no Lockstead project.`, 'Open a file that ends in .lockstead; bring pictures, PDFs and DXF files in as a plan.');
  }
  const listed = unzip(bytes, (entry) => entry === 'contents.json');
  if (!listed.ok) return listed.hostile ? refuse(name, listed.detail) : damaged(listed.detail);
  const head = listed.files.get('contents.json');
  if (!head) return failed('not-a-project', `${name} is an archive, but no Lockstead project.`, 'Open a file that ends in .lockstead.');
  const contents = readContents(head);
  if (!contents) return damaged('its list of contents cannot be read');
  if (contents.formatVersion > FORMAT_VERSION) {
    return failed('newer-version', `${name} was saved by a newer Lockstead (format ${contents.formatVersion}; this one reads up to ${FORMAT_VERSION}).`, 'Open it with the newer program. The file was left as it is.');
  }
  const whole = unzip(bytes, () => true);
  if (!whole.ok) return whole.hostile ? refuse(name, whole.detail) : damaged(whole.detail);
  yield 0;
  const fault = yield* compareWithContents(whole.files, contents.entries);
  if (fault !== null) return damaged(fault);
  return yield* readParts(whole.files, contents.formatVersion, name, damaged);
}

const refuse = (name: string, detail: string): Outcome<never> => failed('hostile-file', `${name} was refused: ${detail}.`, 'Ask where the file comes from. Nothing was unpacked.');

type Unzipped = { readonly ok: true; readonly files: Map<string, Uint8Array> } | { readonly ok: false; readonly hostile: boolean; readonly detail: string };

class Refusal extends Error {}

/** Unpacks wanted entries after every entry's name, count and stated size were found in order. Memory is bounded by the stated sizes. */
function unzip(bytes: Uint8Array, isWanted: (name: string) => boolean): Unzipped {
  const seen = new Set<string>();
  let total = 0;
  try {
    // A first pass over all names, unpacking nothing: a hostile entry anywhere refuses the whole file.
    unzipSync(bytes, { filter: ({ name, originalSize, compression }) => {
      if (seen.has(name)) throw new Refusal(`the name ${quote(name)} stands in it twice`);
      seen.add(name);
      if (seen.size > LIMITS.entries) throw new Refusal(`it holds more than ${LIMITS.entries} entries`);
      const limit = name === 'contents.json' ? LIMITS.contentsBytes : name === 'project.json' ? LIMITS.projectBytes : PLAN_NAME.test(name) ? LIMITS.planBytes : -1;
      if (limit < 0) throw new Refusal(`the name ${quote(name)} does not belong in a project`);
      if (compression !== 0 && compression !== 8) throw new Refusal(`${quote(name)} is packed in an unknown way`);
      total += originalSize;
      if (!Number.isSafeInteger(originalSize) || originalSize > limit || total > LIMITS.unpackedBytes) throw new Refusal('it would unpack to more than is allowed');
      return false;
    } });
    const files = unzipSync(bytes, { filter: ({ name }) => isWanted(name) });
    return { ok: true, files: new Map(Object.entries(files)) };
  } catch (error) {
    return error instanceof Refusal ? { ok: false, hostile: true, detail: error.message } : { ok: false, hostile: false, detail: 'the archive is not whole' };
  }
}

const quote = (name: string): string => `'${name.slice(0, 60).replace(/[^\x20-\x7e]/g, '?')}'`;

function readContents(bytes: Uint8Array): z.output<typeof contentsSchema> | null {
  try {
    const parsed = contentsSchema.safeParse(JSON.parse(strFromU8(bytes)));
    return parsed.success ? parsed.data : null;
  } catch { return null; }
}

/** What differs between the archive and its own list; null when every byte is as it was written. */
function* compareWithContents(files: ReadonlyMap<string, Uint8Array>, entries: readonly { name: string; size: number; sha256: string }[]): Steps<string | null> {
  const names = new Set(entries.map((entry) => entry.name));
  if (names.size !== entries.length) return 'its list of contents names an entry twice';
  if (!names.has('project.json')) return 'the project itself is missing';
  for (const name of files.keys()) if (name !== 'contents.json' && !names.has(name)) return `${quote(name)} is not in its list of contents`;
  for (const entry of entries) {
    const bytes = files.get(entry.name);
    if (!bytes) return `${quote(entry.name)} is missing`;
    const digest = yield* sha256InSteps(bytes);
    if (bytes.length !== entry.size || digest !== entry.sha256) return `${quote(entry.name)} differs from what was saved`;
    const plan = PLAN_NAME.exec(entry.name)?.[1];
    if (plan !== undefined && plan !== digest) return `${quote(entry.name)} is not the plan it is named after`;
  }
  return null;
}

function* readParts(files: ReadonlyMap<string, Uint8Array>, version: number, name: string, damaged: (detail: string) => Outcome<never>): Steps<Outcome<ProjectFile>> {
  let json: unknown;
  try { json = JSON.parse(strFromU8(files.get('project.json') ?? new Uint8Array())); } catch { return damaged('the project is no valid JSON'); }
  const migrated = migrateProject(json, version);
  if (!migrated) return damaged(`it cannot be lifted from format ${version}`);
  yield 0;
  const read = yield* readDocumentInSteps(migrated.project);
  if (!read.ok) return failed('bad-project', `${name} holds data that does not fit together: ${read.faults.slice(0, 3).join('; ')}.`, 'Open an older copy. The file was left as it is.');
  const plans = new Map<string, Uint8Array>();
  for (const [entry, bytes] of files) {
    const blob = PLAN_NAME.exec(entry)?.[1];
    if (blob !== undefined) plans.set(blob, bytes);
  }
  const lost = read.document.sheets.find((sheet) => filesOf(sheet).some((plan) => !plans.has(plan.blob)));
  if (lost) return damaged(`the plan of the sheet ${lost.name} is missing`);
  return done({ document: read.document, plans });
}
