import { spawn } from 'node:child_process';
import { createServer } from 'node:net';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { _electron, chromium, type Page } from 'playwright-core';
import { findElectron } from '../../../electron/cli/find-electron.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));

export interface Told {
  readonly told: string;
  readonly [name: string]: unknown;
}

/** The desktop program with its one window. */
export interface OpenProgram {
  readonly page: Page;
  /** True where the real program runs; false for the stand-in. */
  readonly isReal: boolean;
  /** What the stand-in saw the main process do; empty for the real program. */
  readonly told: readonly Told[];
  /** Says something to the stand-in: `lock-screen`. */
  say(word: string): void;
  /** Quits as a person would. @returns the exit code */
  quit(): Promise<number | null>;
}

/** Starts the built desktop program: the real one where its binary is, else its main process and preload in a stand-in. */
export async function openProgram(file: string): Promise<OpenProgram> {
  const binary = findElectron(root);
  if (binary !== null) return openReal(binary, file);
  console.warn('NOT EXERCISED: Electron’s program is not here; main process and preload run in a stand-in.');
  return openStandIn(file);
}

async function openReal(binary: string, file: string): Promise<OpenProgram> {
  const isRoot = process.getuid?.() === 0;
  const program = await _electron.launch({
    executablePath: binary,
    args: [...(isRoot ? ['--no-sandbox'] : []), root, '--file', file],
  });
  const page = await program.firstWindow();
  return {
    page,
    isReal: true,
    told: [],
    say: () => undefined,
    async quit() {
      const child = program.process();
      await program.close();
      return child.exitCode;
    },
  };
}

async function openStandIn(file: string): Promise<OpenProgram> {
  const port = await freePort();
  const hooks = fileURLToPath(new URL('./hooks.ts', import.meta.url));
  const child = spawn(process.execPath, ['--import', hooks, `${root}out/electron/main.js`, '--file', file], {
    stdio: ['pipe', 'pipe', 'inherit'],
    env: { ...process.env, STAND_IN_PORT: String(port) },
  });
  const told: Told[] = [];
  const ended = new Promise<number | null>((resolve) => child.on('exit', (code) => resolve(code)));
  const shown = new Promise<void>((resolve, reject) => {
    createInterface({ input: child.stdout }).on('line', (line) => {
      told.push(JSON.parse(line) as Told);
      if (told.at(-1)?.told === 'shown') resolve();
    });
    void ended.then((code) => reject(new Error(`the stand-in ended early (${code})`)));
  });
  await shown;
  const browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
  const page = browser.contexts()[0]?.pages()[0];
  if (page === undefined) throw new Error('the window is not there');
  return {
    page,
    isReal: false,
    told,
    say: (word) => void child.stdin.write(`${word}\n`),
    async quit() {
      child.stdin.write('quit\n');
      return ended;
    },
  };
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer();
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => resolve(typeof address === 'object' && address !== null ? address.port : 0));
    });
  });
}
