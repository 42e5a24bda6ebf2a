import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { CONTENT_POLICY, PAGE_HEADERS } from '../../main/host/headers';
import { scratchFolder } from '../services/scratch';
import { Emitter, makeFakeElectron } from './fake-electron';
import type { FakeContents, FakeElectron, FakeWindow } from './fake-electron';

let electron: FakeElectron;
vi.mock('electron', () => new Proxy({}, { get: (_target, name) => electron.module[String(name)], has: () => true, ownKeys: () => Object.keys(electron.module), getOwnPropertyDescriptor: () => ({ enumerable: true, configurable: true }) }));

// The shell reads the built window from beside itself; for these tests any page will do.
vi.mock('../../main/files/assets', () => ({ openAssets: async () => async (path: string) => (path === '/' || path === '/a.js' ? { media: 'text/html', bytes: new Uint8Array([60]) } : null) }));

async function startShell(options: { isPackaged?: boolean; hasLock?: boolean; argv?: string[] } = {}): Promise<FakeElectron> {
  electron = makeFakeElectron({ ...options, userData: await scratchFolder() });
  vi.resetModules();
  const argv = process.argv;
  process.argv = options.argv ?? ['lockstead'];
  try {
    await import('../../main/shell/app');
    await vi.waitFor(() => { if (options.hasLock !== false) expect(electron.windows).toHaveLength(1); });
  } finally { process.argv = argv; }
  return electron;
}
const theWindow = (): FakeWindow => electron.windows[0] as FakeWindow;
const contents = (): FakeContents => theWindow().webContents;
/** Fires an event of the page and tells whether it was prevented. */
const isPrevented = (event: string, details: Record<string, unknown> = {}): boolean => {
  const preventDefault = vi.fn();
  contents().fire(event, { ...details, preventDefault });
  return preventDefault.mock.calls.length > 0;
};
const ownFrame = { url: 'app://ui/', parent: null };
const call = (name: unknown, input: unknown, senderFrame: unknown = ownFrame): Promise<unknown> => {
  const handler = electron.handled.get('lockstead:call');
  if (!handler) throw new Error('nobody answers');
  return handler({ senderFrame }, name, input);
};

describe('the window', () => {
  beforeEach(async () => { await startShell(); });

  it.each([
    ['contextIsolation', true], ['sandbox', true], ['nodeIntegration', false], ['nodeIntegrationInWorker', false], ['nodeIntegrationInSubFrames', false], ['webSecurity', true],
    ['allowRunningInsecureContent', false], ['experimentalFeatures', false], ['webviewTag', false], ['plugins', false], ['navigateOnDragDrop', false], ['spellcheck', false], ['devTools', false],
  ])('has %s set to %s, not left to a default', (setting, value) => { expect(theWindow().options.webPreferences[setting]).toBe(value); });

  it('loads one preload, built as CommonJS, and our own page', () => {
    expect(theWindow().options.webPreferences['preload']).toMatch(/preload\.cjs$/);
    expect(theWindow().loadURL.mock.calls).toEqual([['app://ui/']]);
  });

  it('sandboxes every page and names its scheme before the program is ready', () => {
    expect(electron.order.slice(0, 3)).toEqual(['enableSandbox', 'scheme', 'whenReady']);
    expect((electron.module['protocol'] as { registerSchemesAsPrivileged: { mock: { calls: unknown[] } } }).registerSchemesAsPrivileged.mock.calls).toEqual([[[{ scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true } }]]]);
  });
});

describe('developer tools', () => {
  it('are there while developing and not in a package', async () => {
    await startShell({ isPackaged: false, argv: ['electron', '.'] });
    expect(theWindow().options.webPreferences['devTools']).toBe(true);
    expect(JSON.stringify(electron.menus)).toContain('toggleDevTools');
    await startShell();
    expect(JSON.stringify(electron.menus)).not.toMatch(/toggleDevTools|reload/);
  });
});

