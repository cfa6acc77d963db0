import { randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import { isDepositEntry } from '../../core/record/deposit-entry.ts';
import { isDraftAuditDue } from '../../core/record/draft-audit.ts';
import { ok } from '../../core/result.ts';
import { scryptCost, type ScryptCost } from '../keys/sealed-key.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import { openNotebookFile } from '../storage/notebook-file.ts';
import { clearWorkFolders } from '../storage/work-folder.ts';
import { readAttachment, type AttachedFile, type WhichAttachment } from './attachment-file.ts';
import { checkAtStart } from './check-at-start.ts';
import { createDispatcher, type Dispatch } from './dispatcher.ts';
import { tellDraft, tellDrafts } from './draft-audit.ts';
import { Jobs, type JobFile } from './jobs.ts';
import { OpenedDeposits } from './opened-deposits.ts';
import { PendingDrafts } from './pending-drafts.ts';
import { systemClock, type Clock, type Program } from './program.ts';
import { programName } from './program-name.ts';
import { isCopyDue, keepCopy } from './safe-keeping.ts';
import { endSession } from './session.ts';
import { RefusedTries } from './refused-tries.ts';
import { isIdle, Sessions } from './sessions.ts';
import { transact } from './transact.ts';
import { Turns } from './turns.ts';

export interface RunningProgram {
  readonly program: Program;
  readonly dispatch: Dispatch;
  /** A finished job's file, for whoever asked for it and is still signed in. */
  jobFile(jobId: string, client: string): JobFile | null;
  /** A file attached to an entry that this client may read; pictures without what they say of a place. */
  attachment(which: WhichAttachment, client: string): Promise<AttachedFile | null>;
  /** Settles when the check at the start is through; at once where none was asked for. */
  readonly checked: Promise<void>;
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
  /** Keeps a copy beside the notebook once a day and at the end. */
  readonly keepsCopies?: boolean;
  /** Checks the notebook once it is open, beside the work. */
  readonly checksAtStart?: boolean;
}

/** How often drafts and idle sessions are looked after. */
const lookAfterMs = 15_000;

/** Opens a notebook and gets everything ready that asks for it. A file that cannot be opened is no error here: the program starts, and answers why. */
export async function startProgram(options: StartOptions): Promise<RunningProgram> {
  clearWorkFolders();
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
    deposits: new OpenedDeposits(),
    turns: new Turns(),
    refusedTries: new RefusedTries(),
    dispatcherOf: createDispatcher,
    log: options.log ?? (() => undefined),
  };
  const lookAfter = async (): Promise<void> => {
    if (!program.notebook.ok || program.notebook.value.readOnly !== null) return;
    const notebook = program.notebook.value;
    for (const [client] of program.sessions.idle(program.clock)) {
      await endSession({ program, notebook, caller: { client } }, 'session.lock');
    }
    for (const [entryId, since] of program.pendingDrafts.all()) {
      const at = program.clock.now();
      // Whoever stopped typing is told to the trail without waiting for their next word.
      if (!isDraftAuditDue(since, '', { at, person: '' })) continue;
      await transact({ program, notebook }, async (posting) => {
        await tellDraft(posting, program, entryId);
        return ok(null);
      });
    }
  };
  // What a killed program left unsaid.
  await tellPending(program);
  const copyIfDue = async (): Promise<void> => {
    if (options.keepsCopies !== true || !program.notebook.ok) return;
    const notebook = program.notebook.value;
    if (notebook.readOnly === null && (await isCopyDue(program, notebook))) await keepCopy(program, notebook);
  };
  const timer = setInterval(() => {
    lookAfter()
      .then(copyIfDue)
      .catch((error: unknown) => program.log('look-after', error));
  }, lookAfterMs);
  timer.unref();
  const stopsCheck = new AbortController();
  const checked =
    options.checksAtStart === true
      ? checkAtStart(program, stopsCheck.signal).catch((error: unknown) => {
          if (!stopsCheck.signal.aborted) program.log('check-at-start', error);
        })
      : Promise.resolve();
  let stopping: Promise<void> | null = null;
  return {
    program,
    dispatch: createDispatcher(program),
    checked,
    jobFile(jobId, client) {
      const session = program.sessions.of(client);
      if (session === null || isIdle(session, program.clock)) return null;
      return program.jobs.file(jobId, client, session.person.id);
    },
    async attachment(which, client) {
      const session = program.sessions.of(client);
      if (session === null || isIdle(session, program.clock) || !program.notebook.ok) return null;
      return isDepositEntry(which.entryId)
        ? program.deposits.attachment({ client, personId: session.person.id }, which)
        : readAttachment(program.notebook.value.db, which, session.person);
    },
    stop() {
      clearInterval(timer);
      stopsCheck.abort(new Error('the program ends'));
      stopping ??= checked.then(() => end(program, options.keepsCopies === true));
      return stopping;
    },
  };
}

async function end(program: Program, keepsCopies: boolean): Promise<void> {
  await program.jobs.cancelAll();
  await program.deposits.closeAll();
  if (!program.notebook.ok) return;
  const notebook = program.notebook.value;
  for (const [client] of program.sessions.all()) {
    await endSession({ program, notebook, caller: { client } }, 'session.close');
  }
  await tellPending(program);
  if (keepsCopies && notebook.readOnly === null) {
    // A full disk must not keep the notebook from being closed.
    await keepCopy(program, notebook).catch((error: unknown) => program.log('keep-copy', error));
  }
  await notebook.close();
}

/** Tells the trail what it does not know yet, as far as the disk allows: the drafts themselves are safe. */
async function tellPending(program: Program): Promise<void> {
  if (!program.notebook.ok || program.notebook.value.readOnly !== null) return;
  try {
    await tellDrafts({ program, notebook: program.notebook.value });
  } catch (error) {
    if (storageProblem(error) === null) throw error;
    program.log('tell-drafts', error);
  }
}
