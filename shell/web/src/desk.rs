//! The engine's desk: one farm's answer, reckoned in the background and kept.
//!
//! A page takes the last answer at once. When what it rests on changes (`replace`), the desk starts again and the old answer
//! stands, with its age, until the new one is there. Questions of the form "and if ..." are kept too, a few at a time.

use std::sync::{Arc, Mutex, MutexGuard};
use std::time::{Duration, Instant};

use season::answer::Outlook;
use season::day::{DayWish, LiveOrder, Rehearsal};
use season::promised::{Buyer, Promised, Stock, buyers, live_orders, promised};
use season::{Drawn, OutlookError};
use units::{Day, Watch};

use crate::keeping;
use crate::pages;
use crate::record::Record;
use crate::scored;
use crate::served::Served;

/// Answers to "and if" that are kept.
const IFS: usize = 24;

/// The last answer as a page finds it.
#[derive(Clone, Default)]
pub struct Kept {
    /// The answer, if there is one yet.
    pub answer: Option<Arc<Outlook>>,
    /// Why the last reckoning gave none.
    pub trouble: Option<OutlookError>,
    /// When the answer was made.
    pub made: Option<Instant>,
    /// How long it took.
    pub took: Option<Duration>,
    /// A newer one is being reckoned.
    pub working: bool,
    /// What the answer was drawn from: the next question may need no new water.
    pub drawn: Option<Arc<Drawn>>,
}

/// An answer that is being reckoned, or stands.
type If = Arc<Mutex<Kept>>;

/// A pond's day, by its place and date, with what it was drawn from.
type Rehearsed = (usize, Day, Arc<Drawn>, Arc<Rehearsal>);

/// The catches shared out: from which answer, to which orders.
type Shared = (Arc<Outlook>, (Vec<Buyer>, Vec<Stock>), Arc<Promised>);

/// One farm's desk.
pub struct Desk {
    facts: Mutex<Arc<Served>>,
    kept: If,
    ifs: Mutex<Vec<(String, If)>>,
    rehearsed: Mutex<Vec<Rehearsed>>,
    watch: Mutex<Arc<Watch>>,
    record: Option<Arc<Record>>,
    promised: Mutex<Option<Shared>>,
}

fn open<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    // A poisoned lock still holds the last whole answer: it is replaced, never edited.
    lock.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// What is reckoned, from what was drawn before, and where it goes.
struct Work {
    facts: Arc<Served>,
    before: Option<Arc<Drawn>>,
    into: If,
    watch: Arc<Watch>,
    record: Option<Arc<Record>>,
    /// The farm's own answer, which is kept; not an "and if".
    is_answer: bool,
}

fn reckon(work: &Work) {
    let Work { facts, into, watch, .. } = work;
    let begun = Instant::now();
    let begun_ms = work.record.as_ref().map_or(0, |record| record.now_ms());
    let yesterday = work.record.as_ref().and_then(|record| keeping::yesterday(record, facts));
    let answer = facts.reckon(work.before.clone(), yesterday.as_ref(), watch);
    if watch.asked_to_stop() {
        return;
    }
    let mut kept = open(into);
    match answer {
        Ok((outlook, drawn)) => {
            let outlook = Arc::new(outlook);
            *kept = Kept {
                answer: Some(Arc::clone(&outlook)),
                trouble: None,
                made: Some(Instant::now()),
                took: Some(begun.elapsed()),
                working: false,
                drawn: Some(drawn),
            };
            drop(kept);
            if let Some(record) = work.record.as_ref().filter(|_| work.is_answer) {
                // An answer that cannot be kept is still an answer; the store says itself on the log's pages what ails it.
                let _ = keeping::keep(record, facts, &outlook, &pages::drawn(facts, &outlook));
                let _ = scored::keep(record, facts, &outlook, begun_ms);
                scored::ready(record, facts);
            }
        }
        Err(error) => {
            // What was answered on another morning, or of a farm that was described otherwise, is no answer for this one.
            *kept = Kept::default();
            kept.trouble = Some(error);
            kept.working = false;
        }
    }
}

fn in_background(work: Work) {
    open(&work.into).working = true;
    std::thread::spawn(move || reckon(&work));
}

impl Kept {
    /// What the answer was drawn from, for further questions of the same morning.
    pub fn drawn(&self) -> Option<Arc<Drawn>> {
        self.drawn.clone()
    }
}

impl Desk {
    /// A desk that begins to reckon at once.
    pub fn new(facts: Served, record: Option<Arc<Record>>) -> Desk {
        let desk = Desk {
            facts: Mutex::new(Arc::new(facts)),
            kept: If::default(),
            ifs: Mutex::default(),
            rehearsed: Mutex::default(),
            watch: Mutex::new(Arc::new(Watch::new())),
            record,
            promised: Mutex::default(),
        };
        in_background(desk.work(None, Arc::clone(&open(&desk.watch))));
        desk
    }

    /// The farm's own answer, to be reckoned.
    fn work(&self, before: Option<Arc<Drawn>>, watch: Arc<Watch>) -> Work {
        let (facts, into) = (self.facts(), Arc::clone(&self.kept));
        Work { facts, before, into, watch, record: self.record.clone(), is_answer: true }
    }

    /// What the answers rest on now.
    pub fn facts(&self) -> Arc<Served> {
        Arc::clone(&open(&self.facts))
    }

