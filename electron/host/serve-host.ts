import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { storageSentence } from '../../core/wording/services.ts';
import { notebookPath } from '../services/notebook-path.ts';
import { pageFolder, startHost } from './start-host.ts';

/**
 * Serves one notebook until it is told to stop, and prints the address to open.
 *
 * @param file the notebook; the person's own where none is named
 * @param port as typed; `0` takes a free one
 */
export async function serveHost(file: string | undefined, port: string): Promise<void> {
  if (!/^\d{1,5}$/.test(port) || Number(port) > 65_535) {
    console.error(`“${port}” is not a port. Name a number from 0 to 65535.`);
    process.exitCode = 2;
    return;
  }
  if (!existsSync(join(pageFolder(), 'index.html'))) {
    console.error('The pages are not built. Run “npm run build” first.');
    process.exitCode = 1;
    return;
  }
  const host = await startHost({
    path: notebookPath(file),
    port: Number(port),
    log: (request, error) => console.error(`${request}:`, error),
  }).catch((error: unknown) => {
    if ((error as { code?: unknown }).code !== 'EADDRINUSE') throw error;
    console.error(`Port ${port} is taken by another program. Name another, or leave it out.`);
    process.exitCode = 1;
    return null;
  });
  if (host === null) return;
  const { notebook } = host.running.program;
  if (!notebook.ok) console.error(storageSentence(notebook.error));
  else if (notebook.value.readOnly !== null) console.error(storageSentence(notebook.value.readOnly));
  console.log(host.newAddress());
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.once(signal, () => void host.stop().then(() => process.exit(0)));
  }
}
