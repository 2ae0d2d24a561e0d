-- Keys with which staff sign in on their own devices. The private half never leaves the device.
create table passkey (
    id text primary key,
    account text not null references account (id),
    name text not null,
    -- What is known of the key, as JSON: its public half, and how often it was used.
    content text not null,
    created_at_ms integer not null,
    used_at_ms integer
) strict;

create index passkey_of_account on passkey (account);
