CREATE TABLE attachment (
    sha256 text primary key not null,
    media_type text not null,
    size_bytes integer not null,
    data blob not null
  ) strict;

CREATE TABLE certificate (
    hash text primary key not null,
    serial integer not null unique,
    person_id text not null,
    role text not null,
    public_key text not null,
    not_before text not null,
    not_after text not null,
    bytes text not null,
    signature text not null
  ) strict;

CREATE TABLE checkpoint (
    hash text primary key not null,
    bytes text not null,
    signature text not null
  ) strict;

CREATE TABLE comment (
    id text primary key not null,
    entry_id text not null references entry (id),
    n integer,
    section text not null,
    anchor text,
    text text not null,
    author_id text not null references person (id),
    at text not null,
    is_settled integer not null check (is_settled in (0, 1))
  ) strict;

CREATE TABLE draft (
    entry_id text primary key not null references entry (id),
    content text not null,
    revision integer not null,
    saved_at text not null,
    saved_by text not null references person (id),
    base_content text not null,
    base_revision integer not null
  ) strict;

CREATE TABLE entry (
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
  ) strict;

CREATE TABLE event (
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
  ) strict;

CREATE TABLE foreign_event (
    notebook text not null,
    seq integer not null,
    hash text not null,
    bytes text not null,
    primary key (notebook, seq)
  ) strict;

CREATE TABLE notebook (
    id text primary key not null,
    institution text not null,
    department text not null,
    department_key text not null,
    is_demo integer not null check (is_demo in (0, 1)),
    format integer not null,
    created_at text not null
  ) strict;

CREATE TABLE own_compound (
    hash text primary key not null,
    compound_id text not null,
    n integer not null check (n >= 1),
    author_id text not null references person (id),
    at text not null,
    bytes text not null,
    unique (compound_id, n)
  ) strict;

CREATE TABLE person (
    id text primary key not null,
    printed_name text not null unique,
    initials text not null,
    role text not null check (role in ('student', 'instructor', 'department')),
    created_at text not null
  ) strict;

CREATE TABLE record (
    id text primary key not null,
    owner_id text not null references person (id),
    title text not null,
    course text not null,
    created_at text not null,
    unique (owner_id, title)
  ) strict;

CREATE TABLE revocation (
    hash text primary key not null,
    certificate_hash text not null references certificate (hash),
    kind text not null check (kind in ('retired', 'compromised')),
    since text not null,
    bytes text not null,
    signature text not null
  ) strict;

CREATE TABLE seal_key (
    id text primary key not null,
    certificate text not null unique,
    sealed text not null,
    created_at text not null,
    retired_at text
  ) strict;

CREATE TABLE sealed_key (
    id text primary key not null,
    person_id text references person (id),
    public_key text not null unique,
    sealed text not null,
    created_at text not null,
    retired_at text
  ) strict;

CREATE TABLE signature (
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
  ) strict;

CREATE TABLE version (
    hash text primary key not null,
    entry_id text not null references entry (id),
    n integer not null check (n >= 1),
    author_id text not null references person (id),
    bytes text not null,
    unique (entry_id, n)
  ) strict;

CREATE TABLE witness (
    notebook text not null,
    seq integer not null,
    head text not null,
    source text not null,
    seen_at text not null,
    primary key (notebook, seq, head)
  ) strict;

CREATE INDEX comment_on_entry on comment (entry_id);

CREATE INDEX draft_heading on draft
    (entry_id, json_extract(content, '$.title'), json_extract(content, '$.date'));

CREATE INDEX entry_in_state on entry (state);

CREATE INDEX event_by_action on event (action, seq);

CREATE INDEX event_of_entry on event (entry_id, seq);

CREATE INDEX event_of_person on event (person_id, seq);

CREATE INDEX event_of_record on event (record_id, seq);

CREATE INDEX sealed_key_of_person on sealed_key (person_id);

CREATE INDEX signature_of_entry on signature (entry_id, n);

CREATE INDEX version_heading on version
    (entry_id, n, json_extract(bytes, '$.content.title'), json_extract(bytes, '$.content.date'));

