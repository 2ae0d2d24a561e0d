-- Plans and groups are kept alike: documents that people edit, in versions. A session knows the group it
-- was held for, so that what the group had is known.

create table document (
    id text primary key,
    kind text not null,
    version integer not null,
    content text not null,
    updated_at_ms integer not null
) strict;

insert into document (id, kind, version, content, updated_at_ms)
select id, 'plan', version, json_object('draft', json(draft), 'day', day, 'group', null), updated_at_ms
from plan;

drop table plan;

alter table session add column for_group text;
