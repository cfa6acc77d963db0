import { attachmentLimits, judgeAttachment } from '../../core/attachments/attachment-file.ts';
import type { AttachmentCode } from '../../core/contract/request-map.ts';
import { canonical } from '../../core/record/canonical.ts';
import type { AttachmentNote } from '../../core/record/content.ts';
import { decide } from '../../core/record/life.ts';
import { ok } from '../../core/result.ts';
import { sha256 as hashOf } from '../keys/crypto.ts';
import { actorOf, type Routes } from './asking.ts';
import { contentOf, tellDraft } from './draft-audit.ts';
import { loadEntry } from './entry-load.ts';
import { refuse } from './program.ts';
import { refusedBy } from './refused-by.ts';
import { transact } from './transact.ts';

const fileCodes: readonly AttachmentCode[] = [
  'attachment-name',
  'attachment-empty',
  'attachment-too-large',
  'attachment-kind',
  'attachment-disguised',
  'attachment-damaged',
  'attachment-too-many-pixels',
];

export const attachment: Routes<'attachment.add'> = {
  'attachment.add': {
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
        if (draft.revision !== input.revision) {
          return refuse('draft-changed-elsewhere', 'revision', {
            revision: draft.revision,
            savedAt: draft.saved_at,
          });
        }
        const data = new Uint8Array(Buffer.from(input.data, 'base64'));
        const judged = judgeAttachment(input.name, data);
        if (!judged.ok) return refusedBy(judged.error, fileCodes);
        const content = contentOf(draft.content);
        const sha256 = hashOf(data);
        if (content.attachments.some((one) => one.sha256 === sha256)) {
          return refuse('attachment-there-already', 'data', { name: judged.value.name });
        }
        if (content.attachments.length >= attachmentLimits.files) {
          return refuse('attachment-too-many', 'data', { most: attachmentLimits.files });
        }
        // What was typed before is told by itself: this event is about the file alone.
        await tellDraft(posting, program, input.entryId);
        const mediaType = await keep(sha256, judged.value.mediaType);
        const { name, hasPosition } = judged.value;
        const note: AttachmentNote = {
          sha256,
          name,
          mediaType,
          sizeBytes: data.length,
          section: input.section,
          caption: input.caption.trim(),
        };
        const now = program.clock.now();
        const revision = draft.revision + 1;
        const after = canonical({ ...content, attachments: [...content.attachments, note] });
        await posting.update('draft', input.entryId, {
          content: after,
          revision,
          saved_at: now,
          saved_by: person.id,
          base_content: after,
          base_revision: revision,
        });
        await posting.tell({
          action: 'attachment.add',
          actor: actorOf(person),
          record: loaded.record.id,
          entry: input.entryId,
          changes: [{ path: `attachments.${sha256}`, old: '', new: `${name}, ${input.section}` }],
        });
        return ok({ note, hasPosition, revision, savedAt: now });

        /** Stored once, however often it is attached; the kind it was stored under stays. */
        async function keep(hash: string, type: string): Promise<string> {
          const there = await db
            .selectFrom('attachment')
            .select('media_type')
            .where('sha256', '=', hash)
            .executeTakeFirst();
          if (there !== undefined) {
            await posting.vouchFor('attachment', hash);
            return there.media_type;
          }
          await posting.insert('attachment', {
            sha256: hash,
            media_type: type,
            size_bytes: data.length,
            data,
          });
          return type;
        }
      }),
  },
};
