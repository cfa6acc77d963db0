import type { OwnCompoundContent } from '../compounds/own-compound.ts';
import type { AttachmentNote, EntryContent, Section } from '../record/content.ts';
import type { Comment, ComputedSnapshot, Role } from '../record/objects.ts';
import type { OwnCompoundView } from './own-compound-schema.ts';
import type {
  CheckReport,
  ComparisonView,
  DepositView,
  EntryView,
  HandInView,
  JobView,
  KeyListView,
  PersonView,
  RecordCard,
  RecordView,
  SealView,
  SessionView,
  SetupView,
  SigningText,
  TrailLine,
  TrayLine,
} from './views.ts';

interface Ask<Input, Reply, Code extends string = never> {
  readonly input: Input;
  readonly reply: Reply;
  readonly code: Code;
}
// A request without input takes an object with no keys.
type Nothing = Readonly<Record<string, never>>;

interface NewPerson {
  readonly printedName: string;
  readonly initials: string;
  readonly role: Role;
  readonly passphrase: string;
}

type Passphrase = 'wrong-passphrase' | 'wait-before-retry';
type Sealing = 'seal-missing' | 'seal-expired';
type Editing = 'entry-locked' | 'draft-changed-elsewhere';
/** Why a file cannot be attached: `core/attachments`. */
export type AttachmentCode =
  | 'attachment-name'
  | 'attachment-empty'
  | 'attachment-too-large'
  | 'attachment-kind'
  | 'attachment-disguised'
  | 'attachment-damaged'
  | 'attachment-too-many-pixels'
  | 'attachment-too-many'
  | 'attachment-there-already';

/** All that a screen, the command line or a test can ask for. `requests.ts` holds the schemas. */
export interface RequestMap {
  'setup.state': Ask<Nothing, SetupView>;
  /** Makes the demo notebook: invented college, people and data. */
  'setup.demo': Ask<Nothing, SetupView, 'not-empty'>;
  'setup.begin': Ask<
    {
      readonly institution: string;
      readonly department: string;
      /** Seals the department's own key. */
      readonly passphrase: string;
      readonly people: readonly NewPerson[];
    },
    SetupView,
    'not-empty' | 'passphrase-too-short' | 'name-taken'
  >;

  'session.open': Ask<{ readonly personId: string; readonly passphrase: string }, SessionView, Passphrase>;
  'session.current': Ask<Nothing, { readonly session: SessionView | null }>;
  'session.close': Ask<Nothing, { readonly session: null }>;

  'person.list': Ask<Nothing, { readonly people: readonly PersonView[] }>;
  /** Department only; `departmentPassphrase` unlocks the key that certifies. */
  'person.add': Ask<
    NewPerson & { readonly departmentPassphrase: string },
    PersonView,
    Passphrase | 'passphrase-too-short' | 'name-taken'
  >;
  'person.change-passphrase': Ask<
    { readonly old: string; readonly new: string },
    PersonView,
    Passphrase | 'passphrase-too-short'
  >;

  /** Everybody's keys, and those of the department: how they stand, until when they are certified. */
  'key.list': Ask<Nothing, KeyListView>;
  /**
   * Withdraws a person's key. Retired: lost, or its holder leaves; what it signed stays good. Compromised:
   * somebody else may have had it since then; what nobody saw before that is doubted.
   */
  'key.retire': Ask<
    {
      readonly key: string;
      readonly kind: 'retired' | 'compromised';
      /** Only for wrong hands: a moment that has been. */
      readonly since: string | null;
      readonly reason: string;
      readonly departmentPassphrase: string;
    },
    KeyListView,
    Passphrase | 'reason-missing' | 'since-not-past' | 'key-not-in-use' | 'last-of-department'
  >;
  /** A new key for a person who lost the passphrase, or comes back: they choose the new one themselves. */
  'key.replace': Ask<
    {
      readonly personId: string;
      readonly passphrase: string;
      readonly reason: string;
      readonly departmentPassphrase: string;
    },
    KeyListView,
    Passphrase | 'passphrase-too-short' | 'reason-missing'
  >;
  /** A new certificate for a key in use, for the years to come. */
  'key.extend': Ask<
    { readonly key: string; readonly departmentPassphrase: string },
    KeyListView,
    Passphrase | 'key-not-in-use'
  >;
  'department.change-passphrase': Ask<
    { readonly old: string; readonly new: string },
    KeyListView,
    Passphrase | 'passphrase-too-short'
  >;