describe('a page that wants to leave', () => {
  beforeEach(async () => { await startShell(); });
  it.each(['https://example.com/', 'file:///etc/passwd', 'app://other/', 'app://ui.evil/', 'app://ui@evil/', 'javascript:alert(1)', 'data:text/html,x', 'http://app//ui/', 'not a url'])('is not let go to %s', (url) => {
    expect(isPrevented('will-navigate', { url })).toBe(true);
    expect(isPrevented('will-frame-navigate', { url, isMainFrame: true })).toBe(true);
  });
  it('may load itself again, but no frame inside it may go anywhere', () => {
    expect(isPrevented('will-navigate', { url: 'app://ui/' })).toBe(false);
    expect(isPrevented('will-frame-navigate', { url: 'app://ui/', isMainFrame: true })).toBe(false);
    expect(isPrevented('will-frame-navigate', { url: 'app://ui/', isMainFrame: false })).toBe(true);
  });
  it('is not redirected, opens no window and holds no web view', () => {
    expect(isPrevented('will-redirect', { url: 'app://ui/' })).toBe(true);
    expect(isPrevented('will-attach-webview')).toBe(true);
    const decide = contents().setWindowOpenHandler.mock.calls[0]?.[0] as (details: { url: string }) => unknown;
    expect(decide({ url: 'app://ui/' })).toEqual({ action: 'deny' });
  });
});

describe('the session', () => {
  beforeEach(async () => { await startShell(); });
  it('denies every permission, asked for or checked, and every device', () => {
    const session = electron.session.defaultSession;
    const ask = session.setPermissionRequestHandler.mock.calls[0]?.[0] as (contents: unknown, permission: string, decide: (yes: boolean) => void) => void;
    const answers: boolean[] = [];
    for (const permission of ['media', 'geolocation', 'clipboard-read', 'openExternal', 'fileSystem']) ask(null, permission, (yes) => answers.push(yes));
    expect(answers).toEqual([false, false, false, false, false]);
    expect((session.setPermissionCheckHandler.mock.calls[0]?.[0] as () => boolean)()).toBe(false);
    expect((session.setDevicePermissionHandler.mock.calls[0]?.[0] as () => boolean)()).toBe(false);
    expect(session.setSpellCheckerEnabled.mock.calls).toEqual([[false]]);
  });
  it('fetches nothing but the own files and pictures the page made', () => {
    const filter = electron.session.defaultSession.webRequest.onBeforeRequest.mock.calls[0]?.[0] as (details: { url: string }, decide: (answer: { cancel: boolean }) => void) => void;
    const isCancelled = (url: string): boolean => { let cancel = false; filter({ url }, (answer) => { cancel = answer.cancel; }); return cancel; };
    for (const url of ['https://example.com/x', 'http://127.0.0.1/', 'ws://127.0.0.1/', 'file:///etc/passwd', 'app://other/x', 'blob:https://example.com/1', 'devtools://devtools/x', 'chrome://gpu']) expect(isCancelled(url), url).toBe(true);
    for (const url of ['app://ui/', 'app://ui/assets/a.js', 'blob:app://ui/3f', 'data:image/png;base64,AA']) expect(isCancelled(url), url).toBe(false);
  });
  it('downloads nothing', () => {
    const preventDefault = vi.fn();
    electron.session.defaultSession.fire('will-download', { preventDefault });
    expect(preventDefault).toHaveBeenCalledOnce();
  });
  it('serves own files with the content policy of the browser host, and nothing else', async () => {
    const [scheme, handler] = electron.session.defaultSession.protocol.handle.mock.calls[0] as [string, (request: Request) => Promise<Response>];
    expect(scheme).toBe('app');
    const get = (url: string, method = 'GET') => handler({ url, method } as Request);
    const page = await get('app://ui/');
    expect(page.status).toBe(200);
    expect(page.headers.get('content-security-policy')).toBe(CONTENT_POLICY);
    for (const [name, value] of Object.entries(PAGE_HEADERS)) expect(page.headers.get(name)).toBe(value);
    for (const url of ['app://other/', 'app://ui/none', 'app://ui/%2e%2e/secret', 'app://ui/..%2fsecret', 'file:///etc/passwd']) expect((await get(url)).status, url).toBe(404);
    expect((await get('app://ui/', 'POST')).status).toBe(404);
  });
});

