import { accessSync, constants, existsSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { Kysely } from 'kysely';
import type { Migration } from 'kysely/migration';
import { fail, ok, type Result } from '../../core/result.ts';
import { migrations } from '../../migrations/index.ts';
import { DatabaseThread } from './database-thread.ts';
import { ThreadDialect } from './dialect.ts';
import { isOnNetworkDrive } from './network-drive.ts';
import { migrate, versionOf } from './migrate.ts';
import { storageProblem, type StorageProblem } from './storage-problem.ts';
import type { Tables } from './tables.ts';

/** A notebook file, open. */
export interface NotebookFile {
  readonly path: string;
  readonly db: Kysely<Tables>;
  /** Null when it may be written to. */
  readonly readOnly: StorageProblem | null;
  /** Where the file was copied to before its tables were brought up to date; null when they were. */
  readonly keptCopy: string | null;
  /**
   * Whether the file that was opened still stands at its path. Where it was taken away or replaced, the
   * system goes on writing into one that nobody will find again.
   *
   * @error file-replaced
   */
  stillThere(): Promise<Result<null, StorageProblem>>;
  /** Writes a whole copy to a path that must not exist yet. */
  copyTo(path: string): Promise<void>;
  close(): Promise<void>;
}

/**
 * Opens a notebook, or begins an empty one where there is no file. A notebook that another program
 * writes to, or that stands on a medium that cannot be written, is opened for reading only, and says why.
 *
 * @error newer-version, not-a-notebook, folder-missing, damaged, unreadable, disk-full; read-only
 *   only where there is nothing to read
 */
export async function openNotebookFile(path: string): Promise<Result<NotebookFile, StorageProblem>> {
  if (!existsSync(dirname(path))) return fail({ reason: 'folder-missing', facts: {} });
  const denied = existsSync(path) ? writingDenied(path) : null;
  if (denied !== null) return open(path, denied);
  const written = await open(path, null);
  if (written.ok) return written;
  const { reason } = written.error;
  const isReadable = reason === 'held-elsewhere' || reason === 'read-only' || reason === 'damaged';
  if (!isReadable || !existsSync(path)) return written;
  const read = await open(path, written.error);
  // Where nothing can be read either, the first reason is the one to tell.
  return read.ok ? read : written;
}

/** Tells one file from another under the same name; null where there is none. */
async function identityOf(path: string): Promise<string | null> {
  const stats = await stat(path, { bigint: true }).catch(() => null);
  return stats === null ? null : `${stats.dev}:${stats.ino}`;
}

/** A file may be writable in a folder that is not, and WAL needs both. */
function writingDenied(path: string): StorageProblem | null {
  try {
    accessSync(path, constants.W_OK);
    accessSync(dirname(path), constants.W_OK);
    return null;
  } catch (error) {
    return storageProblem(error);
  }
}

async function open(
  path: string,
  readOnly: StorageProblem | null,
): Promise<Result<NotebookFile, StorageProblem>> {
  const thread = new DatabaseThread();
  const db = new Kysely<Tables>({ dialect: new ThreadDialect(thread) });
  try {
    const journal = (await isOnNetworkDrive(path)) ? 'delete' : 'wal';
    await thread.ask({ kind: 'open', path, mode: readOnly === null ? 'write' : 'read', journal });
    const copyTo = async (to: string): Promise<void> => void (await thread.ask({ kind: 'copy', to }));
    const keptCopy =
      readOnly === null ? await bringUpToDate(path, db as unknown as Kysely<unknown>, copyTo) : null;
    // A server may number its files anew; there it has to be enough that there is one.
    const identify = async () => (journal === 'wal' ? await identityOf(path) : String(existsSync(path)));
    const opened = await identify();
    return ok({
      path,
      db,
      readOnly,
      keptCopy,
      copyTo,
      async stillThere() {
        return (await identify()) === opened ? ok(null) : fail({ reason: 'file-replaced', facts: {} });
      },
      async close() {
        // Kysely destroys a driver only once it was used; the thread is there in any case.
        await db.destroy();
        await thread.end();
      },
    });
  } catch (error) {
    await thread.end().catch(() => undefined);
    const problem = storageProblem(error);
    if (problem === null) throw error;
    return fail(problem);
  }
}

/**
 * Runs the migrations a file has not seen, after putting a whole copy of it beside it.
 *
 * @returns where the copy is; null for a new file, and for one that was up to date
 */
export async function bringUpToDate(
  path: string,
  db: Kysely<unknown>,
  copyTo: (path: string) => Promise<unknown>,
  steps: Readonly<Record<string, Migration>> = migrations,
): Promise<string | null> {
  const from = await versionOf(db);
  if (from === Object.keys(steps).length) return null;
  const keptCopy = from === 0 ? null : freeName(`${path}.format-${from}`);
  if (keptCopy !== null) await copyTo(keptCopy);
  await migrate(db, steps);
  return keptCopy;
}

function freeName(wanted: string): string {
  let name = wanted;
  for (let n = 2; existsSync(name); n++) name = `${wanted}-${n}`;
  return name;
}
