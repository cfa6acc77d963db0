import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { JobView } from '../../../core/contract/views.ts';
import { checkFile } from '../../../electron/check/check-file.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { png } from '../export/pictures.ts';
import {
  departmentPassphrase,
  openDesk,
  passphraseOf,
  transports,
  type Desk,
  type Seat,
} from './open-desk.ts';

function openNotebook({ running }: Desk) {
  if (!running.program.notebook.ok) throw new Error('the notebook is not open');
  return running.program.notebook.value.db;
}

async function endOf(own: Seat, begun: JobView, progress: number[] = []): Promise<JobView> {
  let job = begun;
  progress.push(job.progress);
  for (let turn = 0; job.state === 'running' && turn < 1_200; turn += 1) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    job = await own.get('job.state', { jobId: job.id });
    progress.push(job.progress);
  }
  return job;
}

describe.each(transports)('record.deposit over %s', (transport) => {
  let desk: Desk;
  let recordId: string;
  let folder: string;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'fairleaf-deposit-test-'));
    desk = await openDesk(transport);
    await desk.begin();
    recordId = await desk.record();
  });
  afterEach(async () => {
    await desk.close();
    rmSync(folder, { recursive: true, force: true });
    expect(desk.logged).toEqual([]);
  });

  it('packs the signed entries into a sealed bag that other tools confirm', async () => {
    const { id } = await desk.entry('Ada', recordId);
    await (
      await desk.as('Ada')
    ).get('attachment.add', {
      entryId: id,
      revision: 1,
      section: 'result',
      name: 'needles.png',
      caption: '',
      data: png().toString('base64'),
    });
    await desk.sign('Ada', id);
    await desk.countersign('Dr Moss', id);
    const own = await desk.as('Archive');
    const progress: number[] = [];
    const job = await endOf(
      own,
      await own.get('record.deposit', { recordIds: [recordId], departmentPassphrase }),
      progress,
    );
    expect(job).toMatchObject({ state: 'done', file: { name: 'deposit-practical-record.zip' } });
    expect(progress).toEqual(progress.toSorted((a, b) => a - b));
    const [client] =
      desk.running.program.sessions.all().find(([, one]) => one.person.printedName === 'Archive') ?? [];
    const bytes = desk.running.jobFile(job.id, client ?? '')?.bytes ?? new Uint8Array();
    const path = join(folder, 'deposit.zip');
    writeFileSync(path, bytes);
    const { department_key: pinnedKey } = await openNotebook(desk)
      .selectFrom('notebook')
      .select('department_key')
      .executeTakeFirstOrThrow();
    const report = await checkFile(path, { pinnedKey });
    expect(report).toMatchObject({ ok: true, value: { isSound: true } });
    expect(report.ok && report.value.checked).toContainEqual({ what: 'attachments', count: 1 });

    execFileSync('python3', [
      '-c',
      'import sys,zipfile; zipfile.ZipFile(sys.argv[1]).extractall(sys.argv[2])',
      path,
      folder,
    ]);
    const bag = join(folder, 'deposit-practical-record');
    execFileSync('sha512sum', ['--quiet', '--strict', '-c', 'manifest-sha512.txt'], { cwd: bag });
    execFileSync('sha512sum', ['--quiet', '--strict', '-c', 'tagmanifest-sha512.txt'], { cwd: bag });
    const said = execFileSync(
      'openssl',
      'pkeyutl -verify -pubin -inkey seal/department.pem -rawin -in seal/checkpoint -sigfile seal/checkpoint.sig'.split(
        ' ',
      ),
      { cwd: bag, encoding: 'utf8' },
    );
    expect(said).toContain('Signature Verified Successfully');
    const text = execFileSync('pdftotext', [join(bag, 'data/record.pdf'), '-'], { encoding: 'utf8' });
    expect(text).toContain('Practical record');

    const trail = await own.get('trail.list', {
      entryId: null,
      action: 'record.deposit',
      text: null,
      before: null,
      limit: 5,
    });
    expect(trail.lines.map((line) => line.changes[0]?.new)).toEqual([
      `deposit-practical-record.zip, SHA-256 ${sha256(bytes)}`,
    ]);
    expect(await checkFile(desk.path)).toMatchObject({ ok: true, value: { isSound: true } });
  });

  it('packs a class as one bag, record by record, and leaves out what is not signed', async () => {
    const other = await desk.record('Ben', 'Übungen: Präparate');
    const empty = await desk.record('Ben', 'Nothing yet');
    for (const [name, record] of [
      ['Ada', recordId],
      ['Ben', other],
    ] as const) {
      const { id } = await desk.entry(name, record);
      await desk.sign(name, id);
      await desk.countersign('Dr Moss', id);
    }
    const own = await desk.as('Archive');
    const job = await endOf(
      own,
      await own.get('record.deposit', { recordIds: [recordId, other, empty], departmentPassphrase }),
    );
    expect(job.file?.name).toMatch(/^deposit-class-\d{4}-\d\d-\d\d\.zip$/);
    const [client] =
      desk.running.program.sessions.all().find(([, one]) => one.person.printedName === 'Archive') ?? [];
    const file = desk.running.jobFile(job.id, client ?? '');
    const path = join(folder, 'class.zip');
    writeFileSync(path, file?.bytes ?? '');
    const report = await checkFile(path);
    expect(report.ok && report.value.findings.map(({ place, code }) => [place, code])).toEqual([
      ['the department’s key', 'key-not-pinned'],
    ]);
    execFileSync('unzip', ['-q', path, '-d', folder]);
    const bag = join(folder, (job.file?.name ?? '').replace('.zip', ''));
    execFileSync('sha512sum', ['--quiet', '--strict', '-c', 'manifest-sha512.txt'], { cwd: bag });
    expect(readdirSync(join(bag, 'data/records'))).toEqual(['001-ada.zip', '002-ben.zip']);
    execFileSync('unzip', ['-q', join(bag, 'data/records/002-ben.zip'), '-d', folder]);
    const record = join(folder, '002-ben');
    execFileSync('sha512sum', ['--quiet', '--strict', '-c', 'manifest-sha512.txt'], { cwd: record });
    const entry = execFileSync('pdftotext', [join(record, 'data/entries/001.pdf'), '-'], {
      encoding: 'utf8',
    });
    expect(entry).toContain('Acetylsalicylic acid');

    // One event for the one command; a statement kept for the class and for each record.
    const trail = await own.get('trail.list', {
      entryId: null,
      action: 'record.deposit',
      text: null,
      before: null,
      limit: 5,
    });
    expect(trail.lines.map((line) => line.reason)).toEqual(['2 records']);
    const kept = await openNotebook(desk).selectFrom('checkpoint').select('bytes').execute();
    expect(kept.filter((row) => row.bytes.includes('"purpose":"deposit"'))).toHaveLength(3);
    expect(await checkFile(desk.path)).toMatchObject({ ok: true, value: { isSound: true } });

    // The file goes with the program.
    const stored = file?.stored?.path ?? '';
    expect(existsSync(stored)).toBe(true);
    await desk.close();
    expect(existsSync(stored)).toBe(false);
    desk = await openDesk(transport);
  });

  it('is for the department, with its own passphrase, and for what is signed', async () => {
    const { id } = await desk.entry('Ada', recordId);
    const archive = await desk.as('Archive');
    expect(
      await archive.ask('record.deposit', { recordIds: [recordId], departmentPassphrase }),
    ).toMatchObject({
      error: { code: 'nothing-signed' },
    });
    await desk.sign('Ada', id);
    for (const name of ['Ada', 'Dr Moss'] as const) {
      const own = await desk.as(name);
      expect(await own.ask('record.deposit', { recordIds: [recordId], departmentPassphrase })).toMatchObject({
        error: { code: 'not-allowed' },
      });
    }
    const again = await desk.as('Archive');
    expect(
      await again.ask('record.deposit', {
        recordIds: [recordId],
        departmentPassphrase: passphraseOf('Archive'),
      }),
    ).toMatchObject({ error: { code: 'wrong-passphrase' } });
  });

  it('stops when it is cancelled, and leaves nothing', async () => {
    const { id } = await desk.entry('Ada', recordId);
    await desk.sign('Ada', id);
    const own = await desk.as('Archive');
    // Of this process alone: others may be at work on this computer, or have been killed.
    const folders = (): readonly string[] =>
      readdirSync(tmpdir()).filter((name) => name.startsWith(`fairleaf-deposit-${process.pid}-`));
    const before = new Set(folders());
    const job = await own.get('record.deposit', { recordIds: [recordId], departmentPassphrase });
    expect(await own.get('job.cancel', { jobId: job.id })).toMatchObject({ state: 'cancelled', file: null });
    // What had been packed is gone as soon as the thread has let go of it.
    await expect.poll(() => folders().filter((name) => !before.has(name))).toEqual([]);
    const trail = await own.get('trail.list', {
      entryId: null,
      action: 'record.deposit',
      text: null,
      before: null,
      limit: 5,
    });
    expect(trail.total).toBe(0);
  });
});
