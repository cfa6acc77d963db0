import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** What a folder of ours in the system's folder for temporary files is for. */
type Purpose = 'own' | 'check' | 'deposit' | 'opened' | 'reading';

const prefix = (purpose: Purpose): string => join(tmpdir(), `fairleaf-${purpose}-${process.pid}-`);
const pattern = /^fairleaf-(?:own|check|deposit|opened|reading)-(\d+)-[A-Za-z0-9]{6}$/;

/**
 * A new folder for files on the way, readable by this user alone. Its name carries the number of the
 * process, so that what a killed program left is known as such.
 */
export const workFolder = (purpose: Purpose): Promise<string> => mkdtemp(prefix(purpose));
export const workFolderSync = (purpose: Purpose): string => mkdtempSync(prefix(purpose));

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // EPERM: there is such a process, of somebody else.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** Takes away what killed programs left: half-written deposits, copies of opened ones. */
export function clearWorkFolders(): void {
  for (const name of readdirSync(tmpdir())) {
    const pid = Number(pattern.exec(name)?.[1] ?? 0);
    if (pid === 0 || isRunning(pid)) continue;
    try {
      rmSync(join(tmpdir(), name), { recursive: true, force: true });
    } catch {
      // Somebody else's; the system clears its own folder.
    }
  }
}
