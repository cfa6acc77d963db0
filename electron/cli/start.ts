import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { storageSentence } from '../../core/wording/services.ts';
import { offerAddresses } from '../host/offer-addresses.ts';
import { startHost, type RunningHost } from '../host/start-host.ts';
import { notebookPath } from '../services/notebook-path.ts';
import { defaultBrowser, findBrowser, hasDisplay, windowArguments } from './find-browser.ts';
import { findElectron } from './find-electron.ts';

/**
 * `npm start [-- --file PATH] [--port N] [--fetch-electron] [--no-window]`: the desktop window where Electron's program is there, else the
 * same pages in a window of an installed browser.
 */
const root = fileURLToPath(new URL('../..', import.meta.url));
const { values } = parseArgs({
  options: {
    file: { type: 'string' },
    port: { type: 'string', default: '0' },
    'fetch-electron': { type: 'boolean', default: false },
    'no-window': { type: 'boolean', default: false },
  },
});

function build(): void {
  const isBuilt = ['out/renderer/index.html', 'out/electron/main.js', 'out/electron/preload.cjs'].every(
    (file) => existsSync(join(root, file)),
  );
  if (isBuilt) return;
  console.log('Building the pages; this happens once and takes about half a minute.');
  for (const config of ['renderer', 'electron', 'electron/preload']) {
    const vite = join(root, 'node_modules', 'vite', 'bin', 'vite.js');
    const done = spawnSync(
      process.execPath,
      [vite, 'build', '-c', join(root, config, 'vite.config.ts'), '--logLevel', 'error'],
      { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] },
    );
    if (done.status !== 0) {
      console.error('The pages could not be built. Run “npm ci” and try again.');
      process.exit(1);
    }
  }
}

function fetchElectron(): void {
  console.log('Fetching Electron’s program, about 100 MB.');
  spawnSync(process.execPath, [join(root, 'node_modules', 'electron', 'install.js')], { stdio: 'inherit' });
}

function runElectron(program: string, path: string): void {
  const child = spawn(program, [root, '--file', path], { stdio: 'inherit' });
  child.on('error', (error) => {
    console.error(`Electron’s program does not run here (${error.message}).`);
    void runInBrowser(path);
  });
  child.on('exit', (code) => process.exit(code ?? 0));
}

async function runInBrowser(path: string): Promise<void> {
  const host = await startHost({
    path,
    port: Number(values.port),
    log: (request, error) => console.error(`${request}:`, error),
  });
  const { notebook } = host.running.program;
  if (!notebook.ok) console.error(storageSentence(notebook.error));
  else if (notebook.value.readOnly !== null) console.error(storageSentence(notebook.value.readOnly));
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void leave(host));

  const address = host.newAddress();
  if (values['no-window'] || !hasDisplay()) {
    console.log(`Open this address in a browser on this computer (it works once):\n${address}`);
    console.log('Fairleaf runs until you press Ctrl+C.');
    offerAddresses(host);
    return;
  }
  const browser = findBrowser();
  if (browser === null) return openDefault(host, address);
  const profile = join(dirname(notebookPath(undefined)), 'window');
  mkdirSync(profile, { recursive: true, mode: 0o700 });
  const child = spawn(browser, windowArguments(address, profile, process.getuid?.() === 0), {
    stdio: 'ignore',
  });
  child.on('error', () => openDefault(host, address));
  // The window is the program: when it closes, the notebook is closed too.
  child.on('exit', () => void leave(host));
}

function openDefault(host: RunningHost, address: string): void {
  const [command, args] = defaultBrowser(address);
  const child = spawn(command, args, { stdio: 'ignore', detached: true });
  child.on('error', () => console.log(`Open this address in a browser on this computer:\n${address}`));
  child.unref();
  console.log(`Fairleaf is open in your browser at ${host.origin}. It runs until you press Ctrl+C.`);
  offerAddresses(host);
}

async function leave(host: RunningHost): Promise<void> {
  await host.stop();
  process.exit(0);
}

const path = notebookPath(values.file);
if (!existsSync(dirname(path)) || !statSync(dirname(path)).isDirectory()) {
  console.error(storageSentence({ reason: 'folder-missing', facts: {} }));
  process.exit(1);
}
build();
if (values['fetch-electron'] && findElectron(root) === null) fetchElectron();
const electron = findElectron(root);
if (electron !== null && !values['no-window'] && hasDisplay()) runElectron(electron, path);
else {
  if (electron === null) {
    console.log(
      'Electron’s program is not here, so Fairleaf opens in a browser window; “npm start -- --fetch-electron” fetches it.',
    );
  }
  await runInBrowser(path);
}
