import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import Database from 'better-sqlite3';
import { writeFileSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { readSealedKey } from '../../../electron/keys/sealed-key.ts';
import { currentVersion } from '../../../electron/storage/format.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, passphraseOf, transports, type Desk } from './open-desk.ts';

const person = (printedName: string, passphrase = 'long enough for anyone') => ({
  printedName,
  initials: 'X',
  role: 'student' as const,
  passphrase,
});
const begin = (people: ReturnType<typeof person>[], passphrase = 'the department’s own words') => ({
  institution: 'College',
  department: 'Chemistry',
  passphrase,
  people,
});

describe.each(transports)('the first start over %s', (transport) => {
  let desk: Desk;
  beforeEach(async () => {
    desk = await openDesk(transport);
  });
  afterEach(() => desk.close());

  it('finds an empty notebook, and a ready one after it was begun', async () => {
    const seat = await desk.seatOf('somebody');
    expect(await seat.get('setup.state', {})).toEqual({
      state: 'empty',
      isDemo: false,
      institution: '',
      department: '',
      people: [],
      demoPassphrase: null,
      isReadOnly: false,
      readOnlyReason: null,
      warning: null,
    });
    const ready = await seat.get('setup.begin', begin([person('Ada'), person('Ben')]));
    expect(ready).toMatchObject({ state: 'ready', isDemo: false, demoPassphrase: null });
    expect(ready.people.map((one) => one.printedName)).toEqual(['Ada', 'Ben']);
    expect(await seat.ask('setup.begin', begin([person('Cleo')]))).toMatchObject({
      error: { code: 'not-empty' },
    });
    expect(await seat.ask('setup.demo', {})).toMatchObject({ error: { code: 'not-empty' } });
  });

  it('refuses weak passphrases and one name for two, and begins nothing', async () => {
    const seat = await desk.seatOf('somebody');
    expect(await seat.ask('setup.begin', begin([person('Ada')], 'short'))).toMatchObject({
      error: { code: 'passphrase-too-short', where: 'passphrase' },
    });
    expect(await seat.ask('setup.begin', begin([person('Ada'), person('Ben', 'short')]))).toMatchObject({
      error: { code: 'passphrase-too-short', where: 'people.1.passphrase' },
    });
    expect(await seat.ask('setup.begin', begin([person('Ada Lovelock', 'Ada  Lovelock')]))).toMatchObject({
      error: { code: 'invalid-input', facts: { reason: 'passphrase-too-simple' } },
    });
    expect(await seat.ask('setup.begin', begin([person('Ada'), person('Ada')]))).toMatchObject({
      error: { code: 'name-taken', facts: { printedName: 'Ada' } },
    });
    expect((await seat.get('setup.state', {})).state).toBe('empty');
  });

  it('begins one notebook when it is asked twice at once', async () => {
    const seat = await desk.seatOf('somebody');
    const answers = await Promise.all([
      seat.ask('setup.begin', begin([person('Ada')])),
      seat.ask('setup.begin', begin([person('Ben')])),
    ]);
    expect(answers.map((answer) => (answer.ok ? 'ok' : answer.error.code)).sort()).toEqual([
      'not-empty',
      'ok',
    ]);
  });

  it('shows no passphrase but the demo’s, and stores none', async () => {
    await desk.begin(['Ada']);
    const seat = await desk.seatOf('somebody');
    expect(JSON.stringify(await seat.get('setup.state', {}))).not.toContain(passphraseOf('Ada'));
    await desk.running.stop();
    const database = new Database(desk.path);
    onTestFinished(() => void database.close());
    const tables = database
      .prepare(`select name from sqlite_schema where type = 'table'`)
      .pluck()
      .all() as string[];
    const everything = tables.map((table) =>
      JSON.stringify(database.prepare(`select * from ${table}`).all()),
    );
    expect(everything.join('')).not.toContain(passphraseOf('Ada'));
  });
});

describe('the demo notebook', () => {
  it('is made in a few seconds, sound, with entries in every state', async () => {
    const desk = await openDesk('HTTP');
    onTestFinished(() => desk.close());
    const seat = await desk.seatOf('somebody');
    const begun = performance.now();
    const setup = await seat.get('setup.demo', {});
    // Measured well under a second; a busy machine is given its time.
    expect(performance.now() - begun).toBeLessThan(15_000);
    expect(setup).toMatchObject({ state: 'ready', isDemo: true });
    expect(new Set(setup.people.map((one) => one.role))).toEqual(
      new Set(['student', 'instructor', 'department']),
    );

    const states: string[] = [];
    for (const one of setup.people) {
      const own = await desk.seatOf(one.printedName);
      await own.get('session.open', { personId: one.id, passphrase: setup.demoPassphrase ?? '' });
      if (one.role !== 'student') continue;
      for (const card of (await own.get('record.list', {})).records) {
        const { lines } = await own.get('record.open', { recordId: card.id });
        states.push(...lines.map((line) => line.state));
      }
    }
    expect(new Set(states)).toEqual(new Set(['draft', 'signed', 'returned', 'countersigned', 'struck-out']));
    const moss = await desk.seatOf(setup.people.find((one) => one.role === 'instructor')?.printedName ?? '');
    const tray = await moss.get('tray.list', {});
    expect(tray.lines.length).toBeGreaterThan(1);
    expect(tray.lines.some((line) => line.deviations.length > 0 && line.percentageYield !== '')).toBe(true);

    const report = await checkDatabase(desk.path);
    expect(report.ok && report.value.findings.filter((one) => one.severity !== 'note')).toEqual([]);
    expect(desk.logged).toEqual([]);
  });

  it('says in every sealed key how cheap it was made', async () => {
    const desk = await openDesk('IPC');
    onTestFinished(() => desk.close());
    await (await desk.seatOf('somebody')).get('setup.demo', {});
    if (!desk.running.program.notebook.ok) throw new Error('not open');
    const keys = await desk.running.program.notebook.value.db
      .selectFrom('sealed_key')
      .select('sealed')
      .execute();
    for (const { sealed } of keys) {
      const key = readSealedKey(sealed);
      expect(key.ok && key.value.kdf.N).toBe(4096);
    }
  });
});

describe('a notebook that cannot be used', () => {
  it.each([
    [
      'no notebook',
      (path: string) => writeFileSync(path, 'a text of more than sixteen bytes'),
      'not-a-notebook',
    ],
    [
      'one from a newer version',
      (path: string) => {
        const database = new Database(path);
        database.pragma('application_id = 0x464c7266');
        database.exec('create table t (x)');
        database.pragma(`user_version = ${currentVersion + 1}`);
        database.close();
      },
      'newer-version',
    ],
  ])('is answered with its reason, whatever is asked: %s', async (_, prepare, reason) => {
    const path = join(mkdtempSync(join(tmpdir(), 'fairleaf-unusable-')), 'n.fairleaf');
    prepare(path);
    const desk = await openDesk('HTTP', { path });
    onTestFinished(() => desk.close());
    const seat = await desk.seatOf('somebody');
    for (const name of ['setup.state', 'session.current', 'setup.demo'] as const) {
      expect(await seat.ask(name, {})).toMatchObject({
        error: { code: 'storage-failed', facts: { reason } },
      });
    }
  });

  it('is read, and refuses to write, when another program holds it', async () => {
    const first = await openDesk('HTTP');
    onTestFinished(() => first.close());
    await first.begin(['Ada', 'Dr Moss']);
    const recordId = await first.record();
    const { id, revision } = await first.entry('Ada', recordId);
    const second = await openDesk('HTTP', { path: first.path });
    onTestFinished(() => second.close());
    second.people = first.people;

    const setup = await (await second.seatOf('somebody')).get('setup.state', {});
    expect(setup.isReadOnly).toBe(true);
    expect(setup.readOnlyReason).toContain(`process ${process.pid}`);
    const ada = await second.as('Ada');
    expect((await ada.get('entry.open', { entryId: id })).id).toBe(id);
    expect((await ada.get('record.open', { recordId })).lines).toHaveLength(1);
    const refused = { error: { code: 'storage-failed', facts: { reason: 'held-elsewhere' } } };
    expect(
      await ada.ask('draft.save', { entryId: id, revision, content: sampleContent({ aim: 'x' }) }),
    ).toMatchObject(refused);
    expect(await ada.ask('entry.strike-out', { entryId: id, reason: 'x' })).toMatchObject(refused);
    expect((await ada.get('notebook.check', {})).isSound).toBe(true);
  });
});
