import { exactTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import type { Calculation } from './calculation.ts';
import { crop, secondCrop, thousand, undissolved } from './crop.ts';
import type { Sheet } from './sheet.ts';
import { defineCalculation, field } from './sheet.ts';

const { entered } = field;

/**
 * Solubility at a temperature: the typed point where there is one, else between its two neighbours on
 * a straight line of ln s against 1/T (van 't Hoff). Never beyond the points that were given.
 */
function solubilityAt(sheet: Sheet, at: WorkingTerm, which: 'hot' | 'cold'): WorkingTerm | null {
  const rows = sheet.series('solubility', { temperature: 't', solubility: 's' });
  if (rows === null) return null;
  const points = rows
    .map((row) => ({ t: row['temperature'] as WorkingTerm, s: row['solubility'] as WorkingTerm }))
    .sort((a, b) => a.t.quantity.value - b.t.quantity.value);
  const wanted = at.quantity.value;
  const key = `s_${which}`;
  const symbol = `s_{${which}}`;
  const exact = points.find((point) => point.t.quantity.value === wanted);
  if (exact !== undefined) return { ...exact.s, key, symbol, meaning: `solubility at ${wanted} °C` };
  const above = points.findIndex((point) => point.t.quantity.value > wanted);
  const low = points[above - 1];
  const high = points[above];
  if (low === undefined || high === undefined) {
    sheet.problem('outside-solubility', which, {
      at: wanted,
      least: points[0]?.t.quantity.value ?? 0,
      most: points.at(-1)?.t.quantity.value ?? 0,
    });
    return null;
  }
  if (low.s.quantity.value <= 0 || high.s.quantity.value <= 0) {
    sheet.problem('solubility-zero', 'solubility');
    return null;
  }
  if (high.t.quantity.value - low.t.quantity.value > 30) {
    sheet.say(
      'doubt',
      `The solubility at ${wanted} °C is read off a line between points more than 30 °C apart: expect it to be out by 10 to 20 %.`,
    );
  }
  const kelvin = exactTerm('T0', '273.15', 'zero of the Celsius scale', 273.15, 'definition', 'K');
  const working = sheet.derive({
    id: `solubility-${which}`,
    title: `Solubility at ${wanted} °C`,
    symbol,
    formula: 's1 * exp(ln(s2 / s1) * (1/(t1 + T0) - 1/(t + T0)) / (1/(t1 + T0) - 1/(t2 + T0)))',
    display: 'ln s = ln s_{1} + ln(s_{2}/s_{1}) · (1/T_{1} − 1/T) / (1/T_{1} − 1/T_{2})',
    terms: [
      { ...low.s, key: 's1', symbol: 's_{1}', meaning: `solubility at ${low.t.quantity.value} °C` },
      { ...high.s, key: 's2', symbol: 's_{2}', meaning: `solubility at ${high.t.quantity.value} °C` },
      { ...low.t, key: 't1', symbol: 't_{1}' },
      { ...high.t, key: 't2', symbol: 't_{2}' },
      { ...at, key: 't', symbol: 't' },
      kelvin,
    ],
    unit: 'g/L',
    citation: 'van ’t Hoff line of ln s against 1/T between the two neighbouring points',
    // The line is an estimate between two points: more than the points' own figures it cannot have.
    figures: Math.min(low.s.quantity.significantFigures ?? 4, high.s.quantity.significantFigures ?? 4),
    notes: [
      `Between ${low.t.quantity.value} and ${high.t.quantity.value} °C; not used outside the points given.`,
    ],
  });
  return working === null ? null : workingTerm(key, symbol, `solubility at ${wanted} °C`, working);
}

/** Least hot solvent, expected loss and best recovery of a recrystallisation. */
export const recrystallisation: Calculation = defineCalculation({
  id: 'recrystallisation',
  title: 'Recrystallisation from one solvent',
  purpose:
    'How much hot solvent dissolves the crude product, what stays behind in the cold, and the best recovery.',
  section: 'procedure',
  fields: [
    field.quantity('mass', 'Crude product', 'mass', 'g'),
    field.series(
      'solubility',
      'Solubility, g in 1 L of solvent',
      2,
      [
        ['temperature', 'Temperature', 'temperature', '°C'],
        ['solubility', 'Solubility', 'density', 'g/L'],
      ],
      'Two temperatures or more; name where they come from in the remark.',
    ),
    field.quantity('hot', 'Dissolved at', 'temperature', '°C'),
    field.quantity('cold', 'Cooled to', 'temperature', '°C'),
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
      'Once it is known; it then replaces the extra.',
      true,
    ),
    field.quantity('washing', 'Cold solvent for washing', 'volume', 'mL', '', true),
  ],
  example: {
    mass: entered('g')('3.00'),
    solubility: [
      { temperature: entered('°C')('0'), solubility: entered('g/L')('1.70') },
      { temperature: entered('°C')('75'), solubility: entered('g/L')('21.45') },
    ],
    hot: entered('°C')('75'),
    cold: entered('°C')('0'),
    extra: entered('%')('30'),
  },
  solve(sheet) {
    const mass = sheet.term('mass', 'm');
    const hotAt = sheet.term('hot', 't_{hot}');
    const coldAt = sheet.term('cold', 't_{cold}');
    if (mass === null || hotAt === null || coldAt === null) return;
    if (mass.quantity.value === 0) return sheet.problem('mass-zero', 'mass');
    if (hotAt.quantity.value <= coldAt.quantity.value) {
      return sheet.problem('not-cooling', 'cold', { from: hotAt.quantity.value, to: coldAt.quantity.value });
    }
    const hot = solubilityAt(sheet, hotAt, 'hot');
    const cold = solubilityAt(sheet, coldAt, 'cold');
    if (hot === null || cold === null) return;
    if (cold.quantity.value >= hot.quantity.value) {
      return sheet.problem('not-less-soluble-cold', 'solubility', {
        hot: hot.quantity.value,
        cold: cold.quantity.value,
      });
    }
    const least = sheet.answer({
      id: 'least-solvent',
      title: 'Least volume of hot solvent',
      symbol: 'V_{min}',
      formula: 'thousand * mass / s_hot',
      display: 'V_{min} = m / s_{hot}',
      terms: [thousand, mass, hot],
      unit: 'mL',
      citation: 'definition of solubility',
    });
    if (least === null) return;
    const leastTerm = workingTerm('V_min', 'V_{min}', 'least volume of hot solvent', least);
    const volume = usedVolume(sheet, leastTerm);
    if (volume === null) return;
    if (!crop(sheet, { mass, volume, cold, washing: sheet.term('washing', 'V_{wash}') })) return;
    undissolved(sheet, mass, volume, hot);
    secondCrop(sheet, volume, cold);
    sheet.say(
      'advice',
      'The figures are those of the pure substance in the pure solvent; impurities and supersaturation change them.',
    );
  },
});

