import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { inputFromTables } from '../../core/record/check-tables.ts';
import { verifyNotebook } from '../../core/record/verify.ts';
import { checkDatabase } from '../../electron/check/check-database.ts';
import { recordCrypto } from '../../electron/keys/crypto.ts';
import { PaperNotebook } from '../core/record/paper-notebook.ts';
import { sampleContent } from '../core/record/sample-content.ts';
import { writeNotebookFile } from '../electron/check/notebook-file.ts';
import { openDesk } from '../electron/services/open-desk.ts';
import { bareCost, bareOnCores, bareWorkOf } from './bare/cost.ts';

/** A notebook of a class: entries signed and countersigned, each after many saved changes. */
function classNotebook(entries: number, savesPerEntry: number): PaperNotebook {
  const notebook = new PaperNotebook();
  const moss = notebook.addPerson('moss', 'Dr H. Moss', 'instructor');
  const ada = notebook.addPerson('ada', 'Ada Fennel', 'student');
  notebook.beginRecord(ada, 'record', 'Organic preparations');
  for (let n = 0; n < entries; n += 1) {
    const entry = `entry-${n}`;
    notebook.beginEntry(ada, 'record', entry, sampleContent());
    for (let save = 0; save < savesPerEntry; save += 1) {
      notebook.event(ada, 'draft.save', { record: 'record', entry }, [], {
        changes: [
          { path: 'Discussion', old: `It was warm (${save}).`, new: `It was cold and wet (${save}).` },
        ],
      });
    }
    notebook.sign(ada, entry);
    notebook.review(moss, entry, 'countersigned', '8 of 10');
  }
  return notebook;
}

