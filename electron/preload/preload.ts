import { contextBridge, ipcRenderer } from 'electron';
import { askChannel, bridgeName } from './channel.ts';

// The pages can ask by name and are answered; nothing of Electron itself reaches them.
contextBridge.exposeInMainWorld(bridgeName, {
  ask: (name: unknown, input: unknown): Promise<unknown> =>
    ipcRenderer.invoke(askChannel, String(name), input),
});
