//! Tables over pages, and names with their values.

use crate::face::{broken, face};
use crate::lay::{LEAD, TEXT};
use crate::pen::{BLACK, GREY, Kind, MARGIN, Pen, Stroke};
use crate::{Column, Table};

/// Size and line of a cell, points.
const SIZE: f32 = 9.0;
const CELL_LEAD: f32 = 12.0;
/// Free to each side of a cell and above and below its text.
const SIDE: f32 = 4.0;
const ABOVE: f32 = 3.0;
/// Most lines of a head, and the least share of the width that a column has.
const HEAD_LINES: usize = 5;
const SHARE_LEAST: f32 = 0.04;
/// Points in a millimetre.
pub(crate) const MM: f32 = 72.0 / 25.4;

/// A row's cells as broken lines.
type Cells = Vec<Vec<String>>;

pub(crate) fn table(pen: &mut Pen, table: &Table) {
    if table.columns.is_empty() {
        return;
    }
    let widths = widths(&table.columns, pen.width);
    let heads: Vec<String> = table.columns.iter().map(|column| column.head.clone()).collect();
    let mut head = broken_row(&heads, &widths, true);
    // It stands on every page: a head that fills one would leave no room below it.
    head.iter_mut().for_each(|lines| lines.truncate(HEAD_LINES));
    let least = table.by_hand_mm.map_or(0.0, |mm| mm * MM);
    pen.gap(4.0);
    // The head stays with its first row.
    pen.keep(high(&head, 0.0) + least.max(CELL_LEAD) + 2.0 * ABOVE);
    let node = pen.root(Kind::Table);
    let top_row = pen.under(node, Kind::Row);
    let nodes: Vec<usize> = widths.iter().map(|_| pen.under(top_row, Kind::HeadAbove)).collect();
    draw_head(pen, table, &widths, &head, Some(&nodes));
    for (at, row) in table.rows.iter().enumerate() {
        let is_total = at + table.totals >= table.rows.len();
        let mut cells = broken_row(row, &widths, is_total);
        let row_node = pen.under(node, Kind::Row);
        let nodes: Vec<usize> = widths.iter().map(|_| pen.under(row_node, Kind::Cell)).collect();
        if high(&cells, least) > pen.room() {
            next_page(pen, table, &widths, &head);
        }
        // A row that no page holds is cut.
        while high(&cells, least) > pen.room() {
            let fit = (((pen.room() - 2.0 * ABOVE) / CELL_LEAD) as usize).max(1);
            let rest = cells.iter_mut().map(|cell| cell.split_off(fit.min(cell.len()))).collect();
            draw_row(pen, table, &widths, &cells, Some(&nodes), is_total, least);
            cells = rest;
            next_page(pen, table, &widths, &head);
        }
        if is_total && at > 0 && at + table.totals == table.rows.len() {
            pen.rule(MARGIN, pen.y, pen.width, 1.0, BLACK);
        }
        draw_row(pen, table, &widths, &cells, Some(&nodes), is_total, least);
    }
    pen.y += 6.0;
}

fn next_page(pen: &mut Pen, table: &Table, widths: &[f32], head: &Cells) {
    pen.new_page();
    draw_head(pen, table, widths, head, None);
}

/// Widths by shares, points.
fn widths(columns: &[Column], whole: f32) -> Vec<f32> {
    let asked: f32 = columns.iter().map(|column| column.share.max(0.0)).sum();
    let shares: Vec<f32> = columns.iter().map(|column| column.share.max(SHARE_LEAST * asked).max(1e-3)).collect();
    let sum: f32 = shares.iter().sum();
    shares.iter().map(|share| whole * share / sum).collect()
}

fn broken_row(row: &[String], widths: &[f32], is_bold: bool) -> Cells {
    let cell = |at: usize| row.get(at).map_or("", String::as_str);
    widths.iter().enumerate().map(|(at, width)| broken(cell(at), is_bold, SIZE, width - 2.0 * SIDE)).collect()
}

fn high(cells: &Cells, least: f32) -> f32 {
    let lines = cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
    (lines as f32 * CELL_LEAD + 2.0 * ABOVE).max(least)
}

fn draw_head(pen: &mut Pen, table: &Table, widths: &[f32], head: &Cells, nodes: Option<&[usize]>) {
    if table.by_hand_mm.is_some() {
        pen.rule(MARGIN, pen.y, pen.width, 0.6, BLACK);
    }
    draw_row(pen, table, widths, head, nodes, true, 0.0);
    pen.rule(MARGIN, pen.y, pen.width, 1.0, BLACK);
}

fn draw_row(
    pen: &mut Pen,
    table: &Table,
    widths: &[f32],
    cells: &Cells,
    nodes: Option<&[usize]>,
    is_bold: bool,
    least: f32,
) {
    let (top, high) = (pen.y, high(cells, least));
    let mut left = MARGIN;
    for (at, width) in widths.iter().enumerate() {
        let mut strokes = Vec::new();
        for (line, text) in cells[at].iter().enumerate().filter(|(_, text)| !text.is_empty()) {
            let y = top + ABOVE + SIZE + line as f32 * CELL_LEAD;
            let free = width - 2.0 * SIDE - face(is_bold).width(text, SIZE);
            let x = left + SIDE + if table.columns[at].is_figures { free } else { 0.0 };
            strokes.push(Stroke::Text { x, y, size: SIZE, is_bold, text: text.clone() });
        }
        if strokes.is_empty() && nodes.is_some() {
            // An empty cell still is one: to who is read to, its row must not lose a column.
            let y = top + ABOVE + SIZE;
            strokes.push(Stroke::Text { x: left + SIDE, y, size: SIZE, is_bold, text: " ".to_owned() });
        }
        pen.draw(nodes.map(|nodes| nodes[at]), strokes);
        left += width;
    }
    pen.y = top + high;
    pen.rule(MARGIN, pen.y, pen.width, 0.4, GREY);
    if table.by_hand_mm.is_some() {
        let mut x = MARGIN;
        for width in std::iter::once(&0.0).chain(widths) {
            x += width;
            pen.draw(None, vec![Stroke::Filled { x: x - 0.3, y: top, width: 0.6, height: high, grey: GREY }]);
        }
    }
}

/// Names in bold to the left of their values.
pub(crate) fn pairs(pen: &mut Pen, pairs: &[(String, String)]) {
    if pairs.is_empty() {
        return;
    }
    let widest = pairs.iter().map(|(name, _)| face(true).width(name, TEXT)).fold(0.0, f32::max);
    let beside = (widest + 12.0).min(0.4 * pen.width);
    let node = pen.root(Kind::Table);
    for (name, value) in pairs {
        let names = broken(name, true, TEXT, beside - 8.0);
        let values = broken(value, false, TEXT, pen.width - beside);
        let row = pen.under(node, Kind::Row);
        let (head, cell) = (pen.under(row, Kind::HeadBeside), pen.under(row, Kind::Cell));
        pen.keep(names.len().max(values.len()) as f32 * LEAD);
        let (page, top) = (pen.pages.len(), pen.y);
        pen.lines(head, MARGIN, &names, true, TEXT, LEAD);
        let below_name = if pen.pages.len() == page { pen.y } else { pen.y.max(top) };
        if pen.pages.len() == page {
            pen.y = top;
        }
        pen.lines(cell, MARGIN + beside, &values, false, TEXT, LEAD);
        pen.y = pen.y.max(if values.len() < names.len() { below_name } else { 0.0 });
    }
    pen.y += 4.0;
}
