//! Blocks laid on pages.

use crate::face::{broken, face};
use crate::pen::{BLACK, Child, GREY, Kind, MARGIN, Pen, Stroke};
use crate::{Block, Paper, Step, figure, labels, table};

/// Size of running text and its line, points.
pub(crate) const TEXT: f32 = 10.0;
pub(crate) const LEAD: f32 = 14.0;

pub(crate) fn lay(paper: &Paper) -> Pen<'_> {
    let mut pen = Pen::new(paper);
    heading(&mut pen, 0, &paper.title);
    for (at, block) in paper.blocks.iter().enumerate() {
        // What is drawn whole takes its heading along to the next page.
        if let (Block::Heading(..), Some(Block::Figure(_))) = (block, paper.blocks.get(at + 1)) {
            pen.keep(figure::WHOLE + 3.0 * LEAD);
        }
        one(&mut pen, block);
    }
    pen.feet(&paper.foot);
    pen
}

fn one<'a>(pen: &mut Pen<'a>, block: &'a Block) {
    match block {
        Block::Heading(level, text) => heading(pen, *level, text),
        Block::Text(text) => paragraph(pen, text, TEXT, LEAD),
        Block::Answer(text) => paragraph(pen, text, 13.0, 18.0),
        Block::Caution(text) => caution(pen, text),
        Block::Points(items) => list(pen, items, false),
        Block::Checks(items) => list(pen, items, true),
        Block::Pairs(pairs) => table::pairs(pen, pairs),
        Block::Steps(all) => steps(pen, all),
        Block::Table(one) => table::table(pen, one),
        Block::Labels(all) => labels::labels(pen, all),
        Block::Figure(one) => figure::figure(pen, one),
        Block::Photo(photo) => figure::photo(pen, photo),
        Block::Lines(count) => lines(pen, *count),
        Block::NewPage => {
            if !pen.is_at_top() {
                pen.new_page();
            }
        }
    }
}

fn heading(pen: &mut Pen, level: u8, text: &str) {
    let (size, lead, above) = match level {
        0 => (19.0, 24.0, 0.0),
        1 => (13.0, 18.0, 14.0),
        _ => (10.5, 15.0, 9.0),
    };
    let lines = broken(text, true, size, pen.width);
    pen.gap(above);
    // A heading stays with two lines of what it heads.
    pen.keep(lines.len() as f32 * lead + 3.0 * LEAD);
    pen.entries.push(crate::pen::Entry { level, text: text.to_owned(), page: pen.pages.len() - 1, y: pen.y });
    let node = pen.root(Kind::Heading(level + 1, text.to_owned()));
    pen.lines(node, MARGIN, &lines, true, size, lead);
    if level == 0 {
        pen.rule(MARGIN, pen.y + 2.0, pen.width, 1.2, BLACK);
        pen.y += 10.0;
    } else {
        pen.y += 2.0;
    }
}

fn paragraph(pen: &mut Pen, text: &str, size: f32, lead: f32) {
    let lines = broken(text, false, size, pen.width);
    let node = pen.root(Kind::Paragraph);
    // No single line at the foot of a page.
    pen.keep(lead * lines.len().min(2) as f32);
    pen.lines(node, MARGIN, &lines, false, size, lead);
    pen.y += 4.0;
}

/// A heavy bar beside it, whole on one page.
fn caution(pen: &mut Pen, text: &str) {
    const INDENT: f32 = 12.0;
    let lines = broken(text, true, TEXT, pen.width - INDENT);
    let high = lines.len() as f32 * LEAD;
    pen.gap(4.0);
    pen.keep(high.min(pen.page_room()));
    let (page, top) = (pen.pages.len(), pen.y);
    let node = pen.root(Kind::Paragraph);
    pen.lines(node, MARGIN + INDENT, &lines, true, TEXT, LEAD);
    if pen.pages.len() == page {
        pen.draw(None, vec![Stroke::Filled { x: MARGIN, y: top, width: 4.0, height: pen.y - top - 1.0, grey: BLACK }]);
    }
    pen.y += 6.0;
}

