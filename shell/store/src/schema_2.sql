-- Version 2. Never edited once used: a change is a new file.
-- A logger's readings, packed by the day (UTC) of one quantity at one spot, one row for each file that brought some: a season by
-- fives of minutes is 150 rows of a kilobyte, not 43,000. The rows of `logged` that version 1 kept stay where they are and count.
create table series_day (
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
) strict, without rowid;
create trigger series_day_kept before update on series_day begin select raise(abort, 'facts are never changed'); end;
create trigger series_day_stays before delete on series_day begin select raise(abort, 'facts are never taken away'); end;
