import { judgeAttachment } from '../../core/attachments/attachment-file.ts';
import { canonical } from '../../core/record/canonical.ts';
import { departmentPerson } from '../../core/record/build.ts';
import { initialsOf } from '../../core/record/initials.ts';
import type { EntryPlan } from '../../core/record/merge.ts';
import type { EntryState, Meaning } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import type { HandIn } from '../archive/hand-in.ts';
import type { CommentRow } from '../storage/tables.ts';
import type { AskingPerson } from './asking.ts';
import { tellDraft } from './draft-audit.ts';
import type { ArrivedEntry, ArrivedVersion, Contents } from './hand-in-arrival.ts';
import type { Posting } from './posting.ts';

/** Why a hand-in that passed its check still cannot go in whole. Nothing of it stays then. */
export class NotTakenIn extends Error {
  readonly code: string;
  constructor(code: string) {
    super(code);
    this.code = code;
  }
}

type Going = Extract<EntryPlan, { kind: 'new' | 'forward' }>;

const stateAfter: Readonly<Record<Meaning, EntryState | null>> = {
  performed: 'signed',
  amended: 'signed',
  returned: 'returned',
  countersigned: 'countersigned',
  deposited: null,
};

/** Puts what arrived into the notebook, in the order in which it happened where it came from. */
export class TakingIn {
  readonly #posting: Posting;
  readonly #asking: AskingPerson;
  readonly #handIn: HandIn;
  readonly #contents: Contents;

  constructor(posting: Posting, asking: AskingPerson, handIn: HandIn, contents: Contents) {
    this.#posting = posting;
    this.#asking = asking;
    this.#handIn = handIn;
    this.#contents = contents;
  }

  async entries(plans: readonly EntryPlan[]): Promise<void> {
    const going = plans.filter((plan): plan is Going => plan.kind === 'new' || plan.kind === 'forward');
    if (going.length > 0) {
      await this.#certificates();
      await this.#revocations();
    }
    for (const plan of going) {
      const entry = this.#contents.entries.find((one) => one.id === plan.entry);
      if (entry !== undefined) await this.#entry(plan, entry);
    }
    await this.#trail();
  }

