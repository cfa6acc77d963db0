import { instantOf } from '../../procedure/time-marks.ts';
import { parseEntered } from '../../quantity/entered.ts';
import { convert } from '../../quantity/convert.ts';
import { dateText } from '../../record/when.ts';
import type { TimeMark } from '../../record/content.ts';
import { clockText, correctionText, dayOf } from '../clock.ts';
import type { Block, Cell, ChartBand, ChartBlock, ChartPoint, Line } from '../report-document.ts';
import { attachmentBlocks, commentBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { bold, entered, inked, plain, quiet } from '../runs.ts';
import { readingText } from './procedure.ts';

interface Happening {
  readonly mark: TimeMark;
  /** Order within one minute: begun, readings, notes, done. */
  readonly rank: number;
  readonly step: string;
  readonly reading: Line;
  readonly words: Line;
}

export function observations(context: ReportContext): Block[] {
  const log = happenings(context);
  return [
    ...(log.length === 0
      ? [
          {
            kind: 'paragraph',
            line: quiet('No times, readings or notes were recorded.'),
            ink: 'print',
            mark: null,
          } satisfies Block,
        ]
      : [logTable(log)]),
    ...temperatureCharts(context),
    ...attachmentBlocks('observations', context),
    ...commentBlocks('observations', context),
  ];
}

function happenings({ content }: ReportContext): readonly Happening[] {
  const found: Happening[] = [];
  const number = (stepId: string | null): string => {
    const index = content.steps.findIndex((step) => step.id === stepId);
    return index < 0 ? '' : String(index + 1);
  };
  for (const record of content.stepRecords) {
    const step = number(record.stepId);
    if (record.started !== null)
      found.push({ mark: record.started, rank: 0, step, reading: [], words: quiet('begun') });
    for (const reading of record.readings) {
      found.push({
        mark: reading.mark,
        rank: 1,
        step,
        reading: inked(readingText(reading), 'student'),
        words: inked(reading.remark.trim(), 'student'),
      });
    }
    if (record.done !== null) {
      const seen = record.seen.trim();
      found.push({
        mark: record.done,
        rank: 3,
        step,
        reading: [],
        words: [...quiet(seen === '' ? 'done' : 'done  '), ...inked(seen, 'student')],
      });
    }
  }
  for (const note of content.notes) {
    found.push({
      mark: note.mark,
      rank: 2,
      step: number(note.stepId),
      reading: [],
      words: inked(note.text.trim(), 'student'),
    });
  }
  const time = (one: Happening): number => instantOf(one.mark) ?? Number.POSITIVE_INFINITY;
  return found.toSorted((a, b) => time(a) - time(b) || a.rank - b.rank);
}

function logTable(log: readonly Happening[]): Block {
  let day = '';
  const rows: Cell[][] = [];
  for (const one of log) {
    const today = dayOf(one.mark);
    if (today !== day && (day !== '' || hasSeveralDays(log)))
      rows.push([[], [], [], [bold(dateText(today))]]);
    day = today;
    const correction = correctionText(one.mark);
    rows.push([
      [plain(clockText(one.mark))],
      [plain(one.step)],
      [one.reading],
      [one.words, ...(correction === '' ? [] : [quiet(correction)])].filter((line) => line.length > 0),
    ]);
  }
  return {
    kind: 'table',
    density: 'compact',
    caption: null,
    columns: [
      { head: plain('Time'), align: 'left', share: 46 },
      { head: plain('Step'), align: 'left', share: 34 },
      { head: plain('Reading'), align: 'decimal', share: 66 },
      { head: plain('Seen, noted'), align: 'left', share: 319 },
    ],
    rows,
  };
}

const hasSeveralDays = (log: readonly Happening[]): boolean =>
  new Set(log.map((one) => dayOf(one.mark))).size > 1;

const hourMs = 3_600_000;

type TemperatureReading = ReturnType<typeof temperatureReadings>[number];

function temperatureReadings({ content }: ReportContext) {
  return content.stepRecords.flatMap((record) =>
    record.readings.flatMap((reading) => {
      const at = instantOf(reading.mark);
      const parsed = parseEntered(reading.entered, 'temperature', '');
      if (reading.kind !== 'temperature' || at === null || !parsed.ok) return [];
      return [{ at, y: convert(parsed.value, '°C').value, reading, stepId: record.stepId }];
    }),
  );
}

/**
 * The temperature readings over time: one chart for each day with at least two at different times. A
 * preparation left standing for days would squeeze the hour that matters into a stroke.
 */
function temperatureCharts(context: ReportContext): ChartBlock[] {
  const days = Map.groupBy(temperatureReadings(context), ({ reading }) => dayOf(reading.mark));
  return [...days]
    .toSorted(([, a], [, b]) => (a[0]?.at ?? 0) - (b[0]?.at ?? 0))
    .flatMap(([day, readings]) => {
      if (new Set(readings.map((one) => one.at)).size < 2) return [];
      return [temperatureChart(context, readings, days.size > 1 ? `, ${dateText(day)}` : '')];
    });
}

function temperatureChart(
  { content, computation }: ReportContext,
  readings: readonly TemperatureReading[],
  onDay: string,
): ChartBlock {
  const times = readings.map((one) => one.at);
  // A step left standing overnight is drawn no further than an hour beside what was read.
  const [earliest, latest] = [Math.min(...times) - hourMs, Math.max(...times) + hourMs];
  const spans = content.stepRecords.flatMap((record) => {
    const began = instantOf(record.started);
    const ended = instantOf(record.done);
    const from = began === null ? null : Math.max(began, earliest);
    const to = ended === null ? null : Math.min(ended, latest);
    const isShown = readings.some((one) => one.stepId === record.stepId);
    return from !== null && to !== null && to > from && isShown ? [{ record, from, to }] : [];
  });
  const start = Math.min(...readings.map((one) => one.at), ...spans.map((one) => one.from));
  const minutes = (at: number): number => (at - start) / 60_000;
  const anyMark = readings[0]?.reading.mark;
  const first: TimeMark | null =
    anyMark === undefined ? null : { ...anyMark, at: new Date(start).toISOString(), correction: null };
  const verdicts = new Map(
    computation.steps.flatMap((step) => step.readings.map((one) => [one.readingId, one.verdict])),
  );
  const points: ChartPoint[] = readings
    .toSorted((a, b) => a.at - b.at)
    .map(({ at, y, reading }) => {
      const verdict = verdicts.get(reading.id);
      return {
        x: minutes(at),
        y,
        label: entered(reading.entered),
        isOutside: verdict === 'above' || verdict === 'below',
      };
    });
  const bands = spans
    .toSorted((a, b) => a.from - b.from)
    .map(({ record, from, to }): ChartBand => {
      const index = content.steps.findIndex((step) => step.id === record.stepId);
      const limit = content.steps[index]?.limits.find((one) => one.kind === 'temperature');
      const edge = (which: 'from' | 'to'): number | null => {
        const typed = limit?.[which] ?? null;
        if (typed === null) return null;
        const parsed = parseEntered(typed, 'temperature', '');
        return parsed.ok ? convert(parsed.value, '°C').value : null;
      };
      return {
        fromX: minutes(from),
        toX: minutes(to),
        fromY: edge('from'),
        toY: edge('to'),
        label: `step ${index + 1}`,
      };
    });
  const lowest = points.reduce((low, point) => (point.y < low.y ? point : low));
  const highest = points.reduce((high, point) => (point.y > high.y ? point : high));
  return {
    kind: 'chart',
    title: plain(`Temperatures as read${onDay}; the tinted windows are the limits of the steps`),
    xLabel: `minutes after ${clockText(first)}`,
    yLabel: 'temperature, °C',
    points,
    bands,
    spoken: `Chart of ${points.length} temperature readings, from ${lowest.label} to ${highest.label}, ${points.filter((point) => point.isOutside).length} of them outside the limits of their step.`,
  };
}
