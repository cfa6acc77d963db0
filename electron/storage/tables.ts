import type { EntryState, Meaning, Role } from '../../core/record/objects.ts';
import type { Section } from '../../core/record/content.ts';

/** Rows as SQLite keeps them; `migrations` says what each column means. */
export interface NotebookRow {
  id: string;
  institution: string;
  department: string;
  department_key: string;
  is_demo: number;
  format: number;
  created_at: string;
}
export interface PersonRow {
  id: string;
  printed_name: string;
  initials: string;
  role: Role;
  created_at: string;
}
export interface SealedKeyRow {
  id: string;
  person_id: string | null;
  public_key: string;
  sealed: string;
  created_at: string;
  retired_at: string | null;
}
export interface CertificateRow {
  hash: string;
  serial: number;
  person_id: string;
  role: Role;
  public_key: string;
  not_before: string;
  not_after: string;
  bytes: string;
  signature: string;
}
export interface RevocationRow {
  hash: string;
  certificate_hash: string;
  kind: 'retired' | 'compromised';
  since: string;
  bytes: string;
  signature: string;
}
export interface RecordRow {
  id: string;
  owner_id: string;
  title: string;
  course: string;
  created_at: string;
}
export interface EntryRow {
  id: string;
  record_id: string;
  number: number;
  state: EntryState;
  mark: string;
  amendment_reason: string | null;
  strike_out_reason: string | null;
  created_at: string;
}
export interface DraftRow {
  entry_id: string;
  content: string;
  revision: number;
  saved_at: string;
  saved_by: string;
  base_content: string;
  base_revision: number;
}
export interface VersionRow {
  hash: string;
  entry_id: string;
  n: number;
  author_id: string;
  bytes: string;
}
export interface SignatureRow {
  hash: string;
  entry_id: string;
  n: number;
  version_hash: string;
  meaning: Meaning;
  person_id: string;
  certificate_hash: string;
  signed_at: string;
  bytes: string;
  signature: string;
}
export interface EventRow {
  seq: number;
  hash: string;
  previous: string;
  at: string;
  action: string;
  person_id: string | null;
  record_id: string | null;
  entry_id: string | null;
  n: number | null;
  bytes: string;
}
export interface CommentRow {
  id: string;
  entry_id: string;
  n: number | null;
  section: Section;
  anchor: string | null;
  text: string;
  author_id: string;
  at: string;
  is_settled: number;
}
export interface AttachmentRow {
  sha256: string;
  media_type: string;
  size_bytes: number;
  data: Uint8Array;
}
export interface CheckpointRow {
  hash: string;
  bytes: string;
  signature: string;
}
export interface WitnessRow {
  notebook: string;
  seq: number;
  head: string;
  source: string;
  seen_at: string;
}
export interface ForeignEventRow {
  notebook: string;
  seq: number;
  hash: string;
  bytes: string;
}

/** Compounds of the department's own, every saved form of each. */
export interface OwnCompoundRow {
  hash: string;
  compound_id: string;
  n: number;
  author_id: string;
  at: string;
  bytes: string;
}
export interface SealKeyRow {
  id: string;
  certificate: string;
  sealed: string;
  created_at: string;
  retired_at: string | null;
}

export interface Tables {
  notebook: NotebookRow;
  person: PersonRow;
  sealed_key: SealedKeyRow;
  certificate: CertificateRow;
  revocation: RevocationRow;
  record: RecordRow;
  entry: EntryRow;
  draft: DraftRow;
  version: VersionRow;
  signature: SignatureRow;
  event: EventRow;
  comment: CommentRow;
  attachment: AttachmentRow;
  checkpoint: CheckpointRow;
  witness: WitnessRow;
  foreign_event: ForeignEventRow;
  own_compound: OwnCompoundRow;
  seal_key: SealKeyRow;
}
