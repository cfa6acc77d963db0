import type { CompoundData } from './define.ts';

type SolubilityData = NonNullable<CompoundData['solubility']>[number];

const temperatures = ['0', '10', '20', '30', '40', '60', '80', '100'] as const;

const hydrate = 'Counted as the anhydrous salt, whatever hydrate is the solid.';

/**
 * A line of the handbook's table of salts: mass percent of the saturated solution in water.
 *
 * @param percents at 0, 10, 20, 30, 40, 60, 80 and 100 °C, one space apart; `–` where the table is empty
 * @param salt whether the solid takes up water, so that the figures count its anhydrous part
 * @source CRC Handbook of Chemistry and Physics, 98th ed. (2017), aqueous solubility of inorganic
 *   compounds at various temperatures
 */
export function inWater(percents: string, salt: 'anhydrous' | 'hydrate' = 'anhydrous'): SolubilityData {
  const values = percents.split(' ');
  return [
    'water',
    temperatures.flatMap((at, index) => {
      const percent = values[index];
      return percent === undefined || percent === '–' ? [] : [[at, percent] as const];
    }),
    'crc-aqueous',
    salt === 'hydrate' ? hydrate : '',
    '% w/w',
  ];
}
