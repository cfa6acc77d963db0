import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { blankOwnCompound } from '../../../core/compounds/index.ts';
import type { RequestName } from '../../../core/contract/request-map.ts';
import { requests } from '../../../core/contract/requests.ts';
import { routes } from '../../../electron/services/routes.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, passphraseOf, transports, type Desk, type Name } from './open-desk.ts';

const hash = '0'.repeat(64);

/** A well-formed input for every request that needs somebody signed in. */
const inputs = (ids: {
  entryId: string;
  recordId: string;
  adaId: string;
}): Partial<Record<RequestName, object>> => ({
  'person.list': {},
  'person.add': {
    printedName: 'New Person',
    initials: 'NP',
    role: 'student',
    passphrase: 'a passphrase for the new one',
    departmentPassphrase: 'not the right one',
  },
  'person.change-passphrase': { old: 'not the right one', new: 'a passphrase for tomorrow' },
  'key.list': {},
  'key.retire': {
    key: hash,
    kind: 'retired',
    since: null,
    reason: 'x',
    departmentPassphrase: 'x',
  },
  'key.replace': {
    personId: ids.adaId,
    passphrase: 'a passphrase for the new key',
    reason: 'x',
    departmentPassphrase: 'x',
  },
  'key.extend': { key: hash, departmentPassphrase: 'x' },
  'department.change-passphrase': { old: 'x', new: 'a passphrase for tomorrow' },
  'seal.list': {},
  'seal.make': { departmentPassphrase: 'x' },
  'seal.retire': { reason: 'x', departmentPassphrase: 'x' },
  'own-compound.list': {},
  'own-compound.read': { compoundId: 'none' },
  'own-compound.save': { compoundId: null, n: 0, content: blankOwnCompound, reason: '' },
  'own-compound.withdraw': { compoundId: 'none', n: 1, reason: 'x' },
  'record.list': {},
  'record.begin': { title: 'Another', course: '', ownerId: ids.adaId },
  'record.open': { recordId: ids.recordId },
  'entry.begin': { recordId: ids.recordId, content: sampleContent() },
  'entry.open': { entryId: ids.entryId },
  'draft.save': { entryId: ids.entryId, revision: 1, content: sampleContent({ aim: 'x' }) },
  'entry.strike-out': { entryId: ids.entryId, reason: 'x' },
  'signing.read': { entryId: ids.entryId, meaning: 'performed' },
  'entry.sign': { entryId: ids.entryId, revision: 1, versionHash: hash, passphrase: 'x' },
  'entry.return': { entryId: ids.entryId, versionHash: hash, remark: 'x', passphrase: 'x' },
  'entry.countersign': { entryId: ids.entryId, versionHash: hash, mark: '', passphrase: 'x' },
  'entry.amend': { entryId: ids.entryId, reason: 'x' },
  'entry.abandon-amendment': { entryId: ids.entryId },
  'comment.add': { entryId: ids.entryId, section: 'aim', anchor: null, text: 'x' },
  'comment.settle': { commentId: 'none' },
  'version.read': { entryId: ids.entryId, n: 1 },
  'version.compare': { entryId: ids.entryId, from: 1, to: null },
  'tray.list': {},
  'trail.list': { entryId: ids.entryId, action: null, text: null, before: null, limit: 10 },
  'trail.export': { entryId: ids.entryId, action: null, text: null },
  'notebook.check': {},
  'file.check': { name: 'x', data: 'AAAA' },
  'attachment.add': {
    entryId: ids.entryId,
    revision: 1,
    section: 'aim',
    name: 'x.txt',
    caption: '',
    data: 'AAAA',
  },
  'hand-in.write': { entryId: ids.entryId, passphrase: 'x' },
  'hand-in.read': { data: 'AAAA' },
  'hand-in.take': { data: 'AAAA' },
  'record.deposit': { recordIds: [ids.recordId], departmentPassphrase: 'x' },
  'deposit.bring': { depositId: null, data: 'AAAA' },
  'deposit.open': { depositId: 'none', name: 'x.zip' },
  'deposit.list': {},
  'deposit.entry': { entryId: 'deposit:none:0:none' },
  'deposit.version': { entryId: 'deposit:none:0:none', n: 1 },
  'deposit.close': { depositId: 'none' },
  'notebook.issue': {},
  'entry.bind': { entryId: ids.entryId },
  'record.bind': { recordId: ids.recordId },
  'entry.bind-sealed': { entryId: ids.entryId, departmentPassphrase: 'x' },
  'record.bind-sealed': { recordId: ids.recordId, departmentPassphrase: 'x' },
  'job.state': { jobId: 'none' },
  'job.cancel': { jobId: 'none' },
});

