-- Who did what, and who read what about people. It is only added to, and each row has the hash of the row before, so
-- that a row that is changed or left out is noticed.
create table audit (
    seq integer primary key,
    at_ms integer not null,
    actor text,
    act text not null,
    subject text,
    outcome integer not null,
    address text not null,
    hash text not null
) strict;

create trigger audit_is_not_changed before update on audit
begin
    select raise(abort, 'the audit is only added to');
end;

create trigger audit_is_not_removed before delete on audit
begin
    select raise(abort, 'the audit is only added to');
end;
