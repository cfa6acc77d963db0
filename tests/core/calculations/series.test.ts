import { describe, expect, it } from 'vitest';
import { calculationById } from '../../../core/calculations/index.ts';
import { groupCalculations } from '../../../renderer/components/worksheets/group-calculations.ts';
import { problemsUnder, sortProblems } from '../../../renderer/components/worksheets/sort-problems.ts';

const drying = calculationById('drying-to-constant-mass')!;
const grams = (text: string) => ({ mass: { text, unit: 'g' as const } });

describe('a series', () => {
  it('passes over lines that nobody has written in', () => {
    const within = { text: '0.005', unit: 'g' as const };
    const full = drying.work({ weighings: [grams('2.106'), grams('2.104')], within });
    const gapped = drying.work({ weighings: [{}, grams('2.106'), grams(' '), {}, grams('2.104')], within });
    expect(full.problems).toEqual([]);
    expect(gapped.problems).toEqual([]);
    expect(gapped.workings.map(({ result }) => result.value)).toEqual(
      full.workings.map(({ result }) => result.value),
    );
  });

  it('counts blank lines as none', () => {
    const { problems } = drying.work({ weighings: [{}, {}, grams('2.1')] });
    expect(problems.map(({ code, where }) => `${code} ${where}`)).toContain('series-too-short weighings');
  });

  it('names the line as it stands on the form, blank ones counted', () => {
    const { problems } = drying.work({ weighings: [grams('2.1'), {}, grams('2,0'), grams('2.0')] });
    expect(problems.map(({ where }) => where)).toContain('weighings.2.mass');
  });
});

describe('sortProblems', () => {
  it('puts a fault beside its field and lists what is blank by its label', () => {
    const stem = calculationById('stem-correction')!;
    const outcome = stem.work({ liquid: 'mercury', reading: { text: '24O', unit: '°C' } });
    const sorted = sortProblems(outcome.problems, stem.fields);
    expect([...sorted.beside.keys()]).toEqual(['reading']);
    expect(sorted.blank).toEqual(['Immersed to the mark', 'Mean temperature of the stem']);
    expect(problemsUnder(sorted, 'reading')).toHaveLength(1);
    expect(sorted.general).toEqual([]);
  });

  it('finds a fault inside a series under the series', () => {
    const { problems } = drying.work({ weighings: [grams('x'), grams('2.0')] });
    const sorted = sortProblems(problems, drying.fields);
    expect(problemsUnder(sorted, 'weighings').map(({ where }) => where)).toEqual(['weighings.0.mass']);
  });
});

describe('groupCalculations', () => {
  it('leaves none out, each once', () => {
    const ids = groupCalculations('').flatMap((group) => group.calculations.map(({ id }) => id));
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.every((id) => calculationById(id) !== undefined)).toBe(true);
    expect(ids.length).toBeGreaterThanOrEqual(25);
  });

  it('finds by words in any order, whatever their case', () => {
    const found = groupCalculations('MIXTURE ice').flatMap((group) => group.calculations.map(({ id }) => id));
    expect(found).toContain('ice-for-cooling');
    expect(groupCalculations('philosopher')).toEqual([]);
  });
});
