import { workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import type { Calculation } from './calculation.ts';
import { crop, secondCrop, thousand, undissolved } from './crop.ts';
import { hundred, linesOf, solubilityIn, toClouding, valueOf } from './mixture-table.ts';
import type { Line } from './mixture-table.ts';
import type { Sheet } from './sheet.ts';
import { defineCalculation, field } from './sheet.ts';

const { entered } = field;
/** Volume of the better solvent: the one taken, else the least that dissolves everything, with the extra. */
function betterSolvent(sheet: Sheet, mass: WorkingTerm, pure: Line): WorkingTerm | null {
  const hot = {
    ...pure.hot,
    key: 's_pure',
    symbol: 's_{hot}',
    meaning: 'solubility hot in the better solvent',
  };
  const least = sheet.answer({
    id: 'least-solvent',
    title: 'Least volume of the better solvent, hot',
    symbol: 'V_{min}',
    formula: 'thousand * mass / s_pure',
    display: 'V_{min} = m / s_{hot}',
    terms: [thousand, mass, hot],
    unit: 'mL',
    citation: 'definition of solubility',
  });
  if (least === null) return null;
  if (sheet.isFilled('volume')) {
    const taken = sheet.term('volume', 'V_{1}');
    return taken === null ? null : { ...taken, key: 'V_1', meaning: 'volume of the better solvent' };
  }
  const extra = sheet.term('extra', 'e');
  const leastTerm = workingTerm('V_min', 'V_{min}', 'least volume of the better solvent', least);
  if (extra === null) return { ...leastTerm, key: 'V_1', symbol: 'V_{1}' };
  const more = sheet.answer({
    id: 'solvent-to-take',
    title: 'Volume of the better solvent to take',
    symbol: 'V_{1}',
    formula: 'V_min * (1 + extra / hundred)',
    display: 'V_{1} = V_{min} · (1 + e)',
    terms: [leastTerm, extra, hundred],
    unit: 'mL',
    citation: 'common practice, no source',
  });
  return more === null ? null : workingTerm('V_1', 'V_{1}', 'volume of the better solvent', more);
}

/** Dissolved hot in the better solvent, the other added until it clouds, then cooled. */
function byClouding(sheet: Sheet, lines: readonly Line[], mass: WorkingTerm): void {
  const pure = lines.find(({ share }) => valueOf(share) === 100);
  if (pure === undefined) return sheet.problem('better-solvent-missing', 'table');
  const better = betterSolvent(sheet, mass, pure);
  if (better === null || valueOf(better) === 0) return sheet.problem('volume-zero', 'volume');
  const hot = { ...pure.hot, key: 's_hot', symbol: 's_{hot}' };
  const room = (valueOf(better) * valueOf(pure.hot)) / 1000 - valueOf(mass);
  if (room < -1e-9 * valueOf(mass))
    return undissolved(sheet, mass, { ...better, key: 'V', symbol: 'V_{1}' }, hot);
  const other = toClouding(sheet, lines, mass, better);
  if (other === null) return;
  const total = sheet.derive({
    id: 'volume-together',
    title: 'Volume of the mixture',
    symbol: 'V',
    formula: 'V_1 + V_2',
    display: 'V = V_{1} + V_{2}',
    terms: [better, other],
    unit: 'mL',
    citation: 'the volumes are taken to add up; two liquids come out a little short of it',
  });
  const share = sheet.derive({
    id: 'mixture-share',
    title: 'Share of the better solvent in the mixture',
    symbol: 'x',
    formula: 'hundred * V_1 / (V_1 + V_2)',
    display: 'x = V_{1} / (V_{1} + V_{2})',
    terms: [hundred, better, other],
    unit: '% v/v',
    citation: 'definition of a volume fraction before mixing',
  });
  if (total === null || share === null) return;
  const volume = workingTerm('V', 'V', 'volume of the mixture', total);
  const cold = solubilityIn(
    sheet,
    lines,
    workingTerm('x', 'x', 'share of the better solvent', share),
    'cold',
  );
  if (cold === null) return;
  sheet.derive({
    id: 'loss-alone',
    title: 'For comparison: kept dissolved by the better solvent alone',
    symbol: 'm_{alone}',
    formula: 'V_1 * c / thousand',
    display: 'm_{alone} = V_{1} · s_{cold}',
    terms: [better, { ...pure.cold, key: 'c', symbol: 's_{cold}' }, thousand],
    unit: 'g',
    citation: 'mass balance',
  });
  if (!crop(sheet, { mass, volume, cold, washing: sheet.term('washing', 'V_{wash}') })) return;
  secondCrop(sheet, volume, cold);
  sheet.say(
    'advice',
    'Add the other solvent hot and slowly until the cloudiness just stays, clear it with a few drops of the better one, and let it cool undisturbed.',
  );
}

/** Dissolved in a mixture that was made up beforehand. */
function inReadyMixture(sheet: Sheet, lines: readonly Line[], mass: WorkingTerm): void {
  if (!sheet.isFilled('share')) {
    return sheet.problem('field-missing', 'share', { label: 'Share of the better solvent in the mixture' });
  }
  const at = sheet.term('share', 'x');
  if (at === null) return;
  const hot = solubilityIn(sheet, lines, at, 'hot');
  const cold = solubilityIn(sheet, lines, at, 'cold');
  if (hot === null || cold === null) return;
  if (valueOf(cold) >= valueOf(hot)) {
    return sheet.problem('not-less-soluble-cold', 'table', { hot: valueOf(hot), cold: valueOf(cold) });
  }
  const least = sheet.answer({
    id: 'least-solvent',
    title: 'Least volume of the hot mixture',
    symbol: 'V_{min}',
    formula: 'thousand * mass / s_hot',
    display: 'V_{min} = m / s_{hot}',
    terms: [thousand, mass, hot],
    unit: 'mL',
    citation: 'definition of solubility',
  });
  if (least === null) return;
  const leastTerm = workingTerm('V_min', 'V_{min}', 'least volume of the hot mixture', least);
  const volume = mixtureVolume(sheet, leastTerm);
  if (volume === null) return;
  if (!crop(sheet, { mass, volume, cold, washing: sheet.term('washing', 'V_{wash}') })) return;
  undissolved(sheet, mass, volume, hot);
  secondCrop(sheet, volume, cold);
}

function mixtureVolume(sheet: Sheet, least: WorkingTerm): WorkingTerm | null {
  if (sheet.isFilled('volume')) {
    const taken = sheet.term('volume', 'V');
    return taken === null ? null : { ...taken, key: 'V', meaning: 'volume of the mixture taken' };
  }
  const extra = sheet.term('extra', 'e');
  if (extra === null) return { ...least, key: 'V', symbol: 'V' };
  const more = sheet.answer({
    id: 'solvent-to-take',
    title: 'Volume of the hot mixture to take',
    symbol: 'V',
    formula: 'V_min * (1 + extra / hundred)',
    display: 'V = V_{min} · (1 + e)',
    terms: [least, extra, hundred],
    unit: 'mL',
    citation: 'common practice, no source',
  });
  return more === null ? null : workingTerm('V', 'V', 'volume of the hot mixture', more);
}

/** Recrystallisation from two solvents that mix: one that dissolves the product well, one that does not. */
export const mixedSolvent: Calculation = defineCalculation({
  id: 'mixed-solvent',
  title: 'Recrystallisation from a mixed solvent',
  purpose:
    'How much of two solvents that mix to take, from solubilities in their mixtures; what stays behind, and the best recovery.',
  section: 'procedure',
  fields: [
    field.quantity('mass', 'Crude product', 'mass', 'g'),
    field.choice('way', 'Done as', {
      clouding: 'dissolve in the better solvent, add the other until it clouds',
      mixture: 'dissolve in a mixture made up beforehand',
    }),
    field.series(
      'table',
      'Solubility by mixture, g in 1 L of it',
      2,
      [
        ['share', 'Better solvent', 'volume-fraction', '% v/v'],
        ['hot', 'Hot', 'density', 'g/L'],
        ['cold', 'Cold', 'density', 'g/L'],
      ],
      'All at the same two temperatures; 100 % is the better solvent alone. Name where they come from in the remark.',
    ),
    field.quantity('hot', 'Temperature when hot', 'temperature', '°C'),
    field.quantity('cold', 'Temperature when cold', 'temperature', '°C'),
    field.quantity(
      'share',
      'Share of the better solvent in the mixture',
      'volume-fraction',
      '% v/v',
      'For a mixture made up beforehand.',
      true,
    ),
    field.quantity(
      'extra',
      'Solvent beyond the least amount',
      'fraction',
      '%',
      'Usual before a hot filtration: 10 to 30 %. Blank: none.',
      true,
    ),
    field.quantity(
      'volume',
      'Volume really taken',
      'volume',
      'mL',
      'Of the better solvent, or of the mixture made up; it replaces the extra.',
      true,
    ),
    field.quantity('washing', 'Cold mixture for washing', 'volume', 'mL', '', true),
  ],
  example: {
    mass: entered('g')('5.00'),
    way: 'clouding',
    table: [
      { share: entered('% v/v')('100.0'), hot: entered('g/L')('400'), cold: entered('g/L')('60.0') },
      { share: entered('% v/v')('75.0'), hot: entered('g/L')('200'), cold: entered('g/L')('20.0') },
      { share: entered('% v/v')('50.0'), hot: entered('g/L')('70.0'), cold: entered('g/L')('5.00') },
      { share: entered('% v/v')('25.0'), hot: entered('g/L')('20.0'), cold: entered('g/L')('1.50') },
    ],
    hot: entered('°C')('75'),
    cold: entered('°C')('5'),
    extra: entered('%')('20'),
  },
  solve(sheet) {
    const mass = sheet.term('mass', 'm');
    const hotAt = sheet.term('hot', 't_{hot}');
    const coldAt = sheet.term('cold', 't_{cold}');
    const way = sheet.choice('way');
    const lines = linesOf(sheet);
    if (mass === null || hotAt === null || coldAt === null || way === null || lines === null) return;
    if (valueOf(mass) === 0) return sheet.problem('mass-zero', 'mass');
    if (valueOf(hotAt) <= valueOf(coldAt)) {
      return sheet.problem('not-cooling', 'cold', { from: valueOf(hotAt), to: valueOf(coldAt) });
    }
    const before = sheet.answers.length;
    if (way === 'clouding') byClouding(sheet, lines, mass);
    else inReadyMixture(sheet, lines, mass);
    if (sheet.answers.length === before) return;
    sheet.say(
      'advice',
      'The figures are those of the pure substance and of saturated mixtures: try the pair on a small portion first.',
    );
    sheet.say(
      'caution',
      'Most of these solvents burn and their vapours travel: heat and add them away from flames, as the person in charge has said.',
    );
  },
});
