import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { bundleOfEntries, type Bundle } from '../../core/record/bundle.ts';
import { departmentPerson } from '../../core/record/build.ts';
import type { Sealed } from '../../core/record/objects.ts';
import { entryReport } from '../../core/report/entry-report.ts';
import { recordReport } from '../../core/report/record-report.ts';
import { classFiles, type PackedRecord } from '../archive/class-write.ts';
import { depositFiles } from '../archive/deposit-write.ts';
import { newestVersions, type Attachment, type Sending } from '../archive/hand-in.ts';
import type { SealingKey } from '../archive/seal-bag.ts';
import { inFolder, writeZip, type ArchiveFile, type LongFile } from '../archive/zip-write.ts';
import type { RenderOptions } from '../export/render-pdf.ts';
import { openForReading } from '../storage/open-for-reading.ts';
import type { Tables } from '../storage/tables.ts';
import { entryBundle, recordBundle } from './gather-bundle.ts';
import type { DepositDone, DepositWork } from './job-message.ts';
import { picturesOf } from './pictures.ts';
import { printReport } from './print-report.ts';
import { tablesOfEntries } from './tables-of-entries.ts';

interface Doing extends Required<Pick<RenderOptions, 'onProgress' | 'signal'>> {
  readonly sign: SealingKey;
}

/** A record as the depositor's list names it. */
interface RecordHead {
  readonly id: string;
  readonly title: string;
  readonly course: string;
  readonly owner: string;
}

/** Share of a record's time that its own PDF takes; the rest is its entries' and the packing. */
const recordShare = 0.5;
const entriesShare = 0.45;

/**
 * Packs records as BagIt bags, one record at a time: however large the class, no more than one record
 * is in memory. The notebook is read as it stood when the work began, whatever is written meanwhile.
 *
 * @returns the finished file, in `work.folder`; when it throws, the caller takes the folder away
 * @throws the signal's reason when it is aborted; what the disk throws
 */
export async function depositRecords(work: DepositWork, doing: Doing): Promise<DepositDone> {
  const { database, close } = openForReading(work.path);
  try {
    database.exec('begin');
    const depositor = new Depositor(work, doing, database);
    const path = join(work.folder, 'deposit.zip');
    const [only] = work.recordIds;
    const isOne = work.recordIds.length === 1 && only !== undefined;
    const done = isOne ? await depositor.one(only, path) : await depositor.several(path);
    doing.signal.throwIfAborted();
    const { size } = await stat(path);
    return { ...done, path, sizeBytes: size, sha256: await hashOfFile(path) };
  } finally {
    close();
  }
}

class Depositor {
  readonly #work: DepositWork;
  readonly #doing: Doing;
  readonly #database: Database.Database;
  readonly #db: Kysely<Tables>;
  readonly #checkpoints: Sealed[] = [];

  constructor(work: DepositWork, doing: Doing, database: Database.Database) {
    this.#work = work;
    this.#doing = doing;
    this.#database = database;
    this.#db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
  }

