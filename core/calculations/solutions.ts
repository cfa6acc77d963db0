import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Calculation } from './calculation.ts';
import { densityAt, densityTableById, densityTables } from './density-tables.ts';
import type { Sheet } from './sheet.ts';
import { approximate, defineCalculation, field } from './sheet.ts';

const { entered } = field;
const massBalance = 'mass balance of the solute; OpenStax Chemistry 2e, 3.3 and 3.4';
const hundred = exactTerm('hundred', '100', 'per cent', 100, 'definition of per cent');

const acidIntoWater = (sheet: Sheet): void =>
  sheet.say(
    'caution',
    'Concentrated acid goes slowly into water with stirring and cooling, never water into acid; follow the supplier’s safety data sheet and the person in charge.',
  );

const strengthsDisagree = (sheet: Sheet, target: number, stock: number): boolean => {
  if (target < stock) return false;
  sheet.problem('not-weaker', 'target', { target, stock });
  return true;
};

/** c₁V₁ = c₂V₂. */
export const dilution: Calculation = defineCalculation({
  id: 'dilution',
  title: 'Dilution of a stock solution',
  purpose: 'How much stock solution makes a given volume of a weaker one.',
  section: 'requirements',
  fields: [
    field.quantity('stock', 'Strength of the stock', 'amount-concentration', 'mol/L'),
    field.quantity('target', 'Strength wanted', 'amount-concentration', 'mol/L'),
    field.quantity('volume', 'Volume wanted', 'volume', 'mL'),
  ],
  example: {
    stock: entered('mol/L')('1.59'),
    target: entered('mol/L')('0.100'),
    volume: entered('L')('5.00'),
  },
  solve(sheet) {
    const stock = sheet.term('stock', 'c_{1}');
    const target = sheet.term('target', 'c_{2}');
    const volume = sheet.term('volume', 'V_{2}');
    if (
      stock !== null &&
      target !== null &&
      strengthsDisagree(sheet, target.quantity.value, stock.quantity.value)
    ) {
      return;
    }
    const answer = sheet.answer({
      id: 'stock-volume',
      title: 'Volume of stock to take',
      symbol: 'V_{1}',
      formula: 'target * volume / stock',
      display: 'V_{1} = c_{2} · V_{2} / c_{1}',
      terms: [target, volume, stock],
      unit: 'mL',
      citation: 'OpenStax Chemistry 2e, 3.3',
    });
    if (answer !== null) {
      sheet.say(
        'advice',
        'Make up to the mark of a one-mark flask: the volumes of stock and water do not simply add.',
      );
    }
  },
});

/** Mass of a solid for a solution of given strength and volume. */
export const solutionFromSolid: Calculation = defineCalculation({
  id: 'solution-from-solid',
  title: 'Solution from a solid',
  purpose: 'What to weigh out for a solution of given strength and volume.',
  section: 'requirements',
  fields: [
    field.formula('formula', 'Formula on the bottle', 'Hydrate water included: Na2SO4·10H2O.'),
    field.quantity('assay', 'Assay', 'fraction', '%', '100 % when the label says nothing: then type 100.'),
    field.quantity('concentration', 'Strength wanted', 'amount-concentration', 'mol/L'),
    field.quantity('volume', 'Volume wanted', 'volume', 'mL'),
  ],
  example: {
    formula: 'NaCl',
    assay: entered('%')('100'),
    concentration: entered('mol/L')('5.30'),
    volume: entered('L')('0.250'),
  },
  solve(sheet) {
    sheet.answer({
      id: 'solid-mass',
      title: 'Mass to weigh out',
      symbol: 'm',
      formula: 'concentration * volume / thousand * M / (assay / hundred)',
      display: 'm = c · V · M / w',
      terms: [
        sheet.term('concentration', 'c'),
        sheet.term('volume', 'V'),
        exactTerm('thousand', '1000', 'millilitres in a litre', 1000, 'definition of the litre'),
        sheet.molarMass('formula', 'M', 'M'),
        sheet.term('assay', 'w'),
        hundred,
      ],
      unit: 'g',
      citation: massBalance,
    });
  },
});

const tabulated = Object.fromEntries(densityTables.map(({ id, solute }) => [id, solute]));

/** Density typed, or looked up in the published table of the solute. */
function densityTerm(sheet: Sheet, percentKey: string, densityKey: string, solute: string | null) {
  const typed = sheet.term(densityKey, 'ρ');
  if (typed !== null || sheet.isFilled(densityKey)) return typed;
  const percent = sheet.term(percentKey, 'w');
  const table = solute === null ? undefined : densityTableById(solute);
  if (percent === null || table === undefined) return null;
  const found = densityAt(table, percent.quantity.value * 1, densityKey);
  if (!found.ok) {
    sheet.problem(found.error.code, densityKey, found.error.facts);
    return null;
  }
  return approximate(
    'density',
    'ρ',
    `density of ${table.solute} at 20 °C`,
    found.value.value,
    'g/mL',
    4,
    table.source,
  );
}

