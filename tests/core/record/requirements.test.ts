import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

/**
 * Which test shows which requirement. The rows follow 21 CFR Part 11 and EU Annex 11 (2011), taken as a
 * good list for a teaching laboratory; no compliance is claimed. Clauses 11.10 (a) to (g) were held
 * against the published text, the others are from memory.
 */
const requirements: readonly (readonly [clause: string, requirement: string, file: string, test: string])[] =
  [
    [
      '11.10(a)',
      'altered records are discernible',
      'core/record/every-byte.test.ts',
      'is noticed when it changes in the table',
    ],
    [
      '11.10(a)',
      'the place is named',
      'core/record/attacks.test.ts',
      'is found when the text of a version is changed',
    ],
    [
      '11.10(b)',
      'copies that a machine can check',
      'electron/check/check-pdf.test.ts',
      'confirms an entry with nothing but the PDF',
    ],
    [
      '11.10(b)',
      'the data can be taken out of the copy',
      'electron/check/check-pdf.test.ts',
      'carries what an ordinary tool takes out',
    ],
    [
      '11.10(c)',
      'readable without the program',
      'electron/archive/deposit.test.ts',
      'is confirmed by sha512sum',
    ],
    [
      '11.10(c)',
      'signatures verified without the program',
      'electron/archive/deposit.test.ts',
      'every signature verified',
    ],
    [
      '11.10(d)',
      'a key opens by its passphrase alone',
      'electron/keys/sealed-key.test.ts',
      'is opened by its passphrase, signs, and gives nothing away',
    ],
    [
      '11.10(e)',
      'audit trail: changes, deletions and order show',
      'core/record/attacks.test.ts',
      'shows a deleted event',
    ],
    [
      '11.10(a)',
      'printed pages that differ from the data are found',
      'electron/check/check-printed.test.ts',
      'finds one printed digit changed, and names the page',
    ],
    [
      '11.10(a)',
      'what is put back behind the guards is found',
      'electron/check/check-database.test.ts',
      'names the place of a row changed behind the guards',
    ],
    [
      '11.10(e)',
      'who, when, from which computer',
      'core/report/entry-report.test.ts',
      'prints the trail with who, when, from where, and old and new values',
    ],
    [
      '11.10(f)',
      'a locked entry refuses change',
      'electron/services/main-job.test.ts',
      'refuses every change to a locked entry',
    ],
    [
      '11.10(f)',
      'what was accepted is never struck out',
      'core/record/attacks-versions.test.ts',
      'is not struck out, even when the trail is made to say so',
    ],
    [
      '11.10(f)',
      'the database refuses it as well',
      'migrations/guards.test.ts',
      'never let what was once countersigned be struck out',
    ],
    [
      '11.10(g)',
      'each request, each role, each state',
      'electron/services/access.test.ts',
      'asked by %s: draft %s, signed %s',
    ],
    [
      '11.10(h)',
      'computer and person stand in every line of the trail',
      'core/report/entry-report.test.ts',
      'prints the trail with who, when, from where',
    ],
    [
      '11.50',
      'name, time and meaning stand on every signed print',
      'core/report/entry-report.test.ts',
      'prints each signature with name, role, meaning, time with offset',
    ],
    [
      '11.200',
      'the passphrase at each signature',
      'electron/services/session.test.ts',
      'signs nothing without the passphrase, however signed in somebody is',
    ],
    ['11.10(e)', 'old and new values', 'core/record/differences.test.ts', 'misses no field of the content'],
    [
      '11.10(f)',
      'permitted sequence of steps',
      'core/record/life.test.ts',
      'never reaches a forbidden state',
    ],
    ['11.10(g)', 'authority', 'core/record/life.test.ts', 'in the state'],
    [
      '11.10(g)',
      'nobody reviews their own work',
      'core/record/attacks.test.ts',
      'on one’s own work is no review',
    ],
    [
      '11.50',
      'name, time and meaning are shown before signing',
      'core/record/words.test.ts',
      'says in plain words what will be bound',
    ],
    [
      '11.70',
      'a signature cannot be moved',
      'core/record/attacks.test.ts',
      'cannot be moved to another entry',
    ],
    [
      '11.70',
      'a signature cannot be used again',
      'core/record/attacks.test.ts',
      'cannot be replayed on the same version',
    ],
    [
      '11.100',
      'a key belongs to one person',
      'core/record/attacks.test.ts',
      'does not certify one key for two persons',
    ],
    [
      '11.300',
      'growing delay after wrong passphrases',
      'core/record/words.test.ts',
      'grows, starts after three tries and has an end',
    ],
    ['11.300', 'length of a passphrase', 'core/record/words.test.ts', 'judges “%s”'],
    [
      '11.300',
      'a lost key is replaced, what it signed stays good',
      'core/record/revocation.test.ts',
      'leaves what a retired key signed good',
    ],
    [
      '11.300',
      'a person who lost the passphrase gets a new key of their own',
      'electron/services/key-life.test.ts',
      'gives a person who lost the passphrase a new key',
    ],
    [
      '11.300',
      'a withdrawn key signs nothing more, also in an open session',
      'electron/services/key-life.test.ts',
      'refuses a signature with a key withdrawn meanwhile',
    ],
    [
      '11.10(c)',
      'a bound file shows in any reader that it is unchanged',
      'electron/services/seal.test.ts',
      'is sealed: valid and the whole document',
    ],
    [
      'Annex 11, 5 and 6',
      'data from outside are checked before use',
      'electron/archive/hand-in.test.ts',
      'is refused with %s',
    ],
    [
      'Annex 11, 12',
      'damage is found',
      'electron/check/check-database.test.ts',
      'finds a page of the file that was overwritten',
    ],
    ['11.300', 'loss of a key', 'electron/services/key-life.test.ts', 'what the old one signed stays good'],
    [
      'Annex 11, 7',
      'backup and restore, rehearsed',
      'electron/services/safe-keeping.test.ts',
      'puts a copy back: what was lost is there again',
    ],
    [
      'Annex 11, 8',
      'clear printed copies',
      'electron/services/long-work.test.ts',
      'binds a locked entry to a PDF that carries and can prove what it shows',
    ],
    [
      'Annex 11, 10',
      'a change of the tables keeps the file as it was',
      'electron/storage/notebook-file.test.ts',
      'puts a whole copy beside the file before a later program changes its tables',
    ],
    [
      'Annex 11, 16',
      'a program killed loses nothing acknowledged',
      'electron/storage/kill.test.ts',
      'loses nothing that was acknowledged, and leaves a sound notebook',
    ],
    [
      'Annex 11, 16',
      'and at most two seconds of typing',
      'electron/storage/kill.test.ts',
      'loses at most the last two seconds of typing',
    ],
    [
      'Annex 11, 16',
      'a full disk',
      'electron/storage/full-disk.test.ts',
      'refuses a save with the reason, loses nothing',
    ],
    [
      'Annex 11, 13',
      'a failed check is told, shown, and stops writing',
      'electron/services/check-at-start.test.ts',
      'opens one that was changed for reading only',
    ],
    [
      'Annex 11, 14',
      'link of signature and record is permanent',
      'core/record/attacks.test.ts',
      'is found when the hash is changed to fit',
    ],
    [
      'Annex 11, 17',
      'archived data are checked for integrity',
      'electron/archive/deposit.test.ts',
      'is sound, as a folder and as a zip',
    ],
    [
      'ALCOA+ contemporaneous',
      'a clock set back shows',
      'core/record/attacks.test.ts',
      'marks a clock that was set back as doubtful',
    ],
    [
      'ALCOA+ complete',
      'rows taken out show',
      'core/record/attacks.test.ts',
      'shows rows that were taken out',
    ],
    ['ALCOA+ accurate', '4.50 stays 4.50', 'core/record/differences.test.ts', 'keeps 4.50 and 4.5 apart'],
  ];

describe('each requirement has its test', () => {
  it.each(requirements)('%s: %s', (_clause, _requirement, file, test) => {
    const source = readFileSync(fileURLToPath(new URL(`../../${file}`, import.meta.url)), 'utf8');
    const names = [...source.matchAll(/\bit(?:\.each(?:\(\w+\)|[^]*?\]\)))?\(\s*[`'"]([^]*?)[`'"],/g)].map(
      (match) => match[1],
    );
    expect(names.some((name) => name?.includes(test))).toBe(true);
  });
});
