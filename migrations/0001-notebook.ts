import { sql, type Kysely } from 'kysely';

/**
 * The whole of a notebook. Instants are UTC ISO 8601 with milliseconds and `Z`; `bytes` holds RFC 8785
 * canonical JSON exactly as it was hashed; hashes and keys are lower-case hex.
 *
 * What is signed or was an event is only ever added to. `recursive_triggers` must be on for every
 * connection, or `INSERT OR REPLACE` would slip past the delete triggers; the insert triggers below
 * refuse it a second time.
 */
const statements: readonly string[] = [
  `create table notebook (
    id text primary key not null,
    institution text not null,
    department text not null,
    department_key text not null,
    is_demo integer not null check (is_demo in (0, 1)),
    format integer not null,
    created_at text not null
  ) strict`,
  `create table person (
    id text primary key not null,
    printed_name text not null unique,
    initials text not null,
    role text not null check (role in ('student', 'instructor', 'department')),
    created_at text not null
  ) strict`,
  // person_id is null for the department's own key.
  `create table sealed_key (
    id text primary key not null,
    person_id text references person (id),
    public_key text not null unique,
    sealed text not null,
    created_at text not null,
    retired_at text
  ) strict`,
  `create index sealed_key_of_person on sealed_key (person_id)`,
  `create table certificate (
    hash text primary key not null,
    serial integer not null unique,
    person_id text not null,
    role text not null,
    public_key text not null,
    not_before text not null,
    not_after text not null,
    bytes text not null,
    signature text not null
  ) strict`,
  `create table revocation (
    hash text primary key not null,
    certificate_hash text not null references certificate (hash),
    kind text not null check (kind in ('retired', 'compromised')),
    since text not null,
    bytes text not null,
    signature text not null
  ) strict`,
  `create table record (
    id text primary key not null,
    owner_id text not null references person (id),
    title text not null,
    course text not null,
    created_at text not null,
    unique (owner_id, title)
  ) strict`,
  `create table entry (
    id text primary key not null,
    record_id text not null references record (id),
    number integer not null check (number >= 1),
    state text not null
      check (state in ('draft', 'signed', 'returned', 'countersigned', 'amending', 'struck-out')),
    mark text not null,
    amendment_reason text,
    strike_out_reason text,
    created_at text not null,
    unique (record_id, number)
  ) strict`,
  `create index entry_in_state on entry (state)`,
  // base_*: the draft as the audit trail last described it.
  `create table draft (
    entry_id text primary key not null references entry (id),
    content text not null,
    revision integer not null,
    saved_at text not null,
    saved_by text not null references person (id),
    base_content text not null,
    base_revision integer not null
  ) strict`,
  `create index draft_heading on draft
    (entry_id, json_extract(content, '$.title'), json_extract(content, '$.date'))`,
  `create table version (
    hash text primary key not null,
    entry_id text not null references entry (id),
    n integer not null check (n >= 1),
    author_id text not null references person (id),
    bytes text not null,
    unique (entry_id, n)
  ) strict`,
  `create index version_heading on version
    (entry_id, n, json_extract(bytes, '$.content.title'), json_extract(bytes, '$.content.date'))`,
  `create table signature (
    hash text primary key not null,
    entry_id text not null references entry (id),
    n integer not null,
    version_hash text not null references version (hash),
    meaning text not null
      check (meaning in ('performed', 'returned', 'countersigned', 'amended', 'deposited')),
    person_id text not null,
    certificate_hash text not null references certificate (hash),
    signed_at text not null,
    bytes text not null,
    signature text not null
  ) strict`,
  `create index signature_of_entry on signature (entry_id, n)`,
  `create table event (
    seq integer primary key not null,
    hash text not null unique,
    previous text not null,
    at text not null,
    action text not null,
    person_id text,
    record_id text,
    entry_id text,
    n integer,
    bytes text not null
  ) strict`,
  `create index event_of_entry on event (entry_id, seq)`,
  `create index event_of_record on event (record_id, seq)`,
  `create index event_of_person on event (person_id, seq)`,
  `create index event_by_action on event (action, seq)`,
  `create table comment (
    id text primary key not null,
    entry_id text not null references entry (id),
    n integer,
    section text not null,
    anchor text,
    text text not null,
    author_id text not null references person (id),
    at text not null,
    is_settled integer not null check (is_settled in (0, 1))
  ) strict`,
  `create index comment_on_entry on comment (entry_id)`,
  `create table attachment (
    sha256 text primary key not null,
    media_type text not null,
    size_bytes integer not null,
    data blob not null
  ) strict`,
  // Statements of how far this notebook had got, made for hand-ins, receipts and deposits.
  `create table checkpoint (
    hash text primary key not null,
    bytes text not null,
    signature text not null
  ) strict`,
  // How far other notebooks, and this one by its receipts, were seen to have got.
  `create table witness (
    notebook text not null,
    seq integer not null,
    head text not null,
    source text not null,
    seen_at text not null,
    primary key (notebook, seq, head)
  ) strict`,
  // Pieces of other notebooks' trails, which signatures brought in from there refer to.
  `create table foreign_event (
    notebook text not null,
    seq integer not null,
    hash text not null,
    bytes text not null,
    primary key (notebook, seq)
  ) strict`,
];

/** Tables that are only ever added to, each with the columns that may not be used a second time. */
const addedTo: Readonly<Record<string, readonly (readonly string[])[]>> = {
  certificate: [['hash'], ['serial']],
  revocation: [['hash']],
  version: [['hash'], ['entry_id', 'n']],
  signature: [['hash']],
  event: [['seq'], ['hash']],
  attachment: [['sha256']],
  checkpoint: [['hash']],
  witness: [['notebook', 'seq', 'head']],
  foreign_event: [['notebook', 'seq']],
};

