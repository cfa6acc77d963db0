import { sql } from 'kysely';
import { trailTableHead, trailTableName, trailTableRows } from '../../core/record/trail-table.ts';
import { ok } from '../../core/result.ts';
import { sha256 } from '../keys/crypto.ts';
import type { EventRow } from '../storage/tables.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { loadEntry } from './entry-load.ts';
import type { JobFile } from './jobs.ts';
import { refuse } from './program.ts';
import { trailFilter, trailLines, type TrailFilter } from './trail.ts';
import { transact } from './transact.ts';
import type { WorkWatch } from './work.ts';

/** Events read at a time: the window stays alive between two readings. */
const pageSize = 500;

export const trailExport: Routes<'trail.export'> = {
  'trail.export': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const { program, caller, person, notebook } = asking;
      if (input.entryId !== null && (await loadEntry(notebook.db, input.entryId, person)) === null) {
        return refuse('not-found', 'entryId');
      }
      return ok(
        program.jobs.begin(
          { id: program.newId(), kind: 'trail', client: caller.client, personId: person.id },
          async (watch) => {
            const file = await writeTable(asking, input, watch);
            await tellExported(asking, file);
            return file;
          },
          (error) => program.log('trail.export', error),
        ),
      );
    },
  },
};

async function writeTable(
  { notebook, person, program }: AskingPerson,
  filter: TrailFilter,
  { signal, onProgress }: WorkWatch,
): Promise<JobFile> {
  const { db } = notebook;
  const where = trailFilter(filter, person);
  const ends = await sql<{ total: number; last: number | null }>`
    select count(*) as total, max(seq) as last from event where ${where}`.execute(db);
  const { total, last } = ends.rows[0] ?? { total: 0, last: null };
  const parts: string[] = [trailTableHead()];
  let after = 0;
  let done = 0;
  for (;;) {
    signal.throwIfAborted();
    // What is written while the table grows is not part of it.
    const page = await sql<EventRow>`
      select * from event where ${where} and seq > ${after} and seq <= ${last ?? 0}
      order by seq limit ${pageSize}`.execute(db);
    parts.push(...(await trailLines(db, page.rows)).map(trailTableRows));
    done += page.rows.length;
    after = page.rows.at(-1)?.seq ?? after;
    onProgress(total === 0 ? 1 : done / total, 'writing the table');
    if (page.rows.length < pageSize) break;
  }
  return {
    bytes: new TextEncoder().encode(parts.join('')),
    name: trailTableName(program.clock.now()),
    mediaType: 'text/csv; charset=utf-8',
  };
}

async function tellExported(asking: AskingPerson, file: JobFile): Promise<void> {
  if (asking.notebook.readOnly !== null) return;
  await transact(asking, async (posting) => {
    await posting.tell({
      action: 'notebook.export',
      actor: actorOf(asking.person),
      changes: [{ path: 'file', old: '', new: `${file.name}, SHA-256 ${sha256(file.bytes)}` }],
    });
    return ok(null);
  });
}
