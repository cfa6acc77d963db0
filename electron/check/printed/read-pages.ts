import { getDocumentProxy } from 'unpdf';

/** Pages that belong together under one bookmark of the first level. */
export interface PrintedPart {
  readonly title: string;
  /** Index of its first page, from 0. */
  readonly start: number;
  readonly count: number;
}

/** What can be read off a PDF without looking at it as a picture. */
export interface PrintedPages {
  /** Words of each page in the order they were drawn. */
  readonly pages: readonly (readonly string[])[];
  readonly parts: readonly PrintedPart[];
  /** UTC, ISO 8601; '' when the file does not say. */
  readonly createdAt: string;
  /** Program and version that made it, as the file says. */
  readonly creator: string;
}

/** More pages than any record has; a hostile file is not read for ever. */
const mostPages = 20_000;

/**
 * Reads the text of a PDF with a reader that shares no code with the printer (PDF.js, as unpdf packs it).
 *
 * @throws when the pages cannot be read
 */
export async function readPrintedPages(bytes: Uint8Array, signal?: AbortSignal): Promise<PrintedPages> {
  // The reader takes the bytes over; the caller goes on needing them.
  const document = await getDocumentProxy(Uint8Array.from(bytes));
  try {
    if (document.numPages > mostPages) throw new Error('too many pages');
    const pages: (readonly string[])[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      signal?.throwIfAborted();
      const page = await document.getPage(number);
      const { items } = await page.getTextContent();
      pages.push(wordsOf(items.map((item) => ('str' in item ? item.str : '')).join(' ')));
      page.cleanup();
    }
    const { info } = await document.getMetadata();
    const facts = info as Readonly<Record<string, unknown>>;
    return {
      pages,
      parts: await partsOf(document),
      createdAt: dateOf(facts['CreationDate']),
      creator: typeof facts['Creator'] === 'string' ? facts['Creator'] : '',
    };
  } finally {
    await document.loadingTask.destroy();
  }
}

/** Ligatures and other presentation forms as their letters (Unicode NFKC), soft hyphens left out. */
export const wordsOf = (text: string): readonly string[] =>
  text
    .replace(/\u00ad/g, '')
    .normalize('NFKC')
    .split(/\s+/)
    .filter((word) => word !== '');

type Document = Awaited<ReturnType<typeof getDocumentProxy>>;

async function partsOf(document: Document): Promise<readonly PrintedPart[]> {
  const outline = ((await document.getOutline()) ?? []) as readonly {
    readonly title: string;
    readonly dest: string | readonly unknown[] | null;
  }[];
  const starts: { title: string; start: number }[] = [];
  for (const { title, dest } of outline) {
    const start = await pageOf(document, dest).catch(() => null);
    // A bookmark that leads nowhere: its page was taken out.
    if (start !== null) starts.push({ title, start });
  }
  starts.sort((a, b) => a.start - b.start);
  return starts.map(({ title, start }, index) => ({
    title,
    start,
    count: (starts[index + 1]?.start ?? document.numPages) - start,
  }));
}

async function pageOf(document: Document, dest: string | readonly unknown[] | null): Promise<number | null> {
  const target = typeof dest === 'string' ? await document.getDestination(dest) : dest;
  const page: unknown = target?.[0];
  if (typeof page === 'number') return page;
  if (typeof page !== 'object' || page === null) return null;
  return document.getPageIndex(page as { num: number; gen: number });
}

/** `D:20270309100000Z` (ISO 32000-1 §7.9.4, UTC) as ISO 8601. */
function dateOf(value: unknown): string {
  const match = /^D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(?:Z|\+00'?00'?)?$/.exec(String(value));
  if (match === null) return '';
  const [, year, month, day, hour, minute, second] = match;
  return `${year}-${month}-${day}T${hour}:${minute}:${second}.000Z`;
}