/// Clock to the left, what to do beside it, cautions below that behind a heavy bar. A step stays with its first caution.
fn steps(pen: &mut Pen, all: &[Step]) {
    let widest = all.iter().map(|step| face(true).width(&step.at, TEXT)).fold(0.0, f32::max);
    let beside = (widest + 10.0).min(0.3 * pen.width);
    let node = pen.root(Kind::Table);
    for step in all {
        let (at, what) =
            (broken(&step.at, true, TEXT, beside - 6.0), broken(&step.what, false, TEXT, pen.width - beside));
        let cares: Vec<Vec<String>> =
            step.cares.iter().map(|care| broken(care, true, TEXT - 1.0, pen.width - beside - 12.0)).collect();
        let row = pen.under(node, Kind::Row);
        let (head, cell) = (pen.under(row, Kind::HeadBeside), pen.under(row, Kind::Cell));
        pen.keep((at.len().max(what.len()) + cares.first().map_or(0, Vec::len)) as f32 * LEAD);
        let top = pen.y;
        pen.lines(head, MARGIN, &at, true, TEXT, LEAD);
        let below = pen.y;
        pen.y = top;
        pen.lines(cell, MARGIN + beside, &what, false, TEXT, LEAD);
        pen.y = pen.y.max(below);
        for care in &cares {
            pen.keep(care.len() as f32 * (LEAD - 1.0));
            let top = pen.y;
            pen.lines(cell, MARGIN + beside + 12.0, care, true, TEXT - 1.0, LEAD - 1.0);
            let height = pen.y - top - 2.0;
            pen.draw(None, vec![Stroke::Filled { x: MARGIN + beside, y: top + 1.0, width: 3.5, height, grey: BLACK }]);
        }
        pen.y += 3.0;
    }
    pen.y += 4.0;
    drop_empty(pen, node);
}

fn list(pen: &mut Pen, items: &[String], is_boxes: bool) {
    let (indent, lead) = if is_boxes { (20.0, 17.0) } else { (13.0, LEAD) };
    let node = pen.root(Kind::List);
    for text in items {
        let lines = broken(text, false, TEXT, pen.width - indent);
        pen.keep(lines.len() as f32 * LEAD);
        let item = pen.under(node, Kind::Item);
        let mark = pen.under(item, Kind::Mark);
        let y = pen.y;
        let strokes = if is_boxes {
            let side = 10.0;
            let (l, t) = (MARGIN + 1.0, y + 1.0);
            let points = vec![(l, t), (l + side, t), (l + side, t + side), (l, t + side), (l, t)];
            vec![Stroke::Path { points, width: 1.0, grey: BLACK, dash: Vec::new() }]
        } else {
            let (x, y) = (MARGIN + 1.0, y + TEXT);
            vec![Stroke::Text { x, y, size: TEXT, is_bold: true, text: "\u{2022}".to_owned() }]
        };
        pen.draw(Some(mark), strokes);
        let body = pen.under(item, Kind::Body);
        pen.lines(body, MARGIN + indent, &lines, false, TEXT, LEAD);
        pen.y += lead - LEAD;
    }
    pen.y += 4.0;
    drop_empty(pen, node);
}

/// A list of nothing is no list.
fn drop_empty(pen: &mut Pen, node: usize) {
    if pen.nodes[node].children.is_empty() {
        pen.roots.retain(|root| *root != node);
    }
}

fn lines(pen: &mut Pen, count: usize) {
    const HIGH: f32 = 22.0;
    for _ in 0..count {
        pen.keep(HIGH);
        pen.y += HIGH;
        pen.rule(MARGIN, pen.y - 2.0, pen.width, 0.6, GREY);
    }
    pen.y += 6.0;
}

/// Whether anything is drawn under a node.
pub(crate) fn holds_ink(pen: &Pen, node: usize) -> bool {
    pen.nodes[node].children.iter().any(|child| match child {
        Child::Drawn(_) => true,
        Child::Node(node) => holds_ink(pen, *node),
    })
}
