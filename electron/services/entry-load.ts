import { sql } from 'kysely';
import type { PersonView } from '../../core/contract/views.ts';
import type { Situation } from '../../core/record/life.ts';
import type { EntryVersion } from '../../core/record/objects.ts';
import type { EntryRow, RecordRow, SignatureRow } from '../storage/tables.ts';
import { personById, type Reading } from './people.ts';

export interface VersionHead {
  readonly n: number;
  readonly hash: string;
}

/** An entry as a service needs it before it asks core what may be done. */
export interface LoadedEntry {
  readonly entry: EntryRow;
  readonly record: RecordRow;
  readonly owner: PersonView;
  /** Oldest first. */
  readonly versions: readonly VersionHead[];
  /** Oldest first. */
  readonly signatures: readonly SignatureRow[];
  readonly situation: Situation;
}

/** True for everybody but students, who see their own records only. */
export const maySee = (person: PersonView, ownerId: string): boolean =>
  person.role !== 'student' || person.id === ownerId;

/** Null where there is no such entry, and where it belongs to somebody whose records one may not see. */
export async function loadEntry(
  db: Reading,
  entryId: string,
  person: PersonView,
): Promise<LoadedEntry | null> {
  const entry = await db.selectFrom('entry').selectAll().where('id', '=', entryId).executeTakeFirst();
  if (entry === undefined) return null;
  const record = await db
    .selectFrom('record')
    .selectAll()
    .where('id', '=', entry.record_id)
    .executeTakeFirstOrThrow();
  if (!maySee(person, record.owner_id)) return null;
  const owner = await personById(db, record.owner_id);
  if (owner === null) throw new Error('a record has no owner');
  const versions = await db
    .selectFrom('version')
    .select(['n', 'hash'])
    .where('entry_id', '=', entryId)
    .orderBy('n')
    .execute();
  // A signature names those it rests on, so their number is its place; a clock may have been set back.
  const signatures = await db
    .selectFrom('signature')
    .selectAll()
    .where('entry_id', '=', entryId)
    .orderBy('n')
    .orderBy(sql`json_array_length(bytes, '$.previousSignatures')`)
    .orderBy('signed_at')
    .execute();
  const last = versions.at(-1);
  return {
    entry,
    record,
    owner,
    versions,
    signatures,
    situation: {
      state: entry.state,
      role: person.role,
      isOwner: record.owner_id === person.id,
      isSigner: signatures.some(
        (one) =>
          one.n === last?.n &&
          one.person_id === person.id &&
          (one.meaning === 'performed' || one.meaning === 'amended'),
      ),
      versionCount: versions.length,
      wasCountersigned: signatures.some((one) => one.meaning === 'countersigned'),
    },
  };
}

/** Null for a version there is not. */
export async function readVersion(db: Reading, entryId: string, n: number): Promise<EntryVersion | null> {
  const row = await db
    .selectFrom('version')
    .select('bytes')
    .where('entry_id', '=', entryId)
    .where('n', '=', n)
    .executeTakeFirst();
  return row === undefined ? null : (JSON.parse(row.bytes) as EntryVersion);
}
