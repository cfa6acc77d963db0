import { bundleOfEntries } from '../../core/record/bundle.ts';
import { checkedHandIn } from './hand-in-read.ts';
import { ok } from '../../core/result.ts';
import { writeHandIn } from '../archive/hand-in.ts';
import { sha256 } from '../keys/crypto.ts';
import { openForReading } from '../storage/open-for-reading.ts';
import { tablesOfEntries } from '../worker/tables-of-entries.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import { loadEntry, type LoadedEntry } from './entry-load.ts';
import { NotTakenIn, TakingIn } from './hand-in-apply.ts';
import { contentsOf, handInView, planArrival } from './hand-in-arrival.ts';
import type { JobFile } from './jobs.ts';
import { unlockWith, type CheckedKey } from './passphrase-check.ts';

import { refuse } from './program.ts';
import { transact } from './transact.ts';

export const handIn: Routes<'hand-in.write' | 'hand-in.read' | 'hand-in.take'> = {
  'hand-in.write': {
    by: 'signed-in',
    writes: true,
    async handle(input, asking) {
      const { program, caller, person, notebook } = asking;
      const loaded = await loadEntry(notebook.db, input.entryId, person);
      if (loaded === null) return refuse('not-found', 'entryId');
      if (loaded.versions.length === 0) return refuse('nothing-signed', 'entryId');
      // The archivist keeps records; entries go between students and instructors.
      if (person.role === 'department') return refuse('not-allowed');
      const checked = await unlockWith(asking, person, null, input.passphrase, {
        action: 'signing.refused',
        entry: { recordId: loaded.record.id, id: input.entryId },
      });
      if (!checked.ok) return checked;
      return ok(
        program.jobs.begin(
          { id: program.newId(), kind: 'hand-in', client: caller.client, personId: person.id },
          () => write(asking, loaded, checked.value),
          (error) => program.log('hand-in.write', error),
        ),
      );
    },
  },
  'hand-in.read': {
    by: 'signed-in',
    writes: false,
    async handle(input, { notebook, person }) {
      const read = await checkedHandIn(notebook.db, input.data, person);
      if (!read.ok) return read;
      const { handIn: file, report } = read.value;
      const contents = contentsOf(file);
      const plan = report.isSound ? await planArrival(notebook.db, file, contents) : null;
      return ok(handInView(file, contents, report, plan));
    },
  },
  'hand-in.take': {
    by: 'signed-in',
    writes: true,
    async handle(input, asking) {
      const read = await checkedHandIn(asking.notebook.db, input.data, asking.person);
      if (!read.ok) return read;
      const { handIn: file, report, hash } = read.value;
      const contents = contentsOf(file);
      if (!report.isSound) return refuse('hand-in-refused', 'data', { reason: 'hand-in-again' });
      try {
        return await transact(asking, async (posting) => {
          const plan = await planArrival(posting.db, file, contents);
          if (!plan.ok) return refuse('hand-in-refused', 'data', { reason: plan.refusal });
          await new TakingIn(posting, asking, file, contents).entries(plan.entries);
          const view = handInView(file, contents, report, plan);
          const [only] = contents.entries.length === 1 ? contents.entries : [];
          const going = plan.entries.some((one) => one.kind === 'new' || one.kind === 'forward');
          await posting.tell({
            action: 'record.receive',
            actor: actorOf(asking.person),
            ...(only === undefined || !going
              ? {}
              : { record: only.versions[0]?.version.record ?? '', entry: only.id }),
            reason: view.lines.map((line) => `entry ${line.number}: ${line.sentence}`).join(' '),
            changes: [{ path: 'file', old: '', new: `hand-in of ${view.sender}, SHA-256 ${hash}` }],
          });
          return ok(view);
        });
      } catch (error) {
        if (error instanceof NotTakenIn) return refuse('hand-in-refused', 'data', { reason: error.code });
        throw error;
      }
    },
  },
};

/** The signed versions of one entry as a file to hand on, with a receipt of it in the trail. */
async function write(
  asking: AskingPerson,
  { entry, record, owner }: LoadedEntry,
  { key, certificate }: CheckedKey,
): Promise<JobFile> {
  const { program, notebook, person } = asking;
  const ids = new Set([entry.id]);
  const { database, close } = openForReading(notebook.path);
  let written: Awaited<ReturnType<typeof writeHandIn>>;
  try {
    database.exec('begin');
    const bundle = bundleOfEntries(tablesOfEntries(database, ids), ids);
    const named = database
      .prepare(
        `select distinct attachment.sha256, attachment.data from version,
           json_each(version.bytes, '$.content.attachments') as note
           join attachment on attachment.sha256 = note.value ->> '$.sha256'
         where version.entry_id = ? order by attachment.sha256`,
      )
      .all(entry.id) as { sha256: string; data: Uint8Array }[];
    const head = database.prepare('select seq, hash from event order by seq desc limit 1').get() as {
      seq: number;
      hash: string;
    };
    written = await writeHandIn(
      bundle,
      named,
      {
        notebook: bundle.notebook,
        record: record.id,
        eventSeq: head.seq,
        eventHead: head.hash,
        at: program.clock.now(),
        offsetMinutes: program.clock.offsetMinutes(),
        signer: actorOf(person),
        certificateHash: certificate.hash,
      },
      key.sign,
    );
  } finally {
    close();
  }
  const name = `entry-${String(entry.number).padStart(3, '0')}-${fileWord(owner.initials)}.fairleaf.zip`;
  const { bytes, checkpoint } = written;
  await transact(asking, async (posting) => {
    posting.vouchForReceipt(checkpoint);
    // Kept here as well: the check holds the trail against it, as it does against a deposit.
    await posting.addCheckpoint(checkpoint);
    await posting.tell({
      action: 'record.hand-in',
      actor: actorOf(person),
      // Told of the record, not of the entry: so the next file of it carries this receipt along, and an
      // earlier file that was left lying is known for what it is.
      record: record.id,
      reason: `entry ${entry.number}`,
      changes: [{ path: 'file', old: '', new: `${name}, SHA-256 ${sha256(bytes)}` }],
    });
    return ok(null);
  });
  return { bytes, name, mediaType: 'application/zip' };
}

const fileWord = (text: string): string => text.replace(/[^A-Za-z0-9]+/g, '') || 'x';
