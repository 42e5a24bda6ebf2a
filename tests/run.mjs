// One command that proves a checkout: sets up what is missing, then lint, types, layers, unit and property tests,
// build, browser and document tests. '--quick' leaves out the build and the browser.
import { spawn, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const root = new URL('..', import.meta.url).pathname;
process.chdir(root);
const quick = process.argv.includes('--quick');
const run = (command, args, options = {}) => spawnSync(command, args, { stdio: 'inherit', ...options }).status ?? 1;
const has = (command) => spawnSync('sh', ['-c', `command -v ${command}`], { stdio: 'ignore' }).status === 0;

if (!existsSync('node_modules/.package-lock.json') && run('npm', ['ci', '--no-audit', '--no-fund']) !== 0) process.exit(1);

const results = [];
const step = (name, command, args) => {
  console.log(`\n== ${name}`);
  const started = Date.now();
  const ok = run(command, args) === 0;
  results.push({ name, ok });
  console.log(`== ${name}: ${ok ? 'passed' : 'FAILED'} in ${((Date.now() - started) / 1000).toFixed(0)} s`);
  return ok;
};

/** Steps that use one processor each, side by side; each says its part when it is done. */
const besides = (...names) => Promise.all(names.map((name) => new Promise((resolve) => {
  const started = Date.now();
  const child = spawn('npm', ['run', '--silent', name], { stdio: ['ignore', 'pipe', 'pipe'] });
  const said = [];
  child.stdout.on('data', (part) => said.push(part));
  child.stderr.on('data', (part) => said.push(part));
  const done = (ok) => {
    results.push({ name, ok });
    console.log(`\n== ${name}\n${Buffer.concat(said).toString()}== ${name}: ${ok ? 'passed' : 'FAILED'} in ${((Date.now() - started) / 1000).toFixed(0)} s`);
    resolve();
  };
  child.on('error', (error) => { said.push(Buffer.from(`${error.message}\n`)); done(false); });
  child.on('close', (status) => { done(status === 0); });
})));

await besides('lint', 'types', 'layers');
step('unit and property tests', 'npm', ['run', '--silent', 'unit']);
if (!quick) {
  const built = step('build', 'npm', ['run', '--silent', 'build']);
  const browser = process.env.LOCKSTEAD_CHROMIUM ?? ['chromium', 'chromium-browser', 'google-chrome'].find(has);
  if (!browser) { console.error('Browser tests need Chromium: install the package chromium, or name one in LOCKSTEAD_CHROMIUM.'); results.push({ name: 'browser tests', ok: false }); }
  else if (built) step('browser tests', 'npm', ['run', '--silent', 'app']);
}
const failed = results.filter((r) => !r.ok);
for (const { name } of failed) console.error(`failed: ${name}`);
console.log(`${results.length - failed.length} passed, ${failed.length} failed`);
process.exit(failed.length > 0 ? 1 : 0);
