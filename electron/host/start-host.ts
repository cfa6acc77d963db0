import { fileURLToPath } from 'node:url';
import { startProgram, type RunningProgram, type StartOptions } from '../services/start-program.ts';
import { startLoopback, type LoopbackHost } from '../transport/http.ts';

export interface RunningHost extends LoopbackHost {
  readonly running: RunningProgram;
  stop(): Promise<void>;
}

/** The built pages, from the sources or from the built folder itself. */
export const pageFolder = (): string =>
  fileURLToPath(
    new URL(import.meta.url.endsWith('.ts') ? '../../out/renderer' : '../renderer', import.meta.url),
  );

/** The program behind a loopback address, for a browser on the same computer. */
export async function startHost(
  options: StartOptions & { readonly port: number; readonly folder?: string },
): Promise<RunningHost> {
  const running = await startProgram(options);
  const host = await startLoopback(
    {
      folder: options.folder ?? pageFolder(),
      dispatch: running.dispatch,
      jobFile: (jobId, client) => running.jobFile(jobId, client),
      attachment: (which, client) => running.attachment(which, client),
    },
    options.port,
  );
  return {
    ...host,
    running,
    async stop() {
      await host.close();
      await running.stop();
    },
  };
}
