import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import type { JobView } from '../../../core/contract/views.ts';
import { checkPdf } from '../../../electron/check/check-file.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { openDesk, transports, type Desk, type Seat } from './open-desk.ts';

async function ended(seat: Seat, job: JobView): Promise<JobView> {
  let now = job;
  while (now.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 40));
    now = await seat.get('job.state', { jobId: job.id });
  }
  return now;
}

/** As poppler reads it, line breaks as blanks. */
function textOf(bytes: Uint8Array): string {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-pdf-'));
  try {
    writeFileSync(join(folder, 'x.pdf'), bytes);
    return execFileSync('pdftotext', ['-layout', join(folder, 'x.pdf'), '-'], { encoding: 'utf8' });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

describe.each(transports)('long work over %s', (transport) => {
  let desk: Desk;
  let recordId: string;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin(['Ada', 'Ben', 'Dr Moss']);
    recordId = await desk.record();
  });
  afterEach(() => desk.close());
  const clientOf = (): string => (transport === 'IPC' ? 'window' : 'browser-2');

  it('binds a locked entry to a PDF that carries and can prove what it shows', async () => {
    const { id } = await desk.lockedEntry(recordId);
    const ada = await desk.as('Ada');
    const job = await ended(ada, await ada.get('entry.bind', { entryId: id }));
    expect(job).toMatchObject({ kind: 'entry-pdf', state: 'done', progress: 1, problem: null });
    const file = desk.running.jobFile(job.id, clientOf());
    if (file === null) throw new Error('no file');
    expect(job.file).toEqual({ path: `file/${job.id}`, name: file.name, sizeBytes: file.bytes.length });
    const text = textOf(file.bytes);
    for (const word of [
      'Acetylsalicylic acid',
      'Larkhill College',
      'Ada',
      'Dr Moss',
      '8/10',
      'Audit trail',
    ]) {
      expect(text).toContain(word);
    }
    const report = await checkPdf(file.bytes);
    expect(report.ok && report.value.isSound).toBe(true);
    const { lines } = await ada.get('trail.list', {
      entryId: id,
      action: 'entry.bind',
      text: null,
      before: null,
      limit: 5,
    });
    expect(lines[0]?.changes[0]?.new).toContain(sha256(file.bytes));
    expect(desk.logged).toEqual([]);
  });

  it('binds a whole record, and says how far it is', async () => {
    for (let n = 0; n < 3; n++) await desk.entry('Ada', recordId);
    await desk.lockedEntry(recordId);
    const ada = await desk.as('Ada');
    const job = await ended(ada, await ada.get('record.bind', { recordId }));
    expect(job).toMatchObject({ kind: 'record-pdf', state: 'done', problem: null });
    const file = desk.running.jobFile(job.id, clientOf());
    expect(textOf(file?.bytes ?? new Uint8Array())).toContain('Practical record');
  });

  it('gives a job only to the person who began it', async () => {
    const { id } = await desk.lockedEntry(recordId);
    const ada = await desk.as('Ada');
    const job = await ended(ada, await ada.get('entry.bind', { entryId: id }));
    const ben = await desk.as('Ben');
    expect(await ben.ask('job.state', { jobId: job.id })).toMatchObject({ error: { code: 'not-found' } });
    expect(await ben.ask('job.cancel', { jobId: job.id })).toMatchObject({ error: { code: 'not-found' } });
    expect(desk.running.jobFile(job.id, 'browser-9')).toBeNull();
    // Signed out, the window is given nothing any more.
    await (await desk.as('Ada')).get('session.close', {});
    expect(desk.running.jobFile(job.id, clientOf())).toBeNull();
  });

  it('can be cancelled, and leaves no file', async () => {
    for (let n = 0; n < 8; n++) await desk.entry('Ada', recordId);
    const ada = await desk.as('Ada');
    const job = await ada.get('record.bind', { recordId });
    const cancelled = await ada.get('job.cancel', { jobId: job.id });
    expect(cancelled).toMatchObject({ state: 'cancelled', file: null });
    expect(await ended(ada, cancelled)).toMatchObject({ state: 'cancelled' });
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(desk.running.jobFile(job.id, clientOf())).toBeNull();
    const { total } = await ada.get('trail.list', {
      entryId: null,
      action: 'record.bind',
      text: null,
      before: null,
      limit: 5,
    });
    expect(total).toBe(0);
    expect(desk.logged).toEqual([]);
  });

  it('does not hold up anybody’s saving', async () => {
    for (let n = 0; n < 4; n++) await desk.entry('Ada', recordId);
    const entryId = (await (await desk.as('Ada')).get('record.open', { recordId })).lines[0]?.entryId ?? '';
    const ada = await desk.as('Ada');
    const job = await ada.get('record.bind', { recordId });
    let saves = 0;
    let longest = 0;
    while ((await ada.get('job.state', { jobId: job.id })).state === 'running') {
      const begun = performance.now();
      await desk.save('Ada', entryId, { discussion: `while it binds ${++saves}` });
      longest = Math.max(longest, performance.now() - begun);
    }
    expect(saves).toBeGreaterThan(3);
    // The binding takes seconds; a save takes milliseconds, and some more on a busy machine.
    expect(longest).toBeLessThan(1_500);
  });
});

