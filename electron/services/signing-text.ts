import type { InputOf } from '../../core/contract/request-map.ts';
import type { EntryVersion, SignaturePayload } from '../../core/record/objects.ts';
import { decide } from '../../core/record/life.ts';
import { signingStatement } from '../../core/record/signing-statement.ts';
import { ok } from '../../core/result.ts';
import { problemSentence } from '../../core/wording/index.ts';
import { futurePracticalSentence } from '../../core/wording/services.ts';
import type { Answer, AskingPerson } from './asking.ts';
import { contentOf } from './draft-audit.ts';
import { loadEntry, readVersion, type LoadedEntry } from './entry-load.ts';
import { nextVersion } from './next-version.ts';
import { currentKey, type Reading } from './people.ts';
import { headOf } from './posting.ts';
import { refuse } from './program.ts';
import { refusedBy } from './refused-by.ts';

type What = Pick<EntryVersion, 'n' | 'content' | 'computed'> & {
  readonly versionHash: string;
  readonly reason: string;
  readonly doubts: readonly string[];
  /** What the author's own signature means now; null for a reviewer's, who chose it. */
  readonly meaning: 'performed' | 'amended' | null;
};

/** What a signature would bind, in words, before the passphrase is asked for. */
export async function readSigningText(
  input: InputOf<'signing.read'>,
  asking: AskingPerson,
): Promise<Answer<'signing.read'>> {
  const { notebook, person, program } = asking;
  const { db } = notebook;
  const loaded = await loadEntry(db, input.entryId, person);
  if (loaded === null) return refuse('not-found', 'entryId');
  const isOwn = input.meaning === 'performed' || input.meaning === 'amended';
  const action = isOwn ? 'sign' : input.meaning === 'returned' ? 'return' : 'countersign';
  // The remark is written after this text was read.
  const allowed = decide(action, loaded.situation, { text: 'to come' });
  if (!allowed.ok) return refusedBy(allowed.error, ['entry-locked']);

  const what = isOwn ? await draftToSign(db, loaded, program.programName) : await versionToReview(db, loaded);
  if (what === null) return refuse('entry-locked', 'entryId');
  const key = await currentKey(db, person.id);
  if (key === null) return refuse('not-allowed', '', { reason: 'no-key' });
  const head = await headOf(db);
  const at = program.clock.now();
  const offsetMinutes = program.clock.offsetMinutes();
  const open = await db
    .selectFrom('comment')
    .select('id')
    .where('entry_id', '=', input.entryId)
    .where('is_settled', '=', 0)
    .execute();
  const today = new Date(Date.parse(at) + offsetMinutes * 60_000).toISOString().slice(0, 10);
  return ok(
    signingStatement({
      meaning: what.meaning ?? input.meaning,
      entryNumber: loaded.entry.number,
      recordTitle: loaded.record.title,
      course: loaded.record.course,
      n: what.n,
      versionHash: what.versionHash,
      content: what.content,
      computed: what.computed,
      signer: { printedName: person.printedName, role: person.role },
      certificate: { serial: key.certificate.serial, notAfter: key.certificate.not_after },
      at,
      offsetMinutes,
      earlier: loaded.signatures
        .filter((one) => one.n === what.n)
        .map((one) => {
          const {
            meaning,
            signer,
            signedAt,
            offsetMinutes: offset,
          } = JSON.parse(one.bytes) as SignaturePayload;
          return { meaning, printedName: signer.printedName, signedAt, offsetMinutes: offset };
        }),
      eventSeq: head?.seq ?? 0,
      reason: what.reason,
      remark: '',
      openComments: open.length,
      isClockBack: head !== null && at < head.at,
      doubts: [
        ...what.doubts,
        ...(what.content.date > today ? [futurePracticalSentence(what.content.date)] : []),
      ],
    }),
  );
}

async function draftToSign(db: Reading, loaded: LoadedEntry, programName: string): Promise<What> {
  const draft = await db
    .selectFrom('draft')
    .select('content')
    .where('entry_id', '=', loaded.entry.id)
    .executeTakeFirstOrThrow();
  const content = contentOf(draft.content);
  const next = nextVersion(loaded, content, programName);
  return {
    n: next.n,
    content,
    computed: next.computed,
    versionHash: next.sealed.hash,
    reason: next.reason,
    meaning: next.meaning,
    doubts: next.doubts.map(problemSentence),
  };
}

/** A reviewer signs what the author signed; its values are those of the signing. */
async function versionToReview(db: Reading, loaded: LoadedEntry): Promise<What | null> {
  const last = loaded.versions.at(-1);
  const version = last === undefined ? null : await readVersion(db, loaded.entry.id, last.n);
  if (last === undefined || version === null) return null;
  return {
    n: version.n,
    content: version.content,
    computed: version.computed,
    versionHash: last.hash,
    reason: version.reason,
    meaning: null,
    doubts: [],
  };
}
