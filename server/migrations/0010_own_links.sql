-- The lasting links of people, each on a medium of its own and ended alone; and the calendars of people and staff.
create table own_link (
    id text primary key,
    hash text not null unique,
    -- One of the two.
    person text,
    account text references account (id),
    medium text not null,
    created_at_ms integer not null,
    used_at_ms integer
) strict;

create index own_link_of_person on own_link (person);

-- A browser in which somebody opened their link.
create table own_device (
    id text primary key,
    hash text not null unique,
    link text not null references own_link (id),
    -- Whether several people use it, so that it keeps nothing.
    shared integer not null,
    -- Whether the link had been opened on another device before.
    later integer not null,
    created_at_ms integer not null,
    seen_at_ms integer not null
) strict;

create index own_device_of_link on own_device (link);

-- Who said that they cannot come to which class of which group.
create table sent_word (
    person text not null,
    for_group text not null,
    of_day text not null,
    at_ms integer not null,
    primary key (person, for_group, of_day)
) strict;
