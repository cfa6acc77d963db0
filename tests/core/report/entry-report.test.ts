import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { emptyContent } from '../../../core/entry/empty-content.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import type { EntryBundle } from '../../../core/report/bundle.ts';
import { entryReport } from '../../../core/report/entry-report.ts';
import type { Block, Cell, Line, ReportDocument, SpreadRow } from '../../../core/report/report-document.ts';
import { deferral } from '../../../core/report/sections/hazards.ts';
import { plainText } from '../../../core/workings/markup.ts';
import { firstContent, mark, sampleBundle, sampleVersions } from './sample-bundle.ts';

const words = (line: Line): string => line.map((run) => run.text).join('');
const cellWords = (cell: Cell | undefined): string => (cell ?? []).map(words).join(' | ');

/** Everything a reader would see, block by block. */
function allText(report: ReportDocument): string {
  const found: string[] = [];
  const look = (value: unknown): void => {
    if (Array.isArray(value)) {
      // A line reads as one text, however many runs it has.
      if (
        value.length > 0 &&
        value.every((one) => typeof one === 'object' && one !== null && 'text' in one && !('kind' in one))
      ) {
        found.push(value.map((run) => (run as { text: string }).text).join(''));
      } else value.forEach(look);
    } else if (typeof value === 'string') found.push(value);
    else if (typeof value === 'object' && value !== null) Object.values(value).forEach(look);
  };
  look(report.parts);
  return found.join('\n');
}

const blocksOf = (bundle: EntryBundle): readonly Block[] => entryReport(bundle).parts[0]?.blocks ?? [];
const ofKind = <K extends Block['kind']>(blocks: readonly Block[], kind: K) =>
  blocks.filter((block): block is Extract<Block, { kind: K }> => block.kind === kind);

/** The blocks under a heading of the second level. */
function under(blocks: readonly Block[], title: string): readonly Block[] {
  const isHeading = (block: Block): boolean => block.kind === 'heading' && block.level === 2;
  const from = blocks.findIndex(
    (block) => isHeading(block) && block.kind === 'heading' && words(block.line) === title,
  );
  if (from < 0) throw new Error(`no heading ${title}`);
  const length = blocks.slice(from + 1).findIndex(isHeading);
  return blocks.slice(from + 1, length < 0 ? undefined : from + 1 + length);
}
const rowOf = (blocks: readonly Block[], name: string): SpreadRow => {
  const row = ofKind(blocks, 'spread')
    .flatMap((block) => block.rows)
    .find((one) => one.left.some((cell) => cellWords(cell).startsWith(name)));
  if (row === undefined) throw new Error(`no row ${name}`);
  return row;
};
const draft = (content: EntryContent): EntryBundle => {
  const bundle = sampleBundle();
  return {
    ...bundle,
    entry: { ...bundle.entry, state: 'draft', mark: '' },
    shown: { n: null, content },
    versions: [],
    trail: [],
  };
};

