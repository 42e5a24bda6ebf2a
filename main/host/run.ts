import { spawn } from 'node:child_process';
import { resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { version } from '../../package.json';
import { openAssets } from '../files/assets';
import { stateFolder } from '../files/guard';
import { createServices } from '../services';
import { startHost } from './server';
import type { RunningHost } from './server';

/** A code in an address that is only printed must wait for a person; one that goes straight to a browser need not. */
const PRINTED_MS = 10 * 60_000;
const OPENED_MS = 60_000;
/** The host ends this long after the last page left, unless work is unsaved. */
const IDLE_MS = 15 * 60_000;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { port: { type: 'string', default: '0' }, 'no-open': { type: 'boolean', default: false }, template: { type: 'boolean', default: false } },
});
const port = Number(values.port);
if (!Number.isInteger(port) || port < 0 || port > 65_535 || positionals.length > 1) {
  console.error('usage: [--port NUMBER] [--no-open] [PROJECT.lockstead]');
  process.exit(2);
}

const services = createServices({
  runsIn: 'browser', version, stateFolder: stateFolder(), dialogs: null,
  startPath: positionals[0] === undefined ? null : resolve(positionals[0]), startIsTemplate: values.template,
});
// A project named on the command line that cannot be opened is told here, where it was named.
const first = await services.calls.start({});
if (!first.ok) {
  console.error(`${first.problem.what} ${first.problem.todo}`);
  process.exit(2);
}

let host: RunningHost;
try {
  const readAsset = await openAssets(fileURLToPath(new URL('../renderer', import.meta.url)));
  host = await startHost({ services: services.calls, onProgress: services.onProgress, readAsset, port });
} catch (error) {
  const code = error instanceof Error && 'code' in error ? error.code : '';
  console.error(code === 'EADDRINUSE' ? `Port ${port} is taken. Name another with --port, or leave it out.` : 'The program could not start: is dist/ built? Run npm run build.');
  process.exit(1);
}

const openHere = !values['no-open'] && hasDisplay();
const tell = (lifetime: number): string => {
  const address = host.address(lifetime);
  console.log(`Lockstead runs at ${address}`);
  return address;
};
const address = tell(openHere ? OPENED_MS : PRINTED_MS);
if (openHere) openBrowser(address);
if (process.stdin.isTTY) {
  console.log('Press Enter for a new address, Ctrl+C to stop.');
  createInterface({ input: process.stdin }).on('line', () => { tell(PRINTED_MS); });
}

let lastSeen = Date.now();
setInterval(() => {
  if (host.pages() > 0) lastSeen = Date.now();
  else if (Date.now() - lastSeen > IDLE_MS && !services.hasUnsavedWork()) { console.log('No page is open any more; stopped.'); stop(); }
}, 30_000).unref();

function stop(): void { void host.close().then(() => { process.exit(0); }); }
process.on('SIGINT', stop);
process.on('SIGTERM', stop);

/** Browsers refuse to run as root without giving up their sandbox; then the address is only printed. */
function hasDisplay(): boolean {
  if (process.platform === 'win32' || process.platform === 'darwin') return true;
  return process.getuid?.() !== 0 && Boolean(process.env['DISPLAY'] ?? process.env['WAYLAND_DISPLAY']);
}

function openBrowser(url: string): void {
  const [command, args] = process.platform === 'win32' ? ['rundll32', ['url.dll,FileProtocolHandler', url]] as const
    : process.platform === 'darwin' ? ['open', [url]] as const : ['xdg-open', [url]] as const;
  // When no browser can be opened, the printed address is still there.
  spawn(command, args, { stdio: 'ignore', detached: true }).on('error', () => undefined).unref();
}
