-- Staff have accounts. What opened the planner until now is gone: with no account yet, the server prints a link that
-- makes the first one.
create table account (
    id text primary key,
    version integer not null,
    name text not null,
    sign_in text not null,
    -- `sign_in` as it is compared.
    folded text not null unique,
    role text not null,
    title text,
    licence text,
    -- A PHC string; none until the owner has chosen a password.
    password text,
    -- The secret of a second factor, and the last step for which a code was used.
    secret text,
    secret_used integer,
    created_at_ms integer not null,
    ended_at_ms integer
) strict;

-- Links that make an account usable: used once each.
create table account_link (
    hash text primary key,
    -- None for the link that makes the first account.
    account text references account (id),
    -- Whether it opens the account without a password, as in the demo.
    opens integer not null,
    expires_at_ms integer not null,
    used_by text
) strict;

create table recovery_code (
    account text not null references account (id),
    hash text not null,
    primary key (account, hash)
) strict;

-- A browser in which somebody is signed in.
create table signed_in (
    hash text primary key,
    id text not null unique,
    account text not null references account (id),
    device text not null,
    created_at_ms integer not null,
    seen_at_ms integer not null,
    proved_at_ms integer not null,
    expires_at_ms integer not null
) strict;

-- What gave a browser its pass; when that ends, the pass ends with it.
alter table pass add column via text;
-- Whether its desk may set what only a clinician sets. Desks that are open already stay as they are.
alter table pass add column decides integer not null default 1;

drop table planner_pass;
