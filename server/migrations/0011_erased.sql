-- Who was erased, by an id that leads to nobody any more, so that a backup that is put back is cleared of them too.
create table erased (
    person text primary key,
    day text not null,
    -- Whether this database is cleared of them.
    applied integer not null
) strict;

-- What must not be erased for now, with the reason.
create table legal_hold (
    person text primary key,
    reason text not null,
    since_ms integer not null
) strict;
