import type { CommonCode } from '../../core/contract/contract.ts';
import type { CodeOf, RequestName } from '../../core/contract/request-map.ts';
import { problemSentence } from '../../core/wording/index.ts';
import { storageSentence, storageWords } from '../../core/wording/services.ts';

/** Every code a request can be refused with. */
export type RefusalCode = CommonCode | CodeOf<RequestName>;
type Facts = Readonly<Record<string, string | number>>;

interface AnyRefusal {
  readonly code: string;
  readonly where: string;
  readonly facts: Facts;
}

/** `40 s`, `2 min`: rounded up, so that nobody is told to come back too early. */
function wait(facts: Facts): string {
  const seconds = Math.ceil(Number(facts['seconds'] ?? facts['waitSeconds'] ?? Number.NaN));
  if (!Number.isFinite(seconds)) return 'a little';
  return seconds < 90 ? `${seconds}\u2009s` : `${Math.ceil(seconds / 60)}\u2009min`;
}

const megabytes = (facts: Facts, key: string): string =>
  `${(Number(facts[key]) / 1e6).toFixed(1).replace(/\.0$/, '')}\u2009MB`;

const notRead = (where: string): string =>
  where === ''
    ? 'Something in this form cannot be read. Look through what you entered.'
    : `The program could not read “${where}”. Look at what you entered there.`;

/** Why an input was turned away whole, by the reasons of `core/contract/read-input.ts`. */
const unreadable: Readonly<Record<string, (where: string) => string>> = {
  'too-long': () =>
    'This is more than one entry can hold. Shorten what was pasted last, or attach it as a file.',
  'lone-surrogate': () => 'The text has a broken character in it, half of an emoji perhaps. Take it out.',
  'zero-character': () => 'The text has an invisible zero character in it. Paste it as plain text.',
};

/** The sentence of the reason a refusal carries, or `other` where nothing has words for it. */
function reasonOr(facts: Facts, other: string): string {
  const sentence = problemSentence({ code: String(facts['reason']), facts });
  return sentence.startsWith('(') ? other : sentence;
}

