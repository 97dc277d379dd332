//! The harvest day's own figures and helpers.

use crate::clerk::{Clerk, Desk};
use crate::line_card::{Group, GroupKind, LineCard};
use crate::means::StartOfWork;
use crate::reasons::Wrong;

pub(super) fn line(clerk: &mut Clerk, top: &Desk<'_>) -> LineCard {
    let groups = groups(clerk, top);
    if !top.has("line") {
        return LineCard { groups, ..LineCard::default() };
    }
    let desk = clerk.section(top, "line");
    let whole = |clerk: &mut Clerk, key: &str| desk.has(key).then(|| clerk.whole(&desk, key));
    let card = LineCard {
        haul_h: clerk.quantity(&desk, "haul"),
        haul_hands: whole(clerk, "haul_hands"),
        hauls: whole(clerk, "hauls"),
        haul_share: clerk.quantity(&desk, "haul_takes"),
        gather_kg_h: clerk.quantity(&desk, "gather"),
        dip_kg_h: clerk.quantity(&desk, "dip"),
        carry_h: clerk.quantity(&desk, "carry"),
        rinse_kg_h: clerk.quantity(&desk, "rinse"),
        sort_kg_h: clerk.quantity(&desk, "sort"),
        weigh_h: clerk.quantity(&desk, "weigh"),
        scales: whole(clerk, "scales"),
        tubs: whole(clerk, "tubs"),
        tub_kg: clerk.quantity(&desk, "tub_holds"),
        load_kg_h: clerk.quantity(&desk, "load"),
        head_h: clerk.quantity(&desk, "head"),
        wash_kg_h: clerk.quantity(&desk, "wash"),
        pack_kg_h: clerk.quantity(&desk, "pack"),
        groups,
    };
    clerk.no_other_keys(&desk);
    card
}

fn groups(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<Group> {
    let mut groups = Vec::new();
    for row in clerk.sections(top, "helper") {
        let kind = match clerk.word(&row, "kind") {
            Some(1) => GroupKind::FirstTimer,
            Some(2) => GroupKind::Volunteer,
            Some(3) => GroupKind::Minor,
            _ => GroupKind::Helper,
        };
        let (from_h, until_h) = (hour(clerk, &row, "from"), hour(clerk, &row, "until"));
        groups.push(Group {
            name: clerk.text(&row, "name").unwrap_or_default(),
            count: clerk.whole(&row, "count"),
            kind,
            from_h,
            until_h,
            sure: row.has("sure") && clerk.yes_no(&row, "sure"),
            days: clerk.days(&row, "days"),
        });
        clerk.no_other_keys(&row);
    }
    groups
}

fn hour(clerk: &mut Clerk, row: &Desk<'_>, key: &str) -> Option<f64> {
    match clerk.clock(row, key)? {
        StartOfWork::Clock(hours) => Some(hours),
        StartOfWork::FirstLight => {
            clerk.refuse(row, key, Wrong::NotATime);
            None
        }
    }
}
