import { parseArgs } from 'node:util';
import { storageSentence } from '../../core/wording/services.ts';
import { notebookPath } from '../services/notebook-path.ts';
import { startHost } from './start-host.ts';

/** `node electron/host/main.ts [--file PATH] [--port N]`: serves one notebook to this computer's browser. */
const { values } = parseArgs({
  options: { file: { type: 'string' }, port: { type: 'string', default: '0' } },
});
const host = await startHost({
  path: notebookPath(values.file),
  port: Number(values.port),
  log: (request, error) => console.error(`${request}:`, error),
});
const { notebook } = host.running.program;
if (!notebook.ok) console.error(storageSentence(notebook.error));
else if (notebook.value.readOnly !== null) console.error(storageSentence(notebook.value.readOnly));
console.log(host.newAddress());

for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  process.once(signal, () => {
    void host.stop().then(() => process.exit(0));
  });
}
