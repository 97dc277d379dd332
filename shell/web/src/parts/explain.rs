//! A figure that explains itself: one tap opens the sum in words, its inputs with their dates, where the method stands and how far off
//! it has been here. The only way in which pages do so; it opens without script.

use maud::{Markup, html};
use words::page_explain::{Explained, FROM, METHOD, OFF, OPENS};

/// The figure (or the sentence that holds it), and behind it how it was come by.
pub fn explain(figure: &Markup, behind: &Explained) -> Markup {
    html! {
        details.told {
            summary { span { (figure) } span.unseen { ", " (OPENS) } }
            div.behind {
                p { (behind.how) }
                dl {
                    dt.small { (FROM) }
                    @for (what, value) in &behind.from { dd { span { (what) ": " } (value) } }
                    dt.small { (METHOD) } dd { (behind.method) }
                    dt.small { (OFF) } dd { (behind.off) }
                }
            }
        }
    }
}

/// The same for plain words.
pub fn told(words: &str, behind: &Explained) -> Markup {
    explain(&html! { (words) }, behind)
}
