//! Who comes: owners, helpers counted on, groups that may come; and where each stands first.

use farm::{Farm, GroupKind};
use harvest::{Hand, HandKind, Post};
use units::Day;

use super::{DayWish, Who};

/// Where a hand comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Group {
    /// An owner.
    Owner,
    /// A helper counted under the crew.
    Helper,
    /// One of a group, by its name.
    Named(String),
    /// As asked for.
    Asked,
}

/// One hand of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewMember {
    /// Where from.
    pub group: Group,
    /// Place, hours, kind.
    pub hand: Hand,
}

/// Earlier than the work begins, h: lights, headcount, who goes where.
const BEFORE_H: f64 = 0.5;

/// Where hands are put before better places are looked for.
const SPREAD: [Post; 5] = [Post::Water, Post::Bank, Post::Water, Post::Bank, Post::Table];

/// The crews to be told, everybody first.
pub(super) fn crews(
    farm: &Farm,
    on: Day,
    wish: &DayWish,
    (from_h, until_h): (f64, f64),
) -> Vec<(Who, Vec<CrewMember>)> {
    let hand = |kind: HandKind, sure: bool, from_h: f64, until_h: f64| {
        let pace = kind.pace();
        Hand { kind, from_h, until_h, post: Post::Bank, sure, pace }
    };
    let (from_h, until_h) = (from_h - BEFORE_H, until_h);
    let counted = farm.crew.hands(on);
    let owners = farm.crew.owners.min(counted);
    let sure_helpers = farm.crew.helpers_sure.unwrap_or(0);
    let mut all: Vec<CrewMember> = (0..counted)
        .map(|place| {
            let (group, kind) =
                if place < owners { (Group::Owner, HandKind::Owner) } else { (Group::Helper, HandKind::Helper) };
            CrewMember { group, hand: hand(kind, place < owners + sure_helpers, from_h, until_h) }
        })
        .collect();
    for group in farm.line.groups.iter().filter(|group| comes(group, on)) {
        let kind = match group.kind {
            GroupKind::Helper => HandKind::Helper,
            GroupKind::FirstTimer => HandKind::FirstTimer,
            GroupKind::Volunteer => HandKind::Volunteer,
            GroupKind::Minor => HandKind::Minor,
        };
        let hand = hand(kind, group.sure, group.from_h.unwrap_or(from_h).max(from_h), group.until_h.unwrap_or(until_h));
        all.extend((0..group.count).map(|_| CrewMember { group: Group::Named(group.name.clone()), hand }));
    }
    let sure: Vec<CrewMember> = all.iter().filter(|one| one.hand.sure).cloned().collect();
    let is_same = sure.len() == all.len();
    let mut crews = vec![(Who::Everybody, all)];
    if !is_same {
        crews.push((Who::Sure, sure));
    }
    if let Some(count) = wish.hands {
        let one = CrewMember { group: Group::Asked, hand: hand(HandKind::Helper, true, from_h, until_h) };
        crews.push((Who::Asked, vec![one; count as usize]));
    }
    for (_, crew) in &mut crews {
        spread(crew);
    }
    crews
}

fn comes(group: &farm::Group, on: Day) -> bool {
    group.days.is_empty() || group.days.iter().any(|days| days.contains(on))
}

/// An even share; nobody is put where their kind may do nothing.
fn spread(crew: &mut [CrewMember]) {
    for (place, one) in crew.iter_mut().enumerate() {
        let wanted = SPREAD[place % SPREAD.len()];
        let may = |post: Post| {
            let tasks = harvest::Task::ALL.iter().filter(|task| task.post() == post);
            tasks.filter(|task| one.hand.kind.may(**task) == harvest::AllowedBy::Yes).count()
        };
        let post = if may(wanted) >= 2 { wanted } else { Post::Bank };
        one.hand.post = post;
    }
}

/// How many hands stand where.
pub fn at_post(crew: &[CrewMember], post: Post) -> usize {
    crew.iter().filter(|one| one.hand.post == post).count()
}
