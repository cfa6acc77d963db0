import { mkdirSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join, resolve } from 'node:path';

/** Where this system keeps a person's data. */
function dataFolder(): string {
  const { env, platform } = process;
  if (platform === 'win32') return env['APPDATA'] ?? join(homedir(), 'AppData', 'Roaming');
  if (platform === 'darwin') return join(homedir(), 'Library', 'Application Support');
  return env['XDG_DATA_HOME'] ?? join(homedir(), '.local', 'share');
}

/**
 * The notebook to open: the one named, else FAIRLEAF_FILE, else the one in the person's data folder,
 * which is made if need be.
 */
export function notebookPath(named: string | undefined): string {
  const chosen = named ?? process.env['FAIRLEAF_FILE'];
  if (chosen !== undefined && chosen !== '') return resolve(chosen);
  const path = join(dataFolder(), 'Fairleaf', 'notebook.fairleaf');
  mkdirSync(dirname(path), { recursive: true });
  return path;
}
