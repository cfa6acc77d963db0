import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { idleMinutes } from '../../../electron/services/sessions.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { departmentPassphrase, openDesk, passphraseOf, transports, type Desk } from './open-desk.ts';

const everything = { entryId: null, action: null, text: null, before: null, limit: 200 };

describe.each(transports)('signing in and out over %s', (transport) => {
  let desk: Desk;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin();
  });
  afterEach(() => desk.close());

  it('opens a session with the right passphrase and nothing else', async () => {
    const seat = await desk.seatOf('Ada');
    const personId = desk.idOf('Ada');
    expect(await seat.get('session.current', {})).toEqual({ session: null });
    expect(await seat.ask('session.open', { personId, passphrase: 'something else' })).toMatchObject({
      error: { code: 'wrong-passphrase', where: 'passphrase' },
    });
    expect(await seat.ask('session.open', { personId: 'nobody', passphrase: 'x' })).toMatchObject({
      error: { code: 'not-found' },
    });
    const session = await seat.get('session.open', { personId, passphrase: passphraseOf('Ada') });
    expect(session).toMatchObject({ person: { printedName: 'Ada' }, idleMinutes });
    await seat.get('session.close', {});
    expect(await seat.get('session.current', {})).toEqual({ session: null });
  });

  it('makes wrong passphrases wait longer and longer, counts them in the trail, forgets them after a right one', async () => {
    const seat = await desk.seatOf('Ada');
    const personId = desk.idOf('Ada');
    const wrong = () => seat.ask('session.open', { personId, passphrase: 'guess' });
    for (const seconds of [0, 0, 2]) {
      expect(await wrong()).toMatchObject({ error: { code: 'wrong-passphrase', facts: { seconds } } });
    }
    expect(await wrong()).toMatchObject({ error: { code: 'wait-before-retry', facts: { seconds: 2 } } });
    // The right one has to wait as well, or the wait would tell which it is.
    expect(await seat.ask('session.open', { personId, passphrase: passphraseOf('Ada') })).toMatchObject({
      error: { code: 'wait-before-retry' },
    });
    desk.clock.pass(3);
    expect(await wrong()).toMatchObject({ error: { code: 'wrong-passphrase', facts: { seconds: 4 } } });
    desk.clock.pass(5);
    await seat.get('session.open', { personId, passphrase: passphraseOf('Ada') });
    const trail = await seat.get('trail.list', { ...everything, action: 'session.refused' });
    expect(trail.total).toBe(4);
    expect(trail.lines[0]).toMatchObject({ who: 'Ada', what: 'was refused: wrong passphrase' });
    await seat.get('session.close', {});
    expect(await wrong()).toMatchObject({ error: { code: 'wrong-passphrase', facts: { seconds: 0 } } });
  });

  it('shuts nobody out when a clock that was ahead is put right', async () => {
    const seat = await desk.seatOf('Ada');
    const personId = desk.idOf('Ada');
    desk.clock.setTo('2028-03-09T13:00:00.000Z');
    for (let tries = 0; tries < 3; tries += 1) {
      await seat.ask('session.open', { personId, passphrase: 'guess' });
    }
    desk.clock.setTo('2027-03-09T13:00:00.000Z');
    const right = () => seat.ask('session.open', { personId, passphrase: passphraseOf('Ada') });
    // Setting the clock back shortens nothing …
    expect(await right()).toMatchObject({ error: { code: 'wait-before-retry', facts: { seconds: 2 } } });
    desk.clock.pass(1);
    expect(await right()).toMatchObject({ error: { code: 'wait-before-retry', facts: { seconds: 1 } } });
    // … and does not make a year of it.
    desk.clock.pass(1);
    expect(await right()).toMatchObject({ ok: true });
  });

  it('takes guesses sent at the same moment one after the other', async () => {
    const seat = await desk.seatOf('Ada');
    const guess = { personId: desk.idOf('Ada'), passphrase: 'guess' };
    const answers = await Promise.all(Array.from({ length: 12 }, () => seat.ask('session.open', guess)));
    const codes = answers.map((answer) => (answer.ok ? 'ok' : answer.error.code));
    expect(codes.filter((code) => code === 'wrong-passphrase')).toHaveLength(3);
    expect(codes.filter((code) => code === 'wait-before-retry')).toHaveLength(9);
  });

  it('locks itself after the idle time, on this side, and says so in the trail', async () => {
    const ada = await desk.as('Ada');
    desk.clock.pass(idleMinutes * 60 - 1);
    expect((await ada.get('session.current', {})).session).not.toBeNull();
    desk.clock.pass(idleMinutes * 60 - 1);
    // Asking after a job is the page's doing, not a person's.
    await ada.ask('job.state', { jobId: 'none' });
    desk.clock.pass(2);
    expect(await ada.ask('record.list', {})).toMatchObject({ error: { code: 'not-signed-in' } });
    const { lines } = await (
      await desk.as('Dr Moss')
    ).get('trail.list', { ...everything, action: 'session.lock' });
    expect(lines).toMatchObject([{ who: 'Ada' }]);
  });

  it('signs nothing without the passphrase, however signed in somebody is', async () => {
    const recordId = await desk.record();
    const { id, revision } = await desk.entry('Ada', recordId);
    const ada = await desk.as('Ada');
    const { versionHash } = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    const input = { entryId: id, revision, versionHash };
    expect(await ada.raw('entry.sign', input)).toMatchObject({
      error: { code: 'invalid-input', where: 'passphrase' },
    });
    expect(await ada.ask('entry.sign', { ...input, passphrase: passphraseOf('Dr Moss') })).toMatchObject({
      error: { code: 'wrong-passphrase' },
    });
    const { lines } = await ada.get('trail.list', { ...everything, action: 'signing.refused' });
    expect(lines).toMatchObject([
      { who: 'Ada', what: 'was refused a signature on entry 1: wrong passphrase' },
    ]);
    expect((await ada.get('entry.open', { entryId: id })).state).toBe('draft');
  });

  it('changes a passphrase without changing the key', async () => {
    const recordId = await desk.record();
    const { id } = await desk.entry('Ada', recordId);
    await desk.sign('Ada', id);
    const ada = await desk.as('Ada');
    const change = { old: passphraseOf('Ada'), new: 'another one for Ada' };
    expect(await ada.ask('person.change-passphrase', { ...change, old: 'wrong' })).toMatchObject({
      error: { code: 'wrong-passphrase' },
    });
    expect(await ada.ask('person.change-passphrase', { ...change, new: 'short' })).toMatchObject({
      error: { code: 'passphrase-too-short' },
    });
    expect(await ada.ask('person.change-passphrase', { ...change, new: 'aaaaaaaaaaaaa' })).toMatchObject({
      error: { code: 'invalid-input', where: 'new', facts: { reason: 'passphrase-too-simple' } },
    });
    await ada.get('person.change-passphrase', change);
    await ada.get('session.close', {});
    const personId = desk.idOf('Ada');
    expect(await ada.ask('session.open', { personId, passphrase: change.old })).toMatchObject({
      error: { code: 'wrong-passphrase' },
    });
    await ada.get('session.open', { personId, passphrase: change.new });
    expect((await (await desk.as('Dr Moss')).get('notebook.check', {})).isSound).toBe(true);
  });

  it('adds a person whose key the department certifies', async () => {
    const archive = await desk.as('Archive');
    const added = {
      printedName: 'Cleo',
      initials: 'C',
      role: 'student' as const,
      passphrase: 'the words of Cleo',
    };
    expect(
      await archive.ask('person.add', { ...added, printedName: 'Ada', departmentPassphrase }),
    ).toMatchObject({ error: { code: 'name-taken' } });
    expect(
      await archive.ask('person.add', { ...added, passphrase: 'short', departmentPassphrase }),
    ).toMatchObject({ error: { code: 'passphrase-too-short' } });
    const cleo = await archive.get('person.add', { ...added, departmentPassphrase });
    const seat = await desk.seatOf('Cleo');
    await seat.get('session.open', { personId: cleo.id, passphrase: added.passphrase });
    const card = await seat.get('record.begin', { title: 'Mine', course: '', ownerId: cleo.id });
    const entry = await seat.get('entry.begin', { recordId: card.id, content: sampleContent() });
    const { versionHash } = await seat.get('signing.read', { entryId: entry.id, meaning: 'performed' });
    const signed = await seat.get('entry.sign', {
      entryId: entry.id,
      revision: entry.revision,
      versionHash,
      passphrase: added.passphrase,
    });
    expect(signed.state).toBe('signed');
    expect((await (await desk.as('Dr Moss')).get('notebook.check', {})).isSound).toBe(true);
  });
});

describe('several persons at one computer', () => {
  it('gives each browser its own session', async () => {
    const desk = await openDesk('HTTP');
    await desk.begin();
    const ada = await desk.as('Ada');
    const moss = await desk.as('Dr Moss');
    expect((await ada.get('session.current', {})).session?.person.printedName).toBe('Ada');
    expect((await moss.get('session.current', {})).session?.person.printedName).toBe('Dr Moss');
    await moss.get('session.close', {});
    expect((await ada.get('session.current', {})).session).not.toBeNull();
    await desk.close();
  });

  it('ends the session of whoever sat at the same window before', async () => {
    const desk = await openDesk('IPC');
    await desk.begin();
    await desk.as('Ada');
    const moss = await desk.as('Dr Moss');
    const { lines } = await moss.get('trail.list', { ...everything, action: 'session.close' });
    expect(lines).toMatchObject([{ who: 'Ada' }]);
    await desk.close();
  });
});
