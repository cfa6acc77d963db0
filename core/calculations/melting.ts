import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Calculation } from './calculation.ts';
import { approximate, defineCalculation, field } from './sheet.ts';

const { entered } = field;
const kelvin = exactTerm('T0', '273.15', 'zero of the Celsius scale', 273.15, 'definition', 'K');

/** Thread of liquid outside the bath reads too low. */
export const stemCorrection: Calculation = defineCalculation({
  id: 'stem-correction',
  title: 'Emergent-stem correction',
  purpose: 'What to add to a reading because part of the thread is outside the heated bath.',
  section: 'result',
  fields: [
    field.quantity('reading', 'Reading', 'temperature', '°C'),
    field.quantity('immersed', 'Immersed to the mark', 'temperature', '°C'),
    field.quantity(
      'stem',
      'Mean temperature of the stem',
      'temperature',
      '°C',
      'A second thermometer at half height of the thread.',
    ),
    field.choice('liquid', 'Thermometer', {
      mercury: 'mercury in glass',
      spirit: 'spirit-filled',
      none: 'partial immersion used at its line, or a digital block',
    }),
  ],
  example: {
    reading: entered('°C')('240.0'),
    immersed: entered('°C')('60'),
    stem: entered('°C')('50'),
    liquid: 'mercury',
  },
  solve(sheet) {
    const liquid = sheet.choice('liquid');
    const reading = sheet.term('reading', 't');
    if (liquid === 'none') {
      sheet.say('result', 'No correction: the scale already stands for this immersion.');
      return;
    }
    const immersed = sheet.term('immersed', 't_{0}');
    const stem = sheet.term('stem', 't_{s}');
    if (liquid === null || reading === null || immersed === null) return;
    if (immersed.quantity.value > reading.quantity.value) {
      return sheet.problem('thread-not-outside', 'immersed', {
        immersed: immersed.quantity.value,
        reading: reading.quantity.value,
      });
    }
    const factor =
      liquid === 'mercury'
        ? approximate(
            'K',
            'K',
            'apparent expansion of mercury in glass',
            0.00016,
            '1/°C',
            2,
            'published stem-correction factor; 0.000154 to 0.00016 in use',
          )
        : approximate(
            'K',
            'K',
            'apparent expansion of spirit in glass',
            0.001,
            '1/°C',
            1,
            // From memory, not checked against the print.
            'ASTM E77',
          );
    const correction = sheet.answer({
      id: 'stem',
      title: 'Stem correction',
      symbol: 'Δt',
      formula: 'K * (reading - immersed) * (reading - stem)',
      display: 'Δt = K · (t − t_{0}) · (t − t_{s})',
      terms: [factor, reading, immersed, stem],
      unit: 'Δ°C',
      citation: 'stem correction K n (t − tₛ) of the handbooks',
    });
    if (correction === null) return;
    sheet.answer({
      id: 'corrected-reading',
      title: 'Corrected reading',
      symbol: 't_{corr}',
      formula: 'reading + correction',
      display: 't_{corr} = t + Δt',
      terms: [reading, workingTerm('correction', 'Δt', 'stem correction', correction)],
      unit: '°C',
      citation: 'definition of the correction',
    });
    sheet.say(
      'advice',
      'Do not correct twice: a calibration line made with the same immersion already holds the stem.',
    );
  },
});

