import type Database from 'better-sqlite3';
import type { Kysely } from 'kysely';
import { judgeAttachment } from '../../core/attachments/attachment-file.ts';
import type { PersonView } from '../../core/contract/views.ts';
import { bundleFileName, bundleOfEntries, bundleText } from '../../core/record/bundle.ts';
import type { AttachmentNote } from '../../core/record/content.ts';
import { keyFingerprint } from '../../core/record/fingerprint.ts';
import type { EntryVersion } from '../../core/record/objects.ts';
import type { EntryBundle, PrintedVersion, RecordBundle } from '../../core/report/bundle.ts';
import { planCarried } from '../../core/report/carried-files.ts';
import type { EmbeddedFile } from '../../core/report/report-document.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';
import { isReadable, readEntryView } from '../services/entry-view.ts';
import { loadEntry, type LoadedEntry } from '../services/entry-load.ts';
import { personById, readPeople } from '../services/people.ts';
import type { SealWith } from '../services/seal-key.ts';
import { trailLines } from '../services/trail.ts';
import type { Tables } from '../storage/tables.ts';
import { tablesOfEntries } from './tables-of-entries.ts';

interface For {
  readonly person: PersonView;
  readonly at: string;
  readonly offsetMinutes: number;
  readonly sealWith: SealWith | null;
}

/** What an entry's pages show: the last signed version, or the draft where nothing is signed yet. */
export async function entryBundle(
  db: Kysely<Tables>,
  database: Database.Database,
  { entryId, ...reader }: For & { readonly entryId: string },
  carriesFiles = true,
): Promise<EntryBundle> {
  const loaded = await loadEntry(db, entryId, reader.person);
  if (loaded === null || !isReadable(loaded)) throw new Error('the entry is not there to be read');
  const bundle = await gather(
    db,
    loaded,
    reader,
    carried(database, loaded.versions.length > 0 ? [entryId] : []),
  );
  return carriesFiles ? { ...bundle, carried: planCarried([bundle], mayCarry(database)) } : bundle;
}

export async function recordBundle(
  db: Kysely<Tables>,
  database: Database.Database,
  { recordId, ...reader }: For & { readonly recordId: string },
  signal: AbortSignal,
  carriesFiles = true,
): Promise<RecordBundle> {
  const record = await db
    .selectFrom('record')
    .selectAll()
    .where('id', '=', recordId)
    .executeTakeFirstOrThrow();
  const notebook = await db.selectFrom('notebook').selectAll().executeTakeFirstOrThrow();
  const owner = await personById(db, record.owner_id);
  if (owner === null) throw new Error('a record has no owner');
  const rows = await db
    .selectFrom('entry')
    .select('id')
    .where('record_id', '=', recordId)
    .orderBy('number')
    .execute();
  const entries: EntryBundle[] = [];
  const signed: string[] = [];
  for (const { id } of rows) {
    signal.throwIfAborted();
    const loaded = await loadEntry(db, id, reader.person);
    if (loaded === null || !isReadable(loaded)) continue;
    if (loaded.versions.length > 0) signed.push(id);
    entries.push(await gather(db, loaded, reader, []));
  }
  const files = carriesFiles ? planCarried(entries, mayCarry(database)) : null;
  const head = await db
    .selectFrom('event')
    .select(['seq', 'hash'])
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirstOrThrow();
  return {
    title: record.title,
    course: record.course,
    institution: notebook.institution,
    department: notebook.department,
    owner,
    departmentFingerprint: keyFingerprint(recordCrypto, notebook.department_key),
    seal:
      reader.sealWith === null
        ? null
        : { name: reader.sealWith.name, certificate: sha256(reader.sealWith.anchor) },
    boundBy: reader.person.printedName,
    trailHead: head.hash,
    trailLength: head.seq,
    entries: files === null ? entries : entries.map((one) => ({ ...one, carried: files })),
    ...(files === null ? {} : { carried: files }),
    createdAt: reader.at,
    offsetMinutes: reader.offsetMinutes,
    embedded: carried(database, signed),
  };
}

async function gather(
  db: Kysely<Tables>,
  loaded: LoadedEntry,
  reader: For,
  embedded: readonly EmbeddedFile[],
): Promise<EntryBundle> {
  const { entry } = loaded;
  const view = await readEntryView(db, loaded);
  const notebook = await db.selectFrom('notebook').select('institution').executeTakeFirstOrThrow();
  const events = await db
    .selectFrom('event')
    .select(['bytes', 'hash', 'at'])
    .where('entry_id', '=', entry.id)
    .orderBy('seq')
    .execute();
  const rows = await db
    .selectFrom('version')
    .select('bytes')
    .where('entry_id', '=', entry.id)
    .orderBy('n')
    .execute();
  const versions = rows.map(({ bytes }, index): PrintedVersion => {
    const { n, author, reason, content, computed } = JSON.parse(bytes) as EntryVersion;
    const card = view.versions[index];
    if (card === undefined) throw new Error('a version has no card');
    return {
      n,
      hash: card.hash,
      author: author.printedName,
      reason,
      content,
      computed,
      signatures: card.signatures,
    };
  });
  const last = versions.at(-1);
  const isClosed = entry.state === 'countersigned' || entry.state === 'struck-out';
  return {
    entry: view,
    institution: notebook.institution,
    shown: last === undefined ? { n: null, content: view.content } : { n: last.n, content: last.content },
    versions,
    trail: await trailLines(db, events),
    people: [...(await readPeople(db)).values()],
    // A closed entry prints the same today and in ten years.
    createdAt: isClosed ? (events.at(-1)?.at ?? reader.at) : reader.at,
    offsetMinutes: reader.offsetMinutes,
    embedded,
  };
}

/**
 * What is there, and does not say where it was taken: that a photograph keeps, but nobody should hand it
 * on without knowing. It stays in the notebook, its hand-ins and its deposit.
 */
function mayCarry(database: Database.Database): (note: AttachmentNote) => boolean {
  const read = database.prepare('select data from attachment where sha256 = ?').pluck();
  return ({ sha256, name }) => {
    const data = read.get(sha256) as Uint8Array | undefined;
    if (data === undefined) return false;
    const judged = judgeAttachment(name, data);
    return judged.ok && !judged.value.hasPosition;
  };
}

/** The signed objects themselves, so that the PDF can be checked without the notebook. */
function carried(database: Database.Database, entryIds: readonly string[]): readonly EmbeddedFile[] {
  if (entryIds.length === 0) return [];
  const ids = new Set(entryIds);
  return [
    {
      name: bundleFileName,
      mediaType: 'application/json',
      text: bundleText(bundleOfEntries(tablesOfEntries(database, ids), ids)),
      description: 'The signed entries as data: versions, signatures, certificates, audit trail',
      relationship: 'Data',
    },
  ];
}
