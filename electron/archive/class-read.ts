import type { CheckFinding, CheckReport } from '../../core/contract/views.ts';
import { recordSentences } from '../../core/wording/record.ts';
import type { CheckOptions } from '../check/run-check.ts';
import { together, unopened, type NamedReport } from '../check/together.ts';
import { decodeText, validateBag, type BagSource } from './bag.ts';
import { classListName, readClassList, type ClassLine, type ClassList } from './class-list.ts';
import { checkRecordBag, checkSeal, needed, readSeal } from './deposit-read.ts';
import { depositSource } from './deposit-source.ts';
import { PackageProblem } from './zip-read.ts';

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
  const broken = (code: string, place: string): void => {
    outer.push({ severity: 'broken', code, place, sentence: recordSentences[code]?.({}) ?? code });
  };
  for (const fault of await validateBag(source)) broken(fault.code, `the file ${fault.place}`);
  await checkSeal(await readSeal(source), list.departmentKey, source, broken);
  const reports: NamedReport[] = [];
  const unpinned: CheckFinding[] = [];
  for (const [index, line] of list.records.entries()) {
    options.signal?.throwIfAborted();
    options.onProgress?.(index / list.records.length, line.owner);
    const report = await checkOne(source, line, list, options);
    // That no key was pinned is said once, and not by every record.
    const [own, common] = [
      report.findings.filter((one) => one.code !== 'key-not-pinned'),
      report.findings.filter((one) => one.code === 'key-not-pinned'),
    ];
    if (unpinned.length === 0) unpinned.push(...common);
    reports.push({ name: line.file, report: { ...report, findings: own } });
  }
  options.onProgress?.(1, 'done');
  const report = together(reports);
  const isWhole = outer.length === 0;
  return {
    ...report,
    isSound: report.isSound && isWhole,
    findings: [...outer, ...report.findings, ...unpinned],
    trustworthy:
      isWhole || !report.isSound
        ? report.trustworthy
        : (recordSentences['class-records-good']?.({}) ?? report.trustworthy),
  };
}

async function checkOne(
  source: BagSource,
  line: ClassLine,
  list: ClassList,
  { onProgress: _outer, ...options }: CheckOptions,
): Promise<CheckReport> {
  try {
    const { report, departmentKey } = await withRecord(source, line, (record) =>
      checkRecordBag(record, options),
    );
    // Records of the department in a list under a key of somebody else's are not its deposit.
    return departmentKey === list.departmentKey ? report : withBroken(report, 'class-of-others');
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
      place: 'the department’s seal',
      sentence: recordSentences[code]?.({}) ?? code,
    },
    ...report.findings,
  ],
});
