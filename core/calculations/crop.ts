import { exactTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import type { Sheet } from './sheet.ts';

const massBalance = 'mass balance: what stays dissolved is volume × cold solubility';
export const thousand = exactTerm(
  'thousand',
  '1000',
  'millilitres in a litre',
  1000,
  'definition of the litre',
);

/** Terms under the keys `mass` (g), `V` (mL), `s_cold` (g/L) and `washing` (mL). */
interface Crop {
  readonly mass: WorkingTerm;
  readonly volume: WorkingTerm;
  readonly cold: WorkingTerm;
  readonly washing: WorkingTerm | null;
}

/**
 * Loss, crystals and best possible recovery when a volume of solvent is cooled.
 *
 * @returns false when nothing crystallises or a result does not exist; then it has said so
 * @source mass balance; loss in g = volume in L × cold solubility in g/L
 */
export function crop(sheet: Sheet, { mass, volume, cold, washing }: Crop): boolean {
  const lost = sheet.answer({
    id: 'loss',
    title: washing === null ? 'Product that stays dissolved' : 'Product lost to mother liquor and washings',
    symbol: 'm_{lost}',
    formula: washing === null ? 'V * s_cold / thousand' : '(V + washing) * s_cold / thousand',
    display: washing === null ? 'm_{lost} = V · s_{cold}' : 'm_{lost} = (V + V_{wash}) · s_{cold}',
    terms: washing === null ? [volume, cold, thousand] : [volume, washing, cold, thousand],
    unit: 'g',
    citation: massBalance,
    notes:
      washing === null ? [] : ['The washings are taken as saturated: less is lost when they pass quickly.'],
  });
  if (lost === null) return false;
  const lostTerm = workingTerm('lost', 'm_{lost}', 'product lost', lost);
  if (lost.result.value >= mass.quantity.value) {
    sheet.say('caution', 'That much cold solvent holds all of the product: nothing would crystallise.');
    return false;
  }
  sheet.answer({
    id: 'crystals',
    title: 'Product that can crystallise',
    symbol: 'm_{cryst}',
    formula: 'mass - lost',
    display: 'm_{cryst} = m − m_{lost}',
    terms: [mass, lostTerm],
    unit: 'g',
    citation: massBalance,
  });
  sheet.answer({
    id: 'best-recovery',
    title: 'Best possible recovery',
    symbol: 'R',
    formula: '100 * (1 - lost / mass)',
    display: 'R = 1 − m_{lost} / m',
    terms: [lostTerm, mass],
    unit: '%',
    citation: massBalance,
  });
  return true;
}

/** A volume too small to dissolve everything hot: how much is left, and a caution. */
export function undissolved(sheet: Sheet, mass: WorkingTerm, volume: WorkingTerm, hot: WorkingTerm): void {
  const rest = mass.quantity.value - (volume.quantity.value * hot.quantity.value) / 1000;
  if (rest <= mass.quantity.value * 1e-9) return;
  sheet.derive({
    id: 'undissolved',
    title: 'Product that does not dissolve',
    symbol: 'm_{rest}',
    formula: 'mass - V * s_hot / thousand',
    display: 'm_{rest} = m − V · s_{hot}',
    terms: [mass, volume, hot, thousand],
    unit: 'g',
    citation: 'definition of solubility',
  });
  sheet.say(
    'caution',
    'The volume is too small to dissolve everything when hot: what stays solid is not purified.',
  );
}

/** What evaporating half of the mother liquor would still bring. */
export function secondCrop(sheet: Sheet, volume: WorkingTerm, cold: WorkingTerm): void {
  sheet.derive({
    id: 'second-crop',
    title: 'Second crop, if half of the mother liquor is evaporated',
    symbol: 'm_{2}',
    formula: 'V * s_cold / thousand / two',
    display: 'm_{2} = V · s_{cold} / 2',
    terms: [volume, cold, thousand, exactTerm('two', '2', 'half of the liquor is left', 2, 'as stated')],
    unit: 'g',
    citation: massBalance,
    notes: ['A second crop is less pure: keep it apart and take its melting range.'],
  });
}