/** True temperature from a reading, by a line through melting-point standards. */
export const thermometerCalibration: Calculation = defineCalculation({
  id: 'thermometer-calibration',
  title: 'Thermometer calibration',
  purpose: 'The true temperature of a reading, from standards melted in the same apparatus.',
  section: 'result',
  fields: [
    field.series('standards', 'Standards', 1, [
      ['reading', 'Read', 'temperature', '°C'],
      ['truth', 'True', 'temperature', '°C'],
    ]),
    field.quantity('reading', 'Reading to correct', 'temperature', '°C'),
  ],
  example: {
    standards: [
      ['47.5', '48.0'],
      ['113.0', '114.3'],
      ['120.9', '122.3'],
      ['156.6', '158.6'],
    ].map(([reading = '', truth = '']) => ({ reading: entered('°C')(reading), truth: entered('°C')(truth) })),
    reading: entered('°C')('133.5'),
  },
  solve(sheet) {
    const rows = sheet.series('standards', { reading: 'r', truth: 't' });
    const reading = sheet.term('reading', 'r');
    if (rows === null || reading === null) return;
    const readings = rows.map((row) => row['reading']?.quantity.value ?? 0);
    const truths = rows.map((row) => row['truth']?.quantity.value ?? 0);
    const x = { ...reading, key: 'x' };
    if (rows.length === 1) {
      const one = rows[0];
      sheet.answer({
        id: 'true-temperature',
        title: 'True temperature',
        symbol: 't',
        formula: 'x + truth_0 - reading_0',
        display: 't = r + (t_{1} − r_{1})',
        terms: [x, one?.['truth'] ?? null, one?.['reading'] ?? null],
        unit: '°C',
        citation: 'one standard gives an offset only',
      });
      return sheet.say(
        'doubt',
        'One standard gives an offset and no slope: far from it the correction is a guess.',
      );
    }
    const line = leastSquares(readings, truths);
    if (line === null) return sheet.problem('standards-alike', 'standards');
    const cited = 'ordinary least squares';
    const slope = approximate('b', 'b', 'slope of the line', line.slope, '1', 7, cited);
    const intercept = approximate('a', 'a', 'intercept of the line', line.intercept, '°C', 4, cited);
    const n = readings.length;
    const u =
      line.residual === null
        ? null
        : line.residual * Math.sqrt(1 / n + (reading.quantity.value - line.meanX) ** 2 / line.sxx);
    const answer = sheet.answer({
      id: 'true-temperature',
      title: 'True temperature',
      symbol: 't',
      formula: 'a + b * x',
      display: 't = a + b · r',
      terms: [intercept, slope, x],
      unit: '°C',
      citation: 'ordinary least squares through the standards',
      figures: reading.quantity.significantFigures,
      notes: [
        `Line through ${n} standards: a = ${plain(line.intercept, 3)} °C, b = ${plain(line.slope, 6)}.`,
        ...(line.residual === null || u === null
          ? ['Two standards fix the line and leave nothing to judge it by.']
          : [
              `Scatter of the standards about it: ${plain(line.residual, 2)} °C; standard uncertainty of the line here: ${plain(u, 2)} °C.`,
            ]),
      ],
    });
    const [least, most] = [Math.min(...readings), Math.max(...readings)];
    const r = reading.quantity.value;
    if (answer !== null && (r < least - 10 || r > most + 10)) {
      sheet.say('doubt', 'The reading lies more than 10 °C outside the standards: extrapolated.');
    }
  },
});

const plain = (value: number, decimals: number): string => value.toFixed(decimals).replace('-', '−');

/** Line y = intercept + slope x; residual is the standard deviation about it (n − 2), null for two points. */
export function leastSquares(x: readonly number[], y: readonly number[]) {
  const n = x.length;
  const meanX = x.reduce((sum, one) => sum + one, 0) / n;
  const meanY = y.reduce((sum, one) => sum + one, 0) / n;
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i += 1) {
    sxx += ((x[i] as number) - meanX) ** 2;
    sxy += ((x[i] as number) - meanX) * ((y[i] as number) - meanY);
  }
  if (!(sxx > 1e-9)) return null;
  const slope = sxy / sxx;
  const intercept = meanY - slope * meanX;
  let squares = 0;
  for (let i = 0; i < n; i += 1) squares += ((y[i] as number) - intercept - slope * (x[i] as number)) ** 2;
  return { slope, intercept, meanX, sxx, residual: n > 2 ? Math.sqrt(squares / (n - 2)) : null };
}

