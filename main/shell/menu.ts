import { Menu } from 'electron';
import type { MenuItemConstructorOptions } from 'electron';
import type { WindowCommand } from '../../shared-core/host-api';

/**
 * The menu bar. Own commands are sent to the page, which does them the same way as for its keys; the keys are shown here
 * but heard by the page (registerAccelerator false), so that they mean the same in the browser.
 */
export function setMenu(send: (command: WindowCommand) => void, isPackaged: boolean): void {
  const item = (label: string, command: WindowCommand, accelerator?: string): MenuItemConstructorOptions => ({
    label, ...(accelerator === undefined ? {} : { accelerator, registerAccelerator: false }), click: () => { send(command); },
  });
  const separator: MenuItemConstructorOptions = { type: 'separator' };
  const template: MenuItemConstructorOptions[] = [
    { label: 'Project', submenu: [
      item('New project', 'new-project'), item('Open project ...', 'open-project', 'CommandOrControl+O'), separator,
      item('Save', 'save', 'CommandOrControl+S'), item('Save under another name ...', 'save-as', 'CommandOrControl+Shift+S'), separator,
      item('Marked-up plan as PDF ...', 'export-pdf', 'CommandOrControl+E'), separator,
      { role: 'quit', label: 'Leave Lockstead' },
    ] },
    { label: 'Change', submenu: [
      item('Undo', 'undo', 'CommandOrControl+Z'), item('Redo', 'redo', 'CommandOrControl+Shift+Z'), separator,
      { role: 'cut', label: 'Cut text' }, { role: 'copy', label: 'Copy text' }, { role: 'paste', label: 'Paste text' },
    ] },
    { label: 'Screen', submenu: [
      { role: 'togglefullscreen', label: 'Whole screen' },
      ...(isPackaged ? [] : [{ role: 'reload', label: 'Load the window again' }, { role: 'toggleDevTools', label: 'Developer tools' }] satisfies MenuItemConstructorOptions[]),
    ] },
  ];
  Menu.setApplicationMenu(Menu.buildFromTemplate(template));
}
