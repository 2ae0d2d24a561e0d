-- Plans as the planner keeps them, and the passes of whoever plans. A save names the version that it
-- changes, so that nothing of another editor is overwritten unseen.

create table plan (
    id text primary key,
    version integer not null,
    draft text not null,
    day text,
    created_at_ms integer not null,
    updated_at_ms integer not null
) strict;

create table planner_pass (
    hash text primary key,
    once integer not null,
    expires_at_ms integer not null
) strict, without rowid;
