-- Letters to people, one for each person, purpose and day. What a letter says is made when it is sent, so that no link is
-- kept here.
create table letter (
    id text primary key,
    person text not null,
    -- What it is for, as JSON.
    purpose text not null,
    day text not null,
    created_at_ms integer not null,
    tries integer not null default 0,
    next_at_ms integer not null,
    sent_at_ms integer,
    failed integer not null default 0,
    error text,
    unique (person, purpose, day)
) strict;
