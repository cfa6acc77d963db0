import { parentPort } from 'node:worker_threads';
import type Database from 'better-sqlite3';
import type { DatabaseReply, DatabaseRequest, QueryAnswer, Row } from './database-message.ts';
import { DatabaseError } from './database-message.ts';
import { openDatabase } from './open-database.ts';
import { openForReading } from './open-for-reading.ts';
import { takeWriterLock, type WriterLock } from './writer-lock.ts';

/** The thread that holds the database: SQLite is synchronous, and must not hold up a window. */
let database: Database.Database | null = null;
let closeDatabase = (): void => undefined;
let lock: WriterLock | null = null;
const prepared = new Map<string, Database.Statement>();
const none: QueryAnswer = { rows: [], changes: 0, insertId: 0 };

function statement(open: Database.Database, sql: string): Database.Statement {
  const known = prepared.get(sql);
  if (known !== undefined) return known;
  if (prepared.size >= 200) prepared.clear();
  const made = open.prepare(sql);
  // A statement prepared before the tables were made would be stale after; those are run once anyway.
  if (!/^\s*(create|drop|alter|pragma|begin|commit|rollback)/i.test(sql)) prepared.set(sql, made);
  return made;
}

function answer(request: DatabaseRequest): QueryAnswer {
  if (request.kind === 'open') {
    if (request.mode === 'read') {
      ({ database, close: closeDatabase } = openForReading(request.path));
      return none;
    }
    lock = takeWriterLock(request.path, new Date().toISOString());
    try {
      const opened = openDatabase(request.path, 'write', request.journal);
      database = opened;
      closeDatabase = () => void opened.close();
    } catch (error) {
      lock?.release();
      lock = null;
      throw error;
    }
    return none;
  }
  if (request.kind === 'close') {
    prepared.clear();
    if (database !== null) closeDatabase();
    database = null;
    lock?.release();
    lock = null;
    return none;
  }
  if (database === null) throw new DatabaseError('the database is not open', 'not-open');
  if (request.kind === 'copy') {
    database.prepare('vacuum into ?').run(request.to);
    return none;
  }
  const ready = statement(database, request.sql);
  if (ready.reader) return { ...none, rows: ready.all(...request.parameters) as Row[] };
  const done = ready.run(...request.parameters);
  return { rows: [], changes: done.changes, insertId: Number(done.lastInsertRowid) };
}

function reply(request: DatabaseRequest): DatabaseReply {
  try {
    return { ok: true, answer: answer(request) };
  } catch (error) {
    const { message, code } = error as Error & { readonly code?: string };
    const facts = error instanceof DatabaseError ? error.facts : {};
    return { ok: false, error: { message, code: code ?? 'unknown', facts } };
  }
}

parentPort?.on('message', ({ id, request }: { id: number; request: DatabaseRequest }) => {
  parentPort?.postMessage({ id, reply: reply(request) });
});
