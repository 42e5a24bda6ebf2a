import { host } from '../host-client';
import type { WindowCommand } from '../../shared-core/host-api';
import { store } from '../state/store';
import { exportAs, newProject, openProject, saveProject } from './project-actions';

const DO: Record<WindowCommand, () => void> = {
  'new-project': () => { void newProject(); },
  'open-project': () => { void openProject(); },
  'save': () => { void saveProject(false); },
  'save-as': () => { void saveProject(true); },
  'export-pdf': () => { void exportAs('pdf'); },
  'undo': () => { store.getState().undo(); },
  'redo': () => { store.getState().redo(); },
};

/** Does what the shell's menu asks, the same way as the keys; an open dialog has the first word here too. @returns how to stop */
export function listenForMenu(): () => void {
  return host.onCommand((command) => { if (!document.querySelector('[role="dialog"][data-modal]')) DO[command](); });
}
