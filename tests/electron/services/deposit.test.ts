import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFile } from '../../../electron/check/check-file.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { png } from '../export/pictures.ts';
import { departmentPassphrase, openDesk, passphraseOf, transports, type Desk } from './open-desk.ts';

function openNotebook({ running }: Desk) {
  if (!running.program.notebook.ok) throw new Error('the notebook is not open');
  return running.program.notebook.value.db;
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
    let job = await own.get('record.deposit', { recordId, departmentPassphrase });
    const progress = [job.progress];
    for (let turn = 0; job.state === 'running' && turn < 600; turn += 1) {
      await new Promise((resolve) => setTimeout(resolve, 50));
      job = await own.get('job.state', { jobId: job.id });
      progress.push(job.progress);
    }
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

  it('is for the department, with its own passphrase, and for what is signed', async () => {
    const { id } = await desk.entry('Ada', recordId);
    const archive = await desk.as('Archive');
    expect(await archive.ask('record.deposit', { recordId, departmentPassphrase })).toMatchObject({
      error: { code: 'nothing-signed' },
    });
    await desk.sign('Ada', id);
    for (const name of ['Ada', 'Dr Moss'] as const) {
      const own = await desk.as(name);
      expect(await own.ask('record.deposit', { recordId, departmentPassphrase })).toMatchObject({
        error: { code: 'not-allowed' },
      });
    }
    const again = await desk.as('Archive');
    expect(
      await again.ask('record.deposit', { recordId, departmentPassphrase: passphraseOf('Archive') }),
    ).toMatchObject({ error: { code: 'wrong-passphrase' } });
  });

  it('stops when it is cancelled, and leaves nothing', async () => {
    const { id } = await desk.entry('Ada', recordId);
    await desk.sign('Ada', id);
    const own = await desk.as('Archive');
    const job = await own.get('record.deposit', { recordId, departmentPassphrase });
    expect(await own.get('job.cancel', { jobId: job.id })).toMatchObject({ state: 'cancelled', file: null });
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
