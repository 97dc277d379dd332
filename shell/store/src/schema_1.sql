-- Version 1. Never edited once used: a change is a new file.
create table store (
    one integer primary key check (one = 1),
    epoch text not null check (length(epoch) = 32),
    made_ms integer not null
) strict;
create table farm (
    id text primary key check (length(id) between 1 and 64),
    name text not null,
    made_ms integer not null,
    is_sample integer not null default 0 check (is_sample in (0, 1))
) strict;
create table person (
    id text primary key check (length(id) between 1 and 64),
    farm text not null references farm (id),
    name text not null,
    role text not null check (role in ('owner', 'crew')),
    made_ms integer not null,
    ended_ms integer
) strict;
create table device (
    id text primary key check (length(id) between 1 and 64),
    farm text not null references farm (id),
    person text not null references person (id),
    name text not null,
    made_ms integer not null,
    ended_ms integer
) strict;
create table exchange (
    n integer primary key,
    farm text not null references farm (id),
    device text not null,
    received_ms integer not null,
    clock_off_ms integer not null
) strict;
create index exchange_device on exchange (device, received_ms);
create table session (
    token_hash text primary key check (length(token_hash) = 64),
    device text not null references device (id),
    is_secure integer not null check (is_secure in (0, 1)),
    made_ms integer not null,
    seen_ms integer not null,
    ends_ms integer not null,
    ended_ms integer
) strict;
create table pairing (
    code_hash text primary key check (length(code_hash) = 64),
    farm text not null references farm (id),
    name text not null,
    role text not null check (role in ('owner', 'crew')),
    made_ms integer not null,
    ends_ms integer not null,
    used_ms integer
) strict;
create table attempt (
    n integer primary key,
    source text not null,
    at_ms integer not null
) strict;
create index attempt_source on attempt (source, at_ms);
create table fact (
    seq integer primary key check (seq > 0),
    id text not null unique check (length(id) = 32 and id not glob '*[^0-9a-f]*'),
    farm text not null references farm (id),
    device text not null,
    person text not null,
    kind text not null check (length(kind) between 1 and 32),
    form integer not null check (form > 0),
    happened_s integer not null,
    offset_s integer not null check (offset_s between -93600 and 93600),
    typed_ms integer not null,
    received_ms integer not null,
    clock_off_ms integer not null,
    corrects text,
    pond text,
    typed text not null check (json_valid(typed)),
    vals text not null check (json_valid(vals)),
    chain blob not null check (length(chain) = 32)
) strict;
create index fact_farm on fact (farm, kind, happened_s);
create index fact_pond on fact (farm, pond, happened_s);
create index fact_order on fact (farm, seq);
create index fact_corrects on fact (corrects) where corrects is not null;
create trigger fact_in_order before insert on fact
when new.seq <> (select coalesce(max(seq), 0) + 1 from fact)
begin select raise(abort, 'facts are numbered without a gap'); end;
create trigger fact_kept before update on fact begin select raise(abort, 'facts are never changed'); end;
create trigger fact_stays before delete on fact begin select raise(abort, 'facts are never taken away'); end;
create table differing (
    n integer primary key,
    id text not null references fact (id),
    content text not null,
    received_ms integer not null,
    seen_ms integer,
    unique (id, content)
) strict;
create table logged (
    farm text not null references farm (id),
    pond text not null,
    place text not null check (place in ('deep', 'middle', 'shallow')),
    depth_mm integer not null check (depth_mm between 0 and 100000),
    quantity text not null check (quantity in ('temperature', 'oxygen', 'ph', 'stage')),
    at_s integer not null,
    value real not null,
    fact_seq integer not null references fact (seq),
    primary key (farm, pond, quantity, place, depth_mm, at_s)
) strict, without rowid;
create trigger logged_kept before update on logged begin select raise(abort, 'facts are never changed'); end;
create trigger logged_stays before delete on logged begin select raise(abort, 'facts are never taken away'); end;
create table season (
    id text primary key check (length(id) between 1 and 64),
    farm text not null references farm (id),
    name text not null,
    starts_day integer not null,
    ends_day integer check (ends_day >= starts_day)
) strict;
create table batch (
    id text primary key check (length(id) between 1 and 64),
    season text not null references season (id),
    pond text not null,
    starts_day integer not null,
    ends_day integer check (ends_day >= starts_day)
) strict;
create index batch_season on batch (season, pond);
create table blob (
    digest text primary key check (length(digest) = 64),
    media text not null,
    bytes blob not null,
    received_ms integer not null
) strict;
create table answer (
    n integer primary key,
    farm text not null references farm (id),
    question text not null,
    made_ms integer not null,
    seed text not null,
    program text not null,
    facts_digest text not null,
    body text not null check (json_valid(body))
) strict;
create index answer_farm on answer (farm, question, made_ms);
create table forecast (
    farm text not null references farm (id),
    made_ms integer not null,
    pond text not null,
    place text not null,
    depth_mm integer not null,
    at_s integer not null,
    what text not null check (what in ('quantile', 'chance')),
    level real not null,
    value real not null,
    program text not null,
    seed text not null,
    primary key (farm, made_ms, pond, place, depth_mm, at_s, what, level)
) strict, without rowid;
create index forecast_at on forecast (farm, pond, at_s);
create trigger forecast_kept before update on forecast begin select raise(abort, 'forecasts are never changed'); end;
create trigger forecast_stays before delete on forecast begin select raise(abort, 'forecasts are never taken away'); end;
