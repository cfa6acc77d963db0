import type { EntryContent, Section } from '../record/content.ts';
import type { Comment, EntryState, FieldChange, Meaning, Role } from '../record/objects.ts';

/** What the screens are given. Plain data, no hidden state, no paths, no SQL. */

export interface PersonView {
  readonly id: string;
  readonly printedName: string;
  readonly initials: string;
  readonly role: Role;
}

export interface SetupView {
  readonly state: 'empty' | 'ready';
  readonly isDemo: boolean;
  readonly institution: string;
  readonly department: string;
  readonly people: readonly PersonView[];
  /** Only in a demo notebook: shown beside each name, so that anyone can look around. */
  readonly demoPassphrase: string | null;
  readonly isReadOnly: boolean;
  readonly readOnlyReason: string | null;
  /** Something to know about where the notebook stands; null when there is nothing. */
  readonly warning: string | null;
}

/** A key and what the department says of it, over all its certificates. */
export interface KeyView {
  /** The public key, hex: what requests name it by. */
  readonly key: string;
  /** As it is printed: `3F9A 02C1 77BE D410 5C2E`. */
  readonly fingerprint: string;
  /** Of its newest certificate. */
  readonly serial: number;
  readonly notBefore: string;
  readonly notAfter: string;
  /** The locked key is in this notebook, and in use. */
  readonly isHere: boolean;
  readonly standing: 'in-use' | 'ends-soon' | 'ended' | 'retired' | 'compromised';
  /** Of a withdrawn key: from when on, when that was said, and why. */
  readonly since: string | null;
  readonly at: string | null;
  readonly reason: string;
}

export interface KeyListView {
  /** In the order of their names; each person's newest key first. */
  readonly people: readonly { readonly person: PersonView; readonly keys: readonly KeyView[] }[];
  /** The department's own, the newest first. */
  readonly department: readonly KeyView[];
}

/** The department's seal for PDFs: what its certificate says, and the certificate itself to hand on. */
export interface SealView {
  readonly serial: number;
  /** `Department of Chemistry, Wexcombe College`, as PDF readers show it. */
  readonly name: string;
  /** Of the certificate to be trusted (`pem`), as certificate viewers show it; 64 lower-case hex characters. */
  readonly sha256: string;
  readonly notBefore: string;
  readonly notAfter: string;
  readonly retiredAt: string | null;
  readonly standing: 'in-use' | 'ends-soon' | 'ended' | 'retired';
  readonly pem: string;
}

export interface SessionView {
  readonly person: PersonView;
  readonly openedAt: string;
  /** Idle time after which the session locks. */
  readonly idleMinutes: number;
}

export interface RecordCard {
  readonly id: string;
  readonly title: string;
  readonly course: string;
  readonly owner: PersonView;
  readonly entryCount: number;
  readonly lockedCount: number;
  readonly waitingCount: number;
  readonly lastChangedAt: string;
}

/** A line of the index page, as at the front of a bound practical record. */
export interface IndexLine {
  readonly entryId: string;
  readonly number: number;
  readonly date: string;
  readonly title: string;
  readonly state: EntryState;
  readonly mark: string;
  readonly studentInitials: string;
  readonly instructorInitials: string;
  readonly versionCount: number;
  readonly openComments: number;
}

export interface RecordView {
  readonly card: RecordCard;
  readonly lines: readonly IndexLine[];
}

export interface SignatureView {
  readonly meaning: Meaning;
  readonly printedName: string;
  readonly initials: string;
  readonly role: Role;
  readonly signedAt: string;
  readonly offsetMinutes: number;
  readonly remark: string;
  readonly n: number;
  readonly hash: string;
  /** The department's notice on the key that signed: since when, and when it was said; null for a key in use. */
  readonly withdrawn: {
    readonly kind: 'retired' | 'compromised';
    readonly since: string;
    readonly at: string;
  } | null;
}

export interface VersionCard {
  readonly n: number;
  readonly hash: string;
  readonly author: string;
  readonly reason: string;
  readonly signatures: readonly SignatureView[];
}

/** What the person now signed in may do with the entry. Decided in core, shown by screens. */
export interface EntryPermissions {
  readonly canEdit: boolean;
  readonly canSign: boolean;
  readonly canComment: boolean;
  readonly canReturn: boolean;
  readonly canCountersign: boolean;
  readonly canAmend: boolean;
  readonly canStrikeOut: boolean;
}

