//! The answer as a page of text, for a terminal.

use season::answer::Band;
use season::drain::Drain;

use super::{
    FOLLOW, UNCHECKED, at_short, beside_plan, cautions, early, fuels, headline, if_row, last, level, marks, outside,
    shorts, takes, volume, water,
};
use crate::figures::{Manner, bare, day};
use crate::morning::Lines;

/// The whole page.
pub fn page(drain: &Drain, manner: Manner) -> String {
    let mut out = Lines::default();
    out.line(&format!("{}: {} emptied for {}", drain.farm, drain.pond, day(drain.catch_day)));
    out.blank();
    out.wrapped(&headline(drain, manner));
    early(drain, manner).iter().for_each(|said| out.wrapped(said));
    for said in shorts(drain, manner) {
        out.wrapped(&said);
    }
    out.wrapped(&takes(drain));
    outside(drain, manner).iter().for_each(|said| out.wrapped(said));
    beside_plan(drain, manner).iter().for_each(|said| out.wrapped(said));
    if let Some(said) = fuels(drain, manner) {
        out.wrapped(&said);
    }
    out.blank();
    out.line("By the clock");
    for [when, what, level] in marks(drain, manner) {
        out.line(&format!("  {when:<22} {level:>11}  {what}"));
    }
    out.blank();
    table(&mut out, drain, manner);
    if let Some(told) = &drain.water {
        out.blank();
        out.line("Its water on the way");
        for said in water(drain, told, manner) {
            out.wrapped(&said);
        }
        out.wrapped(FOLLOW);
        out.wrapped(UNCHECKED);
    }
    if !drain.ifs.is_empty() {
        out.blank();
        out.line("What would change it           open                   lowest water       animals stop");
        for one in &drain.ifs {
            let [what, open, warmer, slow] = if_row(drain, one, manner);
            out.line(&format!("  {what:<42} {open:<22} {warmer:<14} {slow}"));
        }
    }
    if let Some(told) = &drain.last {
        out.blank();
        out.line("Oxygen in the last water");
        for said in last(told, manner) {
            out.wrapped(&said);
        }
    }
    out.blank();
    for (step, said) in cautions(drain) {
        out.wrapped(&format!("{step}: {said}"));
    }
    out.text
}

/// Level, bare floor, water left and the water of the places, every two hours.
fn table(out: &mut Lines, drain: &Drain, manner: Manner) {
    let opening = &drain.opening;
    let end_h = opening.course.end_hours();
    out.line(&format!(
        "  {:<22} {:>11} {:>6}  {:>16}  {:>8} {:>8} {:>8}",
        "", "by drain", "bare", "left", "shallow", "middle", "drain"
    ));
    // Every two hours, then the end: a row that is no quarter of an hour before it would tell the same.
    let rows = (end_h / 2.0).ceil() as usize;
    let every = (0..rows).map(|row| 2.0 * row as f64).filter(|at_h| end_h - at_h > 0.25);
    for at_h in every.chain([end_h]) {
        let clock_h = opening.start_h + at_h;
        let place = |which: usize| -> String {
            let hours = drain.water.iter().flat_map(|water| &water.hours);
            let near = hours.min_by(|a, b| (a.at_h - clock_h).abs().total_cmp(&(b.at_h - clock_h).abs()));
            let told: Option<Band> = near.and_then(|hour| hour.places.get(which).copied().flatten()).map(|p| p.mean_c);
            told.map_or("-".to_owned(), |band| format!("{}°", bare(band.middle, manner)))
        };
        out.line(&format!(
            "  {:<22} {:>11} {:>5.0}%  {:>16}  {:>8} {:>8} {:>8}",
            at_short(drain, clock_h, manner),
            level(opening.course.stage_m(at_h), manner),
            100.0 * opening.course.bare_fraction(at_h),
            volume(opening.course.volume_m3(at_h), manner),
            place(0),
            place(1),
            place(2),
        ));
    }
}