  /** The seals of the department, the newest first, each with its certificate to hand on. */
  'seal.list': Ask<Nothing, { readonly seals: readonly SealView[] }>;
  /** Makes the department's seal, or a new one in the place of the one in use. */
  'seal.make': Ask<
    { readonly departmentPassphrase: string },
    { readonly seals: readonly SealView[] },
    Passphrase
  >;
  'seal.retire': Ask<
    { readonly reason: string; readonly departmentPassphrase: string },
    { readonly seals: readonly SealView[] },
    Passphrase | 'reason-missing' | 'seal-missing'
  >;

  /** The department's own compounds, each in its newest form, withdrawn ones too. */
  'own-compound.list': Ask<Nothing, { readonly compounds: readonly OwnCompoundView[] }>;
  /** Every form of one, the oldest first. */
  'own-compound.read': Ask<
    { readonly compoundId: string },
    { readonly versions: readonly OwnCompoundView[] }
  >;
  /**
   * Department only. Writes the next form of a compound, or a new one (`compoundId` null, `n` 0). `n` is the
   * form that was read before: a newer one refuses. A withdrawn compound is offered again by it.
   */
  'own-compound.save': Ask<
    {
      readonly compoundId: string | null;
      readonly n: number;
      readonly content: OwnCompoundContent;
      readonly reason: string;
    },
    OwnCompoundView,
    'compound-faulty' | 'compound-name-taken' | 'compound-changed-elsewhere' | 'nothing-changed'
  >;
  /** Department only. No search offers it any more; entries keep what they copied. */
  'own-compound.withdraw': Ask<
    { readonly compoundId: string; readonly n: number; readonly reason: string },
    OwnCompoundView,
    'reason-missing' | 'compound-changed-elsewhere' | 'nothing-changed'
  >;

  'record.list': Ask<Nothing, { readonly records: readonly RecordCard[] }>;
  'record.begin': Ask<
    { readonly title: string; readonly course: string; readonly ownerId: string },
    RecordCard,
    'title-taken'
  >;
  'record.open': Ask<{ readonly recordId: string }, RecordView>;

  'entry.begin': Ask<
    {
      readonly recordId: string;
      /** Content made by `core/procedure` from a template, or an empty one. */
      readonly content: EntryContent;
    },
    EntryView,
    'attachment-unknown'
  >;
  'entry.open': Ask<{ readonly entryId: string }, EntryView>;
  'draft.save': Ask<
    { readonly entryId: string; readonly revision: number; readonly content: EntryContent },
    { readonly revision: number; readonly savedAt: string },
    Editing | 'attachment-unknown'
  >;
  /** Attaches a file to a section of the draft: a photograph, a spectrum, readings. */
  'attachment.add': Ask<
    {
      readonly entryId: string;
      readonly revision: number;
      readonly section: Section;
      readonly name: string;
      readonly caption: string;
      /** The file, base64. */
      readonly data: string;
    },
    {
      readonly note: AttachmentNote;
      /** The photograph says where it was taken; that is kept, but neither shown nor printed. */
      readonly hasPosition: boolean;
      readonly revision: number;
      readonly savedAt: string;
    },
    Editing | AttachmentCode
  >;
  'entry.strike-out': Ask<
    { readonly entryId: string; readonly reason: string },
    EntryView,
    'entry-locked' | 'reason-missing'
  >;

  /** What is about to be signed, in words, before the passphrase is asked for. */
  'signing.read': Ask<
    { readonly entryId: string; readonly meaning: 'performed' | 'returned' | 'countersigned' | 'amended' },
    SigningText,
    'entry-locked'
  >;
  'entry.sign': Ask<
    {
      readonly entryId: string;
      readonly revision: number;
      readonly versionHash: string;
      readonly passphrase: string;
    },
    EntryView,
    Passphrase | Editing
  >;
  'entry.return': Ask<
    {
      readonly entryId: string;
      readonly versionHash: string;
      readonly remark: string;
      readonly passphrase: string;
    },
    EntryView,
    Passphrase | 'entry-locked' | 'comment-missing' | 'version-superseded'
  >;
  'entry.countersign': Ask<
    {
      readonly entryId: string;
      readonly versionHash: string;
      readonly mark: string;
      readonly passphrase: string;
    },
    EntryView,
    Passphrase | 'entry-locked' | 'version-superseded'
  >;
  /** Opens a locked entry for an amendment: a new version that states its reason. */
  'entry.amend': Ask<
    { readonly entryId: string; readonly reason: string },
    EntryView,
    'reason-missing' | 'not-locked'
  >;
  /** Gives an amendment up before it is signed: the entry is locked again as it was, the trail keeps what was typed. */
  'entry.abandon-amendment': Ask<{ readonly entryId: string }, EntryView, 'not-locked'>;

