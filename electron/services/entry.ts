import { canonical } from '../../core/record/canonical.ts';
import { decide } from '../../core/record/life.ts';
import { isDraftAuditDue } from '../../core/record/draft-audit.ts';
import { ok } from '../../core/result.ts';
import { actorOf, type Routes } from './asking.ts';
import { strangeAttachment } from './attachment-file.ts';
import { contentOf, tellDraft } from './draft-audit.ts';
import { isReadable, readEntryView } from './entry-view.ts';
import { loadEntry, maySee } from './entry-load.ts';
import { refuse } from './program.ts';
import { refusedBy } from './refused-by.ts';
import { timeRefusal } from './time-marks.ts';
import { transact } from './transact.ts';

export const entry: Routes<'entry.begin' | 'entry.open' | 'draft.save'> = {
  'entry.begin': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const { person, program } = asking;
        const { db } = posting;
        const record = await db
          .selectFrom('record')
          .selectAll()
          .where('id', '=', input.recordId)
          .executeTakeFirst();
        if (record === undefined || !maySee(person, record.owner_id)) return refuse('not-found', 'recordId');
        if (record.owner_id !== person.id) return refuse('not-allowed', 'recordId');
        const late = timeRefusal(input.content, program.clock.now());
        if (late !== null) return late;
        if (input.content.attachments.length > 0) return refuse('attachment-unknown', 'content.attachments');
        const last = await db
          .selectFrom('entry')
          .select((build) => build.fn.max('number').as('number'))
          .where('record_id', '=', record.id)
          .executeTakeFirst();
        const id = program.newId();
        const now = program.clock.now();
        const content = canonical(input.content);
        await posting.insert('entry', {
          id,
          record_id: record.id,
          number: (last?.number ?? 0) + 1,
          state: 'draft',
          mark: '',
          amendment_reason: null,
          strike_out_reason: null,
          created_at: now,
        });
        await posting.insert('draft', {
          entry_id: id,
          content,
          revision: 1,
          saved_at: now,
          saved_by: person.id,
          base_content: content,
          base_revision: 1,
        });
        await posting.tell({
          action: 'entry.begin',
          actor: actorOf(person),
          record: record.id,
          entry: id,
          changes: [{ path: 'title', old: '', new: input.content.title }],
        });
        const loaded = await loadEntry(db, id, person);
        if (loaded === null) throw new Error('the entry just begun is not there');
        return ok(await readEntryView(db, loaded));
      }),
  },
  'entry.open': {
    by: 'signed-in',
    writes: false,
    async handle(input, { notebook, person }) {
      const loaded = await loadEntry(notebook.db, input.entryId, person);
      if (loaded === null) return refuse('not-found', 'entryId');
      if (!isReadable(loaded)) return refuse('not-allowed', 'entryId', { reason: 'not-handed-in' });
      return ok(await readEntryView(notebook.db, loaded));
    },
  },
  'draft.save': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const { person, program } = asking;
        const { db } = posting;
        const loaded = await loadEntry(db, input.entryId, person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const decided = decide('save', loaded.situation);
        if (!decided.ok) return refusedBy(decided.error, ['entry-locked']);
        const draft = await db
          .selectFrom('draft')
          .selectAll()
          .where('entry_id', '=', input.entryId)
          .executeTakeFirstOrThrow();
        const content = canonical(input.content);
        // Asked twice for the same, as after a reply that got lost: it is saved already.
        if (content === draft.content) return ok({ revision: draft.revision, savedAt: draft.saved_at });
        if (draft.revision !== input.revision) {
          return refuse('draft-changed-elsewhere', 'revision', {
            revision: draft.revision,
            savedAt: draft.saved_at,
          });
        }
        const now = program.clock.now();
        const late = timeRefusal(input.content, now);
        if (late !== null) return late;
        const strange = await strangeAttachment(db, input.entryId, input.content, contentOf(draft.content));
        if (strange !== null) {
          return refuse('attachment-unknown', `content.attachments.${strange}`);
        }
        // Somebody else's unsaid changes are told in their own name, before mine.
        if (draft.saved_by !== person.id) await tellDraft(posting, program, input.entryId);
        const revision = draft.revision + 1;
        await db
          .updateTable('draft')
          .set({ content, revision, saved_at: now, saved_by: person.id })
          .where('entry_id', '=', input.entryId)
          .execute();
        if (
          isDraftAuditDue(program.pendingDrafts.since(input.entryId), person.id, {
            at: now,
            person: person.id,
          })
        ) {
          await tellDraft(posting, program, input.entryId);
        } else program.pendingDrafts.note(input.entryId, now);
        return ok({ revision, savedAt: now });
      }),
  },
};
