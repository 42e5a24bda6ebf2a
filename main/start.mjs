// npm start: installs and builds what is missing, then opens the tool. Plain JavaScript without dependencies, since it
// runs before anything is installed. Options: [PROJECT.lockstead] [--port NUMBER] [--no-open] [--browser]
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const asked = process.env.INIT_CWD ?? process.cwd();
const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  console.error(`Lockstead needs Node 20.19 or newer; this is ${process.versions.node}.`);
  process.exit(1);
}

const args = process.argv.slice(2);
if (args.includes('--help')) {
  console.log('npm start -- [PROJECT.lockstead] [--port NUMBER] [--no-open] [--browser]\n  --port     port of the loopback address (default: any free one)\n  --no-open  only print the address\n  --browser  use the browser even where the window could open');
  process.exit(0);
}
const inBrowser = args.includes('--browser') || args.includes('--no-open') || args.includes('--port');
const hostArgs = args.filter((arg) => arg !== '--browser').map((arg, i, all) => (arg.startsWith('-') || all[i - 1] === '--port' ? arg : resolve(asked, arg)));
const hasProject = hostArgs.some((arg, i, all) => !arg.startsWith('-') && all[i - 1] !== '--port');
process.chdir(root);

const windows = process.platform === 'win32';
const run = (command, commandArgs) => spawnSync(command, commandArgs, { stdio: 'inherit', shell: windows }).status ?? 1;

const lock = 'node_modules/.package-lock.json';
if (!existsSync(lock) || statSync('package-lock.json').mtimeMs > statSync(lock).mtimeMs + 1000 && installedDiffers()) {
  console.log('Installing what Lockstead needs (once, about a minute) ...');
  if (run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error']) !== 0) { console.error('The installation failed; see above. A network connection is needed once.'); process.exit(1); }
}
if (isStale()) {
  console.log('Building ...');
  if (run(process.execPath, ['main/build.mjs']) !== 0) { console.error('The build failed; see above.'); process.exit(1); }
}

const demo = hasProject ? [] : findDemo();
if (!inBrowser && canShowWindow() && haveElectron()) {
  const status = await openWindow();
  if (status === 0) process.exit(0);
  console.log('The window did not open here; using the browser instead.');
}
const host = spawn(process.execPath, ['dist/main/host.js', ...hostArgs, ...demo], { stdio: 'inherit' });
host.on('exit', (status) => process.exit(status ?? 1));
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => host.kill(signal));

/** A checkout touches the lock without changing it; only a version that is not installed calls for npm. */
function installedDiffers() {
  const wanted = JSON.parse(readFileSync('package-lock.json', 'utf8')).packages;
  const installed = JSON.parse(readFileSync(lock, 'utf8')).packages;
  return Object.entries(wanted).some(([path, entry]) => path !== '' && !entry.optional && installed[path]?.version !== entry.version);
}

/** Whether any source is newer than the last complete build. */
function isStale() {
  if (!existsSync('dist/.built')) return true;
  const built = statSync('dist/.built').mtimeMs;
  const newer = (path) => {
    const state = statSync(path);
    return state.isDirectory() ? readdirSync(path).some((name) => newer(join(path, name))) : state.mtimeMs > built;
  };
  return ['main', 'renderer', 'shared-core', 'assets/fonts', 'package.json'].some((path) => existsSync(path) && newer(path));
}

/** The demo is opened as a copy, so that trying things out never changes it. */
function findDemo() {
  const file = existsSync('assets/demo') ? readdirSync('assets/demo').find((name) => name.endsWith('.lockstead')) : undefined;
  return file === undefined ? [] : ['--template', resolve('assets/demo', file)];
}

function canShowWindow() {
  if (windows || process.platform === 'darwin') return true;
  // Root would have to give up the window's sandbox, which is not done.
  return process.getuid() !== 0 && Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY);
}

/** Whether Electron's program is there or can be had soon. A failed try is not repeated for a day. */
function haveElectron() {
  const there = () => existsSync('node_modules/electron/path.txt') && existsSync(join('node_modules/electron/dist', readFileSync('node_modules/electron/path.txt', 'utf8').trim()));
  if (process.env.ELECTRON_OVERRIDE_DIST_PATH || there()) return true;
  const missed = 'dist/.no-electron';
  if (existsSync(missed) && Date.now() - statSync(missed).mtimeMs < 86_400_000) return false;
  if (!existsSync('node_modules/electron/install.js')) return false;
  console.log('Fetching the window program (at most 40 s; the browser is used otherwise) ...');
  spawnSync(process.execPath, ['node_modules/electron/install.js'], { stdio: 'ignore', timeout: 40_000 });
  if (!there()) writeFileSync(missed, '');
  return there();
}

function electronPath() {
  const name = existsSync('node_modules/electron/path.txt') ? readFileSync('node_modules/electron/path.txt', 'utf8').trim() : windows ? 'electron.exe' : 'electron';
  return join(process.env.ELECTRON_OVERRIDE_DIST_PATH || 'node_modules/electron/dist', name);
}

/** Resolves with 0 when the window was used; a program that ends in its first seconds with an error never showed one. */
function openWindow() {
  const started = Date.now();
  return new Promise((done) => {
    const child = spawn(electronPath(), ['.', ...hostArgs, ...demo], { stdio: 'inherit' });
    child.on('error', () => done(1));
    child.on('exit', (status) => done(status === 0 || Date.now() - started > 8000 ? 0 : 1));
  });
}
