import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it, onTestFinished } from 'vitest';
import {
  defaultBrowser,
  findBrowser,
  hasDisplay,
  windowArguments,
} from '../../../electron/cli/find-browser.ts';
import { findElectron } from '../../../electron/cli/find-electron.ts';
import { notebookPath } from '../../../electron/services/notebook-path.ts';

function folder(): string {
  const made = mkdtempSync(join(tmpdir(), 'fairleaf-find-'));
  onTestFinished(() => rmSync(made, { recursive: true, force: true }));
  return made;
}

describe('findElectron', () => {
  it('looks at the files and never imports the package', () => {
    const root = folder();
    expect(findElectron(root, {})).toBeNull();
    const electron = join(root, 'node_modules', 'electron');
    mkdirSync(join(electron, 'dist'), { recursive: true });
    writeFileSync(join(electron, 'index.js'), 'throw new Error("imported")');
    writeFileSync(join(electron, 'path.txt'), 'electron\n');
    expect(findElectron(root, {})).toBeNull();
    writeFileSync(join(electron, 'dist', 'electron'), '');
    expect(findElectron(root, {})).toBe(join(electron, 'dist', 'electron'));
  });
  it('takes another place where one is named', () => {
    const root = folder();
    mkdirSync(join(root, 'node_modules', 'electron'), { recursive: true });
    writeFileSync(join(root, 'node_modules', 'electron', 'path.txt'), 'electron');
    const elsewhere = folder();
    writeFileSync(join(elsewhere, 'electron'), '');
    expect(findElectron(root, { ELECTRON_OVERRIDE_DIST_PATH: elsewhere })).toBe(join(elsewhere, 'electron'));
  });
});

describe('findBrowser', () => {
  it('takes the first on the path that can be run', () => {
    const first = folder();
    const second = folder();
    const env = { PATH: `${first}:${second}` };
    expect(findBrowser('linux', env)).toBeNull();
    writeFileSync(join(first, 'chromium'), '');
    chmodSync(join(first, 'chromium'), 0o644);
    writeFileSync(join(second, 'google-chrome'), '', { mode: 0o755 });
    chmodSync(join(second, 'google-chrome'), 0o755);
    expect(findBrowser('linux', env)).toBe(join(second, 'google-chrome'));
  });
  it('finds nothing on a system without any', () => {
    expect(findBrowser('win32', { ProgramFiles: folder() })).toBeNull();
  });
  it('opens a window with a profile of its own, and gives up the browser’s sandbox to root only', () => {
    const args = windowArguments('http://127.0.0.1:1/?ticket=x', '/data/window', false);
    expect(args).toContain('--app=http://127.0.0.1:1/?ticket=x');
    expect(args).toContain('--user-data-dir=/data/window');
    expect(args.join(' ')).not.toContain('no-sandbox');
    expect(windowArguments('x', 'y', true)).toContain('--no-sandbox');
  });
  it('hands the address to the system’s own browser as one argument, never to a shell', () => {
    for (const platform of ['linux', 'darwin', 'win32'] as const) {
      const [command, args] = defaultBrowser('http://127.0.0.1:1/?a=1&b=2', platform);
      expect(command).not.toMatch(/cmd|sh$/);
      expect(args.at(-1)).toContain('http://127.0.0.1:1/?a=1&b=2');
    }
  });
  it('knows when there is nothing to show a window on', () => {
    expect(hasDisplay('linux', {})).toBe(false);
    expect(hasDisplay('linux', { DISPLAY: ':0' })).toBe(true);
    expect(hasDisplay('linux', { WAYLAND_DISPLAY: 'wayland-0' })).toBe(true);
    expect(hasDisplay('win32', {})).toBe(true);
  });
});

describe('notebookPath', () => {
  const { FAIRLEAF_FILE, XDG_DATA_HOME } = process.env;
  afterEach(() => {
    for (const [name, value] of Object.entries({ FAIRLEAF_FILE, XDG_DATA_HOME })) {
      if (value === undefined) delete process.env[name];
      else process.env[name] = value;
    }
  });
  it('is what was named, else FAIRLEAF_FILE, else in the person’s data folder', () => {
    delete process.env['FAIRLEAF_FILE'];
    const data = folder();
    process.env['XDG_DATA_HOME'] = data;
    if (process.platform === 'linux') {
      expect(notebookPath(undefined)).toBe(join(data, 'Fairleaf', 'notebook.fairleaf'));
    } else expect(notebookPath(undefined)).toContain(homedir());
    process.env['FAIRLEAF_FILE'] = '/somewhere/else.fairleaf';
    expect(notebookPath(undefined)).toBe('/somewhere/else.fairleaf');
    expect(notebookPath('named.fairleaf')).toBe(join(process.cwd(), 'named.fairleaf'));
  });
});
