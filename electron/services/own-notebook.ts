import { randomUUID } from 'node:crypto';
import { readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { ok } from '../../core/result.ts';
import { sha256 } from '../keys/crypto.ts';
import { openNotebookFile } from '../storage/notebook-file.ts';
import { workFolder } from '../storage/work-folder.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import type { JobFile } from './jobs.ts';
import { transact } from './transact.ts';

export const ownNotebook: Routes<'notebook.issue'> = {
  'notebook.issue': {
    by: 'signed-in',
    writes: true,
    handle(_, asking) {
      const { program, caller, person } = asking;
      return Promise.resolve(
        ok(
          program.jobs.begin(
            { id: program.newId(), kind: 'own-notebook', client: caller.client, personId: person.id },
            () => issue(asking),
            (error) => program.log('notebook.issue', error),
          ),
        ),
      );
    },
  },
};

/**
 * A notebook for one's own computer: the same department and people, one's own locked key, one's own
 * records, still empty. What is signed in it travels as hand-ins. The department's key stays here.
 */
async function issue(asking: AskingPerson): Promise<JobFile> {
  const folder = await workFolder('own');
  try {
    const path = join(folder, 'own.fairleaf');
    const opened = await openNotebookFile(path);
    if (!opened.ok) throw new Error(`the new notebook cannot be written: ${opened.error.reason}`);
    const copy = join(folder, 'whole.fairleaf');
    try {
      await fill(asking, opened.value);
      // One file, with nothing beside it.
      await opened.value.copyTo(copy);
    } finally {
      await opened.value.close();
    }
    const bytes = new Uint8Array(await readFile(copy));
    const word = asking.person.initials.replace(/[^A-Za-z0-9]+/g, '') || 'own';
    const name = `practical-record-${word}.fairleaf`;
    await transact(asking, async (posting) => {
      await posting.tell({
        action: 'notebook.issue',
        actor: actorOf(asking.person),
        changes: [{ path: 'file', old: '', new: `${name}, SHA-256 ${sha256(bytes)}` }],
      });
      return ok(null);
    });
    return { bytes, name, mediaType: 'application/vnd.sqlite3' };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function fill(asking: AskingPerson, notebook: AskingPerson['notebook']): Promise<void> {
  const { db } = asking.notebook;
  const { program, person } = asking;
  const source = await db.selectFrom('notebook').selectAll().executeTakeFirstOrThrow();
  const people = await db.selectFrom('person').selectAll().execute();
  const keys = await db
    .selectFrom('sealed_key')
    .selectAll()
    .where('person_id', '=', person.id)
    .where('retired_at', 'is', null)
    .execute();
  const certificates = await db.selectFrom('certificate').selectAll().orderBy('serial').execute();
  const revocations = await db.selectFrom('revocation').selectAll().execute();
  const compounds = await db.selectFrom('own_compound').selectAll().orderBy('n').execute();
  const records = await db.selectFrom('record').selectAll().where('owner_id', '=', person.id).execute();
  await transact({ program, notebook }, async (posting) => {
    await posting.insert('notebook', {
      ...source,
      // Never the same as another: trails are told apart by it.
      id: randomUUID(),
      created_at: program.clock.now(),
    });
    for (const row of people) await posting.insert('person', row);
    for (const row of keys) await posting.insert('sealed_key', row);
    for (const { hash, bytes, signature, ...row } of certificates) {
      await posting.addCertificate({ hash, bytes, signature }, row);
    }
    for (const { hash, bytes, signature, ...row } of revocations) {
      await posting.addRevocation({ hash, bytes, signature }, row);
    }
    for (const { hash, bytes, ...row } of compounds) {
      await posting.addOwnCompound({ hash, bytes, signature: null }, row);
    }
    for (const row of records) await posting.insert('record', row);
    await posting.tell({
      action: 'notebook.begin',
      actor: actorOf(person),
      reason: 'for use on their own computer',
    });
    return ok(null);
  });
}
