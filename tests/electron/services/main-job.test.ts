import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFile } from '../../../electron/check/check-file.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, passphraseOf, transports, type Desk } from './open-desk.ts';

describe.each(transports)('the life of an entry over %s', (transport) => {
  let desk: Desk;
  let recordId: string;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin();
    recordId = await desk.record();
  });
  afterEach(async () => {
    await desk.close();
    expect(desk.logged).toEqual([]);
  });

  it('goes from draft over one return to locked, and keeps both versions', async () => {
    const begun = await desk.entry('Ada', recordId);
    expect(begun).toMatchObject({ number: 1, state: 'draft', revision: 1, versions: [], mark: '' });

    await desk.save('Ada', begun.id, { discussion: 'Too short.' });
    const signed = await desk.sign('Ada', begun.id);
    expect(signed).toMatchObject({ state: 'signed', permissions: { canEdit: false, canSign: false } });
    expect(signed.versions).toHaveLength(1);

    const tray = await (await desk.as('Dr Moss')).get('tray.list', {});
    expect(tray.lines.map((line) => [line.entryId, line.number, line.timesReturned])).toEqual([
      [begun.id, 1, 0],
    ]);
    const returned = await desk.giveBack('Dr Moss', begun.id, 'Where did the rest go?');
    expect(returned.state).toBe('returned');

    await desk.save('Ada', begun.id, { discussion: 'A tenth stays in the mother liquor.' });
    const again = await desk.sign('Ada', begun.id);
    expect(again.versions.map((version) => version.n)).toEqual([1, 2]);
    expect(again.versions[1]?.reason).toBe('Returned: Where did the rest go?');

    const locked = await desk.countersign('Dr Moss', begun.id, '17/20');
    expect(locked).toMatchObject({ state: 'countersigned', mark: '17/20' });
    expect(locked.versions[1]?.signatures.map((one) => [one.meaning, one.printedName, one.remark])).toEqual([
      ['performed', 'Ada', ''],
      ['countersigned', 'Dr Moss', '17/20'],
    ]);
    expect(locked.versions[0]?.signatures.map((one) => one.meaning)).toEqual(['performed', 'returned']);

    const first = await (await desk.as('Ada')).get('version.read', { entryId: begun.id, n: 1 });
    expect(first.content.discussion).toBe('Too short.');
    const { differences } = await (
      await desk.as('Ada')
    ).get('version.compare', { entryId: begun.id, from: 1, to: 2 });
    expect(differences.map(({ path, old, new: now }) => [path, old, now])).toEqual([
      ['discussion', 'Too short.', 'A tenth stays in the mother liquor.'],
    ]);
  });

  it('leaves a notebook that anyone can check', async () => {
    await desk.lockedEntry(recordId);
    const report = await (await desk.as('Dr Moss')).get('notebook.check', {});
    expect(report.findings.filter((finding) => finding.severity !== 'note')).toEqual([]);
    expect(report.isSound).toBe(true);
    const outside = await checkFile(desk.path);
    expect(outside.ok && outside.value.isSound).toBe(true);
  });

  it('refuses every change to a locked entry', async () => {
    const { id, content, revision } = await desk.lockedEntry(recordId);
    const ada = await desk.as('Ada');
    const changed = { ...content, discussion: 'Better.' };
    expect(await ada.ask('draft.save', { entryId: id, revision, content: changed })).toMatchObject({
      error: { code: 'entry-locked' },
    });
    expect(await ada.ask('entry.strike-out', { entryId: id, reason: 'no' })).toMatchObject({
      error: { code: 'entry-locked' },
    });
    expect(await ada.ask('signing.read', { entryId: id, meaning: 'performed' })).toMatchObject({
      error: { code: 'entry-locked' },
    });
    expect(
      await ada.ask('comment.add', { entryId: id, section: 'aim', anchor: null, text: 'late' }),
    ).toMatchObject({ error: { code: 'not-allowed', facts: { reason: 'entry-locked' } } });
  });

  it('opens a locked entry by an amendment with a reason, and locks it again', async () => {
    const { id } = await desk.lockedEntry(recordId);
    const ada = await desk.as('Ada');
    expect(await ada.ask('entry.amend', { entryId: id, reason: '  ' })).toMatchObject({
      error: { code: 'reason-missing' },
    });
    const open = await ada.get('entry.amend', { entryId: id, reason: 'The balance was read wrongly.' });
    expect(open).toMatchObject({ state: 'amending', amendmentReason: 'The balance was read wrongly.' });
    expect(await ada.ask('entry.amend', { entryId: id, reason: 'again' })).toMatchObject({
      error: { code: 'not-locked' },
    });
    await desk.save('Ada', id, { aim: 'Amended.' });
    const signed = await desk.sign('Ada', id, 'amended');
    expect(signed.versions.at(-1)).toMatchObject({
      n: 2,
      reason: 'The balance was read wrongly.',
      signatures: [{ meaning: 'amended' }],
    });
    expect((await desk.countersign('Dr Moss', id)).state).toBe('countersigned');
    const report = await (await desk.as('Archive')).get('notebook.check', {});
    expect(report.isSound).toBe(true);
  });

  it('gives an amendment up: locked again as it was, with what was typed kept in the trail', async () => {
    const locked = await desk.lockedEntry(recordId);
    const { id } = locked;
    const ada = await desk.as('Ada');
    expect(await ada.ask('entry.abandon-amendment', { entryId: id })).toMatchObject({
      error: { code: 'not-locked' },
    });
    await ada.get('entry.amend', { entryId: id, reason: 'A slip.' });
    await desk.save('Ada', id, { aim: 'Typed, and thought better of.' });
    const again = await ada.get('entry.abandon-amendment', { entryId: id });
    expect(again).toMatchObject({ state: 'countersigned', amendmentReason: null, mark: '8/10' });
    expect(again.content).toEqual(locked.content);
    expect(again.versions).toHaveLength(1);
    const { lines } = await ada.get('trail.list', {
      entryId: id,
      action: null,
      text: null,
      before: null,
      limit: 3,
    });
    expect(lines.map((line) => line.action)).toEqual([
      'entry.abandon-amendment',
      'draft.save',
      'entry.amend',
    ]);
    expect(lines[1]?.changes[0]?.new).toBe('Typed, and thought better of.');
    // A later amendment starts from what is locked, not from what was given up.
    expect((await ada.get('entry.amend', { entryId: id, reason: 'Really.' })).content).toEqual(
      locked.content,
    );
    expect((await (await desk.as('Dr Moss')).get('notebook.check', {})).isSound).toBe(true);
  });

  it('strikes out with a reason, and what is struck out stays readable', async () => {
    const { id } = await desk.entry('Ada', recordId, sampleContent({ title: 'Begun by mistake' }));
    const ada = await desk.as('Ada');
    expect(await ada.ask('entry.strike-out', { entryId: id, reason: '' })).toMatchObject({
      error: { code: 'reason-missing' },
    });
    const struck = await ada.get('entry.strike-out', { entryId: id, reason: 'Wrong template.' });
    expect(struck).toMatchObject({ state: 'struck-out', strikeOutReason: 'Wrong template.' });
    const seen = await (await desk.as('Dr Moss')).get('entry.open', { entryId: id });
    expect(seen.content.title).toBe('Begun by mistake');
  });

  it('signs exactly what was shown', async () => {
    const { id } = await desk.entry('Ada', recordId);
    const ada = await desk.as('Ada');
    const shown = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    const revision = await desk.save('Ada', id, { aim: 'Changed after it was shown.' });
    const stale = { entryId: id, versionHash: shown.versionHash, passphrase: passphraseOf('Ada') };
    expect(await ada.ask('entry.sign', { ...stale, revision })).toMatchObject({
      error: { code: 'draft-changed-elsewhere' },
    });
    // A page that has not seen the newest save is told so, even where the text came out the same.
    const again = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    expect(
      await ada.ask('entry.sign', { ...stale, revision: 1, versionHash: again.versionHash }),
    ).toMatchObject({ error: { code: 'draft-changed-elsewhere' } });
    expect(await ada.ask('entry.sign', { ...stale, revision: 1 })).toMatchObject({
      error: { code: 'draft-changed-elsewhere' },
    });
    const now = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    const signed = await ada.get('entry.sign', { ...stale, revision, versionHash: now.versionHash });
    expect(signed.versions[0]?.hash).toBe(now.versionHash);
  });

  it('keeps a reviewer from signing a version that was replaced meanwhile', async () => {
    const { id } = await desk.entry('Ada', recordId);
    const first = await desk.sign('Ada', id);
    await desk.giveBack('Dr Lind', id);
    await desk.save('Ada', id, { aim: 'Second.' });
    await desk.sign('Ada', id);
    const old = first.versions[0]?.hash ?? '';
    const moss = await desk.as('Dr Moss');
    const passphrase = passphraseOf('Dr Moss');
    expect(
      await moss.ask('entry.countersign', { entryId: id, versionHash: old, mark: '', passphrase }),
    ).toMatchObject({ error: { code: 'version-superseded' } });
    expect(
      await moss.ask('entry.return', { entryId: id, versionHash: old, remark: 'no', passphrase }),
    ).toMatchObject({ error: { code: 'version-superseded' } });
  });

  it('returns only with a remark or an open comment', async () => {
    const { id } = await desk.entry('Ada', recordId);
    const signed = await desk.sign('Ada', id);
    const moss = await desk.as('Dr Moss');
    const empty = {
      entryId: id,
      versionHash: signed.versions[0]?.hash ?? '',
      remark: ' ',
      passphrase: passphraseOf('Dr Moss'),
    };
    expect(await moss.ask('entry.return', empty)).toMatchObject({ error: { code: 'comment-missing' } });
    await moss.get('comment.add', { entryId: id, section: 'result', anchor: null, text: 'How dry?' });
    expect((await moss.get('entry.return', empty)).state).toBe('returned');
  });

  it('anchors comments to a section and settles them', async () => {
    const { id } = await desk.entry('Ada', recordId);
    await desk.sign('Ada', id);
    const moss = await desk.as('Dr Moss');
    const added = await moss.get('comment.add', {
      entryId: id,
      section: 'reagents',
      anchor: 'r1',
      text: '  Which bottle?  ',
    });
    expect(added).toMatchObject({
      n: 1,
      section: 'reagents',
      anchor: 'r1',
      text: 'Which bottle?',
      isSettled: false,
    });
    await desk.giveBack('Dr Moss', id);
    const ada = await desk.as('Ada');
    expect(await ada.get('comment.settle', { commentId: added.id })).toMatchObject({ isSettled: true });
    const view = await ada.get('entry.open', { entryId: id });
    expect(view.comments.map((one) => [one.text, one.isSettled])).toEqual([['Which bottle?', true]]);
  });

  it('shows the pages of a record by number, date, title, state and initials', async () => {
    await desk.lockedEntry(recordId);
    await desk.entry('Ada', recordId, sampleContent({ title: 'Second', date: '2027-03-16' }));
    const { card, lines } = await (await desk.as('Ada')).get('record.open', { recordId });
    expect(card).toMatchObject({ entryCount: 2, lockedCount: 1, waitingCount: 0 });
    expect(lines).toMatchObject([
      {
        number: 1,
        title: 'Acetylsalicylic acid',
        state: 'countersigned',
        mark: '8/10',
        studentInitials: 'Ad',
        instructorInitials: 'Mo',
        versionCount: 1,
      },
      {
        number: 2,
        title: 'Second',
        date: '2027-03-16',
        state: 'draft',
        studentInitials: '',
        instructorInitials: '',
      },
    ]);
  });
});
