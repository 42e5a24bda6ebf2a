import { contextBridge, ipcRenderer } from 'electron';

/**
 * All that the window gets: one frozen object of functions. The channel names are written out because a sandboxed
 * preload is a single file that can load nothing of ours; a test holds them equal to main/host/ipc.ts.
 */
const hear = (channel: string) => (listener: (message: unknown) => void): (() => void) => {
  // The event itself stays here: it would give the page a way to the sender.
  const heard = (_event: unknown, message: unknown): void => { listener(message); };
  ipcRenderer.on(channel, heard);
  return () => { ipcRenderer.removeListener(channel, heard); };
};

contextBridge.exposeInMainWorld('lockstead', Object.freeze({
  call: (name: string, input: unknown): Promise<unknown> => ipcRenderer.invoke('lockstead:call', name, input),
  onProgress: hear('lockstead:progress'),
  onCommand: hear('lockstead:command'),
}));
