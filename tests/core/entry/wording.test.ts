import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readStoichiometry } from '../../../core/reaction/stoichiometry.ts';
import { problemSentence, sentences } from '../../../core/wording/index.ts';
import { reactionSentences } from '../../../core/wording/reaction.ts';
import { numberSentences } from '../../../core/wording/numbers.ts';
import { calculationSentences } from '../../../core/wording/calculations.ts';

const root = new URL('../../../core/', import.meta.url);
const sources = ['reaction', 'procedure', 'entry'].flatMap((folder) =>
  readdirSync(new URL(`${folder}/`, root)).map((file) =>
    readFileSync(new URL(`${folder}/${file}`, root), 'utf8'),
  ),
);
const text = sources.join('\n');

/** Codes as the sources write them: `code: 'x'`, `finding('x'`, `problem('x'`, `rowProblem(row, field, 'x'`, `missing(field, 'x'`. */
const emitted = new Set(
  [
    ...text.matchAll(/\bcode: '([a-z0-9-]+)'/g),
    ...text.matchAll(/\b(?:finding|problem)\(\s*'([a-z0-9-]+)'/g),
    ...text.matchAll(/\browProblem\(\s*[\w.]+,\s*(?:'[\w.]+'|\w+),\s*'([a-z0-9-]+)'/g),
    ...text.matchAll(/\bmissing\('[\w.]+', '([a-z0-9-]+)'/g),
    ...text.matchAll(/'((?:missing|melting|boiling|refraction)-[a-z0-9-]+)'/g),
  ].map((match) => match[1] ?? ''),
);
/** Ids of workings and of snapshot lines, which look like codes. */
const ids = new Set([
  'melting-distance',
  'boiling-point-corrected',
  'melting-text',
  'boiling-text',
  'refraction-text',
]);

describe('sentences of the reaction, the procedure and the entry', () => {
  it('there are many codes, or this test reads the sources wrongly', () =>
    expect(emitted.size).toBeGreaterThan(50));
  it.each([...emitted].filter((code) => !ids.has(code)))('%s has one', (code) => {
    expect(sentences[code]?.({ name: 'Salt', side: 'taken' })).toMatch(/^[A-Z].*[.?]$/s);
  });
  it('two equal yields are not offered as a choice', () => {
    const facts = { name: 'A', other: 'B', probability: '0.50', yield: '1.80 g' };
    const say = (otherYield: string) => sentences['limiting-uncertain']?.({ ...facts, otherYield });
    expect(say('1.80 g')).toContain('is 1.80 g either way.');
    expect(say('1.86 g')).toContain('is 1.80 g or 1.86 g.');
  });
  it('coefficients that were typed and do not balance are said to be off, where several sets could', () => {
    const { problems } = readStoichiometry('2 C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2');
    expect(problems.map(({ code }) => code)).toEqual(['equation-not-unique']);
    // 2 × 7 + 4 C before the arrow, 9 + 2 behind it; counted by hand.
    expect(problems.map(problemSentence).join()).toContain(
      'As typed it is out of balance: C 18 left, 11 right;',
    );
  });
  it('an equation that balances only absurdly is asked about, in the record as well as on the screen', () => {
    // Acetic acid is forgotten: 11 C7H6O3 + C4H6O3 -> 9 C9H8O4 balances all the same (81 C, 72 H, 36 O; by hand).
    const { problems, species } = readStoichiometry('C7H6O3 + C4H6O3 -> C9H8O4');
    expect(species.map(({ coefficient }) => coefficient)).toEqual([11, 1, 9]);
    expect(problems.map(problemSentence).join()).toMatch(/coefficient of 11\. Is a by-product missing/);
    // Whoever types such coefficients means them.
    const typed = 'K2Cr2O7 + 14 HCl -> 2 KCl + 2 CrCl3 + 3 Cl2 + 7 H2O';
    expect(readStoichiometry(typed).problems).toEqual([]);
  });
  it('no sentence without a code', () => {
    for (const code of Object.keys(reactionSentences)) expect(text.includes(`'${code}'`), code).toBe(true);
  });
  it('no code has two wordings', () => {
    for (const code of Object.keys(reactionSentences)) {
      expect(Object.hasOwn(numberSentences, code) || Object.hasOwn(calculationSentences, code), code).toBe(
        false,
      );
    }
  });
});
