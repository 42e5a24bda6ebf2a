import { constants } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import { homedir } from 'node:os';
import { basename, join, resolve } from 'node:path';
import type { Outcome } from '../../shared-core/host-api';
import { diskProblem, done, failed } from './problems';

/** Largest file of each kind that is read into memory. */
export const SIZE_LIMIT = { project: 1024 ** 3, plan: 1024 ** 3, list: 64 * 1024 ** 2 } as const;

/**
 * Reads an ordinary file whole. Folders, pipes and devices are refused without waiting on them, and the size limit
 * holds while reading, not only before.
 */
export async function readWhole(path: string, limit: number): Promise<Outcome<Uint8Array>> {
  const name = basename(path);
  const task = `The file ${name} could not be read`;
  try {
    // Without O_NONBLOCK the opening of a pipe that nobody writes to would wait for ever.
    const file = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
    try {
      const state = await file.stat();
      if (state.isDirectory()) return diskProblem({ code: 'EISDIR' }, task);
      if (!state.isFile()) return diskProblem({ code: 'ENXIO' }, task);
      if (state.size > limit) return failed('too-big', `The file ${name} is ${megabytes(state.size)} MB; at most ${megabytes(limit)} MB are read.`, 'Use a smaller file.');
      const bytes = new Uint8Array(state.size);
      let at = 0;
      while (at < bytes.length) {
        const { bytesRead } = await file.read(bytes, at, bytes.length - at, at);
        if (bytesRead === 0) return failed('changed-while-reading', `The file ${name} became shorter while it was read.`, 'Wait until the other program has finished with it, then open it again.');
        at += bytesRead;
      }
      return done(bytes);
    } finally { await file.close(); }
  } catch (error) { return diskProblem(error, task); }
}

const megabytes = (bytes: number): number => Math.ceil(bytes / 1024 ** 2);

/**
 * A name fit for a file on any system, from text a person or a file gave: no separators, no control characters, none of
 * the names Windows keeps for devices, never empty.
 */
export function safeFileName(text: string, extension: string): string {
  const plain = text.replace(/[\u0000-\u001f\u007f<>:"/\\|?*\u202a-\u202e\u2066-\u2069]+/g, ' ').replace(/\s+/g, ' ').replace(/^[. ]+|[. ]+$/g, '').slice(0, 100).trim();
  const stem = plain.toLowerCase().endsWith(extension.toLowerCase()) ? plain.slice(0, -extension.length) : plain;
  const usable = stem === '' || /^(con|prn|aux|nul|com\d|lpt\d)$/i.test(stem) ? `Lockstead ${stem}`.trim() : stem;
  return `${usable}${extension}`;
}

/** Changes when another program writes the file; null when there is none. */
export async function fileStamp(path: string): Promise<string | null> {
  try {
    const state = await stat(path);
    return `${state.ino}:${state.size}:${state.mtimeMs}`;
  } catch { return null; }
}

/** Where the program keeps recovery journals when the shell names no folder; LOCKSTEAD_STATE overrides it. */
export function stateFolder(): string {
  const named = process.env['LOCKSTEAD_STATE'];
  if (named !== undefined && named !== '') return resolve(named);
  if (process.platform === 'win32') return join(process.env['LOCALAPPDATA'] ?? join(homedir(), 'AppData', 'Local'), 'Lockstead');
  if (process.platform === 'darwin') return join(homedir(), 'Library', 'Application Support', 'Lockstead');
  return join(process.env['XDG_STATE_HOME'] ?? join(homedir(), '.local', 'state'), 'lockstead');
}

/** Whether two paths name one file, through links and different spellings too; a file that is not there yet counts by its path. */
export async function isSameFile(a: string, b: string): Promise<boolean> {
  const [here, there] = [resolve(a), resolve(b)];
  if (here === there) return true;
  try {
    const [one, other] = [await stat(here), await stat(there)];
    return one.ino === other.ino && one.dev === other.dev;
  } catch { return false; }
}
