import { writeFileSync } from 'node:fs';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ownCompoundAsCompound, ownSourceText, rowFromCompound } from '../../../core/compounds/index.ts';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { sampleOwnCompound, sampleOwnLiquid } from '../../core/compounds/make-own-compound.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { withoutGuards } from '../check/notebook-file.ts';
import { openDesk, passphraseOf, transports, type Desk, type Name, type Seat } from './open-desk.ts';

const trailOf = { entryId: null, text: null, before: null, limit: 50 } as const;

describe.each(transports)('compounds of the department’s own over %s', (transport) => {
  let desk: Desk;
  let archive: Seat;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin();
    archive = await desk.as('Archive');
  });
  afterEach(async () => {
    await desk.close();
    expect(desk.logged).toEqual([]);
  });
  const add = (content = sampleOwnCompound()) =>
    archive.get('own-compound.save', { compoundId: null, n: 0, content, reason: '' });
  const refusal = async (asked: Promise<{ ok: boolean; error?: unknown }>): Promise<unknown> => {
    const answer = await asked;
    return answer.ok ? 'ok' : answer.error;
  };

  it('is saved as version 1, listed for everybody, and leaves one event that says what it says', async () => {
    const saved = await add();
    expect(saved).toMatchObject({
      n: 1,
      isWithdrawn: false,
      author: 'Archive',
      content: sampleOwnCompound(),
    });
    expect(saved.id).toMatch(/^own-/);
    for (const name of ['Ada', 'Dr Moss', 'Archive'] as const) {
      expect((await (await desk.as(name)).get('own-compound.list', {})).compounds).toEqual([saved]);
    }
    const { lines } = await (
      await desk.as('Dr Moss')
    ).get('trail.list', { ...trailOf, action: 'own-compound.save' });
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatchObject({
      who: 'Archive',
      what: 'wrote into the department’s own compounds',
    });
    expect(lines[0]?.changes).toContainEqual({
      path: '4-methoxyacetanilide, melting point',
      old: '',
      new: '127 to 130 °C',
    });
  });

  const table: readonly (readonly [Name, string])[] = [
    ['Ada', 'not-allowed'],
    ['Ben', 'not-allowed'],
    ['Dr Moss', 'not-allowed'],
    ['Archive', 'ok'],
  ];
  it.each(table)('lets %s read, and write only with the department’s role: %s', async (name, expected) => {
    const { id } = await add();
    const seat = await desk.as(name);
    expect((await seat.get('own-compound.read', { compoundId: id })).versions).toHaveLength(1);
    const codeOf = (answer: { ok: boolean; error?: { code: string } }) =>
      answer.ok ? 'ok' : answer.error?.code;
    const content = sampleOwnCompound({ synonyms: [] });
    expect(codeOf(await seat.ask('own-compound.save', { compoundId: id, n: 1, content, reason: '' }))).toBe(
      expected,
    );
    const n = expected === 'ok' ? 2 : 1;
    expect(codeOf(await seat.ask('own-compound.withdraw', { compoundId: id, n, reason: 'A trial.' }))).toBe(
      expected,
    );
  });

  it('keeps every form, and refuses the second of two windows with nothing lost', async () => {
    const { id } = await add();
    const mine = sampleOwnCompound({ synonyms: ['methacetin'] });
    const yours = sampleOwnCompound({ synonyms: ['p-acetanisidide'] });
    await archive.get('own-compound.save', { compoundId: id, n: 1, content: mine, reason: 'One name.' });
    expect(
      await refusal(archive.ask('own-compound.save', { compoundId: id, n: 1, content: yours, reason: '' })),
    ).toMatchObject({ code: 'compound-changed-elsewhere', facts: { n: 2, author: 'Archive' } });
    await archive.get('own-compound.save', { compoundId: id, n: 2, content: yours, reason: '' });
    const { versions } = await archive.get('own-compound.read', { compoundId: id });
    expect(versions.map(({ n, content, reason }) => [n, content.synonyms.length, reason])).toEqual([
      [1, 2, ''],
      [2, 1, 'One name.'],
      [3, 1, ''],
    ]);
  });

  it('holds a form to what core reads, names the box, and writes nothing', async () => {
    const content = sampleOwnCompound({ smiles: 'CC(=O)Nc1ccccc1' });
    expect(
      await refusal(archive.ask('own-compound.save', { compoundId: null, n: 0, content, reason: '' })),
    ).toMatchObject({
      code: 'compound-faulty',
      where: 'smiles',
      facts: { reason: 'formula-contradicts-structure' },
    });
    expect((await archive.get('own-compound.list', {})).compounds).toEqual([]);
    const { lines } = await archive.get('trail.list', { ...trailOf, action: 'own-compound.save' });
    expect(lines).toEqual([]);
  });

  it('refuses what is no form at all, as it comes', async () => {
    const well = { compoundId: null, n: 0, content: sampleOwnCompound(), reason: '' };
    for (const wrong of [
      { ...well, content: { ...well.content, colour: 'white' } },
      { ...well, content: { ...well.content, melting: null } },
      { ...well, content: { ...well.content, name: 'x'.repeat(400) } },
      { ...well, n: -1 },
      { ...well, compoundId: '../x y' },
    ]) {
      expect(await archive.raw('own-compound.save', wrong)).toMatchObject({
        error: { code: 'invalid-input' },
      });
    }
  });

  it('knows an unknown compound, an unchanged form and a name that is taken', async () => {
    const { id } = await add();
    const content = sampleOwnCompound();
    const other = sampleOwnLiquid({ name: '4-Methoxy acetanilide' });
    const ask = (input: object) =>
      refusal(archive.ask('own-compound.save', { compoundId: null, n: 0, content, reason: '', ...input }));
    expect(await ask({ compoundId: 'own-none', n: 1 })).toMatchObject({ code: 'not-found' });
    expect(await ask({ compoundId: id, n: 1 })).toMatchObject({ code: 'nothing-changed' });
    expect(await ask({ content: other })).toMatchObject({ code: 'compound-name-taken' });
    expect(await archive.ask('own-compound.read', { compoundId: 'own-none' })).toMatchObject({
      error: { code: 'not-found' },
    });
  });

  it('is withdrawn with a reason, keeps its forms, and is offered again by a new one', async () => {
    const { id } = await add();
    const ask = (n: number, reason: string) =>
      archive.ask('own-compound.withdraw', { compoundId: id, n, reason });
    expect(await ask(1, ' ')).toMatchObject({ error: { code: 'reason-missing' } });
    expect(await ask(1, 'Not used any more.')).toMatchObject({ value: { n: 2, isWithdrawn: true } });
    expect(await ask(2, 'Again.')).toMatchObject({ error: { code: 'nothing-changed' } });
    expect((await archive.get('own-compound.list', {})).compounds).toMatchObject([{ id, isWithdrawn: true }]);
    // Its name is free now, and it can come back under it while nobody else took it.
    const back = { compoundId: id, n: 2, content: sampleOwnCompound(), reason: 'Used again.' };
    expect(await archive.get('own-compound.save', back)).toMatchObject({ n: 3, isWithdrawn: false });
    const { lines } = await archive.get('trail.list', { ...trailOf, action: 'own-compound.withdraw' });
    expect(lines).toMatchObject([{ reason: 'Not used any more.' }]);
  });

  it('leaves a notebook that checks sound, with every form counted', async () => {
    const { id } = await add();
    await add(sampleOwnLiquid());
    await archive.get('own-compound.withdraw', { compoundId: id, n: 1, reason: 'A trial.' });
    const report = await archive.get('notebook.check', {});
    expect(report.findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
    expect(report.checked).toContainEqual({
      what: 'compounds of the department’s own, each saved form',
      count: 3,
    });
  });

  const attacks: readonly (readonly [string, string, string, RegExp])[] = [
    [
      'figures changed in the file',
      `update own_compound set bytes = replace(bytes, '"from":"127"', '"from":"117"') where n = 1`,
      'own-compound-changed',
      /own compound “4-methoxyacetanilide”, version 1$/,
    ],
    [
      'a column that says otherwise than the bytes',
      `update own_compound set at = '2020-01-01T00:00:00.000Z' where n = 2`,
      'column-differs',
      /own compound “4-methoxyacetanilide”, version 2$/,
    ],
    ['a form taken out', `delete from own_compound where n = 1`, 'own-compound-order', /version 2$/],
    [
      'a form moved to another number',
      `update own_compound set n = 7 where n = 2`,
      'column-differs',
      /version 2$/,
    ],
  ];
  it.each(attacks)('is caught by the check: %s', async (_, statement, code, place) => {
    const { id } = await add();
    const content = sampleOwnCompound({ synonyms: [] });
    await archive.get('own-compound.save', { compoundId: id, n: 1, content, reason: '' });
    const path = `${desk.path}.attacked`;
    const { notebook } = desk.running.program;
    if (!notebook.ok) throw new Error('not open');
    await notebook.value.copyTo(path);
    const database = new Database(path);
    expect(() => database.exec(statement)).toThrow(/never-/);
    withoutGuards(database, () => database.exec(statement));
    database.close();
    const report = await checkDatabase(path);
    if (!report.ok) throw new Error(report.error.code);
    expect(report.value.isSound).toBe(false);
    const broken = report.value.findings.filter(({ severity }) => severity === 'broken');
    expect(broken.map((one) => one.code)).toContain(code);
    expect(broken.find((one) => one.code === code)?.place).toMatch(place);
  });

  it('offers no figures that are not as they were saved, and lists the others', async () => {
    await add();
    const other = await add(sampleOwnLiquid());
    // The program has the file open: a tamperer writes beside it.
    const database = new Database(desk.path);
    withoutGuards(database, () =>
      database.exec(`update own_compound set bytes = replace(bytes, '"from":"127"', '"from":"117"')`),
    );
    database.close();
    expect((await archive.get('own-compound.list', {})).compounds).toEqual([other]);
  });

  it('is copied into an entry, which then needs the library no more: signed, handed in and checked without it', async () => {
    await add(sampleOwnLiquid());
    const own = ownCompoundAsCompound('own-1', sampleOwnLiquid());
    const plain = rowFromCompound(own, { id: 'own-row', role: 'solvent' });
    const row = { ...plain, valuesFrom: ownSourceText(own.name, 1) };
    const sample = sampleContent();
    const { id } = await desk.entry('Ada', await desk.record(), { ...sample, rows: [...sample.rows, row] });
    await desk.sign('Ada', id);
    const ada = await desk.as('Ada');
    const { content } = await ada.get('version.read', { entryId: id, n: 1 });
    expect(content.rows.at(-1)).toEqual(row);
    const passphrase = passphraseOf('Ada');
    const job = await ada.get('hand-in.write', { entryId: id, passphrase });
    await expect.poll(async () => (await ada.get('job.state', { jobId: job.id })).state).toBe('done');
    const [client = ''] =
      desk.running.program.sessions.all().find(([, session]) => session.person.printedName === 'Ada') ?? [];
    const data = Buffer.from(desk.running.jobFile(job.id, client)?.bytes ?? []).toString('base64');
    const report = await ada.get('file.check', { name: 'entry.zip', data });
    expect(report.findings.filter(({ severity }) => severity === 'broken')).toEqual([]);
    expect(report.isSound).toBe(true);
    archive = await desk.as('Archive');
    expect((await archive.get('notebook.check', {})).isSound).toBe(true);
  });

  it('goes along into a notebook for one’s own computer', async () => {
    await add();
    const ada = await desk.as('Ada');
    const job = await ada.get('notebook.issue', {});
    await expect.poll(async () => (await ada.get('job.state', { jobId: job.id })).state).toBe('done');
    const [client = ''] =
      desk.running.program.sessions.all().find(([, session]) => session.person.printedName === 'Ada') ?? [];
    const path = `${desk.path}.own`;
    writeFileSync(path, desk.running.jobFile(job.id, client)?.bytes ?? new Uint8Array());
    const report = await checkDatabase(path);
    if (!report.ok) throw new Error(report.error.code);
    expect(report.value.findings.filter(({ severity }) => severity === 'broken')).toEqual([]);
    const database = new Database(path, { readonly: true });
    expect(database.prepare('select n from own_compound').pluck().all()).toEqual([1]);
    database.close();
  });
});
