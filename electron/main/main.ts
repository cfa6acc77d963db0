import { app, BrowserWindow, ipcMain, Menu, powerMonitor, protocol, session, shell } from 'electron';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { notebookPath } from '../services/notebook-path.ts';
import { startProgram, type RunningProgram } from '../services/start-program.ts';
import { pageOrigin, serveIpc, windowClient } from '../transport/ipc.ts';
import { pageApp } from '../transport/page.ts';
import { guardContents, guardSession } from './guards.ts';
import { menuTemplate } from './menu.ts';
import { windowOptions } from './window-options.ts';

// Before anything else: a scheme gets its rights only now.
protocol.registerSchemesAsPrivileged([
  { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true } },
]);

const folder = fileURLToPath(new URL('../renderer', import.meta.url));
let running: RunningProgram | null = null;

async function open(): Promise<void> {
  // Chromium adds switches of its own in front of ours.
  const { values } = parseArgs({
    args: process.argv.slice(1),
    options: { file: { type: 'string' } },
    strict: false,
  });
  const started = await startProgram({
    path: notebookPath(typeof values.file === 'string' ? values.file : undefined),
    keepsCopies: true,
    checksAtStart: true,
    log: (request, error) => process.stderr.write(`${request}: ${String(error)}\n`),
  });
  running = started;
  const page = pageApp({
    folder,
    jobFile: (jobId, client) => started.jobFile(jobId, client),
    attachment: (which, client) => started.attachment(which, client),
    clientOf: () => windowClient,
    // Asking goes over the one channel, which knows its sender.
    dispatch: null,
  });
  protocol.handle('app', (request) =>
    new URL(request.url).origin === pageOrigin || request.url.startsWith(`${pageOrigin}/`)
      ? page.fetch(request)
      : new Response('There is nothing here.', { status: 404 }),
  );
  guardSession(session.defaultSession);
  serveIpc(ipcMain, started.dispatch);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform)));
  // Whoever locks the computer leaves the notebook as well.
  powerMonitor.on('lock-screen', () => void started.dispatch('session.close', {}, { client: windowClient }));
  await openWindow();
}

async function openWindow(): Promise<void> {
  const window = new BrowserWindow(windowOptions);
  window.once('ready-to-show', () => window.show());
  await window.loadURL(`${pageOrigin}/`);
}

app.on('web-contents-created', (_event, contents) => guardContents(contents, shell));
app.on('window-all-closed', () => app.quit());
app.on('second-instance', () => {
  const [window] = BrowserWindow.getAllWindows();
  if (window?.isMinimized() === true) window.restore();
  window?.focus();
});
// The file is closed, and the trail told, before the process goes.
app.on('before-quit', (event) => {
  if (running === null) return;
  event.preventDefault();
  const last = running;
  running = null;
  void last.stop().finally(() => app.quit());
});

if (app.requestSingleInstanceLock()) {
  app
    .whenReady()
    .then(open)
    .catch((error: unknown) => {
      process.stderr.write(`Fairleaf could not start: ${String(error)}\n`);
      app.exit(1);
    });
} else app.quit();
