import { app, session } from 'electron';
import type { BrowserWindow } from 'electron';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { version } from '../../package.json';
import { endIdleJobs, useJobLauncher as launchJobsWith } from '../exchange/index';
import { openAssets } from '../files/assets';
import { answerWindow, CHANNEL } from '../host/ipc';
import { createServices } from '../services';
import { isOwnPage, lockContents, lockSession, prepareScheme, serveWindow } from './lock-down';
import { setMenu } from './menu';
import { utilityJobs } from './plan-jobs';
import { openWindow, windowDialogs } from './window';

const besideMe = (path: string): string => fileURLToPath(new URL(path, import.meta.url));
let window: BrowserWindow | null = null;

prepareScheme();
app.on('web-contents-created', (_event, contents) => { lockContents(contents); });
app.on('window-all-closed', () => { app.quit(); });
app.on('will-quit', () => { endIdleJobs(); });

if (app.requestSingleInstanceLock()) {
  app.on('second-instance', () => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
  });
  void app.whenReady().then(run);
} else app.quit();

/** Wires the shell: everything below here is checked by its own tests with these same calls. */
async function run(): Promise<void> {
  const { defaultSession } = session;
  lockSession(defaultSession);
  serveWindow(defaultSession, await openAssets(besideMe('../renderer')));
  launchJobsWith(utilityJobs(besideMe('./plan-job.js')));
  const services = createServices({
    runsIn: 'window', version, stateFolder: app.getPath('userData'), dialogs: windowDialogs(() => window), ...startProject(process.argv),
  });
  answerWindow(services.calls, isOwnPage);
  services.onProgress((progress) => { window?.webContents.send(CHANNEL.progress, progress); });
  setMenu((command) => { window?.webContents.send(CHANNEL.command, command); }, app.isPackaged);
  window = openWindow(besideMe('./preload.cjs'));
  window.on('closed', () => { window = null; });
}

/** Unpackaged, the first argument is the program's folder. Switches of the platform are passed over. */
function startProject(argv: readonly string[]): { startPath: string | null; startIsTemplate: boolean } {
  const own = argv.slice(app.isPackaged ? 1 : 2);
  const path = own.find((argument) => !argument.startsWith('-'));
  return { startPath: path === undefined ? null : resolve(path), startIsTemplate: own.includes('--template') };
}
