import { ipcMain } from 'electron';
import type { WebFrameMain } from 'electron';
import type { HostServices } from '../../shared-core/host-api';
import { dispatch } from './dispatch';

export const CHANNEL = { call: 'lockstead:call', progress: 'lockstead:progress', command: 'lockstead:command' } as const;

/**
 * Answers the window's calls. Only the top frame of our own page is heard; name and argument are checked by dispatch
 * before any work. This is the one listener on IPC in the program.
 */
export function answerWindow(services: HostServices, isOwnPage: (url: string) => boolean): void {
  ipcMain.handle(CHANNEL.call, async (event, name: unknown, input: unknown) => {
    if (!isOwnTopFrame(event.senderFrame, isOwnPage)) {
      return { ok: false, problem: { code: 'not-allowed', what: 'A page that is not part of this program asked for something.', todo: 'Close the window and start the program again.' } };
    }
    return dispatch(services, name, input);
  });
}

/** A frame that is gone (null) is no sender either. */
function isOwnTopFrame(frame: WebFrameMain | null, isOwnPage: (url: string) => boolean): boolean {
  return frame !== null && frame.parent === null && isOwnPage(frame.url);
}
