import type { Refusal } from '../../core/contract/contract.ts';
import type { JobView } from '../../core/contract/views.ts';
import { ok, type Result } from '../../core/result.ts';
import { sha256 } from '../keys/crypto.ts';
import type { Printing } from '../worker/job-message.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { isReadable } from './entry-view.ts';
import { loadEntry, maySee } from './entry-load.ts';
import { refuse } from './program.ts';
import type { JobFile } from './jobs.ts';
import { sealFor } from './seal.ts';
import type { SealWith } from './seal-key.ts';
import { transact } from './transact.ts';
import { doWork, type WorkWatch } from './work.ts';

export const binding: Routes<
  'entry.bind' | 'record.bind' | 'entry.bind-sealed' | 'record.bind-sealed' | 'job.state' | 'job.cancel'
> = {
  'entry.bind': {
    by: 'signed-in',
    writes: false,
    async handle({ entryId }, asking) {
      const there = await entryToBind(asking, entryId);
      return there.ok ? ok(beginEntry(asking, there.value, null)) : there;
    },
  },
  'record.bind': {
    by: 'signed-in',
    writes: false,
    async handle({ recordId }, asking) {
      const there = await recordToBind(asking, recordId);
      return there.ok ? ok(beginRecord(asking, there.value, null)) : there;
    },
  },
  'entry.bind-sealed': {
    by: 'department',
    writes: true,
    async handle({ entryId, departmentPassphrase }, asking) {
      const there = await entryToBind(asking, entryId);
      if (!there.ok) return there;
      const sealWith = await sealFor(asking, departmentPassphrase);
      return sealWith.ok ? ok(beginEntry(asking, there.value, sealWith.value)) : sealWith;
    },
  },
  'record.bind-sealed': {
    by: 'department',
    writes: true,
    async handle({ recordId, departmentPassphrase }, asking) {
      const there = await recordToBind(asking, recordId);
      if (!there.ok) return there;
      const sealWith = await sealFor(asking, departmentPassphrase);
      return sealWith.ok ? ok(beginRecord(asking, there.value, sealWith.value)) : sealWith;
    },
  },
  'job.state': {
    by: 'signed-in',
    writes: false,
    handle(input, { program, caller, person }) {
      const view = program.jobs.view(input.jobId, caller.client, person.id);
      return Promise.resolve(view === null ? refuse('not-found', 'jobId') : ok(view));
    },
  },
  'job.cancel': {
    by: 'signed-in',
    writes: false,
    handle(input, { program, caller, person }) {
      const view = program.jobs.cancel(input.jobId, caller.client, person.id);
      return Promise.resolve(view === null ? refuse('not-found', 'jobId') : ok(view));
    },
  },
};

/** What the trail is told about. */
interface Bound {
  readonly record: string;
  readonly entry?: string;
}

async function entryToBind(
  asking: AskingPerson,
  entryId: string,
): Promise<Result<Required<Bound>, Refusal<never>>> {
  const loaded = await loadEntry(asking.notebook.db, entryId, asking.person);
  if (loaded === null) return refuse('not-found', 'entryId');
  if (!isReadable(loaded)) return refuse('not-allowed', 'entryId', { reason: 'not-handed-in' });
  return ok({ record: loaded.record.id, entry: entryId });
}

async function recordToBind(asking: AskingPerson, recordId: string): Promise<Result<Bound, Refusal<never>>> {
  const record = await asking.notebook.db
    .selectFrom('record')
    .select(['id', 'owner_id'])
    .where('id', '=', recordId)
    .executeTakeFirst();
  return record === undefined || !maySee(asking.person, record.owner_id)
    ? refuse('not-found', 'recordId')
    : ok({ record: record.id });
}

const beginEntry = (asking: AskingPerson, bound: Required<Bound>, sealWith: SealWith | null): JobView =>
  begin(asking, { kind: 'entry-pdf', entryId: bound.entry, ...reader(asking), sealWith }, (file) =>
    tellBound(asking, file, bound, sealWith),
  );

const beginRecord = (asking: AskingPerson, bound: Bound, sealWith: SealWith | null): JobView =>
  begin(asking, { kind: 'record-pdf', recordId: bound.record, ...reader(asking), sealWith }, (file) =>
    tellBound(asking, file, bound, sealWith),
  );

const reader = ({ notebook, person, program }: AskingPerson) => ({
  path: notebook.path,
  person,
  at: program.clock.now(),
  offsetMinutes: program.clock.offsetMinutes(),
});

function begin(
  { program, caller, person }: AskingPerson,
  work: Printing,
  onBound: (file: JobFile) => Promise<void>,
): JobView {
  return program.jobs.begin(
    {
      id: program.newId(),
      kind: work.kind,
      client: caller.client,
      personId: person.id,
      onEnd: () => work.sealWith?.privateKey.fill(0),
    },
    async (watch) => {
      const file = await print(work, watch);
      await onBound(file);
      return file;
    },
    (error) => program.log(work.kind, error),
  );
}

async function print(work: Printing, watch: WorkWatch): Promise<JobFile> {
  const answer = await doWork(work, watch);
  if (answer.kind !== 'pdf') throw new Error('the thread did other work than it was given');
  return { bytes: answer.bytes, name: answer.name, mediaType: 'application/pdf' };
}

/** The trail tells who took a copy out, and which: the file can be recognised by its hash. */
async function tellBound(
  asking: AskingPerson,
  file: JobFile,
  object: Bound,
  sealWith: SealWith | null,
): Promise<void> {
  if (asking.notebook.readOnly !== null) return;
  await transact(asking, async (posting) => {
    await posting.tell({
      action: object.entry === undefined ? 'record.bind' : 'entry.bind',
      actor: actorOf(asking.person),
      ...object,
      changes: [
        { path: 'file', old: '', new: `${file.name}, SHA-256 ${sha256(file.bytes)}` },
        ...(sealWith === null
          ? []
          : [{ path: 'seal', old: '', new: `certificate SHA-256 ${sha256(sealWith.anchor)}` }]),
      ],
    });
    return ok(null);
  });
}
