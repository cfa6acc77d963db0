import { rm } from 'node:fs/promises';
import { ok } from '../../core/result.ts';
import { workFolder } from '../storage/work-folder.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { storedFile, type JobFile } from './jobs.ts';
import { unlockWith, type CheckedKey } from './passphrase-check.ts';
import { refuse } from './program.ts';
import { sealForDeposit } from './seal.ts';
import type { SealWith } from './seal-key.ts';
import { transact } from './transact.ts';
import { doWork, type WorkWatch } from './work.ts';

export const deposit: Routes<'record.deposit'> = {
  'record.deposit': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, caller, person, notebook } = asking;
      const known = await notebook.db
        .selectFrom('record')
        .select('id')
        .where('id', 'in', input.recordIds)
        .execute();
      if (known.length !== input.recordIds.length) return refuse('not-found', 'recordIds');
      const signed = await notebook.db
        .selectFrom('version')
        .innerJoin('entry', 'entry.id', 'version.entry_id')
        .select('entry.record_id')
        .distinct()
        .where('entry.record_id', 'in', input.recordIds)
        .execute();
      const filled = new Set(signed.map((row) => row.record_id));
      const recordIds = input.recordIds.filter((id) => filled.has(id));
      if (recordIds.length === 0) return refuse('nothing-signed', 'recordIds');
      const checked = await unlockWith(asking, null, person, input.departmentPassphrase, {
        action: 'signing.refused',
      });
      if (!checked.ok) return checked;
      return ok(
        program.jobs.begin(
          { id: program.newId(), kind: 'deposit', client: caller.client, personId: person.id },
          async (watch) => {
            const sealWith = await sealForDeposit(asking, input.departmentPassphrase);
            try {
              return await write(asking, { recordIds, sealWith }, checked.value, watch);
            } finally {
              sealWith?.privateKey.fill(0);
            }
          },
          (error) => program.log('record.deposit', error),
        ),
      );
    },
  },
};

/** Packs in a thread of its own; the file is whole, and told in the trail, before anybody can fetch it. */
async function write(
  asking: AskingPerson,
  { recordIds, sealWith }: { readonly recordIds: readonly string[]; readonly sealWith: SealWith | null },
  { key, certificate }: CheckedKey,
  watch: WorkWatch,
): Promise<JobFile> {
  const { program, notebook, person } = asking;
  const folder = await workFolder('deposit');
  try {
    const done = await doWork(
      {
        kind: 'deposit',
        path: notebook.path,
        recordIds,
        sealWith,
        folder,
        certificateHash: certificate.hash,
        person,
        at: program.clock.now(),
        offsetMinutes: program.clock.offsetMinutes(),
      },
      { ...watch, sign: key.sign },
    );
    if (done.kind !== 'deposit') throw new Error('the thread did other work than it was given');
    watch.signal.throwIfAborted();
    await transact(asking, async (posting) => {
      for (const checkpoint of done.checkpoints) await posting.addCheckpoint(checkpoint);
      const [only] = recordIds.length === 1 ? recordIds : [];
      await posting.tell({
        action: 'record.deposit',
        actor: actorOf(person),
        ...(only === undefined ? {} : { record: only }),
        changes: [{ path: 'file', old: '', new: `${done.name}, SHA-256 ${done.sha256}` }],
        ...(only === undefined ? { reason: `${recordIds.length} records` } : {}),
      });
      return ok(null);
    });
    return storedFile(
      {
        path: done.path,
        sizeBytes: done.sizeBytes,
        remove: () => rm(folder, { recursive: true, force: true }),
      },
      { name: done.name, mediaType: 'application/zip' },
    );
  } catch (error) {
    await rm(folder, { recursive: true, force: true });
    throw error;
  }
}
