import type { StoredRow } from './attest.ts';
import type { AttestedTable, Sealed, Sha256Hex } from './objects.ts';

/** Tables whose rows hold canonical bytes; their other columns are compared with those bytes. */
export type SealedTable = 'certificate' | 'revocation' | 'version' | 'signature' | 'event' | 'own_compound';

/** A sealed object with the row it was read from, where the input is a database. */
export interface StoredSealed extends Sealed {
  readonly columns?: StoredRow;
}

/** How far a notebook was seen to have got, from outside its own file. */
export interface Witness {
  readonly notebook: string;
  readonly seq: number;
  readonly head: Sha256Hex;
  /** Where it comes from, in words: "receipt of 9 March 2027", "the instructor's own notebook". */
  readonly source: string;
  /** When it was seen, UTC ISO 8601. */
  readonly seenAt: string;
}

/**
 * What there is to check, as plain data, so that a database, a PDF, a hand-in and a deposit are
 * checked by one and the same function. What can be long may be read lazily, and is read once.
 */
export interface CheckInput {
  /** `notebook`: everything is here, so nothing may be missing. `excerpt`: part of a notebook. */
  readonly scope: 'notebook' | 'excerpt';
  readonly notebook: string;
  /** The department's raw public key, hex, as the file itself states it. */
  readonly departmentKey: string;
  /** The same from outside the file (key or printed fingerprint); null when none was given. */
  readonly pinnedKey: string | null;
  readonly certificates: readonly StoredSealed[];
  readonly revocations: readonly StoredSealed[];
  readonly checkpoints: readonly Sealed[];
  readonly versions: Iterable<StoredSealed>;
  readonly signatures: Iterable<StoredSealed>;
  /** In the order of their place in the file, which must be that of `seq`. */
  readonly events: Iterable<StoredSealed>;
  /** Trail segments of other notebooks that signatures here refer to. */
  readonly foreignEvents: Iterable<Sealed>;
  /** Rows vouched for by the trail, with every column as stored. */
  readonly rows: Iterable<{ readonly table: AttestedTable; readonly row: StoredRow }>;
  /** Content of the attachments there are. */
  readonly attachments: Iterable<{ readonly sha256: Sha256Hex; readonly data: Uint8Array }>;
  /** Compounds of the department's own; they stay in the notebook, so excerpts have none. */
  readonly ownCompounds?: Iterable<StoredSealed>;
  readonly witnesses: readonly Witness[];
}
