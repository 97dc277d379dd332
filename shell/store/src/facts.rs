//! Facts in, facts out.

use farm::facts::{Fact, Happened, Kept, is_id};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};
use units::{Instant, Watch};

use crate::digest;
use crate::error::StoreError;
use crate::file::Store;
use crate::wire;

/// What became of a fact that was sent.
#[derive(Debug, Clone, PartialEq)]
pub enum Insert {
    /// It is on the disk now.
    Made {
        /// Its number.
        seq: i64,
    },
    /// It was there already, word for word.
    AlreadyHad {
        /// Its number.
        seq: i64,
    },
    /// Something else was there under this id. Both are kept, this one aside, until a person has seen them.
    Differs {
        /// What was there first.
        kept: Box<Kept>,
    },
}

/// One exchange with a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Exchange<'a> {
    /// The device that sends; facts may have been typed on another.
    pub device: &'a str,
    /// The store's clock, ms since 1970.
    pub now_ms: i64,
    /// The device's clock, when it told.
    pub device_ms: Option<i64>,
}

/// Which facts are asked for. `None` asks for all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asked<'a> {
    /// About this pond.
    pub pond: Option<&'a str>,
    /// Of this kind.
    pub kind: Option<&'a str>,
    /// Happened from this moment on.
    pub from: Option<Instant>,
    /// Happened before this moment.
    pub before: Option<Instant>,
    /// Numbered above this.
    pub after_seq: Option<i64>,
    /// At most so many, the latest to have happened.
    pub last: Option<u32>,
}

/// A body that came under the id of another.
#[derive(Debug, Clone, PartialEq)]
pub struct Differing {
    /// Its number among such bodies.
    pub n: i64,
    /// What was there first.
    pub kept: Kept,
    /// What came later, in the same form.
    pub other: Fact,
    /// When, ms since 1970.
    pub received_ms: i64,
}

const COLUMNS: &str = "seq, id, farm, device, person, kind, form, happened_s, offset_s, typed_ms, received_ms, clock_off_ms, corrects, typed, vals";

impl Store {
    /// Keeps facts, all of them or none; returns when they are on the disk. The farm must be there ([`Store::keep_farm`]).
    /// Values are read from what was typed; sending again is always safe.
    pub fn insert(&self, facts: &[Fact], exchange: Exchange<'_>) -> Result<Vec<Insert>, StoreError> {
        self.write(|work| insert_in(work, facts, exchange, None))
    }

    /// As [`Store::insert`], with the epoch under which it was done: a restore that came between the two would let a phone believe
    /// that the restored record has what the other one took. A photo whose bytes are not here is not taken (`None`): they may have
    /// gone with a restore since the phone sent them.
    ///
    /// # Errors
    /// When it could not be put on the disk.
    pub fn exchange(
        &self,
        facts: &[Fact],
        exchange: Exchange<'_>,
    ) -> Result<(Vec<Option<Insert>>, String), StoreError> {
        self.write(|work| {
            let mut has_bytes = Vec::with_capacity(facts.len());
            for fact in facts {
                let digest = fact.text("photo").filter(|_| fact.kind == "photo");
                has_bytes.push(digest.map_or(Ok(true), |digest| has_blob(work, digest))?);
            }
            let there: Vec<Fact> =
                facts.iter().zip(&has_bytes).filter(|(_, has)| **has).map(|(fact, _)| fact.clone()).collect();
            let mut answers = insert_in(work, &there, exchange, None)?.into_iter();
            let answers = has_bytes.iter().map(|has| if *has { answers.next() } else { None }).collect();
            Ok((answers, work.query_row("select epoch from store", [], |row| row.get(0))?))
        })
    }

    /// As [`Store::insert`], counting in the watch; when it is asked to stop, nothing of this call is kept.
    pub fn insert_watched(
        &self,
        facts: &[Fact],
        exchange: Exchange<'_>,
        watch: &Watch,
    ) -> Result<Vec<Insert>, StoreError> {
        self.write(|work| insert_in(work, facts, exchange, Some(watch)))
    }

    /// Every fact of a farm, in order of number.
    pub fn facts(&self, farm: &str) -> Result<Vec<Kept>, StoreError> {
        self.facts_where(farm, Asked::default())
    }

    /// The facts asked for, in order of number.
    pub fn facts_where(&self, farm: &str, asked: Asked<'_>) -> Result<Vec<Kept>, StoreError> {
        self.read(|connection| facts_in(connection, farm, asked))
    }

    /// One fact by its id.
    pub fn fact(&self, id: &str) -> Result<Option<Kept>, StoreError> {
        self.read(|connection| by_id(connection, id))
    }

    /// The number of the last fact; 0 when there is none.
    pub fn last_seq(&self) -> Result<i64, StoreError> {
        self.read(
            |connection| Ok(connection.query_row("select coalesce(max(seq), 0) from fact", [], |row| row.get(0))?),
        )
    }

