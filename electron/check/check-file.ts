import { closeSync, existsSync, readdirSync, openSync, readFileSync, readSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { CheckReport } from '../../core/contract/views.ts';
import { inputFromBundle, readBundle } from '../../core/record/bundle.ts';
import { readSealStatementText, sealFileName } from '../../core/record/seal-key.ts';
import { departmentKeysOf } from '../../core/record/verify/people.ts';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import { checkDeposit } from '../archive/deposit-check.ts';
import { checkHandIn, readHandIn, statementName } from '../archive/hand-in.ts';
import { depositLimits } from '../archive/deposit-source.ts';
import { openPackage } from '../archive/zip-read.ts';
import { isSafePath } from '../archive/bag.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';
import { checkDatabase } from './check-database.ts';
import { pdfLimits, readPdfBundle, type PdfRecord } from './read-pdf.ts';
import { checkPdfSeal } from './read-seal.ts';
import { runCheck, type CheckOptions } from './run-check.ts';
import { together, unopened, type NamedReport } from './together.ts';

export type FileKind = 'notebook' | 'pdf' | 'package' | 'bundle' | 'folder' | 'unknown';

/** What a file is, by its first bytes and never by its name. */
export function fileKind(path: string): Result<FileKind, Problem> {
  try {
    const stats = statSync(path);
    if (stats.isDirectory()) return ok('folder');
    // Opening a pipe would wait for somebody to write into it.
    if (!stats.isFile()) return ok('unknown');
    const file = openSync(path, 'r');
    try {
      const head = Buffer.alloc(1024);
      const start = head.subarray(0, readSync(file, head, 0, head.length, 0)).toString('latin1');
      if (start.startsWith('SQLite format 3\0')) return ok('notebook');
      // ISO 32000-1 readers look for the header within the first 1024 bytes; ours is at the start.
      if (start.startsWith('%PDF-')) return ok('pdf');
      if (start.startsWith('PK\x03\x04')) return ok('package');
      return ok(start.startsWith('{') ? 'bundle' : 'unknown');
    } finally {
      closeSync(file);
    }
  } catch (error) {
    return fail(asProblem(error));
  }
}

function asProblem(error: unknown): Problem {
  const problem = storageProblem(error);
  if (problem === null) throw error;
  return { code: problem.reason, where: '', facts: problem.facts };
}

/** Checks the record a PDF carries, with nothing but the PDF and, if given, the department's key. */
export async function checkPdf(
  bytes: Uint8Array,
  options: CheckOptions = {},
): Promise<Result<CheckReport, Problem>> {
  const inside = await readPdfBundle(bytes);
  if (!inside.ok) return inside;
  const { text, others } = inside.value;
  const report = await checkBundle(
    text,
    options,
    others.filter((file) => file.name !== sealFileName).map((file) => file.data),
  );
  if (!report.ok) return report;
  const sealed = await withSeal(report.value, bytes, inside.value, options);
  return ok(await withPages(sealed, bytes, inside.value, options));
}

/** The report, with whether the pages say what the record says. */
async function withPages(
  report: CheckReport,
  bytes: Uint8Array,
  { text, others }: PdfRecord,
  { signal }: CheckOptions,
): Promise<CheckReport> {
  const bundle = readBundle(text);
  if (!bundle.ok) return report;
  // What prints is large, and most files that are checked are no PDFs.
  const { checkPrinted } = await import('./printed/check-printed.ts');
  const files = others.filter((file) => file.name !== sealFileName).map((file) => file.data);
  const { findings: found, compared } = await checkPrinted(bytes, bundle.value, files, signal);
  return {
    ...report,
    checked: [...report.checked, { what: 'printed pages held against the data', count: compared }],
    isSound: report.isSound && found.every((one) => one.severity !== 'broken'),
    findings: [...report.findings, ...found].sort((a, b) => weight[a.severity] - weight[b.severity]),
  };
}

/** What is broken comes first; within that, the record before its pages. */
const weight = { broken: 0, doubtful: 1, note: 2 } as const;

/** The report, with what the department's seal says of the pages around the record. */
async function withSeal(
  report: CheckReport,
  bytes: Uint8Array,
  { text, others }: PdfRecord,
  { pinnedKey = null }: CheckOptions,
): Promise<CheckReport> {
  const bundle = readBundle(text);
  if (!bundle.ok) return report;
  const words = others.filter((file) => file.name === sealFileName);
  const [word] = words;
  const read =
    word === undefined || words.length > 1
      ? null
      : readSealStatementText(Buffer.from(word.data).toString('utf8'));
  const seal = await checkPdfSeal(
    bytes,
    read?.ok === true ? read.value : null,
    departmentKeysOf(inputFromBundle(bundle.value, pinnedKey), recordCrypto),
  );
  const broken = seal.filter((one) => one.severity === 'broken');
  return {
    ...report,
    isSound: report.isSound && broken.length === 0,
    findings: [...broken, ...report.findings, ...seal.filter((one) => one.severity !== 'broken')],
  };
}

async function checkBundle(
  text: string,
  options: CheckOptions,
  files: readonly Uint8Array[] = [],
): Promise<Result<CheckReport, Problem>> {
  const bundle = readBundle(text);
  if (!bundle.ok) return bundle;
  const attachments = files.map((data) => ({ sha256: sha256(data), data }));
  return ok(await runCheck(inputFromBundle(bundle.value, options.pinnedKey ?? null, attachments), options));
}

/** A class deposited together: a folder with one bag for each record. One damaged bag spoils no other. */
async function checkClass(folder: string, options: CheckOptions): Promise<Result<CheckReport, Problem>> {
  const bags = readdirSync(folder)
    .filter((name) => existsSync(join(folder, name, 'bagit.txt')))
    .sort();
  if (bags.length === 0) return fail({ code: 'kind-unknown', where: '', facts: {} });
  const reports: NamedReport[] = [];
  for (const [index, name] of bags.entries()) {
    options.signal?.throwIfAborted();
    options.onProgress?.(index / bags.length, name);
    const { onProgress: _inner, ...rest } = options;
    const result = await checkDeposit(join(folder, name), rest);
    reports.push({ name, report: result.ok ? result.value : unopened(result.error) });
  }
  options.onProgress?.(1, 'done');
  return ok(together(reports));
}

async function checkPackage(path: string, options: CheckOptions): Promise<Result<CheckReport, Problem>> {
  const opened = await openPackage(path, isSafePath, depositLimits);
  if (!opened.ok) return opened;
  opened.value.close();
  if (!opened.value.names.includes(statementName)) return checkDeposit(path, options);
  const handIn = await readHandIn(path);
  return handIn.ok ? ok(await checkHandIn(handIn.value, options)) : handIn;
}

/**
 * Checks a file of any kind the program writes: a notebook, a bound PDF, a hand-in, a deposit.
 *
 * @error why it cannot be checked at all; what is wrong inside is in the report
 */
export async function checkFile(
  path: string,
  options: CheckOptions = {},
): Promise<Result<CheckReport, Problem>> {
  const kind = fileKind(path);
  if (!kind.ok) return kind;
  switch (kind.value) {
    case 'notebook':
      return checkDatabase(path, options);
    case 'pdf':
    case 'bundle':
      if (statSync(path).size > pdfLimits.file) return fail({ code: 'too-large', where: '', facts: {} });
      return kind.value === 'pdf'
        ? checkPdf(readFileSync(path), options)
        : checkBundle(readFileSync(path, 'utf8'), options);
    case 'package':
      return checkPackage(path, options);
    case 'folder':
      if (existsSync(join(path, 'bagit.txt'))) return checkDeposit(path, options);
      return checkClass(path, options);
    case 'unknown':
      return fail({ code: 'kind-unknown', where: '', facts: {} });
  }
}
