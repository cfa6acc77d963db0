import type { EntryView } from '../../core/contract/views.ts';
import { canonical } from '../../core/record/canonical.ts';
import { decide } from '../../core/record/life.ts';
import { ok } from '../../core/result.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { tellDraft } from './draft-audit.ts';
import { loadEntry, readVersion } from './entry-load.ts';
import { readEntryView } from './entry-view.ts';
import type { Posting } from './posting.ts';
import { refuse } from './program.ts';
import { refusedBy } from './refused-by.ts';
import { transact } from './transact.ts';

/** What changes the state of an entry without a signature. */
export const entryState: Routes<'entry.strike-out' | 'entry.amend' | 'entry.abandon-amendment'> = {
  'entry.strike-out': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const loaded = await loadEntry(posting.db, input.entryId, asking.person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const decided = decide('strike-out', loaded.situation, { reason: input.reason });
        if (!decided.ok) return refusedBy(decided.error, ['entry-locked', 'reason-missing']);
        const reason = input.reason.trim();
        await tellDraft(posting, asking.program, input.entryId);
        await posting.update('entry', input.entryId, { state: decided.value, strike_out_reason: reason });
        await posting.tell({
          action: 'entry.strike-out',
          actor: actorOf(asking.person),
          record: loaded.record.id,
          entry: input.entryId,
          reason,
        });
        return viewAfter(posting, asking, input.entryId);
      }),
  },
  'entry.amend': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const loaded = await loadEntry(posting.db, input.entryId, asking.person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const decided = decide('amend', loaded.situation, { reason: input.reason });
        if (!decided.ok) return refusedBy(decided.error, ['not-locked', 'reason-missing']);
        const reason = input.reason.trim();
        await posting.update('entry', input.entryId, { state: decided.value, amendment_reason: reason });
        await posting.tell({
          action: 'entry.amend',
          actor: actorOf(asking.person),
          record: loaded.record.id,
          entry: input.entryId,
          n: loaded.versions.at(-1)?.n ?? 0,
          reason,
        });
        return viewAfter(posting, asking, input.entryId);
      }),
  },
  'entry.abandon-amendment': {
    by: 'signed-in',
    writes: true,
    handle: (input, asking) =>
      transact(asking, async (posting) => {
        const { db } = posting;
        const loaded = await loadEntry(db, input.entryId, asking.person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const decided = decide('abandon-amendment', loaded.situation);
        if (!decided.ok) return refusedBy(decided.error, ['not-locked']);
        const last = loaded.versions.at(-1);
        const version = last === undefined ? null : await readVersion(db, input.entryId, last.n);
        if (last === undefined || version === null) throw new Error('an amended entry has no version');
        // What was typed meanwhile is told first: the trail keeps it, though the page does not.
        await tellDraft(posting, asking.program, input.entryId);
        const { revision } = await db
          .selectFrom('draft')
          .select('revision')
          .where('entry_id', '=', input.entryId)
          .executeTakeFirstOrThrow();
        const content = canonical(version.content);
        await posting.update('draft', input.entryId, {
          content,
          revision: revision + 1,
          saved_at: asking.program.clock.now(),
          saved_by: asking.person.id,
          base_content: content,
          base_revision: revision + 1,
        });
        await posting.update('entry', input.entryId, { state: decided.value, amendment_reason: null });
        await posting.tell({
          action: 'entry.abandon-amendment',
          actor: actorOf(asking.person),
          record: loaded.record.id,
          entry: input.entryId,
          n: last.n,
        });
        return viewAfter(posting, asking, input.entryId);
      }),
  },
};

async function viewAfter(
  posting: Posting,
  asking: AskingPerson,
  entryId: string,
): Promise<{ readonly ok: true; readonly value: EntryView }> {
  const after = await loadEntry(posting.db, entryId, asking.person);
  if (after === null) throw new Error('the entry is gone');
  return ok(await readEntryView(posting.db, after));
}
