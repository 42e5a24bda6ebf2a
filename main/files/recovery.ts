import { mkdir, readdir, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { FORMAT_VERSION, migrateProject, filesOf, readDocument } from '../../shared-core/document/index';
import type { Document } from '../../shared-core/document/index';
import type { Outcome } from '../../shared-core/host-api';
import { fileStamp, readWhole, SIZE_LIMIT } from './guard';
import { LIMITS, sha256 } from './plan-file';
import { diskProblem, done } from './problems';
import { saveAtomic } from './save-atomic';

/**
 * Unsaved work, kept beside the program's settings so that a crash costs nothing. One journal for each project: a head
 * line, the document, and an end line with the digest of both. A journal without its end line was cut off by a crash
 * and counts for nothing. Plan bytes lie beside it under their digest, written once.
 */
export interface Recovery {
  /** @returns when the work is on the disk */
  keep(work: Kept): Promise<Outcome<{ readonly savedAt: string }>>;
  /** The work kept for a project, or null when there is none that is whole. */
  find(key: string): Promise<Found | null>;
  /** The latest work of a project that was never saved. */
  findUntitled(): Promise<Found | null>;
  drop(key: string): Promise<void>;
}
export interface Kept {
  readonly key: string;
  readonly name: string;
  /** Digest of the file the work began from; null when it was never saved. */
  readonly base: string | null;
  readonly document: Document;
  readonly plans: ReadonlyMap<string, Uint8Array>;
}
export interface Found extends Kept { readonly savedAt: string }

export const UNTITLED = 'untitled-';
const KEY = /^[a-z0-9-]{1,80}$/;
const headSchema = z.object({
  format: z.literal('lockstead-recovery'), formatVersion: z.number().int().min(1).max(FORMAT_VERSION),
  key: z.string().regex(KEY), name: z.string(), base: z.string().nullable(), savedAt: z.string(),
});

export function openRecovery(folder: string, now: () => Date = () => new Date()): Recovery {
  const journal = (key: string): string => {
    if (!KEY.test(key)) throw new RangeError(`no recovery key: ${key}`);
    return join(folder, `${key}.journal`);
  };
  const recovery: Recovery = {
    keep: async (work) => {
      try { await mkdir(join(folder, 'plans'), { recursive: true, mode: 0o700 }); } catch (error) { return diskProblem(error, 'Unsaved work could not be kept'); }
      for (const blob of blobsOf(work.document)) {
        const bytes = work.plans.get(blob);
        const path = join(folder, 'plans', blob);
        // Asked of the disk each time: another window of the program may have tidied it away.
        if (!bytes || (await fileStamp(path)) !== null) continue;
        const saved = await saveAtomic(path, bytes);
        if (!saved.ok) return saved;
      }
      const savedAt = now().toISOString();
      const saved = await saveAtomic(journal(work.key), writeJournal(work, savedAt));
      return saved.ok ? done({ savedAt }) : saved;
    },
    find: async (key) => readJournal(folder, journal(key), key),
    findUntitled: async () => {
      const keys = (await readdir(folder).catch(() => [])).filter((name) => name.startsWith(UNTITLED) && name.endsWith('.journal')).map((name) => name.slice(0, -'.journal'.length));
      const found = await Promise.all(keys.map((key) => recovery.find(key)));
      return found.filter((work) => work !== null).sort((a, b) => (a.savedAt < b.savedAt ? 1 : -1))[0] ?? null;
    },
    drop: async (key) => {
      await unlink(journal(key)).catch(() => undefined);
      await dropUnusedPlans(folder);
    },
  };
  return recovery;
}

const blobsOf = (document: Document): string[] => document.sheets.flatMap((sheet) => filesOf(sheet).map((plan) => plan.blob));

function writeJournal(work: Kept, savedAt: string): Uint8Array {
  const head = { format: 'lockstead-recovery', formatVersion: FORMAT_VERSION, key: work.key, name: work.name, base: work.base, savedAt };
  const body = `${JSON.stringify(head)}\n${JSON.stringify(work.document)}\n`;
  const bytes = Buffer.from(body, 'utf8');
  return Buffer.concat([bytes, Buffer.from(`end ${sha256(bytes)}\n`, 'utf8')]);
}

async function readJournal(folder: string, path: string, key: string): Promise<Found | null> {
  const file = await readWhole(path, LIMITS.projectBytes);
  if (!file.ok) return null;
  const text = Buffer.from(file.value).toString('utf8');
  const end = /^([^\n]*)\n([^\n]*)\nend ([0-9a-f]{64})\n$/.exec(text);
  if (!end || sha256(Buffer.from(`${end[1]}\n${end[2]}\n`, 'utf8')) !== end[3]) return null;
  let head: unknown; let json: unknown;
  try { head = JSON.parse(end[1] ?? ''); json = JSON.parse(end[2] ?? ''); } catch { return null; }
  const parsed = headSchema.safeParse(head);
  if (!parsed.success || parsed.data.key !== key) return null;
  const migrated = migrateProject(json, parsed.data.formatVersion);
  const read = migrated && readDocument(migrated.project);
  if (!read?.ok) return null;
  const plans = new Map<string, Uint8Array>();
  for (const blob of blobsOf(read.document)) {
    const plan = await readWhole(join(folder, 'plans', blob), SIZE_LIMIT.plan);
    if (!plan.ok || sha256(plan.value) !== blob) return null;
    plans.set(blob, plan.value);
  }
  return { key, name: parsed.data.name, base: parsed.data.base, savedAt: parsed.data.savedAt, document: read.document, plans };
}

/** Plans that no journal mentions any more; a journal that cannot be read keeps all, in case a person can still mend it. */
async function dropUnusedPlans(folder: string): Promise<void> {
  const used = new Set<string>();
  for (const name of await readdir(folder).catch(() => [])) {
    if (!name.endsWith('.journal')) continue;
    const file = await readWhole(join(folder, name), LIMITS.projectBytes);
    if (!file.ok) return;
    for (const [, blob] of Buffer.from(file.value).toString('utf8').matchAll(/"blob":"([0-9a-f]{64})"/g)) if (blob !== undefined) used.add(blob);
  }
  for (const blob of await readdir(join(folder, 'plans')).catch(() => [])) {
    if (used.has(blob) || !/^[0-9a-f]{64}$/.test(blob)) continue;
    await unlink(join(folder, 'plans', blob)).catch(() => undefined);
  }
}
