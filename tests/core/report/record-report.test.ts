import { describe, expect, it } from 'vitest';
import { recordReport } from '../../../core/report/record-report.ts';
import type { Block, Line } from '../../../core/report/report-document.ts';
import { sampleRecord } from './sample-bundle.ts';

const words = (line: Line): string => line.map((run) => run.text).join('');
const only = <K extends Block['kind']>(blocks: readonly Block[] | undefined, kind: K) =>
  (blocks ?? []).find((block): block is Extract<Block, { kind: K }> => block.kind === kind);

describe('recordReport', () => {
  const record = sampleRecord(3);
  const report = recordReport(record);

  it('has a certificate page, an index page and then every entry', () => {
    expect(report.parts.map((part) => part.id)).toEqual([
      'certificate',
      'index',
      'entry:e-1',
      'entry:e-2',
      'entry:e-3',
    ]);
    expect(report.title).toBe('Practical record, spring term: Mira Ashdown');
    expect(report.createdAt).toBe(record.createdAt);
  });

  it('certifies what is bound, by whom, under which department and key', () => {
    const page = only(report.parts[0]?.blocks, 'certificate');
    expect(page).toMatchObject({ institution: 'Ashgrove College', department: 'Department of Chemistry' });
    expect(page?.stamp).toMatchObject({
      text: 'Department of Chemistry',
      date: '30 June 2027',
      ink: 'department',
    });
    expect(words(page?.statement[0] ?? [])).toContain(
      'There are 3 entries; all of them are reviewed, countersigned and locked.',
    );
    expect((page?.notes ?? []).map(words).join('\n')).toContain(
      'Key of the department: 9C41 7A20 55EE 01BF 3D68',
    );
    expect((page?.notes ?? []).map(words).join('\n')).toMatch(
      /Head of the audit trail when bound: ([0-9A-F]{4} ?){5}, event 118/,
    );
  });

  it('counts only what is locked', () => {
    const [first, ...others] = record.entries;
    if (first === undefined) throw new Error('no entry');
    const open = { ...first, entry: { ...first.entry, state: 'signed' as const } };
    const page = only(
      recordReport({ ...record, entries: [open, ...others] }).parts[0]?.blocks,
      'certificate',
    );
    expect(words(page?.statement[0] ?? [])).toContain('2 of them are reviewed');
  });

  it('lists number, date, title, state, initials and mark, and leads to the entry', () => {
    const index = only(report.parts[1]?.blocks, 'index');
    expect(index?.rows).toHaveLength(3);
    expect(index?.rows[1]).toMatchObject({
      part: 'entry:e-2',
      number: '2',
      date: '9 March 2027',
      title: [{ text: 'Acetylsalicylic acid' }],
      state: [{ text: 'countersigned' }],
      mark: '8/10',
    });
    expect(index?.rows[1]?.initials.map((run) => [run.text.trim(), run.ink])).toEqual([
      ['MA', 'student'],
      ['HW', 'instructor'],
    ]);
  });

  it('is bound even when there is nothing in it', () => {
    const empty = recordReport({ ...record, entries: [] });
    expect(empty.parts).toHaveLength(2);
    expect(only(empty.parts[1]?.blocks, 'paragraph')?.line[0]?.text).toBe('There are no entries yet.');
  });
});
