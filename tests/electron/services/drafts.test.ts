import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { auditAfterSeconds } from '../../../core/record/draft-audit.ts';
import type { EntryContent, TimeMark } from '../../../core/record/content.ts';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { startProgram } from '../../../electron/services/start-program.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, transports, type Desk } from './open-desk.ts';

const saves = { action: 'draft.save', text: null, before: null, limit: 50 };

describe.each(transports)('saving a draft over %s', (transport) => {
  let desk: Desk;
  let entryId: string;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin(['Ada', 'Ben', 'Dr Moss']);
    entryId = (await desk.entry('Ada', await desk.record())).id;
  });
  afterEach(() => desk.close());
  const save = async (revision: number, change: Partial<EntryContent>) =>
    (await desk.as('Ada')).ask('draft.save', { entryId, revision, content: sampleContent(change) });
  const mark = (at: string, correction: TimeMark['correction'] = null): TimeMark => ({
    at,
    offsetMinutes: 60,
    correction,
  });

  it('counts every save, and keeps what was typed to the letter', async () => {
    const text = "  4.50 g\n\t“quoted” 😀 مرحبا \u202eabc\u202c e\u0301 '); drop table draft; --  ";
    expect(await save(1, { discussion: text })).toMatchObject({ ok: true, value: { revision: 2 } });
    expect(await save(2, { discussion: `${text}.` })).toMatchObject({ ok: true, value: { revision: 3 } });
    const view = await (await desk.as('Ada')).get('entry.open', { entryId });
    expect([view.revision, view.content.discussion]).toEqual([3, `${text}.`]);
  });

  it('tells the second window that the first was quicker, and loses neither', async () => {
    expect(await save(1, { aim: 'From the first window.' })).toMatchObject({ ok: true });
    const second = await save(1, { aim: 'From the second window.' });
    expect(second).toMatchObject({
      ok: false,
      error: { code: 'draft-changed-elsewhere', facts: { revision: 2 } },
    });
    const other = await (await desk.as('Ada')).get('entry.open', { entryId });
    expect(other.content.aim).toBe('From the first window.');
    // Having seen the other, the second window may save over it; the trail keeps what it said.
    expect(await save(other.revision, { aim: 'From the second window.' })).toMatchObject({ ok: true });
    await (await desk.as('Ada')).get('session.close', {});
    const { lines } = await (await desk.as('Ada')).get('trail.list', { entryId, ...saves });
    expect(lines).toHaveLength(1);
  });

  it('takes the same save twice for one: a reply that got lost is asked for again', async () => {
    const first = await save(1, { aim: 'Once.' });
    expect(await save(1, { aim: 'Once.' })).toEqual(first);
  });

  it('lets exactly one of many saves at the same moment through', async () => {
    await desk.as('Ada');
    const answers = await Promise.all(Array.from({ length: 8 }, (_, n) => save(1, { aim: `Window ${n}.` })));
    expect(answers.filter((answer) => answer.ok)).toHaveLength(1);
  });

  it('takes 100 kB pasted into a note, and a megabyte, and names the place of more', async () => {
    const note = { id: 'n1', stepId: null, mark: mark('2027-03-09T12:00:00.000Z') };
    expect(await save(1, { notes: [{ ...note, text: 'x'.repeat(100_000) }] })).toMatchObject({ ok: true });
    expect(await save(2, { notes: [{ ...note, text: 'x'.repeat(1_000_000) }] })).toMatchObject({ ok: true });
    expect(await save(3, { notes: [{ ...note, text: 'x'.repeat(1_000_001) }] })).toMatchObject({
      error: { code: 'invalid-input', where: 'content.notes.0.text', facts: { reason: 'too-long' } },
    });
  });

  it('refuses a time that has not come, beyond what two clocks may differ', async () => {
    const at = (seconds: number): string =>
      new Date(Date.parse(desk.clock.now()) + seconds * 1000).toISOString();
    const done = (time: TimeMark) => ({
      stepRecords: [{ stepId: 's1', started: null, done: time, readings: [], seen: '', deviation: '' }],
    });
    expect(await save(1, done(mark(at(100))))).toMatchObject({ ok: true });
    const late = { code: 'invalid-input', where: 'stepRecords.s1.done', facts: { reason: 'time-in-future' } };
    expect(await save(2, done(mark(at(180))))).toMatchObject({ error: late });
    const corrected = mark(at(-60), { at: at(3600), reason: 'clock' });
    expect(await save(2, done(corrected))).toMatchObject({ error: late });
    // A practical of next week may be planned.
    expect(await save(2, { date: '2027-03-16', stepRecords: [] })).toMatchObject({ ok: true });
    const text = await (await desk.as('Ada')).get('signing.read', { entryId, meaning: 'performed' });
    expect(text.warnings).toContain('The day of the practical, 2027-03-16, is still to come.');
  });

  it('tells the trail once a minute what changed, from what to what', async () => {
    const lines = async () => (await (await desk.as('Ada')).get('trail.list', { entryId, ...saves })).lines;
    await save(1, { aim: 'A' });
    desk.clock.pass(20);
    await save(2, { aim: 'A b' });
    desk.clock.pass(20);
    await save(3, { aim: 'A b c', discussion: 'Then.' });
    expect(await lines()).toEqual([]);
    desk.clock.pass(auditAfterSeconds);
    await save(4, { aim: 'A b c d', discussion: 'Then.' });
    expect(
      (await lines()).map((line) => line.changes.map(({ path, old, new: now }) => [path, old, now])),
    ).toEqual([
      [
        ['Aim', sampleContent().aim, 'A b c d'],
        ['Discussion', sampleContent().discussion, 'Then.'],
      ],
    ]);
  });

  it('tells the trail before a signature, and at the end of a session', async () => {
    await save(1, { aim: 'Just before signing.' });
    await desk.sign('Ada', entryId);
    const ada = await desk.as('Ada');
    const { lines } = await ada.get('trail.list', { entryId, ...saves, action: null });
    expect(lines.map((line) => line.action)).toEqual(['entry.sign', 'draft.save', 'entry.begin']);
    await desk.giveBack('Dr Moss', entryId);
    await desk.save('Ada', entryId, { aim: 'And then signed out.' });
    await (await desk.as('Ada')).get('session.close', {});
    const after = await (await desk.as('Ada')).get('trail.list', { entryId, ...saves });
    expect(after.lines[0]?.changes.map((change) => change.new)).toEqual(['And then signed out.']);
  });

  it('counts entries in their record, each number once', async () => {
    const recordId = await desk.record('Ada', 'Second record');
    const ada = await desk.as('Ada');
    const begun = await Promise.all(
      Array.from({ length: 5 }, () => ada.get('entry.begin', { recordId, content: sampleContent() })),
    );
    expect(begun.map((entry) => entry.number).sort()).toEqual([1, 2, 3, 4, 5]);
  });

  it('refuses an entry begun with a time in the future, or in somebody else’s record', async () => {
    const recordId = await desk.record('Ada', 'Third record');
    const content = sampleContent({
      notes: [{ id: 'n', stepId: null, text: 'x', mark: mark('2099-01-01T00:00:00.000Z') }],
    });
    expect(await (await desk.as('Ada')).ask('entry.begin', { recordId, content })).toMatchObject({
      error: { code: 'invalid-input', where: 'notes.n' },
    });
    expect(
      await (await desk.as('Ben')).ask('entry.begin', { recordId, content: sampleContent() }),
    ).toMatchObject({
      error: { code: 'not-found' },
    });
  });
});

describe('a program that ended without being closed', () => {
  it('tells the trail at the next start what was pending', async () => {
    const desk = await openDesk('IPC');
    onTestFinished(() => desk.close());
    await desk.begin(['Ada', 'Dr Moss']);
    const { id } = await desk.entry('Ada', await desk.record());
    await desk.save('Ada', id, { aim: 'Unsaid.' });
    if (!desk.running.program.notebook.ok) throw new Error('not open');
    // What a crash leaves: everything saved, nothing told.
    const path = `${desk.path}.copy`;
    await desk.running.program.notebook.value.copyTo(path);
    const before = await checkDatabase(path);
    expect(before.ok && before.value.findings.map((finding) => finding.code)).toContain('draft-pending');

    const again = await startProgram({ path, clock: desk.clock });
    onTestFinished(() => again.stop());
    const after = await checkDatabase(path);
    expect(after.ok && after.value.isSound).toBe(true);
    expect(after.ok && after.value.findings.map((finding) => finding.code)).not.toContain('draft-pending');
  });
});
