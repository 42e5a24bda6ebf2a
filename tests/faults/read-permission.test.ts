import { spawnSync } from 'node:child_process';
import { chmod, copyFile, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { build } from 'esbuild';
import { beforeAll, describe, expect, it } from 'vitest';
import { scratchFolder } from '../services/scratch';

const NOBODY = 65_534;

describe.skipIf(process.getuid?.() !== 0)('a file that this account may not read', () => {
  let child = '';
  beforeAll(async () => {
    child = join(process.cwd(), 'node_modules/.cache/lockstead-tests/read-child.mjs');
    await build({ entryPoints: ['tests/faults/read-child.ts'], outfile: child, bundle: true, platform: 'node', format: 'esm', packages: 'external', logLevel: 'error' });
  });
  const as = (uid: number, cwd: string, args: readonly string[]) => spawnSync(process.execPath, [child, ...args], { cwd, uid, encoding: 'utf8' });

  it('is no finding and no pass: status 2, the file by name and what to do', async () => {
    const folder = await scratchFolder();
    await chmod(folder, 0o755);
    await copyFile('assets/demo/cider-works.lockstead', join(folder, 'works.lockstead'));
    await chmod(join(folder, 'works.lockstead'), 0o600);
    const { status, stdout, stderr } = as(NOBODY, folder, ['audit', 'works.lockstead']);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toBe('The file works.lockstead could not be read: this account may not do that there. Ask for permission to the file and its folder, or use another folder.\n');
    expect(as(0, folder, ['audit', 'works.lockstead']).status).toBe(1);
  });

  it('nor is an output that may not be written: status 2, and what stood there stays', async () => {
    const folder = await scratchFolder();
    await chmod(folder, 0o755);
    await copyFile('assets/demo/cider-works.lockstead', join(folder, 'works.lockstead'));
    await chmod(join(folder, 'works.lockstead'), 0o644);
    await writeFile(join(folder, 'old.csv'), 'old');
    const { status, stderr } = as(NOBODY, folder, ['export', 'works.lockstead', '--csv', 'old.csv']);
    expect([status, stderr.startsWith('old.csv could not be saved: this account may not do that there.')]).toEqual([2, true]);
    expect(await readFile(join(folder, 'old.csv'), 'utf8')).toBe('old');
  });
});
