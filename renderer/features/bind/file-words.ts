import type { SealView } from '../../../core/contract/views.ts';
import type { Binding } from '../../app/desk.svelte.ts';

/** A passphrase that is asked for first. */
export interface Secret {
  readonly label: string;
  readonly why: string;
}

interface FileWords {
  readonly titles: { readonly running: string; readonly done: string };
  /** Until the first stage is told. */
  readonly firstStage: string;
  readonly saveLabel: string;
  /** On the button after the passphrase. */
  readonly beginLabel: string;
  /** About the finished file. */
  readonly note: string;
  readonly secret: Secret | null;
}

const pdf: FileWords = {
  titles: { running: 'Binding to PDF', done: 'Bound to PDF' },
  firstStage: 'Gathering the pages',
  saveLabel: 'Save the PDF',
  beginLabel: '',
  note: 'The file carries the signed data inside; “check” reads them back from it, without this notebook.',
  secret: null,
};

/** What the department binds it seals as well. */
const sealedPdf: FileWords = {
  ...pdf,
  beginLabel: 'Bind and seal',
  note: 'Sealed by the department: a reader of PDF shows any change made since. The file carries the signed data inside; “check” reads both.',
  secret: {
    label: 'The department’s passphrase',
    why: 'The department’s seal goes over the whole file, pages and data: this record as it stands in the notebook now. Whoever opens it sees in an ordinary reader of PDF whether it was changed since.',
  },
};

/** The words for a binding, and whether the department’s seal is asked for. */
export const wordsFor = (what: Binding['what'], isDepartment: boolean): FileWords =>
  isDepartment && (what === 'entry' || what === 'record') ? sealedPdf : fileWords[what];

const fileWords: Readonly<Record<Binding['what'], FileWords>> = {
  entry: pdf,
  record: pdf,
  trail: {
    titles: { running: 'Writing the table', done: 'The trail as a table' },
    firstStage: 'Reading the trail',
    saveLabel: 'Save the table',
    beginLabel: '',
    note: 'A copy to read and sort, one line for each change, in UTF-8 with commas. The trail itself, which proves itself by its hashes, stays in the notebook.',
    secret: null,
  },
  'hand-in': {
    titles: { running: 'A file to hand on', done: 'Ready to hand on' },
    firstStage: 'Gathering the signed versions',
    saveLabel: 'Save the file',
    beginLabel: 'Write the file',
    note: 'It holds every signed version with its signatures, files and comments, and no draft. Whoever receives it chooses “Take in a file”.',
    secret: {
      label: 'Your passphrase',
      why: 'For a notebook on another computer: handed in to the instructor, or sent back to the student. You sign how far this notebook’s audit trail had got, which the other side keeps as a receipt.',
    },
  },
  deposit: {
    titles: { running: 'Writing the deposit', done: 'The deposit is ready' },
    firstStage: 'Gathering the pages',
    saveLabel: 'Save the deposit',
    beginLabel: 'Write the deposit',
    note: 'A BagIt package: each record bound as PDF, its entries one by one, the signed data, the attached files, lists of hashes and the department’s seal over them. The README.txt inside says how to check it without this program.',
    secret: {
      label: 'The department’s passphrase',
      why: 'The department’s key seals the deposit: whoever opens it in twenty years can see that nothing was changed since. Only what is signed is deposited.',
    },
  },
  'own-notebook': {
    titles: { running: 'A notebook for your own computer', done: 'Your own notebook is ready' },
    firstStage: 'Copying people, certificates and your locked key',
    saveLabel: 'Save the notebook',
    beginLabel: '',
    note: 'Open it on your own computer with the passphrase you have here. It holds your records, still empty, and your locked key: keep it to yourself. What you sign there comes back as a hand-in file.',
    secret: null,
  },
};

/** Why the department cannot seal now; empty where it can. The newest seal comes first. */
export function whyNoSeal(seals: readonly SealView[]): string {
  if (seals.some((one) => one.standing === 'in-use' || one.standing === 'ends-soon')) return '';
  const [last] = seals;
  const how = `Make ${last === undefined ? 'one' : 'a new one'} under People.`;
  if (last === undefined)
    return `The department has no seal yet. ${how} Until then a PDF is bound without one.`;
  if (last.standing === 'retired') {
    return `The department’s seal was retired. ${how} Until then a PDF is bound without one.`;
  }
  return `The department’s seal has ended and is to be renewed. ${how} Until then a PDF is bound without one.`;
}
