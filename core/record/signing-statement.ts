import type { SignatureView, SigningText } from '../contract/views.ts';
import type { EntryContent } from './content.ts';
import { fingerprint } from './fingerprint.ts';
import type { ComputedSnapshot, Meaning, Role, Sha256Hex } from './objects.ts';
import { blanksIn } from './blanks.ts';
import { dateText, whenText } from './when.ts';

/** What each signature says, in the first person, as it is shown before the passphrase is asked for. */
export const statementOf: Readonly<Record<Meaning, string>> = {
  performed: 'I carried out this work and this is my record of it.',
  amended: 'I have amended this record for the reason given, and it stands as my record of the work.',
  returned: 'I have read this record and return it to its author with comments.',
  countersigned: 'I have reviewed this record and accept it. It is locked from now on.',
  deposited: 'The department has taken this record into its archive as it stands.',
};

/** The short form, beside a printed name. */
export const meaningLabel: Readonly<Record<Meaning, string>> = {
  performed: 'Carried out and recorded by',
  amended: 'Amended by',
  returned: 'Returned by',
  countersigned: 'Reviewed and accepted by',
  deposited: 'Deposited by',
};

/**
 * What the department said of the key that made a signature: a short remark beside it; empty for a key in use.
 *
 * @param offsetMinutes minutes east of UTC, for the reader's clock
 */
export function withdrawnWords(
  { withdrawn, signedAt }: Pick<SignatureView, 'withdrawn' | 'signedAt'>,
  offsetMinutes: number,
): string {
  if (withdrawn === null) return '';
  if (withdrawn.kind === 'compromised') {
    return `the department declared this key to be in wrong hands from ${whenText(withdrawn.since, offsetMinutes)} on`;
  }
  const day = whenText(withdrawn.at, offsetMinutes).split(',')[0] ?? '';
  return `key retired on ${day}, ${signedAt <= withdrawn.at ? 'after' : 'before'} this was signed`;
}

export const roleLabel: Readonly<Record<Role, string>> = {
  student: 'student',
  instructor: 'instructor',
  department: 'department',
};

export interface StatementFacts {
  readonly meaning: Meaning;
  readonly entryNumber: number;
  readonly recordTitle: string;
  readonly course: string;
  /** The version about to be signed, exactly. */
  readonly n: number;
  readonly versionHash: Sha256Hex;
  readonly content: EntryContent;
  readonly computed: ComputedSnapshot;
  readonly signer: { readonly printedName: string; readonly role: Role };
  /** The key's certificate: serial, and until when the department vouches for it. */
  readonly certificate: { readonly serial: number; readonly notAfter: string };
  readonly at: string;
  readonly offsetMinutes: number;
  /** Signatures already on this version, oldest first. */
  readonly earlier: readonly {
    readonly meaning: Meaning;
    readonly printedName: string;
    readonly signedAt: string;
    readonly offsetMinutes: number;
  }[];
  readonly eventSeq: number;
  /** Why there is a new version; the remark or mark of a reviewer. */
  readonly reason: string;
  readonly remark: string;
  readonly openComments: number;
  readonly isClockBack: boolean;
  /** Doubts of the calculation, already in words (`problemSentence`). */
  readonly doubts: readonly string[];
}

/** Computed values a signer should see before signing: the answers, not every line. */
const shownResults = 6;
/** Ids of the workings of single cells of the table: what the answers were worked out from. */
const ofOneCell = /^(?:molar-mass|mass|volume|amount|equivalents|excess|difference|extent):/;

/**
 * Everything a signature will bind, in plain words, and what the signer should know first. Warnings
 * never forbid signing: a record that says "melting range not taken" is an honest record.
 */
export function signingStatement(facts: StatementFacts): SigningText {
  const line = (label: string, value: string): { label: string; value: string } => ({ label, value });
  const { content, signer } = facts;
  const lines = [
    line('Entry', `${facts.entryNumber}, ${content.title.trim() || 'without a title'}`),
    line('Record', [facts.recordTitle, facts.course].filter((part) => part !== '').join(', ')),
    line('Day of the practical', dateText(content.date)),
    line('Version', facts.n === 1 ? '1' : `${facts.n}, which replaces version ${facts.n - 1}`),
    ...(facts.reason === '' ? [] : [line('Reason', facts.reason)]),
    ...(facts.remark === ''
      ? []
      : [line(facts.meaning === 'countersigned' ? 'Mark' : 'Remark', facts.remark)]),
    ...facts.computed.lines
      .filter(({ id }) => !ofOneCell.test(id))
      .slice(0, shownResults)
      .map((value) => line(value.title, `${value.value} ${value.unit === '1' ? '' : value.unit}`.trim())),
    ...facts.earlier.map((signature) =>
      line(
        meaningLabel[signature.meaning],
        `${signature.printedName}, ${whenText(signature.signedAt, signature.offsetMinutes)}`,
      ),
    ),
    line('Signed by', `${signer.printedName}, ${roleLabel[signer.role]}`),
    line(
      'Key',
      `certificate ${facts.certificate.serial} of the department, good until ${dateText(facts.certificate.notAfter.slice(0, 10))}`,
    ),
    line('Time', whenText(facts.at, facts.offsetMinutes)),
    line('Place in the audit trail', `after event ${facts.eventSeq}`),
    line('Fingerprint of this version', fingerprint(facts.versionHash)),
  ];
  return {
    statement: statementOf[facts.meaning],
    lines,
    warnings: warnings(facts),
    versionHash: facts.versionHash,
  };
}

function warnings(facts: StatementFacts): readonly string[] {
  const { meaning, openComments } = facts;
  const list = [...blanksIn(facts.content), ...facts.doubts];
  if (openComments > 0 && meaning !== 'returned') {
    list.push(
      openComments === 1
        ? 'One comment is not settled yet.'
        : `${openComments} comments are not settled yet.`,
    );
  }
  if (facts.isClockBack) {
    list.push(
      'The clock of this computer shows an earlier time than the last event of the trail. The time of this signature will be marked as doubtful.',
    );
  }
  return list;
}