// What happened, then what to do about it; never whose fault it was.
const sentences: Record<RefusalCode, (facts: Facts, where: string) => string> = {
  'invalid-input': (facts, where) => unreadable[String(facts['reason'])]?.(where) ?? notRead(where),
  'not-signed-in': () => 'You are no longer signed in. Sign in again: nothing you typed is lost.',
  'not-allowed': (facts) =>
    reasonOr(
      facts,
      'This is not open to you: a draft is its owner’s alone until it is signed, and some things are for an instructor or the department.',
    ),
  'not-found': () => 'This page is not in the notebook, or it belongs to somebody else.',
  'storage-failed': (facts) =>
    facts['reason'] === undefined
      ? 'The notebook file could not be written. Nothing was changed; the page keeps what you typed.'
      : storageSentence({ reason: String(facts['reason']), facts }),
  internal: () => 'Something went wrong inside the program. Nothing was changed; try again.',
  'not-empty': () => 'There is a notebook here already, so a new one was not begun.',
  'passphrase-too-short': (facts) =>
    facts['shortest'] === undefined
      ? 'The passphrase is too short. Four or five words make a good one.'
      : `A passphrase has at least ${facts['shortest']} characters. Four or five words make a good one.`,
  'name-taken': (facts) =>
    facts['printedName'] === undefined
      ? 'Two people cannot have the same printed name. Add a second initial.'
      : `There is already a ${facts['printedName']} here. Add a second initial.`,
  'wrong-passphrase': (facts) => {
    const next = facts['seconds'] ?? facts['waitSeconds'];
    const after = next === undefined || Number(next) === 0 ? '' : ` Wait ${wait(facts)} before the next try.`;
    return `That is not the passphrase. Try again; capitals and spaces count.${after}`;
  },
  'wait-before-retry': (facts) =>
    `Too many wrong passphrases one after another. Wait ${wait(facts)}, then try again.`,
  'compound-faulty': (facts) =>
    reasonOr(facts, 'Something in this form is not right. Look through its boxes.'),
  'compound-name-taken': (facts) =>
    `The department already has ${facts['name'] ?? 'a compound'} among its own compounds. Change that one, or give this one another name.`,
  'compound-changed-elsewhere': (facts) =>
    `${facts['author'] ?? 'Somebody'} saved version ${facts['n'] ?? ''} of this compound in the meantime. Nothing of yours is lost: it stands in the form. Look at what changed, then save again on top of it.`,
  'nothing-changed': () => 'Nothing was changed, so there is nothing to save.',
  'title-taken': () => 'This person already keeps a record with that title. Choose another.',
  'entry-locked': () => 'This entry is locked: it can be read, and changed only by an amendment.',
  'draft-changed-elsewhere': () =>
    'The entry was changed in another window. Open it again to see the newer text; yours is kept on this page until then.',
  'reason-missing': () => 'Give a reason. It stands in the record beside the change.',
  'not-locked': () => 'The entry is not locked, so it needs no amendment: it can simply be edited.',
  'comment-missing': () => 'Write what is to be put right, so that the student knows.',
  'attachment-name': () => 'This file needs a name of up to 150 characters. Rename it, then attach it.',
  'attachment-empty': () => 'There is nothing in this file. Choose another.',
  'attachment-too-large': (facts) =>
    facts['most'] === undefined
      ? 'This file is too large to be attached. Save it smaller.'
      : `A file of up to ${megabytes(facts, 'most')} can be attached; this one has ${megabytes(facts, 'size')}. Save it smaller: a photograph at a lower resolution, a spectrum as a table.`,
  'attachment-kind': () =>
    'Photographs (PNG, JPEG), PDF, tables (CSV) and plain text (TXT, JDX, DX) can be attached. Save the file as one of these.',
  'attachment-disguised': (facts) =>
    `The content of this file is not what its ending .${facts['ending'] ?? ''} says. Save it again under its right kind.`,
  'attachment-damaged': () => 'This file is damaged or was cut off. Take it from its source again.',
  'attachment-too-many-pixels': (facts) =>
    `This picture has ${facts['width'] ?? ''} × ${facts['height'] ?? ''} pixels, more than can be opened safely. Save it smaller.`,
  'attachment-too-many': () => 'No more files can be attached to this entry.',
  'attachment-there-already': () => 'This very file is attached to this entry already.',
  'attachment-unknown': () =>
    'The entry names an attached file that was never attached to it. Attach the file itself.',
  'nothing-signed': () => 'Nothing is signed yet. Sign the entry first; then it can be handed in as a file.',
  'file-unreadable': (facts) => {
    const reason = String(facts['reason']);
    return storageWords(reason)
      ? storageSentence({ reason, facts })
      : reasonOr(
          facts,
          'This file cannot be read: it is none of this program’s, or it was damaged on the way.',
        );
  },
  'hand-in-unreadable': (facts) =>
    reasonOr(facts, 'This is not a hand-in file of this program, or it was damaged on the way.'),
  'hand-in-refused': (facts) =>
    `Nothing was taken in. ${reasonOr(facts, 'The file does not fit this notebook; ask for it once more.')}`,
  'since-not-past': (facts) => reasonOr({ ...facts, reason: 'since-not-past' }, ''),
  'key-not-in-use': (facts) => reasonOr({ ...facts, reason: 'key-not-in-use' }, ''),
  'last-of-department': (facts) => reasonOr({ ...facts, reason: 'last-of-department' }, ''),
  'seal-missing': (facts) => reasonOr({ ...facts, reason: 'seal-missing' }, ''),
  'seal-expired': (facts) => reasonOr({ ...facts, reason: 'seal-expired' }, ''),
  'version-superseded': () =>
    'A newer version was signed while you were reading. Open the entry again and read that one.',
};

/** What a refused request tells the person: one or two sentences in the words of the trade. */
export function refusalSentence(refusal: AnyRefusal): string {
  const say = (sentences as Readonly<Record<string, ((facts: Facts, where: string) => string) | undefined>>)[
    refusal.code
  ];
  return say === undefined
    ? `The program refused this (${refusal.code}). Nothing was changed.`
    : say(refusal.facts, refusal.where);
}