/** A strength given in % w/w in every other common way. */
export const strengthInOtherUnits: Calculation = defineCalculation({
  id: 'strength-in-other-units',
  title: 'Strength of a bottle in mol/L',
  purpose: 'Turns % w/w and density into mol/L, g/L and mol/kg.',
  section: 'requirements',
  fields: [
    field.choice('solute', 'Solute', tabulated, 'Its table gives the density when none is typed.'),
    field.formula('formula', 'Formula of the solute'),
    field.quantity('percent', 'Strength', 'mass-fraction', '% w/w'),
    field.quantity('density', 'Density', 'density', 'g/mL', 'Blank: from the table, at 20 °C.', true),
  ],
  example: {
    solute: 'hydrochloric-acid',
    formula: 'HCl',
    percent: entered('% w/w')('37.2'),
    density: entered('g/mL')('1.19'),
  },
  solve(sheet) {
    const percent = sheet.term('percent', 'w');
    const density = densityTerm(sheet, 'percent', 'density', sheet.choice('solute'));
    const molarMass = sheet.molarMass('formula', 'M', 'M');
    const thousand = exactTerm('thousand', '1000', 'millilitres in a litre', 1000, 'definition of the litre');
    if (percent !== null && percent.quantity.value === 0) {
      sheet.problem('strength-zero', 'percent');
      return;
    }
    sheet.answer({
      id: 'amount-concentration',
      title: 'Amount concentration',
      symbol: 'c',
      formula: 'thousand * density * percent / hundred / M',
      display: 'c = 1000 · ρ · w / M',
      terms: [thousand, density, percent, hundred, molarMass],
      unit: 'mol/L',
      citation: 'c = 10 ρ (% w/w) / M, from the definitions',
    });
    sheet.answer({
      id: 'mass-concentration',
      title: 'Mass of solute in a litre of solution',
      symbol: 'γ',
      formula: 'thousand * density * percent / hundred',
      display: 'γ = 1000 · ρ · w',
      terms: [thousand, density, percent, hundred],
      unit: 'g/L',
      citation: 'definition of mass concentration, IUPAC Green Book, 3rd ed., 2.10',
    });
    if (percent !== null && percent.quantity.value < 100) {
      sheet.answer({
        id: 'molality',
        title: 'Molality',
        symbol: 'b',
        formula: 'thousand * percent / (M * (hundred - percent))',
        display: 'b = 1000 · w / (M · (1 − w))',
        terms: [thousand, percent, hundred, molarMass],
        unit: 'mol/kg',
        citation: 'definition of molality, IUPAC Green Book, 3rd ed., 2.10',
      });
    }
  },
});

/** Volume of a concentrated stock (% w/w) for a solution in mol/L. */
export const solutionFromStock: Calculation = defineCalculation({
  id: 'solution-from-stock',
  title: 'Solution from a concentrated stock',
  purpose: 'How much concentrated acid, ammonia or lye makes a solution of given mol/L.',
  section: 'requirements',
  fields: [
    field.choice('solute', 'Stock', tabulated, 'Its table gives the density when none is typed.'),
    field.formula('formula', 'Formula of the solute'),
    field.quantity('percent', 'Strength of the stock', 'mass-fraction', '% w/w'),
    field.quantity(
      'density',
      'Density of the stock',
      'density',
      'g/mL',
      'Blank: from the table, at 20 °C.',
      true,
    ),
    field.quantity('target', 'Strength wanted', 'amount-concentration', 'mol/L'),
    field.quantity('volume', 'Volume wanted', 'volume', 'mL'),
  ],
  example: {
    solute: 'sulfuric-acid',
    formula: 'H2SO4',
    percent: entered('% w/w')('96'),
    density: entered('g/mL')('1.84'),
    target: entered('mol/L')('3.0'),
    volume: entered('mL')('250'),
  },
  solve(sheet) {
    const solute = sheet.choice('solute');
    const percent = sheet.term('percent', 'w');
    const density = densityTerm(sheet, 'percent', 'density', solute);
    const molarMass = sheet.molarMass('formula', 'M', 'M');
    const stock = sheet.derive({
      id: 'stock-strength',
      title: 'Strength of the stock',
      symbol: 'c_{1}',
      formula: 'thousand * density * percent / hundred / M',
      display: 'c_{1} = 1000 · ρ · w / M',
      terms: [
        exactTerm('thousand', '1000', 'millilitres in a litre', 1000, 'definition of the litre'),
        density,
        percent,
        hundred,
        molarMass,
      ],
      unit: 'mol/L',
      citation: 'c = 10 ρ (% w/w) / M, from the definitions',
    });
    const target = sheet.term('target', 'c_{2}');
    const volume = sheet.term('volume', 'V_{2}');
    if (stock === null || target === null) return;
    if (strengthsDisagree(sheet, target.quantity.value, stock.result.value)) return;
    sheet.answer({
      id: 'stock-volume',
      title: 'Volume of stock to take',
      symbol: 'V_{1}',
      formula: 'target * volume / stock',
      display: 'V_{1} = c_{2} · V_{2} / c_{1}',
      terms: [target, volume, workingTerm('stock', 'c_{1}', 'strength of the stock', stock)],
      unit: 'mL',
      citation: 'OpenStax Chemistry 2e, 3.3',
    });
    if (solute?.includes('acid') === true) acidIntoWater(sheet);
    if (solute === 'sodium-hydroxide') {
      sheet.say(
        'caution',
        'Dissolving or diluting sodium hydroxide gives much heat: add slowly, cool, protect the eyes.',
      );
    }
    sheet.say('advice', 'Let the solution cool to room temperature before making up to the mark.');
  },
});
