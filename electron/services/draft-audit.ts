import { changesForTrail, differencesBetween } from '../../core/record/differences.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { ok } from '../../core/result.ts';
import type { DraftRow } from '../storage/tables.ts';
import { actorOf, type Asking } from './asking.ts';
import { personById } from './people.ts';
import type { Posting } from './posting.ts';
import type { Program } from './program.ts';
import { transact } from './transact.ts';

/** Content as we stored it ourselves: it was parsed on its way in. */
export const contentOf = (text: string): EntryContent => JSON.parse(text) as EntryContent;

/** Tells the trail what a draft says now that it did not say before, if anything. */
export async function tellDraft(posting: Posting, program: Program, entryId: string): Promise<void> {
  const draft = await posting.db
    .selectFrom('draft')
    .selectAll()
    .where('entry_id', '=', entryId)
    .executeTakeFirstOrThrow();
  program.pendingDrafts.told(entryId);
  if (draft.revision === draft.base_revision) return;
  await tellRow(posting, draft);
}

async function tellRow(posting: Posting, draft: DraftRow): Promise<void> {
  const entry = await posting.db
    .selectFrom('entry')
    .select('record_id')
    .where('id', '=', draft.entry_id)
    .executeTakeFirstOrThrow();
  const person = await personById(posting.db, draft.saved_by);
  await posting.update('draft', draft.entry_id, {
    base_content: draft.content,
    base_revision: draft.revision,
  });
  await posting.tell({
    action: 'draft.save',
    actor: person === null ? null : actorOf(person),
    record: entry.record_id,
    entry: draft.entry_id,
    changes: changesForTrail(differencesBetween(contentOf(draft.base_content), contentOf(draft.content))),
  });
}

/** Tells the trail of every pending draft, or of those one person saved. */
export async function tellDrafts(
  asking: Pick<Asking, 'program' | 'notebook'>,
  which: { readonly savedBy?: string } = {},
): Promise<void> {
  let query = asking.notebook.db
    .selectFrom('draft')
    .select('entry_id')
    .whereRef('revision', '>', 'base_revision');
  if (which.savedBy !== undefined) query = query.where('saved_by', '=', which.savedBy);
  const pending = await query.execute();
  for (const { entry_id } of pending) {
    await transact(asking, async (posting) => {
      await tellDraft(posting, asking.program, entry_id);
      return ok(null);
    });
  }
}