export interface EntryView {
  readonly id: string;
  readonly recordId: string;
  readonly recordTitle: string;
  readonly course: string;
  readonly owner: PersonView;
  readonly number: number;
  readonly state: EntryState;
  readonly mark: string;
  /** The draft for those who may edit it; the last signed version for everyone else. */
  readonly content: EntryContent;
  /** Counts saves of the draft; `draft.save` must name the one it builds on. */
  readonly revision: number;
  readonly savedAt: string;
  readonly versions: readonly VersionCard[];
  readonly comments: readonly Comment[];
  readonly permissions: EntryPermissions;
  readonly amendmentReason: string | null;
  readonly strikeOutReason: string | null;
}

export interface TrayLine {
  readonly entryId: string;
  readonly recordId: string;
  readonly student: PersonView;
  readonly course: string;
  readonly number: number;
  readonly title: string;
  readonly handedInAt: string;
  readonly timesReturned: number;
  /** Short statements of what deviates, worst first. */
  readonly deviations: readonly string[];
  readonly percentageYield: string;
  readonly meltingRange: string;
}

export interface SigningText {
  /** The statement in full, as it will be signed. */
  readonly statement: string;
  readonly lines: readonly { readonly label: string; readonly value: string }[];
  /** What is still blank or doubtful; signing is allowed, the signer is told. */
  readonly warnings: readonly string[];
  readonly versionHash: string;
}

export interface Difference extends FieldChange {
  readonly section: Section | 'title';
  readonly label: string;
}

export interface ComparisonView {
  readonly from: number;
  /** null is the draft. */
  readonly to: number | null;
  readonly differences: readonly Difference[];
}

export interface TrailLine {
  readonly seq: number;
  readonly at: string;
  readonly offsetMinutes: number;
  readonly who: string;
  readonly role: Role | null;
  readonly action: string;
  /** In words: "saved the draft of entry 3". */
  readonly what: string;
  readonly changes: readonly FieldChange[];
  readonly reason: string;
  readonly device: string;
  readonly isClockBack: boolean;
  readonly hash: string;
}

export interface CheckFinding {
  readonly severity: 'broken' | 'doubtful' | 'note';
  readonly code: string;
  /** The place, in words: "entry 2, version 1". */
  readonly place: string;
  readonly sentence: string;
}

export interface CheckReport {
  readonly isSound: boolean;
  readonly checked: readonly { readonly what: string; readonly count: number }[];
  readonly findings: readonly CheckFinding[];
  /** What can still be relied on, in one or two sentences. */
  readonly trustworthy: string;
  readonly head: string;
  readonly headSeq: number;
  readonly departmentFingerprint: string;
}

/** What a hand-in file holds, and what becomes of each entry in it. */
export interface HandInLine {
  readonly entryId: string;
  readonly number: number;
  readonly title: string;
  readonly owner: string;
  readonly versionCount: number;
  readonly outcome: 'new' | 'forward' | 'nothing' | 'conflict';
  readonly sentence: string;
}
export interface HandInView {
  readonly sender: string;
  readonly role: Role;
  readonly at: string;
  readonly offsetMinutes: number;
  readonly report: CheckReport;
  /** Why nothing of it is taken in; null when it can be. */
  readonly refusal: string | null;
  readonly lines: readonly HandInLine[];
}

/** A record inside an opened deposit: its index page. */
export interface DepositRecordView {
  readonly title: string;
  readonly course: string;
  readonly owner: string;
  readonly institution: string;
  readonly department: string;
  readonly lines: readonly {
    /** For `deposit.entry`; an id of this deposit's own. */
    readonly entryId: string;
    readonly number: number;
    readonly date: string;
    readonly title: string;
    readonly state: EntryState;
    readonly mark: string;
    readonly versionCount: number;
    /** Whose names stand under the newest version, in the order they were put there. */
    readonly signers: readonly { readonly role: Role; readonly initials: string }[];
  }[];
}

/** A deposit opened to be read; no part of the notebook. */
export interface DepositView {
  readonly id: string;
  /** Of the file. */
  readonly name: string;
  /** Held against this department's own key. */
  readonly report: CheckReport;
  readonly records: readonly DepositRecordView[];
}

export interface JobView {
  readonly id: string;
  readonly kind:
    'entry-pdf' | 'record-pdf' | 'check' | 'deposit' | 'hand-in' | 'backup' | 'trail' | 'own-notebook';
  readonly state: 'running' | 'done' | 'failed' | 'cancelled';
  /** 0 to 1. */
  readonly progress: number;
  readonly stage: string;
  readonly problem: string | null;
  /** Where the finished file is fetched from, relative to the page; null until done. */
  readonly file: { readonly path: string; readonly name: string; readonly sizeBytes: number } | null;
  readonly report: CheckReport | null;
}
