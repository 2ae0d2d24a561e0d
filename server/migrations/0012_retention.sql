-- Of which records it was announced that they will go: people, and classes with those who came in with the code.
create table announced (
    id text primary key,
    day text not null
) strict;

-- What went on which day, in numbers.
create table retention_report (
    day text primary key,
    content text not null
) strict;

-- Whether a class no longer names those who came in with its code.
alter table session add column guests_erased integer not null default 0;

-- A row of the audit is emptied once its time is over. Its hash stays, from which the next row follows.
drop trigger audit_is_not_changed;

create trigger audit_is_not_changed before update on audit
when not (
    new.seq = old.seq and new.at_ms = old.at_ms and new.hash = old.hash
    and new.act = '' and new.actor is null and new.subject is null and new.outcome = 0 and new.address = ''
)
begin
    select raise(abort, 'the audit is only added to');
end;
