import { sql } from 'kysely';
import type { CheckReport, HandInLine, HandInView } from '../../core/contract/views.ts';
import { departmentPerson } from '../../core/record/build.ts';
import {
  planMerge,
  type Arrival,
  type EntryKnowledge,
  type EntryPlan,
  type LocalEntry,
  type MergePlan,
} from '../../core/record/merge.ts';
import type { Certificate, EntryVersion, Role, Sealed, SignaturePayload } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { recordSentences } from '../../core/wording/record.ts';
import type { HandIn } from '../archive/hand-in.ts';
import { readPeople, type Reading } from './people.ts';

export interface ArrivedVersion {
  readonly sealed: Sealed;
  readonly version: EntryVersion;
}
export interface ArrivedSignature {
  readonly sealed: Sealed;
  readonly payload: SignaturePayload;
}
export interface ArrivedEntry {
  readonly id: string;
  /** Oldest first. */
  readonly versions: readonly ArrivedVersion[];
  readonly signatures: readonly ArrivedSignature[];
}

/** What a hand-in holds, read out of its signed objects; plain rows say nothing that decides. */
export interface Contents {
  readonly entries: readonly ArrivedEntry[];
  readonly certificates: readonly { readonly sealed: Sealed; readonly certificate: Certificate }[];
}

/** Reads the objects of a hand-in that passed the check: what cannot be read is not there. */
export function contentsOf({ bundle }: HandIn): Contents {
  const versions = bundle.versions.flatMap((sealed) => {
    const read = readObject('version', sealed.bytes);
    return read.ok ? [{ sealed, version: read.value }] : [];
  });
  const signatures = bundle.signatures.flatMap((sealed) => {
    const read = readObject('signature', sealed.bytes);
    return read.ok ? [{ sealed, payload: read.value }] : [];
  });
  return {
    entries: [...Map.groupBy(versions, ({ version }) => version.entry)].map(([id, list]) => ({
      id,
      versions: list.toSorted((a, b) => a.version.n - b.version.n),
      signatures: signatures
        .filter(({ payload }) => payload.entry === id)
        .toSorted((a, b) => a.payload.signedAt.localeCompare(b.payload.signedAt)),
    })),
    certificates: bundle.certificates.flatMap((sealed) => {
      const read = readObject('certificate', sealed.bytes);
      return read.ok ? [{ sealed, certificate: read.value }] : [];
    }),
  };
}

const knowledgeOf = ({ id, versions, signatures }: ArrivedEntry): EntryKnowledge => {
  const [first] = versions;
  if (first === undefined) throw new Error('an entry without versions arrived');
  const { record, author, heading } = first.version;
  return {
    entry: id,
    record,
    owner: author.person,
    number: heading.number,
    versions: versions.map(({ sealed, version }) => ({ n: version.n, hash: sealed.hash })),
    signatures: signatures.map(({ sealed, payload }) => ({
      hash: sealed.hash,
      n: payload.n,
      meaning: payload.meaning,
    })),
  };
};

/** How an entry stands here; null where it is not known. */
async function localEntry(db: Reading, id: string): Promise<LocalEntry | null> {
  const row = await db
    .selectFrom('entry')
    .innerJoin('record', 'record.id', 'entry.record_id')
    .select(['entry.number', 'entry.state', 'record.id as record', 'record.owner_id'])
    .where('entry.id', '=', id)
    .executeTakeFirst();
  if (row === undefined) return null;
  return {
    entry: id,
    record: row.record,
    owner: row.owner_id,
    number: row.number,
    state: row.state,
    versions: await db
      .selectFrom('version')
      .select(['n', 'hash'])
      .where('entry_id', '=', id)
      .orderBy('n')
      .execute(),
    signatures: await db
      .selectFrom('signature')
      .select(['hash', 'n', 'meaning'])
      .where('entry_id', '=', id)
      .execute(),
  };
}

/** People here, and those whom the department certified since: it vouches for them. */
async function peopleOf(db: Reading, contents: Contents): Promise<ReadonlyMap<string, { role: Role }>> {
  const people = new Map<string, { role: Role }>(await readPeople(db));
  for (const { certificate } of contents.certificates) {
    if (certificate.person !== departmentPerson && !people.has(certificate.person)) {
      people.set(certificate.person, { role: certificate.role });
    }
  }
  return people;
}