/** Tables whose rows change, but never go away. */
const kept: Readonly<Record<string, readonly (readonly string[])[]>> = {
  notebook: [['id']],
  person: [['id'], ['printed_name']],
  sealed_key: [['id'], ['public_key']],
  record: [['id'], ['owner_id', 'title']],
  entry: [['id'], ['record_id', 'number']],
  draft: [['entry_id']],
  comment: [['id']],
};

/** Columns of `kept` tables that stay as they were written. */
const fixed: Readonly<Record<string, readonly string[]>> = {
  notebook: ['id', 'department_key', 'is_demo', 'created_at'],
  person: ['id', 'role', 'created_at'],
  sealed_key: ['id', 'person_id', 'public_key', 'created_at'],
  record: ['id', 'owner_id', 'created_at'],
  entry: ['id', 'record_id', 'number', 'created_at'],
  draft: ['entry_id'],
  comment: ['id', 'entry_id', 'n', 'section', 'anchor', 'text', 'author_id', 'at'],
};

function* guards(): Generator<string> {
  for (const [table, keys] of Object.entries({ ...addedTo, ...kept })) {
    yield `create trigger ${table}_stays before delete on ${table}
      begin select raise(abort, 'never-deleted'); end`;
    const taken = keys
      .map((columns) => columns.map((column) => `${column} = new.${column}`).join(' and '))
      .map((same) => `exists (select 1 from ${table} where ${same})`)
      .join(' or ');
    yield `create trigger ${table}_is_new before insert on ${table} when ${taken}
      begin select raise(abort, 'never-replaced'); end`;
  }
  for (const table of Object.keys(addedTo)) {
    yield `create trigger ${table}_is_final before update on ${table}
      begin select raise(abort, 'never-changed'); end`;
  }
  for (const [table, columns] of Object.entries(fixed)) {
    const changed = columns.map((column) => `new.${column} is not old.${column}`).join(' or ');
    yield `create trigger ${table}_keeps_identity before update on ${table} when ${changed}
      begin select raise(abort, 'never-changed'); end`;
  }
  yield `create trigger notebook_is_one before insert on notebook when exists (select 1 from notebook)
    begin select raise(abort, 'one-notebook'); end`;
  yield `create trigger event_follows before insert on event
    when new.seq is not (select coalesce(max(seq), 0) + 1 from event)
      or new.previous is not coalesce((select hash from event order by seq desc limit 1),
        '0000000000000000000000000000000000000000000000000000000000000000')
    begin select raise(abort, 'event-out-of-order'); end`;
  yield `create trigger version_follows before insert on version
    when new.n is not (select coalesce(max(n), 0) + 1 from version where entry_id = new.entry_id)
    begin select raise(abort, 'version-out-of-order'); end`;
  // A signature belongs to the version it names, and only the newest version is signed.
  yield `create trigger signature_fits before insert on signature
    when not exists (select 1 from version
        where hash = new.version_hash and entry_id = new.entry_id and n = new.n)
      or new.n is not (select max(n) from version where entry_id = new.entry_id)
    begin select raise(abort, 'signature-does-not-fit'); end`;
  yield `create trigger entry_begins before insert on entry when new.state is not 'draft'
    begin select raise(abort, 'state-not-allowed'); end`;
  yield `create trigger entry_state before update of state on entry
    when new.state is not old.state and not (
      (old.state in ('draft', 'returned') and new.state in ('signed', 'struck-out'))
      or (old.state = 'signed' and new.state in ('returned', 'countersigned'))
      or (old.state = 'countersigned' and new.state = 'amending')
      or (old.state = 'amending' and new.state in ('signed', 'countersigned')))
    begin select raise(abort, 'state-not-allowed'); end`;
  // A state that rests on a signature is reached only with that signature on the newest version.
  yield `create trigger entry_state_is_signed before update of state on entry
    when new.state is not old.state and new.state in ('signed', 'returned', 'countersigned')
      and not exists (select 1 from signature
        where entry_id = new.id
          and n = (select max(n) from version where entry_id = new.id)
          and case new.state
            when 'signed' then meaning in ('performed', 'amended')
            else meaning = new.state end)
    begin select raise(abort, 'signature-missing'); end`;
  yield `create trigger entry_mark before update of mark on entry
    when new.mark is not old.mark
      and not (old.state = 'signed' and new.state = 'countersigned')
    begin select raise(abort, 'entry-locked'); end`;
  yield `create trigger draft_is_open before update on draft
    when (select state from entry where id = old.entry_id)
      not in ('draft', 'returned', 'amending')
    begin select raise(abort, 'entry-locked'); end`;
  yield `create trigger draft_revision before update of revision on draft when new.revision < old.revision
    begin select raise(abort, 'draft-changed-elsewhere'); end`;
  // A comment is settled or taken up again; new ones need an entry that is still being discussed.
  yield `create trigger comment_is_open before insert on comment
    when (select state from entry where id = new.entry_id) in ('countersigned', 'struck-out')
    begin select raise(abort, 'entry-locked'); end`;
  yield `create trigger comment_settles before update on comment
    when (select state from entry where id = old.entry_id) in ('countersigned', 'struck-out')
    begin select raise(abort, 'entry-locked'); end`;
}

export async function up(db: Kysely<unknown>): Promise<void> {
  for (const statement of [...statements, ...guards()]) await sql.raw(statement).execute(db);
}
