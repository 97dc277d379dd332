//! People, their devices, and how a device is let in. Codes and tokens are kept as hashes alone: whoever reads the file cannot
//! come in with it.

use rusqlite::{OptionalExtension, Row, params};

use crate::error::StoreError;
use crate::file::Store;

/// What a person may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Everything.
    Owner,
    /// What the work needs.
    Crew,
}

impl Role {
    fn key(self) -> &'static str {
        if self == Role::Owner { "owner" } else { "crew" }
    }
    fn of(key: &str) -> Role {
        if key == "owner" { Role::Owner } else { Role::Crew }
    }
}

/// A person of a farm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Id.
    pub id: String,
    /// The farm.
    pub farm: String,
    /// Name.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// When they were let in, ms since 1970.
    pub made_ms: i64,
    /// When they were let go.
    pub ended_ms: Option<i64>,
}

/// A phone, tablet or computer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Id.
    pub id: String,
    /// The farm.
    pub farm: String,
    /// Whose it is.
    pub person: String,
    /// What it is called.
    pub name: String,
    /// When it was let in, ms since 1970.
    pub made_ms: i64,
    /// When it was shut out.
    pub ended_ms: Option<i64>,
    /// Its clock less ours at the last exchange, ms, and when that was.
    pub clock_off_ms: Option<(i64, i64)>,
}

/// A code shown on the owner's screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pairing {
    /// SHA-256 of the code, 64 hexadecimal digits.
    pub code_hash: String,
    /// The farm.
    pub farm: String,
    /// Name of the person it is for.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// Until when it holds, ms since 1970.
    pub ends_ms: i64,
}

/// Who came in by a code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paired {
    /// The person.
    pub person: Person,
    /// The device.
    pub device: Device,
}

/// An open session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// SHA-256 of the token.
    pub token_hash: String,
    /// Whose.
    pub person: Person,
    /// On which device.
    pub device: String,
    /// It came over https.
    pub is_secure: bool,
    /// Last seen, ms since 1970.
    pub seen_ms: i64,
}

const PERSON: &str = "person.id, person.farm, person.name, person.role, person.made_ms, person.ended_ms";

fn person(row: &Row<'_>) -> rusqlite::Result<Person> {
    Ok(Person {
        id: row.get(0)?,
        farm: row.get(1)?,
        name: row.get(2)?,
        role: Role::of(&row.get::<_, String>(3)?),
        made_ms: row.get(4)?,
        ended_ms: row.get(5)?,
    })
}

impl Store {
    /// Keeps a person; of one who is there already, name, role and end change.
    pub fn keep_person(&self, person: &Person) -> Result<(), StoreError> {
        self.write(|work| put_person(work, person))
    }

