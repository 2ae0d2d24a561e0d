-- Notes as they were signed. They are only added to; each row has the hash of the row before. The words of an erased
-- person's notes go, and the rows stay.
create table note (
    seq integer primary key,
    id text not null unique,
    class text not null,
    person text,
    belongs_to text,
    signed_at_ms integer not null,
    body text not null,
    sha256 text not null,
    hash text not null
) strict;

create unique index one_note on note (class, coalesce(person, '')) where belongs_to is null;
create index note_person on note (person);

create trigger note_is_not_changed before update on note
when not (
    new.seq = old.seq and new.id = old.id and new.class = old.class and new.person is old.person
    and new.belongs_to is old.belongs_to and new.signed_at_ms = old.signed_at_ms and new.sha256 = old.sha256
    and new.hash = old.hash and new.body = '' and exists (select 1 from erased where person = old.person)
)
begin
    select raise(abort, 'a signed note is only added to');
end;

create trigger note_is_not_removed before delete on note
begin
    select raise(abort, 'a signed note is only added to');
end;
