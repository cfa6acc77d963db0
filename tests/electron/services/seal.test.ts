import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { PDFDocument, PDFName } from 'pdf-lib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport, JobView } from '../../../core/contract/views.ts';
import { openDeposit } from '../../../electron/archive/deposit-read.ts';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { checkPdf } from '../../../electron/check/check-file.ts';
import { fillSeal } from '../../../electron/export/seal.ts';
import { createSealKey } from '../../../electron/export/seal-certificate.ts';
import { sealInUse, sealViews } from '../../../electron/services/seal-key.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { checkOf, detached, inspect, withPdf } from '../export/read-pdf.ts';
import { departmentPassphrase, openDesk, passphraseOf, type Desk } from './open-desk.ts';
import { TestClock } from './test-clock.ts';

// The wired path: request, service, thread, file. What is asked of it: poppler's pdfsig, with and without
// the department's certificate in its store (NSS certutil), qpdf, pikepdf, and our own check.

let desk: Desk;
let recordId: string;
let pdf: Uint8Array;
let departmentKey: string;

const fileOf = (jobId: string): Uint8Array => {
  const file = desk.running.jobFile(jobId, 'window');
  if (file === null || !('bytes' in file)) throw new Error('the job left no file');
  return file.bytes;
};

async function bound(sealed: boolean, name: 'Archive' | 'Ada' = 'Archive'): Promise<Uint8Array> {
  const seat = await desk.as(name);
  let job: JobView = sealed
    ? await seat.get('record.bind-sealed', { recordId, departmentPassphrase })
    : await seat.get('record.bind', { recordId });
  while (job.state === 'running') {
    await pause(40);
    job = await seat.get('job.state', { jobId: job.id });
  }
  expect(job).toMatchObject({ state: 'done', problem: null });
  return fileOf(job.id);
}

beforeAll(async () => {
  // Certificate stores hold a seal against the real date, so the notebook is begun today.
  desk = await openDesk('IPC', { clock: new TestClock(new Date().toISOString()) });
  await desk.begin(['Ada', 'Dr Moss', 'Archive']);
  recordId = await desk.record();
  const { id } = await desk.entry('Ada', recordId, sampleContent({ stepRecords: [], notes: [] }));
  await desk.sign('Ada', id);
  await desk.countersign('Dr Moss', id);
  pdf = await bound(true);
  const notebook = desk.running.program.notebook;
  if (!notebook.ok) throw new Error('no notebook');
  const row = await notebook.value.db
    .selectFrom('notebook')
    .select('department_key')
    .executeTakeFirstOrThrow();
  departmentKey = row.department_key;
}, 60_000);
afterAll(() => desk.close());

const pdfsig = (bytes: Uint8Array, ...options: readonly string[]): string =>
  withPdf(bytes, (path) => {
    try {
      return execFileSync('pdfsig', [...options, path], { encoding: 'utf8' });
    } catch (error) {
      // pdfsig ends with a code of its own when it finds a fault; what it says is what counts.
      return (error as { stdout: string }).stdout;
    }
  });

async function check(bytes: Uint8Array): Promise<CheckReport> {
  const result = await checkPdf(bytes, { pinnedKey: departmentKey });
  if (!result.ok) throw new Error(result.error.code);
  return result.value;
}
const sealCodes = (report: CheckReport): readonly string[] =>
  report.findings.map((finding) => finding.code).filter((code) => code.startsWith('pdf-seal'));

