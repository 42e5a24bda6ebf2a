import { fork } from 'node:child_process';
import { EventEmitter } from 'node:events';
import { readFile } from 'node:fs/promises';
import { register } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Frame, Page } from '@playwright/test';
import { ROOT } from './fixtures';

/**
 * A small stand-in for Electron's interface on a Chromium page: it runs the compiled main and preload as they are, so
 * that faults of wiring, preload and messages show without Electron's program. It proves nothing about the sandbox,
 * context isolation, real dialogs, menus, fuses or packages; tests that use it say 'stand-in' in their names.
 */
export interface StandIn {
  readonly page: Page;
  /** Answers of the system's dialogs, used up in order. */
  readonly dialogs: { open: string[]; save: string[]; leave: number[] };
  readonly menu: () => MenuItem[];
  /** Requests of the page that the session's filter stopped. */
  readonly cancelled: string[];
  close(): void;
}
interface MenuItem { readonly label?: string; readonly submenu?: MenuItem[]; readonly click?: () => void }
type Handle = (event: { senderFrame: { url: string; parent: unknown } }, ...args: unknown[]) => Promise<unknown>;

const REAL = 'app://ui/';
/** A host name under localhost is a secure origin for Chromium, as the own scheme is for Electron. */
const SHOWN = 'http://ui.localhost/';
const toReal = (url: string): string => (url.startsWith(SHOWN) ? REAL + url.slice(SHOWN.length) : url);

/** Bytes do not survive Playwright's JSON, so they travel as base64; runs in the page too, hence without outer names. */
function pack(value: unknown): string {
  return JSON.stringify(value, (_key, item: unknown) => {
    if (!(item instanceof Uint8Array)) return item;
    let binary = '';
    for (let at = 0; at < item.length; at += 8192) binary += String.fromCharCode(...item.subarray(at, at + 8192));
    return { 'base64-bytes': btoa(binary) };
  });
}
function unpack(text: string): unknown {
  return JSON.parse(text, (_key, item: unknown) => {
    if (typeof item !== 'object' || item === null || !('base64-bytes' in item)) return item;
    return Uint8Array.from(atob(String(item['base64-bytes'])), (letter) => letter.charCodeAt(0));
  });
}

let runs = 0;
let isHooked = false;
/** Sends the shell's import of 'electron' to the object of this run; each run has its own copy of the modules. */
function hookElectron(): void {
  if (isHooked) return;
  isHooked = true;
  const names = ['app', 'session', 'protocol', 'BrowserWindow', 'Menu', 'dialog', 'ipcMain', 'utilityProcess'];
  const hook = `export async function resolve(name, context, next) {
    if (name !== 'electron') return next(name, context);
    const run = new URL(context.parentURL).searchParams.get('run');
    return { shortCircuit: true, url: 'data:text/javascript,' + encodeURIComponent('const { ${names.join(', ')} } = globalThis.electronStandIns[' + run + ']; export { ${names.join(', ')} };') };
  }`;
  register(`data:text/javascript,${encodeURIComponent(hook)}`);
}

/**
 * Starts the compiled shell over a page and waits until it loaded its window.
 * @param argv what follows the program on its command line
 */
