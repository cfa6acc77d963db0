import { sql } from 'kysely';
import { shownBytes } from '../../core/attachments/attachment-file.ts';
import type { PersonView } from '../../core/contract/views.ts';
import type { AttachmentNote, EntryContent } from '../../core/record/content.ts';
import { showsDraftTo } from '../../core/record/life.ts';
import { contentOf } from './draft-audit.ts';
import { loadEntry } from './entry-load.ts';
import { isReadable } from './entry-view.ts';
import type { Reading } from './people.ts';

export interface WhichAttachment {
  readonly entryId: string;
  readonly sha256: string;
  /** As it was attached, byte for byte. */
  readonly isOriginal: boolean;
}

export interface AttachedFile {
  readonly bytes: Uint8Array;
  readonly name: string;
  readonly mediaType: string;
  readonly isPicture: boolean;
}

/** Everything that was ever attached to an entry, as far as a signed version or an event says so. */
async function wasAttached(db: Reading, entryId: string, sha256: string): Promise<boolean> {
  const { rows } = await sql<{ found: number }>`
    select 1 as found from event, json_each(event.bytes, '$.evidence') as evidence
      where event.entry_id = ${entryId} and event.action = 'attachment.add'
        and evidence.value ->> '$.kind' = 'attachment' and evidence.value ->> '$.id' = ${sha256}
    union all
    select 1 from version, json_each(version.bytes, '$.content.attachments') as note
      where version.entry_id = ${entryId} and note.value ->> '$.sha256' = ${sha256}
    limit 1`.execute(db);
  return rows.length > 0;
}

/**
 * The place of an attachment in new content that does not belong there: never attached to this entry,
 * or described otherwise than it is. A draft must not become a way to somebody else's files.
 */
export async function strangeAttachment(
  db: Reading,
  entryId: string,
  content: EntryContent,
  before: EntryContent,
): Promise<number | null> {
  const known = new Map(before.attachments.map((note) => [note.sha256, note]));
  const seen = new Set<string>();
  for (const [index, note] of content.attachments.entries()) {
    if (seen.has(note.sha256)) return index;
    seen.add(note.sha256);
    const same = known.get(note.sha256);
    if (same !== undefined && same.mediaType === note.mediaType && same.sizeBytes === note.sizeBytes)
      continue;
    const row = await db
      .selectFrom('attachment')
      .select(['media_type', 'size_bytes'])
      .where('sha256', '=', note.sha256)
      .executeTakeFirst();
    if (row === undefined || row.media_type !== note.mediaType || row.size_bytes !== note.sizeBytes) {
      return index;
    }
    if (!(await wasAttached(db, entryId, note.sha256))) return index;
  }
  return null;
}

/** Null where there is nothing that this person may see. */
export async function readAttachment(
  db: Reading,
  { entryId, sha256, isOriginal }: WhichAttachment,
  person: PersonView,
): Promise<AttachedFile | null> {
  const loaded = await loadEntry(db, entryId, person);
  if (loaded === null || !isReadable(loaded)) return null;
  const note = await noteFor(
    db,
    entryId,
    sha256,
    showsDraftTo(loaded.situation) || loaded.entry.state === 'struck-out',
  );
  if (note === null) return null;
  const row = await db
    .selectFrom('attachment')
    .select(['media_type', 'data'])
    .where('sha256', '=', sha256)
    .executeTakeFirst();
  if (row === undefined) return null;
  return {
    bytes: isOriginal ? row.data : shownBytes(row.media_type, row.data),
    name: note.name,
    mediaType: row.media_type,
    isPicture: row.media_type.startsWith('image/'),
  };
}

/** The note that attaches a file: in the draft for those who see it, or in any signed version. */
async function noteFor(
  db: Reading,
  entryId: string,
  sha256: string,
  seesDraft: boolean,
): Promise<AttachmentNote | null> {
  const { rows } = await sql<{ notes: string }>`
    select json_extract(bytes, '$.content.attachments') as notes from version where entry_id = ${entryId}
    order by n desc`.execute(db);
  const lists = rows.map((row) => JSON.parse(row.notes) as AttachmentNote[]);
  if (seesDraft) {
    const draft = await db
      .selectFrom('draft')
      .select('content')
      .where('entry_id', '=', entryId)
      .executeTakeFirstOrThrow();
    lists.unshift([...contentOf(draft.content).attachments]);
  }
  return lists.flat().find((note) => note.sha256 === sha256) ?? null;
}
