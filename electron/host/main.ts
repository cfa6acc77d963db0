import { parseArgs } from 'node:util';
import { serveHost } from './serve-host.ts';

/** `node electron/host/main.ts [--file PATH] [--port N]`: serves one notebook to this computer's browser. */
const { values } = parseArgs({
  options: { file: { type: 'string' }, port: { type: 'string', default: '0' } },
});
process.exitCode = await serveHost(values.file, values.port);
