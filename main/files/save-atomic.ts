import { randomBytes } from 'node:crypto';
import { constants } from 'node:fs';
import { access, open, readdir, realpath, rename, stat, unlink } from 'node:fs/promises';
import type { FileHandle } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import type { Outcome } from '../../shared-core/host-api';
import { diskProblem, done } from './problems';

/** The disk calls a save makes, so that tests can make each of them fail. */
export interface Disk {
  readonly open: (path: string, flags: string | number, mode?: number) => Promise<Pick<FileHandle, 'write' | 'stat' | 'sync' | 'close' | 'chmod'>>;
  readonly rename: (from: string, to: string) => Promise<void>;
  readonly unlink: (path: string) => Promise<void>;
}
const NODE_DISK: Disk = { open, rename, unlink };

const STALE_MS = 10 * 60_000;
/** Saves to one file wait for each other, so the last one asked for is the one that stays. */
const queues = new Map<string, Promise<unknown>>();

/**
 * Replaces a file by new bytes, whole or not at all. The bytes go to a temporary file in the same folder, are counted
 * and forced to the disk, and only then take the name; whatever fails before leaves the old file untouched. A library
 * was ruled out: the one tried reported success on a full disk and left a cut file.
 * @param path may be a link: the file it points at is replaced and the link stays
 * @returns a problem with words for full disk, missing permission and the like; the old file is then as it was
 */
export async function saveAtomic(path: string, bytes: Uint8Array, disk: Disk = NODE_DISK): Promise<Outcome<null>> {
  // The place in the queue is taken before anything is awaited: later calls must not overtake.
  const key = resolve(path);
  const before = queues.get(key) ?? Promise.resolve();
  const mine = before.then(async () => replace(await realpath(key).catch(() => key), bytes, disk));
  queues.set(key, mine);
  const outcome = await mine;
  if (queues.get(key) === mine) queues.delete(key);
  return outcome;
}

async function replace(target: string, bytes: Uint8Array, disk: Disk): Promise<Outcome<null>> {
  const task = `${basename(target)} could not be saved`;
  const folder = dirname(target);
  const temporary = join(folder, `.${basename(target).slice(0, 100)}.${randomBytes(6).toString('hex')}.lockstead-tmp`);
  let written = false;
  try {
    const mode = await modeOf(target);
    written = true;
    await writeDurably(temporary, bytes, mode, disk);
    await renamePatiently(temporary, target, disk);
    written = false;
    await syncFolder(folder, disk);
    return done(null);
  } catch (error) {
    if (written) await disk.unlink(temporary).catch(() => undefined);
    return diskProblem(error, task);
  } finally { await removeLeftovers(folder, basename(target)); }
}

/** Mode of the file that is replaced. A file that may not be written is not replaced either, though its folder would allow it. */
async function modeOf(target: string): Promise<number | null> {
  try {
    const state = await stat(target);
    if (state.isDirectory()) throw Object.assign(new Error('folder'), { code: 'EISDIR' });
    if (!state.isFile()) throw Object.assign(new Error('no ordinary file'), { code: 'ENXIO' });
    await access(target, constants.W_OK);
    return state.mode & 0o777;
  } catch (error) {
    if (typeof error === 'object' && error !== null && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  }
}

async function writeDurably(path: string, bytes: Uint8Array, mode: number | null, disk: Disk): Promise<void> {
  const file = await disk.open(path, 'wx', mode ?? 0o644);
  try {
    let at = 0;
    while (at < bytes.length) {
      const { bytesWritten } = await file.write(bytes, at, bytes.length - at, at);
      // A disk that takes nothing and reports nothing must not hold the program for ever.
      if (bytesWritten <= 0) throw Object.assign(new Error('nothing was written'), { code: 'ENOSPC' });
      at += bytesWritten;
    }
    if (mode !== null) await file.chmod(mode);
    await file.sync();
    const { size } = await file.stat();
    if (size !== bytes.length) throw Object.assign(new Error(`${size} of ${bytes.length} bytes arrived`), { code: 'ENOSPC' });
  } finally { await file.close(); }
}

/** Virus scanners and indexers on Windows hold a file for a moment; a few tries outlast them. */
async function renamePatiently(from: string, to: string, disk: Disk): Promise<void> {
  for (let attempt = 0; ; attempt += 1) {
    try { await disk.rename(from, to); return; } catch (error) {
      const code = typeof error === 'object' && error !== null && 'code' in error ? error.code : '';
      if (process.platform !== 'win32' || attempt >= 5 || (code !== 'EPERM' && code !== 'EACCES' && code !== 'EBUSY')) throw error;
      await new Promise((resolve) => { setTimeout(resolve, 40 * 2 ** attempt); });
    }
  }
}

/** The new name itself survives a power cut only when the folder is forced to the disk as well; Windows has no such call. */
async function syncFolder(folder: string, disk: Disk): Promise<void> {
  if (process.platform === 'win32') return;
  try {
    const handle = await disk.open(folder, constants.O_RDONLY);
    try { await handle.sync(); } finally { await handle.close(); }
  } catch {
    // Some network disks refuse it. The file is whole and in place by now, so this is no failed save.
  }
}

/** Takes away what a killed save of this same file left behind; a running one is younger. */
async function removeLeftovers(folder: string, name: string): Promise<void> {
  try {
    for (const entry of await readdir(folder)) {
      if (!entry.startsWith(`.${name.slice(0, 100)}.`) || !entry.endsWith('.lockstead-tmp')) continue;
      const path = join(folder, entry);
      if (Date.now() - (await stat(path)).mtimeMs > STALE_MS) await unlink(path);
    }
  } catch { /* Tidying only; a failure here is no concern of the save. */ }
}
