import type { JobView } from '../../core/contract/views.ts';
import type { Refusal } from '../../core/contract/contract.ts';
import type { Result } from '../../core/result.ts';
import type { Client } from './client.ts';
import { refusalSentence } from './refusal-sentence.ts';

const askEveryMs = 300;

/** A long piece of work on the other side: begun, asked after until it ends, cancelled on demand. */
export class RunningJob {
  readonly #client: Client;
  job: JobView | null = $state.raw(null);
  refusal = $state('');
  #timer: ReturnType<typeof setTimeout> | undefined;
  #isGone = false;

  constructor(client: Client) {
    this.#client = client;
  }

  async begin(ask: () => Promise<Result<JobView, Refusal>>): Promise<void> {
    this.refusal = '';
    this.job = null;
    this.#take(await ask());
  }

  async cancel(): Promise<void> {
    if (this.job?.state !== 'running') return;
    clearTimeout(this.#timer);
    this.#take(await this.#client.ask('job.cancel', { jobId: this.job.id }));
  }

  /** The page is closed: stop asking. The work itself goes on unless it was cancelled. */
  leave(): void {
    this.#isGone = true;
    clearTimeout(this.#timer);
  }

  #take(answer: Result<JobView, Refusal>): void {
    if (this.#isGone) return;
    if (!answer.ok) {
      this.refusal = refusalSentence(answer.error);
      return;
    }
    this.job = answer.value;
    if (answer.value.state !== 'running') return;
    const jobId = answer.value.id;
    this.#timer = setTimeout(() => {
      void this.#client.ask('job.state', { jobId }).then((next) => this.#take(next));
    }, askEveryMs);
  }
}
