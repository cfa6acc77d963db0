import { constantTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import type { Calculation } from './calculation.ts';
import { defineCalculation, field } from './sheet.ts';

const { entered } = field;

const openStax10 = 'OpenStax Chemistry 2e, 10.3 (molar enthalpy of fusion of ice 6.01 kJ/mol)';

/** Heat taken up by melting ice: 6.01 kJ/mol ÷ 18.015 g/mol. */
export const heatOfFusionOfIce = (): WorkingTerm =>
  constantTerm(
    'L',
    'L',
    'heat of fusion of ice',
    { value: 333.6, unit: 'J/g', standardUncertainty: null, significantFigures: 4 },
    openStax10,
  );

/** Specific heat of liquid water. */
export const specificHeatOfWater = (key = 'c_w'): WorkingTerm =>
  constantTerm(
    key,
    'c_{w}',
    'specific heat of water',
    { value: 4.184, unit: 'J/(g K)', standardUncertainty: null, significantFigures: 4 },
    'OpenStax Chemistry 2e, appendix on water',
  );

/** Ice needed to cool a mixture, melting into it or standing around it. */
export const iceForCooling: Calculation = defineCalculation({
  id: 'ice-for-cooling',
  title: 'Ice to cool a mixture',
  purpose: 'How much ice takes a mixture from one temperature to another.',
  section: 'procedure',
  fields: [
    field.quantity('mass', 'Mass of the mixture', 'mass', 'g'),
    field.quantity(
      'specificHeat',
      'Specific heat of the mixture',
      'specific-heat',
      'J/(g K)',
      'Dilute aqueous mixtures: that of water, 4.184 J/(g K).',
    ),
    field.quantity('from', 'Temperature now', 'temperature', '°C'),
    field.quantity('to', 'Temperature wanted', 'temperature', '°C'),
    field.choice('place', 'Where the ice is', {
      inside: 'melts into the mixture',
      around: 'in a bath around the flask, kept at 0 °C',
    }),
  ],
  example: {
    mass: entered('g')('250'),
    specificHeat: entered('J/(g K)')('4.184'),
    from: entered('°C')('80'),
    to: entered('°C')('10'),
    place: 'inside',
  },
  solve(sheet) {
    const mass = sheet.term('mass', 'm');
    const specificHeat = sheet.term('specificHeat', 'c');
    const from = sheet.term('from', 't_{1}');
    const to = sheet.term('to', 't_{2}');
    const place = sheet.choice('place');
    if (from !== null && to !== null && from.quantity.value <= to.quantity.value) {
      sheet.problem('not-cooling', 'to', { from: from.quantity.value, to: to.quantity.value });
      return;
    }
    if (to !== null && to.quantity.value < 0) {
      sheet.problem('below-ice', 'to', { to: to.quantity.value });
      return;
    }
    const heat = sheet.derive({
      id: 'heat-to-remove',
      title: 'Heat to take away',
      symbol: 'q',
      formula: 'mass * specificHeat * (from - to)',
      display: 'q = m · c · (t_{1} − t_{2})',
      terms: [mass, specificHeat, from, to],
      unit: 'J',
      citation: 'heat balance; OpenStax Chemistry 2e, 5.2',
    });
    if (heat === null || place === null) return;
    const q = workingTerm('q', 'q', 'heat to take away', heat);
    if (place === 'inside') {
      sheet.answer({
        id: 'ice-mass',
        title: 'Ice that melts into the mixture',
        symbol: 'm_{ice}',
        formula: 'q / (L + c_w * to)',
        display: 'm_{ice} = q / (L + c_{w} · t_{2})',
        terms: [q, heatOfFusionOfIce(), specificHeatOfWater(), to],
        unit: 'g',
        citation: 'heat balance: ice at 0 °C melts and its water warms to t₂',
        notes: ['The melted ice stays in the mixture and dilutes it.'],
      });
    } else {
      sheet.answer({
        id: 'ice-mass',
        title: 'Ice that melts in the bath',
        symbol: 'm_{ice}',
        formula: 'q / L',
        display: 'm_{ice} = q / L',
        terms: [q, heatOfFusionOfIce()],
        unit: 'g',
        citation: 'heat balance: the bath stays at 0 °C while ice is left',
        notes: ['Heat from the room and from the flask itself comes on top: keep ice to spare.'],
      });
    }
    sheet.say('advice', 'Take about half as much again: the room, the flask and the stirrer bring heat too.');
  },
});

/** Freezing mixtures of the practical laboratory, g of additive on 100 g of ice or as stated. */
export const freezingMixtures = [
  {
    id: 'ice-water',
    label: 'crushed ice and water',
    additive: null,
    ratio: null,
    reaches: 0,
    source: 'definition of the Celsius scale in practice',
  },
  {
    id: 'ice-sodium-chloride',
    label: 'ice and sodium chloride',
    additive: 'sodium chloride',
    ratio: 0.33,
    reaches: -21,
    source: 'tables of freezing mixtures, −21.2 °C, eutectic −21.1 °C: common practice, no source',
  },
  {
    id: 'ice-ammonium-chloride',
    label: 'ice and ammonium chloride',
    additive: 'ammonium chloride',
    ratio: 0.25,
    reaches: -15.8,
    source: 'tables of freezing mixtures, −15.4 °C in some: common practice, no source',
  },
  {
    id: 'ice-calcium-chloride',
    label: 'ice and calcium chloride hexahydrate',
    additive: 'calcium chloride hexahydrate',
    ratio: 1.43,
    reaches: -55,
    source: 'tables of freezing mixtures: common practice, no source',
  },
  {
    id: 'dry-ice',
    label: 'solid carbon dioxide with ethanol',
    additive: null,
    ratio: null,
    reaches: -78,
    source: 'tables of freezing mixtures: common practice, no source',
  },
] as const;

/** Which freezing mixture reaches a temperature, and how much of its salt goes on the ice. */
export const freezingMixture: Calculation = defineCalculation({
  id: 'freezing-mixture',
  title: 'Freezing mixture',
  purpose: 'Which mixture reaches the temperature wanted, and how much salt goes on the ice.',
  section: 'procedure',
  fields: [
    field.choice(
      'mixture',
      'Mixture',
      Object.fromEntries(freezingMixtures.map(({ id, label }) => [id, label])),
    ),
    field.quantity('ice', 'Crushed ice (or solid carbon dioxide)', 'mass', 'g'),
    field.quantity('wanted', 'Temperature wanted', 'temperature', '°C', '', true),
  ],
  example: { mixture: 'ice-sodium-chloride', ice: entered('g')('300'), wanted: entered('°C')('-5') },
  solve(sheet) {
    const choice = sheet.choice('mixture');
    const ice = sheet.term('ice', 'm_{ice}');
    const wanted = sheet.term('wanted', 't');
    const mixture = freezingMixtures.find(({ id }) => id === choice);
    if (mixture === undefined) return;
    if (mixture.ratio !== null) {
      sheet.answer({
        id: 'salt-mass',
        title: `Mass of ${mixture.additive}`,
        symbol: 'm_{salt}',
        formula: 'ratio * ice',
        display: 'm_{salt} = r · m_{ice}',
        terms: [
          constantTerm(
            'ratio',
            'r',
            `${mixture.additive} on one part of ice, by mass`,
            { value: mixture.ratio, unit: '1', standardUncertainty: null, significantFigures: 2 },
            mixture.source,
          ),
          ice,
        ],
        unit: 'g',
        citation: mixture.source,
      });
    }
    sheet.say(
      'result',
      `${mixture.label.charAt(0).toUpperCase()}${mixture.label.slice(1)} reaches ${String(mixture.reaches).replace('-', '−')} °C at best (${mixture.source}).`,
    );
    // The 5 to 10 °C: common practice, no source.
    sheet.say(
      'advice',
      'That needs fine, dry, cold ice and good stirring; as a bath expect it 5 to 10 °C warmer.',
    );
    if (mixture.id === 'ice-calcium-chloride') {
      sheet.say(
        'caution',
        'Take the hexahydrate: anhydrous calcium chloride heats up first and is no substitute.',
      );
    }
    if (mixture.id === 'dry-ice') {
      sheet.say(
        'caution',
        'Solid carbon dioxide: insulated gloves, good ventilation, never in a closed vessel.',
      );
    }
    if (wanted !== null && wanted.quantity.value < mixture.reaches) {
      sheet.problem('mixture-too-warm', 'wanted', {
        wanted: wanted.quantity.value,
        reaches: mixture.reaches,
      });
    } else if (wanted !== null && wanted.quantity.value < mixture.reaches + 5 && mixture.ratio !== null) {
      sheet.say(
        'doubt',
        'The temperature wanted is within 5 °C of the best the mixture can do: choose a colder one.',
      );
    }
  },
});

/** Temperature rise if all heat of a reaction or a dilution stayed in the mixture. */
export const adiabaticRise: Calculation = defineCalculation({
  id: 'adiabatic-rise',
  title: 'Temperature rise without cooling',
  purpose: 'How warm a mixture would become if all the heat stayed in it.',
  section: 'procedure',
  fields: [
    field.quantity('amount', 'Amount that reacts', 'amount', 'mol'),
    field.quantity(
      'heat',
      'Heat given off per mole',
      'molar-energy',
      'kJ/mol',
      'Strong acid with strong base: 55.8 kJ/mol of water formed.',
    ),
    field.quantity('mass', 'Mass of the whole mixture', 'mass', 'g'),
    field.quantity('specificHeat', 'Specific heat of the mixture', 'specific-heat', 'J/(g K)'),
    field.quantity('start', 'Temperature at the start', 'temperature', '°C', '', true),
  ],
  example: {
    amount: entered('mol')('0.100'),
    heat: entered('kJ/mol')('55.8'),
    mass: entered('g')('200'),
    specificHeat: entered('J/(g K)')('4.184'),
    start: entered('°C')('20.0'),
  },
  solve(sheet) {
    const rise = sheet.answer({
      id: 'temperature-rise',
      title: 'Adiabatic temperature rise',
      symbol: 'ΔT',
      formula: '1000 * amount * heat / (mass * specificHeat)',
      display: 'ΔT = n · ΔH / (m · c)',
      terms: [
        sheet.term('amount', 'n'),
        sheet.term('heat', 'ΔH'),
        sheet.term('mass', 'm'),
        sheet.term('specificHeat', 'c'),
      ],
      unit: 'Δ°C',
      citation: 'heat balance; OpenStax Chemistry 2e, 5.2',
      notes: ['The factor 1000 turns kJ into J.'],
    });
    const start = sheet.term('start', 't_{1}');
    if (rise === null) return;
    if (start !== null) {
      sheet.answer({
        id: 'end-temperature',
        title: 'Temperature reached without cooling',
        symbol: 't_{2}',
        formula: 'start + rise',
        display: 't_{2} = t_{1} + ΔT',
        terms: [start, workingTerm('rise', 'ΔT', 'adiabatic temperature rise', rise)],
        unit: '°C',
        citation: 'heat balance',
      });
    }
    sheet.say(
      'advice',
      'Real mixtures lose heat on the way: this is the worst case of one addition all at once.',
    );
    if (rise.result.value > 40) {
      sheet.say(
        'caution',
        'A rise above 40 °C can boil a solvent or run away: add slowly under cooling, and ask the person in charge first.',
      );
    }
  },
});
