import { sql, type Transaction } from 'kysely';
import { attestRow, attestSealed, rowId, type StoredRow } from '../../core/record/attest.ts';
import { sealEvent } from '../../core/record/build.ts';
import type { AttestedTable, AuditEvent, Evidence, FieldChange, Sealed } from '../../core/record/objects.ts';
import type { TrailAction } from '../../core/record/trail.ts';
import { recordCrypto } from '../keys/crypto.ts';
import type {
  CertificateRow,
  EventRow,
  OwnCompoundRow,
  RevocationRow,
  SignatureRow,
  Tables,
  VersionRow,
} from '../storage/tables.ts';
import type { Program } from './program.ts';

/** What an event says beside what was written. */
export interface Statement {
  readonly action: TrailAction;
  readonly actor: AuditEvent['actor'];
  readonly record?: string;
  readonly entry?: string;
  readonly n?: number;
  readonly reason?: string;
  readonly changes?: readonly FieldChange[];
}

/** The last event of the trail, which the next one follows. */
export interface Head {
  readonly seq: number;
  readonly hash: string;
  readonly at: string;
}

/**
 * What one command writes: rows, objects, and at the end the event that vouches for all of them, in
 * one transaction. Nothing is written to a protected table any other way.
 */
export class Posting {
  readonly db: Transaction<Tables>;
  readonly #program: Program;
  readonly #evidence = new Map<string, Evidence>();

  constructor(program: Program, db: Transaction<Tables>) {
    this.#program = program;
    this.db = db;
  }

  async insert<T extends AttestedTable>(table: T, row: Tables[T]): Promise<void> {
    const columns = Object.entries(row as unknown as StoredRow);
    const names = sql.join(columns.map(([name]) => sql.ref(name)));
    const values = sql.join(columns.map(([, value]) => value));
    await sql`insert into ${sql.table(table)} (${names}) values (${values})`.execute(this.db);
    await this.#attest(table, String((row as unknown as StoredRow)[rowId[table]]));
  }

  async update<T extends AttestedTable>(table: T, id: string, change: Partial<Tables[T]>): Promise<void> {
    const set = Object.entries(change as StoredRow).map(([name, value]) => sql`${sql.ref(name)} = ${value}`);
    await sql`update ${sql.table(table)} set ${sql.join(set)} where ${sql.ref(rowId[table])} = ${id}`.execute(
      this.db,
    );
    await this.#attest(table, id);
  }

  /** Evidence of a row that stays as it is: the draft at signing, for one. */
  async vouchFor(table: AttestedTable, id: string): Promise<void> {
    await this.#attest(table, id);
  }

  async addVersion(sealed: Sealed, row: Omit<VersionRow, 'hash' | 'bytes'>): Promise<void> {
    await this.db
      .insertInto('version')
      .values({ ...row, hash: sealed.hash, bytes: sealed.bytes })
      .execute();
    this.#note(attestSealed('version', sealed));
  }

  async addSignature(sealed: Sealed, row: Omit<SignatureRow, 'hash' | 'bytes' | 'signature'>): Promise<void> {
    await this.db
      .insertInto('signature')
      .values({ ...row, ...signed(sealed) })
      .execute();
    this.#note(attestSealed('signature', sealed));
  }

  async addCertificate(
    sealed: Sealed,
    row: Omit<CertificateRow, 'hash' | 'bytes' | 'signature'>,
  ): Promise<void> {
    await this.db
      .insertInto('certificate')
      .values({ ...row, ...signed(sealed) })
      .execute();
    this.#note(attestSealed('certificate', sealed));
  }

  async addRevocation(
    sealed: Sealed,
    row: Omit<RevocationRow, 'hash' | 'bytes' | 'signature'>,
  ): Promise<void> {
    await this.db
      .insertInto('revocation')
      .values({ ...row, ...signed(sealed) })
      .execute();
    this.#note(attestSealed('revocation', sealed));
  }

  /** A signed statement of how far this notebook had got, kept here as well. */
  async addCheckpoint(sealed: Sealed): Promise<void> {
    await this.db.insertInto('checkpoint').values(signed(sealed)).execute();
    this.#note(attestSealed('checkpoint', sealed));
  }

  /** One saved form of a compound of the department's own. */
  async addOwnCompound(sealed: Sealed, row: Omit<OwnCompoundRow, 'hash' | 'bytes'>): Promise<void> {
    await this.db
      .insertInto('own_compound')
      .values({ ...row, hash: sealed.hash, bytes: sealed.bytes })
      .execute();
    this.#note(attestSealed('own_compound', sealed));
  }

  /** A statement that leaves this file: the trail keeps its hash. */
  vouchForReceipt(sealed: Sealed): void {
    this.#note(attestSealed('receipt', sealed));
  }

  /** The newest event, or null in an empty trail. */
  head(): Promise<Head | null> {
    return headOf(this.db);
  }

  /** Writes the event for everything since the last one of this posting. */
  async tell(statement: Statement): Promise<void> {
    const { clock, device } = this.#program;
    const notebook = await this.db.selectFrom('notebook').select('id').executeTakeFirstOrThrow();
    const sealed = sealEvent(
      recordCrypto,
      {
        notebook: notebook.id,
        at: clock.now(),
        offsetMinutes: clock.offsetMinutes(),
        monotonicMs: clock.monotonicMs(),
        device,
        actor: statement.actor,
        action: statement.action,
        object: {
          record: statement.record ?? null,
          entry: statement.entry ?? null,
          n: statement.n ?? null,
        },
        changes: statement.changes ?? [],
        evidence: [...this.#evidence.values()],
        reason: statement.reason ?? '',
      },
      await this.head(),
    );
    this.#evidence.clear();
    const { event } = sealed;
    const row: EventRow = {
      seq: event.seq,
      hash: sealed.hash,
      previous: event.previous,
      at: event.at,
      action: event.action,
      person_id: event.actor?.person ?? null,
      record_id: event.object.record,
      entry_id: event.object.entry,
      n: event.object.n,
      bytes: sealed.bytes,
    };
    await this.db.insertInto('event').values(row).execute();
  }

  /** Evidence is of the row as the database gives it back, not as it was meant. */
  async #attest(table: AttestedTable, id: string): Promise<void> {
    const { rows } = await sql<StoredRow>`
      select * from ${sql.table(table)} where ${sql.ref(rowId[table])} = ${id}
    `.execute(this.db);
    const [row] = rows;
    if (row === undefined) throw new Error(`a row of ${table} was not written`);
    this.#note(attestRow(recordCrypto, table, row));
  }

  #note(evidence: Evidence): void {
    const key = `${evidence.kind}:${evidence.id}`;
    // The last state of a row written twice is the one to vouch for.
    this.#evidence.delete(key);
    this.#evidence.set(key, evidence);
  }
}

function signed(sealed: Sealed): { hash: string; bytes: string; signature: string } {
  if (sealed.signature === null) throw new Error('this object must be signed');
  return { hash: sealed.hash, bytes: sealed.bytes, signature: sealed.signature };
}

export async function headOf(db: Pick<Transaction<Tables>, 'selectFrom'>): Promise<Head | null> {
  const row = await db
    .selectFrom('event')
    .select(['seq', 'hash', 'at'])
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirst();
  return row ?? null;
}
