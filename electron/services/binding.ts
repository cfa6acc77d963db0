import { ok } from '../../core/result.ts';
import { sha256 } from '../keys/crypto.ts';
import type { Work } from '../worker/job-message.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { isReadable } from './entry-view.ts';
import { loadEntry, maySee } from './entry-load.ts';
import { refuse } from './program.ts';
import type { JobFile } from './jobs.ts';
import { transact } from './transact.ts';
import { doWork, type WorkWatch } from './work.ts';

export const binding: Routes<'entry.bind' | 'record.bind' | 'job.state' | 'job.cancel'> = {
  'entry.bind': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const loaded = await loadEntry(asking.notebook.db, input.entryId, asking.person);
      if (loaded === null) return refuse('not-found', 'entryId');
      if (!isReadable(loaded)) return refuse('not-allowed', 'entryId', { reason: 'not-handed-in' });
      return ok(
        begin(asking, { kind: 'entry-pdf', entryId: input.entryId, ...reader(asking) }, (file) =>
          tellBound(asking, file, { record: loaded.record.id, entry: input.entryId }),
        ),
      );
    },
  },
  'record.bind': {
    by: 'signed-in',
    writes: false,
    async handle(input, asking) {
      const record = await asking.notebook.db
        .selectFrom('record')
        .select(['id', 'owner_id'])
        .where('id', '=', input.recordId)
        .executeTakeFirst();
      if (record === undefined || !maySee(asking.person, record.owner_id)) {
        return refuse('not-found', 'recordId');
      }
      return ok(
        begin(asking, { kind: 'record-pdf', recordId: input.recordId, ...reader(asking) }, (file) =>
          tellBound(asking, file, { record: record.id }),
        ),
      );
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

const reader = ({ notebook, person, program }: AskingPerson) => ({
  path: notebook.path,
  person,
  at: program.clock.now(),
  offsetMinutes: program.clock.offsetMinutes(),
});

function begin(
  { program, caller, person }: AskingPerson,
  work: Exclude<Work, { readonly kind: 'check' }>,
  onBound: (file: JobFile) => Promise<void>,
) {
  return program.jobs.begin(
    { id: program.newId(), kind: work.kind, client: caller.client, personId: person.id },
    async (watch) => {
      const file = await print(work, watch);
      await onBound(file);
      return file;
    },
    (error) => program.log(work.kind, error),
  );
}

async function print(work: Work, watch: WorkWatch): Promise<JobFile> {
  const answer = await doWork(work, watch);
  if (answer.kind !== 'pdf') throw new Error('the thread did other work than it was given');
  return { bytes: answer.bytes, name: answer.name, mediaType: 'application/pdf' };
}

/** The trail tells who took a copy out, and which: the file can be recognised by its hash. */
async function tellBound(
  asking: AskingPerson,
  file: JobFile,
  object: { readonly record: string; readonly entry?: string },
): Promise<void> {
  if (asking.notebook.readOnly !== null) return;
  await transact(asking, async (posting) => {
    await posting.tell({
      action: object.entry === undefined ? 'record.bind' : 'entry.bind',
      actor: actorOf(asking.person),
      ...object,
      changes: [{ path: 'file', old: '', new: `${file.name}, SHA-256 ${sha256(file.bytes)}` }],
    });
    return ok(null);
  });
}
