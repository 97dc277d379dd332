//! The frame of every page: head, the farm's name and day, ways to the other pages.

use maud::{DOCTYPE, Markup, html};
use words::page as say;
use words::page_morning::mast;

use crate::assets;
use crate::looked;
use crate::served::Served;
use crate::who::{self, May};

/// Which page of the farm one stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Here {
    /// The morning.
    Morning,
    /// The harvest plan.
    Plan,
    /// The log.
    Log,
    /// The harvest day.
    Harvest,
    /// The sale.
    Sale,
    /// A pond's own page.
    Pond,
    /// What went in and came out.
    Seasons,
    /// The tanks.
    Tanks,
    /// The winter plan.
    Winter,
    /// The books.
    Books,
    /// The sums.
    Sums,
    /// Files out and in.
    Files,
    /// The set-up.
    Setup,
    /// People and phones.
    People,
    /// Any other.
    Elsewhere,
}

/// A page of a farm.
pub struct Frame<'a> {
    /// Its short name.
    pub farm_id: &'a str,
    /// Its name.
    pub farm: &'a str,
    /// It is invented, to be tried and thrown away.
    pub is_sample: bool,
    /// The day it speaks of, in words.
    pub day: String,
    /// The page's own title.
    pub title: &'a str,
    /// Where one stands.
    pub here: Here,
    /// Seconds after which the page should be fetched again; for an answer that is still being reckoned.
    pub again_s: Option<u32>,
    /// The address it is then fetched from; its own when `None`. One that differs from its own in the fragment alone is not fetched.
    pub again_at: Option<String>,
}

impl<'a> Frame<'a> {
    /// A page that speaks of the farm on its day and does not change by itself.
    pub fn of(facts: &'a Served, title: &'a str, here: Here) -> Frame<'a> {
        Frame {
            farm_id: &facts.id,
            farm: &facts.farm.name,
            is_sample: facts.is_sample,
            day: mast(facts.on),
            title,
            here,
            again_s: None,
            again_at: None,
        }
    }
}

/// A page within its frame.
pub fn page(frame: &Frame, body: Markup) -> Markup {
    let base = format!("/f/{}/", frame.farm_id);
    // Crew are not shown ways that are shut to them.
    let may_all = who::now().may == May::All;
    let ways = [
        (Here::Morning, base.clone(), say::MORNING),
        (Here::Plan, format!("{base}plan"), say::PLAN),
        (Here::Log, format!("{base}log"), say::LOG),
        (Here::Harvest, format!("{base}harvest"), words::page_harvest::TITLE),
        (Here::Sale, format!("{base}sale"), words::page_sale::TITLE),
        (Here::Seasons, format!("{base}seasons"), words::page_seasons::TITLE),
        (Here::Tanks, format!("{base}tanks"), words::page_nursery::TITLE),
        (Here::Winter, format!("{base}winter"), words::page_winter::TITLE),
        (Here::Books, format!("{base}books"), words::page_money::TITLE),
        (Here::Sums, format!("{base}sums"), say::SUMS),
        (Here::Files, format!("{base}files"), say::FILES),
        (Here::Setup, format!("{base}setup"), say::SETUP),
        (Here::People, format!("{base}people"), say::PEOPLE),
    ];
    // These change with the answer by themselves; a page on which something is decided or typed does not.
    let is_board = matches!(frame.here, Here::Harvest | Here::Sale) && frame.again_s.is_some();
    let live = is_board || matches!(frame.here, Here::Morning | Here::Pond);
    let inner = html! {
        header.mast {
            p.farm { a href=(base) { (frame.farm) } }
            p.day { @if frame.is_sample { (say::INVENTED) " " } (frame.day) }
            p.on { a href="#ways" { (say::TO_WAYS) } }
        }
        @if live {
            p.since hidden data-newer role="status" { (say::NEWER) " " a href="" { (say::SHOW_NEWER) } }
            p.since hidden data-away role="status" { (say::AWAY) }
            p.since hidden data-stay role="status" { (say::STAY) }
        }
        @if let Some(error) = looked::damage() {
            div.trouble role="alert" {
                p { (say::damaged(&error, may_all)) }
                @if may_all && frame.here != Here::Files { p { a href=(format!("/f/{}/files", frame.farm_id)) { (say::TO_FILES) } } }
            }
        }
        main #main { (body) }
        nav.ways #ways aria-label=(say::WAYS) {
            ul {
                @for (place, to, name) in ways.into_iter().filter(|(place, ..)| may_all || matches!(place, Here::Morning | Here::Log | Here::Harvest | Here::Sale | Here::Seasons | Here::Tanks | Here::Sums)) {
                    li { a href=(to) aria-current=[(place == frame.here).then_some("page")] { (name) } }
                }
            }
        }
    };
    let again = frame.again_s.map(|seconds| match &frame.again_at {
        Some(at) => format!("{seconds};url={at}"),
        None => seconds.to_string(),
    });
    whole(&say::title(frame.title, frame.farm), again, live, inner)
}

/// A page that belongs to no farm.
pub fn bare(title: &str, body: Markup) -> Markup {
    whole(&say::title(title, say::PROGRAM), None, false, html! { main #main { (body) } })
}

/// Above a form that the record could not keep: why, and that what was typed stands below.
pub fn unkept(why: &str) -> Markup {
    html! { div.trouble role="alert" { p { (why) } p { (say::TYPED_STANDS) } } }
}

/// A page of one sentence.
pub fn plain(title: &str, sentence: &str) -> Markup {
    bare(title, html! { h1 { (title) } p { (sentence) } p { a href="/" { (say::BACK) } } })
}

/// `live`: its script fetches it again; without script the browser does.
fn whole(title: &str, again: Option<String>, live: bool, inner: Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                @match &again {
                    Some(again) if live => noscript { meta http-equiv="refresh" content=(again); },
                    Some(again) => meta http-equiv="refresh" content=(again);,
                    None => {}
                }
                @if live { script type="module" src=(assets::fresh()) {} }
                title { (title) }
                link rel="stylesheet" href=(assets::style());
            }
            body data-again=[again.as_ref().filter(|_| live)] {
                a.skip href="#main" { (say::SKIP) }
                (inner)
            }
        }
    }
}