    /// The people of a farm.
    pub fn people(&self, farm: &str) -> Result<Vec<Person>, StoreError> {
        self.read(|connection| {
            let mut query = connection
                .prepare_cached(&format!("select {PERSON} from person where farm = ?1 order by made_ms, id"))?;
            let rows = query.query_map([farm], person)?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Keeps a device; of one that is there already, name, person and end change.
    pub fn keep_device(&self, device: &Device) -> Result<(), StoreError> {
        self.write(|work| put_device(work, device))
    }

    /// The devices of a farm, each with its clock at the last exchange.
    pub fn devices(&self, farm: &str) -> Result<Vec<Device>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select id, farm, person, name, made_ms, ended_ms,
                 (select clock_off_ms from exchange where device = device.id order by n desc limit 1),
                 (select received_ms from exchange where device = device.id order by n desc limit 1)
                 from device where farm = ?1 order by made_ms, id",
            )?;
            let rows = query.query_map([farm], |row| {
                Ok(Device {
                    id: row.get(0)?,
                    farm: row.get(1)?,
                    person: row.get(2)?,
                    name: row.get(3)?,
                    made_ms: row.get(4)?,
                    ended_ms: row.get(5)?,
                    clock_off_ms: row.get::<_, Option<i64>>(6)?.zip(row.get(7)?),
                })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Keeps a pairing code. One that was made before for the same name and not used holds no more.
    pub fn keep_pairing(&self, pairing: &Pairing, now_ms: i64) -> Result<(), StoreError> {
        self.write(|work| {
            void_codes(work, &pairing.farm, &pairing.name, now_ms)?;
            work.execute(
                "insert into pairing (code_hash, farm, name, role, made_ms, ends_ms) values (?1, ?2, ?3, ?4, ?5, ?6)",
                params![pairing.code_hash, pairing.farm, pairing.name, pairing.role.key(), now_ms, pairing.ends_ms],
            )?;
            Ok(())
        })
    }

    /// Uses a code of this farm once: makes the device, and its person when nobody of that name and role is there; `None` when
    /// the code is unknown, used or over.
    pub fn pair(
        &self,
        farm: &str,
        code_hash: &str,
        device_name: &str,
        now_ms: i64,
    ) -> Result<Option<Paired>, StoreError> {
        let (person_id, device_id) = (self.new_id()?, self.new_id()?);
        self.write(|work| {
            let found: Option<(String, String)> = work
                .query_row(
                    "update pairing set used_ms = ?3 where code_hash = ?1 and farm = ?2 and used_ms is null and made_ms <= ?3
                     and ends_ms > ?3 returning name, role",
                    params![code_hash, farm, now_ms],
                    |row| Ok((row.get(0)?, row.get(1)?)),
                )
                .optional()?;
            let Some((name, role)) = found else { return Ok(None) };
            let known = work
                .query_row(
                    &format!("select {PERSON} from person where farm = ?1 and name = ?2 and role = ?3 and ended_ms is null"),
                    params![farm, name, role],
                    person,
                )
                .optional()?;
            let made = Person { id: person_id, farm: farm.to_owned(), name, role: Role::of(&role), made_ms: now_ms, ended_ms: None };
            let person = known.unwrap_or(made);
            let device = Device {
                id: device_id,
                farm: farm.to_owned(),
                person: person.id.clone(),
                name: device_name.to_owned(),
                made_ms: now_ms,
                ended_ms: None,
                clock_off_ms: None,
            };
            put_person(work, &person)?;
            put_device(work, &device)?;
            Ok(Some(Paired { person, device }))
        })
    }

    /// Lets a person go: their devices are shut out, and a code shown for them holds no more.
    pub fn end_person(&self, person: &Person, now_ms: i64) -> Result<(), StoreError> {
        self.write(|work| {
            for text in [
                "update person set ended_ms = ?2 where id = ?1 and ended_ms is null",
                "update session set ended_ms = ?2 where ended_ms is null and device in (select id from device where person = ?1)",
                "update device set ended_ms = ?2 where person = ?1 and ended_ms is null",
            ] {
                work.execute(text, params![person.id, now_ms])?;
            }
            void_codes(work, &person.farm, &person.name, now_ms)
        })
    }

    /// When each device of a farm was last seen, ms since 1970.
    pub fn devices_seen(&self, farm: &str) -> Result<Vec<(String, i64)>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(
                "select session.device, max(session.seen_ms) from session join device on device.id = session.device
                 where device.farm = ?1 group by session.device",
            )?;
            let rows = query.query_map([farm], |row| Ok((row.get(0)?, row.get(1)?)))?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Opens a session.
    pub fn open_session(
        &self,
        token_hash: &str,
        device: &str,
        is_secure: bool,
        now_ms: i64,
        ends_ms: i64,
    ) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute(
                "insert into session (token_hash, device, is_secure, made_ms, seen_ms, ends_ms) values (?1, ?2, ?3, ?4, ?4, ?5)",
                params![token_hash, device, is_secure, now_ms, ends_ms],
            )?;
            Ok(())
        })
    }

    /// The session of a token; `None` when there is none, it is over, or its device or person was shut out.
    pub fn session(&self, token_hash: &str, now_ms: i64) -> Result<Option<Session>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached(&format!(
                "select {PERSON}, session.device, session.is_secure, session.seen_ms from session
                 join device on device.id = session.device join person on person.id = device.person
                 where session.token_hash = ?1 and session.ended_ms is null and session.ends_ms > ?2
                 and device.ended_ms is null and person.ended_ms is null"
            ))?;
            let session = |row: &Row<'_>| {
                Ok(Session {
                    token_hash: token_hash.to_owned(),
                    person: person(row)?,
                    device: row.get(6)?,
                    is_secure: row.get(7)?,
                    seen_ms: row.get(8)?,
                })
            };
            Ok(query.query_row(params![token_hash, now_ms], session).optional()?)
        })
    }

    /// Notes that a session was seen; call it now and then, since each call waits for the disk.
    pub fn session_seen(&self, token_hash: &str, now_ms: i64) -> Result<(), StoreError> {
        self.write(|work| {
            Ok(work
                .execute("update session set seen_ms = ?2 where token_hash = ?1", params![token_hash, now_ms])
                .map(drop)?)
        })
    }

    /// Ends one session.
    pub fn end_session(&self, token_hash: &str, now_ms: i64) -> Result<(), StoreError> {
        self.write(|work| {
            let text = "update session set ended_ms = ?2 where token_hash = ?1 and ended_ms is null";
            Ok(work.execute(text, params![token_hash, now_ms]).map(drop)?)
        })
    }

    /// Shuts a device out and ends its sessions.
    pub fn end_device(&self, device: &str, now_ms: i64) -> Result<(), StoreError> {
        self.write(|work| {
            work.execute(
                "update device set ended_ms = ?2 where id = ?1 and ended_ms is null",
                params![device, now_ms],
            )?;
            work.execute(
                "update session set ended_ms = ?2 where device = ?1 and ended_ms is null",
                params![device, now_ms],
            )?;
            Ok(())
        })
    }

    /// Notes an attempt to come in, unless too many were made: then nothing is noted, and it says from when on one may try again,
    /// ms since 1970. Noted and counted at once, so that many attempts at one moment are no way around it.
    pub fn attempt(&self, source: &str, now_ms: i64, limits: Attempts) -> Result<Option<i64>, StoreError> {
        let since_ms = now_ms - limits.within_ms;
        self.write(|work| {
            work.execute("delete from attempt where at_ms <= ?1", [since_ms])?;
            // The one that must be past before another is taken: the oldest of the last so many.
            let nth = |text: &str, who: Option<&str>, most: u32| -> rusqlite::Result<Option<i64>> {
                work.query_row(text, params![who, most.saturating_sub(1)], |row| row.get(0)).optional()
            };
            let text =
                "select at_ms from attempt where ?1 is null or source = ?1 order by at_ms desc limit 1 offset ?2";
            let own = nth(text, Some(source), limits.most_each)?;
            let all = nth(text, None, limits.most)?;
            if let Some(at_ms) = own.max(all) {
                return Ok(Some(at_ms + limits.within_ms));
            }
            work.execute("insert into attempt (source, at_ms) values (?1, ?2)", params![source, now_ms])?;
            Ok(None)
        })
    }
}

