import { fillStepText } from '../../procedure/fill-step-text.ts';
import type { StepAssessment } from '../../procedure/assess-steps.ts';
import { instantOf } from '../../procedure/time-marks.ts';
import type { PlannedStep, Reading, StepLimit, StepRecord } from '../../record/content.ts';
import { clockText, correctionText, spanText } from '../clock.ts';
import type { Block, Cell, Line, SpreadRow } from '../report-document.ts';
import { attachmentBlocks, commentBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { bold, entered, enteredRange, inked, joined, plain, quiet } from '../runs.ts';

export function procedure(context: ReportContext): Block[] {
  const { content, computation } = context;
  const rows = content.steps.map((step, index) => row(step, index, computation.steps[index], context));
  return [
    ...(rows.length === 0
      ? [{ kind: 'paragraph', line: quiet('No steps are listed.'), ink: 'print', mark: null } satisfies Block]
      : [
          {
            kind: 'spread',
            left: {
              head: 'Planned',
              columns: [
                { head: [], align: 'left', share: 18 },
                { head: [], align: 'left', share: 205 },
              ],
            },
            foldHead: 'difference',
            right: { head: 'Carried out', columns: [{ head: [], align: 'left', share: 190 }] },
            rows,
          } satisfies Block,
        ]),
    ...attachmentBlocks('procedure', context),
    ...commentBlocks('procedure', context),
  ];
}

function row(
  step: PlannedStep,
  index: number,
  assessment: StepAssessment | undefined,
  context: ReportContext,
): SpreadRow {
  const { content } = context;
  const record = content.stepRecords.find((one) => one.stepId === step.id) ?? null;
  const isOtherwise = (record?.deviation ?? '').trim() !== '';
  const exceeds = (assessment?.exceedances.length ?? 0) > 0;
  return {
    left: [[bold(String(index + 1))], planned(step, context)],
    fold: fold(assessment, isOtherwise),
    right: [carriedOut(step, record, assessment, context)],
    deviates: exceeds || isOtherwise,
  };
}

function fold(assessment: StepAssessment | undefined, isOtherwise: boolean): Line {
  if (assessment === undefined) return [];
  if (assessment.foldText !== '') return plain(assessment.foldText);
  if (isOtherwise) return plain('done otherwise');
  return assessment.state === 'done'
    ? plain('✓')
    : assessment.state === 'started'
      ? quiet('begun')
      : quiet('not done');
}

function planned(step: PlannedStep, { content, computation }: ReportContext): Cell {
  const text = fillStepText(step.text, computation.table, content.rows, 'planned');
  const minutes = entered(step.plannedMinutes);
  const limits = step.limits.map(limitText).filter((one) => one !== '');
  return [
    plain(text),
    joined(
      [...limits.map((one) => quiet(one)), ...(minutes === '' ? [] : [quiet(`planned ${minutes}`)])],
      ' · ',
    ),
    step.caution.trim() === ''
      ? []
      : [{ text: 'Caution: ', weight: 'bold' as const }, { text: step.caution }],
    step.holdPoint.trim() === ''
      ? []
      : [
          { text: 'Hold point: ', weight: 'bold' as const, tone: 'quiet' as const },
          { text: step.holdPoint, tone: 'quiet' as const },
        ],
  ].filter((line) => line.length > 0);
}

const limitWords: Readonly<Record<StepLimit['kind'], string>> = {
  temperature: 'keep',
  duration: 'for',
  'addition-rate': 'add at',
};

function limitText(limit: StepLimit): string {
  const range = enteredRange(limit.from, limit.to);
  return range === '' ? '' : `${limitWords[limit.kind]} ${range}`;
}

/** Time, what was seen, readings, notes, and why it was done otherwise. */
function carriedOut(
  step: PlannedStep,
  record: StepRecord | null,
  assessment: StepAssessment | undefined,
  { content }: ReportContext,
): Cell {
  const notes = content.notes.filter((note) => note.stepId === step.id);
  const verdicts = new Map((assessment?.readings ?? []).map((one) => [one.readingId, one.verdict]));
  const lines: Line[] = [
    quiet(spanText(record?.started ?? null, record?.done ?? null)),
    ...[record?.started ?? null, record?.done ?? null].map((mark) => quiet(correctionText(mark))),
    inked((record?.seen ?? '').trim(), 'student'),
    readings(record?.readings ?? [], verdicts),
    ...notes.map((note): Line => [
      { text: `${clockText(note.mark)}  `, tone: 'quiet' },
      ...inked(note.text.trim(), 'student'),
    ]),
    (record?.deviation ?? '').trim() === ''
      ? []
      : [
          { text: 'Done otherwise: ', weight: 'bold', ink: 'student' },
          { text: (record?.deviation ?? '').trim(), ink: 'student', style: 'italic' },
        ],
  ];
  return lines.filter((line) => line.length > 0);
}

/** All readings of a step in one line; one outside its limits has a sign of its own. */
function readings(list: readonly Reading[], verdicts: ReadonlyMap<string, string>): Line {
  const inOrder = list.toSorted((a, b) => (instantOf(a.mark) ?? 0) - (instantOf(b.mark) ?? 0));
  return inOrder.flatMap((reading, index): Line => {
    const verdict = verdicts.get(reading.id);
    const sign = verdict === 'above' ? ' ▲' : verdict === 'below' ? ' ▼' : '';
    return [
      ...(index === 0 ? [] : [{ text: '; ', ink: 'student' as const }]),
      { text: `${clockText(reading.mark)}\u00a0`, tone: 'quiet' },
      {
        text: `${readingText(reading)}${sign}`,
        ink: 'student',
        ...(sign === '' ? {} : { weight: 'bold' as const }),
      },
      ...(reading.remark.trim() === ''
        ? []
        : [{ text: ` (${reading.remark.trim()})`, ink: 'student' as const }]),
    ];
  });
}

export const readingText = (reading: Reading): string =>
  reading.kind === 'acidity' ? `pH ${entered({ ...reading.entered, unit: '1' })}` : entered(reading.entered);