    /// When the last fact arrived, ms since 1970; `None` when there is none.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn last_received_ms(&self) -> Result<Option<i64>, StoreError> {
        let text = "select received_ms from fact order by seq desc limit 1";
        self.read(|connection| Ok(connection.query_row(text, [], |row| row.get(0)).optional()?))
    }

    /// A digest of all facts of a farm with their order: two stores that give the same hold the same facts. Found at once.
    pub fn facts_digest(&self, farm: &str) -> Result<String, StoreError> {
        self.read(|connection| Ok(digest::hex(&chain_of(connection, farm)?)))
    }

    /// Bodies that came under the id of another fact and that no person has seen to.
    pub fn differing(&self, farm: &str) -> Result<Vec<Differing>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select differing.n, differing.id, differing.content, differing.received_ms from differing
                 join fact on fact.id = differing.id where fact.farm = ?1 and differing.seen_ms is null order by differing.n",
            )?;
            let rows = query.query_map([farm], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))?;
            let rows: Vec<(i64, String, String, i64)> = rows.collect::<Result<_, _>>()?;
            let read = |(n, id, content, received_ms): (i64, String, String, i64)| {
                let kept = by_id(connection, &id)?.ok_or(StoreError::BadRow("id"))?;
                let value = serde_json::from_str(&content).map_err(|_| StoreError::BadRow("content"))?;
                let other = wire::fact_from_json(&value).map_err(|_| StoreError::BadRow("content"))?;
                Ok(Differing { n, kept, other, received_ms })
            };
            rows.into_iter().map(read).collect()
        })
    }

    /// Notes that a person has seen to such a pair.
    pub fn differing_seen(&self, n: i64, now_ms: i64) -> Result<(), StoreError> {
        self.write(|work| Ok(work.execute("update differing set seen_ms = ?2 where n = ?1", [n, now_ms]).map(drop)?))
    }

    /// Whether every fact's chain follows from its content and the one before.
    pub(crate) fn check_chain(&self) -> Result<(), StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare(&format!("select {COLUMNS}, chain from fact order by seq"))?;
            let mut rows = query.query([])?;
            let mut last: std::collections::BTreeMap<String, Vec<u8>> = std::collections::BTreeMap::new();
            let mut seq = 0;
            while let Some(row) = rows.next()? {
                let kept = kept(row)?;
                let chain: Vec<u8> = row.get(15)?;
                seq += 1;
                let before = last.get(&kept.fact.farm).map_or(&[][..], Vec::as_slice);
                let wanted = digest::link(before, &wire::content(&kept.fact), kept.seq, kept.received_ms);
                if kept.seq != seq || chain != wanted {
                    return Err(StoreError::Damaged(format!("entry {} is not what was written", kept.seq)));
                }
                last.insert(kept.fact.farm, chain);
            }
            Ok(())
        })
    }
}