describe('the trail in the program', () => {
  it('is filtered by action, by entry and by words, page by page', async () => {
    const desk = await openDesk('HTTP');
    onTestFinished(() => desk.close());
    await desk.begin(['Ada', 'Dr Moss']);
    const recordId = await desk.record();
    const { id } = await desk.entry('Ada', recordId);
    await desk.save('Ada', id, { discussion: 'Ein 100% “Zufall” _ mit Zeichen' });
    await desk.sign('Ada', id);
    await desk.giveBack('Dr Moss', id, 'The mother liquor?');
    const moss = await desk.as('Dr Moss');
    const ask = { entryId: null, action: null, text: null, before: null, limit: 3 };
    const first = await moss.get('trail.list', ask);
    expect(first.lines.map((line) => line.seq)).toEqual([first.total, first.total - 1, first.total - 2]);
    const second = await moss.get('trail.list', { ...ask, before: first.lines.at(-1)?.seq ?? 0 });
    expect(second.lines[0]?.seq).toBe(first.total - 3);
    expect(second.total).toBe(first.total);

    const found = async (text: string): Promise<readonly string[]> =>
      (await moss.get('trail.list', { ...ask, text, limit: 50 })).lines.map((line) => line.action);
    expect(await found('mother LIQUOR')).toEqual(['entry.return']);
    expect(await found('“Zufall”')).toEqual(['draft.save']);
    expect(await found('100%')).toEqual(['draft.save']);
    expect(await found('100_')).toEqual([]);
    expect(await found('handed it in')).toEqual(['entry.sign']);
    expect(await found('Dr Moss')).toEqual(['entry.return', 'session.open']);
    expect((await found('bench-7')).length).toBe(first.total);
    expect(await found("' or 1=1 --")).toEqual([]);
    const own = await moss.get('trail.list', { ...ask, entryId: id, limit: 50 });
    expect(own.lines.map((line) => line.action)).toEqual([
      'entry.return',
      'entry.sign',
      'draft.save',
      'entry.begin',
    ]);
  });

  it('marks an event written after the clock was set back, and warns whoever signs then', async () => {
    const desk = await openDesk('HTTP');
    onTestFinished(() => desk.close());
    await desk.begin(['Ada', 'Dr Moss']);
    const { id } = await desk.entry('Ada', await desk.record());
    desk.clock.setTo('2027-03-09T12:00:00.000Z');
    const ada = await desk.as('Ada');
    const text = await ada.get('signing.read', { entryId: id, meaning: 'performed' });
    expect(text.warnings.join(' ')).toContain('clock');
    await desk.sign('Ada', id);
    const { lines } = await ada.get('trail.list', {
      entryId: id,
      action: 'entry.sign',
      text: null,
      before: null,
      limit: 5,
    });
    expect(lines[0]).toMatchObject({ isClockBack: true, offsetMinutes: 60 });
    const report = await (await desk.as('Dr Moss')).get('notebook.check', {});
    expect(report.isSound).toBe(true);
    expect(report.findings.map((finding) => finding.code)).toContain('clock-back');

    // What a signature rests on stands before it, whatever the clock said.
    desk.clock.setTo('2027-03-09T11:00:00.000Z');
    const { versions } = await desk.countersign('Dr Moss', id);
    expect(versions[0]?.signatures.map((one) => one.meaning)).toEqual(['performed', 'countersigned']);
  });
});

describe('tampering with the file', () => {
  it('is found by the check, which names the place and is itself told in the trail', async () => {
    const desk = await openDesk('HTTP');
    onTestFinished(() => desk.close());
    await desk.begin(['Ada', 'Dr Moss']);
    const { id } = await desk.lockedEntry(await desk.record());
    const database = new Database(desk.path);
    expect(() => database.exec(`update version set bytes = 'x'`)).toThrow('never-changed');
    const guard = database
      .prepare(`select sql from sqlite_schema where name = 'version_is_final'`)
      .pluck()
      .get() as string;
    database.exec('drop trigger version_is_final');
    const changed = database.prepare(`update version set bytes = replace(bytes, '4.52', '4.62')`).run();
    expect(changed.changes).toBe(1);
    database.exec(guard);
    database.close();
    const moss = await desk.as('Dr Moss');
    const report = await moss.get('notebook.check', {});
    expect(report.isSound).toBe(false);
    const [first] = report.findings.filter((finding) => finding.severity === 'broken');
    expect(first?.place).toBe('entry 1 of “Practical record”, version 1');
    expect(first?.code).toBe('version-changed');
    const { lines } = await moss.get('trail.list', {
      entryId: null,
      action: 'notebook.check',
      text: null,
      before: null,
      limit: 1,
    });
    expect(lines[0]?.reason).toContain('entry 1 of “Practical record”, version 1');
    expect(id).not.toBe('');
  });
});
