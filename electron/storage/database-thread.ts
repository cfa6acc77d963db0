import { Worker } from 'node:worker_threads';
import {
  DatabaseError,
  type DatabaseReply,
  type DatabaseRequest,
  type QueryAnswer,
} from './database-message.ts';

interface Waiting {
  readonly resolve: (answer: QueryAnswer) => void;
  readonly reject: (error: Error) => void;
}

/** The program's end of the thread that holds the database: one promise per request. */
export class DatabaseThread {
  readonly #worker: Worker;
  readonly #waiting = new Map<number, Waiting>();
  #last = 0;
  #gone: Error | null = null;

  constructor() {
    // Run from source as it stands, or from the built folder, where the entries lie side by side.
    const file = import.meta.url.endsWith('.ts') ? './database-worker.ts' : './database-worker.js';
    this.#worker = new Worker(new URL(file, import.meta.url), { execArgv: [] });
    this.#worker.on('message', ({ id, reply }: { id: number; reply: DatabaseReply }) => {
      const waiting = this.#waiting.get(id);
      this.#waiting.delete(id);
      if (reply.ok) waiting?.resolve(reply.answer);
      else waiting?.reject(new DatabaseError(reply.error.message, reply.error.code, reply.error.facts));
    });
    this.#worker.on('error', (error) => this.#giveUp(error));
    this.#worker.on('exit', () =>
      this.#giveUp(new DatabaseError('the database thread ended', 'thread-ended')),
    );
  }

  ask(request: DatabaseRequest): Promise<QueryAnswer> {
    if (this.#gone !== null) return Promise.reject(this.#gone);
    const id = ++this.#last;
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
      this.#worker.postMessage({ id, request });
    });
  }

  /** Closes the database first, so that the write-ahead log is folded in. */
  async end(): Promise<void> {
    if (this.#gone !== null) return;
    const closed = this.ask({ kind: 'close' });
    this.#gone = new DatabaseError('the notebook was closed', 'thread-ended');
    await closed;
    await this.#worker.terminate();
  }

  /** Ends the thread where it stands, as a crash of it would. */
  async kill(): Promise<void> {
    await this.#worker.terminate();
  }

  #giveUp(error: unknown): void {
    this.#gone ??= error instanceof Error ? error : new Error(String(error));
    for (const { reject } of this.#waiting.values()) reject(this.#gone);
    this.#waiting.clear();
  }
}
