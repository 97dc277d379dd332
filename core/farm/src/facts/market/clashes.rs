//! What cannot be as it was written: shown with what is missing, never set right by itself.

use std::collections::{BTreeMap, BTreeSet};

use units::{Instant, Money};

use super::{Good, Handed, Market, Pool, Sold, SoldAs, Supply, Unread};

/// Less than this is no difference, kg or pieces.
const HAIR: f64 = 1e-6;
/// Two lines alike within so many ms may be one typed twice.
const TWICE_MS: i64 = 3 * 60_000;
/// Most tails that whole weight gives: as the day's balance (`harvest::balance`).
const TAIL_SHARE_MOST: f64 = 0.6;

/// What does not fit together.
#[derive(Debug, Clone, PartialEq)]
pub enum Clash {
    /// A table sold more than it was handed: by so much (kg or pieces), and lines of it that are alike and close in time.
    TableOver {
        /// The table.
        table: String,
        /// What.
        good: Good,
        /// By how much.
        over: f64,
        /// Marks of lines that look typed twice.
        alike: Vec<String>,
    },
    /// More was handed out than the harvest's balance can supply, kg.
    HandedOver(Pool, f64),
    /// More was sold than the harvest's balance can supply, kg.
    SoldOver(Pool, f64),
    /// A line dated before anything was caught; its mark.
    BeforeHarvest(String),
    /// Two phones sold for one table.
    TwoPhones {
        /// The table.
        table: String,
        /// How many.
        phones: usize,
    },
    /// A line takes back what was never sold, or more of it than was sold; its mark.
    BackOver(String),
    /// More money was given back than was paid: by how much, and the marks of what was given back.
    GivenBackOver {
        /// By how much.
        over: Money,
        /// Marks of the payments.
        payments: Vec<String>,
    },
    /// An entry counts for nothing until somebody looks: kind, mark, why.
    Unread(String, String, Unread),
}

/// What one table has of one good.
#[derive(Debug, Clone, PartialEq)]
pub struct Stand {
    /// The table.
    pub table: String,
    /// What.
    pub good: Good,
    /// Handed to it, kg or pieces.
    pub handed_amount: f64,
    /// Counted back from it.
    pub back_amount: f64,
    /// Sold by it, less what came back to be sold again.
    pub sold_amount: f64,
    /// Of what it sold, came back and cannot be sold again.
    pub spoilt_amount: f64,
    /// Its price, as it was handed last.
    pub pays: Option<crate::trade::Pays>,
    /// Its lot, as it was handed last.
    pub lot: Option<String>,
}

impl Stand {
    /// What it has left; below nothing is a clash.
    pub fn left(&self) -> f64 {
        self.handed_amount - self.back_amount - self.sold_amount
    }
}

impl SoldAs {
    /// What it is sold from.
    pub fn pool(self) -> Pool {
        match self {
            SoldAs::Live => Pool::Live,
            SoldAs::Tails => Pool::Tails,
            SoldAs::Whole | SoldAs::Piece | SoldAs::Seconds => Pool::Whole,
        }
    }
}

/// What a sold line takes from the table: nothing comes back to it but what can be sold again.
fn taken(line: &Sold, amount: f64) -> f64 {
    match (line.takes_back.is_some(), line.again) {
        (false, _) => amount,
        (true, true) => -amount,
        (true, false) => 0.0,
    }
}

impl Market {
    /// What each table has of each good, in order of their names.
    pub fn stands(&self) -> Vec<Stand> {
        let mut stands: BTreeMap<(String, Good), Stand> = BTreeMap::new();
        let empty = |table: &str, good: &Good| Stand {
            table: table.to_owned(),
            good: good.clone(),
            handed_amount: 0.0,
            back_amount: 0.0,
            sold_amount: 0.0,
            spoilt_amount: 0.0,
            pays: None,
            lot: None,
        };
        for one in &self.handed {
            let key = (one.table.clone(), one.good.clone());
            let stand = stands.entry(key).or_insert_with(|| empty(&one.table, &one.good));
            if one.back {
                stand.back_amount += one.amount;
            } else {
                stand.handed_amount += one.amount;
                stand.pays = one.pays.or(stand.pays);
                stand.lot = one.lot.clone().or(stand.lot.take());
            }
        }
        for line in &self.sold {
            let key = (line.table.clone(), line.good.clone());
            let stand = stands.entry(key).or_insert_with(|| empty(&line.table, &line.good));
            stand.sold_amount += taken(line, line.amount);
            if line.takes_back.is_some() && !line.again {
                stand.spoilt_amount += line.amount;
            }
        }
        stands.into_values().collect()
    }

