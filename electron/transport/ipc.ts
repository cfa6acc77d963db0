import type { IpcMain, IpcMainInvokeEvent } from 'electron';
import { requestBytesOf } from '../../core/contract/parts.ts';
import { askChannel } from '../preload/channel.ts';
import type { Dispatch } from '../services/dispatcher.ts';
import { refuse } from '../services/program.ts';

/** The pages' own origin. */
export const pageOrigin = 'app://fairleaf';

/** There is one window, and so one session. */
export const windowClient = 'window';

/** Serves the one channel, to the main frame of our own pages only. */
export function serveIpc(ipcMain: Pick<IpcMain, 'handle'>, dispatch: Dispatch): void {
  ipcMain.handle(askChannel, async (event: IpcMainInvokeEvent, name: unknown, input: unknown) => {
    if (!isOwnPage(event)) return refuse('not-allowed');
    if (typeof name !== 'string') return refuse('invalid-input', '', { reason: 'unknown-request' });
    if (isTooLong(name, input)) return refuse('invalid-input', '', { reason: 'too-long' });
    return dispatch(name, input, { client: windowClient });
  });
}

/** A frame inside the page, or a page from anywhere else, is not us (Electron security item 17). */
export function isOwnPage({ sender, senderFrame }: IpcMainInvokeEvent): boolean {
  if (senderFrame === null || senderFrame !== sender.mainFrame) return false;
  return senderFrame.url === pageOrigin || senderFrame.url.startsWith(`${pageOrigin}/`);
}

/** The same bound as over HTTP; counted as it would be sent there. */
function isTooLong(name: string, input: unknown): boolean {
  try {
    return Buffer.byteLength(JSON.stringify(input) ?? '', 'utf8') > requestBytesOf(name);
  } catch {
    // Circular or otherwise no JSON: the contract would refuse it too.
    return true;
  }
}
