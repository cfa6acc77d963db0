import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/**
 * The Electron program, if its binary is there. Looked for by its files: importing the package would
 * start a download.
 *
 * @param root folder that holds `node_modules`
 */
export function findElectron(root: string, env: NodeJS.ProcessEnv = process.env): string | null {
  const folder = join(root, 'node_modules', 'electron');
  const named = join(folder, 'path.txt');
  if (!existsSync(named)) return null;
  const program = readFileSync(named, 'utf8').trim();
  const dist = env['ELECTRON_OVERRIDE_DIST_PATH'] ?? join(folder, 'dist');
  const path = join(dist, program);
  return program !== '' && existsSync(path) ? path : null;
}
