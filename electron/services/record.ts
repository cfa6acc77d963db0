import { sql } from 'kysely';
import type { IndexLine, PersonView, RecordCard } from '../../core/contract/views.ts';
import { ok } from '../../core/result.ts';
import { actorOf, type Routes } from './asking.ts';
import { maySee } from './entry-load.ts';
import { personById, readPeople, type Reading } from './people.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';

export const record: Routes<'record.list' | 'record.begin' | 'record.open'> = {
  'record.list': {
    by: 'signed-in',
    writes: false,
    handle: async (_, { notebook, person }) => ok({ records: await readCards(notebook.db, person, null) }),
  },
  'record.begin': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const { person, program } = asking;
        const owner = await personById(posting.db, input.ownerId);
        if (owner === null) return refuse('not-found', 'ownerId');
        // A student begins their own; instructors and the department hand them out.
        if (!maySee(person, owner.id) || owner.role === 'department') return refuse('not-allowed', 'ownerId');
        const same = await posting.db
          .selectFrom('record')
          .select('id')
          .where('owner_id', '=', owner.id)
          .where('title', '=', input.title)
          .executeTakeFirst();
        if (same !== undefined) return refuse('title-taken', 'title', { title: input.title });
        const id = program.newId();
        await posting.insert('record', {
          id,
          owner_id: owner.id,
          title: input.title,
          course: input.course,
          created_at: program.clock.now(),
        });
        await posting.tell({ action: 'record.begin', actor: actorOf(person), record: id });
        const [card] = await readCards(posting.db, person, id);
        if (card === undefined) throw new Error('the record just begun is not there');
        return ok(card);
      }),
  },
  'record.open': {
    by: 'signed-in',
    writes: false,
    async handle(input, { notebook, person }) {
      const [card] = await readCards(notebook.db, person, input.recordId);
      if (card === undefined) return refuse('not-found', 'recordId');
      return ok({ card, lines: await readIndex(notebook.db, card, person) });
    },
  },
};

/** Records a person may see, or one of them; last used first. */
async function readCards(db: Reading, person: PersonView, recordId: string | null): Promise<RecordCard[]> {
  const people = await readPeople(db);
  let query = db.selectFrom('record').leftJoin('entry', 'entry.record_id', 'record.id');
  if (recordId !== null) query = query.where('record.id', '=', recordId);
  if (person.role === 'student') query = query.where('record.owner_id', '=', person.id);
  const rows = await query
    .select([
      'record.id',
      'record.title',
      'record.course',
      'record.owner_id',
      'record.created_at',
      sql<number>`count(entry.id)`.as('entries'),
      sql<number>`coalesce(sum(entry.state = 'countersigned'), 0)`.as('locked'),
      sql<number>`coalesce(sum(entry.state = 'signed'), 0)`.as('waiting'),
      sql<string | null>`(select event.at from event where event.record_id = record.id
        order by event.seq desc limit 1)`.as('last_event'),
    ])
    .groupBy('record.id')
    .execute();
  return rows
    .map((row): RecordCard => {
      const owner = people.get(row.owner_id);
      if (owner === undefined) throw new Error('a record has no owner');
      return {
        id: row.id,
        title: row.title,
        course: row.course,
        owner,
        entryCount: row.entries,
        lockedCount: row.locked,
        waitingCount: row.waiting,
        lastChangedAt: row.last_event ?? row.created_at,
      };
    })
    .sort((a, b) => b.lastChangedAt.localeCompare(a.lastChangedAt));
}

async function readIndex(db: Reading, card: RecordCard, person: PersonView): Promise<IndexLine[]> {
  const isOwner = card.owner.id === person.id;
  const rows = await sql<{
    id: string;
    number: number;
    state: IndexLine['state'];
    mark: string;
    draft_title: string;
    draft_date: string;
    title: string | null;
    date: string | null;
    versions: number;
    open_comments: number;
    instructor: string | null;
  }>`
    select entry.id, entry.number, entry.state, entry.mark,
      json_extract(draft.content, '$.title') as draft_title,
      json_extract(draft.content, '$.date') as draft_date,
      json_extract(version.bytes, '$.content.title') as title,
      json_extract(version.bytes, '$.content.date') as date,
      coalesce(version.n, 0) as versions,
      (select count(*) from comment where comment.entry_id = entry.id and is_settled = 0) as open_comments,
      (select person.initials from signature join person on person.id = signature.person_id
        where signature.entry_id = entry.id and signature.n = version.n
          and signature.meaning = 'countersigned'
        order by signature.signed_at desc limit 1) as instructor
    from entry
      join draft on draft.entry_id = entry.id
      left join version on version.entry_id = entry.id
        and version.n = (select max(n) from version where version.entry_id = entry.id)
    where entry.record_id = ${card.id}
    order by entry.number`.execute(db);
  return rows.rows.map((row) => ({
    entryId: row.id,
    number: row.number,
    date: isOwner ? row.draft_date : (row.date ?? row.draft_date),
    title: isOwner ? row.draft_title : (row.title ?? row.draft_title),
    state: row.state,
    mark: row.mark,
    studentInitials: row.versions > 0 ? card.owner.initials : '',
    instructorInitials: row.instructor ?? '',
    versionCount: row.versions,
    openComments: row.open_comments,
  }));
}
