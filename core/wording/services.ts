type Facts = Readonly<Record<string, string | number>>;

const said = (facts: Facts, key: string): string => String(facts[key] ?? '');

/**
 * Why a notebook file cannot be opened or written: what is the matter, then what to do. Keyed by the
 * reasons of `electron/storage`.
 */
const storage: Readonly<Record<string, (facts: Facts) => string>> = {
  'disk-full': () => 'The disk is full: nothing was written. Make room, then try again.',
  'read-only': () =>
    'The notebook file, or the folder it stands in, cannot be written to. It can be read; to write, change its permissions or copy it elsewhere.',
  'held-elsewhere': (facts) =>
    facts['process'] === undefined
      ? 'Another program is writing to this notebook. It can be read here; to write, close it there first.'
      : `This notebook is open in another program (process ${said(facts, 'process')} on ${said(facts, 'computer')}). It can be read here; to write, close it there first.`,
  'newer-version': (facts) =>
    `This notebook was written by a newer version of the program (format ${said(facts, 'found')}, known here up to ${said(facts, 'known')}). It was left untouched. Bring the program up to date to open it.`,
  'not-a-notebook': () =>
    'This file is not a notebook of this program. It was left untouched. Name another file.',
  'file-missing': () => 'There is no such file. Look at the name and the folder.',
  'file-replaced': () =>
    'The notebook file was moved, deleted or replaced while it was open: nothing was written. Put it back in its place, or close the program and open the file where it is now.',
  'folder-missing': () =>
    'The folder for the notebook does not exist. Make it, or name a file in a folder that does.',
  busy: () => 'The notebook file is busy. Try again in a moment.',
  'check-failed': (facts) =>
    `The check of this notebook fails at ${said(facts, 'place')}: ${said(facts, 'sentence')} It can be read; nothing is written into it. “Check” shows all that fails and what still holds; go on with a kept copy.`,
  damaged: () =>
    'The notebook file is damaged, by a fault of the disk perhaps. What can still be read is shown; nothing is written into it. Check it, and go on with a kept copy.',
  unreadable: () =>
    'The notebook file cannot be reached: a drive that went away, perhaps. Nothing was changed.',
};

/** Words of everything the services can answer with that is not worded elsewhere. */
export const serviceSentences: Readonly<Record<string, (facts: Facts) => string>> = storage;

export const storageSentence = (problem: { readonly reason: string; readonly facts: Facts }): string =>
  storage[problem.reason]?.(problem.facts) ?? `The notebook file cannot be used (${problem.reason}).`;

/** A warning at the start: said, and nothing refused. */
export const networkDriveSentence =
  'This notebook stands on a network drive. Open it on one computer at a time, and keep the notebook itself on a drive of this computer: a connection that breaks can damage it.';

/** A warning for the signer: the record says it was done on a day that has not come. */
export const futurePracticalSentence = (date: string): string =>
  `The day of the practical, ${date}, is still to come.`;

/** True for a reason that `storageSentence` has words for. */
export const storageWords = (reason: string): boolean => Object.hasOwn(storage, reason);