    /// Takes new facts (a reading, a forecast) and reckons again; the last answer stands meanwhile.
    pub fn replace(&self, facts: Served) {
        *open(&self.facts) = Arc::new(facts);
        open(&self.ifs).clear();
        let watch = Arc::new(Watch::new());
        std::mem::replace(&mut *open(&self.watch), Arc::clone(&watch)).ask_to_stop();
        in_background(self.work(self.latest().drawn, watch));
    }

    /// The last answer.
    pub fn latest(&self) -> Kept {
        open(&self.kept).clone()
    }

    /// Orders for live animals as they stand now.
    pub fn live_orders(&self) -> Vec<LiveOrder> {
        let (Some(record), facts) = (&self.record, self.facts()) else { return Vec::new() };
        // What cannot be read is told on the sale's own pages.
        let market = record.market(&facts).map(|(market, _)| market).unwrap_or_default();
        live_orders(&buyers(&facts.farm, &market))
    }

    /// A pond's day as it is rehearsed from the last answer; kept while that stands, since its board asks for it with every basket.
    pub fn rehearsal(&self, pond: usize, on: Day) -> Option<Arc<Rehearsal>> {
        let latest = self.latest();
        let (drawn, outlook) = (latest.drawn?, latest.answer?);
        let known = |of: &[Rehearsed]| {
            let found = of.iter().find(|one| one.0 == pond && one.1 == on && Arc::ptr_eq(&one.2, &drawn));
            found.map(|one| Arc::clone(&one.3))
        };
        if let Some(known) = known(&open(&self.rehearsed)) {
            return Some(known);
        }
        let wish = DayWish { on: Some(on), live_orders: self.live_orders(), ..DayWish::default() };
        let made = Arc::new(self.facts().rehearsal(&drawn, &outlook, pond, &wish).ok()?);
        let mut rehearsed = open(&self.rehearsed);
        rehearsed.retain(|one| Arc::ptr_eq(&one.2, &drawn) && (one.0, one.1) != (pond, on));
        rehearsed.push((pond, on, drawn, Arc::clone(&made)));
        Some(made)
    }

    /// The coming catches shared out to these orders, kept until the morning or the orders change: it lives every future anew.
    pub fn promised(&self, drawn: &Drawn, outlook: &Arc<Outlook>, wanted: &[Buyer], stocks: &[Stock]) -> Arc<Promised> {
        if let Some((before, (of, lay), found)) = &*open(&self.promised)
            && Arc::ptr_eq(before, outlook)
            && of == wanted
            && lay == stocks
        {
            return Arc::clone(found);
        }
        let found = Arc::new(promised(&self.facts().ask(None), drawn, outlook, wanted, stocks));
        *open(&self.promised) = Some((Arc::clone(outlook), (wanted.to_vec(), stocks.to_vec()), Arc::clone(&found)));
        found
    }

    /// Seconds from the last change of the answer, for pages that must change with it.
    pub fn age(&self) -> Option<Duration> {
        self.latest().made.map(|made| made.elapsed())
    }

    /// An answer on other facts, found by `key`: begun on the first call, there at a later one.
    pub fn and_if(&self, key: &str, other: impl FnOnce(&Served) -> Served) -> Kept {
        let mut ifs = open(&self.ifs);
        if let Some((_, kept)) = ifs.iter().find(|(known, _)| known == key) {
            return open(kept).clone();
        }
        if ifs.len() >= IFS {
            ifs.remove(0);
        }
        let kept = If::default();
        ifs.push((key.to_owned(), Arc::clone(&kept)));
        drop(ifs);
        in_background(Work {
            facts: Arc::new(other(&self.facts())),
            into: Arc::clone(&kept),
            is_answer: false,
            ..self.work(self.latest().drawn, Arc::new(Watch::new()))
        });
        open(&kept).clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scored::tests::{FARM, kept, served, that_morning};

    #[test]
    fn a_morning_is_kept_and_answered_also_when_it_cannot_be_kept() {
        let of_test = kept("desk", that_morning);
        let record = &of_test.record;
        let into = If::default();
        let work = |facts: Served| Work {
            facts: Arc::new(facts),
            before: open(&into).drawn.clone(),
            into: Arc::clone(&into),
            watch: Arc::new(Watch::new()),
            record: Some(Arc::clone(record)),
            is_answer: true,
        };
        let made = || record.store().last_forecast_ms(FARM).expect("read");
        reckon(&Work { is_answer: false, ..work(served()) });
        assert_eq!(made(), None, "what somebody only asked about is no forecast");
        reckon(&work(served()));
        assert_eq!(made(), Some(that_morning()));
        // Another morning, and the record's file is gone: nothing can be written.
        let (path, lost) = (record.store().path().to_owned(), record.store().path().with_extension("lost"));
        std::fs::rename(&path, &lost).expect("moved");
        let next = Served { on: served().on.plus(1), ..served() };
        reckon(&work(next.clone()));
        assert_eq!(open(&into).answer.as_ref().map(|answer| answer.on), Some(next.on), "an answer all the same");
        std::fs::rename(&lost, &path).expect("moved back");
        assert_eq!(made(), Some(that_morning()));
        // Once it can be written again, the same morning is kept at its next reckoning.
        reckon(&work(next));
        assert!(made() > Some(that_morning()));
        // A morning that has no answer does not show the last one's.
        let over = Served { on: served().farm.season.last_catch.plus(1), ..served() };
        reckon(&work(over));
        assert!(open(&into).answer.is_none() && open(&into).trouble.is_some());
    }
}