CREATE TRIGGER attachment_is_final before update on attachment
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER attachment_is_new before insert on attachment when exists (select 1 from attachment where sha256 = new.sha256)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER attachment_stays before delete on attachment
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER certificate_is_final before update on certificate
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER certificate_is_new before insert on certificate when exists (select 1 from certificate where hash = new.hash) or exists (select 1 from certificate where serial = new.serial)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER certificate_stays before delete on certificate
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER checkpoint_is_final before update on checkpoint
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER checkpoint_is_new before insert on checkpoint when exists (select 1 from checkpoint where hash = new.hash)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER checkpoint_stays before delete on checkpoint
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER comment_is_new before insert on comment when exists (select 1 from comment where id = new.id)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER comment_is_open before insert on comment
    when (select state from entry where id = new.entry_id) in ('countersigned', 'struck-out')
    begin select raise(abort, 'entry-locked'); end;

CREATE TRIGGER comment_keeps_identity before update on comment when new.id is not old.id or new.entry_id is not old.entry_id or new.n is not old.n or new.section is not old.section or new.anchor is not old.anchor or new.text is not old.text or new.author_id is not old.author_id or new.at is not old.at
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER comment_settles before update on comment
    when (select state from entry where id = old.entry_id) in ('countersigned', 'struck-out')
    begin select raise(abort, 'entry-locked'); end;

CREATE TRIGGER comment_stays before delete on comment
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER draft_is_new before insert on draft when exists (select 1 from draft where entry_id = new.entry_id)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER draft_is_open before update on draft
    when (select state from entry where id = old.entry_id)
      not in ('draft', 'returned', 'amending')
    begin select raise(abort, 'entry-locked'); end;

CREATE TRIGGER draft_keeps_identity before update on draft when new.entry_id is not old.entry_id
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER draft_revision before update of revision on draft when new.revision < old.revision
    begin select raise(abort, 'draft-changed-elsewhere'); end;

CREATE TRIGGER draft_stays before delete on draft
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER entry_begins before insert on entry when new.state is not 'draft'
    begin select raise(abort, 'state-not-allowed'); end;

CREATE TRIGGER entry_is_new before insert on entry when exists (select 1 from entry where id = new.id) or exists (select 1 from entry where record_id = new.record_id and number = new.number)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER entry_keeps_identity before update on entry when new.id is not old.id or new.record_id is not old.record_id or new.number is not old.number or new.created_at is not old.created_at
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER entry_mark before update of mark on entry
    when new.mark is not old.mark
      and not (old.state = 'signed' and new.state = 'countersigned')
    begin select raise(abort, 'entry-locked'); end;

CREATE TRIGGER entry_once_accepted before update of state on entry
    when new.state = 'struck-out' and old.state is not 'struck-out'
      and exists (select 1 from signature where entry_id = new.id and meaning = 'countersigned')
    begin select raise(abort, 'entry-locked'); end;

CREATE TRIGGER entry_state before update of state on entry
    when new.state is not old.state and not (
      (old.state in ('draft', 'returned') and new.state in ('signed', 'struck-out'))
      or (old.state = 'signed' and new.state in ('returned', 'countersigned'))
      or (old.state = 'countersigned' and new.state = 'amending')
      or (old.state = 'amending' and new.state in ('signed', 'countersigned')))
    begin select raise(abort, 'state-not-allowed'); end;

CREATE TRIGGER entry_state_is_signed before update of state on entry
    when new.state is not old.state and new.state in ('signed', 'returned', 'countersigned')
      and not exists (select 1 from signature
        where entry_id = new.id
          and n = (select max(n) from version where entry_id = new.id)
          and case new.state
            when 'signed' then meaning in ('performed', 'amended')
            else meaning = new.state end)
    begin select raise(abort, 'signature-missing'); end;

CREATE TRIGGER entry_stays before delete on entry
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER event_follows before insert on event
    when new.seq is not (select coalesce(max(seq), 0) + 1 from event)
      or new.previous is not coalesce((select hash from event order by seq desc limit 1),
        '0000000000000000000000000000000000000000000000000000000000000000')
    begin select raise(abort, 'event-out-of-order'); end;

CREATE TRIGGER event_is_final before update on event
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER event_is_new before insert on event when exists (select 1 from event where seq = new.seq) or exists (select 1 from event where hash = new.hash)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER event_stays before delete on event
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER foreign_event_is_final before update on foreign_event
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER foreign_event_is_new before insert on foreign_event when exists (select 1 from foreign_event where notebook = new.notebook and seq = new.seq)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER foreign_event_stays before delete on foreign_event
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER notebook_is_new before insert on notebook when exists (select 1 from notebook where id = new.id)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER notebook_is_one before insert on notebook when exists (select 1 from notebook)
    begin select raise(abort, 'one-notebook'); end;