  /** Certificates, and the people they are about, as far as they are new here. */
  async #certificates(): Promise<void> {
    const { db } = this.#posting;
    for (const { sealed, certificate } of this.#contents.certificates) {
      const there = await db
        .selectFrom('certificate')
        .select('hash')
        .where('hash', '=', sealed.hash)
        .executeTakeFirst();
      if (there !== undefined) continue;
      const { person, printedName, role } = certificate;
      const known = await db.selectFrom('person').select('id').where('id', '=', person).executeTakeFirst();
      if (known === undefined && person !== departmentPerson) {
        const same = await db
          .selectFrom('person')
          .select('id')
          .where('printed_name', '=', printedName)
          .executeTakeFirst();
        if (same !== undefined) throw new NotTakenIn('unknown-person');
        await this.#posting.insert('person', {
          id: person,
          printed_name: printedName,
          initials: initialsOf(printedName) || printedName.slice(0, 1),
          role,
          created_at: this.#asking.program.clock.now(),
        });
      }
      await this.#posting.addCertificate(sealed, {
        serial: certificate.serial,
        person_id: person,
        role,
        public_key: certificate.publicKey,
        not_before: certificate.notBefore,
        not_after: certificate.notAfter,
      });
    }
  }

  async #revocations(): Promise<void> {
    const { db } = this.#posting;
    for (const sealed of this.#handIn.bundle.revocations) {
      const read = readObject('revocation', sealed.bytes);
      if (!read.ok) continue;
      const { certificateHash, kind, since } = read.value;
      const isHere = await db
        .selectFrom('revocation')
        .select('hash')
        .where('hash', '=', sealed.hash)
        .executeTakeFirst();
      const about = await db
        .selectFrom('certificate')
        .select('hash')
        .where('hash', '=', certificateHash)
        .executeTakeFirst();
      if (isHere !== undefined || about === undefined) continue;
      await this.#posting.addRevocation(sealed, { certificate_hash: certificateHash, kind, since });
    }
  }

  async #entry(plan: Going, entry: ArrivedEntry): Promise<void> {
    const newVersions = new Set(plan.addVersions);
    const newSignatures = new Set(plan.addSignatures);
    let state = plan.kind === 'new' ? await this.#begin(plan, entry) : await this.#goOn(plan.entry);
    if (isDiscussed(state)) await this.#comments(entry.id);
    for (const arrived of entry.versions) {
      if (newVersions.has(arrived.sealed.hash)) state = await this.#version(entry, arrived, state);
      for (const { sealed, payload } of entry.signatures) {
        if (payload.n !== arrived.version.n || !newSignatures.has(sealed.hash)) continue;
        await this.#posting.addSignature(sealed, {
          entry_id: entry.id,
          n: payload.n,
          version_hash: payload.versionHash,
          meaning: payload.meaning,
          person_id: payload.signer.person,
          certificate_hash: payload.certificateHash,
          signed_at: payload.signedAt,
        });
        const next = stateAfter[payload.meaning];
        if (next === null || next === state) continue;
        await this.#posting.update('entry', entry.id, {
          state: next,
          ...(next === 'countersigned' && state === 'signed' ? { mark: payload.remark } : {}),
        });
        state = next;
      }
    }
    if (state !== plan.state) throw new NotTakenIn('versions-missing-between');
  }

  async #begin(plan: Going, entry: ArrivedEntry): Promise<EntryState> {
    const first = entry.versions[0]?.version;
    if (first === undefined) throw new NotTakenIn('nothing-inside');
    const { program } = this.#asking;
    await this.#record(first.record, first.author.person, first.heading);
    const now = program.clock.now();
    await this.#posting.insert('entry', {
      id: entry.id,
      record_id: first.record,
      number: plan.number,
      state: 'draft',
      mark: '',
      amendment_reason: null,
      strike_out_reason: null,
      created_at: now,
    });
    const content = canonical(first.content);
    await this.#posting.insert('draft', {
      entry_id: entry.id,
      content,
      revision: 1,
      saved_at: now,
      saved_by: first.author.person,
      base_content: content,
      base_revision: 1,
    });
    return 'draft';
  }

  async #goOn(entryId: string): Promise<EntryState> {
    // What was typed here meanwhile is told before anything of it is left behind.
    await tellDraft(this.#posting, this.#asking.program, entryId);
    const row = await this.#posting.db
      .selectFrom('entry')
      .select('state')
      .where('id', '=', entryId)
      .executeTakeFirstOrThrow();
    return row.state;
  }

  async #record(
    id: string,
    ownerId: string,
    heading: { recordTitle: string; course: string },
  ): Promise<void> {
    const { db } = this.#posting;
    const there = await db.selectFrom('record').select('id').where('id', '=', id).executeTakeFirst();
    if (there !== undefined) return;
    const titles = await db.selectFrom('record').select('title').where('owner_id', '=', ownerId).execute();
    const taken = new Set(titles.map((row) => row.title));
    let title = heading.recordTitle;
    for (let n = 2; taken.has(title); n += 1) title = `${heading.recordTitle} (${n})`;
    await this.#posting.insert('record', {
      id,
      owner_id: ownerId,
      title,
      course: heading.course,
      created_at: this.#asking.program.clock.now(),
    });
  }

  /** A version goes onto an open entry; its content becomes the draft, as it is where it was signed. */
  async #version(
    entry: ArrivedEntry,
    { sealed, version }: ArrivedVersion,
    from: EntryState,
  ): Promise<EntryState> {
    let state = from;
    if (state === 'countersigned') {
      state = 'amending';
      await this.#posting.update('entry', entry.id, { state, amendment_reason: version.reason });
      await this.#comments(entry.id);
    }
    if (state === 'signed') throw new NotTakenIn('versions-missing-between');
    const content = canonical(version.content);
    const draft = await this.#posting.db
      .selectFrom('draft')
      .selectAll()
      .where('entry_id', '=', entry.id)
      .executeTakeFirstOrThrow();
    if (draft.content !== content) {
      await this.#posting.update('draft', entry.id, {
        content,
        base_content: content,
        revision: draft.revision + 1,
        base_revision: draft.revision + 1,
        saved_at: this.#asking.program.clock.now(),
        saved_by: version.author.person,
      });
    }
    for (const note of version.content.attachments) {
      await this.#attachment(note.sha256, note.name, note.mediaType);
    }
    await this.#posting.addVersion(sealed, {
      entry_id: entry.id,
      n: version.n,
      author_id: version.author.person,
    });
    return state;
  }

  async #attachment(sha256: string, name: string, mediaType: string): Promise<void> {
    const there = await this.#posting.db
      .selectFrom('attachment')
      .select('sha256')
      .where('sha256', '=', sha256)
      .executeTakeFirst();
    if (there !== undefined) return;
    const file = this.#handIn.attachments.find((one) => one.sha256 === sha256);
    if (file === undefined) throw new NotTakenIn('attachment-missing');
    // From outside like any other: what could not be attached here does not come in this way either.
    const judged = judgeAttachment(name, file.data);
    if (!judged.ok || judged.value.mediaType !== mediaType) throw new NotTakenIn('attachment-changed');
    await this.#posting.insert('attachment', {
      sha256,
      media_type: mediaType,
      size_bytes: file.data.length,
      data: file.data,
    });
  }

  /**
   * Comments of the sender only: in anybody else's name a comment would be hearsay. That a comment is
   * settled is taken from either side, and never taken back.
   */
  async #comments(entryId: string): Promise<void> {
    const { statement, bundle } = this.#handIn;
    const { db } = this.#posting;
    const author = await db
      .selectFrom('person')
      .select('id')
      .where('id', '=', statement.signer.person)
      .executeTakeFirst();
    if (author === undefined) return;
    for (const { table, row } of bundle.rows) {
      if (table !== 'comment' || row['entry_id'] !== entryId) continue;
      const comment = commentFrom(row);
      if (comment === null) continue;
      const there = await db
        .selectFrom('comment')
        .selectAll()
        .where('id', '=', comment.id)
        .executeTakeFirst();
      if (there === undefined) {
        if (comment.author_id === author.id) await this.#posting.insert('comment', comment);
        continue;
      }
      const isSame = there.entry_id === entryId && there.text === comment.text;
      if (isSame && comment.is_settled === 1 && there.is_settled === 0) {
        await this.#posting.update('comment', there.id, { is_settled: 1 });
      }
    }
  }

  /** The piece of the sender's trail that came along, and how far it had got. */
  async #trail(): Promise<void> {
    const { db } = this.#posting;
    const { bundle, statement } = this.#handIn;
    const own = await db.selectFrom('notebook').select('id').executeTakeFirstOrThrow();
    for (const sealed of [...bundle.events, ...bundle.foreignEvents]) {
      const read = readObject('event', sealed.bytes);
      if (!read.ok || read.value.notebook === own.id) continue;
      const { notebook, seq } = read.value;
      const there = await db
        .selectFrom('foreign_event')
        .select('hash')
        .where('notebook', '=', notebook)
        .where('seq', '=', seq)
        .executeTakeFirst();
      if (there === undefined) {
        await db
          .insertInto('foreign_event')
          .values({ notebook, seq, hash: sealed.hash, bytes: sealed.bytes })
          .execute();
      } else if (there.hash !== sealed.hash) throw new NotTakenIn('sender-forked');
    }
    if (statement.notebook === own.id) return;
    const { eventSeq: seq, eventHead: head } = statement;
    const seen = await db
      .selectFrom('witness')
      .select('seq')
      .where('notebook', '=', statement.notebook)
      .where('seq', '=', seq)
      .where('head', '=', head)
      .executeTakeFirst();
    if (seen !== undefined) return;
    await db
      .insertInto('witness')
      .values({
        notebook: statement.notebook,
        seq,
        head,
        source: `hand-in of ${statement.signer.printedName}`,
        seen_at: this.#asking.program.clock.now(),
      })
      .execute();
  }
}

const isDiscussed = (state: EntryState): boolean => state !== 'countersigned' && state !== 'struck-out';

/** A comment row from outside, column by column; null for one that is none. */
function commentFrom(row: Readonly<Record<string, string | number | null>>): CommentRow | null {
  const text = (key: string): string | null => (typeof row[key] === 'string' ? row[key] : null);
  const id = text('id');
  const words = text('text');
  const section = text('section');
  const at = text('at');
  const entry = text('entry_id');
  const author = text('author_id');
  if (id === null || words === null || section === null || at === null || entry === null || author === null) {
    return null;
  }
  return {
    id,
    entry_id: entry,
    n: typeof row['n'] === 'number' ? row['n'] : null,
    section: section as CommentRow['section'],
    anchor: text('anchor'),
    text: words,
    author_id: author,
    at,
    is_settled: row['is_settled'] === 1 ? 1 : 0,
  };
}
