import { sql, type Kysely } from 'kysely';

/** What was once countersigned is amended, never struck out, whatever state it has come back to since. */
const statements: readonly string[] = [
  `create trigger entry_once_accepted before update of state on entry
    when new.state = 'struck-out' and old.state is not 'struck-out'
      and exists (select 1 from signature where entry_id = new.id and meaning = 'countersigned')
    begin select raise(abort, 'entry-locked'); end`,
];

export async function up(db: Kysely<unknown>): Promise<void> {
  for (const statement of statements) await sql.raw(statement).execute(db);
}
