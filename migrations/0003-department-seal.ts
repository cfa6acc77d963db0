import { sql, type Kysely } from 'kysely';

/**
 * What the department seals bound PDFs with: an X.509 certificate (DER, lower-case hex) and its private
 * key, sealed under a passphrase like every other key. Beside the record's own Ed25519 keys, because
 * readers of PDF know ECDSA. One is in use at a time; earlier ones are retired and stay.
 */
const statements: readonly string[] = [
  `create table seal_key (
    id text primary key not null,
    certificate text not null unique,
    sealed text not null,
    created_at text not null,
    retired_at text
  ) strict`,
  `create trigger seal_key_stays before delete on seal_key
    begin select raise(abort, 'never-deleted'); end`,
  `create trigger seal_key_is_new before insert on seal_key
    when exists (select 1 from seal_key where id = new.id or certificate = new.certificate)
    begin select raise(abort, 'never-replaced'); end`,
  `create trigger seal_key_keeps_identity before update on seal_key
    when new.id is not old.id or new.certificate is not old.certificate
      or new.created_at is not old.created_at
    begin select raise(abort, 'never-changed'); end`,
  `create trigger seal_key_in_use_is_one before insert on seal_key
    when exists (select 1 from seal_key where retired_at is null)
    begin select raise(abort, 'one-seal-key'); end`,
  `create trigger seal_key_stays_retired before update of retired_at on seal_key
    when old.retired_at is not null and new.retired_at is not old.retired_at
    begin select raise(abort, 'never-changed'); end`,
];

export async function up(db: Kysely<unknown>): Promise<void> {
  for (const statement of statements) await sql.raw(statement).execute(db);
}
