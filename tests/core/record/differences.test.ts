import fc from 'fast-check';
import { instruments } from '../../../core/quantity/instruments.ts';
import { instrumentText } from '../../../core/record/content-text.ts';
import { describe, expect, it } from 'vitest';
import type { EntryContent } from '../../../core/record/content.ts';
import { changedPassage, changesForTrail, differencesBetween } from '../../../core/record/differences.ts';
import { coalesceChanges, isDraftAuditDue } from '../../../core/record/draft-audit.ts';
import { textDifference } from '../../../core/record/text-difference.ts';
import { sampleContent } from './sample-content.ts';

const content = sampleContent();
const [salicylic, anhydride] = content.rows as [EntryContent['rows'][number], EntryContent['rows'][number]];
const step = content.steps[0]!;
const record = content.stepRecords[0]!;

describe('differencesBetween', () => {
  it('finds none between equal contents', () => {
    expect(differencesBetween(content, structuredClone(content))).toEqual([]);
  });

  it('names the row and the cell in words', () => {
    const now = {
      ...content,
      rows: [
        {
          ...salicylic,
          taken: { by: 'mass' as const, entered: { text: '4.47', unit: 'g' as const }, instrument: null },
        },
        anhydride,
      ],
    };
    expect(differencesBetween(content, now)).toEqual([
      {
        section: 'reagents',
        label: 'Reagents, salicylic acid: taken',
        path: 'rows.r1.taken',
        old: '4.52 g, with balance 0 01',
        new: '4.47 g',
      },
    ]);
  });

  it('tells a half-written strength in words, never as bytes', () => {
    const as = (strength: object | null): EntryContent =>
      ({
        ...content,
        rows: [{ ...salicylic, supply: { kind: 'solution', strength } }, anhydride],
      }) as EntryContent;
    const chosen = { kind: 'mass-fraction', entered: { text: '', unit: '% w/w' }, density: null };
    const [difference] = differencesBetween(as(null), as(chosen));
    expect(difference).toMatchObject({
      old: 'kind solution',
      new: 'kind solution, strength entered unit % w/w, strength kind mass-fraction',
    });
  });

  it('keeps 4.50 and 4.5 apart', () => {
    const result = {
      ...content.result,
      pure: { ...content.result.pure, mass: { text: '4.10', unit: 'g' as const } },
    };
    expect(differencesBetween(content, { ...content, result })).toMatchObject([
      { label: 'Result: pure mass', old: '4.1 g, with balance 0 01', new: '4.10 g, with balance 0 01' },
    ]);
  });

  it('reports a row that came or went in one line, and no move of the others', () => {
    const added = { ...salicylic, id: 'r0', name: 'sulfuric acid', planned: null, taken: null };
    const now = { ...content, rows: [added, salicylic, anhydride] };
    const differences = differencesBetween(content, now);
    expect(differences).toHaveLength(1);
    expect(differences[0]).toMatchObject({ label: 'Reagents, sulfuric acid: added', old: '' });
    expect(differences[0]?.new).toContain('formula C7H6O3');
    expect(differencesBetween(now, content)).toMatchObject([
      { label: 'Reagents, sulfuric acid: removed', new: '' },
    ]);
  });

  it('reports rows that changed places by their names', () => {
    const now = { ...content, rows: [anhydride, salicylic] };
    expect(differencesBetween(content, now)).toEqual([
      {
        section: 'reagents',
        label: 'Reagents: order of the rows',
        path: 'rows.order',
        old: 'salicylic acid, acetic anhydride',
        new: 'acetic anhydride, salicylic acid',
      },
    ]);
  });

  it('matches steps by id when one is put in front', () => {
    const first = { ...step, id: 's0', text: 'Weigh out the acid.' };
    const now = { ...content, steps: [first, step] };
    expect(differencesBetween(content, now)).toMatchObject([{ label: 'Procedure, step 1: added' }]);
  });

  it('treats a step record with nothing in it like none', () => {
    const blank = { stepId: 's9', started: null, done: null, readings: [], seen: '', deviation: '' };
    expect(differencesBetween(content, { ...content, stepRecords: [record, blank] })).toEqual([]);
  });

  it('shows a corrected time with its reason', () => {
    const done = {
      ...record.done!,
      correction: { at: '2027-03-09T09:15:00.000Z', reason: 'noted late' },
    };
    const now = { ...content, stepRecords: [{ ...record, done }] };
    expect(differencesBetween(content, now)).toMatchObject([
      {
        label: 'Observations, step 1: done',
        old: '9 March 2027, 10:16:00 (UTC+01:00)',
        new: '9 March 2027, 10:15:00 (UTC+01:00), corrected from 9 March 2027, 10:16:00 (UTC+01:00): noted late',
      },
    ]);
  });

  /** Every leaf of the content, changed one at a time, must be reported: nothing is left out of the view. */
  it('misses no field of the content', () => {
    const earlier = {
      entryId: 'e0',
      entryNumber: 1,
      title: 'Benzoic acid',
      yield: { text: '71.4', unit: '%' as const },
      yieldUncertainty: { text: '0.6', unit: '%' as const },
    };
    const origin = {
      ...earlier,
      recordId: 'r0',
      mass: { text: '3.2', unit: 'g' as const },
      lines: [[earlier]],
    };
    const full = {
      ...content,
      rows: [
        { ...salicylic, origin },
        {
          ...anhydride,
          supply: {
            kind: 'solution' as const,
            strength: {
              kind: 'mass-fraction' as const,
              entered: { text: '37', unit: '% w/w' as const },
              density: { text: '1.18', unit: 'g/mL' as const },
            },
          },
        },
      ],
      hazards: content.hazards,
      worksheets: [
        {
          id: 'w1',
          calculation: 'dilution',
          inputs: { volume: { text: '100', unit: 'mL' as const }, method: 'by-volume' },
          remark: 'for the wash',
        },
      ],
      expectedYield: { text: '75', unit: '%' as const },
      productRowId: 'r1',
      literature: {
        meltingRange: {
          from: { text: '135', unit: '°C' as const },
          to: { text: '136', unit: '°C' as const },
          source: 'a handbook',
        },
        boilingPoint: {
          value: { text: '142', unit: '°C' as const },
          pressure: { text: '101.3', unit: 'kPa' as const },
          source: 'a handbook',
        },
        refractiveIndex: {
          value: { text: '1.4000', unit: '1' as const },
          temperature: { text: '20', unit: '°C' as const },
          source: 'a handbook',
        },
      },
      result: {
        ...content.result,
        boilingRange: {
          from: { text: '141', unit: '°C' as const },
          to: { text: '143', unit: '°C' as const },
          pressure: { text: '101', unit: 'kPa' as const },
        },
        refractiveIndex: {
          value: { text: '1.4002', unit: '1' as const },
          temperature: { text: '21', unit: '°C' as const },
        },
      },
      attachments: [
        {
          sha256: 'ab'.repeat(32),
          name: 'a.csv',
          mediaType: 'text/csv',
          sizeBytes: 5,
          section: 'result' as const,
          caption: 'bath',
        },
      ],
    } satisfies EntryContent;
    const missed: string[] = [];
    let tried = 0;
    const visit = (value: unknown, path: readonly (string | number)[]): void => {
      if (typeof value === 'string' || typeof value === 'number') {
        if (path.at(-1) === 'format') return;
        const copy = structuredClone(full) as unknown as Record<string, unknown>;
        let place = copy;
        for (const key of path.slice(0, -1)) place = place[String(key)] as Record<string, unknown>;
        place[String(path.at(-1))] = typeof value === 'number' ? value + 1 : `${value}x`;
        tried += 1;
        if (differencesBetween(full, copy as unknown as EntryContent).length === 0)
          missed.push(path.join('.'));
        return;
      }
      if (typeof value === 'object' && value !== null) {
        for (const [key, member] of Object.entries(value)) visit(member, [...path, key]);
      }
    };
    visit(full, []);
    expect(missed).toEqual([]);
    expect(tried).toBeGreaterThan(100);
  });
});