describe('calls of the window', () => {
  beforeEach(async () => { await startShell(); });
  it('are answered for the top frame of the own page', async () => {
    expect(await call('start', {})).toMatchObject({ ok: true, value: { runsIn: 'window', opened: { name: 'Untitled', recovered: null } } });
  });
  it.each([
    ['a frame inside the page', { url: 'app://ui/', parent: {} }], ['a foreign page', { url: 'https://example.com/', parent: null }],
    ['a page whose address only begins like ours', { url: 'app://ui.evil/', parent: null }], ['a file', { url: 'file:///ui/', parent: null }], ['a frame that is gone', null],
  ])('from %s are refused before any work', async (_, frame) => {
    expect(await call('newProject', {}, frame)).toMatchObject({ ok: false, problem: { code: 'not-allowed' } });
    expect(await call('start', {})).toMatchObject({ value: { opened: { name: 'Untitled' } } });
  });
  it('that are not in the table, or whose argument does not fit, are refused in words', async () => {
    for (const name of ['shutdown', '__proto__', 'constructor', 7, null]) expect(await call(name, {})).toMatchObject({ ok: false, problem: { code: 'unknown-call' } });
    expect(await call('openProject', { file: '../../etc/passwd' })).toMatchObject({ ok: false, problem: { code: 'bad-call' } });
    expect(await call('offerFile', { name: 'a', bytes: [1, 2] })).toMatchObject({ ok: false, problem: { code: 'bad-call' } });
  });
  it('reach the system only through its dialogs: the window names no path', async () => {
    const path = join(await scratchFolder(), 'list.csv');
    await writeFile(path, 'tag,hp\n');
    electron.dialog.showOpenDialog.mockResolvedValueOnce({ canceled: false, filePaths: [path] });
    const picked = await call('pickFile', { purpose: 'list' });
    expect(picked).toMatchObject({ ok: true, value: { name: 'list.csv', size: 7 } });
    expect(JSON.stringify(picked)).not.toContain(path.slice(0, -'list.csv'.length));
    electron.dialog.showOpenDialog.mockResolvedValueOnce({ canceled: true, filePaths: [] });
    expect(await call('pickFile', { purpose: 'list' })).toEqual({ ok: true, value: null });
    electron.dialog.showSaveDialog.mockResolvedValueOnce({ canceled: false, filePath: join(await scratchFolder(), 'none', 'a.pdf') });
    expect(await call('saveFile', { name: 'a.pdf', media: 'application/pdf', bytes: new Uint8Array(3) })).toMatchObject({ ok: false, problem: { code: 'missing-file' } });
  });
});

describe('the preload', () => {
  it('gives the page one frozen object of functions on the channels that main hears, and no way to the sender', async () => {
    electron = makeFakeElectron({ userData: '' });
    vi.resetModules();
    await import('../../main/host/preload');
    const { CHANNEL } = await import('../../main/host/ipc');
    expect([...electron.exposed.keys()]).toEqual(['lockstead']);
    const bridge = electron.exposed.get('lockstead') as { call: (name: string, input: unknown) => Promise<unknown>; onProgress: (listener: (message: unknown) => void) => () => void; onCommand: (listener: (message: unknown) => void) => () => void };
    expect(Object.isFrozen(bridge)).toBe(true);
    expect(Object.entries(bridge).map(([name, part]) => [name, typeof part])).toEqual([['call', 'function'], ['onProgress', 'function'], ['onCommand', 'function']]);
    await bridge.call('start', {});
    expect(electron.ipcRenderer.invoke.mock.calls).toEqual([[CHANNEL.call, 'start', {}]]);
    const heard: unknown[][] = [];
    const stop = bridge.onProgress((...all: unknown[]) => heard.push(all));
    bridge.onCommand((...all: unknown[]) => heard.push(all));
    electron.ipcRenderer.fire(CHANNEL.progress, { sender: 'secret' }, 'half');
    electron.ipcRenderer.fire(CHANNEL.command, { sender: 'secret' }, 'save');
    expect(heard).toEqual([['half'], ['save']]);
    stop();
    expect(electron.ipcRenderer.removeListener).toHaveBeenCalledOnce();
  });
});