describe('the list of requests', () => {
  it('has a service for every request of the contract, and no other', () => {
    expect(Object.keys(routes).sort()).toEqual(Object.keys(requests).sort());
  });
  it('lets anyone ask only what is needed to begin a notebook and to sign in', () => {
    const open = Object.entries(routes).filter(([, route]) => route.by === 'anyone');
    expect(open.map(([name]) => name).sort()).toEqual([
      'session.close',
      'session.current',
      'session.open',
      'setup.begin',
      'setup.demo',
      'setup.state',
    ]);
  });
});

describe.each(transports)('who may do what, over %s', (transport) => {
  let desk: Desk;
  let recordId: string;
  let entryId: string;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin();
    recordId = await desk.record();
    entryId = (await desk.entry('Ada', recordId)).id;
  });
  afterEach(() => desk.close());

  const everyInput = (): Partial<Record<RequestName, object>> =>
    inputs({ entryId, recordId, adaId: desk.idOf('Ada') });
  const code = async (name: Name, request: RequestName): Promise<string> => {
    const answer = await (await desk.as(name)).raw(request, everyInput()[request]);
    return answer.ok ? 'ok' : (answer.error?.code ?? '');
  };

  it('answers nothing of the notebook to somebody who is not signed in', async () => {
    const stranger = await desk.seatOf('a stranger');
    await stranger.get('session.close', {});
    const asked = Object.entries(everyInput());
    expect(asked.length).toBe(Object.values(routes).filter((route) => route.by !== 'anyone').length);
    for (const [request, input] of asked) {
      expect(await stranger.raw(request, input), request).toMatchObject({ error: { code: 'not-signed-in' } });
    }
  });

  it('lets the department alone certify, withdraw, seal, deposit and keep compounds', async () => {
    const its = Object.entries(routes)
      .filter(([, route]) => route.by === 'department')
      .map(([request]) => request as RequestName)
      .sort();
    expect(its).toEqual([
      'department.change-passphrase',
      'entry.bind-sealed',
      'key.extend',
      'key.replace',
      'key.retire',
      'own-compound.save',
      'own-compound.withdraw',
      'person.add',
      'record.bind-sealed',
      'record.deposit',
      'seal.make',
      'seal.retire',
    ]);
    for (const name of ['Ada', 'Dr Moss'] as const) {
      for (const request of its)
        expect(await code(name, request), `${request} by ${name}`).toBe('not-allowed');
    }
  });

  it('hides another student’s record as if it were not there', async () => {
    const hidden: readonly RequestName[] = [
      'record.open',
      'entry.begin',
      'entry.open',
      'draft.save',
      'entry.strike-out',
      'signing.read',
      'entry.sign',
      'entry.return',
      'entry.countersign',
      'entry.amend',
      'entry.abandon-amendment',
      'comment.add',
      'version.read',
      'version.compare',
      'trail.list',
      'entry.bind',
      'record.bind',
      'attachment.add',
      'hand-in.write',
      'trail.export',
    ];
    for (const request of hidden) expect(await code('Ben', request), request).toBe('not-found');
    const cards = await (await desk.as('Ben')).get('record.list', {});
    expect(cards.records).toEqual([]);
  });

  it('keeps a draft to its owner until it is handed in', async () => {
    for (const name of ['Dr Moss', 'Archive'] as const) {
      expect(await code(name, 'entry.open')).toBe('not-allowed');
      expect(await code(name, 'entry.bind')).toBe('not-allowed');
      expect(await code(name, 'version.compare')).toBe('not-found');
      const { lines } = await (await desk.as(name)).get('record.open', { recordId });
      expect(lines).toMatchObject([{ number: 1, state: 'draft' }]);
    }
  });

  it('shows others the last signed version, never the draft after a return', async () => {
    await desk.sign('Ada', entryId);
    await desk.giveBack('Dr Moss', entryId);
    await desk.save('Ada', entryId, { aim: 'Not for other eyes yet.' });
    const seen = await (await desk.as('Dr Moss')).get('entry.open', { entryId });
    expect(seen.content.aim).toBe(sampleContent().aim);
    expect(await code('Dr Moss', 'version.compare')).toBe('not-allowed');
    const own = await (await desk.as('Ada')).get('entry.open', { entryId });
    expect(own.content.aim).toBe('Not for other eyes yet.');
  });

  // Command × role × state, from the rules of `core/record/life.ts` as the issue states them.
  const table: readonly (readonly [RequestName, Name, string, string])[] = [
    ['draft.save', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['draft.save', 'Archive', 'not-allowed', 'not-allowed'],
    ['entry.sign', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['entry.sign', 'Archive', 'not-allowed', 'not-allowed'],
    ['entry.sign', 'Ada', 'wrong-passphrase', 'entry-locked'],
    ['entry.return', 'Ada', 'not-allowed', 'not-allowed'],
    ['entry.return', 'Archive', 'not-allowed', 'not-allowed'],
    ['entry.return', 'Dr Moss', 'entry-locked', 'wrong-passphrase'],
    ['entry.countersign', 'Ada', 'not-allowed', 'not-allowed'],
    ['entry.countersign', 'Archive', 'not-allowed', 'not-allowed'],
    ['entry.countersign', 'Dr Moss', 'entry-locked', 'wrong-passphrase'],
    ['entry.amend', 'Ada', 'not-locked', 'not-locked'],
    ['entry.amend', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['entry.abandon-amendment', 'Ada', 'not-locked', 'not-locked'],
    ['entry.abandon-amendment', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['entry.strike-out', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['entry.strike-out', 'Ada', 'ok', 'entry-locked'],
    ['comment.add', 'Archive', 'not-allowed', 'not-allowed'],
    ['comment.add', 'Dr Moss', 'not-allowed', 'ok'],
    ['tray.list', 'Ada', 'not-allowed', 'not-allowed'],
    ['tray.list', 'Dr Moss', 'ok', 'ok'],
    ['person.add', 'Ada', 'not-allowed', 'not-allowed'],
    ['person.add', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['person.add', 'Archive', 'wrong-passphrase', 'wrong-passphrase'],
    ['key.retire', 'Ada', 'not-allowed', 'not-allowed'],
    ['key.retire', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['key.replace', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['key.replace', 'Archive', 'wrong-passphrase', 'wrong-passphrase'],
    ['key.extend', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['department.change-passphrase', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['seal.make', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['entry.begin', 'Dr Moss', 'not-allowed', 'not-allowed'],
    ['record.begin', 'Ben', 'not-allowed', 'not-allowed'],
    ['record.begin', 'Dr Moss', 'ok', 'ok'],
  ];
  it.each(table)('%s asked by %s: draft %s, signed %s', async (request, name, inDraft, inSigned) => {
    expect(await code(name, request)).toBe(inDraft);
    const again = await desk.entry('Ada', recordId);
    entryId = again.id;
    await desk.sign('Ada', entryId);
    const other = request === 'record.begin' ? { title: 'One more' } : {};
    const answer = await (await desk.as(name)).raw(request, { ...everyInput()[request], ...other });
    expect(answer.ok ? 'ok' : answer.error?.code).toBe(inSigned);
  });

  it('lets an instructor review anybody’s record but their own', async () => {
    const own = await desk.record('Dr Moss', 'An instructor’s trial');
    const { id } = await desk.entry('Dr Moss', own);
    const signed = await desk.sign('Dr Moss', id);
    const review = {
      entryId: id,
      versionHash: signed.versions[0]?.hash ?? '',
      mark: '',
      passphrase: passphraseOf('Dr Moss'),
    };
    const moss = await desk.as('Dr Moss');
    expect(await moss.ask('entry.countersign', review)).toMatchObject({ error: { code: 'not-allowed' } });
    expect((await moss.get('tray.list', {})).lines).toEqual([]);
    const lind = await desk.as('Dr Lind');
    expect((await lind.get('tray.list', {})).lines).toHaveLength(1);
    const done = await lind.get('entry.countersign', { ...review, passphrase: passphraseOf('Dr Lind') });
    expect(done.state).toBe('countersigned');
  });

  it('shows students only their own part of the trail', async () => {
    await desk.record('Ben', 'Ben’s record');
    const ask = { entryId: null, action: null, text: null, before: null, limit: 100 };
    const ben = await (await desk.as('Ben')).get('trail.list', ask);
    expect(new Set(ben.lines.map((line) => line.who))).toEqual(new Set(['Ben']));
    const moss = await (await desk.as('Dr Moss')).get('trail.list', ask);
    expect(moss.total).toBeGreaterThan(ben.total);
    expect(moss.lines.some((line) => line.who === 'Ada')).toBe(true);
  });
});
