//! Labels for tubs and packs.

use paper::{Block, Label, Paper, Squares, Weight};
use qrcode::{Color, QrCode};
use season::labels::What;
use words::figures::Manner;
use words::page_labels as say;

use super::document;

/// A sheet of labels, all alike.
pub fn labels(farm: &str, pond: &str, made: &season::labels::Label, manner: Manner) -> Paper {
    let keep = if made.what == What::Live { say::KEEP_LIVE } else { say::KEEP };
    let spines = if made.what == What::Tails { "" } else { say::SPINES };
    let lines = vec![
        (Weight::Name, say::what(made.what).to_owned()),
        (Weight::Plain, say::SPECIES.to_owned()),
        (Weight::Strong, say::net(made, manner)),
        (Weight::Strong, say::lot(made)),
        (Weight::Plain, say::days(made)),
        (Weight::Plain, say::packer(farm, pond)),
        (Weight::Strong, say::ALLERGEN.to_owned()),
        (Weight::Plain, format!("{keep} {spines}")),
    ];
    let label =
        Label { lines, bars: made.bars.clone(), readable: made.readable.clone(), squares: squares(&made.readable) };
    let mut blocks = vec![Block::Labels(vec![label; made.copies])];
    blocks.push(Block::Caution(say::RULES.to_owned()));
    document(farm, manner, &words::page_print::labels_of(&made.lot), blocks)
}

/// A text as squares that a phone's camera reads.
pub fn squares(text: &str) -> Option<Squares> {
    let code = QrCode::new(text).ok()?;
    Some(Squares { side: code.width(), is_dark: code.to_colors().iter().map(|color| *color == Color::Dark).collect() })
}
