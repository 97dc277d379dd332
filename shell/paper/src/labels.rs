//! Labels on sheets, to be cut: two beside each other where their bars have room, else one.

use crate::face::{broken, face};
use crate::pen::{GREY, Kind, MARGIN, Pen, Stroke};
use crate::table::MM;
use crate::{Label, Squares, Weight};

/// Free modules on each side of the bars: the symbology asks for ten.
const QUIET: f32 = 10.0;
/// A module is between these, mm: GS1 General Specifications, section 5.12.3 (memory): 0.250 where the place is small, 0.495 for what passes a
/// scanner at a loading dock.
const MODULE_MM: (f32, f32) = (0.25, 0.495);
/// Height of the bars, mm, and side of the square code, mm.
const BARS_MM: f32 = 15.0;
const SQUARES_MM: f32 = 18.0;
/// Free within a label and between labels, points.
const INSIDE: f32 = 8.0;

pub(crate) fn labels(pen: &mut Pen, all: &[Label]) {
    let modules = |label: &Label| label.bars.iter().map(|width| f32::from(*width)).sum::<f32>() + 2.0 * QUIET;
    let most = all.iter().map(modules).fold(0.0, f32::max);
    let half = pen.width / 2.0;
    let columns = if most * MODULE_MM.0 * MM <= half - 2.0 * INSIDE { 2 } else { 1 };
    let width = pen.width / columns as f32;
    for row in all.chunks(columns) {
        let high = row.iter().map(|label| high(label, width)).fold(0.0, f32::max);
        pen.keep(high);
        let top = pen.y;
        for (at, label) in row.iter().enumerate() {
            one(pen, label, MARGIN + at as f32 * width, top, width, high);
        }
        pen.y = top + high;
    }
    pen.y += 6.0;
}

fn type_of(weight: Weight) -> (bool, f32, f32) {
    match weight {
        Weight::Name => (true, 14.0, 18.0),
        Weight::Strong => (true, 9.0, 12.0),
        Weight::Plain => (false, 8.5, 11.0),
    }
}

/// Width that text has beside the square code.
fn text_width(label: &Label, width: f32) -> f32 {
    width - 2.0 * INSIDE - if label.squares.is_some() { SQUARES_MM * MM + 6.0 } else { 0.0 }
}

fn text_high(label: &Label, width: f32) -> f32 {
    let high = |(weight, text): &(Weight, String)| {
        let (is_bold, size, lead) = type_of(*weight);
        broken(text, is_bold, size, text_width(label, width)).len() as f32 * lead
    };
    let text: f32 = label.lines.iter().map(high).sum();
    text.max(if label.squares.is_some() { SQUARES_MM * MM + 4.0 } else { 0.0 })
}

fn high(label: &Label, width: f32) -> f32 {
    let readable = broken(&label.readable, false, 7.5, width - 2.0 * INSIDE).len() as f32 * 9.5;
    text_high(label, width) + BARS_MM * MM + readable + 2.0 * INSIDE + 6.0
}

fn one(pen: &mut Pen, label: &Label, x: f32, top: f32, width: f32, high: f32) {
    let edge = vec![(x, top), (x + width, top), (x + width, top + high), (x, top + high), (x, top)];
    pen.draw(None, vec![Stroke::Path { points: edge, width: 0.5, grey: GREY, dash: vec![3.0, 2.0] }]);
    let section = pen.root(Kind::Section);
    let mut y = top + INSIDE;
    for (weight, text) in &label.lines {
        let (is_bold, size, lead) = type_of(*weight);
        let node = pen.under(section, Kind::Paragraph);
        let mut strokes = Vec::new();
        for line in broken(text, is_bold, size, text_width(label, width)) {
            if !line.is_empty() {
                strokes.push(Stroke::Text { x: x + INSIDE, y: y + size, size, is_bold, text: line });
            }
            y += lead;
        }
        pen.draw(Some(node), strokes);
    }
    if let Some(squares) = &label.squares {
        let node = pen.under(section, Kind::Figure(label.readable.clone()));
        let side = SQUARES_MM * MM;
        pen.draw(Some(node), vec![Stroke::Boxes(dark(squares, x + width - INSIDE - side, top + INSIDE, side))]);
    }
    let bars_top = top + INSIDE + text_high(label, width) + 4.0;
    let node = pen.under(section, Kind::Figure(label.readable.clone()));
    pen.draw(Some(node), vec![Stroke::Boxes(bars(&label.bars, x + INSIDE, bars_top, width - 2.0 * INSIDE))]);
    let node = pen.under(section, Kind::Paragraph);
    let mut y = bars_top + BARS_MM * MM + 9.0;
    let mut strokes = Vec::new();
    for line in broken(&label.readable, false, 7.5, width - 2.0 * INSIDE).into_iter().filter(|line| !line.is_empty()) {
        let free = width - 2.0 * INSIDE - face(false).width(&line, 7.5);
        strokes.push(Stroke::Text { x: x + INSIDE + free / 2.0, y, size: 7.5, is_bold: false, text: line });
        y += 9.5;
    }
    pen.draw(Some(node), strokes);
}

/// Bars within a width, their quiet zones kept free.
fn bars(widths: &[u8], x: f32, y: f32, width: f32) -> Vec<(f32, f32, f32, f32)> {
    let modules = widths.iter().map(|one| f32::from(*one)).sum::<f32>() + 2.0 * QUIET;
    let module = (width / modules).min(MODULE_MM.1 * MM);
    let mut at = x + (width - modules * module) / 2.0 + QUIET * module;
    let mut boxes = Vec::new();
    for (place, one) in widths.iter().enumerate() {
        let wide = f32::from(*one) * module;
        if place % 2 == 0 {
            boxes.push((at, y, wide, BARS_MM * MM));
        }
        at += wide;
    }
    boxes
}

/// Dark squares, neighbours in a row as one box; a margin of four squares is kept free.
fn dark(squares: &Squares, x: f32, y: f32, side: f32) -> Vec<(f32, f32, f32, f32)> {
    let one = side / (squares.side as f32 + 8.0);
    let mut boxes = Vec::new();
    for row in 0..squares.side {
        let is_dark = |column: usize| squares.is_dark.get(row * squares.side + column).copied().unwrap_or(false);
        let mut column = 0;
        while column < squares.side {
            let run = (column..squares.side).take_while(|at| is_dark(*at)).count();
            if run > 0 {
                let (left, top) = (x + (column as f32 + 4.0) * one, y + (row as f32 + 4.0) * one);
                boxes.push((left, top, run as f32 * one, one));
            }
            column += run.max(1);
        }
    }
    boxes
}
