import { execFileSync } from 'node:child_process';
import { setTimeout as pause } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CheckReport, KeyView } from '../../../core/contract/views.ts';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { checkPdf } from '../../../electron/check/check-file.ts';
import { withPdf } from '../export/read-pdf.ts';
import {
  departmentPassphrase,
  openDesk,
  passphraseOf,
  transports,
  type Desk,
  type Name,
} from './open-desk.ts';

const lost = 'The passphrase was forgotten; came in person with the college card.';

describe.each(transports)('the life of a key, over %s', (transport) => {
  let desk: Desk;
  let recordId: string;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin(['Ada', 'Ben', 'Dr Moss', 'Archive']);
    recordId = await desk.record();
  });
  afterEach(() => desk.close());

  const keysOf = async (name: Name): Promise<readonly KeyView[]> => {
    const list = await (await desk.as('Archive')).get('key.list', {});
    return list.people.find((one) => one.person.printedName === name)?.keys ?? [];
  };
  const keyOf = async (name: Name): Promise<string> => (await keysOf(name))[0]?.key ?? '';
  const rootKey = async (): Promise<string> =>
    (await (await desk.as('Archive')).get('key.list', {})).department.at(-1)?.key ?? '';
  const check = async (): Promise<CheckReport> => {
    const result = await checkDatabase(desk.path, { pinnedKey: await rootKey() });
    if (!result.ok) throw new Error(result.error.code);
    return result.value;
  };
  const codes = async (): Promise<readonly string[]> => (await check()).findings.map((one) => one.code);
  const lastEvent = async (action: string) => {
    const { lines, total } = await (
      await desk.as('Archive')
    ).get('trail.list', { entryId: null, action, text: null, before: null, limit: 5 });
    return { line: lines[0], total };
  };

  it('begins with everybody’s key in use, certified for years', async () => {
    const [key] = await keysOf('Ada');
    expect(key).toMatchObject({ standing: 'in-use', isHere: true, since: null, reason: '' });
    expect(key?.fingerprint).toMatch(/^([0-9A-F]{4} ){4}[0-9A-F]{4}$/);
    // Others see how keys stand, and not why.
    const seen = await (await desk.as('Ada')).get('key.list', {});
    expect(seen.department).toHaveLength(1);
  });

  it('gives a person who lost the passphrase a new key; what the old one signed stays good', async () => {
    const { id } = await desk.entry('Ada', recordId);
    await desk.sign('Ada', id);
    const before = await keyOf('Ada');
    const list = await (
      await desk.as('Archive')
    ).get('key.replace', {
      personId: desk.idOf('Ada'),
      passphrase: 'quite another set of words',
      reason: lost,
      departmentPassphrase,
    });
    const keys = list.people.find((one) => one.person.printedName === 'Ada')?.keys ?? [];
    expect(keys.map((one) => one.standing)).toEqual(['in-use', 'retired']);
    expect(keys[1]).toMatchObject({ key: before, reason: lost, isHere: false });
    const ada = await desk.seatOf('Ada');
    expect(
      await ada.ask('session.open', { personId: desk.idOf('Ada'), passphrase: passphraseOf('Ada') }),
    ).toMatchObject({ error: { code: 'wrong-passphrase' } });
    desk.clock.pass(60);
    await ada.get('session.open', { personId: desk.idOf('Ada'), passphrase: 'quite another set of words' });
    const view = await ada.get('entry.open', { entryId: id });
    expect(view.versions[0]?.signatures[0]?.withdrawn).toMatchObject({ kind: 'retired' });
    const report = await check();
    expect(report.isSound).toBe(true);
    expect(report.findings.map((one) => one.code)).toEqual(['key-retired']);
    const { line, total } = await lastEvent('key.replace');
    expect(total).toBe(1);
    expect(line?.reason).toBe(lost);
    expect(line?.what).toContain('certified a new key');
  });

  it('says on paper that the key was retired after it signed', async () => {
    await desk.lockedEntry(recordId);
    const archive = await desk.as('Archive');
    await archive.get('key.retire', {
      key: await keyOf('Dr Moss'),
      kind: 'retired',
      since: null,
      reason: 'Left the college.',
      departmentPassphrase,
    });
    let job = await archive.get('record.bind', { recordId });
    while (job.state === 'running') {
      await pause(40);
      job = await archive.get('job.state', { jobId: job.id });
    }
    const file = desk.running.program.sessions
      .all()
      .map(([client]) => desk.running.jobFile(job.id, client))
      .find((one) => one !== null);
    if (file === undefined || !('bytes' in file)) throw new Error('no file');
    const text = withPdf(file.bytes, (path) =>
      execFileSync('pdftotext', [path, '-'], { encoding: 'utf8' }),
    ).replace(/\s+/g, ' ');
    expect(text).toContain('key retired on 9 March 2027, after this was signed');
    const report = await checkPdf(file.bytes, { pinnedKey: await rootKey() });
    expect(report.ok && report.value.isSound).toBe(true);
    expect(report.ok && report.value.findings.map((one) => one.code)).toContain('key-retired');
  });

  it('closes the account of somebody who leaves: no way in, and not among those to choose from', async () => {
    await (
      await desk.as('Archive')
    ).get('key.retire', {
      key: await keyOf('Ben'),
      kind: 'retired',
      since: null,
      reason: 'Finished the course.',
      departmentPassphrase,
    });
    const seat = await desk.seatOf('Ben');
    expect((await seat.get('setup.state', {})).people.map((one) => one.printedName)).not.toContain('Ben');
    expect(
      await seat.ask('session.open', { personId: desk.idOf('Ben'), passphrase: passphraseOf('Ben') }),
    ).toMatchObject({ error: { code: 'not-allowed', facts: { reason: 'no-key-in-use' } } });
    expect((await check()).isSound).toBe(true);
    // Who comes back is given a new key.
    await (
      await desk.as('Archive')
    ).get('key.replace', {
      personId: desk.idOf('Ben'),
      passphrase: passphraseOf('Ben'),
      reason: 'Came back for the advanced course.',
      departmentPassphrase,
    });
    await desk.as('Ben');
  });

  it('refuses a signature with a key withdrawn meanwhile, though the session is open', async () => {
    const { id, revision } = await desk.entry('Ada', recordId);
    const ada = await desk.as('Ada');
    const { versionHash } = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    const sessions = desk.running.program.sessions.all();
    const [client] = sessions.find(([, one]) => one.person.printedName === 'Ada') ?? [''];
    const key = await keyOf('Ada');
    await (
      await desk.as('Archive')
    ).get('key.retire', { key, kind: 'retired', since: null, reason: 'x', departmentPassphrase });
    // The session was closed with the key; it is opened again behind the program's back.
    expect(desk.running.program.sessions.of(client)?.person.printedName).not.toBe('Ada');
    const person = desk.people.get('Ada');
    if (person === undefined) throw new Error('no Ada');
    desk.running.program.sessions.open(client, person, desk.clock);
    const answer = await ada.ask('entry.sign', {
      entryId: id,
      revision,
      versionHash,
      passphrase: passphraseOf('Ada'),
    });
    expect(answer).toMatchObject({ error: { code: 'not-allowed', facts: { reason: 'no-key-in-use' } } });
    expect((await ada.get('entry.open', { entryId: id })).versions).toEqual([]);
  });

  it('doubts what a key in wrong hands signed unless somebody saw it before then', async () => {
    await desk.lockedEntry(recordId);
    const since = desk.clock.now();
    desk.clock.pass(3600);
    const archive = await desk.as('Archive');
    const ask = { key: await keyOf('Dr Moss'), kind: 'compromised' as const, departmentPassphrase };
    expect(
      await archive.ask('key.retire', { ...ask, since: '2099-01-01T00:00:00.000Z', reason: 'Stolen.' }),
    ).toMatchObject({ error: { code: 'since-not-past' } });
    expect(await archive.ask('key.retire', { ...ask, since: null, reason: 'Stolen.' })).toMatchObject({
      error: { code: 'since-not-past' },
    });
    expect(await archive.ask('key.retire', { ...ask, since, reason: ' ' })).toMatchObject({
      error: { code: 'reason-missing' },
    });
    await archive.get('key.retire', { ...ask, since, reason: 'The laptop was stolen.' });
    expect(await archive.ask('key.retire', { ...ask, since, reason: 'Again.' })).toMatchObject({
      error: { code: 'key-not-in-use' },
    });
    const report = await check();
    expect(report.isSound).toBe(true);
    expect(report.findings.map((one) => one.code).sort()).toEqual([
      'key-in-wrong-hands',
      'signed-with-compromised-key',
    ]);
    // Somebody outside saw the trail after the signature and before that hour: the signature is good.
    const { notebook } = desk.running.program;
    if (!notebook.ok) throw new Error('no notebook');
    const { db } = notebook.value;
    const { id } = await db.selectFrom('notebook').select('id').executeTakeFirstOrThrow();
    const { seq, hash } = await db
      .selectFrom('event')
      .select(['seq', 'hash'])
      .where('action', '=', 'entry.countersign')
      .executeTakeFirstOrThrow();
    const seen_at = new Date(Date.parse(since) - 1).toISOString();
    await db
      .insertInto('witness')
      .values({ notebook: id, seq, head: hash, source: 'a receipt', seen_at })
      .execute();
    expect(await codes()).toEqual(['key-in-wrong-hands']);
    const { line } = await lastEvent('key.compromised');
    expect(line?.changes.map((one) => one.path)).toEqual(['key', 'since']);
  });

  it('renews a certificate for the years to come; without, nothing is signed after its end', async () => {
    const [first] = await keysOf('Ada');
    const { id, revision } = await desk.entry('Ada', recordId);
    desk.clock.setTo(new Date(Date.parse(first?.notAfter ?? '') + 1000).toISOString());
    const ada = await desk.as('Ada');
    const { versionHash } = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    const ask = { entryId: id, revision, versionHash, passphrase: passphraseOf('Ada') };
    expect(await ada.ask('entry.sign', ask)).toMatchObject({
      error: { code: 'not-allowed', facts: { reason: 'certificate-ended' } },
    });
    const archive = await desk.as('Archive');
    // The department's own ended as well: it is renewed first.
    const extend = { key: first?.key ?? '', departmentPassphrase };
    await archive.get('key.extend', { key: await rootKey(), departmentPassphrase });
    const list = await archive.get('key.extend', extend);
    const [renewed] = list.people.find((one) => one.person.printedName === 'Ada')?.keys ?? [];
    expect(renewed).toMatchObject({ key: first?.key, standing: 'in-use', notBefore: first?.notBefore });
    expect(renewed?.notAfter.slice(0, 4)).toBe(String(Number(first?.notAfter.slice(0, 4)) + 6));
    const again = await desk.sign('Ada', id);
    expect(again.state).toBe('signed');
    expect((await check()).isSound).toBe(true);
    expect(await codes()).toEqual([]);
  });

  it('keeps somebody who can sign in for the department', async () => {
    const archive = await desk.as('Archive');
    const ask = { kind: 'retired' as const, since: null, reason: 'Retires.', departmentPassphrase };
    expect(await archive.ask('key.retire', { ...ask, key: await keyOf('Archive') })).toMatchObject({
      error: { code: 'last-of-department' },
    });
    expect(await archive.ask('key.retire', { ...ask, key: await rootKey() })).toMatchObject({
      error: { code: 'not-found' },
    });
  });
});

describe('the department’s own key', () => {
  const next = 'words that nobody has said before';

  it('is locked under another passphrase, its seal with it', async () => {
    const desk = await openDesk('IPC');
    try {
      await desk.begin(['Ada', 'Archive']);
      const recordId = await desk.record();
      const archive = await desk.as('Archive');
      const change = { old: departmentPassphrase, new: next };
      expect(await archive.ask('department.change-passphrase', { ...change, new: 'short' })).toMatchObject({
        error: { code: 'passphrase-too-short' },
      });
      await archive.get('department.change-passphrase', change);
      expect(await archive.ask('record.bind-sealed', { recordId, departmentPassphrase })).toMatchObject({
        error: { code: 'wrong-passphrase' },
      });
      desk.clock.pass(60);
      expect(await archive.ask('record.bind-sealed', { recordId, departmentPassphrase: next })).toMatchObject(
        { ok: true },
      );
      const notebook = await checkDatabase(desk.path);
      expect(notebook.ok && notebook.value.isSound).toBe(true);
    } finally {
      await desk.close();
    }
  });
});
