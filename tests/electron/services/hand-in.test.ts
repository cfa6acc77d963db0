import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { JobView } from '../../../core/contract/views.ts';
import { readHandIn } from '../../../electron/archive/hand-in.ts';
import { checkFile } from '../../../electron/check/check-file.ts';
import { png } from '../export/pictures.ts';
import {
  departmentPassphrase,
  openDesk,
  passphraseOf,
  transports,
  type Desk,
  type Name,
} from './open-desk.ts';

/** The finished file of a job, as whoever asked for it would fetch it. */
async function fileOf(desk: Desk, name: Name, job: JobView): Promise<Buffer> {
  const own = await desk.as(name);
  let view = job;
  for (let turn = 0; view.state === 'running' && turn < 500; turn += 1) {
    await new Promise((resolve) => setTimeout(resolve, 20));
    view = await own.get('job.state', { jobId: job.id });
  }
  if (view.state !== 'done') throw new Error(`${view.state}: ${view.problem ?? ''}`);
  const [client] =
    desk.running.program.sessions.all().find(([, session]) => session.person.printedName === name) ?? [];
  return Buffer.from(desk.running.jobFile(job.id, client ?? '')?.bytes ?? []);
}

describe.each(transports)('hand-in files between two notebooks over %s', (transport) => {
  let school: Desk;
  let home: Desk;
  let folder: string;
  let recordId: string;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'fairleaf-two-'));
    school = await openDesk(transport);
    await school.begin();
    recordId = await school.record();
    const own = await school.as('Ada');
    const path = join(folder, 'home.fairleaf');
    writeFileSync(path, await fileOf(school, 'Ada', await own.get('notebook.issue', {})));
    home = await openDesk(transport, { path });
    home.people = school.people;
  });
  afterEach(async () => {
    await home.close();
    await school.close();
    rmSync(folder, { recursive: true, force: true });
    expect([...home.logged, ...school.logged]).toEqual([]);
  });

  const handOut = async (desk: Desk, name: Name, entryId: string): Promise<string> => {
    const own = await desk.as(name);
    const job = await own.get('hand-in.write', { entryId, passphrase: passphraseOf(name) });
    return (await fileOf(desk, name, job)).toString('base64');
  };
  const takeIn = async (desk: Desk, name: Name, data: string) =>
    (await desk.as(name)).ask('hand-in.take', { data });
  const eventsOf = async (desk: Desk, name: Name, action: string): Promise<number> =>
    (
      await (
        await desk.as(name)
      ).get('trail.list', { entryId: null, action, text: null, before: null, limit: 1 })
    ).total;
  const areSound = async (): Promise<void> => {
    for (const desk of [school, home]) {
      const report = await checkFile(desk.path);
      expect(report.ok && report.value.findings.filter((one) => one.severity === 'broken')).toEqual([]);
    }
  };

  it('go to the instructor and come back countersigned, with their files and comments', async () => {
    const begun = await home.entry('Ada', recordId);
    const picture = png();
    await (
      await home.as('Ada')
    ).get('attachment.add', {
      entryId: begun.id,
      revision: 1,
      section: 'result',
      name: 'needles.png',
      caption: '',
      data: picture.toString('base64'),
    });
    await home.sign('Ada', begun.id);
    const first = await handOut(home, 'Ada', begun.id);

    // Looking changes nothing.
    const seen = await (await school.as('Dr Moss')).get('hand-in.read', { data: first });
    expect(seen).toMatchObject({ sender: 'Ada', refusal: null, lines: [{ outcome: 'new', owner: 'Ada' }] });
    expect(seen.report.isSound).toBe(true);
    expect(await eventsOf(school, 'Dr Moss', 'record.receive')).toBe(0);

    expect(await takeIn(school, 'Dr Moss', first)).toMatchObject({ ok: true });
    expect(await eventsOf(school, 'Dr Moss', 'record.receive')).toBe(1);
    const tray = await (await school.as('Dr Moss')).get('tray.list', {});
    expect(tray.lines.map((line) => line.entryId)).toEqual([begun.id]);
    await (
      await school.as('Dr Moss')
    ).get('comment.add', { entryId: begun.id, section: 'discussion', anchor: null, text: 'And the rest?' });
    await school.giveBack('Dr Moss', begun.id, 'Say more.');
    await areSound();

    const back = await takeIn(home, 'Ada', await handOut(school, 'Dr Moss', begun.id));
    expect(back).toMatchObject({ ok: true, value: { lines: [{ outcome: 'forward' }] } });
    const returned = await (await home.as('Ada')).get('entry.open', { entryId: begun.id });
    expect(returned).toMatchObject({ state: 'returned', comments: [{ text: 'And the rest?' }] });
    await home.save('Ada', begun.id, { discussion: 'The rest stays in the mother liquor.' });
    await home.sign('Ada', begun.id);
    await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', begun.id));
    await school.countersign('Dr Moss', begun.id, '17/20');
    await takeIn(home, 'Ada', await handOut(school, 'Dr Moss', begun.id));
    const locked = await (await home.as('Ada')).get('entry.open', { entryId: begun.id });
    expect(locked).toMatchObject({ state: 'countersigned', mark: '17/20' });
    expect(locked.versions.map((one) => one.signatures.map((two) => two.meaning))).toEqual([
      ['performed', 'returned'],
      ['performed', 'countersigned'],
    ]);
    await areSound();
  });

  it('carry nothing of other students’ trails, and what was settled on either side', async () => {
    const benRecord = await school.record('Ben', 'Ben’s own');
    const folderOfBen = join(folder, 'ben.fairleaf');
    const issued = await (await school.as('Ben')).get('notebook.issue', {});
    writeFileSync(folderOfBen, await fileOf(school, 'Ben', issued));
    const benHome = await openDesk(transport, { path: folderOfBen });
    benHome.people = school.people;
    const secret = await benHome.entry('Ben', benRecord);
    await benHome.save('Ben', secret.id, { discussion: 'Ben’s words, for nobody else' });
    await benHome.sign('Ben', secret.id);
    await takeIn(school, 'Dr Moss', await handOut(benHome, 'Ben', secret.id));
    await benHome.close();
    expect(benHome.logged).toEqual([]);

    const { id } = await home.entry('Ada', recordId);
    await home.sign('Ada', id);
    await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', id));
    await (
      await school.as('Dr Moss')
    ).get('comment.add', { entryId: id, section: 'discussion', anchor: null, text: 'And the rest?' });
    await school.giveBack('Dr Moss', id);
    const back = await handOut(school, 'Dr Moss', id);
    const inside = await readHandIn(new Uint8Array(Buffer.from(back, 'base64')));
    if (!inside.ok) throw new Error(inside.error.code);
    expect(inside.value.bundle.foreignEvents.length).toBeGreaterThan(0);
    expect(JSON.stringify(inside.value.bundle)).not.toContain('Ben’s words');
    await takeIn(home, 'Ada', back);

    const ada = await home.as('Ada');
    const [comment] = (await ada.get('entry.open', { entryId: id })).comments;
    await ada.get('comment.settle', { commentId: comment?.id ?? '' });
    await home.save('Ada', id, { discussion: 'The rest stays in the mother liquor.' });
    await home.sign('Ada', id);
    await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', id));
    const there = await (await school.as('Dr Moss')).get('entry.open', { entryId: id });
    expect(there.comments).toMatchObject([{ text: 'And the rest?', isSettled: true }]);
    await areSound();
  });

  it('handed in twice change nothing the second time, and say so', async () => {
    const { id } = await home.entry('Ada', recordId);
    await home.sign('Ada', id);
    const file = await handOut(home, 'Ada', id);
    if (!home.running.program.notebook.ok) throw new Error('not open');
    const kept = await home.running.program.notebook.value.db
      .selectFrom('checkpoint')
      .select('bytes')
      .execute();
    expect(kept.map((row) => JSON.parse(row.bytes) as object)).toMatchObject([{ purpose: 'hand-in' }]);
    await takeIn(school, 'Dr Moss', file);
    const again = await takeIn(school, 'Dr Moss', file);
    expect(again).toMatchObject({
      ok: true,
      value: { lines: [{ outcome: 'nothing', sentence: 'This was handed in before; nothing changed.' }] },
    });
    await areSound();
  });

  it('keep the number of an entry that was there first', async () => {
    await school.entry('Ada', recordId);
    const { id } = await home.entry('Ada', recordId);
    await home.sign('Ada', id);
    const taken = await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', id));
    expect(taken.ok && taken.value.lines[0]?.sentence).toContain('next free one');
    expect((await (await school.as('Dr Moss')).get('entry.open', { entryId: id })).number).toBe(2);
    await areSound();
  });

  it('leave both sides as they are where they were signed in two forms', async () => {
    const { id } = await home.entry('Ada', recordId);
    await home.sign('Ada', id);
    await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', id));
    await school.giveBack('Dr Moss', id);
    await takeIn(home, 'Ada', await handOut(school, 'Dr Moss', id));
    for (const [desk, text] of [
      [school, 'Signed at the college.'],
      [home, 'Signed at home.'],
    ] as const) {
      await desk.save('Ada', id, { discussion: text });
      await desk.sign('Ada', id);
    }
    const met = await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', id));
    expect(met).toMatchObject({ ok: true, value: { lines: [{ outcome: 'conflict' }] } });
    expect(met.ok && met.value.lines[0]?.sentence).toContain('two different forms');
    const here = await (await school.as('Dr Moss')).get('entry.open', { entryId: id });
    expect(here.content.discussion).toBe('Signed at the college.');
    await areSound();
  });

  it('are taken in only whole, unchanged, from this department, by those they concern', async () => {
    const { id } = await home.entry('Ada', recordId);
    const ada = await home.as('Ada');
    expect(await ada.ask('hand-in.write', { entryId: id, passphrase: passphraseOf('Ada') })).toMatchObject({
      error: { code: 'nothing-signed' },
    });
    await home.sign('Ada', id);
    const file = await handOut(home, 'Ada', id);
    expect(await takeIn(school, 'Ben', file)).toMatchObject({ error: { code: 'not-allowed' } });
    const bytes = Buffer.from(file, 'base64');
    expect(await takeIn(school, 'Dr Moss', bytes.subarray(0, 900).toString('base64'))).toMatchObject({
      error: { code: 'hand-in-unreadable' },
    });
    expect(await takeIn(school, 'Dr Moss', Buffer.from('hello').toString('base64'))).toMatchObject({
      error: { code: 'hand-in-unreadable' },
    });
    const stranger = await openDesk(transport);
    await stranger.begin();
    expect(await takeIn(stranger, 'Dr Moss', file)).toMatchObject({ error: { code: 'hand-in-refused' } });
    expect(await eventsOf(stranger, 'Dr Moss', 'record.receive')).toBe(0);
    await stranger.close();
    const wrong = await (
      await home.as('Ada')
    ).ask('hand-in.write', { entryId: id, passphrase: 'not this one' });
    expect(wrong).toMatchObject({ error: { code: 'wrong-passphrase' } });
  });

  it('may arrive in any order', async () => {
    const { id } = await home.entry('Ada', recordId);
    await home.sign('Ada', id);
    const early = await handOut(home, 'Ada', id);
    const other = await home.entry('Ada', recordId);
    await home.sign('Ada', other.id);
    await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', other.id));
    expect(await takeIn(school, 'Dr Moss', early)).toMatchObject({
      ok: true,
      value: { lines: [{ outcome: 'new' }] },
    });
    await areSound();
  });

  it('are refused from an older copy of a notebook that was put back and went on', async () => {
    const { notebook } = home.running.program;
    if (!notebook.ok) throw new Error('not open');
    const copy = join(folder, 'older.fairleaf');
    await notebook.value.copyTo(copy);
    for (let n = 0; n < 2; n += 1) {
      const { id } = await home.entry('Ada', recordId);
      await home.sign('Ada', id);
      await takeIn(school, 'Dr Moss', await handOut(home, 'Ada', id));
    }
    const older = await openDesk(transport, { path: copy });
    older.people = school.people;
    const { id } = await older.entry('Ada', recordId);
    await older.sign('Ada', id);
    expect(await takeIn(school, 'Dr Moss', await handOut(older, 'Ada', id))).toMatchObject({
      error: { code: 'hand-in-refused', facts: { reason: 'sender-rolled-back' } },
    });
    await older.close();
  });

  it('are read with a doubt where the key was withdrawn here before it signed at home', async () => {
    const archive = await school.as('Archive');
    const { people } = await archive.get('key.list', {});
    const key = people.find((one) => one.person.printedName === 'Ada')?.keys[0]?.key ?? '';
    await archive.get('key.retire', {
      key,
      kind: 'retired',
      since: null,
      reason: 'Left the course.',
      departmentPassphrase,
    });
    // At home nobody knows of it: the key there opens, and signs.
    home.clock.pass(3600);
    const { id } = await home.entry('Ada', recordId);
    await home.sign('Ada', id);
    const data = await handOut(home, 'Ada', id);
    const view = await (await school.as('Dr Moss')).get('hand-in.read', { data });
    const doubts = view.report.findings.filter((one) => one.severity === 'doubtful');
    expect(doubts.map((one) => one.code)).toEqual(['signed-after-retirement']);
    expect(view.report.findings.map((one) => one.code)).toContain('key-retired');
  });

  it('a notebook for home holds one’s own key only, and never the department’s', async () => {
    const people = await (await home.as('Ada')).get('person.list', {});
    expect(people.people).toHaveLength(5);
    const seat = await home.seatOf('somebody');
    await seat.ask('session.close', {});
    expect(
      await seat.ask('session.open', { personId: home.idOf('Ben'), passphrase: passphraseOf('Ben') }),
    ).toMatchObject({ error: { code: 'not-allowed', facts: { reason: 'no-key-in-use' } } });
    await areSound();
  });
});
