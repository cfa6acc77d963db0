import { describe, expect, it } from 'vitest';
import { fillStepText, stepParts } from '../../../core/procedure/fill-step-text.ts';
import { scaleByFactor } from '../../../core/reaction/scale.ts';
import { neat, row, solid, tableOf } from '../reaction/make-table.ts';

const rows = [
  row('salicylic acid', 'C7H6O3', 'reactant', solid(), '2.00 g'),
  row('anhydride', 'C4H6O3', 'reactant', neat('1.082'), '5.0 mL'),
  row('bare', 'C4H6O3', 'reagent', neat(null), '5.0 mL'),
];
const equation = 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2';
const fill = (text: string, of = rows) =>
  fillStepText(text, tableOf(equation, ...of), of, 'planned').replaceAll('\u2009', ' ');

describe('fillStepText', () => {
  it('fills masses, volumes, amounts and names, typed ones as typed', () => {
    expect(
      fill(
        'Put {mass:salicylic-acid} of {name:salicylic-acid} ({amount:salicylic-acid}) into {volume:anhydride}.',
      ),
    ).toBe('Put 2.00 g of salicylic acid (14.48 mmol) into 5.0 mL.');
  });
  it('follows a scaled table', () => {
    const scaled = scaleByFactor(rows, 2);
    if (!scaled.ok) throw new Error(scaled.error.code);
    expect(fill('{mass:salicylic-acid}, {volume:anhydride}', [...scaled.value.rows])).toBe('4.00 g, 10 mL');
  });
  it('says what belongs there when the table cannot', () => {
    expect(fill('Weigh {mass:bare}.')).toBe('Weigh [mass of bare].');
  });
  it('leaves what names no row, and text that only looks like it', () => {
    expect(fill('{mass:nobody} {color:bare} { } {mass:}')).toBe('{mass:nobody} {color:bare} { } {mass:}');
  });
  it('takes any text: emoji, right to left, markup', () => {
    for (const text of ['', '😀 {name:bare} مرحبا', '$& {name:bare} $1', '{{name:bare}}']) {
      expect(fill(text)).toBe(text.replaceAll('{name:bare}', 'bare'));
    }
  });
});

describe('stepParts', () => {
  it('gives computed values with their workings, so that they can be opened', () => {
    const parts = stepParts('a {amount:anhydride} b', tableOf(equation, ...rows), rows, 'planned');
    expect(parts.map((part) => part.kind)).toEqual(['text', 'value', 'text']);
    expect(parts[1]).toMatchObject({
      rowId: 'anhydride',
      field: 'amount',
      working: { id: 'amount:anhydride:planned' },
    });
  });
});
