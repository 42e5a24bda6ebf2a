import { spawnSync } from 'node:child_process';
import { chmod, chown, lstat, mkdir, open, readdir, readFile, rename, stat, symlink, unlink, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { build } from 'esbuild';
import { beforeAll, describe, expect, it } from 'vitest';
import { saveAtomic } from '../../main/files/save-atomic';
import type { Disk } from '../../main/files/save-atomic';
import { scratchFolder } from '../services/scratch';

const OLD = new Uint8Array(200_000).fill(1);
const NEW = new Uint8Array(300_000).fill(2);
/** A file's content in a word: its length and the byte values in it. */
const describeBytes = (bytes: Uint8Array): string => `${bytes.length} of ${[...new Set(bytes)].join(',')}`;
const read = async (path: string): Promise<string> => describeBytes(await readFile(path));
const OLD_TEXT = describeBytes(OLD);
const NEW_TEXT = describeBytes(NEW);
const fault = (code: string): Error => Object.assign(new Error(code), { code });
type File = Awaited<ReturnType<Disk['open']>>;

/** The real disk, on which the nth call fails in a given way. */
function failingDisk(failAt: number, code: string): { disk: Disk; calls: string[] } {
  const calls: string[] = [];
  const step = <T>(name: string, work: () => Promise<T>): Promise<T> => {
    calls.push(name);
    return calls.length - 1 === failAt ? Promise.reject(fault(code)) : work();
  };
  const disk: Disk = {
    open: (path, flags, mode) => step(typeof flags === 'number' ? 'open folder' : 'open', async () => {
      const file = await open(path, flags, mode);
      const folder = typeof flags === 'number' ? ' folder' : '';
      return {
        write: (bytes: Uint8Array, at: number, length: number, position: number) => step('write', () => file.write(bytes, at, Math.min(length, 100_000), position)),
        stat: () => step('stat', () => file.stat()), sync: () => step(`sync${folder}`, () => file.sync()),
        chmod: (bits: number) => step('chmod', () => file.chmod(bits)),
        // A close that fails has still let the file go.
        close: async () => { await file.close(); return step(`close${folder}`, () => Promise.resolve()); },
      } as unknown as File;
    }),
    rename: (from, to) => step('rename', () => rename(from, to)),
    unlink: (path) => step('unlink', () => unlink(path)),
  };
  return { disk, calls };
}

describe('saving', () => {
  it('writes a new file, replaces an old one, and leaves nothing else in the folder', async () => {
    const folder = await scratchFolder();
    const path = join(folder, 'works.lockstead');
    expect(await saveAtomic(path, OLD)).toEqual({ ok: true, value: null });
    expect(await saveAtomic(path, NEW)).toEqual({ ok: true, value: null });
    expect(await read(path)).toBe(NEW_TEXT);
    expect(await readdir(folder)).toEqual(['works.lockstead']);
  });

  it('forces the bytes to the disk before the name changes, and the folder after', async () => {
    const path = join(await scratchFolder(), 'works.lockstead');
    await writeFile(path, OLD);
    const { disk, calls } = failingDisk(-1, '');
    await saveAtomic(path, NEW, disk);
    expect(calls).toEqual(['open', 'write', 'write', 'write', 'chmod', 'sync', 'stat', 'close', 'rename', 'open folder', 'sync folder', 'close folder']);
  });

  it.each(['ENOSPC', 'EIO', 'EDQUOT', 'EACCES'])('with %s at any of its disk calls keeps the old file whole or has the new one whole, and says which', async (code) => {
    const folder = await scratchFolder();
    const path = join(folder, 'works.lockstead');
    for (let failAt = 0; ; failAt += 1) {
      await writeFile(path, OLD);
      const { disk, calls } = failingDisk(failAt, code);
      const outcome = await saveAtomic(path, NEW, disk);
      expect(await read(path), `call ${failAt} (${calls[failAt] ?? 'none'})`).toBe(outcome.ok ? NEW_TEXT : OLD_TEXT);
      expect(await readdir(folder)).toEqual(['works.lockstead']);
      if (calls.length <= failAt) break;
      if (!calls[failAt]?.endsWith('folder')) expect(outcome.ok).toBe(false);
      if (!outcome.ok) expect(outcome.problem.what).toMatch(/^works\.lockstead could not be saved: /);
    }
  });

  it('does not believe a disk that reports more than it stored', async () => {
    const path = join(await scratchFolder(), 'works.lockstead');
    await writeFile(path, OLD);
    const lying: Disk = { rename, unlink, open: async (name, flags, mode) => {
      const file = await open(name, flags, mode);
      return { stat: () => file.stat(), sync: () => file.sync(), chmod: (bits: number) => file.chmod(bits), close: () => file.close(),
        write: async (bytes: Uint8Array, at: number, length: number, position: number) => { await file.write(bytes, at, Math.min(length, 1000), position); return { bytesWritten: length, buffer: bytes }; } } as unknown as File;
    } };
    expect(await saveAtomic(path, NEW, lying)).toMatchObject({ ok: false, problem: { code: 'disk-full' } });
    expect(await read(path)).toBe(OLD_TEXT);
  });

  it('ends on a disk that takes nothing and reports nothing', async () => {
    const path = join(await scratchFolder(), 'works.lockstead');
    const mute: Disk = { rename, unlink, open: async (name, flags, mode) => {
      const file = await open(name, flags, mode);
      return { stat: () => file.stat(), sync: () => file.sync(), chmod: (bits: number) => file.chmod(bits), close: () => file.close(), write: async (bytes: Uint8Array) => ({ bytesWritten: 0, buffer: bytes }) } as unknown as File;
    } };
    expect(await saveAtomic(path, NEW, mute)).toMatchObject({ ok: false, problem: { code: 'disk-full' } });
  });

  it('keeps the mode of the file and a link to it', async () => {
    const folder = await scratchFolder();
    await writeFile(join(folder, 'real.lockstead'), OLD);
    await chmod(join(folder, 'real.lockstead'), 0o640);
    await symlink('real.lockstead', join(folder, 'link.lockstead'));
    expect((await saveAtomic(join(folder, 'link.lockstead'), NEW)).ok).toBe(true);
    expect((await lstat(join(folder, 'link.lockstead'))).isSymbolicLink()).toBe(true);
    expect(await read(join(folder, 'real.lockstead'))).toBe(NEW_TEXT);
    expect((await stat(join(folder, 'real.lockstead'))).mode & 0o777).toBe(0o640);
  });

  it('asked for many times at once ends with the last one asked for, whole', async () => {
    const folder = await scratchFolder();
    const path = join(folder, 'works.lockstead');
    const outcomes = await Promise.all(Array.from({ length: 12 }, (_, i) => saveAtomic(path, new Uint8Array(50_000 + i).fill(i))));
    expect(outcomes.every((outcome) => outcome.ok)).toBe(true);
    expect(await read(path)).toBe('50011 of 11');
    expect(await readdir(folder)).toEqual(['works.lockstead']);
  });

  it('does not go on after a failed save of the same file as if it were stuck', async () => {
    const path = join(await scratchFolder(), 'works.lockstead');
    const [first, second] = await Promise.all([saveAtomic(path, OLD, failingDisk(1, 'ENOSPC').disk), saveAtomic(path, NEW)]);
    expect([first.ok, second.ok]).toEqual([false, true]);
    expect(await read(path)).toBe(NEW_TEXT);
  });

  it('says a missing folder, a folder in the place of the file and a name too long each in its own words', async () => {
    const folder = await scratchFolder();
    await mkdir(join(folder, 'works'));
    expect(await saveAtomic(join(folder, 'none', 'works.lockstead'), NEW)).toMatchObject({ ok: false, problem: { code: 'missing-file' } });
    expect(await saveAtomic(join(folder, 'works'), NEW)).toMatchObject({ ok: false, problem: { code: 'not-a-file' } });
    expect(await saveAtomic(join(folder, 'x'.repeat(300)), NEW)).toMatchObject({ ok: false, problem: { code: 'bad-name' } });
  });

  it('tidies up what a killed save left, but not what a running one still writes', async () => {
    const folder = await scratchFolder();
    const old = join(folder, '.works.lockstead.aaaaaaaaaaaa.lockstead-tmp');
    await writeFile(old, 'x');
    await utimes(old, new Date(Date.now() - 3_600_000), new Date(Date.now() - 3_600_000));
    await writeFile(join(folder, '.works.lockstead.bbbbbbbbbbbb.lockstead-tmp'), 'x');
    await writeFile(join(folder, '.other.lockstead.cccccccccccc.lockstead-tmp'), 'x');
    await saveAtomic(join(folder, 'works.lockstead'), NEW);
    expect((await readdir(folder)).sort()).toEqual(['.other.lockstead.cccccccccccc.lockstead-tmp', '.works.lockstead.bbbbbbbbbbbb.lockstead-tmp', 'works.lockstead']);
  });
});

describe('a save in a process of its own', () => {
  let child = '';
  let folderOfChild = '';
  beforeAll(async () => {
    folderOfChild = join(process.cwd(), 'node_modules/.cache/lockstead-tests');
    child = join(folderOfChild, 'save-child.mjs');
    await build({ entryPoints: ['tests/faults/save-child.ts'], outfile: child, bundle: true, platform: 'node', format: 'esm', packages: 'external', logLevel: 'error' });
  });
  const save = (path: string, source: string, options: { killAt?: number; before?: string; uid?: number } = {}) => {
    const command = [process.execPath, child, path, source, String(options.killAt ?? -1)];
    return options.before === undefined ? spawnSync(command[0] ?? '', command.slice(1), { encoding: 'utf8', uid: options.uid }) : spawnSync('sh', ['-c', `${options.before}; exec "$@"`, 'sh', ...command], { encoding: 'utf8' });
  };
  const prepare = async (): Promise<{ folder: string; path: string; source: string }> => {
    const folder = await scratchFolder();
    const outside = await scratchFolder();
    const path = join(folder, 'works.lockstead');
    const source = join(outside, 'new');
    await writeFile(path, OLD);
    await writeFile(source, NEW);
    return { folder, path, source };
  };

  it('killed at any of its disk calls leaves the old file or the new one, never a part', async () => {
    const { path, source } = await prepare();
    const seen = new Set<string>();
    for (let killAt = 0; killAt < 40; killAt += 1) {
      await writeFile(path, OLD);
      const run = save(path, source, { killAt });
      const now = await read(path);
      expect([OLD_TEXT, NEW_TEXT], `killed at call ${killAt}`).toContain(now);
      seen.add(now);
      if (run.signal !== 'SIGKILL') break;
    }
    expect([...seen]).toEqual([OLD_TEXT, NEW_TEXT]);
  });

  it.skipIf(process.platform === 'win32')('that may write only so many bytes keeps the old file and says the disk takes no more', async () => {
    const { folder, path, source } = await prepare();
    // 100 blocks of 512 or 1024 bytes: less than the new file in either shell.
    const run = save(path, source, { before: 'ulimit -f 100' });
    expect(JSON.parse(run.stdout).outcome).toMatchObject({ ok: false, problem: { code: 'disk-full' } });
    expect(await read(path)).toBe(OLD_TEXT);
    expect(await readdir(folder)).toEqual(['works.lockstead']);
  });

  it('on a disk that is really full keeps the old file and says so', async (context) => {
    const { folder, source } = await prepare();
    const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=320k', 'tmpfs', folder]).status === 0;
    if (!mounted) { context.skip('mounting a small disk needs root'); return; }
    try {
      const path = join(folder, 'works.lockstead');
      await writeFile(path, OLD);
      const run = save(path, source);
      expect(JSON.parse(run.stdout).outcome).toMatchObject({ ok: false, problem: { code: 'disk-full' } });
      expect(await read(path)).toBe(OLD_TEXT);
      expect(await readdir(folder)).toEqual(['works.lockstead']);
    } finally { spawnSync('umount', [folder]); }
  });

  it.skipIf(process.getuid?.() !== 0)('by somebody who may not write there changes nothing and says so', async () => {
    const { folder, path, source } = await prepare();
    await chmod(folder, 0o755);
    await chmod(source, 0o644);
    await chmod(join(source, '..'), 0o755);
    const nobody = 65_534;
    // A read-only file in a folder of one's own: renaming over it would work, and is still not done.
    await chown(folder, nobody, nobody);
    await chmod(path, 0o444);
    const readOnly = save(path, source, { uid: nobody });
    expect(JSON.parse(readOnly.stdout).outcome).toMatchObject({ ok: false, problem: { code: 'no-permission' } });
    await chmod(path, 0o666);
    await chown(folder, 0, 0);
    const closedFolder = save(path, source, { uid: nobody });
    expect(JSON.parse(closedFolder.stdout).outcome).toMatchObject({ ok: false, problem: { code: 'no-permission' } });
    expect(await read(path)).toBe(OLD_TEXT);
  });
});
