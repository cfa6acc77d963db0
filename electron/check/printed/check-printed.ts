import type { CheckFinding } from '../../../core/contract/views.ts';
import type { Bundle } from '../../../core/record/bundle.ts';
import { recordSentences } from '../../../core/wording/record.ts';
import { printerName } from '../../export/pdf-document.ts';
import { firstDifference, unorderedDifference, type WordDifference } from './compare-words.ts';
import { readPrintedPages, type PrintedPages, type PrintedPart } from './read-pages.ts';
import { declaredOn, remake, withPrintedInitials, type Remade } from './remake.ts';
import { firstPageDrawnOtherwise } from './same-drawing.ts';

const finding = (
  severity: CheckFinding['severity'],
  code: string,
  place: string,
  facts: Readonly<Record<string, string | number>> = {},
): CheckFinding => ({ severity, code, place, sentence: recordSentences[code]?.(facts) ?? code });

const pageWords = (index: number): string => `page ${index + 1} of this PDF`;

export interface PrintedCheck {
  readonly findings: readonly CheckFinding[];
  /** Pages whose words were held against the data, one by one. */
  readonly compared: number;
}

/**
 * Holds the printed pages of a bound PDF against the record it carries: the record is printed once more,
 * and the words, and then everything drawn, are compared page by page.
 *
 * @param files what else the PDF carries: the attachments
 * @throws the signal's reason when it is aborted
 */
export async function checkPrinted(
  bytes: Uint8Array,
  bundle: Bundle,
  files: readonly Uint8Array[],
  signal?: AbortSignal,
): Promise<PrintedCheck> {
  let printed: PrintedPages;
  try {
    printed = await readPrintedPages(bytes, signal);
  } catch {
    signal?.throwIfAborted();
    return { findings: [finding('doubtful', 'pdf-pages-unreadable', 'the pages of this PDF')], compared: 0 };
  }
  const isRecord =
    printed.parts[0]?.title === 'Certificate' ||
    bundle.rows.filter(({ table }) => table === 'entry').length > 1;
  let best: { readonly remade: Remade; readonly found: Outcome } | null = null;
  try {
    const waiting = [...declaredOn(printed, bundle)];
    for (let declared = waiting.shift(); declared !== undefined; declared = waiting.shift()) {
      const remade = await remake(bundle, isRecord, declared, files, signal);
      const pages = await readPrintedPages(remade.bytes, signal);
      const found = compare(printed, pages, remade);
      if (best === null || found.agreeing > best.found.agreeing) best = { remade, found };
      if (found.findings.length === 0) break;
      const other = withPrintedInitials(declared, ...wordsOfSameParts(printed, pages));
      if (other !== null) waiting.unshift(other);
    }
  } catch {
    signal?.throwIfAborted();
  }
  // The record itself is at fault, and is reported as such.
  if (best === null) {
    return {
      findings: [finding('doubtful', 'pdf-pages-not-compared', 'the pages of this PDF')],
      compared: 0,
    };
  }
  const { found, remade } = best;
  const compared = printed.pages.length;
  if (found.findings.length > 0 || !found.isExact) return { findings: found.findings, compared };
  const other = await firstPageDrawnOtherwise(bytes, remade.bytes).catch(() => 0);
  const drawn = other === null ? [] : [finding('doubtful', 'pdf-drawn-otherwise', pageWords(other))];
  return { findings: drawn, compared };
}

interface Outcome {
  readonly findings: readonly CheckFinding[];
  /** Pages that say the same, to choose between several readings. */
  readonly agreeing: number;
  /** Everything was compared, word by word and in order; the drawing can be compared as well. */
  readonly isExact: boolean;
}

function compare(printed: PrintedPages, data: PrintedPages, remade: Remade): Outcome {
  if (printed.creator !== printerName) {
    const loose = compareLoosely(printed, data, 'pdf-text-other-version');
    // Whoever edits pages can name another version as well: that less was compared is never left unsaid.
    const note = finding('note', 'pdf-only-words-compared', 'the pages of this PDF');
    return { ...loose, findings: [...loose.findings, note] };
  }
  if (remade.missingPictures > 0) return compareWithoutPictures(printed, data, remade.missingPictures);
  const drafts = printed.parts.filter((part) => !data.parts.some((one) => one.title === part.title));
  if (drafts.length > 0 && drafts.every((part) => isDraft(printed, part))) {
    return compareWithDrafts(printed, data, drafts);
  }
  return compareExactly(printed, data);
}

const differs = (index: number, { printed, data }: WordDifference): CheckFinding =>
  finding('broken', 'pdf-text-differs', pageWords(index), { printed, data });