describe('entryReport', () => {
  const bundle = sampleBundle();
  const report = entryReport(bundle);
  const blocks = blocksOf(bundle);
  const text = allText(report);

  it('prints every heading of the trade in order, numbered, then signatures, versions and trail', () => {
    const headings = ofKind(blocks, 'heading').filter((block) => block.level === 2);
    expect(headings.map((block) => `${block.number} ${words(block.line)}`.trim())).toEqual([
      '1 Aim',
      '2 Principle',
      '3 Requirements',
      '4 Hazards and precautions',
      '5 Reagents',
      '6 Procedure',
      '7 Observations',
      '8 Calculation',
      '9 Result',
      '10 Discussion',
      'Signatures',
      'Versions',
      'Audit trail',
    ]);
  });

  it('is plain data that survives a message to another thread', () => {
    expect(structuredClone(report)).toEqual(report);
    expect(JSON.parse(JSON.stringify(report))).toEqual(report);
  });

  it('says who, when, which version, and stamps the state with date and initials', () => {
    const [title] = ofKind(blocks, 'title');
    expect(title?.stamp).toEqual({
      text: 'Countersigned',
      date: '12 March 2027',
      by: 'HW, mark 8/10',
      ink: 'instructor',
    });
    const facts = Object.fromEntries((title?.facts ?? []).map((fact) => [fact.label, words(fact.value)]));
    expect(facts).toMatchObject({
      Student: 'Mira Ashdown (MA)',
      Practical: '9 March 2027',
      Instructor: 'Dr Helen Warrick (HW)',
      Version: '2 of 2',
    });
    expect(title?.fingerprint?.full).toBe(bundle.versions[1]?.hash);
    expect(title?.fingerprint?.short.replaceAll(' ', '').toLowerCase()).toBe(
      bundle.versions[1]?.hash.slice(0, 20),
    );
  });

  it('balances the equation and draws what is worth drawing', () => {
    const [scheme] = ofKind(under(blocks, 'Principle'), 'reaction');
    expect(words(scheme?.equation ?? [])).toBe('C7H6O3 + C4H6O3 → C9H8O4 + C2H4O2');
    expect(scheme?.equation.filter((run) => run.script === 'sub')).toHaveLength(12);
    expect(scheme?.left.map((one) => one.smiles)).toEqual(['OC(=O)c1ccccc1O', 'CC(=O)OC(C)=O']);
    // Acetic acid stands in no row of the table: its formula is set instead of a guess.
    expect(scheme?.right.map((one) => one.smiles)).toEqual(['CC(=O)Oc1ccccc1C(=O)O', null]);
    expect(words(scheme?.over ?? [])).toBe('phosphoric acid');
  });

  it('prints coefficients found by balancing', () => {
    const [scheme] = ofKind(blocksOf(draft({ ...firstContent(), equation: 'H2 + O2 -> H2O' })), 'reaction');
    expect(words(scheme?.equation ?? []).replace(/\s+/g, ' ')).toBe('2 H2 + O2 → 2 H2O');
  });

  it('sets the template’s words in print and the student’s in their ink with initials beside them', () => {
    const aims = (content: EntryContent) => ofKind(under(blocksOf(draft(content)), 'Aim'), 'paragraph')[0];
    expect(aims(firstContent())).toMatchObject({ ink: 'print', mark: null });
    expect(aims({ ...firstContent(), aim: 'To see.' })).toMatchObject({
      ink: 'student',
      mark: { ink: 'student', initials: 'MA' },
    });
    expect(ofKind(under(blocks, 'Discussion'), 'paragraph')[0]).toMatchObject({
      ink: 'student',
      mark: { initials: 'MA' },
    });
  });

  it('lists hazards with the words of each code and its source, and always defers', () => {
    const [table] = ofKind(under(blocks, 'Hazards and precautions'), 'table');
    const anhydride = table?.rows.find((row) => cellWords(row[0]).startsWith('acetic anhydride'));
    // UN GHS, revision 9, annex 3, table A3.1.2 (H314).
    expect(cellWords(anhydride?.[2])).toContain('H314  Causes severe skin burns and eye damage');
    expect(text).toContain('Texts of the statements: UN GHS');
    expect(text).toContain(deferral);
    expect(allText(entryReport(draft(emptyContent({ date: '2027-03-09' }))))).toContain(deferral);
  });

  it('faces what was planned with what was taken, each as it was typed, with the difference in the fold', () => {
    const reagents = under(blocks, 'Reagents');
    const acid = rowOf(reagents, 'salicylic acid');
    expect(cellWords(acid.left[1])).toMatch(/^2\.50\u2009g/);
    expect(cellWords(acid.right[0])).toMatch(/^2\.52\u2009g/);
    // (2.52 − 2.50) / 2.50
    expect(words(acid.fold)).toBe('+0.80\u2009%');
    expect(acid.deviates).toBe(false);
    const anhydride = rowOf(reagents, 'acetic anhydride');
    expect(words(anhydride.fold)).toBe('+10.0\u2009%');
    expect(anhydride.deviates).toBe(true);
    expect(cellWords(anhydride.left[0])).toContain('Cylinder read at 5.5 mL');
    expect(anhydride.right[0]?.[0]?.[0]).toMatchObject({ ink: 'student' });
  });

  it('prints counted drops as counted, the volume they make up, and how large they were taken to be', () => {
    const content = firstContent();
    const drop = {
      drops: { text: '20', unit: 'drops' },
      make: { text: '1.0', unit: 'mL' },
      uncertainty: { text: '0.3', unit: 'mL' },
      countUncertainty: null,
    } as const;
    const rows = content.rows.map((row) =>
      row.name === 'phosphoric acid'
        ? {
            ...row,
            taken: { by: 'volume', entered: { text: '5', unit: 'drops' }, instrument: null, drop } as const,
          }
        : row,
    );
    const printed = under(blocksOf(draft({ ...content, rows })), 'Reagents');
    const right = rowOf(printed, 'phosphoric acid').right.map(cellWords).join(' ');
    expect(right).toContain('5\u2009drops');
    // 5 · 1.0 mL / 20
    expect(right).toContain('0.25\u2009mL');
    const small = ofKind(printed, 'small-print').map((block) => words(block.line));
    expect(small.join(' ')).toContain('drops: 20 drops make 1.0 mL ± 0.3 mL, counted ± 1 drop');
  });

  it('names what is missing instead of leaving a gap', () => {
    const content = firstContent();
    const rows = content.rows.map((row) =>
      row.name === 'acetic anhydride'
        ? {
            ...row,
            supply: { kind: 'neat-liquid' as const, density: null, densityTemperature: null, assay: null },
          }
        : row,
    );
    const reagents = under(blocksOf(draft({ ...content, rows })), 'Reagents');
    expect(cellWords(rowOf(reagents, 'acetic anhydride').right[1])).toBe('?');
    const said = ofKind(reagents, 'notice')
      .map((block) => words(block.line))
      .join(' ');
    expect(said).toMatch(/density/i);
    expect(said).toMatch(/acetic anhydride/i);
  });

  it('says who limits for both sides', () => {
    const said = ofKind(under(blocks, 'Reagents'), 'notice')
      .map((block) => words(block.line))
      .join(' ');
    expect(said).toContain('As planned: salicylic acid limits');
    expect(said).toContain('As taken: salicylic acid limits');
  });

  it('faces each step with times, what was seen, readings with signs where they are out, and the deviation', () => {
    const procedure = under(blocks, 'Procedure');
    const second = rowOf(procedure, '2');
    const done = cellWords(second.right[0]);
    expect(done).toContain('13:20–13:44, 24\u2009min');
    expect(done).toContain('66\u2009°C ▼');
    expect(done).toContain('81\u2009°C ▲');
    expect(done).toContain('13:21  Fume cupboard 3');
    expect(done).toContain('Done otherwise: Bath overshot');
    expect(second.deviates).toBe(true);
    expect(words(second.fold)).toContain('too warm');
    expect(cellWords(rowOf(procedure, '5').right[0])).toContain(
      'time corrected from 14:31: ticked off after washing the funnel',
    );
    expect(words(rowOf(procedure, '8').fold)).toBe('not done');
    expect(cellWords(rowOf(procedure, '1').left[1])).toContain('Weigh 2.50\u2009g of salicylic acid');
  });

  it('keeps a log in the order of time', () => {
    const [log] = ofKind(under(blocks, 'Observations'), 'table');
    const times = (log?.rows ?? []).map((row) => cellWords(row[0]));
    expect(times.length).toBeGreaterThan(20);
    expect(times).toEqual([...times].sort());
    expect(log?.rows.map((row) => cellWords(row[3])).join('\n')).toContain('Iron(III) chloride test');
  });

  it('says the day in the log of a preparation over several days', () => {
    const content = firstContent();
    const late = {
      id: 'n3',
      stepId: null,
      text: 'Dry now.',
      mark: { ...mark('10:00'), at: '2027-03-10T09:00:00.000Z' },
    };
    const [log] = ofKind(
      under(blocksOf(draft({ ...content, notes: [...content.notes, late] })), 'Observations'),
      'table',
    );
    const days = (log?.rows ?? []).map((row) => cellWords(row[3])).filter((cell) => / 2027$/.test(cell));
    expect(days).toEqual(['9 March 2027', '10 March 2027']);
  });

  it('plots the temperatures in minutes, with the windows of the steps', () => {
    const [chart] = ofKind(under(blocks, 'Observations'), 'chart');
    expect(chart?.xLabel).toBe('minutes after 13:20');
    expect(chart?.points.map((point) => [point.x, point.y, point.isOutside])).toEqual([
      [4, 66, true],
      [8, 74, false],
      [13, 77.5, false],
      [19, 81, true],
      [42, 22, true],
      [52, 4, false],
      [59, 3, false],
      [81, 52, false],
      [110, 6, false],
    ]);
    expect(chart?.bands.map((band) => [band.label, band.fromX, band.toX, band.fromY, band.toY])).toEqual([
      ['step 2', 0, 24, 70, 80],
      ['step 4', 31, 60, 0, 5],
      ['step 7', 78, 114, null, 60],
    ]);
  });

  it('plots each day by itself, so that days of standing do not squeeze the hour that matters', () => {
    const content = firstContent();
    const dayLater = (at: string): string => new Date(Date.parse(at) + 3 * 86_400_000).toISOString();
    const last = content.stepRecords.findLastIndex((record) => record.readings.length > 0);
    const stepRecords = content.stepRecords.map((record, index) =>
      index !== last
        ? record
        : {
            ...record,
            readings: record.readings.map((one) => ({
              ...one,
              mark: { ...one.mark, at: dayLater(one.mark.at) },
            })),
          },
    );
    const charts = ofKind(blocksOf(draft({ ...content, stepRecords })), 'chart');
    const moved = content.stepRecords[last]?.readings.filter((one) => one.kind === 'temperature').length ?? 0;
    expect(charts).toHaveLength(moved >= 2 ? 2 : 1);
    for (const chart of charts) {
      expect(Math.max(...chart.points.map(({ x }) => x))).toBeLessThan(24 * 60);
      expect(Math.max(...chart.bands.map(({ toX }) => toX))).toBeLessThan(24 * 60);
    }
    expect(charts.flatMap(({ points }) => points).length + (moved >= 2 ? 0 : moved)).toBe(9);
  });

  it('plots nothing from a single reading', () => {
    const content = firstContent();
    const stepRecords = content.stepRecords.map((record, index) => ({
      ...record,
      readings: index === 1 ? record.readings.slice(0, 1) : [],
    }));
    expect(ofKind(blocksOf(draft({ ...content, stepRecords })), 'chart')).toHaveLength(0);
  });

  it('prints every computed value with its arithmetic in the Calculation section', () => {
    const section = allText({
      ...report,
      parts: [
        {
          ...(report.parts[0] as NonNullable<(typeof report.parts)[0]>),
          blocks: under(blocks, 'Calculation'),
        },
      ],
    });
    const computation = computeEntry(bundle.shown.content);
    expect(computation.workings.length).toBeGreaterThan(40);
    for (const working of computation.workings)
      expect(section, working.id).toContain(plainText(working.title));
    // 2.41 g of 3.254 g; 3.254 g = 2.52 g × 0.99 / 138.122 g/mol × 180.159 g/mol. Molar masses: IUPAC/CIAAW 2021 abridged.
    expect(2.41 / ((2.52 * 0.99 * 180.159) / 138.122)).toBeCloseTo(0.741, 3);
    expect(section).toContain('(74.1\u00a0±\u00a00.4)\u2009%');
    expect(section).toContain('2.52\u2009g × 0.99 / (138.122\u2009g/mol)');
    expect(section).toContain('Shares of its variance');
    expect(section).toContain('OpenStax Chemistry 2e, 4.4');
  });

  it('sets the symbols of quantities in italics, their indices, units and elements upright', () => {
    const yields = ofKind(blocks, 'working').find((block) => words(block.title).startsWith('Pure yield'));
    const formula = yields?.lines[0] ?? [];
    expect(formula.filter((run) => run.style === 'italic').map((run) => run.text)).toEqual(['y', 'm', 'm']);
    expect(formula.filter((run) => run.script === 'sub').every((run) => run.style === undefined)).toBe(true);
  });

  it('prints worksheets with what was put in and what came out', () => {
    const section = under(blocks, 'Calculation');
    expect(ofKind(section, 'heading').map((block) => words(block.line))).toContain('Mixing two strengths');
    expect(
      ofKind(section, 'facts')
        .flatMap((block) => block.facts)
        .map((fact) => words(fact.value)),
    ).toContain('20.0\u2009g');
    // 20.0 g × 50 / 96
    expect(
      ofKind(section, 'working').some((block) =>
        block.lines.some((line) => words(line).includes('20.0\u2009g × ((50')),
      ),
    ).toBe(true);
  });

  it('faces what was expected with what was found, and gives the verdict in words', () => {
    const section = under(blocks, 'Result');
    expect(cellWords(rowOf(section, 'Pure yield').right[0])).toMatch(/2\.41\u2009g.*74\.1 ± 0\.4\u2009%/);
    // 74.1 % against the 75 % expected.
    expect(words(rowOf(section, 'Pure yield').fold)).toBe('0.9 points below');
    expect(cellWords(rowOf(section, 'Melting range').right[0])).toContain('133–135\u2009°C');
    expect(
      ofKind(section, 'paragraph')
        .map((block) => words(block.line))
        .join(' '),
    ).toMatch(/melts over 2\u2009°C/);
    const listed = ofKind(section, 'list').flatMap((block) => block.items.map(words));
    expect(listed.some((item) => /^Step 4: 17\u2009°C too warm {2}not explained$/.test(item))).toBe(true);
  });

  it('says a yield over 100 % in the fold and asks about it once', () => {
    const content = firstContent();
    const result = {
      ...content.result,
      crude: { ...content.result.crude, mass: { text: '3.60', unit: 'g' as const } },
    };
    const section = under(blocksOf(draft({ ...content, result })), 'Result');
    expect(words(rowOf(section, 'Crude yield').fold)).toBe('over 100\u2009%');
    expect(rowOf(section, 'Crude yield').deviates).toBe(true);
    const all = JSON.stringify(section);
    expect(all.split('above 100').length - 1).toBe(1);
  });

  it('puts the instructor’s comments under the section they speak of, with place, version and state', () => {
    expect(ofKind(under(blocks, 'Procedure'), 'comment')).toMatchObject([
      {
        who: 'Dr Helen Warrick',
        initials: 'HW',
        about: 'step 2, version 1',
        isSettled: true,
        when: '11 March 2027, 09:31:10 (UTC+01:00)',
      },
    ]);
    expect(ofKind(blocks, 'comment')).toHaveLength(2);
  });

  it('prints each signature with name, role, meaning, time with offset and what it covers', () => {
    expect(ofKind(blocks, 'signature')).toMatchObject([
      {
        printedName: 'Mira Ashdown',
        role: 'student',
        ink: 'student',
        when: '11 March 2027, 19:02:44 (UTC+01:00)',
      },
      {
        printedName: 'Dr Helen Warrick',
        role: 'instructor',
        ink: 'instructor',
        remark: [{ text: 'Mark: 8/10' }],
      },
    ]);
    for (const { covers, meaning } of ofKind(blocks, 'signature')) {
      expect(covers).toMatch(/^Signs version 2, fingerprint [0-9A-F]{4} /);
      expect(meaning).toMatch(/^I have|^I carried/);
    }
  });

  it('lists all versions and what each changed, with the changed words marked', () => {
    const section = under(blocks, 'Versions');
    const [list, changes] = ofKind(section, 'table');
    expect(list?.rows.map((row) => cellWords(row[0]))).toEqual(['1', '2']);
    expect(cellWords(list?.rows[0]?.[2])).toContain('“Please say why the crude yield is so high.”');
    const discussion = changes?.rows.find((row) => cellWords(row[0]).startsWith('Discussion'));
    const added =
      discussion?.[2]?.[0]
        ?.filter((run) => run.weight === 'bold')
        .map((run) => run.text)
        .join('') ?? '';
    expect(added).toContain('The bath stood above 80 °C');
    expect(added).not.toContain('The crude product');
  });

  it('prints the trail with who, when, from where, and old and new values', () => {
    const [table] = ofKind(under(blocks, 'Audit trail'), 'table');
    expect(table?.rows.map((row) => cellWords(row[0]))).toEqual(['41', '44', '52', '55', '58', '61']);
    const [, saved] = table?.rows ?? [];
    expect(cellWords(saved?.[1])).toBe('9 March 2027, 13:18:40 (UTC+01:00)');
    expect(cellWords(saved?.[2])).toBe('Mira Ashdown | student, bench-07');
    expect(cellWords(saved?.[3])).toContain(
      'acetic anhydride: taken: nothing → “5.5 mL, with cylinder iso 10 b”',
    );
  });
});

