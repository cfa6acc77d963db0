import type Database from 'better-sqlite3';
import type { StoredRow } from '../../core/record/attest.ts';
import type { StoredSealed, WalkedStretch } from '../../core/record/check-input.ts';
import { sealedRow } from '../../core/record/check-tables.ts';
import { domainBytes } from '../../core/record/domain.ts';
import { walkStretch } from '../../core/record/verify/trail.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';

/** Part of a check that a thread does by itself. */
export interface Share {
  readonly path: string;
  readonly notebook: string;
  /** First and last event of its stretch. */
  readonly from: number;
  readonly to: number;
  /** It verifies every `of`-th signature, beginning with number `share`. */
  readonly share: number;
  readonly of: number;
}

export interface ShareDone {
  readonly walked: WalkedStretch | null;
  /** Signatures that hold: `key signature hash-of-what-was-signed`. */
  readonly verified: readonly string[];
}

/** Walks a stretch of the trail and verifies some of the signatures. */
export function sharePart(database: Database.Database, { notebook, from, to, share, of }: Share): ShareDone {
  const rows = database.prepare('select * from event where seq between ? and ? order by seq');
  const events: Iterable<StoredSealed> = {
    *[Symbol.iterator]() {
      for (const row of rows.iterate(from, to)) yield sealedRow(row as StoredRow);
    },
  };
  return { walked: walkStretch(notebook, events, recordCrypto), verified: verifySome(database, share, of) };
}

function verifySome(database: Database.Database, share: number, of: number): readonly string[] {
  const signatures = database.prepare(
    `select signature.bytes, signature.signature, certificate.public_key
     from signature join certificate on certificate.hash = signature.certificate_hash
     where signature.rowid % ? = ?`,
  );
  const good: string[] = [];
  for (const row of signatures.iterate(of, share)) {
    const { bytes, signature, public_key: key } = row as Readonly<Record<string, unknown>>;
    if (typeof bytes !== 'string' || typeof signature !== 'string' || typeof key !== 'string') continue;
    const signed = domainBytes('signature', bytes);
    if (recordCrypto.verifyEd25519(key, signed, signature))
      good.push(`${key} ${signature} ${sha256(signed)}`);
  }
  return good;
}