function compareExactly(printed: PrintedPages, data: PrintedPages): Outcome {
  const findings: CheckFinding[] = [];
  let agreeing = 0;
  for (let index = 0; index < Math.max(printed.pages.length, data.pages.length); index += 1) {
    const [page, remadePage] = [printed.pages[index], data.pages[index]];
    if (page === undefined) {
      findings.push(finding('broken', 'pdf-page-missing', pageWords(index)));
    } else if (remadePage === undefined) {
      findings.push(finding('broken', 'pdf-page-added', pageWords(index)));
    } else {
      const difference = firstDifference(page, remadePage);
      if (difference === null) agreeing += 1;
      else findings.push(differs(index, difference));
    }
  }
  return { findings: firstOnes(findings), agreeing, isExact: true };
}

const frontTitles: ReadonlySet<string> = new Set(['Certificate', 'Index']);

/** A page added or taken out makes every later one differ: the first few places tell enough. */
const mostListed = 5;
function firstOnes(findings: readonly CheckFinding[]): readonly CheckFinding[] {
  return findings.slice(0, mostListed);
}

const wordsOfPart = ({ pages }: PrintedPages, { start, count }: PrintedPart): readonly string[] =>
  pages.slice(start, start + count).flat();

const isDraft = ({ pages }: PrintedPages, { start, count }: PrintedPart): boolean =>
  pages.slice(start, start + count).every((words) => words.join(' ').includes('Draft, not signed ·'));

/** `page 3 of 12`: with pages that the data do not make, the numbers are others. */
const withoutNumbers = (words: readonly string[]): readonly string[] =>
  words
    .join(' ')
    .replace(/page \d+ of \d+/g, 'page')
    .split(' ');

/** The words of the entries that both have. */
function wordsOfSameParts(
  printed: PrintedPages,
  data: PrintedPages,
): readonly [readonly string[], readonly string[]] {
  const isShared = ({ title }: PrintedPart): boolean =>
    !frontTitles.has(title) && [printed, data].every(({ parts }) => parts.some((one) => one.title === title));
  const words = (pages: PrintedPages): readonly string[] =>
    pages.parts.filter(isShared).flatMap((part) => withoutNumbers(wordsOfPart(pages, part)));
  return [words(printed), words(data)];
}

/** A record bound while entries were still drafts: those are not signed and not carried. */
function compareWithDrafts(
  printed: PrintedPages,
  data: PrintedPages,
  drafts: readonly PrintedPart[],
): Outcome {
  const findings: CheckFinding[] = [];
  let agreeing = 0;
  for (const part of drafts) {
    const place =
      part.count === 1
        ? pageWords(part.start)
        : `pages ${part.start + 1} to ${part.start + part.count} of this PDF`;
    findings.push(finding('note', 'pdf-part-draft', place));
  }
  const fronts = printed.parts.filter((part) => frontTitles.has(part.title));
  findings.push(finding('note', 'pdf-front-not-compared', pageWords(fronts[0]?.start ?? 0)));
  for (const part of printed.parts) {
    const same = data.parts.find((one) => one.title === part.title);
    if (same === undefined || fronts.includes(part)) continue;
    for (let index = 0; index < Math.max(part.count, same.count); index += 1) {
      const difference = firstDifference(
        withoutNumbers(index < part.count ? (printed.pages[part.start + index] ?? []) : []),
        withoutNumbers(index < same.count ? (data.pages[same.start + index] ?? []) : []),
      );
      if (difference === null) agreeing += 1;
      else findings.unshift(differs(part.start + Math.min(index, part.count - 1), difference));
    }
  }
  for (const part of data.parts.filter((one) => !printed.parts.some(({ title }) => title === one.title))) {
    findings.unshift(finding('broken', 'pdf-part-missing', 'the pages of this PDF', { title: part.title }));
  }
  return { findings, agreeing, isExact: false };
}

/** What is printed in place of a picture that is not at hand. */
const standIn = /File “[^”]*” \([^)]*\) is part of this version and is not printed here\./g;
const withoutStandIns = (words: readonly string[]): readonly string[] =>
  words.join(' ').replace(standIn, '').split(/\s+/);

/** Pictures that are not carried as files, for what they say of a place: everything below them moves up. */
function compareWithoutPictures(printed: PrintedPages, data: PrintedPages, count: number): Outcome {
  const pages = data.pages.map(withoutStandIns);
  const loose = compareLoosely(printed, { ...data, pages }, 'pdf-text-without-pictures');
  const note = finding('note', 'pdf-pictures-not-compared', 'the pages of this PDF', { count });
  return { ...loose, findings: [...loose.findings, note] };
}

/**
 * Another version of the program words and breaks its pages otherwise: the words of each part are held
 * against each other, in no order.
 */
function compareLoosely(printed: PrintedPages, data: PrintedPages, code: string): Outcome {
  const findings: CheckFinding[] = [];
  let agreeing = 0;
  for (const part of printed.parts) {
    const same = data.parts.find((one) => one.title === part.title);
    const difference = unorderedDifference(
      withoutNumbers(wordsOfPart(printed, part)),
      same === undefined ? [] : withoutNumbers(wordsOfPart(data, same)),
    );
    if (difference === null) agreeing += 1;
    else findings.push(finding('doubtful', code, pageWords(part.start), { ...difference }));
  }
  return { findings: firstOnes(findings), agreeing, isExact: false };
}