export async function startShellStandIn(page: Page, stateFolder: string, argv: readonly string[] = []): Promise<StandIn> {
  hookElectron();
  const handles = new Map<string, Handle>();
  const dialogs: StandIn['dialogs'] = { open: [], save: [], leave: [] };
  const cancelled: string[] = [];
  const children: { kill(): void }[] = [];
  let menu: MenuItem[] = [];
  let serve: ((request: { url: string; method: string }) => Promise<Response>) | null = null;
  let filter: ((details: { url: string }, decide: (answer: { cancel?: boolean }) => void) => void) | null = null;
  let loaded: () => void = () => undefined;
  const isLoaded = new Promise<void>((resolve) => { loaded = resolve; });

  const app = Object.assign(new EventEmitter(), { isPackaged: true, enableSandbox: () => undefined, requestSingleInstanceLock: () => true, whenReady: async () => undefined, getPath: () => stateFolder, quit: () => undefined });
  const defaultSession = Object.assign(new EventEmitter(), {
    protocol: { handle: (_scheme: string, handler: typeof serve) => { serve = handler; } },
    setPermissionRequestHandler: () => undefined, setPermissionCheckHandler: () => undefined, setDevicePermissionHandler: () => undefined, setSpellCheckerEnabled: () => undefined,
    webRequest: { onBeforeRequest: (given: typeof filter) => { filter = given; } },
  });
  class BrowserWindow extends EventEmitter {
    webContents = Object.assign(new EventEmitter(), {
      setWindowOpenHandler: () => undefined,
      send: (channel: string, message: unknown) => { void page.evaluate(([to, text]) => { (window as unknown as { hear(channel: string, text: string): void }).hear(to, text); }, [channel, pack(message)] as const).catch(() => undefined); },
    });
    constructor(readonly options: { webPreferences: { preload: string } }) { super(); app.emit('web-contents-created', {}, this.webContents); }
    async loadURL(url: string): Promise<void> {
      await addPreload(page, this.options.webPreferences.preload);
      await page.goto(url.replace(REAL, SHOWN));
      this.emit('ready-to-show');
      loaded();
    }
    show(): void { /* the page is there already */ }
  }
  await page.route('**/*', async (route) => {
    const url = toReal(route.request().url());
    let isCancelled = false;
    filter?.({ url }, (answer) => { isCancelled = answer.cancel === true; });
    if (isCancelled || !serve) { cancelled.push(url); await route.abort(); return; }
    const answer = await serve({ url, method: route.request().method() });
    await route.fulfill({ status: answer.status, headers: Object.fromEntries(answer.headers), body: Buffer.from(await answer.arrayBuffer()) });
  });
  await page.exposeBinding('invokeMain', async ({ frame }: { frame: Frame }, channel: string, text: string) => {
    const handle = handles.get(channel);
    if (!handle) throw new Error(`no handler for ${channel}`);
    return pack(await handle({ senderFrame: { url: toReal(frame.url()), parent: frame.parentFrame() } }, ...(unpack(text) as unknown[])));
  });

  runs += 1;
  const standIns = ((globalThis as { electronStandIns?: Record<number, unknown> }).electronStandIns ??= {});
  standIns[runs] = {
    app, session: { defaultSession }, BrowserWindow,
    protocol: { registerSchemesAsPrivileged: () => undefined },
    Menu: { buildFromTemplate: (template: MenuItem[]) => template, setApplicationMenu: (given: MenuItem[]) => { menu = given; } },
    dialog: {
      showOpenDialog: async () => { const path = dialogs.open.shift(); return { canceled: path === undefined, filePaths: path === undefined ? [] : [path] }; },
      showSaveDialog: async () => { const path = dialogs.save.shift(); return { canceled: path === undefined, filePath: path ?? '' }; },
      showMessageBoxSync: () => dialogs.leave.shift() ?? 1,
    },
    ipcMain: { handle: (channel: string, handle: Handle) => { handles.set(channel, handle); } },
    utilityProcess: { fork: (entry: string, args: string[]) => {
      const child = fork(entry, args, { serialization: 'advanced', stdio: 'ignore' });
      children.push(child);
      return Object.assign(child, { postMessage: (message: object) => { child.send(message, () => undefined); } });
    } },
  };
  const own = process.argv;
  process.argv = ['lockstead', ...argv];
  try { await import(`${pathToFileURL(join(ROOT, 'dist/main/shell.js')).href}?run=${runs}`); await isLoaded; } finally { process.argv = own; }
  return { page, dialogs, cancelled, menu: () => menu, close: () => { app.emit('will-quit'); for (const child of children) child.kill(); } };
}

/** Runs the compiled preload in the top frame, with the two things it asks Electron for. */
async function addPreload(page: Page, path: string): Promise<void> {
  const source = await readFile(path, 'utf8');
  await page.addInitScript({ content: `if (window.top === window) {
    const pack = ${pack.toString()}; const unpack = ${unpack.toString()};
    const heard = {};
    window.hear = (channel, text) => { for (const listener of heard[channel] ?? []) listener({}, unpack(text)); };
    const electron = {
      contextBridge: { exposeInMainWorld: (name, value) => { Object.defineProperty(window, name, { value }); } },
      ipcRenderer: {
        invoke: async (channel, ...args) => unpack(await window.invokeMain(channel, pack(args))),
        on: (channel, listener) => { (heard[channel] ??= new Set()).add(listener); },
        removeListener: (channel, listener) => { heard[channel]?.delete(listener); },
      },
    };
    const module = { exports: {} };
    (function (require, module, exports) { ${source}
    })((name) => { if (name !== 'electron') throw new Error('a sandboxed preload can require only electron'); return electron; }, module, module.exports);
  }` });
}
