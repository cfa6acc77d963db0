import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { departmentPerson } from '../../../core/record/build.ts';
import type { StoredRow } from '../../../core/record/attest.ts';
import type { Bundle } from '../../../core/record/bundle.ts';
import type { Sealed } from '../../../core/record/objects.ts';
import { readObject } from '../../../core/record/read-object.ts';
import { sha256 } from '../../keys/crypto.ts';
import { migrate } from '../../storage/migrate.ts';
import type { Tables } from '../../storage/tables.ts';

/** Somebody named in a bundle, with the role the signed objects give. */
export interface NamedPerson {
  readonly id: string;
  readonly printedName: string;
  readonly role: string;
}

/** Everybody the signed objects of a bundle name. */
export function peopleOf(bundle: Bundle): readonly NamedPerson[] {
  const people = new Map<string, NamedPerson>();
  const add = (id: string, printedName: string, role: string): void => {
    if (id !== departmentPerson && !people.has(id)) people.set(id, { id, printedName, role });
  };
  for (const { bytes } of bundle.certificates) {
    const read = readObject('certificate', bytes);
    if (read.ok) add(read.value.person, read.value.printedName, read.value.role);
  }
  for (const { bytes } of bundle.signatures) {
    const read = readObject('signature', bytes);
    if (read.ok) add(read.value.signer.person, read.value.signer.printedName, read.value.signer.role);
  }
  for (const { bytes } of bundle.events) {
    const read = readObject('event', bytes);
    const actor = read.ok ? read.value.actor : null;
    if (actor !== null) add(actor.person, actor.printedName, actor.role);
  }
  return [...people.values()];
}

/**
 * A notebook in memory that holds a bundle and nothing else, for what prints from a notebook. It has no
 * guards and need not be sound: it is looked at and thrown away.
 *
 * @param initials by person; they are printed, but no part of what is signed
 * @param files attachments by content
 * @throws for a bundle whose objects cannot be read: the check of the record names the first of those
 */
export async function bundleDatabase(
  bundle: Bundle,
  initials: ReadonlyMap<string, string>,
  files: readonly Uint8Array[],
): Promise<{ readonly database: Database.Database; readonly db: Kysely<Tables> }> {
  const database = new Database(':memory:');
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
  await migrate(db as unknown as Kysely<unknown>);
  database.pragma('foreign_keys = off');
  const guards = database.prepare(`select name from sqlite_schema where type = 'trigger'`).pluck().all();
  for (const name of guards as string[]) database.exec(`drop trigger "${name}"`);
  const add = (table: string, row: StoredRow): void => {
    const columns = Object.keys(row);
    database
      .prepare(
        `insert into "${table}" (${columns.map((name) => `"${name.replaceAll('"', '""')}"`).join(', ')})
         values (${columns.map(() => '?').join(', ')})`,
      )
      .run(...Object.values(row));
  };
  const { notebook: id, institution, department, departmentKey: department_key } = bundle;
  add('notebook', { id, institution, department, department_key, is_demo: 0, format: 1, created_at: '' });
  for (const { id, printedName, role } of peopleOf(bundle)) {
    add('person', {
      id,
      printed_name: printedName,
      initials: initials.get(id) ?? '',
      role,
      created_at: '',
    });
  }
  for (const { table, row } of bundle.rows) add(table, row);
  for (const sealed of bundle.versions) addVersion(sealed, add, files);
  for (const sealed of bundle.signatures) add('signature', signatureRow(sealed));
  for (const sealed of bundle.revocations) add('revocation', revocationRow(sealed));
  for (const sealed of bundle.events) add('event', eventRow(sealed));
  return { database, db };
}

type Add = (table: string, row: StoredRow) => void;

function whole<K extends 'version' | 'signature' | 'event' | 'revocation'>(kind: K, sealed: Sealed) {
  const read = readObject(kind, sealed.bytes);
  if (!read.ok) throw new Error(`${kind}: ${read.error.code}`);
  return read.value;
}

function addVersion(sealed: Sealed, add: Add, files: readonly Uint8Array[]): void {
  const { entry, n, author, content } = whole('version', sealed);
  add('version', {
    hash: sealed.hash,
    entry_id: entry,
    n,
    author_id: author.person,
    bytes: sealed.bytes,
  });
  if (n === 1) {
    // What is printed of a signed entry is its last version; a draft has to be there all the same.
    const text = JSON.stringify(content);
    add('draft', {
      entry_id: entry,
      content: text,
      revision: 1,
      saved_at: '',
      saved_by: author.person,
      base_content: text,
      base_revision: 1,
    });
  }
  for (const note of content.attachments) {
    const data = files.find((file) => sha256(file) === note.sha256);
    if (data === undefined) continue;
    try {
      add('attachment', {
        sha256: note.sha256,
        media_type: note.mediaType,
        size_bytes: data.length,
        data,
      });
    } catch {
      // The same file in a later version as well.
    }
  }
}

function signatureRow(sealed: Sealed): StoredRow {
  const payload = whole('signature', sealed);
  return {
    hash: sealed.hash,
    entry_id: payload.entry,
    n: payload.n,
    version_hash: payload.versionHash,
    meaning: payload.meaning,
    person_id: payload.signer.person,
    certificate_hash: payload.certificateHash,
    signed_at: payload.signedAt,
    bytes: sealed.bytes,
    signature: sealed.signature ?? '',
  };
}

function revocationRow(sealed: Sealed): StoredRow {
  const { certificateHash, kind, since } = whole('revocation', sealed);
  return {
    hash: sealed.hash,
    certificate_hash: certificateHash,
    kind,
    since,
    bytes: sealed.bytes,
    signature: sealed.signature ?? '',
  };
}

function eventRow(sealed: Sealed): StoredRow {
  const event = whole('event', sealed);
  return {
    seq: event.seq,
    hash: sealed.hash,
    previous: event.previous,
    at: event.at,
    action: event.action,
    person_id: event.actor?.person ?? null,
    record_id: event.object.record,
    entry_id: event.object.entry,
    n: event.object.n,
    bytes: sealed.bytes,
  };
}