/// The facts asked for, in order of number, as an open connection sees them.
pub(crate) fn facts_in(connection: &Connection, farm: &str, asked: Asked<'_>) -> Result<Vec<Kept>, StoreError> {
    // Only the conditions that are asked for are written, so that the index for them is found.
    let mut conditions = vec!["farm = :farm"];
    let from = asked.from.map(|from| from.0);
    let before = asked.before.map(|before| before.0);
    let mut named: Vec<(&str, &dyn rusqlite::ToSql)> = vec![(":farm", &farm)];
    if let Some(pond) = &asked.pond {
        conditions.push("pond = :pond");
        named.push((":pond", pond));
    }
    if let Some(kind) = &asked.kind {
        conditions.push("kind = :kind");
        named.push((":kind", kind));
    }
    if let Some(from) = &from {
        conditions.push("happened_s >= :from");
        named.push((":from", from));
    }
    if let Some(before) = &before {
        conditions.push("happened_s < :before");
        named.push((":before", before));
    }
    if let Some(after) = &asked.after_seq {
        conditions.push("seq > :after");
        named.push((":after", after));
    }
    let seq = if from.is_some() || before.is_some() { "+seq" } else { "seq" };
    let conditions = conditions.join(" and ");
    let text = match asked.last {
        // The plus keeps SQLite from walking all numbers in their order only to spare itself a sort of the few that are asked for.
        None => format!("select {COLUMNS} from fact where {conditions} order by {seq}"),
        Some(last) => format!(
            "select * from (select {COLUMNS} from fact where {conditions} order by happened_s desc, seq desc limit {last}) order by seq"
        ),
    };
    let mut query = connection.prepare_cached(&text)?;
    let rows = query.query_map(named.as_slice(), kept)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

pub(crate) fn insert_in(
    work: &Transaction<'_>,
    facts: &[Fact],
    exchange: Exchange<'_>,
    watch: Option<&Watch>,
) -> Result<Vec<Insert>, StoreError> {
    let off_ms = exchange.device_ms.map_or(0, |device_ms| device_ms - exchange.now_ms);
    if let (Some(_), Some(first)) = (exchange.device_ms, facts.first()) {
        work.prepare_cached("insert into exchange (farm, device, received_ms, clock_off_ms) values (?1, ?2, ?3, ?4)")?
            .execute(params![first.farm, exchange.device, exchange.now_ms, off_ms])?;
    }
    let mut answers = Vec::with_capacity(facts.len());
    if let Some(watch) = watch {
        watch.expect(facts.len() as u64);
    }
    for fact in facts {
        if let Some(watch) = watch {
            if watch.asked_to_stop() {
                return Err(StoreError::Stopped);
            }
            watch.advance(1);
        }
        answers.push(insert_one(work, fact, exchange.now_ms, off_ms)?);
    }
    Ok(answers)
}

fn insert_one(work: &Transaction<'_>, fact: &Fact, now_ms: i64, off_ms: i64) -> Result<Insert, StoreError> {
    if !is_id(&fact.id) {
        return Err(StoreError::BadRow("id"));
    }
    let content = wire::content(fact);
    if let Some(kept) = by_id(work, &fact.id)? {
        if wire::content(&kept.fact) == content {
            return Ok(Insert::AlreadyHad { seq: kept.seq });
        }
        work.prepare_cached(
            "insert into differing (id, content, received_ms) values (?1, ?2, ?3) on conflict do nothing",
        )?
        .execute(params![fact.id, content, now_ms])?;
        return Ok(Insert::Differs { kept: Box::new(kept) });
    }
    let seq = put(work, fact, None, now_ms, off_ms)?;
    Ok(Insert::Made { seq })
}

/// Writes one new fact. `None` for the next number.
pub(crate) fn put(
    work: &Connection,
    fact: &Fact,
    seq: Option<i64>,
    received_ms: i64,
    off_ms: i64,
) -> Result<i64, StoreError> {
    let next: i64 =
        work.prepare_cached("select coalesce(max(seq), 0) + 1 from fact")?.query_row([], |row| row.get(0))?;
    let seq = seq.unwrap_or(next);
    let mut read = fact.clone();
    read.read();
    let vals = serde_json::to_string(&read.values).map_err(|_| StoreError::BadRow("values"))?;
    let chain = digest::link(&chain_of(work, &fact.farm)?, &wire::content(fact), seq, received_ms);
    let known: bool = work
        .prepare_cached("select exists (select 1 from farm where id = ?1)")?
        .query_row([&fact.farm], |row| row.get(0))?;
    if !known {
        return Err(StoreError::BadRow("farm"));
    }
    work.prepare_cached(
        "insert into fact (seq, id, farm, device, person, kind, form, happened_s, offset_s, typed_ms, received_ms, clock_off_ms,
         corrects, pond, typed, vals, chain) values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)",
    )?
    .execute(params![
        seq,
        fact.id,
        fact.farm,
        fact.device,
        fact.person,
        fact.kind,
        fact.form,
        fact.happened.at.0,
        fact.happened.offset_s,
        fact.typed_ms,
        received_ms,
        off_ms,
        fact.corrects,
        fact.pond(),
        wire::typed_json(&fact.typed),
        vals,
        chain,
    ])?;
    Ok(seq)
}

fn has_blob(connection: &Connection, digest: &str) -> Result<bool, StoreError> {
    let mut query = connection.prepare_cached("select exists (select 1 from blob where digest = ?1)")?;
    Ok(query.query_row([digest], |row| row.get(0))?)
}

fn chain_of(connection: &Connection, farm: &str) -> Result<Vec<u8>, StoreError> {
    let mut query = connection.prepare_cached("select chain from fact where farm = ?1 order by seq desc limit 1")?;
    Ok(query.query_row([farm], |row| row.get(0)).optional()?.unwrap_or_default())
}

pub(crate) fn by_id(connection: &Connection, id: &str) -> Result<Option<Kept>, StoreError> {
    let mut query = connection.prepare_cached(&format!("select {COLUMNS} from fact where id = ?1"))?;
    Ok(query.query_row([id], kept).optional()?)
}

fn kept(row: &Row<'_>) -> rusqlite::Result<Kept> {
    let typed: String = row.get(13)?;
    let vals: String = row.get(14)?;
    Ok(Kept {
        seq: row.get(0)?,
        received_ms: row.get(10)?,
        clock_off_ms: row.get(11)?,
        fact: Fact {
            id: row.get(1)?,
            farm: row.get(2)?,
            device: row.get(3)?,
            person: row.get(4)?,
            kind: row.get(5)?,
            form: row.get(6)?,
            happened: Happened { at: Instant(row.get(7)?), offset_s: row.get(8)? },
            typed_ms: row.get(9)?,
            corrects: row.get(12)?,
            typed: serde_json::from_str(&typed).unwrap_or_default(),
            values: serde_json::from_str(&vals).unwrap_or_default(),
        },
    })
}
