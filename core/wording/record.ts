import { keySentences } from './keys.ts';
import { sealSentences } from './seal.ts';

type Facts = Readonly<Record<string, string | number>>;
type Sentence = (facts: Facts) => string;

const said = (facts: Facts, key: string): string => String(facts[key] ?? '');
const many = (facts: Facts, one: string, more: string): string =>
  Number(facts['count']) === 1 ? `one ${one}` : `${said(facts, 'count')} ${more}`;

/** What the check of a notebook finds. Written for a reader who never heard of a hash. */
const findings: Readonly<Record<string, Sentence>> = {
  'department-key-differs': () =>
    'The department key in this file is not the one that was given for comparison. Either this file belongs to another department, or the key was replaced.',
  'key-not-pinned': () =>
    'The department’s key was taken from the file itself. To be sure, compare its fingerprint with the one the department published.',
  'certificate-changed': (f) => `A certificate has been changed: ${said(f, 'fault')}.`,
  'certificate-forged': () =>
    'The department did not issue this certificate: its signature does not fit the department’s key.',
  'key-of-two-persons': (f) => `This certificate gives the key of ${said(f, 'other')} to a second person.`,
  'revocation-changed': (f) => `The notice that a key was withdrawn has been changed: ${said(f, 'fault')}.`,
  'revocation-forged': () => 'This notice that a key was withdrawn does not come from the department.',

  'event-changed': (f) => `This event has been changed: ${said(f, 'fault')}.`,
  'event-of-another-notebook': () => 'This event was written in another notebook.',
  'event-out-of-order': (f) =>
    `The events are not in their order: event ${said(f, 'found')} stands where event ${said(f, 'expected')} belongs.`,
  'events-missing': (f) =>
    `Before this event ${many(f, 'event is', 'events are')} missing, from event ${said(f, 'expected')} on.`,
  'event-link': (f) =>
    `This event does not follow from the one before it: event ${said(f, 'before')} was changed or replaced after this one was written.`,
  'event-time': () => 'The time of this event does not fit its place in the trail.',
  'clock-back': (f) =>
    `The computer’s clock was set back by ${Number(f['minutes']) === 1 ? 'about a minute' : `${said(f, 'minutes')} minutes`} before this event. The order of events is sure, their times around here are not.`,

  'version-changed': (f) => `This version has been changed since it was signed: ${said(f, 'fault')}.`,
  'version-missing': (f) => `Version ${said(f, 'n')}, which comes before this one, is missing.`,
  'version-twice': (f) => `There are two versions with the number ${said(f, 'n')}.`,
  'version-order': () => 'This version does not follow from the version before it.',
  'version-of-another-record': () => 'This version belongs to another record than the one before it.',
  'version-unsigned': () => 'No signature of its author was found for this version.',

  'own-compound-changed': (f) => `This compound has been changed since it was saved: ${said(f, 'fault')}.`,
  'own-compound-order': () => 'This form of the compound does not follow from the one before it.',

  'signature-changed': (f) => `A signature has been changed: ${said(f, 'fault')}.`,
  'signature-without-certificate': () =>
    'The certificate of the key that made this signature is not in the file.',
  'signature-by-uncertified-key': (f) =>
    `This signature was made with a key the department does not vouch for (${said(f, 'certificate')}).`,
  'signature-invalid': (f) =>
    `This signature was not made with the key of ${said(f, 'person')}, or what it signs was changed afterwards.`,
  'signer-differs': (f) =>
    `The signature names ${said(f, 'stated')}, but its key is certified for ${said(f, 'certified')}.`,
  'meaning-not-allowed': (f) => `The role “${said(f, 'role')}” does not allow a signature with this meaning.`,
  'signed-outside-validity': (f) =>
    `Signed on ${said(f, 'signed')}, but the department vouches for this key only from ${said(f, 'from')} to ${said(f, 'until')}.`,
  'signed-with-compromised-key': (f) =>
    `The department declared this key to be in wrong hands since ${said(f, 'since')}, and nobody else is known to have seen this signature before then.`,
  'signature-without-version': () => 'The version that this signature speaks of is not in the file.',
  'signature-moved': (f) =>
    `This signature was made for something else and moved here (${said(f, 'other')}).`,
  'signed-by-another': (f) =>
    `The version was written by ${said(f, 'author')}, and somebody else signed it as their own work.`,
  'own-work-reviewed': (f) => `${said(f, 'person')} reviewed their own work.`,
  'signed-in-another-notebook': () =>
    'This signature was made in another notebook, whose audit trail is not in this file. The signature itself holds.',
  'trail-cut-off': (f) =>
    `When this was signed the audit trail had ${said(f, 'seq')} events; now it ends at event ${said(f, 'last')}. The end was cut off, or an older copy was put back.`,
  'trail-differs': (f) =>
    `When this was signed, event ${said(f, 'seq')} of the audit trail was another one. The trail was rewritten afterwards.`,
  'signed-before-trail': (f) =>
    `The time of this signature (${said(f, 'signed')}) is earlier than that of the last event before it (${said(f, 'event')}).`,
  'signed-before-told': (f) =>
    `This signature says ${said(f, 'signed')}, but the audit trail tells of it only at event ${said(f, 'seq')} (${said(f, 'event')}). It may have been back-dated.`,
  'earlier-signature-missing': (f) =>
    `This signature rests on ${many(f, 'earlier one', 'earlier ones')} no longer there.`,
  'reviewed-before-signed': () => 'This review does not rest on a signature of the author.',
  'signed-twice': () => 'This version carries two signatures of an author.',

  'row-changed': (f) =>
    `This was changed behind the program’s back: it is not what event ${said(f, 'seq')} of the audit trail left here.`,
  'row-unknown': () =>
    'No event of the audit trail tells where this came from. It was put in behind the program’s back.',
  'row-twice': () => 'This stands in the file twice.',
  'row-missing': (f) =>
    `Event ${said(f, 'seq')} of the audit trail tells of ${said(f, 'what')} that is no longer in the file.`,
  'object-unknown': () =>
    'No event of the audit trail tells of this. It was put in behind the program’s back.',
  'draft-pending': () =>
    'This draft has changes of the last minutes that are not in the audit trail yet. They get there with the next save.',
  'draft-changed': () => 'This draft was changed behind the program’s back.',
  'column-differs': (f) =>
    `The index of the file (${said(f, 'column')}) does not say what the signed content says. The content is what counts.`,
  'column-unknown': (f) =>
    `The file has a column ${said(f, 'column')} that this program does not know and cannot check.`,
  'state-differs': (f) =>
    `The state “${said(f, 'state')}” does not follow from the signatures on this entry.`,

  'attachment-changed': () => 'The content of this attachment has been changed.',
  'attachment-missing': (f) => `The attachment ${said(f, 'attachment')} that this version lists is missing.`,
  'attachment-not-here': (f) =>
    `The attachment ${said(f, 'attachment')} that this version lists is not part of this file.`,
  'checkpoint-changed': (f) => `A checkpoint has been changed: ${said(f, 'fault')}.`,
  'checkpoint-forged': () => 'The signature on this checkpoint does not hold.',
  'rolled-back': (f) =>
    `The trail ends at event ${said(f, 'last')}, but event ${said(f, 'seq')} was already seen (${said(f, 'source')}, ${said(f, 'seen')}). The end was cut off, or an older copy of the file was put back.`,
  'trail-replaced': (f) =>
    `Event ${said(f, 'seq')} is not the one that was seen from outside (${said(f, 'source')}, ${said(f, 'seen')}). The trail was rewritten afterwards.`,
  'database-damaged': (f) =>
    `The file is damaged: the database’s own test found ${many(f, 'fault', 'faults')}. Work with a kept copy, and keep this file as it is.`,
  'database-unreadable': () => 'The file is damaged and could not be read to its end.',
  'nothing-readable': () =>
    'Nothing in this file could be confirmed. Take the latest kept copy and check that.',
  'rows-without-parent': (f) =>
    `The file refers to ${many(f, 'thing that is', 'things that are')} not in it.`,
  'guard-missing': () =>
    'This guard of the file is gone. It keeps signed rows from being changed; somebody removed it with another program.',
  'guard-changed': () => 'This part of the file’s structure was changed with another program.',
  'guard-unknown': () => 'This part of the file’s structure was added with another program.',
  'bag-declaration': () => 'This is not declared as a BagIt package of version 1.0.',
  'bag-manifest-missing': () => 'The list of files is missing.',
  'bag-manifest-line': () => 'The list of files has a line that is not readable.',
  'bag-unsafe-path': () => 'The list names a file outside of this package.',
  'bag-path-twice': () => 'This file stands in the list twice.',
  'bag-file-missing': () => 'This file is listed and is not there.',
  'bag-file-changed': () => 'This file was changed after the deposit.',
  'bag-file-not-listed': () => 'This file was added after the deposit: it is not in the list.',
  'bag-size': () => 'The number or the size of the files is not what was noted at the deposit.',
  'seal-broken': () => 'The department’s signature on this deposit does not hold.',
  'seal-of-other-files': () =>
    'The department’s signature was made over another list of files: this list was changed afterwards.',
  'seal-file-differs': () =>
    'This file of the seal is missing or says something else than the statement the department signed. Whoever checks by hand would be misled.',
  'bag-file-strange': () =>
    'This is no part of the deposit: nobody signed for it. Do not rely on what it says.',
  'class-record-exchanged': () =>
    'This is not the record that the department deposited here: another one, or an older copy of it, was put in its place.',
  'class-record-unlisted': () =>
    'This file was put among the records: the list of the class does not speak of it.',
  'class-entries-gone': (f) =>
    `${many(f, 'entry', 'entries')} that the department deposited with this class ${Number(f['count']) === 1 ? 'is' : 'are'} missing: a record was left out, or could not be opened.`,
  'object-file-missing': () => 'This signed object is not there as a file of its own.',
  'some-deposits': (f) =>
    `${said(f, 'good')} of ${said(f, 'count')} deposits are as they were deposited. Not in order: ${said(f, 'names')}.`,
  'class-of-others': () =>
    'This record is of another department than the one that sealed the list of the class.',
  'class-records-good': () =>
    'Each record in it is as it was deposited. What was changed is around them: that these records were deposited together, and none is missing, is not shown.',
  'deposit-entries-good': () =>
    'The signed entries themselves are unchanged and their signatures hold. The files named above are not as they were deposited.',
  'hand-in-changed': () =>
    'The entries in this hand-in are not those its sender signed for. It was changed on the way.',
  'hand-in-of-others': () => 'The sender’s statement speaks of other entries than those in this hand-in.',
  'hand-in-again': () => 'Ask the sender to hand in again; nothing of this file was taken over.',
  excerpt: (f) =>
    `This file carries ${many(f, 'event', 'events')} of a longer audit trail. That none was left out can only be checked in the notebook itself.`,
  'more-findings': (f) => `There are ${many(f, 'further finding', 'further findings')}.`,
};

