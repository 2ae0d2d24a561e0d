-- Whether a session is over is known without reading its ledger; a request that makes one is known when it comes
-- again; and a code is found by its session's age.
alter table session add column ended_at_ms integer;
alter table session add column request text;

create unique index session_request on session (request) where request is not null;

update session set ended_at_ms = (
    select at_ms from event
    where event.session = session.id and json_extract(event.body, '$.event.event') = 'ended'
);

-- One line that is written to when nothing else is, to see whether the disk takes it again.
create table writing (tries integer not null) strict;
insert into writing (tries) values (0);

-- A link that opens once opens again for the request that used it: its answer may have been lost.
alter table pass add column used_by text;
alter table planner_pass add column used_by text;
