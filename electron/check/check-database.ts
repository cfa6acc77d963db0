import type Database from 'better-sqlite3';
import type { CheckFinding, CheckReport } from '../../core/contract/views.ts';
import type { StoredRow } from '../../core/record/attest.ts';
import type { Witness } from '../../core/record/check-input.ts';
import { inputFromTables, type ReadTable } from '../../core/record/check-tables.ts';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';
import { recordSentences } from '../../core/wording/record.ts';
import { openForReading } from '../storage/open-for-reading.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import { expectedSchema, schemaOf } from './expected-schema.ts';
import { workBeside } from './side-work.ts';
import { runCheck, type CheckOptions, type Sizes } from './run-check.ts';

const finding = (
  severity: CheckFinding['severity'],
  code: string,
  place: string,
  facts: Readonly<Record<string, string | number>> = {},
): CheckFinding => ({ severity, code, place, sentence: recordSentences[code]?.(facts) ?? code });

/** What is broken comes first. */
const weight = { broken: 0, doubtful: 1, note: 2 } as const;

/**
 * Checks a notebook file: the database itself, its guards, and then everything `verifyNotebook` looks
 * at. Reads one consistent state, also while the program has the file open, and changes nothing.
 *
 * @error with the storage's own reasons (not-a-notebook, newer-version, file-missing, unreadable…)
 * @throws the signal's reason when it is aborted
 */
export async function checkDatabase(
  path: string,
  options: CheckOptions = {},
): Promise<Result<CheckReport, Problem>> {
  let opened: ReturnType<typeof openForReading> | null = null;
  try {
    opened = openForReading(path);
    const { database } = opened;
    database.exec('begin');
    const beside = startBeside(database, options);
    const findings = [...integrity(database), ...(await guards(database))];
    const report = await readAndCheck(database, options, findings, beside);
    return ok(report);
  } catch (error) {
    const problem = storageProblem(error);
    if (problem === null) throw error;
    return fail({ code: problem.reason, where: '', facts: problem.facts });
  } finally {
    opened?.close();
  }
}

/** Other threads begin while this one looks over the pages. */
function startBeside(database: Database.Database, options: CheckOptions): ReturnType<typeof workBeside> {
  try {
    return workBeside(database, {
      ...(options.signal && { signal: options.signal }),
      ...(options.threads !== undefined && { threads: options.threads }),
      always: options.alwaysShares ?? false,
    });
  } catch {
    // A table is missing or a page cannot be read: the check comes to it and says so.
    return null;
  }
}

async function readAndCheck(
  database: Database.Database,
  options: CheckOptions,
  before: readonly CheckFinding[],
  beside: ReturnType<typeof workBeside>,
): Promise<CheckReport> {
  const tables = new Set(
    database.prepare(`select name from sqlite_schema where type = 'table'`).pluck().all() as string[],
  );
  const read: ReadTable = (table) => (tables.has(table) ? rowsOf(database, table) : []);
  try {
    const notebook = [...read('notebook')][0]?.['id'];
    const outside = [...read('witness')].filter((row) => row['notebook'] === notebook).map(witnessOf);
    const input = inputFromTables(read, options.pinnedKey ?? null, outside);
    const shared = (await beside?.()) ?? null;
    const report = await runCheck(
      shared === null ? input : { ...input, stretches: shared.stretches },
      options,
      sizesOf(database, tables),
      shared?.crypto,
    );
    return {
      ...report,
      isSound: report.isSound && before.every((one) => one.severity !== 'broken'),
      // What was found in the content names its place better than what the database says of its pages.
      findings: [...report.findings, ...before].sort((a, b) => weight[a.severity] - weight[b.severity]),
    };
  } catch (error) {
    if (storageProblem(error)?.reason !== 'damaged') throw error;
    return {
      isSound: false,
      checked: [],
      findings: [...before, finding('broken', 'database-unreadable', 'the file')],
      trustworthy: recordSentences['nothing-readable']?.({}) ?? '',
      head: '',
      headSeq: 0,
      departmentFingerprint: '',
    };
  }
}

const witnessOf = (row: StoredRow): Witness => ({
  notebook: String(row['notebook']),
  seq: Number(row['seq']),
  head: String(row['head']),
  source: String(row['source']),
  seenAt: String(row['seen_at']),
});

/** In the order of the key of each table; the trail in the order of its places. */
const orderOf: Readonly<Record<string, string>> = { event: 'seq', foreign_event: 'notebook, seq' };

function rowsOf(database: Database.Database, table: string): Iterable<StoredRow> {
  const order = orderOf[table] ?? 'rowid';
  const statement = database.prepare(`select * from "${table}" order by ${order}`);
  return { [Symbol.iterator]: () => statement.iterate() as IterableIterator<StoredRow> };
}

function sizesOf(database: Database.Database, tables: ReadonlySet<string>): Sizes {
  const count = (...names: readonly string[]): number =>
    names
      .filter((name) => tables.has(name))
      .reduce(
        (sum, name) => sum + Number(database.prepare(`select count(*) from "${name}"`).pluck().get()),
        0,
      );
  return {
    trail: count('event'),
    versions: count('version'),
    signatures: count('signature'),
    rows: count('notebook', 'person', 'sealed_key', 'record', 'entry', 'draft', 'comment', 'attachment'),
    attachments: count('attachment'),
  };
}

function integrityFaults(database: Database.Database): readonly string[] {
  try {
    const lines = database.pragma('integrity_check(10)') as { readonly integrity_check: string }[];
    return lines.map((line) => line.integrity_check).filter((line) => line !== 'ok');
  } catch (error) {
    // An index over JSON cannot be recomputed where the JSON itself was damaged: SQLite stops there.
    if (error instanceof Error && 'code' in error) return [error.message];
    throw error;
  }
}

/** SQLite's own check of its pages, indexes and constraints. */
function integrity(database: Database.Database): readonly CheckFinding[] {
  const faults = integrityFaults(database);
  if (faults.length > 0) {
    return [finding('broken', 'database-damaged', 'the file', { count: faults.length })];
  }
  const dangling = database.pragma('foreign_key_check') as readonly { readonly table: string }[];
  return dangling.length === 0
    ? []
    : [
        finding('broken', 'rows-without-parent', `the table ${dangling[0]?.table ?? ''}`, {
          count: dangling.length,
        }),
      ];
}

/**
 * The tables and guards (triggers) a file of this version has. Whoever can write the file can also
 * drop a guard and put it back, so this is a hint and never the proof.
 */
async function guards(database: Database.Database): Promise<readonly CheckFinding[]> {
  const expected = await expectedSchema(Number(database.pragma('user_version', { simple: true })));
  const found = schemaOf(database);
  const findings: CheckFinding[] = [];
  for (const [name, sql] of expected) {
    const there = found.get(name);
    if (there === undefined) findings.push(finding('doubtful', 'guard-missing', `the file’s ${name}`));
    else if (there !== sql) findings.push(finding('doubtful', 'guard-changed', `the file’s ${name}`));
  }
  for (const name of found.keys()) {
    if (!expected.has(name)) findings.push(finding('doubtful', 'guard-unknown', `the file’s ${name}`));
  }
  return findings;
}
