import type { Refusal } from '../../core/contract/contract.ts';
import type { EntryView } from '../../core/contract/views.ts';
import { sealSignature } from '../../core/record/build.ts';
import { decide, type ActionDetail } from '../../core/record/life.ts';
import type { Meaning } from '../../core/record/objects.ts';
import { ok, type Result } from '../../core/result.ts';
import { recordCrypto } from '../keys/crypto.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { contentOf, tellDraft } from './draft-audit.ts';
import { loadEntry, type LoadedEntry } from './entry-load.ts';
import { readEntryView } from './entry-view.ts';
import { nextVersion } from './next-version.ts';
import { unlockWith, type CheckedKey } from './passphrase-check.ts';
import { currentKey, type Reading } from './people.ts';
import type { Posting } from './posting.ts';
import { refuse } from './program.ts';
import { refusedBy } from './refused-by.ts';
import { readSigningText } from './signing-text.ts';
import { transact } from './transact.ts';

export const signing: Routes<'signing.read' | 'entry.sign' | 'entry.return' | 'entry.countersign'> = {
  'signing.read': { by: 'signed-in', writes: false, handle: readSigningText },
  'entry.sign': {
    by: 'signed-in',
    writes: true,
    async handle(input, asking) {
      const checked = await unlockFor(asking, input.entryId, input.passphrase, (loaded) =>
        decided(loaded, 'sign'),
      );
      if (!checked.ok) return checked;
      return transact(asking, async (posting) => {
        const { person, program } = asking;
        const loaded = await loadEntry(posting.db, input.entryId, person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const next = decided(loaded, 'sign');
        if (!next.ok) return next;
        const draft = await posting.db
          .selectFrom('draft')
          .selectAll()
          .where('entry_id', '=', input.entryId)
          .executeTakeFirstOrThrow();
        const version = nextVersion(loaded, contentOf(draft.content), program.programName);
        // What is signed is what was shown, to the byte.
        if (draft.revision !== input.revision || version.sealed.hash !== input.versionHash) {
          return refuse('draft-changed-elsewhere', 'revision', {
            revision: draft.revision,
            savedAt: draft.saved_at,
          });
        }
        await tellDraft(posting, program, input.entryId);
        await posting.addVersion(version.sealed, {
          entry_id: input.entryId,
          n: version.n,
          author_id: loaded.owner.id,
        });
        const signed = await sign(posting, asking, loaded, checked.value, {
          n: version.n,
          versionHash: version.sealed.hash,
          meaning: version.meaning,
          remark: '',
        });
        if (!signed.ok) return signed;
        await posting.update('entry', input.entryId, { state: next.value });
        await posting.vouchFor('draft', input.entryId);
        return told(posting, asking, loaded, 'entry.sign', version.n, version.reason);
      });
    },
  },
  'entry.return': {
    by: 'signed-in',
    writes: true,
    async handle(input, asking) {
      const decision = async (loaded: LoadedEntry, db: Reading) =>
        decided(loaded, 'return', {
          text: input.remark,
          openComments: await openComments(db, loaded),
        });
      const checked = await unlockFor(asking, input.entryId, input.passphrase, decision);
      if (!checked.ok) return checked;
      return transact(asking, async (posting) => {
        const loaded = await loadEntry(posting.db, input.entryId, asking.person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const next = await decision(loaded, posting.db);
        if (!next.ok) return next;
        const last = loaded.versions.at(-1);
        if (last?.hash !== input.versionHash) return refuse('version-superseded', 'versionHash');
        const remark = input.remark.trim();
        const signed = await sign(posting, asking, loaded, checked.value, {
          n: last.n,
          versionHash: last.hash,
          meaning: 'returned',
          remark,
        });
        if (!signed.ok) return signed;
        await posting.update('entry', input.entryId, { state: next.value });
        return told(posting, asking, loaded, 'entry.return', last.n, remark);
      });
    },
  },
  'entry.countersign': {
    by: 'signed-in',
    writes: true,
    async handle(input, asking) {
      const checked = await unlockFor(asking, input.entryId, input.passphrase, (loaded) =>
        decided(loaded, 'countersign'),
      );
      if (!checked.ok) return checked;
      return transact(asking, async (posting) => {
        const loaded = await loadEntry(posting.db, input.entryId, asking.person);
        if (loaded === null) return refuse('not-found', 'entryId');
        const next = decided(loaded, 'countersign');
        if (!next.ok) return next;
        const last = loaded.versions.at(-1);
        if (last?.hash !== input.versionHash) return refuse('version-superseded', 'versionHash');
        const mark = input.mark.trim();
        const signed = await sign(posting, asking, loaded, checked.value, {
          n: last.n,
          versionHash: last.hash,
          meaning: 'countersigned',
          remark: mark,
        });
        if (!signed.ok) return signed;
        await posting.update('entry', input.entryId, { state: next.value, mark });
        return told(posting, asking, loaded, 'entry.countersign', last.n, '');
      });
    },
  },
};

function decided(loaded: LoadedEntry, action: 'sign' | 'countersign'): Decided<'entry-locked'>;
function decided(
  loaded: LoadedEntry,
  action: 'return',
  detail: ActionDetail,
): Decided<'entry-locked' | 'comment-missing'>;
function decided(
  loaded: LoadedEntry,
  action: 'sign' | 'return' | 'countersign',
  detail: ActionDetail = {},
): Decided<'entry-locked' | 'comment-missing'> {
  const next = decide(action, loaded.situation, detail);
  return next.ok ? next : refusedBy(next.error, ['entry-locked', 'comment-missing']);
}
type Decided<Code extends string> = Result<LoadedEntry['entry']['state'], Refusal<Code>>;

const openComments = async (db: Reading, { entry }: LoadedEntry): Promise<number> =>
  (
    await db
      .selectFrom('comment')
      .select('id')
      .where('entry_id', '=', entry.id)
      .where('is_settled', '=', 0)
      .execute()
  ).length;

/**
 * Asks the passphrase afresh: being signed in signs nothing. Whether the signature would be allowed is
 * looked at first, so that nobody's tries are used up on what cannot be.
 */
async function unlockFor<Code extends string>(
  asking: AskingPerson,
  entryId: string,
  passphrase: string,
  allowed: (loaded: LoadedEntry, db: Reading) => Decided<Code> | Promise<Decided<Code>>,
): Promise<Result<CheckedKey, Refusal<Code | 'wrong-passphrase' | 'wait-before-retry'>>> {
  const { db } = asking.notebook;
  const loaded = await loadEntry(db, entryId, asking.person);
  if (loaded === null) return refuse('not-found', 'entryId');
  const next = await allowed(loaded, db);
  if (!next.ok) return next;
  return unlockWith(asking, asking.person, null, passphrase, {
    action: 'signing.refused',
    entry: { recordId: loaded.record.id, id: entryId },
  });
}

/** Makes and stores the signature, which names the trail's head as it is now. */
async function sign(
  posting: Posting,
  asking: AskingPerson,
  loaded: LoadedEntry,
  { key, certificate }: CheckedKey,
  what: {
    readonly n: number;
    readonly versionHash: string;
    readonly meaning: Meaning;
    readonly remark: string;
  },
): Promise<Result<null, Refusal<never>>> {
  const { person, program } = asking;
  // The department may have withdrawn the key since the passphrase was given, by another window.
  const current = await currentKey(posting.db, person.id);
  if (current?.key.public_key !== key.publicKey) {
    return refuse('not-allowed', 'passphrase', { reason: 'no-key-in-use' });
  }
  const head = await posting.head();
  if (head === null) throw new Error('a notebook has at least its first event');
  const notebook = await posting.db.selectFrom('notebook').select('id').executeTakeFirstOrThrow();
  const signedAt = program.clock.now();
  const sealed = sealSignature(
    recordCrypto,
    {
      notebook: notebook.id,
      record: loaded.record.id,
      entry: loaded.entry.id,
      n: what.n,
      versionHash: what.versionHash,
      eventHead: head.hash,
      eventSeq: head.seq,
      meaning: what.meaning,
      signer: actorOf(person),
      certificateHash: certificate.hash,
      signedAt,
      offsetMinutes: program.clock.offsetMinutes(),
      previousSignatures: loaded.signatures.filter((one) => one.n === what.n).map((one) => one.hash),
      remark: what.remark,
    },
    key.sign,
  );
  await posting.addSignature(sealed, {
    entry_id: loaded.entry.id,
    n: what.n,
    version_hash: what.versionHash,
    meaning: what.meaning,
    person_id: person.id,
    certificate_hash: certificate.hash,
    signed_at: signedAt,
  });
  return ok(null);
}

async function told(
  posting: Posting,
  asking: AskingPerson,
  loaded: LoadedEntry,
  action: 'entry.sign' | 'entry.return' | 'entry.countersign',
  n: number,
  reason: string,
): Promise<{ readonly ok: true; readonly value: EntryView }> {
  await posting.tell({
    action,
    actor: actorOf(asking.person),
    record: loaded.record.id,
    entry: loaded.entry.id,
    n,
    reason,
  });
  const after = await loadEntry(posting.db, loaded.entry.id, asking.person);
  if (after === null) throw new Error('the entry is gone');
  return ok(await readEntryView(posting.db, after));
}
