import { spawnSync } from 'node:child_process';
import { mkdir, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openAssets } from '../../main/files/assets';
import { readWhole, safeFileName } from '../../main/files/guard';
import { diskProblem } from '../../main/files/problems';
import { scratchFolder } from './scratch';

describe('reading a file', () => {
  it('gives its bytes, an empty one too', async () => {
    const folder = await scratchFolder();
    await writeFile(join(folder, 'a'), 'abc');
    await writeFile(join(folder, 'empty'), '');
    expect(await readWhole(join(folder, 'a'), 3)).toEqual({ ok: true, value: new Uint8Array([97, 98, 99]) });
    expect(await readWhole(join(folder, 'empty'), 3)).toEqual({ ok: true, value: new Uint8Array() });
  });
  it('refuses what is larger than the limit, a folder, a missing file and a link that leads in a circle, each by name', async () => {
    const folder = await scratchFolder();
    await writeFile(join(folder, 'big.png'), 'abcd');
    await mkdir(join(folder, 'folder'));
    await symlink('loop', join(folder, 'loop'));
    const code = async (name: string) => {
      const read = await readWhole(join(folder, name), 3);
      if (!read.ok) expect(read.problem.what).toContain(name);
      return read.ok ? 'read' : read.problem.code;
    };
    expect(await Promise.all(['big.png', 'folder', 'none.png', 'loop'].map(code))).toEqual(['too-big', 'not-a-file', 'missing-file', 'not-a-file']);
  });
  it.skipIf(process.platform === 'win32')('does not wait for ever on a pipe nor read a device', async () => {
    const folder = await scratchFolder();
    spawnSync('mkfifo', [join(folder, 'pipe')]);
    expect(await readWhole(join(folder, 'pipe'), 100)).toMatchObject({ ok: false, problem: { code: 'not-a-file' } });
    expect(await readWhole('/dev/zero', 100)).toMatchObject({ ok: false, problem: { code: 'not-a-file' } });
  });
});

describe('words for a disk', () => {
  it('name the task, the reason and what to do; an unknown fault keeps its code', () => {
    expect(diskProblem({ code: 'EACCES' }, 'works.lockstead could not be saved').problem).toEqual({
      code: 'no-permission', what: 'works.lockstead could not be saved: this account may not do that there.', todo: 'Ask for permission to the file and its folder, or use another folder.' });
    expect(diskProblem({ code: 'EWEIRD' }, 'It could not be read').problem.what).toContain('(EWEIRD)');
    expect(diskProblem('text', 'It could not be read').problem.code).toBe('disk-error');
  });
});

describe('a name for a file', () => {
  it.each([
    ['Press hall', 'Press hall.pdf'], ['../../etc/passwd', 'etc passwd.pdf'], ['a:b*c?"<>|', 'a b c.pdf'], ['', 'Lockstead.pdf'], ['CON', 'Lockstead CON.pdf'], ['plan.PDF', 'plan.pdf'],
    ['...', 'Lockstead.pdf'], ['bell\u0007 tab\t', 'bell tab.pdf'], ['photo\u202efdp.exe', 'photo fdp.exe.pdf'], ['x'.repeat(500), `${'x'.repeat(100)}.pdf`],
  ])('made from %j is %j', (text, name) => { expect(safeFileName(text, '.pdf')).toBe(name); });
});

describe("the window's files", () => {
  it('are served by their listed name only', async () => {
    const folder = await scratchFolder();
    await mkdir(join(folder, 'ui', 'assets'), { recursive: true });
    await writeFile(join(folder, 'secret'), 'secret');
    await writeFile(join(folder, 'ui', 'index.html'), '<!doctype html>');
    await writeFile(join(folder, 'ui', 'assets', 'a.js'), 'x');
    await symlink(join(folder, 'secret'), join(folder, 'ui', 'link.txt'));
    const read = await openAssets(join(folder, 'ui'));
    expect((await read('/'))?.media).toBe('text/html; charset=utf-8');
    expect((await read('/assets/a.js'))?.media).toBe('text/javascript; charset=utf-8');
    for (const path of ['/../secret', '/%2e%2e/secret', '/..%2fsecret', '/assets/../../secret', '//secret', '/link.txt', '/assets', '/__proto__', '']) expect(await read(path), path).toBeNull();
  });
});