/** The volume the loss is worked out with: the one really taken, else the least plus the extra. */
function usedVolume(sheet: Sheet, least: WorkingTerm): WorkingTerm | null {
  if (sheet.isFilled('volume')) {
    const taken = sheet.term('volume', 'V');
    return taken === null ? null : { ...taken, key: 'V', meaning: 'volume of solvent taken' };
  }
  const extra = sheet.term('extra', 'e');
  if (extra === null) return { ...least, key: 'V', symbol: 'V' };
  const more = sheet.answer({
    id: 'solvent-to-take',
    title: 'Volume of hot solvent to take',
    symbol: 'V',
    formula: 'V_min * (1 + extra / hundred)',
    display: 'V = V_{min} · (1 + e)',
    terms: [least, extra, exactTerm('hundred', '100', 'per cent', 100, 'definition of per cent')],
    unit: 'mL',
    citation: 'common practice, no source',
  });
  return more === null ? null : workingTerm('V', 'V', 'volume of hot solvent', more);
}

/** Crystals of a hydrate from a saturated solution: they take water with them. */
export const hydrateCrop: Calculation = defineCalculation({
  id: 'hydrate-crop',
  title: 'Crystals of a hydrate',
  purpose:
    'How much hydrate crystallises when a saturated solution cools, with the water that the crystals take.',
  section: 'procedure',
  fields: [
    field.formula('anhydrous', 'Anhydrous formula'),
    field.formula('hydrate', 'Formula of the crystals'),
    field.quantity('water', 'Water at the start', 'mass', 'g'),
    field.quantity('hot', 'Solubility hot, g anhydrous in 100 g of water', 'mass', 'g'),
    field.quantity('cold', 'Solubility cold, g anhydrous in 100 g of water', 'mass', 'g'),
  ],
  example: {
    anhydrous: 'KAl(SO4)2',
    hydrate: 'KAl(SO4)2·12H2O',
    water: entered('g')('100'),
    hot: entered('g')('33.3'),
    cold: entered('g')('6.01'),
  },
  solve(sheet) {
    const hot = sheet.term('hot', 's_{1}');
    const cold = sheet.term('cold', 's_{2}');
    if (hot !== null && cold !== null && cold.quantity.value >= hot.quantity.value) {
      return sheet.problem('not-less-soluble-cold', 'cold', {
        hot: hot.quantity.value,
        cold: cold.quantity.value,
      });
    }
    const anhydrous = sheet.molarMass('anhydrous', 'M_a', 'M_{anh}');
    const hydrate = sheet.molarMass('hydrate', 'M_h', 'M_{hyd}');
    if (anhydrous !== null && hydrate !== null && hydrate.quantity.value <= anhydrous.quantity.value) {
      return sheet.problem('hydrate-lighter', 'hydrate');
    }
    const share = sheet.derive({
      id: 'anhydrous-share',
      title: 'Anhydrous part of the crystals',
      symbol: 'f',
      formula: 'M_a / M_h',
      display: 'f = M_{anh} / M_{hyd}',
      terms: [anhydrous, hydrate],
      unit: '1',
      citation: 'definition of a mass fraction',
    });
    if (share === null) return;
    const f = workingTerm('f', 'f', 'anhydrous part of the crystals', share);
    const answer = sheet.answer({
      id: 'hydrate-mass',
      title: 'Mass of crystals',
      symbol: 'm_{cryst}',
      formula: 'water * (hot - cold) / (hundred * f - cold * (1 - f))',
      display: 'm_{cryst} = m_{w} · (s_{1} − s_{2}) / (f − s_{2} · (1 − f))',
      terms: [
        sheet.term('water', 'm_{w}'),
        hot,
        cold,
        f,
        exactTerm('hundred', '100', 'per 100 g of water', 100, 'as stated'),
      ],
      unit: 'g',
      citation: 'mass balance of salt and of water; s per gram of water in the printed form',
    });
    if (answer !== null && answer.result.value < 0) {
      sheet.answers.pop();
      sheet.say(
        'doubt',
        'So much water goes into the crystals that everything solidifies: the balance has no sensible answer here.',
      );
    }
  },
});
