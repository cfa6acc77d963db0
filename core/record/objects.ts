import type { OwnCompoundContent } from '../compounds/own-compound.ts';
import type { EntryContent, Section } from './content.ts';

/**
 * The objects of the signed record. Each is RFC 8785 canonical JSON; its hash and its signature
 * cover `domain ‖ 0x00 ‖ bytes` (`core/record/canonical.ts`), so that bytes of one type never pass
 * as another. The exact bytes are stored; columns beside them are a convenience and are compared.
 */
export type Role = 'student' | 'instructor' | 'department';

/** draft → signed → (returned → draft) or countersigned; struck-out entries stay readable. */
export type EntryState = 'draft' | 'signed' | 'returned' | 'countersigned' | 'amending' | 'struck-out';

export type Meaning = 'performed' | 'returned' | 'countersigned' | 'amended' | 'deposited';

/** Lower-case hex, 64 characters. */
export type Sha256Hex = string;

export interface EntryVersion {
  readonly type: 'version';
  readonly format: 1;
  readonly record: string;
  readonly entry: string;
  /** 1, 2, 3 … within the entry. */
  readonly n: number;
  readonly previousVersion: Sha256Hex | null;
  readonly content: EntryContent;
  /** The computed values as they stood at signing: never recomputed for a signed entry. */
  readonly computed: ComputedSnapshot;
  readonly author: { readonly person: string; readonly printedName: string };
  /** What heads the printed page, so that the heading is signed with the rest. */
  readonly heading: { readonly recordTitle: string; readonly course: string; readonly number: number };
  /** Why there is a new version: empty for the first, the reason of an amendment or correction. */
  readonly reason: string;
  readonly program: string;
}

/** One computed value with its workings' text, frozen. `value` keeps its figures as text. */
export interface SnapshotLine {
  readonly id: string;
  readonly title: string;
  readonly value: string;
  readonly unit: string;
  readonly lines: readonly string[];
}
export interface ComputedSnapshot {
  readonly engine: string;
  readonly lines: readonly SnapshotLine[];
}

export interface SignaturePayload {
  readonly type: 'signature';
  readonly format: 1;
  /** The notebook file whose audit trail `eventHead` and `eventSeq` refer to. */
  readonly notebook: string;
  readonly record: string;
  readonly entry: string;
  readonly n: number;
  readonly versionHash: Sha256Hex;
  /** Head of the audit trail when signing began. */
  readonly eventHead: Sha256Hex;
  readonly eventSeq: number;
  readonly meaning: Meaning;
  readonly signer: { readonly person: string; readonly printedName: string; readonly role: Role };
  readonly certificateHash: Sha256Hex;
  readonly signedAt: string;
  readonly offsetMinutes: number;
  /** Hashes of the signatures already on this version, oldest first. */
  readonly previousSignatures: readonly Sha256Hex[];
  /** What the signer added: comments returned with, or the mark given. */
  readonly remark: string;
}

export interface AuditEvent {
  readonly type: 'event';
  readonly format: 1;
  /** The notebook file. */
  readonly notebook: string;
  /** 1, 2, 3 … without a gap. */
  readonly seq: number;
  /** Hash of the event before; 64 zeros for the first. */
  readonly previous: Sha256Hex;
  readonly at: string;
  readonly offsetMinutes: number;
  /** True when `at` is earlier than the event before: the clock was set back. */
  readonly isClockBack: boolean;
  /** Milliseconds since this program started, which no clock setting changes. */
  readonly monotonicMs: number;
  readonly device: string;
  readonly actor: { readonly person: string; readonly printedName: string; readonly role: Role } | null;
  /** `entry.begin`, `draft.save`, `session.refused`… */
  readonly action: string;
  readonly object: {
    readonly record: string | null;
    readonly entry: string | null;
    readonly n: number | null;
  };
  readonly changes: readonly FieldChange[];
  /** What this command wrote: every row and object, by hash. The last one of a row vouches for it. */
  readonly evidence: readonly Evidence[];
  readonly reason: string;
}

/** Rows of these tables are attested column by column; see `attest.ts`. */
export type AttestedTable =
  'notebook' | 'person' | 'sealed_key' | 'seal_key' | 'record' | 'entry' | 'draft' | 'comment' | 'attachment';

