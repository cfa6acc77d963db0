import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it, onTestFinished } from 'vitest';
import { findElectron } from '../../electron/cli/find-electron.ts';
import { enter, sendHttp } from '../electron/services/http-ask.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const script = join(root, 'electron/cli/start.ts');

function folder(): string {
  const made = mkdtempSync(join(tmpdir(), 'fairleaf-start-'));
  onTestFinished(() => rmSync(made, { recursive: true, force: true }));
  return made;
}

/** A browser that goes to the address it is given, notes what it was told, and is closed again. */
function fakeBrowser(where: string): string {
  const notes = join(where, 'notes.json');
  writeFileSync(
    join(where, 'chromium'),
    `#!${process.execPath}
const { writeFileSync } = require('node:fs');
const address = process.argv.find((one) => one.startsWith('--app=')).slice(6);
fetch(address, { redirect: 'manual' }).then((answer) => {
  writeFileSync(${JSON.stringify(notes)}, JSON.stringify({ args: process.argv.slice(2), status: answer.status }));
});
`,
    { mode: 0o755 },
  );
  return notes;
}

interface Started {
  readonly out: () => string;
  readonly ended: Promise<number | null>;
  readonly stop: () => void;
}
function start(args: readonly string[], env: NodeJS.ProcessEnv): Started {
  const child = spawn(process.execPath, [script, ...args], { env: { ...process.env, ...env } });
  let out = '';
  child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (out += chunk.toString()));
  onTestFinished(() => void child.kill('SIGKILL'));
  return {
    out: () => out,
    ended: new Promise((resolve) => child.on('exit', (code) => resolve(code))),
    stop: () => void child.kill('SIGTERM'),
  };
}

describe('npm start where Electron’s program is not', () => {
  const isElectronHere = findElectron(root) !== null;

  it.skipIf(isElectronHere)(
    'says so in one line, opens a window of an installed browser, and ends with it',
    async () => {
      const here = folder();
      const notes = fakeBrowser(here);
      const file = join(here, 'n.fairleaf');
      const started = start(['--file', file], {
        PATH: `${here}:${process.env['PATH'] ?? ''}`,
        DISPLAY: ':99',
        XDG_DATA_HOME: join(here, 'data'),
      });
      expect(await started.ended).toBe(0);
      expect(started.out().trim().split('\n')).toHaveLength(1);
      expect(started.out()).toContain('Electron’s program is not here');
      const seen = JSON.parse(readFileSync(notes, 'utf8')) as { args: string[]; status: number };
      // The ticket of the address let it in: 303 to the page.
      expect(seen.status).toBe(303);
      expect(seen.args.join(' ')).toContain(`--user-data-dir=${join(here, 'data')}`);
      expect(existsSync(file)).toBe(true);
      expect(readdirSync(here).filter((name) => name.startsWith('n.'))).toEqual(['n.fairleaf']);
    },
  );

  it.skipIf(isElectronHere)(
    'prints the address where there is nothing to show a window on, and stops when told',
    async () => {
      const here = folder();
      const file = join(here, 'n.fairleaf');
      const started = start(['--file', file], { DISPLAY: '', WAYLAND_DISPLAY: '' });
      await expect.poll(() => /http:\S+/.exec(started.out())?.[0], { timeout: 30_000 }).toBeDefined();
      const address = /http:\S+/.exec(started.out())?.[0] ?? '';
      const cookie = await enter(address);
      const { origin, host } = new URL(address);
      const page = await sendHttp(origin, '/', { headers: { host, cookie } });
      expect(page.body.toString()).toContain('<title>Fairleaf</title>');
      started.stop();
      expect(await started.ended).toBe(0);
      expect(readdirSync(here)).toEqual(['n.fairleaf']);
    },
  );

  it('says what is the matter with a folder that is not there', async () => {
    const started = start(['--file', join(folder(), 'nowhere', 'n.fairleaf')], { DISPLAY: '' });
    expect(await started.ended).toBe(1);
    expect(started.out()).toContain('The folder for the notebook does not exist');
  });
});
