import { decide, showsDraftTo } from '../../core/record/life.ts';
import { ok } from '../../core/result.ts';
import { actorOf, type Routes } from './asking.ts';
import { loadEntry } from './entry-load.ts';
import { commentView } from './entry-view.ts';
import { readPeople } from './people.ts';
import { refuse } from './program.ts';
import { refusedBy } from './refused-by.ts';
import { transact } from './transact.ts';

export const comment: Routes<'comment.add' | 'comment.settle'> = {
  'comment.add': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const { person, program } = asking;
        const loaded = await loadEntry(posting.db, input.entryId, person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const allowed = decide('comment', loaded.situation, { text: input.text });
        if (!allowed.ok) return notNow(allowed.error.code) ?? refusedBy(allowed.error, ['comment-missing']);
        const id = program.newId();
        await posting.insert('comment', {
          id,
          entry_id: input.entryId,
          n: showsDraftTo(loaded.situation) ? null : (loaded.versions.at(-1)?.n ?? null),
          section: input.section,
          anchor: input.anchor,
          text: input.text.trim(),
          author_id: person.id,
          at: program.clock.now(),
          is_settled: 0,
        });
        const row = await posting.db
          .selectFrom('comment')
          .selectAll()
          .where('id', '=', id)
          .executeTakeFirstOrThrow();
        await posting.tell({
          action: 'comment.add',
          actor: actorOf(person),
          record: loaded.record.id,
          entry: input.entryId,
          ...(row.n === null ? {} : { n: row.n }),
          changes: [{ path: `comment on ${input.section}`, old: '', new: row.text }],
        });
        return ok(commentView(row, await readPeople(posting.db)));
      }),
  },
  'comment.settle': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const row = await posting.db
          .selectFrom('comment')
          .selectAll()
          .where('id', '=', input.commentId)
          .executeTakeFirst();
        const loaded = row === undefined ? null : await loadEntry(posting.db, row.entry_id, asking.person);
        if (row === undefined || loaded === null) return refuse('not-found', 'commentId');
        const allowed = decide('settle-comment', loaded.situation);
        if (!allowed.ok) return notNow(allowed.error.code) ?? refusedBy(allowed.error, []);
        const people = await readPeople(posting.db);
        if (row.is_settled === 1) return ok(commentView(row, people));
        await posting.update('comment', row.id, { is_settled: 1 });
        await posting.tell({
          action: 'comment.settle',
          actor: actorOf(asking.person),
          record: loaded.record.id,
          entry: row.entry_id,
          ...(row.n === null ? {} : { n: row.n }),
          changes: [{ path: `comment on ${row.section}`, old: row.text, new: `${row.text} (settled)` }],
        });
        return ok(commentView({ ...row, is_settled: 1 }, people));
      }),
  },
};

/** A locked entry is not discussed any more. */
const notNow = (code: string): ReturnType<typeof refuse<'not-allowed'>> | null =>
  code === 'entry-locked' ? refuse('not-allowed', 'entryId', { reason: code }) : null;
