import type { Binding } from '../../app/desk.svelte.ts';

interface FileWords {
  readonly titles: { readonly running: string; readonly done: string };
  /** Until the first stage is told. */
  readonly firstStage: string;
  readonly saveLabel: string;
  /** About the finished file. */
  readonly note: string;
}

const pdf: FileWords = {
  titles: { running: 'Binding to PDF', done: 'Bound to PDF' },
  firstStage: 'Gathering the pages',
  saveLabel: 'Save the PDF',
  note: 'The file carries the signed data inside; “check” reads them back from it, without this notebook.',
};

export const fileWords: Readonly<Record<Binding['what'], FileWords>> = {
  entry: pdf,
  record: pdf,
  trail: {
    titles: { running: 'Writing the table', done: 'The trail as a table' },
    firstStage: 'Reading the trail',
    saveLabel: 'Save the table',
    note: 'A copy to read and sort, one line for each change, in UTF-8 with commas. The trail itself, which proves itself by its hashes, stays in the notebook.',
  },
};
