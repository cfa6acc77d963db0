import { sql, type Kysely } from 'kysely';

/**
 * Compounds a department adds to the library. Each saved form is a version of its own and is only ever
 * added to: `bytes` is the RFC 8785 canonical JSON, `hash` its domain-separated SHA-256, and the event
 * that wrote it vouches for the hash. The newest `n` of a `compound_id` is the one in use.
 */
const statements: readonly string[] = [
  `create table own_compound (
    hash text primary key not null,
    compound_id text not null,
    n integer not null check (n >= 1),
    author_id text not null references person (id),
    at text not null,
    bytes text not null,
    unique (compound_id, n)
  ) strict`,
  `create trigger own_compound_stays before delete on own_compound
    begin select raise(abort, 'never-deleted'); end`,
  `create trigger own_compound_is_new before insert on own_compound
    when exists (select 1 from own_compound where hash = new.hash)
      or exists (select 1 from own_compound where compound_id = new.compound_id and n = new.n)
    begin select raise(abort, 'never-replaced'); end`,
  `create trigger own_compound_is_final before update on own_compound
    begin select raise(abort, 'never-changed'); end`,
  `create trigger own_compound_follows before insert on own_compound
    when new.n is not (select coalesce(max(n), 0) + 1 from own_compound
      where compound_id = new.compound_id)
    begin select raise(abort, 'version-out-of-order'); end`,
];

export async function up(db: Kysely<unknown>): Promise<void> {
  for (const statement of statements) await sql.raw(statement).execute(db);
}