  'comment.add': Ask<
    {
      readonly entryId: string;
      readonly section: Section;
      readonly anchor: string | null;
      readonly text: string;
    },
    Comment,
    'comment-missing'
  >;
  'comment.settle': Ask<{ readonly commentId: string }, Comment>;

  /** A signed version: its content, and the computed values as they stood when it was signed. */
  'version.read': Ask<
    { readonly entryId: string; readonly n: number },
    { readonly content: EntryContent; readonly computed: ComputedSnapshot }
  >;
  'version.compare': Ask<
    { readonly entryId: string; readonly from: number; readonly to: number | null },
    ComparisonView
  >;

  'tray.list': Ask<Nothing, { readonly lines: readonly TrayLine[] }>;
  'trail.list': Ask<
    {
      readonly entryId: string | null;
      readonly action: string | null;
      readonly text: string | null;
      readonly before: number | null;
      readonly limit: number;
    },
    { readonly lines: readonly TrailLine[]; readonly total: number }
  >;
  /** The audit trail as a table for a spreadsheet, filtered as on the screen. */
  'trail.export': Ask<
    { readonly entryId: string | null; readonly action: string | null; readonly text: string | null },
    JobView
  >;
  'notebook.check': Ask<Nothing, CheckReport>;

  /**
   * Checks a file from anywhere, held against this notebook's own department: a notebook, a bound PDF, a
   * hand-in, a deposit.
   */
  'file.check': Ask<{ readonly name: string; readonly data: string }, CheckReport, 'file-unreadable'>;

  /** The signed versions of an entry as one file, for a notebook on another computer; signed by the sender. */
  'hand-in.write': Ask<
    { readonly entryId: string; readonly passphrase: string },
    JobView,
    Passphrase | 'nothing-signed'
  >;
  /** What a hand-in file holds and what would become of it; changes nothing. */
  'hand-in.read': Ask<{ readonly data: string }, HandInView, 'hand-in-unreadable'>;
  'hand-in.take': Ask<{ readonly data: string }, HandInView, 'hand-in-unreadable' | 'hand-in-refused'>;
  /**
   * The signed entries of a record, or of a whole class, as one sealed BagIt package; records with nothing
   * signed are left out. Department only; its passphrase unlocks the seal.
   */
  'record.deposit': Ask<
    { readonly recordIds: readonly string[]; readonly departmentPassphrase: string },
    JobView,
    Passphrase | 'nothing-signed'
  >;
  /** Brings in a deposit to be read, piece by piece; null begins one. It stays outside the notebook. */
  'deposit.bring': Ask<
    { readonly depositId: string | null; readonly data: string },
    { readonly depositId: string; readonly sizeBytes: number },
    'file-unreadable'
  >;
  /** Checks what was brought in and gives its index pages. Writes nothing. */
  'deposit.open': Ask<{ readonly depositId: string; readonly name: string }, DepositView, 'file-unreadable'>;
  /** The deposits that lie open in this window. */
  'deposit.list': Ask<Nothing, { readonly deposits: readonly DepositView[] }>;
  'deposit.entry': Ask<{ readonly entryId: string }, EntryView>;
  'deposit.version': Ask<
    { readonly entryId: string; readonly n: number },
    { readonly content: EntryContent; readonly computed: ComputedSnapshot }
  >;
  'deposit.close': Ask<{ readonly depositId: string }, { readonly depositId: null }>;
  /** A notebook for one's own computer: same department and people, one's own key and records. */
  'notebook.issue': Ask<Nothing, JobView>;

  /** Long work: answers at once with a job, which is then asked after or cancelled. */
  'entry.bind': Ask<{ readonly entryId: string }, JobView>;
  'record.bind': Ask<{ readonly recordId: string }, JobView>;
  /** As `entry.bind` and `record.bind`, sealed as a file by the department. */
  'entry.bind-sealed': Ask<
    { readonly entryId: string; readonly departmentPassphrase: string },
    JobView,
    Passphrase | Sealing
  >;
  'record.bind-sealed': Ask<
    { readonly recordId: string; readonly departmentPassphrase: string },
    JobView,
    Passphrase | Sealing
  >;
  'job.state': Ask<{ readonly jobId: string }, JobView>;
  'job.cancel': Ask<{ readonly jobId: string }, JobView>;
}

export type RequestName = keyof RequestMap;
export type InputOf<K extends RequestName> = RequestMap[K]['input'];
export type ReplyOf<K extends RequestName> = RequestMap[K]['reply'];
export type CodeOf<K extends RequestName> = RequestMap[K]['code'];
