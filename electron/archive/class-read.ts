import type { CheckFinding, CheckReport } from '../../core/contract/views.ts';
import type { Problem } from '../../core/result.ts';
import { recordSentences } from '../../core/wording/record.ts';
import type { CheckOptions } from '../check/run-check.ts';
import { together, unopened, type NamedReport } from '../check/together.ts';
import { decodeText, validateBag, type BagSource } from './bag.ts';
import { classListName, readClassList, type ClassLine, type ClassList } from './class-list.ts';
import { sha256 } from '../keys/crypto.ts';
import { checkRecordBag, checkSeal, needed, readSeal, strangeFiles } from './deposit-read.ts';
import { depositSource } from './deposit-source.ts';
import { newestVersions } from './hand-in.ts';
import { PackageProblem } from './zip-read.ts';

/** The entries the department signed for over the whole class, and which of them were met so far. */
interface Sealing {
  readonly byEntry: ReadonlyMap<string, string>;
  readonly met: Set<string>;
}

/** The list of a class deposited together. @throws PackageProblem */
export async function classListOf(source: BagSource): Promise<ClassList> {
  const list = readClassList(decodeText(await needed(source, classListName)));
  if (!list.ok) throw new PackageProblem(list.error.code, list.error.facts);
  return list.value;
}

/** Opens one record of a class, works with it and closes it. @throws PackageProblem */
export async function withRecord<T>(
  source: BagSource,
  line: ClassLine,
  act: (record: BagSource) => Promise<T>,
): Promise<T> {
  const opened = await depositSource(await needed(source, `data/${line.file}`));
  if (!opened.ok) throw new PackageProblem(opened.error.code, opened.error.facts);
  try {
    return await act(opened.value.source);
  } finally {
    opened.value.close();
  }
}

/**
 * Checks a class deposited as one bag: the list of files and the seal over it, then each record by
 * itself, one in memory at a time. One that is damaged spoils no other.
 *
 * @throws PackageProblem where the bag cannot be read at all
 */
export async function checkClassBag(source: BagSource, options: CheckOptions): Promise<CheckReport> {
  const list = await classListOf(source);
  const outer: CheckFinding[] = [];
  const broken = (code: string, place: string, facts: Problem['facts'] = {}): void => {
    outer.push({ severity: 'broken', code, place, sentence: recordSentences[code]?.(facts) ?? code });
  };
  for (const fault of await validateBag(source)) broken(fault.code, `the file ${fault.place}`);
  const statement = await checkSeal(await readSeal(source), list.departmentKey, source, broken);
  const sealing: Sealing | null =
    statement === null
      ? null
      : {
          byEntry: new Map(statement.entries.map(({ entry, versionHash }) => [entry, versionHash])),
          met: new Set(),
        };
  const reports: NamedReport[] = [];
  const unpinned: CheckFinding[] = [];
  for (const [index, line] of list.records.entries()) {
    options.signal?.throwIfAborted();
    options.onProgress?.(index / list.records.length, line.owner);
    const report = await checkOne(source, line, { list, sealing }, options);
    // That no key was pinned is said once, and not by every record.
    const [own, common] = [
      report.findings.filter((one) => one.code !== 'key-not-pinned'),
      report.findings.filter((one) => one.code === 'key-not-pinned'),
    ];
    if (unpinned.length === 0) unpinned.push(...common);
    reports.push({ name: line.file, report: { ...report, findings: own } });
  }
  options.onProgress?.(1, 'done');
  for (const place of unlisted(source, list)) {
    // One that the list of files does not speak of either was named already.
    if (!outer.some((one) => one.place === place)) broken('class-record-unlisted', place);
  }
  const gone = sealing === null ? 0 : [...sealing.byEntry.keys()].filter((id) => !sealing.met.has(id)).length;
  if (gone > 0) broken('class-entries-gone', 'the list of the class', { count: gone });
  const report = together(reports);
  const isWhole = outer.length === 0;
  return {
    ...report,
    isSound: report.isSound && isWhole,
    findings: [...outer, ...report.findings, ...strangeFiles(source), ...unpinned],
    trustworthy:
      isWhole || !report.isSound
        ? report.trustworthy
        : (recordSentences['class-records-good']?.({}) ?? report.trustworthy),
  };
}

/** Files among the records that the list of the class does not speak of. */
function unlisted(source: BagSource, list: ClassList): readonly string[] {
  const listed = new Set(list.records.map((one) => `data/${one.file}`));
  return source.names
    .filter((name) => name.startsWith('data/records/') && !listed.has(name))
    .map((name) => `the file ${name}`);
}

async function checkOne(
  source: BagSource,
  line: ClassLine,
  { list, sealing }: { readonly list: ClassList; readonly sealing: Sealing | null },
  { onProgress: _outer, ...options }: CheckOptions,
): Promise<CheckReport> {
  try {
    const isListed = sha256(await needed(source, `data/${line.file}`)) === line.sha256;
    const { report, bundle } = await withRecord(source, line, (record) => checkRecordBag(record, options));
    const newest = newestVersions(bundle);
    for (const { entry } of newest) sealing?.met.add(entry);
    // A record may be whole and the department's, and yet not the one that was deposited here.
    const isSealed = newest.every(
      ({ entry, versionHash }) => sealing === null || sealing.byEntry.get(entry) === versionHash,
    );
    // Records of the department in a list under a key of somebody else's are not its deposit.
    const isOfOthers = bundle.departmentKey !== list.departmentKey;
    return [
      ...(isListed && isSealed ? [] : ['class-record-exchanged']),
      ...(isOfOthers ? ['class-of-others'] : []),
    ].reduce(withBroken, report);
  } catch (error) {
    if (error instanceof PackageProblem) return unopened(error.problem);
    throw error;
  }
}

const withBroken = (report: CheckReport, code: string): CheckReport => ({
  ...report,
  isSound: false,
  findings: [
    {
      severity: 'broken',
      code,
      place: code === 'class-of-others' ? 'the department’s seal' : 'this record as a whole',
      sentence: recordSentences[code]?.({}) ?? code,
    },
    ...report.findings,
  ],
});
