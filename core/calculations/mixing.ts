import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Calculation } from './calculation.ts';
import { densityAt, densityTableById, densityTables } from './density-tables.ts';
import { approximate, defineCalculation, field } from './sheet.ts';

const { entered } = field;

/** Two strengths of the same solute mixed to a third, by mass. */
export const mixingTwoStrengths: Calculation = defineCalculation({
  id: 'mixing-two-strengths',
  title: 'Mixing two strengths',
  purpose: 'How much of a stronger and a weaker solution makes one in between, by mass.',
  section: 'requirements',
  fields: [
    field.quantity('high', 'Stronger solution', 'mass-fraction', '% w/w'),
    field.quantity('low', 'Weaker solution', 'mass-fraction', '% w/w', 'Pure water is 0.'),
    field.quantity('target', 'Strength wanted', 'mass-fraction', '% w/w'),
    field.quantity('mass', 'Mass wanted', 'mass', 'g'),
  ],
  example: {
    high: entered('% w/w')('68.0'),
    low: entered('% w/w')('0'),
    target: entered('% w/w')('10.0'),
    mass: entered('g')('400.0'),
  },
  solve(sheet) {
    const high = sheet.term('high', 'w_{1}');
    const low = sheet.term('low', 'w_{2}');
    const target = sheet.term('target', 'w');
    const mass = sheet.term('mass', 'm');
    if (high !== null && low !== null && target !== null) {
      const [h, l, t] = [high.quantity.value, low.quantity.value, target.quantity.value];
      if (h <= l) return sheet.problem('strengths-swapped', 'high', { high: h, low: l });
      if (t < l || t > h) return sheet.problem('target-outside', 'target', { high: h, low: l, target: t });
    }
    // Typed as pure water, 0 limits no digits: there is nothing uncertain about it.
    const exactLow =
      low !== null && low.quantity.value === 0
        ? { ...low, quantity: { ...low.quantity, standardUncertainty: 0, significantFigures: null } }
        : low;
    const strong = sheet.answer({
      id: 'stronger-mass',
      title: 'Mass of the stronger solution',
      symbol: 'm_{1}',
      formula: 'mass * (target - low) / (high - low)',
      display: 'm_{1} = m · (w − w_{2}) / (w_{1} − w_{2})',
      terms: [mass, target, exactLow, high],
      unit: 'g',
      citation: 'mass balance of the solute; exact by mass for % w/w',
    });
    if (strong === null) return;
    sheet.answer({
      id: 'weaker-mass',
      title: 'Mass of the weaker solution',
      symbol: 'm_{2}',
      formula: 'mass - strong',
      display: 'm_{2} = m − m_{1}',
      terms: [mass, workingTerm('strong', 'm_{1}', 'mass of the stronger solution', strong)],
      unit: 'g',
      citation: 'mass balance',
    });
    sheet.say('advice', 'Weigh both: volumes do not add. By volume the same rule is only a rough guide.');
  },
});

const soluble = Object.fromEntries(densityTables.map(({ id, solute }) => [id, solute]));

/** Volume of a mixture of a tabulated liquid with water: what contraction takes away. */
export const contraction: Calculation = defineCalculation({
  id: 'volume-on-mixing',
  title: 'Volume on mixing with water',
  purpose: 'The volume that a tabulated solution and water really make together.',
  section: 'requirements',
  fields: [
    field.choice('solute', 'Solute', soluble),
    field.quantity(
      'percent',
      'Strength of the solution',
      'mass-fraction',
      '% w/w',
      'The neat liquid is 100.',
    ),
    field.quantity('volume', 'Volume of the solution', 'volume', 'mL'),
    field.quantity('water', 'Volume of water', 'volume', 'mL'),
  ],
  example: {
    solute: 'ethanol',
    percent: entered('% w/w')('100'),
    volume: entered('mL')('50.0'),
    water: entered('mL')('50.0'),
  },
  solve(sheet) {
    const table = densityTableById(sheet.choice('solute') ?? '');
    const percent = sheet.term('percent', 'w_{1}');
    const volume = sheet.term('volume', 'V_{1}');
    const water = sheet.term('water', 'V_{w}');
    if (table === undefined || percent === null || volume === null || water === null) return;
    const density = (value: number, key: string, symbol: string, meaning: string) => {
      const found = densityAt(table, value, 'percent');
      if (found.ok) return approximate(key, symbol, meaning, found.value.value, 'g/mL', 5, table.source);
      sheet.problem(found.error.code, 'percent', found.error.facts);
      return null;
    };
    const rho = density(percent.quantity.value, 'rho', 'ρ_{1}', `density of the ${table.solute} taken`);
    const rhoWater = approximate(
      'rho_w',
      'ρ_{w}',
      'density of water at 20 °C',
      0.99821,
      'g/mL',
      5,
      table.source,
    );
    const mass = sheet.derive({
      id: 'mass-of-mixture',
      title: 'Mass of the mixture',
      symbol: 'm',
      formula: 'rho * volume + rho_w * water',
      display: 'm = ρ_{1} · V_{1} + ρ_{w} · V_{w}',
      terms: [rho, volume, rhoWater, water],
      unit: 'g',
      citation: 'mass balance: masses add, volumes do not',
    });
    if (mass === null) return;
    const strength = sheet.answer({
      id: 'strength-of-mixture',
      title: 'Strength of the mixture',
      symbol: 'w',
      formula: 'percent * rho * volume / mass',
      display: 'w = w_{1} · ρ_{1} · V_{1} / m',
      terms: [percent, rho, volume, workingTerm('mass', 'm', 'mass of the mixture', mass)],
      unit: '% w/w',
      citation: 'mass balance of the solute',
    });
    if (strength === null) return;
    const rhoMixture = density(strength.result.value, 'rho_m', 'ρ', 'density of the mixture');
    const total = sheet.answer({
      id: 'volume-of-mixture',
      title: 'Volume of the mixture',
      symbol: 'V',
      formula: 'mass / rho_m',
      display: 'V = m / ρ',
      terms: [workingTerm('mass', 'm', 'mass of the mixture', mass), rhoMixture],
      unit: 'mL',
      citation: 'definition of density',
    });
    if (total === null) return;
    sheet.answer({
      id: 'contraction',
      title: 'Volume that disappears on mixing',
      symbol: 'ΔV',
      formula: 'volume + water - total',
      display: 'ΔV = V_{1} + V_{w} − V',
      terms: [volume, water, workingTerm('total', 'V', 'volume of the mixture', total)],
      unit: 'mL',
      citation: 'difference of volumes at 20 °C',
    });
  },
});

