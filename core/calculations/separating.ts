import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Calculation } from './calculation.ts';
import { approximate, defineCalculation, field } from './sheet.ts';

// From memory, not checked against the print.
const youngsRule = 'Sydney Young’s rule';
const { entered } = field;
const gasConstant = () =>
  approximate('R', 'R', 'gas constant', 8.314462618, 'J/(mol K)', 10, 'CODATA 2018 (exact)');
const kelvin = exactTerm('T0', '273.15', 'zero of the Celsius scale', 273.15, 'definition', 'K');
const thousand = exactTerm('thousand', '1000', 'joules in a kilojoule', 1000, 'definition');
const hundred = exactTerm('hundred', '100', 'per cent', 100, 'definition of per cent');

/** Shaking out with n portions of solvent. */
export const extraction: Calculation = defineCalculation({
  id: 'extraction',
  title: 'Liquid–liquid extraction',
  purpose: 'How much is left in the first liquid after shaking out with several portions.',
  section: 'procedure',
  fields: [
    field.quantity('partition', 'Partition coefficient (extracting ÷ first liquid)', 'number', '1'),
    field.quantity('first', 'Volume of the first liquid', 'volume', 'mL'),
    field.quantity('solvent', 'Extracting solvent in all', 'volume', 'mL'),
    field.quantity('portions', 'Number of portions', 'number', '1'),
  ],
  example: {
    partition: entered('1')('4.0'),
    first: entered('mL')('50.0'),
    solvent: entered('mL')('50.0'),
    portions: entered('1')('5'),
  },
  solve(sheet) {
    const partition = sheet.term('partition', 'K');
    const first = sheet.term('first', 'V_{1}');
    const solvent = sheet.term('solvent', 'V_{2}');
    const typed = sheet.term('portions', 'n');
    if (typed === null) return;
    const n = typed.quantity.value;
    if (!Number.isInteger(n) || n < 1 || n > 20)
      return sheet.problem('portions-whole', 'portions', { typed: n });
    if (partition !== null && partition.quantity.value <= 0)
      return sheet.problem('partition-positive', 'partition');
    if (first !== null && first.quantity.value <= 0) return sheet.problem('volume-zero', 'first');
    const portions = exactTerm('n', 'n', 'number of portions', n, 'as typed');
    const left = sheet.answer({
      id: 'left-behind',
      title: `Left in the first liquid after ${n} ${n === 1 ? 'portion' : 'portions'}`,
      symbol: 'x',
      formula: '100 * (first / (first + partition * solvent / n)) ^ n',
      display: 'x = (V_{1} / (V_{1} + K · V_{2} / n))^{n}',
      terms: [first, partition, solvent, portions],
      unit: '%',
      citation: 'partition law, equal portions; in any textbook of practical organic chemistry',
    });
    if (left === null || n === 1) return;
    sheet.derive({
      id: 'left-behind-at-once',
      title: 'Left behind if all were used at once',
      symbol: 'x_{1}',
      formula: '100 * first / (first + partition * solvent)',
      display: 'x_{1} = V_{1} / (V_{1} + K · V_{2})',
      terms: [first, partition, solvent],
      unit: '%',
      citation: 'partition law',
    });
    sheet.say(
      'advice',
      'Vent the funnel often, away from people; the law holds while K does not change with strength.',
    );
  },
});