    /// Mean weight of a piece of a good that was handed out with its weight, kg.
    fn piece_kg(&self, good: &Good) -> Option<f64> {
        let weighed = self.handed.iter().filter(|one| one.good == *good && !one.back);
        let (kg, pieces) = weighed
            .filter_map(|one| Some((one.weight_kg?, one.amount)))
            .fold((0.0, 0.0), |(kg, pieces), (more_kg, more)| (kg + more_kg, pieces + more));
        (pieces > 0.0).then_some(kg / pieces)
    }

    /// The same, and where none was handed out with its weight what a piece of its size likely weighs: the middle of its size, else the mean of the
    /// animals that were counted at the scale.
    fn piece_about_kg(&self, good: &Good) -> Option<f64> {
        let middle = |(from_g, to_g): (f64, f64)| match to_g.is_finite() {
            true => 0.5 * (from_g + to_g) / 1000.0,
            false => from_g / 1000.0,
        };
        let sized = super::size_g(&good.size).filter(|(from_g, _)| *from_g > 0.0).map(middle);
        self.piece_kg(good).or(sized).or(self.counted_piece_kg)
    }

    /// Whether what stands for a pool is partly a weight that nobody weighed: pieces by their size.
    pub fn is_about(&self, pool: Pool) -> bool {
        let guessed = |good: &Good, weight_kg: Option<f64>| {
            good.sold_as.by_piece()
                && good.sold_as.pool() == pool
                && weight_kg.is_none()
                && self.piece_kg(good).is_none()
        };
        self.handed.iter().any(|one| guessed(&one.good, one.weight_kg))
            || self.sold.iter().any(|one| guessed(&one.good, one.weight_kg))
    }

    /// What a line takes from its pool, kg; pieces by the weight they were handed out with, else about. Below nothing when it comes back to be sold
    /// again.
    pub fn taken_kg(&self, line: &Sold) -> f64 {
        taken(line, line.weight_kg.unwrap_or_else(|| line.amount * self.piece_about_kg(&line.good).unwrap_or(0.0)))
    }

    /// What was sold from a pool, kg.
    pub fn sold_kg(&self, pool: Pool) -> f64 {
        let lines = self.sold.iter().filter(|line| line.good.sold_as.pool() == pool);
        lines.map(|line| self.taken_kg(line)).fold(0.0, |sum, kg| sum + kg)
    }

    /// What was handed out of a pool and did not come back, kg.
    pub fn handed_out_kg(&self, pool: Pool) -> f64 {
        self.handed_out(pool, &|good| self.piece_about_kg(good))
    }

    fn handed_out(&self, pool: Pool, piece_kg: &dyn Fn(&Good) -> Option<f64>) -> f64 {
        let of = self.handed.iter().filter(|one| one.good.sold_as.pool() == pool);
        let kg = |one: &Handed| {
            let kg = one.weight_kg.unwrap_or_else(|| one.amount * piece_kg(&one.good).unwrap_or(0.0));
            if one.back { -kg } else { kg }
        };
        of.map(kg).fold(0.0, |sum, kg| sum + kg)
    }

    /// What was surely sold from a pool, kg: a piece that nobody weighed is no ground for a clash.
    fn surely_sold_kg(&self, pool: Pool) -> f64 {
        let lines = self.sold.iter().filter(|line| line.good.sold_as.pool() == pool);
        let kg = |line: &Sold| line.weight_kg.unwrap_or_else(|| line.amount * self.piece_kg(&line.good).unwrap_or(0.0));
        lines.map(|line| taken(line, kg(line))).fold(0.0, |sum, kg| sum + kg)
    }

