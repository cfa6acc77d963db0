import { mkdtempSync, rmSync, statSync, existsSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import { cheapScryptCost } from '../../electron/keys/sealed-key.ts';
import { pageFolder, startHost } from '../../electron/host/start-host.ts';
import { startProgram, type RunningProgram } from '../../electron/services/start-program.ts';
import type { BenchResult, BenchRow } from './bench.ts';

const entriesInAll = 1000;
const students = 24;
const signedEach = 6;
const runs = 7;
const passphrase = 'the same words for everybody';

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
async function timed(act: () => Promise<unknown>): Promise<number> {
  const begun = performance.now();
  await act();
  return performance.now() - begun;
}
async function medianOf(act: (run: number) => Promise<unknown>): Promise<number> {
  const times: number[] = [];
  for (let run = 0; run < runs; run++) times.push(await timed(() => act(run)));
  return median(times);
}

type Ask = (client: string, name: string, input: object) => Promise<never>;
const asker =
  (running: RunningProgram): Ask =>
  async (client, name, input) => {
    const reply = await running.dispatch(name, input, { client });
    if (!reply.ok) throw new Error(`${name}: ${JSON.stringify(reply.error)}`);
    return reply.value as never;
  };

interface Person {
  readonly id: string;
  readonly role: string;
}

/** A class of 24 with 1,000 entries, some of them handed in, made through the services. */
async function makeClass(
  path: string,
): Promise<{ readonly people: readonly Person[]; readonly signMs: number }> {
  const running = await startProgram({ path, keyCost: cheapScryptCost });
  const ask = asker(running);
  const person = (n: number, role: string) => ({
    printedName: `${role} ${n}`,
    initials: `${n}`,
    role,
    passphrase,
  });
  const { people }: { people: readonly Person[] } = await ask('x', 'setup.begin', {
    institution: 'Bench College',
    department: 'Chemistry',
    passphrase,
    people: [
      person(0, 'instructor'),
      ...Array.from({ length: students }, (_, n) => person(n + 1, 'student')),
    ],
  });
  const signing: number[] = [];
  const owners = people.filter((one) => one.role === 'student');
  for (const [index, { id }] of owners.entries()) {
    await ask(id, 'session.open', { personId: id, passphrase });
    const record: { id: string } = await ask(id, 'record.begin', {
      title: 'Record',
      course: 'II',
      ownerId: id,
    });
    // The first record is as long as a record gets.
    const count = index === 0 ? 126 : 38;
    for (let n = 0; n < count; n++) {
      const template = templates[n % templates.length];
      if (template === undefined) throw new Error('there are no templates');
      const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => crypto.randomUUID() });
      const entry: { id: string; revision: number } = await ask(id, 'entry.begin', {
        recordId: record.id,
        content,
      });
      if (n >= signedEach) continue;
      signing.push(
        await timed(async () => {
          const { versionHash }: { versionHash: string } = await ask(id, 'signing.read', {
            entryId: entry.id,
            meaning: 'performed',
          });
          await ask(id, 'entry.sign', {
            entryId: entry.id,
            revision: entry.revision,
            versionHash,
            passphrase,
          });
        }),
      );
    }
  }
  await running.stop();
  return { people, signMs: median(signing) };
}

/** Opening the program with 1,000 entries, and what is asked for most often then. */
export default async function (): Promise<BenchResult> {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-bench-'));
  const path = join(folder, 'class.fairleaf');
  try {
    const { people, signMs } = await makeClass(path);
    const instructor = people.find((one) => one.role === 'instructor')?.id ?? '';
    const student = people.find((one) => one.role === 'student')?.id ?? '';
    const rows: BenchRow[] = [
      { label: 'size of the notebook', value: statSync(path).size / 1e6, unit: 'MB' },
      { label: 'reading what is signed, and signing it (cheap key)', value: signMs, unit: 'ms' },
    ];
    rows.push({
      label: 'opening the file, checked and ready to be asked',
      value: await medianOf(async () => (await startProgram({ path })).stop()),
      unit: 'ms',
    });

    const running = await startProgram({ path, keyCost: cheapScryptCost });
    const ask = asker(running);
    await ask('i', 'session.open', { personId: instructor, passphrase });
    await ask('s', 'session.open', { personId: student, passphrase });
    const { records }: { records: readonly { id: string; entryCount: number }[] } = await ask(
      'i',
      'record.list',
      {},
    );
    const longest = records.toSorted((a, b) => b.entryCount - a.entryCount)[0];
    if (longest === undefined) throw new Error('there are no records');
    const { lines }: { lines: readonly { entryId: string; state: string }[] } = await ask(
      's',
      'record.open',
      {
        recordId: longest.id,
      },
    );
    const entryId = lines.find((line) => line.state === 'draft')?.entryId ?? '';
    const total = records.reduce((sum, record) => sum + record.entryCount, 0);
    const measure = async (label: string, act: (run: number) => Promise<unknown>): Promise<void> => {
      rows.push({ label, value: await medianOf(act), unit: 'ms' });
    };
    await measure(`the shelf: ${records.length} records, ${total} entries`, () =>
      ask('i', 'record.list', {}),
    );
    await measure(`an index page of ${longest.entryCount} entries`, () =>
      ask('i', 'record.open', { recordId: longest.id }),
    );
    await measure(`the tray, ${students * signedEach} waiting`, () => ask('i', 'tray.list', {}));
    await measure('opening an entry', () => ask('s', 'entry.open', { entryId }));
    let view: { revision: number; content: object } = await ask('s', 'entry.open', { entryId });
    await measure('saving a draft, safely on the disk', async (run) => {
      const content = { ...view.content, discussion: `word ${run}` };
      const saved: { revision: number } = await ask('s', 'draft.save', {
        entryId,
        revision: view.revision,
        content,
      });
      view = { revision: saved.revision, content };
    });
    await measure('the newest 60 events of the trail', () =>
      ask('i', 'trail.list', { entryId: null, action: null, text: null, before: null, limit: 60 }),
    );
    await measure('the trail, searched for a word', () =>
      ask('i', 'trail.list', { entryId: null, action: null, text: 'benzilic', before: null, limit: 60 }),
    );
    await running.stop();
    rows.push(...(await inTheBrowser(path)));
    return { name: `Opening with ${entriesInAll} entries`, rows };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** From loading the page to the shelf being readable, in Chromium over the loopback host. */
async function inTheBrowser(path: string): Promise<readonly BenchRow[]> {
  if (!existsSync(join(pageFolder(), 'index.html'))) {
    console.log('NOT MEASURED: the pages are not built (npm run build).');
    return [];
  }
  const host = await startHost({ path, port: 0 });
  const browser = await chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.goto(host.newAddress());
    await page.getByRole('button', { name: 'instructor 0' }).click();
    await page.getByRole('textbox', { name: 'Passphrase' }).fill(passphrase);
    await page.getByRole('button', { name: 'Open', exact: true }).click();
    await page.getByRole('navigation', { name: 'Places' }).waitFor();
    await page.evaluate(() => {
      location.hash = '#/shelf';
    });
    const value = await medianOf(async () => {
      await page.reload();
      await page.getByRole('heading', { name: 'Shelf' }).waitFor();
      await page.getByText('student 7').first().waitFor();
    });
    return [{ label: 'loading the page until the shelf can be read', value, unit: 'ms' }];
  } finally {
    await browser.close();
    await host.stop();
  }
}