/// How many attempts to come in are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attempts {
    /// Within how long, ms.
    pub within_ms: i64,
    /// From one source.
    pub most_each: u32,
    /// From all together.
    pub most: u32,
}

fn void_codes(work: &rusqlite::Connection, farm: &str, name: &str, now_ms: i64) -> Result<(), StoreError> {
    let text = "update pairing set used_ms = ?3 where farm = ?1 and name = ?2 and used_ms is null";
    work.execute(text, params![farm, name, now_ms])?;
    Ok(())
}

fn put_person(work: &rusqlite::Connection, person: &Person) -> Result<(), StoreError> {
    work.execute(
        "insert into person (id, farm, name, role, made_ms, ended_ms) values (?1, ?2, ?3, ?4, ?5, ?6) on conflict (id) do
         update set name = excluded.name, role = excluded.role, ended_ms = excluded.ended_ms",
        params![person.id, person.farm, person.name, person.role.key(), person.made_ms, person.ended_ms],
    )?;
    Ok(())
}

fn put_device(work: &rusqlite::Connection, device: &Device) -> Result<(), StoreError> {
    work.execute(
        "insert into device (id, farm, person, name, made_ms, ended_ms) values (?1, ?2, ?3, ?4, ?5, ?6) on conflict (id) do
         update set name = excluded.name, person = excluded.person, ended_ms = excluded.ended_ms",
        params![device.id, device.farm, device.person, device.name, device.made_ms, device.ended_ms],
    )?;
    Ok(())
}
