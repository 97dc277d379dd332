//! Moments as a date field writes them, by the farm's own clock.

use units::{Day, Instant, Zone};

use crate::served::Served;

/// Now by the farm's pages: the clock when they show today, else the morning they were asked for.
pub fn now(facts: &Served, now_ms: i64) -> (Instant, bool) {
    let zone = &facts.farm.place.zone;
    let clock = Instant(now_ms.div_euclid(1000));
    if zone.day_and_second(clock).0 == facts.on {
        return (clock, true);
    }
    let face = i64::from(facts.on.0) * 86_400 + i64::from(facts.now_hour) * 3600;
    (from_face(face, zone), false)
}

fn from_face(face_s: i64, zone: &Zone) -> Instant {
    let guess = face_s - i64::from(zone.offset_s(Instant(face_s)));
    // Again, for days on which the clock changes.
    Instant(face_s - i64::from(zone.offset_s(Instant(guess))))
}

/// A moment as a date field writes it.
pub fn written(at: Instant, zone: &Zone) -> String {
    let (day, second) = zone.day_and_second(at);
    format!("{day}T{:02}:{:02}", second / 3600, second / 60 % 60)
}

/// A moment from a date field.
pub fn moment(text: &str, zone: &Zone) -> Option<Instant> {
    let (date, time) = text.trim().split_once(['T', ' '])?;
    let mut parts = date.split('-').map(|part| part.parse::<i32>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let day = Day::new(year.try_into().ok()?, month.try_into().ok()?, day.try_into().ok()?)?;
    let mut clock = time.split(':').map(|part| part.parse::<i64>().ok());
    let (hour, minute) = (clock.next()??, clock.next()??);
    if !(0..24).contains(&hour) || !(0..60).contains(&minute) {
        return None;
    }
    Some(from_face(i64::from(day.0) * 86_400 + hour * 3600 + minute * 60, zone))
}
