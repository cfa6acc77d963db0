import { randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import { scryptCost, type ScryptCost } from '../keys/sealed-key.ts';
import { openNotebookFile } from '../storage/notebook-file.ts';
import { createDispatcher, type Dispatch } from './dispatcher.ts';
import { tellDrafts } from './draft-audit.ts';
import { Jobs } from './jobs.ts';
import { PendingDrafts } from './pending-drafts.ts';
import { systemClock, type Clock, type Program } from './program.ts';
import { programName } from './program-name.ts';
import { endSession } from './session.ts';
import { Sessions } from './sessions.ts';
import { Turns } from './turns.ts';

export interface RunningProgram {
  readonly program: Program;
  readonly dispatch: Dispatch;
  /** Signs everybody out, tells the trail what is pending, closes the file. */
  stop(): Promise<void>;
}

export interface StartOptions {
  readonly path: string;
  readonly clock?: Clock;
  readonly newId?: () => string;
  readonly device?: string;
  readonly keyCost?: ScryptCost;
  readonly log?: Program['log'];
}

/** How often drafts and idle sessions are looked after. */
const lookAfterMs = 15_000;

/** Opens a notebook and gets everything ready that asks for it. A file that cannot be opened is no error here: the program starts, and answers why. */
export async function startProgram(options: StartOptions): Promise<RunningProgram> {
  const program: Program = {
    notebook: await openNotebookFile(options.path),
    clock: options.clock ?? systemClock,
    newId: options.newId ?? randomUUID,
    device: options.device ?? hostname(),
    programName,
    keyCost: options.keyCost ?? scryptCost,
    sessions: new Sessions(),
    pendingDrafts: new PendingDrafts(),
    jobs: new Jobs(),
    turns: new Turns(),
    log: options.log ?? (() => undefined),
  };
  const lookAfter = async (): Promise<void> => {
    if (!program.notebook.ok || program.notebook.value.readOnly !== null) return;
    const notebook = program.notebook.value;
    for (const [client] of program.sessions.idle(program.clock)) {
      await endSession({ program, notebook, caller: { client } }, 'session.lock');
    }
  };
  if (program.notebook.ok && program.notebook.value.readOnly === null) {
    // What a killed program left unsaid.
    await tellDrafts({ program, notebook: program.notebook.value });
  }
  const timer = setInterval(() => {
    lookAfter().catch((error: unknown) => program.log('look-after', error));
  }, lookAfterMs);
  timer.unref();
  return {
    program,
    dispatch: createDispatcher(program),
    async stop() {
      clearInterval(timer);
      if (!program.notebook.ok) return;
      const notebook = program.notebook.value;
      for (const [client] of program.sessions.all()) {
        await endSession({ program, notebook, caller: { client } }, 'session.close');
      }
      if (notebook.readOnly === null) await tellDrafts({ program, notebook });
      await notebook.close();
    },
  };
}
