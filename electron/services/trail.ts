import { sql, type RawBuilder } from 'kysely';
import type { InputOf } from '../../core/contract/request-map.ts';
import type { PersonView, TrailLine } from '../../core/contract/views.ts';
import type { AuditEvent } from '../../core/record/objects.ts';
import { trailActions, trailSentence, type TrailNames } from '../../core/record/trail.ts';
import { ok } from '../../core/result.ts';
import type { EventRow } from '../storage/tables.ts';
import type { Routes } from './asking.ts';
import { loadEntry } from './entry-load.ts';
import type { Reading } from './people.ts';
import { refuse } from './program.ts';

export const trail: Routes<'trail.list'> = {
  'trail.list': {
    by: 'signed-in',
    writes: false,
    async handle(input, { notebook, person }) {
      if (input.entryId !== null && (await loadEntry(notebook.db, input.entryId, person)) === null) {
        return refuse('not-found', 'entryId');
      }
      const where = trailFilter(input, person);
      const count = await sql<{ total: number }>`select count(*) as total from event where ${where}`.execute(
        notebook.db,
      );
      const before = input.before === null ? sql`1` : sql`seq < ${input.before}`;
      const page = await sql<EventRow>`
        select * from event where ${where} and ${before} order by seq desc limit ${input.limit}
      `.execute(notebook.db);
      return ok({
        lines: await trailLines(notebook.db, page.rows),
        total: count.rows[0]?.total ?? 0,
      });
    },
  },
};

export type TrailFilter = Pick<InputOf<'trail.list'>, 'entryId' | 'action' | 'text'>;

/** The events a person asks for, as far as they may read them. */
export const trailFilter = (filter: TrailFilter, person: PersonView): RawBuilder<unknown> =>
  sql.join([visibleTo(person), ...filters(filter)], sql` and `);

/** Students see what concerns their own records and themselves; the others see everything. */
const visibleTo = (person: PersonView): RawBuilder<unknown> =>
  person.role === 'student'
    ? sql`(person_id = ${person.id} or record_id in (select id from record where owner_id = ${person.id}))`
    : sql`1`;

function filters(input: TrailFilter): readonly RawBuilder<unknown>[] {
  const list: RawBuilder<unknown>[] = [];
  if (input.entryId !== null) list.push(sql`entry_id = ${input.entryId}`);
  if (input.action !== null) list.push(sql`action = ${input.action}`);
  const text = input.text?.trim() ?? '';
  if (text !== '') list.push(textFilter(text));
  return list;
}

/** Looks where a reader looks: who, what was done in words, from what to what, why. */
function textFilter(text: string): RawBuilder<unknown> {
  const pattern = `%${text.replace(/[\\%_]/g, '\\$&')}%`;
  const lower = text.toLowerCase();
  const actions = Object.entries(trailActions)
    .filter(([action, words]) => `${action} ${words}`.toLowerCase().includes(lower))
    .map(([action]) => action);
  const byAction = actions.length === 0 ? sql`0` : sql`action in (${sql.join(actions)})`;
  return sql`(${byAction}
    or json_extract(bytes, '$.actor.printedName') like ${pattern} escape '\\'
    or json_extract(bytes, '$.reason') like ${pattern} escape '\\'
    or json_extract(bytes, '$.device') like ${pattern} escape '\\'
    or exists (select 1 from json_each(event.bytes, '$.changes') as change
      where change.value ->> '$.path' like ${pattern} escape '\\'
        or change.value ->> '$.old' like ${pattern} escape '\\'
        or change.value ->> '$.new' like ${pattern} escape '\\'))`;
}

/** Events in words, in the order given. */
export async function trailLines(
  db: Reading,
  rows: readonly Pick<EventRow, 'bytes' | 'hash'>[],
): Promise<readonly TrailLine[]> {
  const entries = await db.selectFrom('entry').select(['id', 'number']).execute();
  const records = await db.selectFrom('record').select(['id', 'title']).execute();
  const numbers = new Map(entries.map((row) => [row.id, row.number]));
  const titles = new Map(records.map((row) => [row.id, row.title]));
  return rows.map((row) =>
    trailLine(JSON.parse(row.bytes) as AuditEvent, row.hash, {
      entryNumber: (id) => numbers.get(id) ?? null,
      recordTitle: (id) => titles.get(id) ?? null,
    }),
  );
}

export const trailLine = (event: AuditEvent, hash: string, names: TrailNames): TrailLine => ({
  seq: event.seq,
  at: event.at,
  offsetMinutes: event.offsetMinutes,
  who: event.actor?.printedName ?? '',
  role: event.actor?.role ?? null,
  action: event.action,
  what: trailSentence(event, names),
  changes: event.changes,
  reason: event.reason,
  device: event.device,
  isClockBack: event.isClockBack,
  hash,
});