    /// Everything that does not fit together. `known` is what the harvest's balance supplies.
    pub fn clashes(&self, known: &Supply) -> Vec<Clash> {
        let mut found: Vec<Clash> =
            self.unread.iter().map(|(kind, id, why)| Clash::Unread(kind.clone(), id.clone(), *why)).collect();
        for stand in self.stands().into_iter().filter(|stand| stand.left() < -HAIR) {
            let alike = self.alike_at(&stand.table, &stand.good);
            found.push(Clash::TableOver { over: -stand.left(), table: stand.table, good: stand.good, alike });
        }
        let sold = [Pool::Live, Pool::Whole, Pool::Tails].map(|pool| (pool, self.surely_sold_kg(pool)));
        let handed = [Pool::Live, Pool::Whole, Pool::Tails]
            .map(|pool| (pool, self.handed_out(pool, &|good| self.piece_kg(good))));
        found.extend(over(&handed, known).into_iter().map(|(pool, kg)| Clash::HandedOver(pool, kg)));
        found.extend(over(&sold, known).into_iter().map(|(pool, kg)| Clash::SoldOver(pool, kg)));
        let early = |at: Instant| known.first.is_none_or(|first| at < first);
        let before = self.sold.iter().filter(|line| early(line.entered.at));
        found.extend(before.map(|line| Clash::BeforeHarvest(line.entered.id.clone())));
        found.extend(self.two_phones());
        found.extend(self.back_over());
        let given = self.accounts().into_values().filter(|account| account.paid.coins < 0);
        found.extend(given.map(|account| Clash::GivenBackOver {
            over: Money { coins: -account.paid.coins },
            payments: account.given_back,
        }));
        found
    }

    /// Tables that several phones sold for.
    fn two_phones(&self) -> Vec<Clash> {
        let mut devices: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for line in &self.sold {
            devices.entry(&line.table).or_default().insert(&line.entered.device);
        }
        let many = devices.into_iter().filter(|(_, devices)| devices.len() > 1);
        many.map(|(table, devices)| Clash::TwoPhones { table: table.to_owned(), phones: devices.len() }).collect()
    }

    /// Lines that take back more than was sold.
    fn back_over(&self) -> Vec<Clash> {
        let mut left: BTreeMap<&str, (f64, &Good)> = self
            .sold
            .iter()
            .filter(|line| line.takes_back.is_none())
            .map(|line| (line.entered.id.as_str(), (line.amount, &line.good)))
            .collect();
        let mut found = Vec::new();
        for line in &self.sold {
            let Some(of) = &line.takes_back else { continue };
            match left.get_mut(of.as_str()) {
                Some((amount, good)) if **good == line.good && *amount >= line.amount - HAIR => *amount -= line.amount,
                _ => found.push(Clash::BackOver(line.entered.id.clone())),
            }
        }
        found
    }

    /// Lines of a table that are alike and close in time: the later of each two.
    fn alike_at(&self, table: &str, good: &Good) -> Vec<String> {
        let lines: Vec<&Sold> = self
            .sold
            .iter()
            .filter(|line| line.table == table && line.good == *good && line.takes_back.is_none())
            .collect();
        let is_twin = |(at, line): &(usize, &&Sold)| {
            lines[..*at]
                .iter()
                .rev()
                .take_while(|one| line.entered.typed_ms - one.entered.typed_ms <= TWICE_MS)
                .any(|one| (one.amount - line.amount).abs() < HAIR && one.pays == line.pays)
        };
        lines.iter().enumerate().filter(is_twin).map(|(_, line)| line.entered.id.clone()).collect()
    }
}

/// By how much amounts go beyond what there was. Whole weight that lies nobody knows where can be any of them.
fn over(amounts: &[(Pool, f64); 3], known: &Supply) -> Vec<(Pool, f64)> {
    let mut unsorted_kg = known.unsorted_kg;
    let mut found = Vec::new();
    for &(pool, kg) in amounts {
        let share = if pool == Pool::Tails { TAIL_SHARE_MOST } else { 1.0 };
        let beyond = (kg - known.of(pool).max(0.0)).max(0.0);
        let from_unsorted = beyond.min(share * unsorted_kg);
        unsorted_kg -= from_unsorted / share;
        if beyond - from_unsorted > HAIR {
            found.push((pool, beyond - from_unsorted));
        }
    }
    found
}