export interface Evidence {
  readonly kind:
    | AttestedTable
    | 'version'
    | 'signature'
    | 'certificate'
    | 'revocation'
    | 'checkpoint'
    | 'receipt'
    | 'own_compound';
  /** Id of the row, or the hash of the object. */
  readonly id: string;
  readonly hash: Sha256Hex;
}

/** One field that differs: its path in words a reader can follow, and both values as text. */
export interface FieldChange {
  readonly path: string;
  readonly old: string;
  readonly new: string;
}

export interface Certificate {
  readonly type: 'certificate';
  readonly format: 1;
  readonly serial: number;
  readonly person: string;
  readonly printedName: string;
  readonly role: Role;
  /** Raw Ed25519 public key, hex. */
  readonly publicKey: string;
  readonly notBefore: string;
  readonly notAfter: string;
  /** Raw Ed25519 public key of the department, hex; equal to `publicKey` on its own certificate. */
  readonly issuer: string;
}

/**
 * The department's word that a key is no longer used. `retired`: lost or replaced, what it signed
 * stays good. `compromised`: someone else may have had it since `since`.
 */
export interface Revocation {
  readonly type: 'revocation';
  readonly format: 1;
  readonly certificateHash: Sha256Hex;
  readonly person: string;
  readonly kind: 'retired' | 'compromised';
  readonly since: string;
  readonly at: string;
  readonly reason: string;
  readonly issuer: string;
}

/**
 * A statement, signed and kept outside the file, of how far a notebook had got. It is what shows a
 * cut-off tail or an older copy put back.
 */
export interface Checkpoint {
  readonly type: 'checkpoint';
  readonly format: 1;
  readonly purpose: 'hand-in' | 'receipt' | 'deposit';
  readonly notebook: string;
  /** Null for the whole notebook. */
  readonly record: string | null;
  readonly eventSeq: number;
  readonly eventHead: Sha256Hex;
  /** The last version of each entry it speaks for. */
  readonly entries: readonly {
    readonly entry: string;
    readonly n: number;
    readonly versionHash: Sha256Hex;
  }[];
  /** SHA-256 of the package's list of files; null where there is no package. */
  readonly manifestHash: Sha256Hex | null;
  readonly at: string;
  readonly offsetMinutes: number;
  readonly signer: { readonly person: string; readonly printedName: string; readonly role: Role };
  readonly certificateHash: Sha256Hex;
}

/**
 * The department's word that an X.509 certificate is the one it seals PDFs with: readers of PDF know
 * ECDSA and X.509, and nothing of the keys here.
 */
export interface SealStatement {
  readonly type: 'seal';
  readonly format: 1;
  /** The notebook the seal was made in. */
  readonly notebook: string;
  /** As the certificate names them. */
  readonly institution: string;
  readonly department: string;
  readonly serial: number;
  /** SHA-256 of the certificate, DER. */
  readonly certificate: Sha256Hex;
  /** SHA-256 of the certificate above it, which readers of PDF are told to trust; DER. */
  readonly anchor: Sha256Hex;
  readonly notBefore: string;
  readonly notAfter: string;
  /** Raw Ed25519 public key of the department, hex. */
  readonly issuer: string;
}

/** One saved form of a compound of the department's own. The newest `n` of a compound is the one in use. */
export interface OwnCompoundVersion {
  readonly type: 'own-compound';
  readonly format: 1;
  readonly compound: string;
  /** 1, 2, 3 … within the compound. */
  readonly n: number;
  readonly previousVersion: Sha256Hex | null;
  readonly author: { readonly person: string; readonly printedName: string };
  readonly at: string;
  readonly offsetMinutes: number;
  /** True when the department offers it no more; what it said stays in `content`. */
  readonly isWithdrawn: boolean;
  readonly content: OwnCompoundContent;
  /** Why there is a new form; empty where nothing was said. */
  readonly reason: string;
}

/** Canonical bytes as text, with the hash and, where there is one, the signature over them. */
export interface Sealed {
  readonly bytes: string;
  readonly hash: Sha256Hex;
  /** Ed25519, hex, 128 characters. */
  readonly signature: string | null;
}

export interface Comment {
  readonly id: string;
  readonly entry: string;
  /** The version it was written on, or null for the draft. */
  readonly n: number | null;
  readonly section: Section;
  /** The row or step it points at within the section, or null for the whole section. */
  readonly anchor: string | null;
  readonly text: string;
  readonly author: { readonly person: string; readonly printedName: string; readonly role: Role };
  readonly at: string;
  readonly isSettled: boolean;
}
