import type { EntryView, PersonView, SignatureView, TrailLine } from '../contract/views.ts';
import type { EntryContent } from '../record/content.ts';
import type { ComputedSnapshot } from '../record/objects.ts';
import type { CarriedFile, EmbeddedFile } from './report-document.ts';

/** A signed version as it is printed. */
export interface PrintedVersion {
  readonly n: number;
  readonly hash: string;
  readonly author: string;
  /** Why there is a new version; empty for the first. */
  readonly reason: string;
  readonly content: EntryContent;
  readonly computed: ComputedSnapshot;
  /** Oldest first. */
  readonly signatures: readonly SignatureView[];
}

/** Everything an entry's pages show. The caller has decided that the reader may see it. */
export interface EntryBundle {
  readonly entry: Pick<
    EntryView,
    | 'id'
    | 'recordTitle'
    | 'course'
    | 'owner'
    | 'number'
    | 'state'
    | 'mark'
    | 'comments'
    | 'amendmentReason'
    | 'strikeOutReason'
  >;
  readonly institution: string;
  /** What is printed: a signed version, or the draft where nothing is signed yet (`n` null). */
  readonly shown: { readonly n: number | null; readonly content: EntryContent };
  /** All signed versions, oldest first. */
  readonly versions: readonly PrintedVersion[];
  /** The entry's events, oldest first. */
  readonly trail: readonly TrailLine[];
  /** For initials; a person who is not listed gets those of the printed name. */
  readonly people: readonly Pick<PersonView, 'id' | 'printedName' | 'initials'>[];
  /** UTC, ISO 8601. For a locked entry take the time of its last event: the PDF can then be made again, byte for byte. */
  readonly createdAt: string;
  readonly offsetMinutes: number;
  readonly embedded: readonly EmbeddedFile[];
  /** Attached files inside the PDF; absent where none are looked for. */
  readonly carried?: readonly CarriedFile[];
}

/** A whole record, bound. */
export interface RecordBundle {
  readonly title: string;
  readonly course: string;
  readonly institution: string;
  readonly department: string;
  readonly owner: PersonView;
  /** As `fingerprint` prints it. */
  readonly departmentFingerprint: string;
  /** The seal this file is given by the department; null when it is not sealed. */
  readonly seal: {
    readonly name: string;
    /** SHA-256 of its certificate, hex. */
    readonly certificate: string;
  } | null;
  /** Printed name of whoever had it bound. */
  readonly boundBy: string;
  /** Hash of the last event of the audit trail when it was bound, in full, and the number of events up to it. */
  readonly trailHead: string;
  readonly trailLength: number;
  /** In the order of their numbers. */
  readonly entries: readonly EntryBundle[];
  readonly createdAt: string;
  readonly offsetMinutes: number;
  readonly embedded: readonly EmbeddedFile[];
  /** Attached files inside the PDF; absent where none are looked for. */
  readonly carried?: readonly CarriedFile[];
}