/** Refusals of the record's own rules. */
const refusals: Readonly<Record<string, Sentence>> = {
  'not-allowed': () => 'Your role does not allow this here.',
  'entry-locked': () => 'This entry is locked in its present state and cannot be changed.',
  'not-locked': () => 'Only a countersigned entry is amended; this one can still be edited.',
  'reason-missing': () => 'State the reason; it becomes part of the record.',
  'comment-missing': () => 'Write what should be done; an entry is not returned without a word.',
  'wrong-passphrase': () => 'That passphrase does not open this key.',
  'passphrase-too-short': (f) =>
    `A passphrase needs at least ${said(f, 'shortest')} characters; this one has ${said(f, 'length')}. Three or four words do well.`,
  'passphrase-too-long': (f) => `A passphrase may have up to ${said(f, 'longest')} characters.`,
  'passphrase-too-simple': () =>
    'This passphrase is too easy to guess: it is your name, or the same few characters again and again.',
  'sealed-key-unreadable': () => 'The stored key is damaged. The department can certify a new one.',
  'sealed-key-too-costly': () =>
    'The stored key asks for more memory than any key of ours needs. It is damaged or not ours, and was not opened.',
  'too-large': () => 'This is larger than anything the program writes, and was not read.',
  'not-json': () => 'This is not readable as data.',
  'nested-too-deep': () => 'This is nested deeper than anything the program writes, and was not read.',
  'forbidden-key': () => 'This carries a field name that is never used, and was not read.',
  'lone-surrogate': () => 'The text contains half a character, which cannot be stored. Type it again.',
  'not-canonical': () => 'This is not written the one way the record writes its data.',
  'number-not-finite': () => 'A number is missing its value.',
  'not-plain-data': () => 'This cannot be stored as data.',
  'wrong-shape': (f) => `This is not a ${said(f, 'kind')} of the record.`,
  'wrong-hash': () => 'The content does not fit the fingerprint stored beside it.',
  'not-a-pdf': () => 'This PDF is damaged or is not a PDF; what it carries cannot be read.',
  'pdf-encrypted': () => 'This PDF is encrypted. Bound records are not; ask for the original file.',
  'pdf-text-differs': (f) =>
    `What is printed here is not what the data in this file say. Printed: ${said(f, 'printed')}. According to the data: ${said(f, 'data')}. What was signed are the data.`,
  'pdf-page-added': () =>
    'This page is not one of those that the data in this file make. What was signed are the data.',
  'pdf-page-missing': () => 'The data in this file make a page here, and the PDF has none.',
  'pdf-part-missing': (f) =>
    `The pages of “${said(f, 'title')}” are missing; the data of that entry are here.`,
  'pdf-drawn-otherwise': () =>
    'The words of every page agree with the data, but something is drawn otherwise than this program draws it here: a line, a picture, a structure, something covered or hidden, or the PDF was saved by another program. Read the values in the data.',
  'pdf-text-other-version': (f) =>
    `This PDF was printed by another version of the program, which may word things otherwise. Printed and not in the data: ${said(f, 'printed')}. In the data and not printed: ${said(f, 'data')}. Compare them by eye.`,
  'pdf-text-without-pictures': (f) =>
    `The pages show pictures that this PDF does not carry as files, so they could be compared only roughly. Printed and not in the data: ${said(f, 'printed')}. In the data and not printed: ${said(f, 'data')}.`,
  'pdf-pictures-not-compared': (f) =>
    `${said(f, 'count')} printed ${Number(f['count']) === 1 ? 'picture is' : 'pictures are'} not carried as a file, so ${Number(f['count']) === 1 ? 'it was' : 'they were'} not compared, and the order of the words on the pages was not either.`,
  'pdf-part-draft': () =>
    'These pages show a draft that nobody has signed. Its data are not carried, so what is printed here is not checked.',
  'pdf-front-not-compared': () =>
    'Because some entries are unsigned drafts, certificate and index could not be compared with the data. Of the other pages the words were compared, and not how they are drawn.',
  'pdf-only-words-compared': () =>
    'This PDF names another version of the program as its printer. So only the words of each entry were compared with the data, in no order, and not how they are drawn: read the values in the data, or look at the seal.',
  'pdf-pages-unreadable': () =>
    'The pages could not be read, so what is printed was not compared with the data. Read the values in the data.',
  'pdf-pages-not-compared': () =>
    'The pages could not be made again from the data, so what is printed was not compared with them.',
  'attachment-too-large': (f) => `The file ${said(f, 'name')} inside is larger than any the program writes.`,
  'no-record-inside': () =>
    'This PDF carries no record to check. Only PDFs bound by this program can be checked; one printed again from another program has lost what it carried.',
  'two-records-inside': (f) =>
    `This PDF carries ${said(f, 'count')} records under one name. None of them was read.`,
  'not-utf8': () => 'The record inside is not readable text.',
  'kind-unknown': () =>
    'This is no file of a kind that can be checked: a notebook, a bound PDF, a hand-in or a deposit.',
  'package-damaged': () => 'This package is damaged and cannot be opened. Ask for it again.',
  'package-unsafe-name': () => 'This package holds a file name that points outside of it. It was not opened.',
  'package-unexpected-file': (f) =>
    `This package holds a file that does not belong in it (${said(f, 'name')}). It was not opened.`,
  'package-name-twice': (f) => `This package holds ${said(f, 'name')} twice. It was not opened.`,
  'package-link': (f) =>
    `This package holds a link instead of a file (${said(f, 'name')}). It was not opened.`,
  'package-encrypted': () => 'This package is encrypted. Hand-ins and deposits are not; ask for it again.',
  'package-too-many-files': (f) =>
    `This package holds ${said(f, 'count')} files; the program writes at most ${said(f, 'most')}. It was not opened.`,
  'package-too-large': (f) =>
    `The file ${said(f, 'name')} in this package unpacks to more than any the program writes. It was not opened.`,
  'package-incomplete': (f) => `The file ${said(f, 'name')} is missing in this package.`,
  'format-newer': () => 'This was written by a newer version of the program. Update the program to read it.',
};

