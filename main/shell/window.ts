import { BrowserWindow, dialog } from 'electron';
import { basename } from 'node:path';
import type { Dialogs } from '../services';
import { safePreferences, WINDOW_URL } from './lock-down';

export function openWindow(preload: string): BrowserWindow {
  const window = new BrowserWindow({
    width: 1440, height: 900, minWidth: 900, minHeight: 600, show: false, title: 'Lockstead', backgroundColor: '#f4f1e8', webPreferences: safePreferences(preload),
  });
  window.once('ready-to-show', () => { window.show(); });
  // The page holds back its unloading while work is unsaved; the person decides.
  window.webContents.on('will-prevent-unload', (event) => { if (wantsToLeave(window)) event.preventDefault(); });
  void window.loadURL(WINDOW_URL);
  return window;
}

function wantsToLeave(window: BrowserWindow): boolean {
  const stay = 1;
  return dialog.showMessageBoxSync(window, {
    type: 'question', buttons: ['Leave', 'Stay'], defaultId: stay, cancelId: stay,
    message: 'Some work is not saved.', detail: 'It is kept for recovery and offered again when the project is opened next.',
  }) !== stay;
}

const FILTERS = {
  project: [{ name: 'Lockstead project', extensions: ['lockstead'] }],
  plan: [{ name: 'Plan', extensions: ['png', 'jpg', 'jpeg', 'tif', 'tiff', 'webp', 'svg', 'pdf', 'dxf'] }],
  list: [{ name: 'Equipment list', extensions: ['csv', 'tsv', 'txt', 'xlsx'] }],
};

/** The system's own dialogs, on the window that asks. */
export function windowDialogs(window: () => BrowserWindow | null): Dialogs {
  return {
    openFile: async (purpose) => {
      const parent = window();
      const options = { properties: ['openFile' as const], filters: FILTERS[purpose] };
      const { canceled, filePaths } = await (parent ? dialog.showOpenDialog(parent, options) : dialog.showOpenDialog(options));
      return canceled ? null : filePaths[0] ?? null;
    },
    saveFile: async (suggested) => {
      const parent = window();
      const extension = basename(suggested).split('.').pop() ?? '';
      const options = { defaultPath: suggested, filters: [{ name: extension.toUpperCase(), extensions: [extension] }], properties: ['showOverwriteConfirmation' as const] };
      const { canceled, filePath } = await (parent ? dialog.showSaveDialog(parent, options) : dialog.showSaveDialog(options));
      return canceled || filePath === '' ? null : filePath;
    },
  };
}
