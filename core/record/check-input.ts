import type { StoredRow } from './attest.ts';
import type { AttestedTable, Sealed, Sha256Hex } from './objects.ts';
import type { TrailEvent } from './read-event.ts';

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

/** A stretch of the trail that hangs together and has nothing to remark in it; see `walkStretch`. */
export interface WalkedStretch {
  readonly first: TrailEvent;
  readonly last: { readonly seq: number; readonly hash: Sha256Hex; readonly at: string };
  readonly count: number;
  /** Hashes of its events, one after the other, and their times: a single text passes between threads quickly. */
  readonly heads: string;
  readonly times: string;
  /** Its last word on each row and object: `kind/id`, hash, number of the event. */
  readonly evidence: readonly (readonly [key: string, hash: Sha256Hex, seq: number])[];
}

/** Part of the trail in its place: walked already, or still to be walked. */
export interface Stretch {
  readonly walked: WalkedStretch | null;
  readonly events: Iterable<StoredSealed>;
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
  /** The same in stretches, one after the other and with none left out, where some were walked elsewhere. */
  readonly stretches?: readonly Stretch[];
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
