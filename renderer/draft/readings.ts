import type { Entered } from '../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../core/quantity/unit.ts';
import type { PlannedStep, Reading, TimeMark } from '../../core/record/content.ts';

export type ReadingKind = Reading['kind'];

export const readingKinds: Readonly<
  Record<ReadingKind, { readonly name: string; readonly units: readonly UnitSymbol[] }>
> = {
  temperature: { name: 'temperature', units: ['°C', 'K'] },
  duration: { name: 'time', units: ['min', 's', 'h'] },
  volume: { name: 'volume', units: ['mL', 'µL', 'drops'] },
  mass: { name: 'mass', units: ['g', 'mg'] },
  rate: { name: 'rate', units: ['mL/min', 'drops/min', '°C/min'] },
  acidity: { name: 'pH', units: ['pH'] },
  other: { name: 'number', units: ['1', '%', 'mmHg', 'kPa'] },
};

/** The reading a step most likely wants: of its first limit, else a temperature. */
export function likelyKind(step: PlannedStep): ReadingKind {
  const kind = step.limits[0]?.kind;
  return kind === 'duration' ? 'duration' : kind === 'addition-rate' ? 'rate' : 'temperature';
}

export const newReading = (id: string, kind: ReadingKind, entered: Entered, mark: TimeMark): Reading => ({
  id,
  kind,
  entered,
  mark,
  remark: '',
});
