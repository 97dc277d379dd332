//! Lines and bars over an axis, and photographs.

use crate::face::{broken, face};
use crate::ink::{Unshown, lies};
use crate::lay::{LEAD, TEXT};
use crate::pen::{BLACK, GREY, Kind, MARGIN, Pen, Stroke};
use crate::{Figure, Photo};

/// Height of a figure with its marks and two lines of words, points.
pub(crate) const WHOLE: f32 = HIGH + 70.0;
/// Height of the drawing, points; free to its left for the words of the axis.
const HIGH: f32 = 170.0;
const BESIDE: f32 = 52.0;
const SMALL: f32 = 8.0;
/// Dashes by the number of the line, points: the first is whole.
const DASHES: [&[f32]; 4] = [&[], &[6.0, 3.0], &[2.0, 2.0], &[8.0, 2.0, 2.0, 2.0]];

/// Where values lie on the page.
struct Axes {
    left: f32,
    top: f32,
    width: f32,
    across: (f64, f64),
    up: (f64, f64),
}

impl Axes {
    fn x(&self, value: f64) -> f32 {
        self.left + self.width * share(value, self.across)
    }
    fn y(&self, value: f64) -> f32 {
        self.top + HIGH * (1.0 - share(value, self.up))
    }
}

fn share(value: f64, (least, most): (f64, f64)) -> f32 {
    if most > least { ((value - least) / (most - least)).clamp(0.0, 1.0) as f32 } else { 0.5 }
}

fn ends(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let least = values.clone().fold(f64::INFINITY, f64::min);
    (least, values.fold(f64::NEG_INFINITY, f64::max))
}

pub(crate) fn figure(pen: &mut Pen, figure: &Figure) {
    let said = broken(&figure.says, false, TEXT, pen.width);
    pen.gap(6.0);
    pen.keep(HIGH + 40.0 + LEAD * said.len() as f32);
    let points = figure.lines.iter().flat_map(|line| line.strokes.iter().flatten());
    let places = points.map(|(x, _)| *x).chain(figure.bars.iter().map(|(x, _)| *x));
    let across = ends(places.chain(figure.below.iter().map(|(x, _)| *x)));
    let axes = Axes {
        left: MARGIN + BESIDE,
        top: pen.y + 14.0,
        width: pen.width - BESIDE - 10.0,
        across,
        up: ends(figure.beside.iter().map(|(y, _)| *y)),
    };
    let mut strokes = Vec::new();
    marks(figure, &axes, &mut strokes);
    bars(figure, &axes, &mut strokes);
    lines(figure, &axes, &mut strokes);
    let node = pen.root(Kind::Figure(figure.says.clone()));
    pen.draw(Some(node), strokes);
    pen.y = axes.top + HIGH + 18.0;
    let node = pen.root(Kind::Paragraph);
    pen.lines(node, MARGIN, &said, false, TEXT, LEAD);
    pen.y += 6.0;
}

fn text(x: f32, y: f32, words: &str) -> Stroke {
    Stroke::Text { x, y, size: SMALL, is_bold: false, text: crate::face::settable(words) }
}

fn marks(figure: &Figure, axes: &Axes, strokes: &mut Vec<Stroke>) {
    for (value, words) in &figure.beside {
        let y = axes.y(*value);
        strokes.push(Stroke::Filled { x: axes.left, y, width: axes.width, height: 0.4, grey: GREY });
        strokes.push(text(axes.left - 5.0 - face(false).width(words, SMALL), y + 3.0, words));
    }
    let foot = axes.top + HIGH;
    strokes.push(Stroke::Filled { x: axes.left, y: foot, width: axes.width, height: 0.8, grey: BLACK });
    for (value, words) in &figure.below {
        let x = axes.x(*value);
        strokes.push(Stroke::Filled { x, y: foot, width: 0.6, height: 4.0, grey: BLACK });
        let wide = face(false).width(words, SMALL);
        let most = axes.left + axes.width + 10.0 - wide;
        strokes.push(text((x - wide / 2.0).min(most), foot + 13.0, words));
    }
}

fn bars(figure: &Figure, axes: &Axes, strokes: &mut Vec<Stroke>) {
    let wide = (0.6 * axes.width / figure.bars.len().max(1) as f32).min(24.0);
    for (place, value) in &figure.bars {
        let (x, top) = (axes.x(*place) - wide / 2.0, axes.y(*value));
        let high = axes.top + HIGH - top;
        if high > 0.0 {
            strokes.push(Stroke::Filled { x, y: top, width: wide, height: high, grey: 90 });
        }
    }
}

fn lines(figure: &Figure, axes: &Axes, strokes: &mut Vec<Stroke>) {
    let mut named = axes.left;
    for (at, line) in figure.lines.iter().enumerate() {
        let dash = DASHES[at % DASHES.len()].to_vec();
        for stroke in &line.strokes {
            let points: Vec<(f32, f32)> = stroke.iter().map(|(x, y)| (axes.x(*x), axes.y(*y))).collect();
            if line.is_marks {
                strokes.extend(points.iter().map(|point| dot(*point)));
            } else if points.len() > 1 {
                strokes.push(Stroke::Path { points, width: 1.3, grey: BLACK, dash: dash.clone() });
            }
        }
        // Its name stands above, behind a piece of it.
        let y = axes.top - 8.0;
        if line.is_marks {
            strokes.push(dot((named + 12.0, y)));
        } else {
            let points = vec![(named, y), (named + 24.0, y)];
            strokes.push(Stroke::Path { points, width: 1.3, grey: BLACK, dash });
        }
        strokes.push(text(named + 29.0, y + 3.0, &line.name));
        named += 29.0 + face(false).width(&line.name, SMALL) + 16.0;
    }
}

fn dot((x, y): (f32, f32)) -> Stroke {
    Stroke::Filled { x: x - 1.6, y: y - 1.6, width: 3.2, height: 3.2, grey: BLACK }
}

/// A photograph at most so high, its words below.
pub(crate) fn photo<'a>(pen: &mut Pen<'a>, photo: &'a Photo) {
    const MOST: f32 = 260.0;
    let image = crate::ink::image(&photo.bytes);
    let why = match &image {
        Ok(_) => "",
        Err(Unshown::Unread) => &photo.unread,
        Err(Unshown::TooLarge) => &photo.too_large,
    };
    let said = broken(format!("{} {why}", photo.says).trim(), false, TEXT, pen.width);
    if let Ok(image) = image {
        let (wide, high) = if lies(photo.way_up) { (image.size().1, image.size().0) } else { image.size() };
        let scale = (pen.width / wide.max(1) as f32).min(MOST / high.max(1) as f32);
        let (width, height) = (wide as f32 * scale, high as f32 * scale);
        pen.gap(4.0);
        pen.keep(height + LEAD * said.len() as f32 + 8.0);
        pen.photos.push((photo, image));
        let node = pen.root(Kind::Figure(photo.says.clone()));
        let stroke = Stroke::Picture { x: MARGIN, y: pen.y, width, height, photo: pen.photos.len() - 1 };
        pen.draw(Some(node), vec![stroke]);
        pen.y += height + 4.0;
    }
    let node = pen.root(Kind::Paragraph);
    pen.lines(node, MARGIN, &said, false, TEXT, LEAD);
    pen.y += 6.0;
}
