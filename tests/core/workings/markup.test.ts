import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMarkup, plainText } from '../../../core/workings/markup.ts';

describe('parseMarkup', () => {
  it('splits subscripts and superscripts', () => {
    expect(parseMarkup('SO_{4}^{2−} aq')).toEqual([
      { text: 'SO' },
      { text: '4', script: 'sub' },
      { text: '2−', script: 'super' },
      { text: ' aq' },
    ]);
  });

  it.each(['', 'a_b', '10^3', '_{', '^{x', 'a_{', '}_', '{}', 'x^2'])('takes %j as it stands', (text) => {
    expect(parseMarkup(text)).toEqual(text === '' ? [] : [{ text }]);
  });

  it('leaves no empty runs and loses nothing', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom('a', '2', '_', '^', '{', '}', ' ') }), (text) => {
        const runs = parseMarkup(text);
        expect(runs.every((run) => run.text !== '')).toBe(true);
        const kept = runs.map((run) => run.text).join('');
        expect(text.replace(/[_^]\{([^{}]*)\}/g, '$1')).toBe(kept);
      }),
    );
  });
});

describe('plainText', () => {
  it.each([
    ['H_{2}SO_{4}', 'H₂SO₄'],
    ['SO_{4}^{2−}', 'SO₄²⁻'],
    ['^{13}C_{6}H_{6}', '¹³C₆H₆'],
    ['NH_{4}^{+}', 'NH₄⁺'],
    ['m_{theo}', 'm_theo'],
    ['x^{n}', 'x^n'],
    ['plain', 'plain'],
  ])('%s becomes %s', (markup, text) => {
    expect(plainText(markup)).toBe(text);
  });
});
