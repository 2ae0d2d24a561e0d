-- Who an account is at the organisation's own sign-in (OpenID Connect): the provider's name and theirs there, and nothing
-- else. Never mail, which a provider may hand on to somebody else.
create table identity (
    issuer text not null,
    subject text not null,
    account text not null unique references account (id),
    linked_at_ms integer not null,
    used_at_ms integer,
    primary key (issuer, subject)
) strict;