/** What became of entries that were handed in or sent back. */
const merging: Readonly<Record<string, Sentence>> = {
  'another-department': () =>
    'This file comes from another department. Only files of people this department certified are taken in.',
  'unknown-person': () =>
    'The department of this notebook does not know the sender. Add the person first, then take the file in again.',
  'sender-rolled-back': () =>
    'This file is older than another that was taken in from the same notebook, and yet has something new. If it was only left lying, ask the sender to write it again. Otherwise an older copy of their notebook was put back; settle with them which one counts.',
  'sender-forked': () =>
    'The sender’s notebook has gone on in two ways: what was seen of it before is not in it any more. Settle with the sender which one counts.',
  'nothing-inside': () => 'There is no signed entry in this file.',
  'handed-in-already': () => 'This was handed in before; nothing changed.',
  'older-than-here': () => 'A newer version of this is here already; nothing changed.',
  renumbered: () => 'Its number was taken in the record here, so it got the next free one.',
  'another-record': () => 'Here this entry is part of another record. It was left as it is.',
  'another-owner': () => 'Here this record belongs to another person. Nothing was taken in.',
  'two-versions-of-one-number': () =>
    'It was signed in two different forms under one version number, on two computers. Both are kept: the one here stands, the other stays in the file. Sign a new version that says which holds.',
  'versions-missing-between': () =>
    'A version between the last one here and those in the file is missing. Hand in again with all versions.',
  'locked-here': () =>
    'It was decided on here meanwhile, without this change. Nothing was lost: the change stays in the file, and goes in as an amendment.',
  'struck-out-here': () => 'It is struck out here. It was left so.',
  'reply-to-older-version': () =>
    'The review speaks of a version that has been replaced here meanwhile. Read it in the file; hand in the new version for a new review.',
  'not-the-owner': () =>
    'This entry is of somebody else’s record. Only its owner hands it in; only a reviewer sends it back.',
};

/** Sentences for every code of `core/record`, `electron/keys` and `electron/check`. */
export const recordSentences: Readonly<Record<string, Sentence>> = {
  ...findings,
  ...refusals,
  ...merging,
  ...sealSentences,
  ...keySentences,
};
