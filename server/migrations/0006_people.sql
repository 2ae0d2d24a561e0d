-- A person has an id of their own; a group has the ids of its people. Until now a person was a part of one group's
-- document. Whoever was in two groups is two people afterwards: nothing says that they are one.
create table enrolling (
    person text not null,
    of_group text not null,
    place integer not null,
    content text not null
) strict;

-- Each row gets a random id (RFC 9562, version 4).
insert into enrolling (person, of_group, place, content)
select
    lower(
        hex(randomblob(4)) || '-' || hex(randomblob(2)) || '-4' || substr(hex(randomblob(2)), 2) || '-'
        || substr('89ab', 1 + (random() & 3), 1) || substr(hex(randomblob(2)), 2) || '-' || hex(randomblob(6))
    ),
    document.id,
    enrolled.key,
    enrolled.value
from document, json_each(document.content, '$.people') as enrolled
where document.kind = 'group';

insert into document (id, kind, version, content, updated_at_ms)
select
    person,
    'person',
    1,
    json_set(enrolling.content, '$.form', 1),
    document.updated_at_ms
from enrolling join document on document.id = enrolling.of_group;

-- The next version, so that no page that was open before saves over it.
update document
set version = version + 1, content = json_set(
    content,
    '$.people',
    json((
        select json_group_array(person)
        from (select person from enrolling where of_group = document.id order by place)
    ))
)
where kind = 'group';

drop table enrolling;
