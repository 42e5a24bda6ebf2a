import { app, protocol } from 'electron';
import type { Session, WebContents, WebPreferences } from 'electron';
import type { ReadAsset } from '../files/assets';
import { PAGE_HEADERS } from '../host/headers';

export const SCHEME = 'app';
export const HOST = 'ui';
export const WINDOW_URL = `${SCHEME}://${HOST}/`;

/** Only our own page: compared by the URL parser's parts, never by how the text begins. */
export function isOwnPage(url: string): boolean {
  const parsed = URL.canParse(url) ? new URL(url) : null;
  return parsed?.protocol === `${SCHEME}:` && parsed.host === HOST;
}

/** Every setting that keeps the page apart from the machine stands here by name, so that a changed default cannot open it. */
export function safePreferences(preload: string): WebPreferences {
  return {
    preload,
    contextIsolation: true, sandbox: true, nodeIntegration: false, nodeIntegrationInWorker: false, nodeIntegrationInSubFrames: false,
    webSecurity: true, allowRunningInsecureContent: false, experimentalFeatures: false, webviewTag: false, plugins: false, navigateOnDragDrop: false,
    // The checker would fetch word lists from elsewhere.
    spellcheck: false,
    devTools: !app.isPackaged,
  };
}

/** Before the program is ready: the own scheme behaves like a secure web origin, and every page is sandboxed. */
export function prepareScheme(): void {
  app.enableSandbox();
  protocol.registerSchemesAsPrivileged([{ scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } }]);
}

/** Serves the built window under the own scheme, with the headers of the browser host. */
export function serveWindow(target: Session, readAsset: ReadAsset): void {
  target.protocol.handle(SCHEME, async (request) => {
    const asset = isOwnPage(request.url) && request.method === 'GET' ? await readAsset(new URL(request.url).pathname) : null;
    if (!asset) return new Response('404\n', { status: 404, headers: PAGE_HEADERS });
    return new Response(asset.bytes as Uint8Array<ArrayBuffer>, { status: 200, headers: { ...PAGE_HEADERS, 'content-type': asset.media } });
  });
}

/** The page may ask the system for nothing and fetch nothing but the program's own files. */
export function lockSession(target: Session): void {
  target.setPermissionRequestHandler((_contents, _permission, decide) => { decide(false); });
  target.setPermissionCheckHandler(() => false);
  target.setDevicePermissionHandler(() => false);
  target.setSpellCheckerEnabled(false);
  target.on('will-download', (event) => { event.preventDefault(); });
  target.webRequest.onBeforeRequest((details, decide) => { decide({ cancel: !isAllowedRequest(details.url) }); });
}

function isAllowedRequest(url: string): boolean {
  if (isOwnPage(url)) return true;
  const parsed = URL.canParse(url) ? new URL(url) : null;
  if (!parsed) return false;
  // Pictures made by the page itself; the developer tools exist in unpackaged runs only.
  return parsed.protocol === 'data:' || (parsed.protocol === 'blob:' && isOwnPage(parsed.pathname)) || (parsed.protocol === 'devtools:' && !app.isPackaged);
}

/** No contents of any kind leave the own page, open a window or hold a web view. */
export function lockContents(contents: WebContents): void {
  contents.on('will-navigate', (event) => { if (!isOwnPage(event.url)) event.preventDefault(); });
  contents.on('will-redirect', (event) => { event.preventDefault(); });
  contents.on('will-frame-navigate', (event) => { if (!event.isMainFrame || !isOwnPage(event.url)) event.preventDefault(); });
  contents.on('will-attach-webview', (event) => { event.preventDefault(); });
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
}