describe('entryReport of a signed version', () => {
  it('shows a value as it was signed, where today’s rules give another', () => {
    const bundle = sampleBundle();
    const versions = sampleVersions().map((version) => ({
      ...version,
      computed: {
        engine: 'fairleaf-engine/0',
        lines: version.computed.lines.map((line) =>
          line.id === 'pure-yield'
            ? { ...line, value: '73.3 ± 0.4', lines: line.lines.map((text) => text.replace('74.1', '73.3')) }
            : line.id === 'amount:id-1:taken'
              ? { ...line, value: '0.01799' }
              : line,
        ),
      },
    }));
    const text = allText(entryReport({ ...bundle, versions }));
    expect(text).toContain('73.3 ± 0.4\u2009%');
    expect(text).not.toContain('74.1');
    expect(text).toContain('0.01799\u2009mol');
    expect(text).toMatch(/2 values would come out otherwise.*fairleaf-engine\/0/);
    expect(allText(entryReport(bundle))).not.toContain('would come out otherwise');
  });
});

describe('entryReport of other states', () => {
  it('says on a draft that nobody signed it', () => {
    const blocks = blocksOf(draft(firstContent()));
    expect(ofKind(blocks, 'title')[0]?.stamp).toMatchObject({ text: 'Draft', date: 'not signed' });
    expect(ofKind(blocks, 'signature')).toHaveLength(0);
    expect(ofKind(blocks, 'notice').map((block) => block.title)).toContain('Not signed');
    expect(words(entryReport(draft(firstContent())).parts[0]?.footerLeft ?? [])).toMatch(
      /^Draft, not signed/,
    );
  });

  it('keeps a struck-out entry readable and says why it was struck out', () => {
    const bundle = sampleBundle();
    const text = allText(
      entryReport({
        ...bundle,
        entry: { ...bundle.entry, state: 'struck-out', strikeOutReason: 'Begun twice.' },
      }),
    );
    expect(text).toContain('Begun twice.');
    expect(text).toContain('Struck out');
    expect(text).toContain('Bath overshot');
  });

  it('tells that an amendment has been begun, with its reason', () => {
    const bundle = sampleBundle();
    const text = allText(
      entryReport({
        ...bundle,
        entry: { ...bundle.entry, state: 'amending', amendmentReason: 'Second weighing.' },
      }),
    );
    expect(text).toContain('an amendment has been begun. Reason: Second weighing.');
  });

  it('prints an empty entry with every heading and no invented value', () => {
    const blocks = blocksOf(draft(emptyContent({ date: '2027-03-09' })));
    expect(ofKind(blocks, 'heading').filter((block) => block.number !== '')).toHaveLength(10);
    expect(ofKind(blocks, 'working')).toHaveLength(0);
    expect(allText(entryReport(draft(emptyContent({ date: '2027-03-09' }))))).not.toMatch(
      /NaN|Infinity|undefined|null/,
    );
  });

  it('shows attachments under their section', () => {
    const attachments = [
      {
        sha256: 'a'.repeat(64),
        name: 'crystals.jpg',
        mediaType: 'image/jpeg',
        sizeBytes: 12_345,
        section: 'observations' as const,
        caption: 'After scratching',
      },
    ];
    const section = under(blocksOf(draft({ ...firstContent(), attachments })), 'Observations');
    expect(ofKind(section, 'image')).toMatchObject([{ name: 'crystals.jpg', sha256: 'a'.repeat(64) }]);
  });

  it('loses no word of any text a person may write', () => {
    const sentence = fc
      .string({ unit: 'grapheme', minLength: 1, maxLength: 60 })
      .filter((text) => text.trim() !== '');
    fc.assert(
      fc.property(sentence, sentence, sentence, (aim, note, discussion) => {
        const content = firstContent();
        const notes = [{ id: 'n', stepId: null, text: note, mark: mark('15:00') }];
        const text = allText(entryReport(draft({ ...content, aim, notes, discussion })));
        for (const written of [aim, note, discussion]) expect(text).toContain(written.trim());
      }),
      { numRuns: 25 },
    );
  });
});

describe('a row taken from the department’s own compounds', () => {
  it('says in the table whose values it has, and says nothing in any other row', () => {
    const content = firstContent();
    const [first, ...others] = content.rows;
    const valuesFrom = 'department’s own library, propyl pentanoate, version 2';
    const printed = allText(entryReport(draft({ ...content, rows: [{ ...first!, valuesFrom }, ...others] })));
    expect(printed.split(`values: ${valuesFrom}`)).toHaveLength(2);
    expect(allText(entryReport(draft(content)))).not.toContain('values: ');
  });
});
