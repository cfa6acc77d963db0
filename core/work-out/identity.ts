import type { Sheet } from '../contract/sheet.ts';
import { evaluateBoiling } from '../reaction/boiling-point.ts';
import type { IdentityVerdict } from '../reaction/identity.ts';
import { evaluateMelting } from '../reaction/melting-range.ts';
import { evaluateRefraction } from '../reaction/refractive-index.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { SheetReader } from './read-sheet.ts';

/** Melting range, boiling range and refractive index held against the published values; what was not noted is left out. */
export function identityOf({ result, literature }: Sheet, reader: SheetReader): readonly IdentityVerdict[] {
  const read = (text: string | undefined, where: string): Entered | null => reader.quantity(text, where);
  const published = {
    melting: literature?.meltingRange,
    boiling: literature?.boilingPoint,
    refraction: literature?.refractiveIndex,
  };
  const meltsFrom = read(published.melting?.from, 'literature.meltingRange.from');
  const boilsAt = read(published.boiling?.value, 'literature.boilingPoint.value');
  const index = read(published.refraction?.value, 'literature.refractiveIndex.value');
  const indexAt = read(published.refraction?.temperature, 'literature.refractiveIndex.temperature');
  const verdicts = [
    evaluateMelting(
      {
        from: read(result?.meltingRange?.from, 'result.meltingRange.from'),
        to: read(result?.meltingRange?.to, 'result.meltingRange.to'),
      },
      meltsFrom === null
        ? null
        : {
            from: meltsFrom,
            to: read(published.melting?.to, 'literature.meltingRange.to'),
            source: published.melting?.source ?? '',
          },
    ),
    evaluateBoiling(
      {
        from: read(result?.boilingRange?.from, 'result.boilingRange.from'),
        to: read(result?.boilingRange?.to, 'result.boilingRange.to'),
        pressure: read(result?.boilingRange?.pressure, 'result.boilingRange.pressure'),
      },
      boilsAt === null
        ? null
        : {
            value: boilsAt,
            pressure: read(published.boiling?.pressure, 'literature.boilingPoint.pressure'),
            source: published.boiling?.source ?? '',
          },
    ),
    evaluateRefraction(
      {
        value: read(result?.refractiveIndex?.value, 'result.refractiveIndex.value'),
        temperature: read(result?.refractiveIndex?.temperature, 'result.refractiveIndex.temperature'),
      },
      index === null || indexAt === null
        ? null
        : { value: index, temperature: indexAt, source: published.refraction?.source ?? '' },
    ),
  ];
  return verdicts.filter((one) => one !== null);
}