  async one(recordId: string, path: string): Promise<Pick<DepositDone, 'name' | 'checkpoints'>> {
    const head = this.#head(recordId);
    const folder = `deposit-${plainName(head.title) || 'record'}`;
    await this.#pack(head, folder, path, (fraction, stage) => this.#doing.onProgress(fraction, stage));
    return { name: `${folder}.zip`, checkpoints: this.#checkpoints };
  }

  async several(path: string): Promise<Pick<DepositDone, 'name' | 'checkpoints'>> {
    const { at } = this.#work;
    const folder = `deposit-class-${at.slice(0, 10)}`;
    const notebook = await this.#db.selectFrom('notebook').selectAll().executeTakeFirstOrThrow();
    const files = classFiles(
      {
        about: {
          institution: notebook.institution,
          department: notebook.department,
          departmentKey: notebook.department_key,
          notebook: notebook.id,
          depositedAt: at,
        },
        records: this.#packed(),
      },
      this.#sending(notebook.id, notebook.department, null),
      this.#doing.sign,
    );
    await this.#write(path, folder, files);
    return { name: `${folder}.zip`, checkpoints: this.#checkpoints };
  }

  /** Each record as a zip on the disk, gone again when the next one is asked for. */
  async *#packed(): AsyncGenerator<PackedRecord> {
    const { recordIds, folder } = this.#work;
    for (const [index, id] of recordIds.entries()) {
      const head = this.#head(id);
      const name = `${String(index + 1).padStart(3, '0')}-${plainName(head.owner).slice(0, 40) || 'record'}`;
      const from = join(folder, `${name}.zip`);
      const bundle = await this.#pack(head, name, from, (fraction, stage) =>
        this.#doing.onProgress(
          (index + fraction) / recordIds.length,
          `record ${index + 1} of ${recordIds.length}, ${head.owner}: ${stage}`,
        ),
      );
      const locked = this.#database.prepare(
        `select count(*) from entry where record_id = ? and state in ('countersigned', 'amending')`,
      );
      const entries = newestVersions(bundle);
      yield {
        line: {
          file: `records/${name}.zip`,
          record: id,
          title: head.title,
          course: head.course,
          owner: head.owner,
          entryCount: entries.length,
          countersignedCount: locked.pluck().get(id) as number,
          sha256: await hashOfFile(from),
        },
        from,
        sizeBytes: (await stat(from)).size,
        entries,
      };
      await rm(from);
    }
  }

  async #pack(
    head: RecordHead,
    folder: string,
    path: string,
    onProgress: Doing['onProgress'],
  ): Promise<Bundle> {
    const ids = this.#signedEntries(head.id);
    const bundle = bundleOfEntries(tablesOfEntries(this.#database, ids), ids);
    const files = depositFiles(
      {
        bundle,
        recordTitle: head.title,
        owner: head.owner,
        documents: this.#documents(head.id, onProgress),
        attachments: this.#attachments(ids),
      },
      this.#sending(bundle.notebook, bundle.department, head.id),
      this.#doing.sign,
    );
    await this.#write(path, folder, files);
    onProgress(1, 'packed');
    return bundle;
  }

  async #write(
    path: string,
    folder: string,
    files: AsyncGenerator<ArchiveFile | LongFile, { readonly checkpoint: Sealed }>,
  ): Promise<void> {
    const { signal } = this.#doing;
    const checkpoints = this.#checkpoints;
    const all = async function* (): AsyncGenerator<ArchiveFile | LongFile> {
      for (;;) {
        signal.throwIfAborted();
        const step = await files.next();
        if (step.done === true) {
          checkpoints.push(step.value.checkpoint);
          return;
        }
        yield step.value;
      }
    };
    await writeZip(createWriteStream(path, { flags: 'wx', mode: 0o600 }), inFolder(folder, all()));
  }

  /** The record bound, then each signed entry by itself; one document at a time. */
  async *#documents(recordId: string, onProgress: Doing['onProgress']): AsyncGenerator<ArchiveFile> {
    const { signal } = this.#doing;
    const { sealWith = null } = this.#work;
    const read = { ...this.#work, recordId };
    const report = recordReport(await recordBundle(this.#db, this.#database, read, signal, false));
    const entries = this.#database
      .prepare(
        `select id, number from entry where record_id = ?
           and id in (select entry_id from version) order by number`,
      )
      .all(recordId) as { id: string; number: number }[];
    yield {
      path: 'record.pdf',
      data: await printReport(report, sealWith, {
        signal,
        images: picturesOf(this.#database, report),
        onProgress: (fraction) => onProgress(recordShare * fraction, 'binding the record'),
      }),
    };
    for (const [index, { id, number }] of entries.entries()) {
      signal.throwIfAborted();
      const own = entryReport(
        await entryBundle(this.#db, this.#database, { ...this.#work, entryId: id }, false),
      );
      onProgress(recordShare + (entriesShare * index) / entries.length, `binding entry ${number}`);
      yield {
        path: `entries/${String(number).padStart(3, '0')}.pdf`,
        data: await printReport(own, sealWith, { signal, images: picturesOf(this.#database, own) }),
      };
    }
    onProgress(recordShare + entriesShare, 'packing');
  }

  #signedEntries(recordId: string): ReadonlySet<string> {
    return new Set(
      this.#database
        .prepare('select id from entry where record_id = ? and id in (select entry_id from version)')
        .pluck()
        .all(recordId) as string[],
    );
  }

  *#attachments(entries: ReadonlySet<string>): Generator<Attachment> {
    const named = this.#database
      .prepare(
        `select distinct note.value ->> '$.sha256' from version, json_each(version.bytes, '$.content.attachments') as note
         where version.entry_id in (select value from json_each(?)) order by 1`,
      )
      .pluck()
      .all(JSON.stringify([...entries])) as string[];
    const read = this.#database.prepare('select sha256, data from attachment where sha256 = ?');
    for (const hash of named) {
      const row = read.get(hash) as Attachment | undefined;
      if (row !== undefined) yield row;
    }
  }

  #head(recordId: string): RecordHead {
    return this.#database
      .prepare(
        `select record.id, title, course, printed_name as owner from record
         join person on person.id = owner_id where record.id = ?`,
      )
      .get(recordId) as RecordHead;
  }

  #sending(notebook: string, department: string, record: string | null): Sending {
    const head = this.#database.prepare('select seq, hash from event order by seq desc limit 1').get() as {
      readonly seq: number;
      readonly hash: string;
    };
    return {
      notebook,
      record,
      eventSeq: head.seq,
      eventHead: head.hash,
      at: this.#work.at,
      offsetMinutes: this.#work.offsetMinutes,
      signer: { person: departmentPerson, printedName: department, role: 'department' },
      certificateHash: this.#work.certificateHash,
    };
  }
}

async function hashOfFile(path: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const part of createReadStream(path)) hash.update(part as Buffer);
  return hash.digest('hex');
}

/** `practical-record`: a name every file system and every archive takes. */
const plainName = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^A-Za-z0-9]+/g, '-')
    .toLowerCase()
    .slice(0, 60)
    .replace(/^-+|-+$/g, '');