/** Oil and water that come over together in steam distillation. */
export const steamDistillation: Calculation = defineCalculation({
  id: 'steam-distillation',
  title: 'Steam distillation',
  purpose: 'How much oil comes over with the water.',
  section: 'procedure',
  fields: [
    field.formula('oil', 'Formula of the oil'),
    field.quantity(
      'oilPressure',
      'Vapour pressure of the oil',
      'pressure',
      'kPa',
      'At the temperature of distillation.',
    ),
    field.quantity('waterPressure', 'Vapour pressure of water', 'pressure', 'kPa', '94.3 kPa at 98 °C.'),
    field.quantity('mass', 'Oil to bring over', 'mass', 'g', '', true),
  ],
  example: {
    oil: 'C6H5NO2',
    oilPressure: entered('kPa')('7.0'),
    waterPressure: entered('kPa')('94.3'),
    mass: entered('g')('10.0'),
  },
  solve(sheet) {
    const oil = sheet.term('oilPressure', 'p_{oil}');
    const water = sheet.term('waterPressure', 'p_{w}');
    if (oil !== null && oil.quantity.value <= 0) return sheet.problem('pressure-zero', 'oilPressure');
    if (water !== null && water.quantity.value <= 0) return sheet.problem('pressure-zero', 'waterPressure');
    const ratio = sheet.answer({
      id: 'oil-to-water',
      title: 'Mass of oil with each gram of water',
      symbol: 'r',
      formula: 'oilPressure * M / (waterPressure * M_w)',
      display: 'r = p_{oil} · M / (p_{w} · M_{w})',
      terms: [
        oil,
        sheet.molarMass('oil', 'M', 'M'),
        water,
        approximate('M_w', 'M_{w}', 'molar mass of water', 18.015, 'g/mol', 5, 'IUPAC/CIAAW 2021, abridged'),
      ],
      unit: '1',
      citation: 'Dalton’s law for two immiscible liquids',
    });
    const mass = sheet.term('mass', 'm');
    if (ratio === null || mass === null) return;
    sheet.answer({
      id: 'water-to-distil',
      title: 'Water that must come over',
      symbol: 'm_{w}',
      formula: 'mass / r',
      display: 'm_{w} = m / r',
      terms: [mass, workingTerm('r', 'r', 'oil with each gram of water', ratio)],
      unit: 'g',
      citation: 'definition of the ratio',
    });
  },
});

/** Boiling point at the pressure of the day, by Clausius and Clapeyron. */
export const boilingAtPressure: Calculation = defineCalculation({
  id: 'boiling-at-pressure',
  title: 'Boiling point at another pressure',
  purpose: 'Where a liquid boils at the pressure of the day or under reduced pressure.',
  section: 'result',
  fields: [
    field.quantity('normal', 'Boiling point known', 'temperature', '°C'),
    field.quantity('normalPressure', 'at the pressure', 'pressure', 'kPa', 'Normal pressure: 101.325 kPa.'),
    field.quantity('heat', 'Enthalpy of vaporisation', 'molar-energy', 'kJ/mol'),
    field.quantity('pressure', 'Pressure now', 'pressure', 'kPa'),
  ],
  example: {
    normal: entered('°C')('78.3'),
    normalPressure: entered('kPa')('101.325'),
    heat: entered('kJ/mol')('38.6'),
    pressure: entered('kPa')('95.0'),
  },
  solve(sheet) {
    const p = sheet.term('pressure', 'p_{2}');
    const p0 = sheet.term('normalPressure', 'p_{1}');
    const heat = sheet.term('heat', 'ΔH_{vap}');
    for (const [key, term] of [
      ['pressure', p],
      ['normalPressure', p0],
    ] as const) {
      if (term !== null && term.quantity.value <= 0) return sheet.problem('pressure-zero', key);
    }
    if (heat !== null && heat.quantity.value <= 0) return sheet.problem('heat-positive', 'heat');
    const answer = sheet.answer({
      id: 'boiling-point',
      title: 'Boiling point at that pressure',
      symbol: 't_{2}',
      formula: '1 / (1 / (normal + T0) - R / (thousand * heat) * ln(pressure / normalPressure)) - T0',
      display: '1/T_{2} = 1/T_{1} − (R / ΔH_{vap}) · ln(p_{2}/p_{1})',
      terms: [sheet.term('normal', 't_{1}'), kelvin, gasConstant(), thousand, heat, p, p0],
      unit: '°C',
      citation: 'Clausius–Clapeyron; OpenStax Chemistry 2e, 10.3',
    });
    if (answer === null) return;
    if (answer.result.value < -273.15 || answer.result.value > 2000) {
      sheet.answers.pop();
      return sheet.problem('outside-model', 'pressure');
    }
    if (p !== null && p0 !== null && Math.abs(Math.log(p.quantity.value / p0.quantity.value)) > Math.log(4)) {
      sheet.say(
        'doubt',
        'Over more than a factor of four in pressure the enthalpy is not constant: take it as a first guess.',
      );
    }
  },
});

