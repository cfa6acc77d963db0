import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { networkDriveSentence, storageSentence } from '../../core/wording/services.ts';
import { isOnNetworkDrive } from '../storage/network-drive.ts';
import { notebookPath } from '../services/notebook-path.ts';
import { offerAddresses } from './offer-addresses.ts';
import { pageFolder, startHost } from './start-host.ts';

/**
 * Serves one notebook until it is told to stop, and prints the address to open.
 *
 * @param file the notebook; the person's own where none is named
 * @param port as typed; `0` takes a free one
 * @returns the exit code; 0 once it serves, which goes on
 */
export async function serveHost(file: string | undefined, port: string): Promise<number> {
  if (!/^\d{1,5}$/.test(port) || Number(port) > 65_535) {
    console.error(`“${port}” is not a port. Name a number from 0 to 65535.`);
    return 2;
  }
  if (!existsSync(join(pageFolder(), 'index.html'))) {
    console.error('The pages are not built. Run “npm run build” first.');
    return 1;
  }
  const host = await startHost({
    path: notebookPath(file),
    port: Number(port),
    keepsCopies: true,
    checksAtStart: true,
    log: (request, error) => console.error(`${request}:`, error),
  }).catch((error: unknown) => {
    if ((error as { code?: unknown }).code !== 'EADDRINUSE') throw error;
    console.error(`Port ${port} is taken by another program. Name another, or leave it out.`);
    return null;
  });
  if (host === null) return 1;
  const { notebook } = host.running.program;
  if (!notebook.ok) console.error(storageSentence(notebook.error));
  else if (notebook.value.readOnly !== null) console.error(storageSentence(notebook.value.readOnly));
  if (await isOnNetworkDrive(notebookPath(file))) console.error(networkDriveSentence);
  console.log(host.newAddress());
  offerAddresses(host);
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.once(signal, () => void host.stop().then(() => process.exit(0)));
  }
  return 0;
}
