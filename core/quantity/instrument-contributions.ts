import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import type { Contribution } from './contribution.ts';
import { instrumentById } from './instruments.ts';
import type { Instrument } from './instruments.ts';
import type { Quantity } from './quantity.ts';
import { exponentOf, rectangular, triangular } from './uncertainty.ts';
import { units } from './unit.ts';

/** A one-mark pipette or flask measures its capacity and nothing else; 1 % allows for a calibrated piece. */
const oneMarkSlack = 0.01;

/**
 * What measuring with an instrument adds to the uncertainty.
 *
 * Two kinds: each *reading* errs on its own, so its source is named after the place where it was
 * typed; the *tolerance* is one fixed error of one piece of glass, so everything measured with it
 * shares the source `instrument:<id>`. A balance is read empty and full: √2 of one reading.
 *
 * @param instrumentId id from `instruments`
 * @param quantity what was measured, in any unit of mass or volume
 * @param where field path of the measurement; names the source of the reading
 * @returns contributions in the unit of the quantity
 * @error instrument-unknown; instrument-does-not-fit (measures something else); instrument-too-small
 *   (measured in more than one filling: say how); instrument-one-mark (not its capacity)
 * @source tolerance: JCGM 100:2008, 4.3.7 (rectangular); reading: 4.3.9 (triangular) for graduated
 *   glass, 4.3.7 for a display; the published tolerance as listed with the instrument
 */
export function instrumentContributions(
  instrumentId: string,
  quantity: Quantity,
  where: string,
): Result<readonly Contribution[], Problem> {
  const instrument = instrumentById(instrumentId);
  if (instrument === null) {
    return fail({ code: 'instrument-unknown', where, facts: { instrument: instrumentId } });
  }
  const unit = units[quantity.unit];
  if (unit.dimension !== instrument.measures) {
    return fail({
      code: 'instrument-does-not-fit',
      where,
      facts: { instrument: instrument.name, measures: instrument.measures, unit: quantity.unit },
    });
  }
  const size = quantity.value * unit.factor;
  const misfit = capacityFault(instrument, size, where);
  if (misfit !== null) return fail(misfit);
  const found: Contribution[] = [];
  const { toleranceMl, reading } = instrument;
  if (toleranceMl !== null) {
    found.push({
      source: `instrument:${instrument.id}`,
      label: `tolerance of the ${instrument.name}`,
      value: rectangular(toleranceMl) / unit.factor,
    });
  }
  if (reading !== null) {
    const one = instrument.kind === 'balance' ? rectangular(reading) : triangular(reading);
    found.push({
      source: `${where}#reading`,
      label: `reading of the ${instrument.name}`,
      value: (one * Math.sqrt(instrument.readingsPerMeasurement)) / unit.factor,
    });
  }
  return ok(found);
}

function capacityFault(instrument: Instrument, sizeMl: number, where: string): Problem | null {
  const { capacityMl, kind } = instrument;
  if (capacityMl === null) return null;
  const facts = { instrument: instrument.name, capacityMl };
  if (kind === 'one-mark-pipette' || kind === 'one-mark-flask') {
    const isCapacity = Math.abs(sizeMl - capacityMl) <= capacityMl * oneMarkSlack;
    return isCapacity ? null : { code: 'instrument-one-mark', where, facts };
  }
  return sizeMl > capacityMl * (1 + 1e-9) ? { code: 'instrument-too-small', where, facts } : null;
}

/**
 * What a stated range (purity "99.0 ± 0.5 %", a density "± 0.002") adds to the uncertainty.
 *
 * @param halfWidth a of ± a, in the unit of the quantity
 * @param source what the range belongs to, so that all that rests on it is correlated
 * @source JCGM 100:2008, 4.3.7
 */
export const rangeContribution = (halfWidth: number, source: string, label: string): Contribution => ({
  source,
  label,
  value: rectangular(halfWidth),
});

/**
 * Half a unit of the last digit typed, for a value whose source prints no uncertainty. It is an
 * assumption: whoever uses it says so in a note.
 *
 * @returns null for an exact quantity
 * @source JCGM 100:2008, 4.3.7 and F.2.2.1
 */
export function lastDigitContribution(
  quantity: Quantity,
  source: string,
  label: string,
): Contribution | null {
  const { value, significantFigures } = quantity;
  if (significantFigures === null) return null;
  return { source, label, value: rectangular(0.5 * 10 ** (exponentOf(value) - significantFigures + 1)) };
}
