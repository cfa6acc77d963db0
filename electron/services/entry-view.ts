import type { EntryView, PersonView, SignatureView, VersionCard } from '../../core/contract/views.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { initialsOf } from '../../core/record/initials.ts';
import { permissionsFor, showsDraftTo } from '../../core/record/life.ts';
import type { Comment, SignaturePayload } from '../../core/record/objects.ts';
import { sql } from 'kysely';
import type { CommentRow } from '../storage/tables.ts';
import { contentOf } from './draft-audit.ts';
import { readVersion, type LoadedEntry } from './entry-load.ts';
import { readPeople, type Reading } from './people.ts';

/** The draft, for its owner while it may be edited; to everyone else what was last signed. */
async function shownContent(
  db: Reading,
  { entry, situation, versions }: LoadedEntry,
  draftText: string,
): Promise<EntryContent> {
  const last = versions.at(-1);
  if (last === undefined || showsDraftTo(situation)) return contentOf(draftText);
  // Struck out after a return: what was last written stays readable with the rest.
  if (entry.state === 'struck-out') return contentOf(draftText);
  const version = await readVersion(db, entry.id, last.n);
  if (version === null) throw new Error('a version is missing');
  return version.content;
}

/** False while nothing was handed in: a draft is its owner's own until it is signed or struck out. */
export const isReadable = ({ entry, situation, versions }: LoadedEntry): boolean =>
  situation.isOwner || versions.length > 0 || entry.state === 'struck-out';

export async function readEntryView(db: Reading, loaded: LoadedEntry): Promise<EntryView> {
  const { entry, record, owner, situation } = loaded;
  const draft = await db
    .selectFrom('draft')
    .selectAll()
    .where('entry_id', '=', entry.id)
    .executeTakeFirstOrThrow();
  const people = await readPeople(db);
  return {
    id: entry.id,
    recordId: record.id,
    recordTitle: record.title,
    course: record.course,
    owner,
    number: entry.number,
    state: entry.state,
    mark: entry.mark,
    content: await shownContent(db, loaded, draft.content),
    revision: draft.revision,
    savedAt: draft.saved_at,
    versions: await versionCards(db, loaded, people),
    comments: await readComments(db, entry.id, people),
    permissions: permissionsFor(situation),
    amendmentReason: entry.amendment_reason,
    strikeOutReason: entry.strike_out_reason,
  };
}

async function versionCards(
  db: Reading,
  { entry, versions, signatures }: LoadedEntry,
  people: ReadonlyMap<string, PersonView>,
): Promise<readonly VersionCard[]> {
  const headings = await db
    .selectFrom('version')
    .select([
      'n',
      sql<string>`json_extract(bytes, '$.author.printedName')`.as('author'),
      sql<string>`json_extract(bytes, '$.reason')`.as('reason'),
    ])
    .where('entry_id', '=', entry.id)
    .execute();
  const notices = await readNotices(
    db,
    signatures.map((one) => one.certificate_hash),
  );
  const byNumber = new Map(headings.map((heading) => [heading.n, heading]));
  return versions.map(({ n, hash }) => ({
    n,
    hash,
    author: byNumber.get(n)?.author ?? '',
    reason: byNumber.get(n)?.reason ?? '',
    signatures: signatures
      .filter((one) => one.n === n)
      .map((one) => signatureView(JSON.parse(one.bytes) as SignaturePayload, one.hash, people, notices)),
  }));
}

/** Printed name and role as signed; initials are no part of a signature. */
export const signatureView = (
  payload: SignaturePayload,
  hash: string,
  people: ReadonlyMap<string, PersonView>,
  notices: Notices,
): SignatureView => ({
  meaning: payload.meaning,
  printedName: payload.signer.printedName,
  initials: people.get(payload.signer.person)?.initials ?? initialsOf(payload.signer.printedName),
  role: payload.signer.role,
  signedAt: payload.signedAt,
  offsetMinutes: payload.offsetMinutes,
  remark: payload.remark,
  n: payload.n,
  hash,
  withdrawn: notices.get(payload.certificateHash) ?? null,
});

/** What the department said of withdrawn keys, by certificate. */
type Notices = ReadonlyMap<string, NonNullable<SignatureView['withdrawn']>>;

async function readNotices(db: Reading, certificates: readonly string[]): Promise<Notices> {
  if (certificates.length === 0) return new Map();
  const rows = await db
    .selectFrom('revocation')
    .select(['certificate_hash', 'kind', 'since', sql<string>`json_extract(bytes, '$.at')`.as('at')])
    .where('certificate_hash', 'in', certificates)
    // Wrong hands weigh more than retired, and the earlier day more than the later: the last one stands.
    .orderBy('kind', 'desc')
    .orderBy('since', 'desc')
    .execute();
  return new Map(rows.map(({ certificate_hash, ...notice }) => [certificate_hash, notice]));
}

export const commentView = (row: CommentRow, people: ReadonlyMap<string, PersonView>): Comment => {
  const author = people.get(row.author_id);
  return {
    id: row.id,
    entry: row.entry_id,
    n: row.n,
    section: row.section,
    anchor: row.anchor,
    text: row.text,
    author: {
      person: row.author_id,
      printedName: author?.printedName ?? '',
      role: author?.role ?? 'student',
    },
    at: row.at,
    isSettled: row.is_settled === 1,
  };
};

export async function readComments(
  db: Reading,
  entryId: string,
  people: ReadonlyMap<string, PersonView>,
): Promise<readonly Comment[]> {
  const rows = await db
    .selectFrom('comment')
    .selectAll()
    .where('entry_id', '=', entryId)
    .orderBy('at')
    .orderBy('id')
    .execute();
  return rows.map((row) => commentView(row, people));
}
