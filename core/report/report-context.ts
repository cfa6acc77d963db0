import { computeEntry } from '../entry/compute-entry.ts';
import type { EntryComputation } from '../entry/entry-computation.ts';
import type { EntryContent, Section } from '../record/content.ts';
import { whenText } from '../record/when.ts';
import { templateById } from '../templates/index.ts';
import type { TemplateContent } from '../templates/index.ts';
import type { EntryBundle } from './bundle.ts';
import { initialsOf } from './people.ts';
import { PrintedValues } from './printed-values.ts';
import type { Block, Ink, InkMark } from './report-document.ts';
import { plain } from './runs.ts';

/** What the sections of one entry share. */
export interface ReportContext {
  readonly bundle: EntryBundle;
  readonly content: EntryContent;
  readonly computation: EntryComputation;
  readonly values: PrintedValues;
  /** Ink of a text: print where it stands as the template has it, else the student's. */
  readonly inkOf: (key: 'aim' | 'principle' | 'precautions' | 'requirements') => Ink;
  /** The student's initials beside what is in the student's ink. */
  readonly markFor: (ink: Ink) => InkMark | null;
}

export function reportContext(bundle: EntryBundle): ReportContext {
  const { content, n } = bundle.shown;
  const computation = computeEntry(content);
  const frozen = bundle.versions.find((version) => version.n === n)?.computed ?? null;
  const template = content.template === null ? undefined : templateById(content.template.id);
  const isAsPrinted = (key: keyof TemplateContent): boolean =>
    template !== undefined &&
    JSON.stringify(template.content[key]) === JSON.stringify(content[key as keyof EntryContent]);
  return {
    bundle,
    content,
    computation,
    values: new PrintedValues(computation, frozen),
    inkOf: (key) => (isAsPrinted(key) ? 'print' : 'student'),
    markFor: (ink) => (ink === 'student' ? { ink, initials: bundle.entry.owner.initials } : null),
  };
}

export const sectionTitle: Readonly<Record<Section, string>> = {
  aim: 'Aim',
  principle: 'Principle',
  requirements: 'Requirements',
  hazards: 'Hazards and precautions',
  reagents: 'Reagents',
  procedure: 'Procedure',
  observations: 'Observations',
  calculation: 'Calculation',
  result: 'Result',
  discussion: 'Discussion',
};

/** Text in its ink with its mark; nothing for nothing. */
export function textBlocks(text: string, ink: Ink, context: ReportContext): Block[] {
  if (text.trim() === '') return [];
  return [{ kind: 'paragraph', line: plain(text), ink, mark: context.markFor(ink) }];
}

export const nothingWritten: Block = {
  kind: 'paragraph',
  line: [{ text: 'Nothing is written under this heading.', tone: 'quiet', style: 'italic' }],
  ink: 'print',
  mark: null,
};

/** The instructor's comments on a section, oldest first, each with the place it points at. */
export function commentBlocks(section: Section, context: ReportContext): Block[] {
  const { bundle, content } = context;
  const place = (anchor: string | null): string => {
    if (anchor === null) return '';
    const step = content.steps.findIndex((one) => one.id === anchor);
    if (step >= 0) return `step ${step + 1}`;
    return content.rows.find((row) => row.id === anchor)?.name ?? '';
  };
  return bundle.entry.comments
    .filter((comment) => comment.section === section)
    .toSorted((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0))
    .map((comment) => ({
      kind: 'comment',
      who: comment.author.printedName,
      initials: initialsOf(bundle.people, comment.author),
      when: whenText(comment.at, bundle.offsetMinutes),
      about: [place(comment.anchor), comment.n === null ? '' : `version ${comment.n}`]
        .filter(Boolean)
        .join(', '),
      line: plain(comment.text),
      isSettled: comment.isSettled,
    }));
}

/** Files attached to a section, in their order. */
export const attachmentBlocks = (section: Section, { content, bundle }: ReportContext): Block[] =>
  content.attachments
    .filter((one) => one.section === section)
    .map(({ sha256, name, mediaType, sizeBytes, caption }) => ({
      kind: 'image',
      sha256,
      name,
      mediaType,
      sizeBytes,
      caption: plain(caption, { ink: 'student' }),
      ...(bundle.carried === undefined
        ? {}
        : { carriedAs: bundle.carried.find((file) => file.sha256 === sha256)?.name ?? null }),
    }));