describe('the menu', () => {
  it('names its own commands, sends them to the page and leaves the keys to it', async () => {
    await startShell();
    const items = electron.menus[0]?.flatMap((menu) => menu.submenu) ?? [];
    for (const item of items.filter((entry) => entry.click)) {
      item.click?.();
      if (item.accelerator !== undefined) expect(item.registerAccelerator).toBe(false);
    }
    expect(contents().send.mock.calls.map(([channel, command]) => [channel, command])).toEqual(['new-project', 'open-project', 'save', 'save-as', 'export-pdf', 'undo', 'redo'].map((command) => ['lockstead:command', command]));
  });
});

describe('the program', () => {
  it('runs once: a second start hands over and ends', async () => {
    await startShell({ hasLock: false });
    expect(electron.order).toContain('quit');
    expect(electron.order).not.toContain('whenReady');
    await startShell();
    electron.app.fire('second-instance');
    expect([theWindow().restore.mock.calls.length, theWindow().focus.mock.calls.length]).toEqual([1, 1]);
  });
  it('takes the project from its command line, packaged or not, and passes over switches', async () => {
    const project = join(await scratchFolder(), 'none.lockstead');
    await startShell({ argv: ['lockstead', '--some-switch', project] });
    expect(await call('start', {})).toMatchObject({ ok: false, problem: { code: 'missing-file' } });
    await startShell({ isPackaged: false, argv: ['electron', '.', project] });
    expect(await call('start', {})).toMatchObject({ ok: false, problem: { code: 'missing-file' } });
    await startShell({ isPackaged: false, argv: ['electron', '.'] });
    expect(await call('start', {})).toMatchObject({ ok: true, value: { opened: { name: 'Untitled' } } });
  });
  it('asks before unsaved work is left, and stays unless told to leave', async () => {
    await startShell();
    electron.dialog.showMessageBoxSync.mockReturnValueOnce(1);
    expect(isPrevented('will-prevent-unload')).toBe(false);
    electron.dialog.showMessageBoxSync.mockReturnValueOnce(0);
    expect(isPrevented('will-prevent-unload')).toBe(true);
  });
  it('reads plans in a utility process with a memory limit', async () => {
    await startShell();
    const { utilityJobs } = await import('../../main/shell/plan-jobs');
    const child = Object.assign(new Emitter(), { postMessage: vi.fn(), kill: vi.fn() });
    electron.utilityProcess.fork.mockReturnValueOnce(child);
    const job = utilityJobs('/x/plan-job.js')(1500);
    expect(electron.utilityProcess.fork.mock.calls).toEqual([['/x/plan-job.js', ['1500'], { serviceName: 'Lockstead plan reader', stdio: 'ignore', allowLoadingUnsignedLibraries: false }]]);
    const heard: unknown[] = [];
    job.listen({ message: (message) => heard.push(message), exit: (signal) => heard.push(signal) });
    job.send({ kind: 'inspect' });
    child.fire('message', { outcome: 1 });
    child.fire('exit', 15);
    child.fire('exit', 1);
    job.kill();
    expect([child.postMessage.mock.calls, heard, child.kill.mock.calls.length]).toEqual([[[{ kind: 'inspect' }]], [{ outcome: 1 }, 'SIGTERM', null], 1]);
  });
});