describe('a record bound by the department', () => {
  it('is sealed: valid and the whole document, says poppler; whole and the department’s, says the check', async () => {
    const told = pdfsig(pdf, '-nocert');
    expect(told).toContain('Signature is Valid.');
    expect(told).toContain('Total document signed');
    expect(told).toContain('Chemistry, Larkhill College');
    const report = await check(pdf);
    expect(report.isSound).toBe(true);
    expect(sealCodes(report)).toEqual(['pdf-seal-intact']);
    expect(report.findings.find((one) => one.code === 'pdf-seal-intact')?.sentence).toContain(
      'Chemistry, Larkhill College',
    );
  });

  it('is trusted where the certificate was imported, and not before', async () => {
    const { seals } = await (await desk.as('Ada')).get('seal.list', {});
    withPdf(pdf, (path, folder) => {
      const certificate = join(folder, 'seal.pem');
      writeFileSync(certificate, seals[0]?.pem ?? '');
      const store = `sql:${folder}`;
      const run = (program: string, ...args: readonly string[]): string =>
        execFileSync(program, args, { encoding: 'utf8' });
      run('certutil', '-N', '-d', store, '--empty-password');
      expect(run('pdfsig', '-nssdir', store, path)).not.toContain('Certificate is Trusted');
      run('certutil', '-A', '-d', store, '-n', 'department', '-t', ',C,', '-i', certificate);
      expect(run('pdfsig', '-nssdir', store, path)).toContain('Certificate is Trusted');
    });
  });

  it('is sound as PDF/A: qpdf finds nothing, the markers are there, the field prints', () => {
    expect(checkOf(pdf)).toContain('No syntax or stream encoding errors found');
    const seen = inspect(pdf);
    expect(seen.xmp).toMatchObject({ part: '3', conformance: 'B' });
    for (const { flags } of seen.annotations) expect(flags & 0b100111).toBe(0b100);
    expect(withPdf(pdf, (path) => execFileSync('pdfinfo', [path], { encoding: 'utf8' }))).toMatch(
      /Tagged: +yes[^]*PDF version: +1.7/,
    );
    const text = Buffer.from(pdf).toString('latin1');
    expect(text).toMatch(/\/ID \[/);
    expect(text).toMatch(/\/AF \[/);
    expect(detached(pdf, 'fairleaf-seal.json').toString('utf8')).toContain('Larkhill College');
  });

  it('says on its certificate page that it is sealed, and others’ copies that they are not', async () => {
    const page = (bytes: Uint8Array): string =>
      withPdf(bytes, (path) =>
        execFileSync('pdftotext', ['-l', '1', path, '-'], { encoding: 'utf8' }),
      ).replace(/\s+/g, ' ');
    expect(page(pdf)).toContain('Sealed by Chemistry, Larkhill College');
    const own = await bound(false, 'Ada');
    expect(page(own)).toContain('Not sealed: bound by Ada.');
    expect(pdfsig(own)).toContain('does not contain any signatures');
    expect(sealCodes(await check(own))).toEqual(['pdf-seal-none']);
    expect((await check(own)).isSound).toBe(true);
  });

  it('is sealed in a deposit as well', async () => {
    const seat = await desk.as('Archive');
    let job = await seat.get('record.deposit', { recordIds: [recordId], departmentPassphrase });
    while (job.state === 'running') {
      await pause(40);
      job = await seat.get('job.state', { jobId: job.id });
    }
    const folder = mkdtempSync(join(tmpdir(), 'fairleaf-seal-'));
    try {
      const path = join(folder, 'deposit.zip');
      writeFileSync(path, fileOf(job.id));
      const opened = await openDeposit(path);
      if (!opened.ok) throw new Error(opened.error.code);
      const { source, documents, close } = opened.value;
      expect(documents.length).toBeGreaterThan(0);
      for (const name of documents) {
        const bytes = await source.read(name);
        expect(pdfsig(bytes, '-nocert'), name).toContain('Total document signed');
        expect(pdfsig(bytes, '-nocert'), name).toContain('Signature is Valid.');
        expect(sealCodes(await check(bytes)), name).toEqual(['pdf-seal-intact']);
      }
      close();
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it('tells the trail which file and which certificate', async () => {
    const { lines } = await (
      await desk.as('Archive')
    ).get('trail.list', {
      entryId: null,
      action: 'record.bind',
      text: 'certificate',
      before: null,
      limit: 5,
    });
    const { seals } = await (await desk.as('Archive')).get('seal.list', {});
    expect(lines[0]?.changes.map((change) => change.path)).toEqual(['file', 'seal']);
    expect(lines[0]?.changes[1]?.new).toContain(seals[0]?.sha256);
  });

  it('is refused without the department’s passphrase, and to everybody else', async () => {
    const ask = { recordId, departmentPassphrase: 'not the one' };
    expect(await (await desk.as('Archive')).ask('record.bind-sealed', ask)).toMatchObject({
      error: { code: 'wrong-passphrase' },
    });
    for (const name of ['Ada', 'Dr Moss'] as const) {
      const answer = await (
        await desk.as(name)
      ).ask('record.bind-sealed', { recordId, departmentPassphrase });
      expect(answer).toMatchObject({ error: { code: 'not-allowed' } });
    }
  });
});

describe('a sealed PDF that was tampered with', () => {
  it('is found broken wherever a byte was changed', async () => {
    const text = Buffer.from(pdf).toString('latin1');
    const [, from = 0, to = 0] = /ByteRange \[0 (\d+) (\d+) /.exec(text)?.map(Number) ?? [];
    // All over the file; in the range itself; in the certificate, the signature and the zeros behind it.
    const places = [
      ...Array.from({ length: 40 }, (_, n) => Math.floor(((n + 0.5) / 40) * pdf.length)),
      text.indexOf('/ByteRange') + 14,
      ...Array.from({ length: 24 }, (_, n) => from + 1 + n * 97),
      to - 2,
      to - 40,
    ];
    for (const at of places) {
      const changed = Buffer.from(pdf);
      changed[at] = (changed[at] ?? 0) ^ 1;
      const result = await checkPdf(changed, { pinnedKey: departmentKey });
      const isCaught = !result.ok || !result.value.isSound;
      expect(isCaught, `byte ${at}`).toBe(true);
    }
    const changed = Buffer.from(pdf);
    changed[from - 400] = (changed[from - 400] ?? 0) ^ 1;
    expect(pdfsig(changed, '-nocert')).toContain('Digest Mismatch');
  }, 240_000);

  it('shows what was put behind the seal', async () => {
    const longer = Buffer.concat([pdf, Buffer.from('\n% one line more\n')]);
    expect(pdfsig(longer, '-nocert')).toContain('Not total document signed');
    const report = await check(longer);
    expect(sealCodes(report)).toEqual(['pdf-seal-appended']);
    expect(report.isSound).toBe(false);
    expect(report.findings[0]?.sentence).toContain('17 were added');
  });

  it('shows an update that draws another page over the sealed one', async () => {
    // A shadow attack: the sealed bytes stay, and a second catalogue behind them leads to other content.
    const text = Buffer.from(pdf).toString('latin1');
    const [, root = '', generation = ''] = /\/Root (\d+) (\d+) R/.exec(text) ?? [];
    const start = text.lastIndexOf('startxref');
    const before = Number(/startxref\s+(\d+)/.exec(text.slice(start))?.[1]);
    const object = `${root} ${generation} obj\n<< /Type /Catalog /Pages << /Type /Pages /Kids [] /Count 0 >> >>\nendobj\n`;
    const at = pdf.length + 1;
    const xref = `xref\n${root} 1\n${String(at).padStart(10, '0')} 00000 n \ntrailer\n<< /Size 9999 /Root ${root} ${generation} R /Prev ${before} >>\nstartxref\n${at + object.length}\n%%EOF\n`;
    const shadowed = Buffer.concat([pdf, Buffer.from(`\n${object}${xref}`)]);
    const result = await checkPdf(shadowed, { pinnedKey: departmentKey });
    // Either the update hid the record as well, or the check names what was added.
    expect(result.ok ? sealCodes(result.value) : result.error.code).toEqual(
      result.ok ? ['pdf-seal-appended'] : 'no-record-inside',
    );
  });

  it('says that the seal is gone when the file was written anew without it', async () => {
    const document = await PDFDocument.load(pdf, { updateMetadata: false });
    document.catalog.delete(PDFName.of('AcroForm'));
    document.catalog.delete(PDFName.of('Perms'));
    const page = document.getPage(0);
    page.node.delete(PDFName.of('Annots'));
    const stripped = Buffer.from(await document.save({ useObjectStreams: true }));
    // What is left of the dictionary of the signature goes too.
    const without = Buffer.from(stripped.toString('latin1').replaceAll('/ByteRange', '/NoMoreOne'), 'latin1');
    expect(sealCodes(await check(without))).toEqual(['pdf-seal-removed']);
    expect((await check(without)).isSound).toBe(false);
    // The stale range that such a rewriting leaves behind covers nothing.
    expect((await check(stripped)).isSound).toBe(false);
  });

  it('is not taken in by another’s seal under the department’s name', async () => {
    const forged = await createSealKey({
      institution: 'Larkhill College',
      department: 'Chemistry',
      serial: 1,
      notBefore: new Date('2026-01-01T00:00:00Z'),
      notAfter: new Date('2036-01-01T00:00:00Z'),
    });
    // Opens the room again, as whoever made the file had it, and fills it with the forger's signature.
    const text = Buffer.from(pdf).toString('latin1');
    const range = /\[0 (\d+) (\d+) (\d+)\]\s*/.exec(text.slice(text.indexOf('/ByteRange')));
    const [, from = 0, to = 0] = range?.map(Number) ?? [];
    const mark = Buffer.from('ab'.repeat((to - from - 2) / 2), 'hex');
    const open = Buffer.from(pdf);
    open.write(mark.toString('hex'), from + 1, 'latin1');
    const rangeAt = text.indexOf('/ByteRange') + '/ByteRange '.length;
    open.write('[0 /********** /********** /**********]', rangeAt, 'latin1');
    const resealed = await fillSeal(open, mark, forged);
    expect(pdfsig(resealed, '-nocert')).toContain('Signature is Valid.');
    const report = await check(resealed);
    expect(sealCodes(report)).toEqual(['pdf-seal-other']);
    expect(report.isSound).toBe(false);
  });
});

describe('the life of the seal', () => {
  it('is renewed before its end: the old one stays, what it sealed stays whole', async () => {
    const seat = await desk.as('Archive');
    const before = await seat.get('seal.list', {});
    expect(before.seals).toMatchObject([
      { serial: 1, standing: 'in-use', name: 'Chemistry, Larkhill College' },
    ]);
    const after = await seat.get('seal.make', { departmentPassphrase });
    expect(after.seals.map((one) => [one.serial, one.standing])).toEqual([
      [2, 'in-use'],
      [1, 'retired'],
    ]);
    expect(sealCodes(await check(pdf))).toEqual(['pdf-seal-intact']);
    const renewed = await bound(true);
    expect(sealCodes(await check(renewed))).toEqual(['pdf-seal-intact']);
    expect(pdfsig(renewed, '-nocert')).toContain('Total document signed');
    const notebook = await checkDatabase(desk.path, { pinnedKey: departmentKey });
    expect(notebook.ok && notebook.value.findings).toEqual([]);
  });

  it('is told in time that it ends, and does not seal after its end', async () => {
    const { notebook } = desk.running.program;
    if (!notebook.ok) throw new Error('no notebook');
    const until =
      (await sealInUse(notebook.value.db)) === null
        ? ''
        : (await sealViews(notebook.value.db, '2000'))[0]?.notAfter;
    const day = (days: number): string => new Date(Date.parse(until ?? '') + days * 86_400_000).toISOString();
    expect((await sealViews(notebook.value.db, day(-89)))[0]?.standing).toBe('ends-soon');
    expect((await sealViews(notebook.value.db, day(1)))[0]?.standing).toBe('ended');
  });

  it('is retired for a reason, by the department alone; then nothing is sealed', async () => {
    const ask = { reason: 'The computer it was used on was stolen.', departmentPassphrase };
    expect(await (await desk.as('Dr Moss')).ask('seal.retire', ask)).toMatchObject({
      error: { code: 'not-allowed' },
    });
    const seat = await desk.as('Archive');
    expect(await seat.ask('seal.retire', { ...ask, reason: '  ' })).toMatchObject({
      error: { code: 'reason-missing' },
    });
    await seat.get('seal.retire', ask);
    expect(await seat.ask('record.bind-sealed', { recordId, departmentPassphrase })).toMatchObject({
      error: { code: 'seal-missing' },
    });
    const { lines } = await seat.get('trail.list', {
      entryId: null,
      action: 'seal.retire',
      text: null,
      before: null,
      limit: 5,
    });
    expect(lines[0]?.reason).toContain('stolen');
    await seat.get('seal.make', { departmentPassphrase });
    expect(passphraseOf('Archive')).not.toBe(departmentPassphrase);
  });

  it('is found out when its certificate was swapped in the file', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'fairleaf-seal-'));
    try {
      const { notebook } = desk.running.program;
      if (!notebook.ok) throw new Error('no notebook');
      const copy = join(folder, 'copy.fairleaf');
      await notebook.value.copyTo(copy);
      const database = new Database(copy);
      const other = await createSealKey({
        institution: 'Larkhill College',
        department: 'Chemistry',
        serial: 3,
        notBefore: new Date('2026-01-01T00:00:00Z'),
        notAfter: new Date('2036-01-01T00:00:00Z'),
      });
      database.exec('drop trigger seal_key_keeps_identity');
      database
        .prepare('update seal_key set certificate = ? where retired_at is null')
        .run(Buffer.from(other.certificate).toString('hex'));
      database.close();
      const result = await checkDatabase(copy, { pinnedKey: departmentKey });
      const codes = result.ok ? result.value.findings.map((one) => one.code) : [];
      expect(codes).toContain('row-changed');
      expect(codes).toContain('seal-certificate-swapped');
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
