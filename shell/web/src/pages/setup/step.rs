//! One page of the set-up.

use farm::inputs::inputs;
use farm::setup::{Draft, STEPS, Step, asked, is_us_customary};
use maud::{Markup, html};
use words::figures::Manner;
use words::page_setup as say;

use super::fields::{Drawn, mark, one, sections};
use super::{address, checked, next, place, weather};
use crate::assets;
use crate::parts::frame::{self, Frame, Here, unkept};
use crate::parts::sketch;
use crate::site::Site;

/// What a page is drawn with.
pub struct Shown {
    /// Short name of the farm; `None` before it is begun.
    pub farm: Option<String>,
    /// The page.
    pub step: &'static Step,
    /// Which pond.
    pub row: Option<usize>,
    /// The answers.
    pub draft: Draft,
    /// What is wrong, by address.
    pub slips: Vec<(String, String)>,
    /// What is odd, by address.
    pub odd: Vec<(String, String)>,
    /// The town asked for.
    pub town: String,
    /// Towns found for it, by their place in the table.
    pub towns: Option<Vec<usize>>,
    /// The list that gets one more row.
    pub add: String,
    /// Why the record could not keep it.
    pub unkept: Option<String>,
    /// What is said of a file that was just brought.
    pub brought: Option<Markup>,
}

impl Shown {
    /// A page with nothing to say yet.
    pub fn new(farm: Option<&str>, step: &'static Step, row: Option<usize>, draft: Draft) -> Shown {
        let farm = farm.map(str::to_owned);
        let (slips, odd, town, add) = (Vec::new(), Vec::new(), String::new(), String::new());
        Shown { farm, step, row, draft, slips, odd, town, towns: None, add, unkept: None, brought: None }
    }

    /// The person's own units, as far as they can be told.
    pub fn manner(&self) -> Manner {
        manner(&self.draft)
    }
}

/// The units a draft is typed in.
pub fn manner(draft: &Draft) -> Manner {
    let money = draft.get("farm.currency");
    let us = if money.is_empty() { true } else { is_us_customary(&draft.file().text) };
    if us { Manner::UsCustomary } else { Manner::Metric }
}

/// The page.
pub fn page(site: &Site, shown: &Shown) -> Markup {
    let step = shown.step;
    let place = 1 + STEPS.iter().position(|other| other.id == step.id).unwrap_or(0);
    let title = match shown.row {
        Some(row) => say::pond(row + 1, shown.draft.get(&format!("pond.{row}.name"))),
        None => say::title(step.id).to_owned(),
    };
    let body = html! {
        section.logbook.setup {
            p.small { (say::place_of(place, STEPS.len() + 1)) }
            h1 { (title) }
            p.reason { (say::lead(step.id)) }
            @if let Some(why) = &shown.unkept { (unkept(why)) }
            (remarks(shown))
            @if step.id == "weather" { (weather::form(site, shown)) } @else { (form(site, shown)) }
            @if shown.farm.is_some() { (ways(shown)) }
        }
        script type="module" src=(assets::sketch()) {}
    };
    in_frame(site, shown.farm.as_deref(), shown.draft.get("farm.name"), &title, body)
}

/// A page of the set-up within the farm's frame, once the farm stands; alone before.
pub fn in_frame(site: &Site, farm: Option<&str>, name: &str, title: &str, body: Markup) -> Markup {
    match farm.filter(|farm| site.desk(farm).is_some()) {
        Some(farm) => {
            let name = if name.is_empty() { say::NO_NAME } else { name };
            let frame = Frame {
                farm_id: farm,
                farm: name,
                is_sample: false,
                day: say::MAST.to_owned(),
                title,
                here: Here::Setup,
                again_s: None,
                again_at: None,
            };
            frame::page(&frame, body)
        }
        None => frame::bare(title, html! { (body) p.onward { a href="/farms" { (say::ALL_FARMS) } } }),
    }
}

/// What is wrong and what is odd, each with the way to its field.
fn remarks(shown: &Shown) -> Markup {
    let on = |at: &str| {
        let first = at.replace(".area", ".paces_long");
        mark(if asked(at).is_some() { at } else { &first })
    };
    let list = |all: &[(String, String)]| html! { ul { @for (at, said) in all { li { a href=(format!("#{}", on(at))) { (said) } } } } };
    let onward = shown.farm.as_ref().map(|farm| next(farm, shown.step, shown.row, &shown.draft));
    html! {
        @if !shown.slips.is_empty() {
            div.trouble role="alert" {
                p { (say::LOOK_AGAIN) }
                (list(&shown.slips))
                @if let Some(to) = &onward { p.onward { a href=(to) { (say::LATER) } } }
            }
        }
        @if !shown.odd.is_empty() {
            div.oddly role="status" {
                p { (say::ODD) }
                (list(&shown.odd))
                @if let Some(to) = &onward { p.onward { a href=(to) { (say::MEANT) } } }
            }
        }
    }
}

