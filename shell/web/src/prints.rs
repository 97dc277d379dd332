//! What is printed: documents put together from the sentences that the pages say, as `paper` takes them. The command line prints the
//! same ones.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use paper::{Block, Column, Paper, Sheet, Table};
use words::figures::Manner;

mod day;
mod harvest;
mod labels;
mod loss;
mod trace;

pub use day::day_sheet;
pub use harvest::{cold_record, paper_tally};
pub use labels::labels;
pub use loss::{LoggedRow, LossFile, LossPhoto, csv, loss_file};
pub use trace::recall;

/// The farm's habit in paper.
pub fn sheet_of(manner: Manner) -> Sheet {
    match manner {
        Manner::UsCustomary => Sheet::Letter,
        Manner::Metric => Sheet::A4,
    }
}

/// A document of a farm.
pub fn document(farm: &str, manner: Manner, title: &str, blocks: Vec<Block>) -> Paper {
    Paper {
        title: title.to_owned(),
        language: "en".to_owned(),
        sheet: sheet_of(manner),
        foot: format!("{farm}: {title}"),
        blocks,
    }
}

/// A table of words whose columns have the given shares.
pub fn table<const N: usize>(heads: [&str; N], shares: [f32; N], rows: impl IntoIterator<Item = [String; N]>) -> Block {
    let columns = heads.iter().zip(shares).map(|(head, share)| Column::words(*head, share)).collect();
    Block::Table(Table { columns, rows: rows.into_iter().map(Vec::from).collect(), ..Table::default() })
}

/// Names and values.
pub fn pairs<T: Into<String>>(rows: impl IntoIterator<Item = (T, String)>) -> Block {
    Block::Pairs(rows.into_iter().map(|(name, value)| (name.into(), value)).collect())
}

/// A heading of a part.
pub fn part(title: &str) -> Block {
    Block::Heading(1, title.to_owned())
}

/// A text as a part of an address.
pub fn escaped(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => out.push(char::from(byte)),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// A document as the answer to a request: shown by the browser, saved under a name.
pub fn sent(paper: &Paper, name: &str) -> Response {
    match paper.pdf() {
        Ok(bytes) => {
            let plain: String = name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
            let head = [
                (header::CONTENT_TYPE, "application/pdf".to_owned()),
                (header::CACHE_CONTROL, "no-store".to_owned()),
                (header::CONTENT_DISPOSITION, format!("inline; filename=\"{plain}.pdf\"")),
            ];
            (head, bytes).into_response()
        }
        Err(_) => {
            let page = crate::parts::frame::plain(&paper.title, words::page_print::NOT_MADE);
            (StatusCode::INTERNAL_SERVER_ERROR, page).into_response()
        }
    }
}
