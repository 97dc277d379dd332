//! A table that a narrow screen shows as a block for each row, every figure under its head: nothing lies beyond the edge. On a wide screen and
//! on paper it is a table like any other.

use maud::{Markup, html};

/// More letters than this stand over two columns of a block.
const LONG: usize = 12;

/// The table by its heads and rows; the first cell of a row names it.
pub fn blocks<H: AsRef<str>, R: AsRef<[String]>>(heads: &[H], rows: impl Iterator<Item = R>) -> Markup {
    blocks_with(heads, rows, 0)
}

/// The same with empty rows at its foot, to be filled in by hand on paper.
pub fn blocks_with<H: AsRef<str>, R: AsRef<[String]>>(
    heads: &[H],
    rows: impl Iterator<Item = R>,
    blank: usize,
) -> Markup {
    drawn(heads, rows, 0, blank)
}

/// The table of which another cell than the first names a row.
pub fn blocks_named<H: AsRef<str>, R: AsRef<[String]>>(
    heads: &[H],
    rows: impl Iterator<Item = R>,
    named_at: usize,
) -> Markup {
    drawn(heads, rows, named_at, 0)
}

fn drawn<H: AsRef<str>, R: AsRef<[String]>>(
    heads: &[H],
    rows: impl Iterator<Item = R>,
    named_at: usize,
    blank: usize,
) -> Markup {
    html! {
        // Roles are told in so many words: laid out as blocks it would be no table to a screen reader.
        table.blocks role="table" {
            thead role="rowgroup" { tr role="row" { @for head in heads { th scope="col" role="columnheader" { (head.as_ref()) } } } }
            tbody role="rowgroup" {
                @for cells in rows { (line(heads, cells.as_ref(), named_at)) }
                @for _ in 0..blank { tr.blank role="row" { td role="cell" colspan=(heads.len()) { "\u{a0}" } } }
            }
        }
    }
}

/// The table where it may be wider than a middling screen: it can be moved sideways there.
pub fn wide<H: AsRef<str>, R: AsRef<[String]>>(name: &str, heads: &[H], rows: impl Iterator<Item = R>) -> Markup {
    html! { div.wide.stacks tabindex="0" role="group" aria-label=(name) { (blocks(heads, rows)) } }
}

fn line<H: AsRef<str>>(heads: &[H], cells: &[String], named_at: usize) -> Markup {
    html! {
        tr role="row" {
            @for (at, (head, cell)) in heads.iter().zip(cells).enumerate() {
                @if at == named_at { th scope="row" role="rowheader" { (cell) } } @else { td class=[(cell.chars().count() > LONG).then_some("long")] role="cell" data-head=(head.as_ref()) { (cell) } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_stands_under_its_head() {
        let rows = [["Gate".to_owned(), "2.00 lb".to_owned(), String::new()]];
        let text = blocks_with(&["What", "Left", "Fetched"], rows.iter(), 2).into_string();
        assert!(text.contains(r#"<th scope="row" role="rowheader">Gate</th>"#), "{text}");
        assert!(text.contains(r#"<td role="cell" data-head="Left">2.00 lb</td>"#), "{text}");
        assert!(text.contains(r#"data-head="Fetched"></td>"#), "nothing is told as nothing: {text}");
        assert_eq!(text.matches(r#"class="blank""#).count(), 2);
        let text = blocks_named(&["What", "Left", "Fetched"], rows.iter(), 1).into_string();
        assert!(text.contains(r#"<th scope="row" role="rowheader">2.00 lb</th>"#), "{text}");
    }
}
