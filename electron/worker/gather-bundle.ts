import type Database from 'better-sqlite3';
import type { Kysely } from 'kysely';
import type { PersonView } from '../../core/contract/views.ts';
import { bundleFileName, bundleOfEntries, bundleText } from '../../core/record/bundle.ts';
import { keyFingerprint } from '../../core/record/fingerprint.ts';
import type { EntryVersion } from '../../core/record/objects.ts';
import type { EntryBundle, PrintedVersion, RecordBundle } from '../../core/report/bundle.ts';
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
): Promise<EntryBundle> {
  const loaded = await loadEntry(db, entryId, reader.person);
  if (loaded === null || !isReadable(loaded)) throw new Error('the entry is not there to be read');
  return gather(db, loaded, reader, carried(database, loaded.versions.length > 0 ? [entryId] : []));
}

export async function recordBundle(
  db: Kysely<Tables>,
  database: Database.Database,
  { recordId, ...reader }: For & { readonly recordId: string },
  signal: AbortSignal,
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
    entries,
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