/** Impurity from how far the clear point lies below the melting point of the pure substance. */
export const purityFromMelting: Calculation = defineCalculation({
  id: 'purity-from-melting',
  title: 'Impurity from the melting point',
  purpose:
    'An order of magnitude of the impurity, from how far the clear point lies below that of the pure substance.',
  section: 'result',
  fields: [
    field.quantity('pure', 'Melting point of the pure substance', 'temperature', '°C'),
    field.quantity(
      'clear',
      'Clear point (end of melting)',
      'temperature',
      '°C',
      'Corrected; the last crystal has just gone.',
    ),
    field.quantity('fusion', 'Enthalpy of fusion', 'molar-energy', 'kJ/mol'),
    field.choice('decomposes', 'Does it decompose on melting?', { no: 'no', yes: 'yes' }),
  ],
  example: {
    pure: entered('°C')('122.34'),
    clear: entered('°C')('121.34'),
    fusion: entered('kJ/mol')('18.02'),
    decomposes: 'no',
  },
  solve(sheet) {
    const pure = sheet.term('pure', 't_{0}');
    const clear = sheet.term('clear', 't');
    const fusion = sheet.term('fusion', 'ΔH_{fus}');
    const decomposes = sheet.choice('decomposes');
    if (pure === null || clear === null || decomposes === null) return;
    if (decomposes === 'yes') return sheet.problem('model-decomposes', 'decomposes');
    if (fusion !== null && fusion.quantity.value <= 0) return sheet.problem('heat-positive', 'fusion');
    if (clear.quantity.value > pure.quantity.value) {
      return sheet.problem('clear-above-pure', 'clear', {
        clear: clear.quantity.value,
        pure: pure.quantity.value,
      });
    }
    const answer = sheet.answer({
      id: 'impurity',
      title: 'Impurity in the melt, by amount',
      symbol: 'x',
      formula: '100 * (1 - exp(-(thousand * fusion / R) * (1 / (clear + T0) - 1 / (pure + T0))))',
      display: 'ln(1 − x) = −(ΔH_{fus} / R) · (1/T − 1/T_{0})',
      terms: [
        exactTerm('thousand', '1000', 'joules in a kilojoule', 1000, 'definition'),
        fusion,
        approximate('R', 'R', 'gas constant', 8.314462618, 'J/(mol K)', 10, 'CODATA 2018 (exact)'),
        clear,
        pure,
        kelvin,
      ],
      unit: 'mol %',
      citation: 'Schröder–van ’t Hoff; any textbook of physical chemistry',
    });
    if (answer === null) return;
    const x = answer.result.value;
    sheet.say(
      'result',
      `About ${x < 1 ? x.toFixed(1) : Math.round(x)} mol % of foreign substance in the melt, as an order of magnitude.`,
    );
    sheet.say(
      'doubt',
      'Half a degree of error in the clear point shifts this by about 0.7 mol % for benzoic acid. It holds for a eutectic system without mixed crystals, and for impurity that dissolves in the melt.',
    );
    if (x > 5)
      sheet.say(
        'caution',
        'Above about 5 mol % the equation no longer describes the mixture: read it as “impure”.',
      );
    sheet.say(
      'advice',
      'Solvent left in the product counts by its moles: 1 % by mass of water in benzoic acid is 6 mol %.',
    );
  },
});

