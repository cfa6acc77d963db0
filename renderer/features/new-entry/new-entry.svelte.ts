import { emptyContent } from '../../../core/entry/empty-content.ts';
import { fitSession, planSession } from '../../../core/procedure/session-plan.ts';
import { durationText } from '../../../core/procedure/time-marks.ts';
import { parseDecimal } from '../../../core/quantity/decimal.ts';
import {
  scaleByFactor,
  scaleToAvailable,
  scaleToProductMass,
  type Scaled,
} from '../../../core/reaction/scale.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { ok, type Problem, type Result } from '../../../core/result.ts';
import { contentFromTemplate, templateById } from '../../../core/templates/index.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { today } from '../../components/moment.ts';

export type ScaleBy = 'as-it-stands' | 'factor' | 'product' | 'available';

const asItStands: Result<null, Problem> = ok(null);

/** What an entry is begun with: template or none, the day, and the size of the plan. */
export class NewEntryForm {
  /** Undefined until something is chosen; null is the empty entry. */
  chosenId: string | null | undefined = $state(undefined);
  ownTitle = $state('');
  date = $state(today());
  /** Hours of the practical, as typed; blank when nobody asks whether it fits. */
  sessionHours = $state('');
  scaleBy: ScaleBy = $state('as-it-stands');
  factor = $state('2');
  productMass = $state('');
  expectedYield = $state('');
  availableRowId = $state('');
  available = $state('');
  availableUnit: 'g' | 'mL' = $state('g');
  #isTried = $state(false);

  template = $derived.by(() => (this.chosenId == null ? undefined : templateById(this.chosenId)));
  title = $derived.by(() => this.template?.title ?? 'An empty entry');
  running = $derived.by(() =>
    this.template === undefined
      ? 'A preparation of one’s own'
      : `Procedure template, version ${this.template.version}`,
  );

  /** The template at its own size; new ids once, so that scaling does not change them. */
  plain: EntryContent | null = $derived.by(() =>
    this.template === undefined
      ? null
      : contentFromTemplate(this.template, { date: '', newId: () => crypto.randomUUID() }),
  );
  scaled: Result<Scaled | null, Problem> = $derived.by(() => this.#scaled());
  /** What the entry would say; the plan at its own size while the wish cannot be read. */
  preview: EntryContent | null = $derived.by(() => {
    if (this.plain === null || !this.scaled.ok || this.scaled.value === null) return this.plain;
    return { ...this.plain, rows: this.scaled.value.rows };
  });
  scaleNotes: readonly string[] = $derived.by(() =>
    this.scaled.ok && this.scaled.value !== null ? this.scaled.value.notes.map(problemSentence) : [],
  );
  scaleError: { readonly where: string; readonly sentence: string } | null = $derived.by(() =>
    this.scaled.ok ? null : { where: this.scaled.error.where, sentence: problemSentence(this.scaled.error) },
  );

  sessionMinutes: number | null = $derived.by(() => {
    const parsed = parseDecimal(this.sessionHours.trim());
    return parsed.ok && parsed.value.value > 0 && parsed.value.value <= 24 ? parsed.value.value * 60 : null;
  });
  sessionError = $derived.by(() =>
    this.sessionHours.trim() === '' || this.sessionMinutes !== null
      ? ''
      : 'Hours as a number, such as 3 or 3.5.',
  );
  /** Beside the hours as they are typed; the plan itself says more, further down. */
  sessionHint = $derived.by(() => {
    if (this.sessionMinutes === null || this.preview === null) return 'to see whether it fits';
    const fit = fitSession(planSession(this.preview.steps), this.sessionMinutes);
    if (fit.fits) return `fits, ${durationText(fit.spareMinutes)} to spare`;
    return fit.isComplete ? 'does not fit: see Time below' : 'not every step has a time: see below';
  });
  dateError = $derived.by(() => (/^\d{4}-\d{2}-\d{2}$/.test(this.date) ? '' : 'Give the day as a date.'));
  titleError = $derived.by(() =>
    this.#isTried && this.ownTitle.trim() === ''
      ? 'Give the entry a title; it stands on the index page.'
      : '',
  );

  choose(id: string | null): void {
    this.chosenId = id;
    this.#isTried = false;
    this.scaleBy = 'as-it-stands';
    this.productMass = this.available = '';
    const content = this.plain;
    this.expectedYield = content?.expectedYield?.text ?? '';
    this.availableRowId = content?.rows.find((row) => row.role === 'reactant')?.id ?? '';
  }

  /** The content to begin with, or null when something still has to be put right. */
  content(): EntryContent | null {
    this.#isTried = true;
    if (this.dateError !== '') return null;
    if (this.plain === null) {
      const title = this.ownTitle.trim();
      return title === '' ? null : { ...emptyContent({ date: this.date }), title };
    }
    if (!this.scaled.ok || this.preview === null) return null;
    return { ...this.preview, date: this.date };
  }

  #scaled(): Result<Scaled | null, Problem> {
    const content = this.plain;
    if (content === null) return asItStands;
    switch (this.scaleBy) {
      case 'as-it-stands':
        return asItStands;
      case 'factor': {
        const parsed = parseDecimal(this.factor.trim());
        return parsed.ok ? scaleByFactor(content.rows, parsed.value.value) : parsed;
      }
      case 'product':
        return scaleToProductMass(
          content,
          { text: this.productMass, unit: 'g' },
          { text: this.expectedYield, unit: '%' },
        );
      case 'available':
        return scaleToAvailable(content, this.availableRowId, {
          text: this.available,
          unit: this.availableUnit,
        });
    }
  }
}