export async function planArrival(db: Reading, handIn: HandIn, contents: Contents): Promise<MergePlan> {
  const { statement, bundle } = handIn;
  const notebook = await db.selectFrom('notebook').selectAll().executeTakeFirstOrThrow();
  const incoming = contents.entries.map(knowledgeOf);
  const locals = await Promise.all(incoming.map((one) => localEntry(db, one.entry)));
  const records = await db.selectFrom('record').select(['id', 'owner_id']).execute();
  const numbers = await db.selectFrom('entry').select(['record_id', 'number']).execute();
  // What was seen of the sender's notebook; of our own it is the trail itself that knows.
  const isOwn = statement.notebook === notebook.id;
  const seen = isOwn
    ? await db
        .selectFrom('event')
        .select(['seq', 'hash as head'])
        .where('seq', '=', statement.eventSeq)
        .executeTakeFirst()
    : await db
        .selectFrom('witness')
        .select(['seq', 'head'])
        .where('notebook', '=', statement.notebook)
        .orderBy('seq', 'desc')
        .limit(1)
        .executeTakeFirst();
  const arrival: Arrival = {
    departmentKey: bundle.departmentKey,
    eventSeq: statement.eventSeq,
    eventHead: statement.eventHead,
    sender: statement.signer.person,
    isReceiptKnown: await isReceiptKnown(db, statement.notebook, handIn.checkpoint.hash),
    entries: incoming,
  };
  return planMerge(
    {
      departmentKeys: new Set([notebook.department_key]),
      people: await peopleOf(db, contents),
      entries: new Map(locals.flatMap((one) => (one === null ? [] : [[one.entry, one] as const]))),
      records: new Map(records.map((row) => [row.id, { owner: row.owner_id }])),
      numbers: new Map(
        [...Map.groupBy(numbers, (row) => row.record_id)].map(([id, list]) => [
          id,
          new Set(list.map((row) => row.number)),
        ]),
      ),
      seen: seen ?? null,
    },
    arrival,
  );
}

/** Does the part of the sender's trail that is here tell of this receipt? */
async function isReceiptKnown(db: Reading, notebook: string, receipt: string): Promise<boolean> {
  const { rows } = await sql<{ found: number }>`
    select 1 as found from foreign_event, json_each(foreign_event.bytes, '$.evidence') as evidence
    where foreign_event.notebook = ${notebook}
      and evidence.value ->> '$.kind' = 'receipt' and evidence.value ->> '$.id' = ${receipt}
    limit 1`.execute(db);
  return rows.length > 0;
}

const outcomeWords: Readonly<Record<'new' | 'forward', string>> = {
  new: 'New here.',
  forward: 'Goes on from what is here.',
};
const decisions: Readonly<Partial<Record<SignaturePayload['meaning'], string>>> = {
  returned: 'It was returned with comments.',
  countersigned: 'It was countersigned; it is locked.',
  amended: 'It was amended and signed again.',
};

function sentenceOf(plan: EntryPlan, entry: ArrivedEntry): string {
  const note = plan.note === null ? '' : (recordSentences[plan.note]?.({}) ?? plan.note);
  if (plan.kind === 'nothing' || plan.kind === 'conflict') return note;
  const added = new Set(plan.addSignatures);
  const last = entry.signatures.filter(({ sealed }) => added.has(sealed.hash)).at(-1);
  const decision = last === undefined ? '' : (decisions[last.payload.meaning] ?? '');
  return [outcomeWords[plan.kind], decision, note].filter(Boolean).join(' ');
}

/** What would become of a hand-in, or became of it, in words. */
export function handInView(
  handIn: HandIn,
  contents: Contents,
  report: CheckReport,
  plan: MergePlan | null,
): HandInView {
  const { statement } = handIn;
  const lines = contents.entries.map((entry): HandInLine => {
    const decided = plan?.ok === true ? plan.entries.find((one) => one.entry === entry.id) : undefined;
    const version = entry.versions.at(-1)?.version;
    return {
      entryId: entry.id,
      number: version?.heading.number ?? 0,
      title: version?.content.title ?? '',
      owner: version?.author.printedName ?? '',
      versionCount: entry.versions.length,
      outcome: decided?.kind ?? 'conflict',
      sentence: decided === undefined ? '' : sentenceOf(decided, entry),
    };
  });
  const refused = plan?.ok === false ? (recordSentences[plan.refusal]?.({}) ?? plan.refusal) : null;
  return {
    sender: statement.signer.printedName,
    role: statement.signer.role,
    at: statement.at,
    offsetMinutes: statement.offsetMinutes,
    report,
    refusal: report.isSound ? refused : (recordSentences['hand-in-again']?.({}) ?? ''),
    lines,
  };
}