/** Reading near one atmosphere brought to 760 mmHg (Sydney Young). */
export const boilingNearNormal: Calculation = defineCalculation({
  id: 'boiling-near-normal',
  title: 'Boiling point brought to normal pressure',
  purpose: 'What a boiling point read at the barometer of the day would be at 760 mmHg.',
  section: 'result',
  fields: [
    field.quantity('reading', 'Boiling point read', 'temperature', '°C'),
    field.quantity('pressure', 'Barometer', 'pressure', 'mmHg'),
    field.choice('kind', 'Liquid', {
      plain: 'hydrocarbon, ester, ether, halide, ketone …',
      associated: 'alcohol, carboxylic acid or water',
    }),
  ],
  example: { reading: entered('°C')('109.7'), pressure: entered('mmHg')('740'), kind: 'plain' },
  solve(sheet) {
    const kind = sheet.choice('kind');
    const reading = sheet.term('reading', 't');
    const pressure = sheet.term('pressure', 'p');
    if (kind === null) return;
    if (pressure !== null && Math.abs(pressure.quantity.value - 760) > 60) {
      return sheet.problem('not-near-normal', 'pressure', { pressure: pressure.quantity.value });
    }
    const correction = sheet.answer({
      id: 'pressure-correction',
      title: 'Correction to add',
      symbol: 'Δt',
      formula: 'k * (normal - pressure) * (T0 + reading)',
      display: 'Δt = k · (760 − p) · (273 + t)',
      terms: [
        approximate(
          'k',
          'k',
          'Sydney Young’s constant',
          kind === 'plain' ? 0.00012 : 0.0001,
          '1',
          2,
          youngsRule,
        ),
        exactTerm('normal', '760', 'normal pressure in mmHg', 760, 'definition of the atmosphere', 'mmHg'),
        pressure,
        kelvin,
        reading,
      ],
      unit: 'Δ°C',
      citation: youngsRule,
    });
    if (correction === null) return;
    sheet.answer({
      id: 'boiling-point-normal',
      title: 'Boiling point at 760 mmHg',
      symbol: 't_{760}',
      formula: 'reading + correction',
      display: 't_{760} = t + Δt',
      terms: [reading, workingTerm('correction', 'Δt', 'correction', correction)],
      unit: '°C',
      citation: 'definition of the correction',
    });
  },
});

/** Weighings in turn until the mass stays. */
export const dryingToConstantMass: Calculation = defineCalculation({
  id: 'drying-to-constant-mass',
  title: 'Drying to constant mass',
  purpose: 'Whether the product is dry, from a series of weighings.',
  section: 'result',
  fields: [
    field.series('weighings', 'Weighings in order', 2, [['mass', 'Mass', 'mass', 'g']]),
    field.quantity('within', 'Counts as constant within', 'mass', 'g', 'A few times what the balance shows.'),
  ],
  example: {
    weighings: ['2.415', '2.132', '2.106', '2.104'].map((text) => ({ mass: entered('g')(text) })),
    within: entered('g')('0.005'),
  },
  solve(sheet) {
    const rows = sheet.series('weighings', { mass: 'm' });
    const within = sheet.term('within', 'δ');
    if (rows === null) return;
    const last = rows.at(-1)?.['mass'];
    const before = rows.at(-2)?.['mass'];
    const first = rows[0]?.['mass'];
    if (last === undefined || before === undefined || first === undefined) return;
    const change = sheet.answer({
      id: 'last-change',
      title: 'Change at the last weighing',
      symbol: 'Δm',
      formula: `${last.key} - ${before.key}`,
      display: 'Δm = m_{last} − m_{before}',
      terms: [last, before],
      unit: 'g',
      citation: 'difference of two weighings',
    });
    if (first.key !== before.key && first.quantity.value > 0) {
      sheet.derive({
        id: 'given-off',
        title: 'Given off since the first weighing',
        symbol: 'x',
        formula: `hundred * (${first.key} - ${last.key}) / ${first.key}`,
        display: 'x = (m_{first} − m_{last}) / m_{first}',
        terms: [first, last, hundred],
        unit: '%',
        citation: 'mass balance',
      });
    }
    if (change === null || within === null) return;
    const isConstant = Math.abs(change.result.value) <= within.quantity.value * (1 + 1e-12);
    if (isConstant) sheet.say('result', 'The mass is constant within the limit given.');
    else if (change.result.value > 0)
      sheet.say('doubt', 'The mass has gone up: it takes up moisture, or a weighing is wrong.');
    else sheet.say('result', 'The mass still falls: dry on, and weigh again.');
  },
});