fn form(site: &Site, shown: &Shown) -> Markup {
    let step = shown.step;
    let drawn = Drawn { draft: &shown.draft, slips: &shown.slips, odd: &shown.odd, manner: shown.manner() };
    let to = match &shown.farm {
        Some(farm) => address(farm, step, shown.row),
        None => "/setup".to_owned(),
    };
    let mut town_shown = false;
    html! {
        form.entry.setup-form method="post" action=(to) data-sketch=[shown.row.map(|row| format!("pond.{row}"))] {
            // What Enter presses: to go on, not to find or to draw.
            button.unseen type="submit" tabindex="-1" aria-hidden="true" { (say::KEEP) }
            @for asked in step.asked {
                @for section in rows(shown, asked.section) {
                    @for name in asked.first { (one(&drawn, &format!("{section}.{name}"))) }
                    @if asked.section.ends_with(".*") && !asked.first.is_empty() && shown.draft.rows(list_of(asked.section)) > 1 { (take_out(&section)) }
                }
                @if step.id == "place" && !std::mem::replace(&mut town_shown, true) { (town(site, shown)) }
                @if asked.section.ends_with(".*") && !asked.first.is_empty() { (one_more(asked.section)) }
                @if asked.first.contains(&"deep_depth") { (sketch::drawing(&shown.draft, shown.row.unwrap_or(0), shown.manner())) }
            }
            @if step.id == "memory" { (from_memory(&shown.draft, shown.manner())) }
            (later(shown, &drawn))
            button.main type="submit" { (say::KEEP) }
            @if shown.row.is_some_and(|row| row + 1 >= shown.draft.rows("pond")) {
                button type="submit" name="do" value="pond" { (say::ADD_POND) }
            }
        }
        @if let (Some(farm), Some(row)) = (&shown.farm, shown.row.filter(|row| *row < shown.draft.rows("pond") && shown.draft.rows("pond") > 1)) {
            form method="post" action=(format!("/f/{farm}/setup/ponds/{row}/removal")) { button type="submit" { (say::REMOVE_POND) } }
        }
    }
}

fn list_of(section: &str) -> &str {
    section.trim_end_matches(".*")
}

/// The sections of an entry that are drawn: the rows there are, one where none is, and one more when asked for.
fn rows(shown: &Shown, section: &str) -> Vec<String> {
    let list = list_of(section);
    let is_first = list == "price" && shown.draft.rows(list) == 0;
    sections(&shown.draft, section, shown.row, is_first || shown.add == list)
}

fn one_more(section: &str) -> Markup {
    html! { p { button type="submit" name="do" value=(format!("add:{}", list_of(section))) { (say::ADD_ROW) } } }
}

fn take_out(section: &str) -> Markup {
    html! { p { button type="submit" name="do" value=(format!("remove:{section}")) { (say::REMOVE_ROW) } } }
}

/// What can wait, one tap away; open where something in it must be seen.
fn later(shown: &Shown, drawn: &Drawn) -> Markup {
    let all: Vec<_> = shown.step.asked.iter().filter(|asked| !asked.later.is_empty()).collect();
    if all.is_empty() {
        return html! {};
    }
    let within = |at: &str| {
        all.iter().any(|asked| {
            rows(shown, asked.section)
                .iter()
                .any(|section| asked.later.iter().any(|name| at == format!("{section}.{name}")))
        })
    };
    let mut said = shown.slips.iter().chain(&shown.odd);
    let is_open = said.any(|(at, _)| within(at)) || (!shown.add.is_empty() && shown.add != "price");
    html! {
        details.later open[is_open] {
            summary { (say::MORE) }
            @for asked in &all {
                @let is_list = asked.section.ends_with(".*");
                @let all_rows = rows(shown, asked.section);
                @if let Some(head) = heading(asked.section).filter(|_| asked.first.is_empty()) { h2.small { (head) } }
                @for section in &all_rows {
                    @for name in asked.later { (one(drawn, &format!("{section}.{name}"))) }
                    @if is_list && asked.first.is_empty() { (take_out(section)) }
                }
                @if is_list && asked.first.is_empty() { (one_more(asked.section)) }
            }
        }
    }
}

/// The question over a section.
fn heading(section: &str) -> Option<&'static str> {
    let name = list_of(section).rsplit('.').next().filter(|name| *name != "#" && *name != "farm")?;
    inputs().find(|input| input.key == format!("farm.{name}")).map(|input| input.question)
}

/// The town nearby, and those found.
fn town(site: &Site, shown: &Shown) -> Markup {
    html! {
        div.field.town {
            label for="e-town" { (say::TOWN) }
            span.typed {
                input #e-town type="text" name="town_name" value=(shown.town) autocomplete="off" maxlength="200" aria-describedby="h-town";
                button type="submit" name="do" value="find" { (say::FIND) }
            }
            p.hint #h-town { (say::TOWN_SAYS) }
        }
        @match shown.towns.as_deref() {
            None => {},
            Some([]) => p.wrong role="status" { (say::NO_TOWN) },
            Some(found) => {
                fieldset.towns role="group" {
                    legend { (say::TOWNS_FOUND) }
                    @for (at, town) in place::towns(site).enumerate().filter(|(at, _)| found.contains(at)) {
                        button type="submit" name="do" value=(format!("town:{at}")) { (say::town(town.name, town.region, town.country)) }
                    }
                }
            }
        }
        p.hint { (say::TOWNS_CREDIT) }
    }
}

/// What memory sets, once it can be reckoned.
fn from_memory(draft: &Draft, manner: Manner) -> Markup {
    let farm = checked::Checked::of(draft).examined.farm;
    let told = farm.map(|farm| farm.told).unwrap_or_default();
    let lines = told.iter().map(|told| say::told_sets(told.key, told.value, manner)).filter(|line| !line.is_empty());
    html! { @for line in lines { p.told { (line) } } }
}

/// The other pages.
fn ways(shown: &Shown) -> Markup {
    let Some(farm) = &shown.farm else { return html! {} };
    html! {
        nav.kinds aria-label=(say::STEPS) {
            ul {
                @for step in STEPS {
                    li { a href=(address(farm, step, Some(0))) aria-current=[(step.id == shown.step.id).then_some("step")] { (say::title(step.id)) } }
                }
                li { a href=(format!("/f/{farm}/setup")) { (say::TO_REVIEW) } }
            }
        }
    }
}