/** Mixed melting point: is the sample the same substance as the authentic one? */
export const mixedMelting: Calculation = defineCalculation({
  id: 'mixed-melting',
  title: 'Mixed melting point',
  purpose: 'What a melting range taken of a mixture with an authentic sample says about identity.',
  section: 'result',
  fields: [
    field.series('ranges', 'Sample, authentic substance, mixture (in this order)', 3, [
      ['from', 'From', 'temperature', '°C'],
      ['to', 'To', 'temperature', '°C'],
    ]),
  ],
  example: {
    ranges: [
      ['121.0', '122.5'],
      ['121.5', '122.5'],
      ['121.0', '122.5'],
    ].map(([from = '', to = '']) => ({ from: entered('°C')(from), to: entered('°C')(to) })),
  },
  solve(sheet) {
    const rows = sheet.series('ranges', { from: 't_{from}', to: 't_{to}' });
    if (rows === null) return;
    for (const [index, row] of rows.entries()) {
      if ((row['from']?.quantity.value ?? 0) > (row['to']?.quantity.value ?? 0)) {
        return sheet.problem('range-reversed', `ranges.${index}.from`);
      }
    }
    const [sample, authentic, mixture] = rows;
    if (sample === undefined || authentic === undefined || mixture === undefined) return;
    const depression = sheet.answer({
      id: 'depression',
      title: 'Clear point of the mixture below the lower of the two',
      symbol: 'Δt',
      formula: 'min(to_0, to_1) - to_2',
      display: 'Δt = min(t_{sample}, t_{authentic}) − t_{mixture}',
      terms: [sample['to'] ?? null, authentic['to'] ?? null, mixture['to'] ?? null],
      unit: 'Δ°C',
      citation: 'comparison of clear points; common practice, no source',
    });
    if (depression === null) return;
    const width = (mixture['to']?.quantity.value ?? 0) - (mixture['from']?.quantity.value ?? 0);
    const drop = depression.result.value;
    if (drop <= 1 && width <= 2) {
      sheet.say('result', 'The mixture melts as the two do apart: consistent with the same substance.');
    } else if (drop >= 3 || width > 4) {
      sheet.say(
        'result',
        'The mixture melts lower or over a wider range: the two are not the same substance, or one is very impure.',
      );
    } else {
      sheet.say(
        'result',
        'Not decided: repeat with a fresh, well-ground 1 : 1 mixture, all three side by side.',
      );
    }
    sheet.say(
      'advice',
      'Consistent is not proved: a few substances melt together without lowering each other.',
    );
  },
});

/** Refractive index brought to 20 °C. */
export const refractiveIndexAt20: Calculation = defineCalculation({
  id: 'refractive-index-20',
  title: 'Refractive index at 20 °C',
  purpose: 'A refractive index read at another temperature, brought to 20 °C.',
  section: 'result',
  fields: [
    field.quantity('index', 'Index read', 'number', '1'),
    field.quantity('temperature', 'Temperature of the prism', 'temperature', '°C'),
  ],
  example: { index: entered('1')('1.3983'), temperature: entered('°C')('24.0') },
  solve(sheet) {
    const index = sheet.term('index', 'n_{t}');
    const temperature = sheet.term('temperature', 't');
    if (index !== null && !(index.quantity.value >= 1 && index.quantity.value <= 3)) {
      return sheet.problem('index-absurd', 'index', { index: index.quantity.value });
    }
    sheet.answer({
      id: 'index-20',
      title: 'Refractive index at 20 °C',
      symbol: 'n^{20}',
      formula: 'index + k * (temperature - twenty)',
      display: 'n^{20} = n_{t} + k · (t − 20)',
      terms: [
        index,
        approximate(
          'k',
          'k',
          'change of the index with temperature, typical organic liquid',
          0.00045,
          '1/°C',
          2,
          // From memory.
          'usual coefficient for organic liquids',
        ),
        temperature,
        exactTerm('twenty', '20', 'temperature of reference', 20, 'convention of the tables', '°C'),
      ],
      unit: '1',
      citation: 'linear temperature correction, usual for organic liquids',
      figures: index?.quantity.significantFigures ?? 5,
    });
    if (temperature !== null && Math.abs(temperature.quantity.value - 20) > 15) {
      sheet.say(
        'doubt',
        'More than 15 °C from 20 °C: the coefficient is only typical, the fourth decimal is open.',
      );
    }
  },
});