/** Texts as a file gives them: each in one piece. Those put together in memory are slower to read. */
function asRead(notebook: PaperNotebook): void {
  for (const rows of Object.values(notebook.tables)) {
    rows.forEach((row, index) => {
      rows[index] = Object.fromEntries(
        Object.entries(row).map(([column, value]) => [
          column,
          typeof value === 'string' ? Buffer.from(value).toString() : value,
        ]),
      );
    });
  }
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
async function timed(act: () => unknown): Promise<number> {
  const started = performance.now();
  await act();
  return performance.now() - started;
}

/** Processor time, ms: what others do meanwhile counts for less in it. For work on one core that waits for nothing. */
async function timedOnCore(act: () => unknown, into: number[] | undefined): Promise<number> {
  const before = process.cpuUsage();
  const wall = await timed(act);
  const { user, system } = process.cpuUsage(before);
  into?.push((user + system) / 1000);
  return wall;
}

const rounds = 7;

async function checking() {
  const notebook = classNotebook(200, 500);
  asRead(notebook);
  const cores = availableParallelism();
  const events = notebook.tables['event']?.length ?? 0;
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-bench-'));
  const path = join(folder, 'class.fairleaf');
  await writeNotebookFile(path, notebook.tables);
  const work = bareWorkOf(notebook);
  const beside = await bareOnCores(work, cores);
  const pinnedKey = notebook.department.publicKey;
  const sound = (isSound: boolean): void => {
    if (!isSound) throw new Error('the notebook is not sound');
  };
  const inFile = async (threads: number): Promise<void> => {
    const report = await checkDatabase(path, { pinnedKey, threads });
    sound(report.ok && report.value.isSound);
  };
  const inMemory = (): void =>
    sound(verifyNotebook(inputFromTables(notebook.read, pinnedKey), recordCrypto).isSound);
  const times = Object.fromEntries(
    ['memory', 'bare', 'one', 'all', 'bareAll', 'memoryCpu', 'bareCpu'].map((name) => [name, [] as number[]]),
  );
  try {
    // In turn, so that whatever else the computer does falls on all of them.
    for (let round = 0; round < rounds; round += 1) {
      times['memory']?.push(await timedOnCore(inMemory, times['memoryCpu']));
      times['bare']?.push(await timedOnCore(() => bareCost(work), times['bareCpu']));
      times['one']?.push(await timed(() => inFile(1)));
      times['all']?.push(await timed(() => inFile(cores)));
      times['bareAll']?.push(await timed(() => beside.run()));
    }
  } finally {
    await beside.end();
    rmSync(folder, { recursive: true, force: true });
  }
  const of = (name: string): number => median(times[name] ?? []);
  return [
    {
      label: `${events} events, 200 versions, 400 signatures: checked in memory, one core`,
      value: of('memory'),
      unit: 'ms',
    },
    { label: 'the bare hashes and signatures of the same, one core', value: of('bare'), unit: 'ms' },
    { label: 'ratio on one core, check ÷ bare cost', value: of('memory') / of('bare'), unit: '×' },
    { label: 'checked in memory, processor time', value: of('memoryCpu'), unit: 'ms' },
    { label: 'the bare hashes and signatures, processor time', value: of('bareCpu'), unit: 'ms' },
    {
      label: 'ratio of processor times, check in memory ÷ bare cost',
      value: of('memoryCpu') / of('bareCpu'),
      unit: '×',
    },
    { label: 'the file checked, one core (pages, reading, everything)', value: of('one'), unit: 'ms' },
    { label: `the file checked, all cores (${cores})`, value: of('all'), unit: 'ms' },
    { label: `the bare hashes and signatures, all cores (${cores})`, value: of('bareAll'), unit: 'ms' },
    {
      label: 'ratio, the file on all cores ÷ bare cost on one core',
      value: of('all') / of('bare'),
      unit: '×',
    },
    {
      label: 'ratio, the file on all cores ÷ bare cost on all cores',
      value: of('all') / of('bareAll'),
      unit: '×',
    },
    {
      label: 'events of the file checked per second, all cores',
      value: (events / of('all')) * 1000,
      unit: '/s',
    },
  ];
}

/** What signing costs: the objects alone, and the whole command with its commit. */
async function saving() {
  const notebook = new PaperNotebook();
  const ada = notebook.addPerson('ada', 'Ada Fennel', 'student');
  notebook.beginRecord(ada, 'record', 'Organic preparations');
  const many = 300;
  for (let n = 0; n < many; n += 1) notebook.beginEntry(ada, 'record', `e${n}`, sampleContent());
  const objects = await timed(() => {
    for (let n = 0; n < many; n += 1) notebook.sign(ada, `e${n}`);
  });
  const desk = await openDesk('IPC');
  const commands: number[] = [];
  const drafts: number[] = [];
  try {
    await desk.begin(['Ada', 'Dr Moss']);
    const recordId = await desk.record();
    const own = await desk.as('Ada');
    for (let n = 0; n < 60; n += 1) {
      const { id } = await desk.entry('Ada', recordId);
      drafts.push(await timed(() => desk.save('Ada', id, { discussion: `Round ${n}.` })));
      const { versionHash } = await own.get('signing.read', { entryId: id, meaning: 'performed' });
      const { revision } = await own.get('entry.open', { entryId: id });
      const passphrase = 'the passphrase of Ada';
      commands.push(
        await timed(() => own.get('entry.sign', { entryId: id, revision, versionHash, passphrase })),
      );
    }
  } finally {
    await desk.close();
  }
  return [
    { label: 'versions sealed and signed per second, in memory', value: (many / objects) * 1000, unit: '/s' },
    {
      label: 'versions signed per second, the whole command (passphrase at its cheapest)',
      value: 1000 / median(commands),
      unit: '/s',
    },
    {
      label: 'drafts opened and saved per second, the whole commands',
      value: 1000 / median(drafts),
      unit: '/s',
    },
  ];
}

/** A whole check beside the bare cost of its hashes and signatures, in turn; and what signing costs. */
export default async function recordBench() {
  return {
    name: 'checking a notebook, and signing in one',
    rows: [
      ...(await checking()),
      ...(await saving()),
      { label: 'load of the computer meanwhile (1 minute)', value: loadavg()[0] ?? 0, unit: '' },
    ],
  };
}
