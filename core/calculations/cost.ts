import { enteredTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import type { Calculation } from './calculation.ts';
import { defineCalculation, field } from './sheet.ts';

const { entered } = field;
const line = (used: string, pack: string, price: string) => ({
  used: entered('g')(used),
  pack: entered('g')(pack),
  price: entered('1')(price),
});

/** What the chemicals of a preparation cost, by pack prices. */
export const costPerGram: Calculation = defineCalculation({
  id: 'cost-per-gram',
  title: 'Cost of the preparation',
  purpose: 'What the chemicals cost, in all and per gram of product, from pack sizes and prices.',
  section: 'result',
  fields: [
    field.series(
      'lines',
      'Chemicals used',
      1,
      [
        ['used', 'Used', 'mass', 'g'],
        ['pack', 'Pack', 'mass', 'g'],
        ['price', 'Price of the pack', 'number', '1'],
      ],
      'One currency throughout; liquids by mass.',
    ),
    field.quantity('product', 'Product obtained', 'mass', 'g', '', true),
  ],
  example: {
    lines: [line('2.00', '500', '24.00'), line('5.41', '1000', '18.50')],
    product: entered('g')('2.10'),
  },
  solve(sheet) {
    const rows = sheet.series('lines', { used: 'm', pack: 'M', price: 'p' });
    if (rows === null) return;
    const terms: WorkingTerm[] = [];
    const parts: string[] = [];
    for (const [index, row] of rows.entries()) {
      const { used, pack, price } = row as { used: WorkingTerm; pack: WorkingTerm; price: WorkingTerm };
      if (!(pack.quantity.value > 0)) return sheet.problem('pack-empty', `lines.${index}.pack`);
      if (!(price.quantity.value >= 0)) return sheet.problem('price-negative', `lines.${index}.price`);
      terms.push(used, pack, price);
      parts.push(`${used.key} / ${pack.key} * ${price.key}`);
    }
    const total = sheet.answer({
      id: 'cost',
      title: 'Cost of the chemicals',
      symbol: 'K',
      formula: parts.join(' + '),
      display: 'K = Σ m / m_{pack} · price',
      terms,
      unit: '1',
      citation: 'share of each pack used',
      notes: ['In the currency the prices were typed in.'],
    });
    const product = sheet.term('product', 'm_{product}');
    if (total === null || product === null) return;
    if (!(product.quantity.value > 0)) return sheet.problem('mass-zero', 'product');
    sheet.answer({
      id: 'cost-per-gram',
      title: 'Cost of one gram of product',
      symbol: 'k',
      formula: 'total / mass',
      display: 'k = K / m_{product}',
      terms: [
        workingTerm('total', 'K', 'cost of the chemicals', total),
        enteredTerm('mass', 'm_{product}', 'product obtained', product.quantity, 'product'),
      ],
      unit: '1',
      citation: 'definition',
    });
  },
});