/** Dropwise addition: drops, rate and time. */
export const dropwiseAddition: Calculation = defineCalculation({
  id: 'dropwise-addition',
  title: 'Dropwise addition',
  purpose: 'How long an addition takes at a given rate, and how many drops it is.',
  section: 'procedure',
  fields: [
    field.quantity('volume', 'Volume to add', 'volume', 'mL'),
    field.quantity(
      'dropsPerMl',
      'Drops counted in 1 mL',
      'drops',
      'drops',
      'Count them once with your own funnel and liquid; water gives about 20.',
    ),
    field.quantity('rate', 'Rate', 'drop-rate', 'drops/min'),
  ],
  example: {
    volume: entered('mL')('5.0'),
    dropsPerMl: entered('drops')('20'),
    rate: entered('drops/min')('10'),
  },
  solve(sheet) {
    const volume = sheet.term('volume', 'V');
    const perMl = sheet.term('dropsPerMl', 'z');
    const rate = sheet.term('rate', 'r');
    if (rate !== null && rate.quantity.value <= 0) return sheet.problem('rate-zero', 'rate');
    sheet.answer({
      id: 'number-of-drops',
      title: 'Drops in all',
      symbol: 'N',
      formula: 'volume * dropsPerMl',
      display: 'N = V · z',
      terms: [volume, perMl],
      unit: 'drops',
      citation: 'count of drops per millilitre',
    });
    const time = sheet.answer({
      id: 'addition-time',
      title: 'Time the addition takes',
      symbol: 't',
      formula: 'volume * dropsPerMl / rate',
      display: 't = V · z / r',
      terms: [volume, perMl, rate],
      unit: 'min',
      citation: 'definition of a rate',
    });
    if (time !== null && time.result.value > 60) {
      sheet.say('advice', 'More than an hour of dropwise addition: see whether it fits the session.');
    }
  },
});

/** Size of flask for a mixture, by how full a flask may be. */
export const vesselSizesMl = [5, 10, 25, 50, 100, 150, 250, 500, 1000, 2000] as const;
const fillLimits = {
  'reflux-or-stirring': { share: 0.5, words: 'heating under reflux or stirring: half full' },
  distillation: { share: 2 / 3, words: 'distillation: two thirds full' },
  foaming: { share: 1 / 3, words: 'gas or foam expected: a third full' },
  'beaker-recrystallisation': { share: 0.5, words: 'recrystallisation in a conical flask: half full' },
} as const;

export const vesselSize: Calculation = defineCalculation({
  id: 'vessel-size',
  title: 'Size of the flask',
  purpose: 'The smallest usual flask that is not overfilled.',
  section: 'requirements',
  fields: [
    field.quantity('volume', 'Volume of everything in it at its fullest', 'volume', 'mL'),
    field.choice(
      'use',
      'What happens in it',
      Object.fromEntries(Object.entries(fillLimits).map(([key, { words }]) => [key, words])),
    ),
  ],
  example: { volume: entered('mL')('40'), use: 'reflux-or-stirring' },
  solve(sheet) {
    const use = sheet.choice('use') as keyof typeof fillLimits | null;
    if (use === null) return;
    const limit = fillLimits[use];
    const least = sheet.answer({
      id: 'least-capacity',
      title: 'Least capacity',
      symbol: 'V_{flask}',
      formula: 'volume / fill',
      display: 'V_{flask} = V / f',
      terms: [
        sheet.term('volume', 'V'),
        exactTerm(
          'fill',
          'f',
          `how full it may be (${limit.words})`,
          limit.share,
          'common practice, no source',
        ),
      ],
      unit: 'mL',
      citation: 'common practice, no source',
    });
    if (least === null) return;
    const size = vesselSizesMl.find((one) => one >= least.result.value);
    if (size === undefined) {
      sheet.say(
        'caution',
        'No usual teaching flask is large enough: split the batch or ask the person in charge.',
      );
    } else {
      sheet.say('result', `Take a ${size} mL flask.`);
    }
  },
});
