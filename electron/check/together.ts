import type { CheckReport } from '../../core/contract/views.ts';
import type { Problem } from '../../core/result.ts';
import { recordSentences } from '../../core/wording/record.ts';

export interface NamedReport {
  readonly name: string;
  readonly report: CheckReport;
}

/** The report on something that could not even be opened. */
export function unopened({ code, facts }: Problem): CheckReport {
  const sentence = recordSentences[code]?.(facts) ?? code;
  return {
    isSound: false,
    checked: [],
    findings: [{ severity: 'broken', code, place: 'the deposit as a whole', sentence }],
    trustworthy: recordSentences['nothing-readable']?.({}) ?? '',
    head: '',
    headSeq: 0,
    departmentFingerprint: '',
  };
}

/** Several reports as one; each finding says in which of them it is. */
export function together(reports: readonly NamedReport[]): CheckReport {
  const counts = new Map<string, number>([['deposits', reports.length]]);
  for (const { what, count } of reports.flatMap(({ report }) => report.checked)) {
    counts.set(what, (counts.get(what) ?? 0) + count);
  }
  const keys = new Set(reports.map(({ report }) => report.departmentFingerprint).filter((key) => key !== ''));
  const bad = reports.filter(({ report }) => !report.isSound).map(({ name }) => name);
  return {
    isSound: bad.length === 0,
    checked: [...counts].map(([what, count]) => ({ what, count })),
    findings: reports.flatMap(({ name, report }) =>
      report.findings.map((one) => ({ ...one, place: `${name}: ${one.place}` })),
    ),
    trustworthy:
      bad.length === 0
        ? (reports[0]?.report.trustworthy ?? '')
        : (recordSentences['some-deposits']?.({
            good: reports.length - bad.length,
            count: reports.length,
            names: bad.join(', '),
          }) ?? ''),
    head: '',
    headSeq: 0,
    departmentFingerprint: keys.size === 1 ? ([...keys][0] ?? '') : '',
  };
}
