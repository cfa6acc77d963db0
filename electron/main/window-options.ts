import { fileURLToPath } from 'node:url';
import type { BrowserWindowConstructorOptions } from 'electron';

/**
 * The one window's options, as data, so that a test can hold them against Electron's security
 * checklist. What is a default is written out: a default can change.
 */
export const windowOptions: BrowserWindowConstructorOptions = {
  width: 1440,
  height: 900,
  minWidth: 720,
  minHeight: 540,
  show: false,
  title: 'Fairleaf',
  backgroundColor: '#E9E4D8',
  autoHideMenuBar: true,
  webPreferences: {
    preload: fileURLToPath(new URL('./preload.cjs', import.meta.url)),
    nodeIntegration: false,
    nodeIntegrationInWorker: false,
    nodeIntegrationInSubFrames: false,
    contextIsolation: true,
    sandbox: true,
    webSecurity: true,
    allowRunningInsecureContent: false,
    experimentalFeatures: false,
    enableBlinkFeatures: '',
    webviewTag: false,
    navigateOnDragDrop: false,
    safeDialogs: true,
    spellcheck: true,
    devTools: process.env['FAIRLEAF_DEVTOOLS'] === '1',
  },
};