describe('what the list of fields does not know', () => {
  it('is reported all the same, wherever it stands', () => {
    const extended = (value: object): never => ({ ...value, later: { added: 'x' } }) as never;
    const cases: readonly EntryContent[] = [
      extended(content),
      { ...content, rows: [extended(salicylic), anhydride] },
      { ...content, steps: [extended(step)] },
      { ...content, stepRecords: [extended(record)] },
      { ...content, hazards: content.hazards.map(extended) },
      { ...content, result: extended(content.result) },
    ];
    for (const now of cases) {
      const differences = differencesBetween(content, now);
      expect(differences).toHaveLength(1);
      expect(differences[0]?.new).toBe('later added x');
    }
  });
});

describe('changesForTrail', () => {
  it('names fields in words and cuts a long text down to the passage that changed', () => {
    const long = 'The mixture was stirred. '.repeat(40);
    const before = { ...content, discussion: `${long}It was warm. ${long}` };
    const now = { ...content, discussion: `${long}It was cold. ${long}` };
    const changes = changesForTrail(differencesBetween(before, now));
    expect(changes).toHaveLength(1);
    expect(changes[0]?.path).toBe('Discussion');
    expect(changes[0]?.old).toContain('It was warm.');
    expect(changes[0]?.new).toContain('It was cold.');
    expect(changes[0]?.old.length).toBeLessThan(100);
  });

  it('leaves short texts whole', () => {
    expect(changedPassage('one', 'two')).toEqual({ old: 'one', new: 'two' });
  });

  it('never splits a character', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 300 }),
        fc.string({ unit: 'binary', maxLength: 300 }),
        (a, b) => {
          const pad = 'x'.repeat(250);
          const { old, new: now } = changedPassage(pad + a, pad + b);
          expect(old.isWellFormed() && now.isWellFormed()).toBe(true);
        },
      ),
    );
  });
});

