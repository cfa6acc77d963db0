import { furtherHazardTexts } from './ghs-further.ts';

/**
 * Texts of the GHS codes that the library and the templates use.
 *
 * Source: Globally Harmonized System of Classification and Labelling of Chemicals, revision 9 (2021),
 * annex 3. Read for this table: H300, H301, H302, H310, H312, H315, H317, H319, H330, H332, H334, H335,
 * H340, H350, H360, H361, H373; the others are from memory. EUH codes are those of Regulation (EC)
 * No 1272/2008, annex II, from memory.
 */
export const ghsSource =
  'UN GHS, revision 9 (2021), annex 3; EUH codes: Regulation (EC) No 1272/2008, annex II';

export const ghsPictograms = {
  GHS01: 'exploding bomb',
  GHS02: 'flame',
  GHS03: 'flame over circle',
  GHS04: 'gas cylinder',
  GHS05: 'corrosion',
  GHS06: 'skull and crossbones',
  GHS07: 'exclamation mark',
  GHS08: 'health hazard',
  GHS09: 'environment',
} as const;
export type GhsPictogram = keyof typeof ghsPictograms;

const hazardTexts: Readonly<Record<string, string>> = {
  H224: 'Extremely flammable liquid and vapour',
  H225: 'Highly flammable liquid and vapour',
  H226: 'Flammable liquid and vapour',
  H270: 'May cause or intensify fire; oxidizer',
  H272: 'May intensify fire; oxidizer',
  H290: 'May be corrosive to metals',
  H301: 'Toxic if swallowed',
  H302: 'Harmful if swallowed',
  H304: 'May be fatal if swallowed and enters airways',
  H311: 'Toxic in contact with skin',
  H312: 'Harmful in contact with skin',
  H314: 'Causes severe skin burns and eye damage',
  H315: 'Causes skin irritation',
  H317: 'May cause an allergic skin reaction',
  H318: 'Causes serious eye damage',
  H319: 'Causes serious eye irritation',
  H330: 'Fatal if inhaled',
  H331: 'Toxic if inhaled',
  H332: 'Harmful if inhaled',
  H334: 'May cause allergy or asthma symptoms or breathing difficulties if inhaled',
  H335: 'May cause respiratory irritation',
  H336: 'May cause drowsiness or dizziness',
  H340: 'May cause genetic defects',
  H341: 'Suspected of causing genetic defects',
  H350: 'May cause cancer',
  H351: 'Suspected of causing cancer',
  H360D: 'May damage the unborn child',
  H360FD: 'May damage fertility. May damage the unborn child',
  H361f: 'Suspected of damaging fertility',
  H361d: 'Suspected of damaging the unborn child',
  H370: 'Causes damage to organs',
  H372: 'Causes damage to organs through prolonged or repeated exposure',
  H373: 'May cause damage to organs through prolonged or repeated exposure',
  H400: 'Very toxic to aquatic life',
  H410: 'Very toxic to aquatic life with long lasting effects',
  H411: 'Toxic to aquatic life with long lasting effects',
  EUH014: 'Reacts violently with water',
  EUH019: 'May form explosive peroxides',
  EUH066: 'Repeated exposure may cause skin dryness or cracking',
  EUH071: 'Corrosive to the respiratory tract',
};

const precautionTexts: Readonly<Record<string, string>> = {
  P210: 'Keep away from heat, hot surfaces, sparks, open flames and other ignition sources. No smoking.',
  P220: 'Keep away from clothing and other combustible materials.',
  P233: 'Keep container tightly closed.',
  P260: 'Do not breathe dust/fume/gas/mist/vapours/spray.',
  P261: 'Avoid breathing dust/fume/gas/mist/vapours/spray.',
  P264: 'Wash hands thoroughly after handling.',
  P270: 'Do not eat, drink or smoke when using this product.',
  P273: 'Avoid release to the environment.',
  P280: 'Wear protective gloves/protective clothing/eye protection/face protection.',
  'P301+P330+P331': 'IF SWALLOWED: Rinse mouth. Do NOT induce vomiting.',
  'P302+P352': 'IF ON SKIN: Wash with plenty of water.',
  'P303+P361+P353':
    'IF ON SKIN (or hair): Take off immediately all contaminated clothing. Rinse affected areas with water.',
  'P304+P340': 'IF INHALED: Remove person to fresh air and keep comfortable for breathing.',
  'P305+P351+P338':
    'IF IN EYES: Rinse cautiously with water for several minutes. Remove contact lenses, if present and easy to do. Continue rinsing.',
};

/**
 * What a hazard or precautionary statement code says; a combination (`H302+H312`) is put together from
 * its parts where the table has no text of its own for it.
 *
 * @returns null for a code the table does not hold
 */
export function statementText(code: string): string | null {
  const whole = textOf(code);
  if (whole !== undefined) return whole;
  const parts = code.split('+').map(textOf);
  return parts.length > 1 && parts.every((part) => part !== undefined) ? parts.join('; ') : null;
}

function textOf(code: string): string | undefined {
  for (const texts of [hazardTexts, precautionTexts, furtherHazardTexts]) {
    if (Object.hasOwn(texts, code)) return texts[code];
  }
  return undefined;
}

/** Every code the table of the library and the templates holds. */
export const statementCodes: readonly string[] = [
  ...Object.keys(hazardTexts),
  ...Object.keys(precautionTexts),
];

const covered: readonly (readonly [string, readonly string[]])[] = [
  ['H314', ['H318', 'H315', 'H319']],
  ['H318', ['H319']],
  ['H410', ['H400', 'H411', 'H412']],
  ['H411', ['H401', 'H412']],
  ['H412', ['H402']],
];

/**
 * Leaves out statements that another one on the label already says.
 *
 * @source UN GHS 1.4.10.5.3.3 for H314/H318 and the aquatic codes; the weaker effects on skin and eyes
 *   beside the stronger ones are left out by the classification itself
 */
export function withoutCovered(statements: readonly string[]): readonly string[] {
  const dropped = new Set(covered.flatMap(([code, less]) => (statements.includes(code) ? less : [])));
  return statements.filter((code) => !dropped.has(code));
}
