import type { AuditEvent, EntryState } from './objects.ts';

/**
 * Every action an event may carry, with the sentence that tells it. `{entry}` is "entry 3", `{of}`
 * is " of entry 3" or nothing. Events of an unknown action (from a newer version) are still told.
 */
export const trailActions = {
  'notebook.begin': 'began this notebook',
  'notebook.demo': 'made this demo notebook',
  'notebook.open': 'opened the notebook',
  'notebook.close': 'closed the notebook',
  'notebook.check': 'checked the notebook',
  'notebook.backup': 'made a copy for safe keeping',
  'notebook.restore': 'put back a kept copy',
  'notebook.issue': 'made a notebook for use on another computer',
  'notebook.export': 'exported the audit trail',
  'file.check': 'checked a file',
  'session.open': 'signed in',
  'session.refused': 'was refused: wrong passphrase',
  'session.close': 'signed out',
  'session.lock': 'left the computer; the session locked itself',
  'person.add': 'added a person and certified their key',
  'person.change-passphrase': 'changed the passphrase of their key',
  'key.certify': 'renewed the certificate of a key',
  'key.replace': 'certified a new key for a person',
  'key.retire': 'retired a key; what it signed stays good',
  'key.compromised': 'declared a key to be in wrong hands',
  'department.change-passphrase': 'changed the passphrase of the department',
  'seal.make': 'made a seal for PDFs and certified it',
  'seal.retire': 'retired the seal for PDFs',
  'own-compound.save': 'wrote into the department’s own compounds',
  'own-compound.withdraw': 'withdrew a compound of the department’s own',
  'record.begin': 'began a practical record',
  'record.bind': 'bound the record to PDF',
  'record.hand-in': 'wrote a hand-in file',
  'record.receive': 'received a hand-in file',
  'record.deposit': 'deposited the record',
  'entry.begin': 'began {entry}',
  'entry.bind': 'bound {entry} to PDF',
  'draft.save': 'changed the draft{of}',
  'entry.sign': 'signed {entry} and handed it in',
  'entry.return': 'returned {entry} with comments',
  'entry.countersign': 'countersigned {entry}; it is locked',
  'entry.amend': 'opened {entry} for an amendment',
  'entry.abandon-amendment': 'gave up the amendment{of}',
  'entry.strike-out': 'struck out {entry}',
  'signing.refused': 'was refused a signature{on}: wrong passphrase',
  'comment.add': 'commented{on}',
  'comment.settle': 'settled a comment{on}',
  'attachment.add': 'attached a file{to}',
} as const;
export type TrailAction = keyof typeof trailActions;

/** What the sentence needs beside the event: ids say nothing to a reader. */
export interface TrailNames {
  /** Number of an entry in its record, or null when it is not known. */
  readonly entryNumber: (entryId: string) => number | null;
  readonly recordTitle: (recordId: string) => string | null;
}

/**
 * An event in words, without the name of who did it: "changed the draft of entry 3, in 2 places".
 * Put the printed name in front for a whole sentence.
 */
export function trailSentence(event: AuditEvent, names: TrailNames): string {
  const { entry, record, n } = event.object;
  const number = entry === null ? null : names.entryNumber(entry);
  const entryWords = entry === null ? '' : number === null ? 'an entry' : `entry ${number}`;
  const version = n === null || entry === null ? '' : `, version ${n}`;
  const template: string = Object.hasOwn(trailActions, event.action)
    ? trailActions[event.action as TrailAction]
    : `did something this program has no words for (${event.action})`;
  const prefixed = (word: string): string => (entryWords === '' ? '' : ` ${word} ${entryWords}${version}`);
  const told = template
    .replace('{entry}', `${entryWords === '' ? 'an entry' : entryWords}${version}`)
    .replace('{of}', prefixed('of'))
    .replace('{on}', prefixed('on'))
    .replace('{to}', prefixed('to'));
  const title = record === null || entry !== null ? null : names.recordTitle(record);
  const changed = event.action === 'draft.save' ? changeCount(event.changes.length) : '';
  return `${told}${title === null ? '' : ` “${title}”`}${changed}`;
}

const changeCount = (count: number): string =>
  count === 0 ? '' : count === 1 ? ', in one place' : `, in ${count} places`;

/** A state in words, for the index page and the trail. */
export const stateLabel: Readonly<Record<EntryState, string>> = {
  draft: 'in work',
  signed: 'signed, waiting for the instructor',
  returned: 'returned with comments',
  countersigned: 'countersigned and locked',
  amending: 'being amended',
  'struck-out': 'struck out',
};