CREATE TRIGGER notebook_keeps_identity before update on notebook when new.id is not old.id or new.department_key is not old.department_key or new.is_demo is not old.is_demo or new.created_at is not old.created_at
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER notebook_stays before delete on notebook
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER own_compound_follows before insert on own_compound
    when new.n is not (select coalesce(max(n), 0) + 1 from own_compound
      where compound_id = new.compound_id)
    begin select raise(abort, 'version-out-of-order'); end;

CREATE TRIGGER own_compound_is_final before update on own_compound
    begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER own_compound_is_new before insert on own_compound
    when exists (select 1 from own_compound where hash = new.hash)
      or exists (select 1 from own_compound where compound_id = new.compound_id and n = new.n)
    begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER own_compound_stays before delete on own_compound
    begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER person_is_new before insert on person when exists (select 1 from person where id = new.id) or exists (select 1 from person where printed_name = new.printed_name)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER person_keeps_identity before update on person when new.id is not old.id or new.role is not old.role or new.created_at is not old.created_at
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER person_stays before delete on person
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER record_is_new before insert on record when exists (select 1 from record where id = new.id) or exists (select 1 from record where owner_id = new.owner_id and title = new.title)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER record_keeps_identity before update on record when new.id is not old.id or new.owner_id is not old.owner_id or new.created_at is not old.created_at
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER record_stays before delete on record
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER revocation_is_final before update on revocation
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER revocation_is_new before insert on revocation when exists (select 1 from revocation where hash = new.hash)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER revocation_stays before delete on revocation
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER seal_key_in_use_is_one before insert on seal_key
    when exists (select 1 from seal_key where retired_at is null)
    begin select raise(abort, 'one-seal-key'); end;

CREATE TRIGGER seal_key_is_new before insert on seal_key
    when exists (select 1 from seal_key where id = new.id or certificate = new.certificate)
    begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER seal_key_keeps_identity before update on seal_key
    when new.id is not old.id or new.certificate is not old.certificate
      or new.created_at is not old.created_at
    begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER seal_key_stays before delete on seal_key
    begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER seal_key_stays_retired before update of retired_at on seal_key
    when old.retired_at is not null and new.retired_at is not old.retired_at
    begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER sealed_key_is_new before insert on sealed_key when exists (select 1 from sealed_key where id = new.id) or exists (select 1 from sealed_key where public_key = new.public_key)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER sealed_key_keeps_identity before update on sealed_key when new.id is not old.id or new.person_id is not old.person_id or new.public_key is not old.public_key or new.created_at is not old.created_at
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER sealed_key_stays before delete on sealed_key
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER signature_fits before insert on signature
    when not exists (select 1 from version
        where hash = new.version_hash and entry_id = new.entry_id and n = new.n)
      or new.n is not (select max(n) from version where entry_id = new.entry_id)
    begin select raise(abort, 'signature-does-not-fit'); end;

CREATE TRIGGER signature_is_final before update on signature
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER signature_is_new before insert on signature when exists (select 1 from signature where hash = new.hash)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER signature_stays before delete on signature
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER version_follows before insert on version
    when new.n is not (select coalesce(max(n), 0) + 1 from version where entry_id = new.entry_id)
    begin select raise(abort, 'version-out-of-order'); end;

CREATE TRIGGER version_is_final before update on version
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER version_is_new before insert on version when exists (select 1 from version where hash = new.hash) or exists (select 1 from version where entry_id = new.entry_id and n = new.n)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER version_stays before delete on version
      begin select raise(abort, 'never-deleted'); end;

CREATE TRIGGER witness_is_final before update on witness
      begin select raise(abort, 'never-changed'); end;

CREATE TRIGGER witness_is_new before insert on witness when exists (select 1 from witness where notebook = new.notebook and seq = new.seq and head = new.head)
      begin select raise(abort, 'never-replaced'); end;

CREATE TRIGGER witness_stays before delete on witness
      begin select raise(abort, 'never-deleted'); end;
