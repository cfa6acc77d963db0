import { describe, expect, it } from 'vitest';
import { annexVi } from '../../../core/compounds/annex-vi.ts';
import { compounds, sources, statementText } from '../../../core/compounds/index.ts';
import { ghsPictograms, statementCodes, withoutCovered } from '../../../core/compounds/index.ts';

const classified = compounds.flatMap(({ id, hazards }) =>
  hazards === null ? [] : [{ id, hazards, codes: hazards.statements.flatMap((one) => one.split('+')) }],
);
const some = (codes: readonly string[], pattern: RegExp): boolean => codes.some((code) => pattern.test(code));

describe('hazards of the library', () => {
  it('are codes of the right form whose text the table holds, and pictograms that exist', () => {
    for (const { id, hazards, codes } of classified) {
      for (const code of codes) expect(code, id).toMatch(/^(?:H[2-4]\d\d(?:[FDfd]{1,2}|i)?|EUH\d{3})$/);
      for (const code of hazards.precautions) expect(code, id).toMatch(/^P\d{3}(?:\+P\d{3})*$/);
      for (const code of [...hazards.statements, ...hazards.precautions])
        expect(statementText(code), `${id} ${code}`).not.toBeNull();
      for (const pictogram of hazards.pictograms) expect(Object.keys(ghsPictograms)).toContain(pictogram);
      expect(new Set(hazards.pictograms).size, id).toBe(hazards.pictograms.length);
      expect(new Set(codes).size, id).toBe(codes.length);
      expect(hazards.statements.length, id).toBeGreaterThan(0);
    }
  });

  it('leave no text of the main table unused', () => {
    const used = new Set(
      classified.flatMap(({ hazards }) =>
        [...hazards.statements, ...hazards.precautions].flatMap((code) => [code, ...code.split('+')]),
      ),
    );
    expect(statementCodes.filter((code) => !used.has(code))).toEqual([]);
  });

  it('leave out what another statement says (UN GHS 1.4.10.5.3.3)', () => {
    expect(withoutCovered(['H314', 'H318', 'H302'])).toEqual(['H314', 'H302']);
    expect(withoutCovered(['H400', 'H410'])).toEqual(['H410']);
    for (const { id, hazards } of classified)
      expect(withoutCovered(hazards.statements), id).toEqual(hazards.statements);
  });

  it('defer to the supplier, whatever the source', () => {
    for (const { id, hazards } of classified)
      expect(sources[hazards.source], id).toContain('safety data sheet');
  });

  // UN GHS annex 3 and the tables of parts 2 to 4; H228, H261 and H272 have a category of either word.
  it('have the signal word of their gravest statement', () => {
    const danger =
      /^H(?:22[0245]|25[01]|260|27[01]|30[014]|31[014]|318|33[014]|340|350i?|360[FDfd]*|370|372)$/;
    const either = /^H(?:228|261|272)$/;
    const warning = /^H(?:226|252|290|302|312|315|317|319|332|335|336|341|351|361[fd]*|371|373|400|410)$/;
    for (const { id, hazards, codes } of classified) {
      if (some(codes, danger)) expect(hazards.signalWord, id).toBe('Danger');
      else if (some(codes, either)) expect(hazards.signalWord, id).not.toBe('');
      else if (some(codes, warning)) expect(hazards.signalWord, id).toBe('Warning');
      else expect(hazards.signalWord, id).toBe('');
    }
  });

  // UN GHS annex 3 (which pictogram goes with which statement) and 1.4.10.5.3.1, Regulation (EC)
  // No 1272/2008, article 26: the skull, the corrosion and, for H334, the health hazard take the place of
  // the exclamation mark.
  const calls: readonly (readonly [RegExp, string])[] = [
    [/^H2(?:2[0-8]|41|42|50|51|52|60|61)$/, 'GHS02'],
    [/^H27[0-2]$/, 'GHS03'],
    [/^H(?:290|314|318)$/, 'GHS05'],
    [/^H3(?:00|01|10|11|30|31)$/, 'GHS06'],
    [/^H3(?:04|34|40|41|50i?|51|60[FDfd]*|61[fd]*|70|71|72|73)$/, 'GHS08'],
    [/^H4(?:00|10|11)$/, 'GHS09'],
  ];
  it('carry the pictogram that their statements call for', () => {
    for (const { id, hazards, codes } of classified) {
      for (const code of codes) {
        for (const [pattern, pictogram] of calls)
          if (pattern.test(code)) expect(hazards.pictograms, `${id} ${code}`).toContain(pictogram);
      }
      const skull = hazards.pictograms.includes('GHS06');
      const others = some(codes, /^H3(?:02|12|32|35|36)$/);
      const skin = some(codes, /^H31[59]$/) && !hazards.pictograms.includes('GHS05');
      const sensitising = codes.includes('H317');
      const needed = !skull && (others || ((skin || sensitising) && !codes.includes('H334')));
      expect(hazards.pictograms.includes('GHS07'), `${id} exclamation mark`).toBe(needed);
    }
  });

  it('carry no pictogram without a statement that calls for it', () => {
    for (const { id, hazards, codes } of classified) {
      for (const pictogram of hazards.pictograms) {
        if (pictogram === 'GHS07') continue;
        const patterns = calls.filter(([, one]) => one === pictogram).map(([pattern]) => pattern);
        expect(
          patterns.some((pattern) => some(codes, pattern)),
          `${id} ${pictogram}`,
        ).toBe(true);
      }
    }
  });

  it('of the law name the entry, with the check digit of an ISBN', () => {
    const found = classified.filter(({ hazards }) => hazards.source === 'clp-annex-vi');
    expect(found.length).toBeGreaterThanOrEqual(190);
    for (const { id, hazards } of found) {
      const [, index = ''] = /^Index number (\d{3}-\d{3}-\d\d-[\dX])\./.exec(hazards.note) ?? [];
      const digits = index.replaceAll('-', '');
      expect(digits.length, id).toBe(9);
      // Annex VI, 1.1.1.1: the last place is a check digit by the method of the ten-place ISBN; the number
      // has nine places, so its weights run from 1 to 8 (read off the published numbers themselves).
      const sum = [...digits.slice(0, -1)].reduce((total, digit, at) => total + Number(digit) * (at + 1), 0);
      expect('0123456789X'[sum % 11], `${id} ${index}`).toBe(digits.at(-1));
    }
  });
});

describe('a harmonised entry', () => {
  it('keeps apart what the law and what suppliers say', () => {
    const entry = annexVi('603-002-00-5', 'Danger', ['GHS02', 'GHS07'], ['H225'], { suppliers: ['H319'] });
    expect(entry.statements).toEqual(['H225', 'H319']);
    expect(entry.note).toBe('Index number 603-002-00-5. H319 is added by suppliers.');
    expect(
      annexVi('607-002-00-6', 'Danger', ['GHS05'], ['H314', 'EUH071'], { suppliers: ['H302', 'H290'] }),
    ).toMatchObject({
      statements: ['H290', 'H302', 'H314', 'EUH071'],
      precautions: [],
      note: 'Index number 607-002-00-6. H302 and H290 are added by suppliers.',
    });
  });
});
