import { execFileSync } from 'node:child_process';
import { copyFile, mkdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { listPackage } from '@electron/asar';
import { FuseV1Options, FuseVersion, getCurrentFuseWire } from '@electron/fuses';
import { beforeAll, describe, expect, it } from 'vitest';
import { scratchFolder } from '../services/scratch';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** Marks the fuses in Electron's program (published in the project's page on fuses); version and count follow, then one sign a fuse. */
const SENTINEL = 'dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX';
/** Every fuse that is tested stands the wrong way round before. */
const BEFORE = '10110001';
const [OFF, ON] = [...'01'].map((sign) => sign.charCodeAt(0));

/**
 * Packages a small project of the same shape over a dummy in Electron's place, with the real configuration: proves the
 * file list and the fuse states, not that the program runs.
 */
describe.skipIf(process.platform !== 'linux')('a package', () => {
  let asar: string[] = [];
  let fuses: Awaited<ReturnType<typeof getCurrentFuseWire>>;
  beforeAll(async () => {
    const project = await scratchFolder();
    const put = async (path: string, content: string | Uint8Array): Promise<void> => { await mkdir(dirname(join(project, path)), { recursive: true }); await writeFile(join(project, path), content); };
    const manifest = JSON.parse(await readFile(join(ROOT, 'package.json'), 'utf8')) as { name: string; version: string; main: string; description: string };
    await put('package.json', JSON.stringify({ name: manifest.name, version: manifest.version, main: manifest.main, type: 'module', description: manifest.description, author: 'The Lockstead authors', dependencies: {} }));
    await copyFile(join(ROOT, 'electron-builder.yml'), join(project, 'electron-builder.yml'));
    for (const path of ['dist/main/shell.js', 'dist/main/shell.js.map', 'dist/main/preload.cjs', 'dist/main/plan-job.js', 'dist/renderer/index.html', 'assets/fonts/a.ttf', 'assets/demo/works.lockstead', 'assets/demo/make.ts', 'LICENSE',
      'main/shell/app.ts', 'renderer/main.tsx', 'tests/a.test.ts', '.env', 'test-results/trace.zip', 'works.lockstead', 'package-lock.json']) await put(path, 'x');
    await put('electron/electron', Buffer.concat([Buffer.from('head'), Buffer.from(SENTINEL), Buffer.from([1, BEFORE.length]), Buffer.from(BEFORE), Buffer.from('tail')]));
    execFileSync(process.execPath, [join(ROOT, 'node_modules/electron-builder/cli.js'), '--dir', '--linux', '--projectDir', project, '--config', 'electron-builder.yml', `--config.electronDist=${join(project, 'electron')}`],
      { cwd: project, stdio: 'pipe', env: { ...process.env, npm_config_user_agent: 'npm' } });
    const unpacked = join(project, 'dist/packages/linux-unpacked');
    asar = listPackage(join(unpacked, 'resources/app.asar'), { isPack: false });
    fuses = await getCurrentFuseWire(join(unpacked, 'lockstead'));
  }, 60_000);

  it('holds the built program, its fonts and the demo, and nothing else', () => {
    const files = asar.filter((path) => /\.[a-z]+$|LICENSE$/.test(path));
    expect(files.sort()).toEqual(['/LICENSE', '/assets/demo/works.lockstead', '/assets/fonts/a.ttf', '/dist/main/plan-job.js', '/dist/main/preload.cjs', '/dist/main/shell.js', '/dist/renderer/index.html', '/package.json']);
  });

  it.each([
    ['RunAsNode', false], ['EnableNodeOptionsEnvironmentVariable', false], ['EnableNodeCliInspectArguments', false], ['GrantFileProtocolExtraPrivileges', false],
    ['EnableCookieEncryption', true], ['EnableEmbeddedAsarIntegrityValidation', true], ['OnlyLoadAppFromAsar', true],
  ] as const)('has the fuse %s set to %s', (name, on) => {
    expect(fuses.version).toBe(FuseVersion.V1);
    expect(fuses[FuseV1Options[name]]).toBe(on ? ON : OFF);
  });
});
