import type { Entered } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import type { EntryContent, StepRecord, TimeMark } from '../../../core/record/content.ts';
import type { Template } from '../../../core/templates/index.ts';
import type { Story } from './story.ts';

export interface Bench {
  /** Beginning of the practical, milliseconds since 1970. */
  readonly startMs: number;
  readonly offsetMinutes: number;
  readonly newId: () => string;
}

const typed = (text: string | undefined, unit: UnitSymbol): Entered | null =>
  text === undefined ? null : { text, unit };

/** An entry after a story was carried out with it. Rows and steps stand in the order of the template. */
export function carryOut(
  content: EntryContent,
  template: Template,
  story: Story,
  { startMs, offsetMinutes, newId }: Bench,
): EntryContent {
  const mark = (minute: number): TimeMark => ({
    at: new Date(startMs + minute * 60_000).toISOString(),
    offsetMinutes,
    correction: null,
  });
  const rows = content.rows.map((row, index) => {
    const id = template.content.rows[index]?.id ?? '';
    const text = story.taken[id];
    const remark = story.remarks?.[id];
    return {
      ...row,
      taken:
        text === undefined || row.planned === null
          ? row.taken
          : { ...row.planned, entered: { ...row.planned.entered, text } },
      remark: remark === undefined ? row.remark : [row.remark, remark].filter(Boolean).join(' '),
    };
  });
  const stepRecords = story.steps.map((step, index): StepRecord => ({
    stepId: content.steps[index]?.id ?? '',
    started: mark(step.from),
    done: step.to === null ? null : mark(step.to),
    readings: (step.readings ?? []).map((reading) => ({
      id: newId(),
      kind: reading.kind,
      entered: { text: reading.text, unit: reading.unit },
      mark: mark(reading.at),
      remark: reading.remark ?? '',
    })),
    seen: step.seen,
    deviation: step.deviation ?? '',
  }));
  const balance = 'balance-0.01';
  return {
    ...content,
    rows,
    stepRecords,
    notes: (story.notes ?? []).map((note) => ({
      id: newId(),
      stepId: note.step === null ? null : (content.steps[note.step - 1]?.id ?? null),
      text: note.text,
      mark: mark(note.at),
    })),
    result: {
      crude: { mass: typed(story.crudeG, 'g'), instrument: story.crudeG === undefined ? null : balance },
      pure: { mass: typed(story.pureG, 'g'), instrument: story.pureG === undefined ? null : balance },
      meltingRange: { from: typed(story.meltingC?.[0], '°C'), to: typed(story.meltingC?.[1], '°C') },
      boilingRange: {
        from: typed(story.boiling?.fromC, '°C'),
        to: typed(story.boiling?.toC, '°C'),
        pressure: typed(story.boiling?.pressureMmHg, 'mmHg'),
      },
      refractiveIndex: {
        value: typed(story.refraction?.index, '1'),
        temperature: typed(story.refraction?.temperatureC, '°C'),
      },
      appearance: story.appearance ?? '',
    },
    calculation: story.calculation ?? '',
    discussion: story.discussion ?? '',
  };
}
