import { convert } from '../../../../core/quantity/convert.ts';
import { parseEntered } from '../../../../core/quantity/entered.ts';
import type { Entered } from '../../../../core/quantity/quantity.ts';
import type { EntryContent } from '../../../../core/record/content.ts';
import { instantOf } from '../../../draft/time-marks.ts';

export interface TemperatureSeries {
  readonly points: readonly { readonly atMin: number; readonly celsius: number }[];
  /** Windows of the steps, over the time in which the step ran. */
  readonly bands: readonly {
    readonly fromMin: number;
    readonly toMin: number;
    readonly fromC: number | null;
    readonly toC: number | null;
  }[];
}

function celsius(entered: Entered | null): number | null {
  if (entered === null) return null;
  const parsed = parseEntered(entered, 'temperature', '');
  return parsed.ok ? convert(parsed.value, '°C').value : null;
}

/** The temperatures read in an entry over the minutes since the first of them. */
export function temperaturePoints(content: EntryContent): TemperatureSeries {
  const readings = content.stepRecords
    .flatMap((record) => record.readings)
    .filter((reading) => reading.kind === 'temperature')
    .map((reading) => ({ at: instantOf(reading.mark), celsius: celsius(reading.entered) }))
    .filter((point): point is { at: number; celsius: number } => point.celsius !== null)
    .sort((a, b) => a.at - b.at);
  const start = readings[0]?.at ?? 0;
  const minutes = (at: number): number => (at - start) / 60_000;
  const bands = content.stepRecords.flatMap((record) => {
    const step = content.steps.find((one) => one.id === record.stepId);
    const times = record.readings
      .filter((reading) => reading.kind === 'temperature')
      .map((reading) => instantOf(reading.mark));
    if (step === undefined || times.length === 0) return [];
    const from = record.started === null ? Math.min(...times) : instantOf(record.started);
    const to = record.done === null ? Math.max(...times) : instantOf(record.done);
    return step.limits
      .filter((limit) => limit.kind === 'temperature')
      .map((limit) => ({
        fromMin: minutes(from),
        toMin: minutes(Math.max(from, to)),
        fromC: celsius(limit.from),
        toC: celsius(limit.to),
      }));
  });
  return { points: readings.map((point) => ({ atMin: minutes(point.at), celsius: point.celsius })), bands };
}
