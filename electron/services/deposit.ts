import { createWriteStream } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { bundleOfEntries } from '../../core/record/bundle.ts';
import { departmentPerson } from '../../core/record/build.ts';
import type { Sealed } from '../../core/record/objects.ts';
import { ok } from '../../core/result.ts';
import { depositFiles } from '../archive/deposit-write.ts';
import type { Attachment } from '../archive/hand-in.ts';
import { inFolder, writeZip, type ArchiveFile } from '../archive/zip-write.ts';
import { sha256 } from '../keys/crypto.ts';
import { openForReading } from '../storage/open-for-reading.ts';
import type { RecordRow } from '../storage/tables.ts';
import { tablesOfEntries } from '../worker/tables-of-entries.ts';
import { actorOf, type AskingPerson, type Routes } from './asking.ts';
import type { JobFile } from './jobs.ts';
import { unlockWith, type CheckedKey } from './passphrase-check.ts';
import { personById } from './people.ts';
import { refuse } from './program.ts';
import { transact } from './transact.ts';
import { doWork, type WorkWatch } from './work.ts';

export const deposit: Routes<'record.deposit'> = {
  'record.deposit': {
    by: 'department',
    writes: true,
    async handle(input, asking) {
      const { program, caller, person, notebook } = asking;
      const record = await notebook.db
        .selectFrom('record')
        .selectAll()
        .where('id', '=', input.recordId)
        .executeTakeFirst();
      if (record === undefined) return refuse('not-found', 'recordId');
      const signed = await notebook.db
        .selectFrom('version')
        .innerJoin('entry', 'entry.id', 'version.entry_id')
        .select('entry.id')
        .distinct()
        .where('entry.record_id', '=', record.id)
        .execute();
      if (signed.length === 0) return refuse('nothing-signed', 'recordId');
      const checked = await unlockWith(asking, null, person, input.departmentPassphrase, {
        action: 'signing.refused',
      });
      if (!checked.ok) return checked;
      const entries = new Set(signed.map((row) => row.id));
      return ok(
        program.jobs.begin(
          { id: program.newId(), kind: 'deposit', client: caller.client, personId: person.id },
          (watch) => write(asking, record, entries, checked.value, watch),
          (error) => program.log('record.deposit', error),
        ),
      );
    },
  },
};

/** Share of the time that printing takes; the rest is packing. */
const printingShare = 0.8;

async function write(
  asking: AskingPerson,
  record: RecordRow,
  entries: ReadonlySet<string>,
  key: CheckedKey,
  watch: WorkWatch,
): Promise<JobFile> {
  const { program, notebook, person } = asking;
  const pdf = await doWork(
    {
      kind: 'record-pdf',
      recordId: record.id,
      path: notebook.path,
      person,
      at: program.clock.now(),
      offsetMinutes: program.clock.offsetMinutes(),
    },
    {
      signal: watch.signal,
      onProgress: (fraction, stage) => watch.onProgress(printingShare * fraction, stage),
    },
  );
  if (pdf.kind !== 'pdf') throw new Error('the thread did other work than it was given');
  const folder = await mkdtemp(join(tmpdir(), 'fairleaf-deposit-'));
  try {
    const path = join(folder, 'deposit.zip');
    const name = folderName(record.title);
    const checkpoint = await pack(asking, record, entries, key, { path, name, pdf: pdf.bytes, watch });
    watch.signal.throwIfAborted();
    const bytes = new Uint8Array(await readFile(path));
    const file: JobFile = { bytes, name: `${name}.zip`, mediaType: 'application/zip' };
    await transact(asking, async (posting) => {
      await posting.addCheckpoint(checkpoint);
      await posting.tell({
        action: 'record.deposit',
        actor: actorOf(person),
        record: record.id,
        changes: [{ path: 'file', old: '', new: `${file.name}, SHA-256 ${sha256(bytes)}` }],
      });
      return ok(null);
    });
    return file;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Packs the bag, file after file; only one is in memory at a time. */
async function pack(
  { notebook, program }: AskingPerson,
  record: RecordRow,
  entries: ReadonlySet<string>,
  { key, certificate }: CheckedKey,
  to: { readonly path: string; readonly name: string; readonly pdf: Uint8Array; readonly watch: WorkWatch },
): Promise<Sealed> {
  const owner = await personById(notebook.db, record.owner_id);
  const { database, close } = openForReading(notebook.path);
  try {
    database.exec('begin');
    const bundle = bundleOfEntries(tablesOfEntries(database, entries), entries);
    const head = database.prepare('select seq, hash from event order by seq desc limit 1').get() as {
      seq: number;
      hash: string;
    };
    const named = database
      .prepare(
        `select distinct note.value ->> '$.sha256' from version, json_each(version.bytes, '$.content.attachments') as note
         where version.entry_id in (select value from json_each(?)) order by 1`,
      )
      .pluck()
      .all(JSON.stringify([...entries])) as string[];
    const read = database.prepare('select sha256, data from attachment where sha256 = ?');
    const attachments = function* (): Generator<Attachment> {
      for (const hash of named) {
        const row = read.get(hash) as Attachment | undefined;
        if (row !== undefined) yield row;
      }
    };
    const files = depositFiles(
      {
        bundle,
        recordTitle: record.title,
        owner: owner?.printedName ?? '',
        documents: [{ path: 'record.pdf', data: to.pdf }],
        attachments: attachments(),
      },
      {
        notebook: bundle.notebook,
        record: record.id,
        eventSeq: head.seq,
        eventHead: head.hash,
        at: program.clock.now(),
        offsetMinutes: program.clock.offsetMinutes(),
        signer: { person: departmentPerson, printedName: bundle.department, role: 'department' },
        certificateHash: certificate.hash,
      },
      key.sign,
    );
    let checkpoint: Sealed | null = null;
    let count = 0;
    const all = async function* (): AsyncGenerator<ArchiveFile> {
      for (;;) {
        to.watch.signal.throwIfAborted();
        const step = await files.next();
        if (step.done === true) {
          ({ checkpoint } = step.value);
          return;
        }
        count += 1;
        // How many there will be is not known before; what is left gets smaller and smaller.
        to.watch.onProgress(1 - (1 - printingShare) / (1 + count / 50), `packing file ${count}`);
        yield step.value;
      }
    };
    await writeZip(createWriteStream(to.path, { flags: 'wx' }), inFolder(to.name, all()));
    if (checkpoint === null) throw new Error('the deposit was not sealed');
    return checkpoint;
  } finally {
    close();
  }
}

/** `deposit-practical-record`: a name every file system and every archive takes. */
const folderName = (title: string): string => {
  const plain = title
    .normalize('NFKD')
    .replace(/[^A-Za-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60);
  return plain === '' ? 'deposit' : `deposit-${plain}`;
};