describe('coalesceChanges', () => {
  it('keeps the first old and the last new value of each field', () => {
    expect(
      coalesceChanges(
        [{ path: 'Aim', old: '', new: 'To' }],
        [{ path: 'Aim', old: 'To', new: 'To make' }],
        [{ path: 'Result: pure mass', old: '', new: '4.1 g' }],
      ),
    ).toEqual([
      { path: 'Aim', old: '', new: 'To make' },
      { path: 'Result: pure mass', old: '', new: '4.1 g' },
    ]);
  });

  it('drops what was taken back', () => {
    expect(
      coalesceChanges([{ path: 'Aim', old: 'a', new: 'b' }], [{ path: 'Aim', old: 'b', new: 'a' }]),
    ).toEqual([]);
  });
});

describe('isDraftAuditDue', () => {
  const at = (seconds: number): string => new Date(Date.UTC(2027, 2, 9, 9, 0, seconds)).toISOString();
  it.each([
    ['nothing pending', null, null, { at: at(10), person: 'ada' }, false],
    ['within a minute', at(0), 'ada', { at: at(59), person: 'ada' }, false],
    ['after a minute', at(0), 'ada', { at: at(60), person: 'ada' }, true],
    ['another person', at(0), 'ada', { at: at(1), person: 'ben' }, true],
    ['the clock set back', at(30), 'ada', { at: at(0), person: 'ada' }, true],
    ['no instant at all', 'yesterday', 'ada', { at: at(0), person: 'ada' }, true],
  ] as const)('with %s', (_, since, by, save, due) => {
    expect(isDraftAuditDue(since, by, save)).toBe(due);
  });
});

describe('textDifference', () => {
  it('marks words, not letters', () => {
    expect(textDifference('The yield was low.', 'The yield was very low.')).toEqual([
      { kind: 'same', text: 'The yield was ' },
      { kind: 'added', text: 'very ' },
      { kind: 'same', text: 'low.' },
    ]);
    expect(textDifference('washed with water', 'washed with ethanol')).toEqual([
      { kind: 'same', text: 'washed with ' },
      { kind: 'removed', text: 'water' },
      { kind: 'added', text: 'ethanol' },
    ]);
  });

  it('reads back as both texts, for any two', () => {
    const text = fc.oneof(
      fc.string({ maxLength: 60 }),
      fc
        .array(fc.constantFrom('a ', 'b ', 'c', '\n', '. ', 'é', '4.50 g '), { maxLength: 40 })
        .map((l) => l.join('')),
    );
    fc.assert(
      fc.property(text, text, (old, now) => {
        const pieces = textDifference(old, now);
        const side = (leftOut: string): string =>
          pieces
            .filter((piece) => piece.kind !== leftOut)
            .map((piece) => piece.text)
            .join('');
        expect(side('added')).toBe(old);
        expect(side('removed')).toBe(now);
        for (const [i, piece] of pieces.entries()) expect(piece.kind).not.toBe(pieces[i + 1]?.kind);
      }),
      { numRuns: 1000 },
    );
  });

  it('is as short as the longest common subsequence allows', () => {
    const word = fc.constantFrom('a ', 'b ', 'c ');
    fc.assert(
      fc.property(fc.array(word, { maxLength: 12 }), fc.array(word, { maxLength: 12 }), (a, b) => {
        // Textbook dynamic programming for the length of the longest common subsequence.
        const table = Array.from({ length: a.length + 1 }, () => new Array<number>(b.length + 1).fill(0));
        for (let i = 1; i <= a.length; i += 1) {
          for (let j = 1; j <= b.length; j += 1) {
            table[i]![j] =
              a[i - 1] === b[j - 1]
                ? table[i - 1]![j - 1]! + 1
                : Math.max(table[i - 1]![j]!, table[i]![j - 1]!);
          }
        }
        const kept = textDifference(a.join(''), b.join(''))
          .filter((piece) => piece.kind === 'same')
          .map((piece) => piece.text.length)
          .reduce((sum, n) => sum + n, 0);
        expect(kept).toBe(2 * table[a.length]![b.length]!);
      }),
      { numRuns: 500 },
    );
  });

  it('takes 100 kB of pasted text in its stride', () => {
    const long = 'word '.repeat(20_000);
    const started = performance.now();
    const pieces = textDifference(long, `${long.slice(0, 50_000)}changed ${long.slice(50_000)}`);
    expect(pieces.filter((piece) => piece.kind === 'added')).toEqual([{ kind: 'added', text: 'changed ' }]);
    textDifference(long, 'other '.repeat(20_000));
    expect(performance.now() - started).toBeLessThan(2000);
  });
});

describe('what was measured with, in words', () => {
  it('tells every instrument of the list from every other', () => {
    const names = instruments.map(({ id }) => instrumentText(id));
    expect(new Set(names).size).toBe(instruments.length);
    expect(instrumentText('cylinder-iso-10-b')).toBe('10 mL measuring cylinder, class B (ISO)');
  });
});
