import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { InputOf, ReplyOf, RequestName } from '../../core/contract/request-map.ts';
import { cheapScryptCost, createKey } from '../../electron/keys/sealed-key.ts';
import { startProgram } from '../../electron/services/start-program.ts';
import { depositRecords } from '../../electron/worker/deposit-records.ts';
import { sampleContent } from '../core/record/sample-content.ts';
import { png } from '../electron/export/pictures.ts';
import { TestClock } from '../electron/services/test-clock.ts';

const students = 60;
const few = 5;
/** Small for a record, so that the measurement takes a minute and not ten; each has a photograph. */
const entriesEach = 2;

/** Without a ceiling the engine tidies up as late as it can, and the peak says more of it than of us. */
const heapMb = 256;
const heap = [`--max-old-space-size=${heapMb}`];

const passphrase = 'a passphrase for measuring';

/** A notebook in which everybody's entries are signed and countersigned, through the program itself. */
async function classNotebook(path: string): Promise<void> {
  const running = await startProgram({ path, keyCost: cheapScryptCost, clock: new TestClock() });
  const ask = async <K extends RequestName>(client: string, name: K, input: InputOf<K>) => {
    const answer = await running.dispatch(name, input, { client });
    if (!answer.ok) throw new Error(`${name}: ${JSON.stringify(answer.error)}`);
    return answer.value as ReplyOf<K>;
  };
  const names = Array.from({ length: students }, (_, n) => `Student ${String(n + 1).padStart(2, '0')}`);
  const { people } = await ask('setup', 'setup.begin', {
    institution: 'Wexcombe College',
    department: 'Chemistry',
    passphrase,
    people: [
      { printedName: 'Dr Moss', initials: 'HM', role: 'instructor', passphrase },
      ...names.map((name) => ({
        printedName: name,
        initials: name.slice(-2),
        role: 'student' as const,
        passphrase,
      })),
    ],
  });
  const [moss, ...class_] = people;
  if (moss === undefined) throw new Error('nobody is there');
  await ask('moss', 'session.open', { personId: moss.id, passphrase });
  for (const { id: personId } of class_) {
    await ask('own', 'session.open', { personId, passphrase });
    const record = await ask('own', 'record.begin', {
      title: 'Organic preparations',
      course: 'Course II',
      ownerId: personId,
    });
    for (let n = 0; n < entriesEach; n += 1) {
      const { id: entryId } = await ask('own', 'entry.begin', {
        recordId: record.id,
        content: sampleContent(),
      });
      await ask('own', 'attachment.add', {
        entryId,
        revision: 1,
        section: 'result',
        name: 'product.png',
        caption: '',
        data: png().toString('base64'),
      });
      const { revision } = await ask('own', 'entry.open', { entryId });
      const own = await ask('own', 'signing.read', { entryId, meaning: 'performed' });
      await ask('own', 'entry.sign', { entryId, revision, versionHash: own.versionHash, passphrase });
      const seen = await ask('moss', 'signing.read', { entryId, meaning: 'countersigned' });
      await ask('moss', 'entry.countersign', {
        entryId,
        versionHash: seen.versionHash,
        mark: '8/10',
        passphrase,
      });
    }
    await ask('own', 'session.close', {});
  }
  await running.stop();
}

interface Packed {
  readonly seconds: number;
  readonly peakMb: number;
  readonly fileMb: number;
}

/** Packs the first records in this process, which does nothing else. */
async function pack(path: string, count: number): Promise<Packed> {
  const { default: Database } = await import('better-sqlite3');
  const database = new Database(path, { readonly: true });
  const ids = database.prepare('select id from record order by rowid').pluck().all() as string[];
  const certificate = database.prepare('select hash from certificate').pluck().get() as string;
  database.close();
  const { key } = await createKey({ person: 'department', keyId: 'k' }, passphrase, cheapScryptCost);
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-bench-'));
  try {
    const begun = performance.now();
    const done = await depositRecords(
      {
        kind: 'deposit',
        path,
        recordIds: ids.slice(0, count),
        folder,
        certificateHash: certificate,
        sealWith: null,
        person: { id: 'department', printedName: 'Archive', initials: 'A', role: 'department' },
        at: '2027-07-01T09:00:00.000Z',
        offsetMinutes: 0,
      },
      { signal: new AbortController().signal, onProgress: () => undefined, sign: key.sign },
    );
    return {
      seconds: (performance.now() - begun) / 1000,
      // Kilobytes, the highest the system ever saw of this process.
      peakMb: process.resourceUsage().maxRSS / 1000,
      fileMb: done.sizeBytes / 1e6,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const inProcessOfItsOwn = (path: string, count: number): Packed =>
  JSON.parse(
    execFileSync(process.execPath, [...heap, import.meta.filename, path, String(count)], {
      encoding: 'utf8',
    }),
  ) as Packed;

/** A class deposited as one package: how fast, and that its memory does not grow with the class. */
export default async function depositBench() {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-bench-class-'));
  try {
    const path = join(folder, 'class.fairleaf');
    await classNotebook(path);
    const small = inProcessOfItsOwn(path, few);
    const whole = inProcessOfItsOwn(path, students);
    const entries = students * entriesEach;
    return {
      name: `deposit of a class: records of ${entriesEach} entries, each bound in the record and by itself`,
      rows: [
        { label: `${students} students, ${entries} entries`, value: whole.seconds, unit: 's' },
        { label: 'entries deposited', value: entries / whole.seconds, unit: 'entries/s' },
        { label: 'package', value: whole.fileMb, unit: 'MB' },
        { label: `peak memory, ${students} students, heap of ${heapMb} MB`, value: whole.peakMb, unit: 'MB' },
        { label: `peak memory, ${few} students, the same`, value: small.peakMb, unit: 'MB' },
        { label: `ratio of the two`, value: whole.peakMb / small.peakMb, unit: '×' },
      ],
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const [, script, path, count] = process.argv;
if (script === import.meta.filename && path !== undefined && count !== undefined) {
  console.log(JSON.stringify(await pack(path, Number(count))));
}
