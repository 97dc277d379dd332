CREATE TABLE store (
    one integer primary key check (one = 1),
    epoch text not null check (length(epoch) = 32),
    made_ms integer not null
) strict;
CREATE TABLE farm (
    id text primary key check (length(id) between 1 and 64),
    name text not null,
    made_ms integer not null,
    is_sample integer not null default 0 check (is_sample in (0, 1))
) strict;
CREATE TABLE person (
    id text primary key check (length(id) between 1 and 64),
    farm text not null references farm (id),
    name text not null,
    role text not null check (role in ('owner', 'crew')),
    made_ms integer not null,
    ended_ms integer
) strict;
CREATE TABLE device (
    id text primary key check (length(id) between 1 and 64),
    farm text not null references farm (id),
    person text not null references person (id),
    name text not null,
    made_ms integer not null,
    ended_ms integer
) strict;
CREATE TABLE exchange (
    n integer primary key,
    farm text not null references farm (id),
    device text not null,
    received_ms integer not null,
    clock_off_ms integer not null
) strict;
CREATE TABLE session (
    token_hash text primary key check (length(token_hash) = 64),
    device text not null references device (id),
    is_secure integer not null check (is_secure in (0, 1)),
    made_ms integer not null,
    seen_ms integer not null,
    ends_ms integer not null,
    ended_ms integer
) strict;
CREATE TABLE pairing (
    code_hash text primary key check (length(code_hash) = 64),
    farm text not null references farm (id),
    name text not null,
    role text not null check (role in ('owner', 'crew')),
    made_ms integer not null,
    ends_ms integer not null,
    used_ms integer
) strict;
CREATE TABLE attempt (
    n integer primary key,
    source text not null,
    at_ms integer not null
) strict;
CREATE TABLE fact (
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
CREATE TABLE differing (
    n integer primary key,
    id text not null references fact (id),
    content text not null,
    received_ms integer not null,
    seen_ms integer,
    unique (id, content)
) strict;
CREATE TABLE logged (
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
CREATE TABLE season (
    id text primary key check (length(id) between 1 and 64),
    farm text not null references farm (id),
    name text not null,
    starts_day integer not null,
    ends_day integer check (ends_day >= starts_day)
) strict;
CREATE TABLE batch (
    id text primary key check (length(id) between 1 and 64),
    season text not null references season (id),
    pond text not null,
    starts_day integer not null,
    ends_day integer check (ends_day >= starts_day)
) strict;
CREATE TABLE blob (
    digest text primary key check (length(digest) = 64),
    media text not null,
    bytes blob not null,
    received_ms integer not null
) strict;
CREATE TABLE answer (
    n integer primary key,
    farm text not null references farm (id),
    question text not null,
    made_ms integer not null,
    seed text not null,
    program text not null,
    facts_digest text not null,
    body text not null check (json_valid(body))
) strict;
CREATE TABLE forecast (
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
CREATE TABLE series_day (
    farm text not null references farm (id),
    pond text not null,
    quantity text not null check (quantity in ('temperature', 'oxygen', 'ph', 'stage')),
    place text not null check (place in ('deep', 'middle', 'shallow')),
    depth_mm integer not null check (depth_mm between 0 and 100000),
    day integer not null,
    fact_seq integer not null references fact (seq),
    count integer not null check (count between 1 and 86400),
    packed blob not null,
    primary key (farm, pond, quantity, place, depth_mm, day, fact_seq)
) strict;
CREATE INDEX exchange_device on exchange (device, received_ms);
CREATE INDEX attempt_source on attempt (source, at_ms);
CREATE INDEX fact_farm on fact (farm, kind, happened_s);
CREATE INDEX fact_pond on fact (farm, pond, happened_s);
CREATE INDEX fact_order on fact (farm, seq);
CREATE INDEX fact_corrects on fact (corrects) where corrects is not null;
CREATE INDEX batch_season on batch (season, pond);
CREATE INDEX answer_farm on answer (farm, question, made_ms);
CREATE INDEX fact_when on fact (farm, happened_s);
insert into store values (1, 'd37c8f45b5c0599e5616b68b541c0c27', 1600000000000);
insert into farm values ('bend', 'The Bend', 1600000000000, 0);
insert into person values ('ann', 'bend', 'Ann', 'owner', 1600000000000, NULL);
insert into device values ('phone', 'bend', 'ann', 'phone', 1600000000000, NULL);
insert into exchange values (1, 'bend', 'phone', 1600000000000, 90000);
insert into exchange values (2, 'bend', 'phone', 1600000000000, 90000);
insert into exchange values (3, 'bend', 'phone', 1600000000000, 90000);
insert into fact values (1, '00000000000000000000000000000001', 'bend', 'phone', 'ann', 'reading', 1, 1600000300, -18000, 1600000000001, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'C6F447FCF6E3EAC9063DCAB73A8AFFC83BD857B174B9914C64991311966921D6');
insert into fact values (2, '00000000000000000000000000000002', 'bend', 'phone', 'ann', 'reading', 1, 1600000600, -18000, 1600000000002, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'DBB8344C777FBD5BB79283119E5B930B98CE229157ADFCA7BF1338F8552364B7');
insert into fact values (3, '00000000000000000000000000000003', 'bend', 'phone', 'ann', 'reading', 1, 1600000900, -18000, 1600000000003, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'B2E0886280161B92E5CE410D5259B977DC4EE6CFAE10FF6145D7D08E21A4D15D');
insert into fact values (4, '00000000000000000000000000000004', 'bend', 'phone', 'ann', 'reading', 1, 1600001200, -18000, 1600000000004, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'30F9F3E1A1400B04086D9A71622D1D1D74AF63BDFBF74EBA29A463EA348BCF9A');
insert into fact values (5, '00000000000000000000000000000005', 'bend', 'phone', 'ann', 'reading', 1, 1600001500, -18000, 1600000000005, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'398FCE60B126901D75BDAECC4A06C6117401FF253EDDE54AB6E9FDEFE0B53438');
insert into fact values (6, '00000000000000000000000000000006', 'bend', 'phone', 'ann', 'reading', 1, 1600001800, -18000, 1600000000006, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'8DD2C2A94D746E51BABB9587C748F6BC111AF5F71E06FB2E4DA53DA0DD75EBFA');
insert into fact values (7, '00000000000000000000000000000007', 'bend', 'phone', 'ann', 'reading', 1, 1600002100, -18000, 1600000000007, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'712171E3BA9E621E7C7571C6290748BF5245114DA525C8614C8EBF519FEA701E');
insert into fact values (8, '00000000000000000000000000000008', 'bend', 'phone', 'ann', 'reading', 1, 1600002400, -18000, 1600000000008, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'698BEAAEEA5B88C70B65AC741C94D2BF67B1CFA162B2431FDA8E33B40B7CEBC4');
insert into fact values (9, '00000000000000000000000000000009', 'bend', 'phone', 'ann', 'reading', 1, 1600002700, -18000, 1600000000009, 1600000000000, 90000, '00000000000000000000000000000001', 'willow', '{"pond":"willow","temperature":"3 ft, \"said\"\nthe 🦐"}', '{}', X'9900AE7D7E7365CD41C1010C4099125589AB28C0144B4FD78CB831C2A6899A9F');
insert into fact values (10, '00000000000000000000000000000014', 'bend', 'phone', 'ann', 'logger', 1, 1600006000, -18000, 1600000000020, 1600000000000, 90000, NULL, 'willow', '{"pond":"willow","temperature":""}', '{}', X'9264594D669CE6C3DC6556374DC1831611D38A03D392CE63BEAB899FEAFF4AE2');
insert into differing values (1, '00000000000000000000000000000001', '{"id":"00000000000000000000000000000001","farm":"bend","device":"phone","person":"ann","kind":"reading","form":1,"happened":{"utc_s":1600000300,"offset_s":-18000},"typed_ms":1600000000001,"corrects":null,"typed":{"pond":"willow","temperature":"46F"}}', 1600000000000, NULL);
insert into season values ('s', 'bend', 'first', 18400, NULL);
insert into batch values ('b1', 's', 'willow', 18401, NULL);
insert into batch values ('b2', 's', 'willow', 18401, NULL);
insert into blob values ('994659de87f727ddcde75df44314f31d7f367b3bff347e852f390530f29720c7', 'text/csv', X'7468652066696C65', 1600000000000);
insert into blob values ('92e469e6f34332f611f46cc5371592264628458db80d2a9c40310daec8384d23', 'image/jpeg', X'00FF07', 1600000000000);
insert into answer values (1, 'bend', 'morning', 1600000000000, '18446744073709551615', '0.1.0', '9264594d669ce6c3dc6556374dc1831611d38a03d392ce63beab899feaff4ae2', '{"a":1}');
insert into forecast values ('bend', 1600000000000, 'willow', 'deep', 457, 1600000000, 'chance', 13.0, 0.25, '0.1.0', '18446744073709551615');
insert into forecast values ('bend', 1600000000000, 'willow', 'deep', 457, 1600000000, 'quantile', 0.1, 0.30000000000000004, '0.1.0', '18446744073709551615');
insert into series_day values ('bend', 'willow', 'oxygen', 'deep', 500, 0, 10, 2, X'00F02EAC02F755');
insert into series_day values ('bend', 'willow', 'oxygen', 'deep', 500, 2, 10, 1, X'C0D401D00F');
CREATE TRIGGER fact_in_order before insert on fact
when new.seq <> (select coalesce(max(seq), 0) + 1 from fact)
begin select raise(abort, 'facts are numbered without a gap'); end;
CREATE TRIGGER fact_kept before update on fact begin select raise(abort, 'facts are never changed'); end;
CREATE TRIGGER fact_stays before delete on fact begin select raise(abort, 'facts are never taken away'); end;
CREATE TRIGGER logged_kept before update on logged begin select raise(abort, 'facts are never changed'); end;
CREATE TRIGGER logged_stays before delete on logged begin select raise(abort, 'facts are never taken away'); end;
CREATE TRIGGER forecast_kept before update on forecast begin select raise(abort, 'forecasts are never changed'); end;
CREATE TRIGGER forecast_stays before delete on forecast begin select raise(abort, 'forecasts are never taken away'); end;
CREATE TRIGGER series_day_kept before update on series_day begin select raise(abort, 'facts are never changed'); end;
CREATE TRIGGER series_day_stays before delete on series_day begin select raise(abort, 'facts are never taken away'); end;
pragma application_id = 2004054124;
pragma user_version = 5;
