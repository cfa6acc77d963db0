import { parseArgs } from 'node:util';
import { serveHost } from '../host/serve-host.ts';
import type { Command } from './command.ts';

export const host: Command = {
  usage: 'host [--file PATH] [--port N]',
  summary: 'serves the pages to a browser on this computer, and prints the address',
  async run(args) {
    const { values } = parseArgs({
      args: [...args],
      options: { file: { type: 'string' }, port: { type: 'string', default: '0' } },
    });
    return serveHost(values.file, values.port);
  },
};
