import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import type { TrailLine } from '../../../core/contract/views.ts';
import { csvCell, trailTableHead, trailTableRows } from '../../../core/record/trail-table.ts';

const line: TrailLine = {
  seq: 7,
  at: '2026-03-02T13:10:00.000Z',
  offsetMinutes: -60,
  who: '=cmd|calc!A1',
  role: 'student',
  action: 'draft.save',
  what: 'changed the draft of entry 3, in 2 places',
  changes: [
    { path: 'discussion', old: 'one, "two"', new: 'line\r\nbreak' },
    { path: 'result.pure', old: '+1', new: '−3 g' },
  ],
  reason: '@SUM(A1)',
  device: 'bench-7',
  isClockBack: true,
  hash: 'ab'.repeat(32),
};

describe('trail table', () => {
  it('shows formulas instead of running them, and leaves numbers numbers', () => {
    for (const bad of ['=1+1', '+A1', '-A1', '@x', '\t=1', '\r=1', ' =1', '＝1', '|x']) {
      expect(csvCell(bad).replace(/^"/, '').startsWith("'"), bad).toBe(true);
    }
    expect(csvCell(-60)).toBe('-60');
    expect(csvCell('1.50')).toBe('1.50');
    expect(csvCell('plain')).toBe('plain');
  });

  it('is read back by an independent reader, cell for cell', () => {
    const text = `${trailTableHead()}${trailTableRows(line)}`;
    const script =
      'import csv,io,json,sys; print(json.dumps(list(csv.reader(io.StringIO(sys.stdin.buffer.read().decode("utf-8-sig"), newline="")))))';
    const rows = JSON.parse(
      execFileSync('python3', ['-c', script], { input: text, encoding: 'utf8' }),
    ) as string[][];
    expect(rows).toHaveLength(3);
    expect(new Set(rows.map((row) => row.length))).toEqual(new Set([13]));
    expect(rows[1]?.slice(0, 10)).toEqual([
      '7',
      '2026-03-02T13:10:00.000Z',
      '-60',
      "'=cmd|calc!A1",
      'student',
      'changed the draft of entry 3, in 2 places',
      'discussion',
      'one, "two"',
      'line\r\nbreak',
      "'@SUM(A1)",
    ]);
    expect(rows[2]?.slice(6, 9)).toEqual(['result.pure', "'+1", '−3 g']);
  });
});
