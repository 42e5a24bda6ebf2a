import type { App, BrowserWindow as RealWindow, ContextBridge, Dialog, IpcMain, IpcRenderer, Protocol, Session, WebContents } from 'electron';
import { vi } from 'vitest';

type Handler = (...args: never[]) => unknown;
/** Only names that the published types know may stand in the fake. */
type Names<T> = Partial<Record<keyof T, unknown>>;
const noop = (): void => undefined;

/** Listeners by event name, with a way to fire them. */
export class Emitter {
  readonly handlers = new Map<string, Handler[]>();
  on = vi.fn((event: string, handler: Handler) => { this.handlers.set(event, [...(this.handlers.get(event) ?? []), handler]); return this; });
  once = this.on;
  fire(event: string, ...args: unknown[]): unknown[] { return (this.handlers.get(event) ?? []).map((handler) => (handler as (...all: unknown[]) => unknown)(...args)); }
}

export interface FakeElectron {
  readonly order: string[];
  readonly app: Emitter & { isPackaged: boolean };
  readonly session: { defaultSession: FakeSession };
  readonly windows: FakeWindow[];
  readonly handled: Map<string, (event: unknown, name: unknown, input: unknown) => Promise<unknown>>;
  readonly menus: { label?: string; submenu: { label?: string; role?: string; accelerator?: string; registerAccelerator?: boolean; click?: () => void }[] }[][];
  readonly dialog: { showOpenDialog: ReturnType<typeof vi.fn>; showSaveDialog: ReturnType<typeof vi.fn>; showMessageBoxSync: ReturnType<typeof vi.fn> };
  readonly utilityProcess: { fork: ReturnType<typeof vi.fn> };
  readonly exposed: Map<string, unknown>;
  readonly ipcRenderer: Emitter & { invoke: ReturnType<typeof vi.fn>; removeListener: ReturnType<typeof vi.fn> };
  readonly module: Record<string, unknown>;
}

export class FakeContents extends Emitter implements Names<Pick<WebContents, 'send' | 'setWindowOpenHandler' | 'on'>> {
  send = vi.fn();
  setWindowOpenHandler = vi.fn();
}
export class FakeWindow extends Emitter implements Names<Pick<RealWindow, 'webContents' | 'loadURL' | 'show' | 'focus' | 'restore' | 'isMinimized'>> {
  webContents = new FakeContents();
  loadURL = vi.fn(async (_url: string) => undefined);
  show = vi.fn(); focus = vi.fn(); restore = vi.fn(); isMinimized = vi.fn(() => true);
  constructor(readonly options: { webPreferences: Record<string, unknown> }) { super(); }
}
export class FakeSession extends Emitter implements Names<Pick<Session, 'protocol' | 'setPermissionRequestHandler' | 'setPermissionCheckHandler' | 'setDevicePermissionHandler' | 'setSpellCheckerEnabled' | 'webRequest'>> {
  protocol = { handle: vi.fn() };
  setPermissionRequestHandler = vi.fn(); setPermissionCheckHandler = vi.fn(); setDevicePermissionHandler = vi.fn(); setSpellCheckerEnabled = vi.fn();
  webRequest = { onBeforeRequest: vi.fn() };
}

/**
 * A stand-in for the parts of Electron that the shell touches, recording what was asked of them. Every name in it
 * must exist in the published types, so that a call Electron does not have cannot pass here.
 */
export function makeFakeElectron(options: { isPackaged?: boolean; hasLock?: boolean; userData: string }): FakeElectron {
  const order: string[] = [];
  const windows: FakeWindow[] = [];
  const handled: FakeElectron['handled'] = new Map();
  const menus: FakeElectron['menus'] = [];
  const exposed = new Map<string, unknown>();
  const defaultSession = new FakeSession();
  const app = Object.assign(new Emitter(), {
    isPackaged: options.isPackaged ?? true,
    enableSandbox: vi.fn(() => { order.push('enableSandbox'); }),
    requestSingleInstanceLock: vi.fn(() => options.hasLock ?? true),
    whenReady: vi.fn(() => { order.push('whenReady'); return Promise.resolve(); }),
    getPath: vi.fn((_name: string) => options.userData),
    quit: vi.fn(() => { order.push('quit'); }),
  } satisfies Names<App>);
  const ipcRenderer = Object.assign(new Emitter(), { invoke: vi.fn(async () => ({ ok: true, value: {} })), removeListener: vi.fn() } satisfies Names<IpcRenderer>);
  const dialog = { showOpenDialog: vi.fn(), showSaveDialog: vi.fn(), showMessageBoxSync: vi.fn(() => 1) } satisfies Names<Dialog>;
  const utilityProcess = { fork: vi.fn() };
  class BrowserWindow extends FakeWindow {
    constructor(given: { webPreferences: Record<string, unknown> }) { super(given); windows.push(this); app.fire('web-contents-created', {}, this.webContents); }
  }
  const Menu = { buildFromTemplate: vi.fn((template: FakeElectron['menus'][number]) => template), setApplicationMenu: vi.fn((menu: FakeElectron['menus'][number]) => { menus.push(menu); }) };
  const protocol = { registerSchemesAsPrivileged: vi.fn(() => { order.push('scheme'); }) } satisfies Names<Protocol>;
  const ipcMain = { handle: vi.fn((channel: string, handler: (event: unknown, name: unknown, input: unknown) => Promise<unknown>) => { handled.set(channel, handler); }), on: vi.fn(noop) } satisfies Names<IpcMain>;
  const contextBridge = { exposeInMainWorld: vi.fn((name: string, value: unknown) => { exposed.set(name, value); }) } satisfies Names<ContextBridge>;
  const session = { defaultSession };
  return { order, app, session, windows, handled, menus, dialog, utilityProcess, exposed, ipcRenderer,
    module: { app, session, BrowserWindow, Menu, protocol, ipcMain, dialog, utilityProcess, contextBridge, ipcRenderer } satisfies Names<typeof import('electron')> };
}
