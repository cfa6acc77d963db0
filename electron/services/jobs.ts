import { readFileSync } from 'node:fs';
import type { JobView } from '../../core/contract/views.ts';
import { storageSentence } from '../../core/wording/services.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import type { WorkWatch } from './work.ts';

/** What a finished job leaves to be fetched. */
export interface JobFile {
  /** All of it; of a file on the disk this reads it whole, so what sends it on takes `stored`. */
  readonly bytes: Uint8Array;
  readonly name: string;
  readonly mediaType: string;
  readonly stored?: StoredFile;
}

/** A file too long to be kept in memory until somebody fetches it. */
export interface StoredFile {
  readonly path: string;
  readonly sizeBytes: number;
  /** Takes it off the disk. */
  readonly remove: () => Promise<void>;
}

export const storedFile = (stored: StoredFile, about: Pick<JobFile, 'name' | 'mediaType'>): JobFile => ({
  ...about,
  stored,
  get bytes() {
    return new Uint8Array(readFileSync(stored.path));
  },
});

interface Job {
  view: JobView;
  file: JobFile | null;
  readonly client: string;
  readonly personId: string;
  readonly control: AbortController;
  readonly onEnd: () => void;
  /** Settles when nothing of it goes on any more. */
  ended: Promise<void>;
}

/** How long the end of the program waits for work that was stopped to clear up, ms. */
const clearingMs = 4_000;
/** Finished jobs that are kept to be fetched; the oldest go first. */
const keptJobs = 12;
const runningAtOnce = 2;

/** Long work in progress, each piece belonging to the person and the window that asked for it. */
export class Jobs {
  readonly #jobs = new Map<string, Job>();
  readonly #waiting: (() => void)[] = [];
  #running = 0;

  /**
   * Begins a piece of work and answers at once.
   *
   * @param work what to do; resolves with the file it made
   * @param onFailed told of what was not expected; the view says only that it failed
   */
  begin(
    about: {
      readonly id: string;
      readonly kind: JobView['kind'];
      readonly client: string;
      readonly personId: string;
      /** Called once, whatever becomes of it, even if its turn never comes: keys are wiped here. */
      readonly onEnd?: () => void;
    },
    work: (watch: WorkWatch) => Promise<JobFile>,
    onFailed: (error: unknown) => void,
  ): JobView {
    const control = new AbortController();
    const job: Job = {
      view: {
        id: about.id,
        kind: about.kind,
        state: 'running',
        progress: 0,
        stage: 'waiting for its turn',
        problem: null,
        file: null,
        report: null,
      },
      file: null,
      client: about.client,
      personId: about.personId,
      control,
      onEnd: about.onEnd ?? (() => undefined),
      ended: Promise.resolve(),
    };
    this.#jobs.set(about.id, job);
    this.#forget();
    job.ended = this.#run(job, work, onFailed);
    return job.view;
  }

  /** Null for a job there is not, and for somebody else's. */
  view(id: string, client: string, personId: string): JobView | null {
    return this.#own(id, client, personId)?.view ?? null;
  }

  file(id: string, client: string, personId: string): JobFile | null {
    return this.#own(id, client, personId)?.file ?? null;
  }

  cancel(id: string, client: string, personId: string): JobView | null {
    const job = this.#own(id, client, personId);
    if (job === null) return null;
    if (job.view.state === 'running') {
      job.control.abort();
      job.view = { ...job.view, state: 'cancelled', stage: '' };
    }
    return job.view;
  }

  /** At the end of the program: nothing goes on, and nothing stays on the disk. */
  async cancelAll(): Promise<void> {
    const all = [...this.#jobs.values()];
    for (const job of all) job.control.abort();
    // Stopped work takes its own half-written files away; a thread that hangs is not waited for.
    await Promise.race([
      Promise.all(all.map((job) => job.ended)),
      new Promise<void>((resolve) => setTimeout(resolve, clearingMs).unref()),
    ]);
    await Promise.all(all.map((job) => this.#drop(job)));
  }

  async #drop(job: Job): Promise<void> {
    const stored = job.file?.stored;
    job.file = null;
    await stored?.remove();
  }

  #own(id: string, client: string, personId: string): Job | null {
    const job = this.#jobs.get(id);
    return job?.client === client && job.personId === personId ? job : null;
  }

  async #run(
    job: Job,
    work: (watch: WorkWatch) => Promise<JobFile>,
    onFailed: (error: unknown) => void,
  ): Promise<void> {
    await this.#turn();
    try {
      if (job.control.signal.aborted) return;
      job.file = await work({
        signal: job.control.signal,
        onProgress: (progress, stage) => {
          if (job.view.state === 'running') job.view = { ...job.view, progress, stage };
        },
      });
      if (job.control.signal.aborted) await this.#drop(job);
      else {
        const { name, stored } = job.file;
        const sizeBytes = stored?.sizeBytes ?? job.file.bytes.length;
        const file = { path: `file/${job.view.id}`, name, sizeBytes };
        job.view = { ...job.view, state: 'done', progress: 1, stage: '', file };
      }
    } catch (error) {
      if (job.control.signal.aborted) return;
      const problem = storageProblem(error);
      job.view = {
        ...job.view,
        state: 'failed',
        stage: '',
        problem:
          problem === null
            ? 'Something went wrong inside the program. Nothing was changed; try again.'
            : storageSentence(problem),
      };
      onFailed(error);
    } finally {
      job.onEnd();
      this.#running -= 1;
      this.#waiting.shift()?.();
    }
  }

  async #turn(): Promise<void> {
    if (this.#running >= runningAtOnce) {
      await new Promise<void>((resolve) => this.#waiting.push(resolve));
    }
    this.#running += 1;
  }

  #forget(): void {
    const over = this.#jobs.size - keptJobs;
    const ended = [...this.#jobs].filter(([, job]) => job.view.state !== 'running');
    for (const [id, job] of ended.slice(0, Math.max(0, over))) {
      this.#jobs.delete(id);
      // What cannot be removed now is in the system's own folder for such things.
      void this.#drop(job).catch(() => undefined);
    }
  }
}
