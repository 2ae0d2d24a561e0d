-- Sessions, their ledgers and the passes that open them. Times are milliseconds since 1970 (UTC).

create table session (
    id text primary key,
    code text not null unique,
    title text not null,
    rehearsal integer not null,
    created_at_ms integer not null
) strict;

-- The only truth of a session: dense, ordered, never changed. The primary key refuses a second
-- writer of the same place.
create table event (
    session text not null references session (id),
    seq integer not null,
    event_id text not null unique,
    at_ms integer not null,
    body text not null,
    primary key (session, seq)
) strict, without rowid;

-- A pass opens one role in one session; a guest has a name and gets a seat at the first use. Only the SHA-256 of its token is kept. A link that works
-- once becomes a new pass for the browser that used it.
create table pass (
    hash text primary key,
    session text not null references session (id),
    role text not null,
    seat integer,
    guest text,
    once integer not null,
    expires_at_ms integer not null
) strict, without rowid;
