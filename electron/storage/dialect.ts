import {
  CompiledQuery,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
  type DatabaseConnection,
  type DatabaseIntrospector,
  type Dialect,
  type Driver,
  type Kysely,
  type QueryCompiler,
  type QueryResult,
} from 'kysely';
import type { Parameter } from './database-message.ts';
import type { DatabaseThread } from './database-thread.ts';

class ThreadConnection implements DatabaseConnection {
  readonly #thread: DatabaseThread;
  constructor(thread: DatabaseThread) {
    this.#thread = thread;
  }

  async executeQuery<R>(query: CompiledQuery): Promise<QueryResult<R>> {
    const answer = await this.#thread.ask({
      kind: 'query',
      sql: query.sql,
      parameters: query.parameters as readonly Parameter[],
    });
    return {
      rows: answer.rows as R[],
      numAffectedRows: BigInt(answer.changes),
      insertId: BigInt(answer.insertId),
    };
  }

  // eslint-disable-next-line require-yield
  async *streamQuery<R>(): AsyncIterableIterator<QueryResult<R>> {
    await Promise.resolve();
    throw new Error('rows are read in pages, not streamed');
  }
}

/**
 * One connection. Kysely hands it out in turn, because the adapter says there are not several: a query
 * beside an open transaction waits for its end instead of slipping into it (tests/electron/storage).
 */
class ThreadDriver implements Driver {
  readonly #thread: DatabaseThread;
  readonly #connection: ThreadConnection;

  constructor(thread: DatabaseThread) {
    this.#thread = thread;
    this.#connection = new ThreadConnection(thread);
  }

  async init(): Promise<void> {}

  acquireConnection(): Promise<DatabaseConnection> {
    return Promise.resolve(this.#connection);
  }

  async releaseConnection(): Promise<void> {}

  /** `immediate`: a write lock that cannot be had is refused here, not in the middle. */
  async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }

  async commitTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('commit'));
  }

  async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    try {
      await connection.executeQuery(CompiledQuery.raw('rollback'));
    } catch (error) {
      // A full disk makes SQLite roll back on its own; a second rollback then has nothing to undo.
      if (!(error instanceof Error && error.message.includes('no transaction is active'))) throw error;
    }
  }

  destroy(): Promise<void> {
    return this.#thread.end();
  }
}

class TransactionalAdapter extends SqliteAdapter {
  override get supportsTransactionalDdl(): boolean {
    return true;
  }
  override get supportsMultipleConnections(): boolean {
    return false;
  }
}

/** SQLite in a thread of its own, for Kysely. */
export class ThreadDialect implements Dialect {
  readonly #thread: DatabaseThread;
  constructor(thread: DatabaseThread) {
    this.#thread = thread;
  }
  createDriver(): Driver {
    return new ThreadDriver(this.#thread);
  }
  createQueryCompiler(): QueryCompiler {
    return new SqliteQueryCompiler();
  }
  createAdapter(): SqliteAdapter {
    return new TransactionalAdapter();
  }
  createIntrospector(db: Kysely<unknown>): DatabaseIntrospector {
    return new SqliteIntrospector(db);
  }
}
