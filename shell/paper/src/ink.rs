//! Pages put to ink: strokes, the tree of what they mean, the outline.

use std::num::NonZeroU16;

use krilla::color::luma;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke as Pencil, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ContentTag, Identifier, ListNumbering, Node as TagNode, SpanTag, TableHeaderScope, Tag, TagGroup, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};

use crate::Paper;
use crate::face::{self, face};
use crate::lay::holds_ink;
use crate::pen::{Child, Entry, Kind, Pen, Stroke};

/// Why a document could not be written: what the writer of the format said.
#[derive(Debug)]
pub struct NotInked(pub String);

/// Most pixels of a picture that is unpacked to be put on paper: memory grows with them. A JPEG is put there as it is.
const PIXELS_MOST: u64 = 30_000_000;

/// Why a photo's picture is not put on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unshown {
    Unread,
    TooLarge,
}

/// A photo's picture. What is unpacked is tried alone first: one damaged picture would cost the whole document.
pub(crate) fn image(bytes: &[u8]) -> Result<Image, Unshown> {
    let data = || bytes.to_vec().into();
    let (is_png, is_webp) = (bytes.starts_with(b"\x89PNG"), bytes.starts_with(b"RIFF"));
    let read = match (is_png, is_webp) {
        (true, _) => Image::from_png(data(), true),
        (_, true) => Image::from_webp(data(), true),
        _ => Image::from_jpeg(data(), true),
    };
    let image = read.map_err(|_| Unshown::Unread)?;
    let (wide, high) = image.size();
    if (is_png || is_webp) && u64::from(wide) * u64::from(high) > PIXELS_MOST {
        return Err(Unshown::TooLarge);
    }
    let mut alone = Document::new();
    let mut sheet = alone.start_page();
    let mut surface = sheet.surface();
    if let Some(size) = Size::from_wh(1.0, 1.0) {
        surface.draw_image(image.clone(), size);
    }
    surface.finish();
    sheet.finish();
    alone.finish().map_err(|_| Unshown::Unread)?;
    Ok(image)
}

/// Whether the camera lay on its side: what is wide in the file is high.
pub(crate) fn lies(way_up: u8) -> bool {
    (5..=8).contains(&way_up)
}

/// Brings a picture that was drawn as its camera saw it the right way up, into a field so wide and so high.
fn upright(way_up: u8, (wide, high): (f32, f32)) -> Transform {
    let row = |sx, ky, kx, sy, tx, ty| Transform::from_row(sx, ky, kx, sy, tx, ty);
    match way_up {
        2 => row(-1.0, 0.0, 0.0, 1.0, wide, 0.0),
        3 => row(-1.0, 0.0, 0.0, -1.0, wide, high),
        4 => row(1.0, 0.0, 0.0, -1.0, 0.0, high),
        5 => row(0.0, 1.0, 1.0, 0.0, 0.0, 0.0),
        6 => row(0.0, 1.0, -1.0, 0.0, wide, 0.0),
        7 => row(0.0, -1.0, -1.0, 0.0, wide, high),
        8 => row(0.0, -1.0, 1.0, 0.0, 0.0, high),
        _ => Transform::identity(),
    }
}

pub(crate) fn ink(paper: &Paper, pen: Pen) -> Result<Vec<u8>, NotInked> {
    let (wide, high) = paper.sheet.points();
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| NotInked(format!("{error:?}")))?;
    let mut document = Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    let font = |bytes: &'static [u8]| Font::new(bytes.into(), 0).expect("the font was shipped with the program");
    let fonts = [font(face::PLAIN), font(face::BOLD)];
    let images: Vec<(Image, u8)> = pen.photos.iter().map(|(photo, image)| (image.clone(), photo.way_up)).collect();
    let mut marks: Vec<Option<Identifier>> = Vec::new();
    for page in &pen.pages {
        let settings = PageSettings::from_wh(wide, high).expect("a sheet has a size");
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for drawn in page {
            let tag = match drawn.number {
                None => ContentTag::Artifact(Artifact::default()),
                Some(_) if drawn.strokes.iter().all(|stroke| matches!(stroke, Stroke::Text { .. })) => {
                    ContentTag::Span(SpanTag::empty())
                }
                Some(_) => ContentTag::Other,
            };
            let mark = surface.start_tagged(tag);
            drawn.strokes.iter().for_each(|stroke| draw(&mut surface, stroke, &fonts, &images));
            surface.end_tagged();
            if let Some(number) = drawn.number {
                marks.resize(marks.len().max(number + 1), None);
                marks[number] = Some(mark);
            }
        }
        surface.finish();
        sheet.finish();
    }
    document.set_tag_tree(tree(paper, &pen, &marks));
    document.set_outline(outline(&pen.entries));
    let title = face::settable(&paper.title);
    document
        .set_metadata(Metadata::new().title(title).language(paper.language.clone()).creator("warmspell".to_owned()));
    document.finish().map_err(|error| NotInked(format!("{error:?}")))
}

fn fill(grey: u8) -> Option<Fill> {
    Some(Fill { paint: luma::Color::new(grey).into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero })
}

fn draw(surface: &mut Surface, stroke: &Stroke, fonts: &[Font; 2], images: &[(Image, u8)]) {
    surface.set_stroke(None);
    surface.set_fill(fill(0));
    match stroke {
        Stroke::Text { x, y, size, is_bold, text } => {
            let face = face(*is_bold);
            let glyphs: Vec<KrillaGlyph> = text
                .char_indices()
                .map(|(at, letter)| {
                    let (glyph, advance) = face.glyph(letter);
                    KrillaGlyph::new(GlyphId::new(glyph), advance, 0.0, 0.0, 0.0, at..at + letter.len_utf8(), None)
                })
                .collect();
            let font = fonts[usize::from(*is_bold)].clone();
            surface.draw_glyphs(Point::from_xy(*x, *y), &glyphs, font, text, *size, false);
        }
        Stroke::Filled { x, y, width, height, grey } => {
            surface.set_fill(fill(*grey));
            boxes(surface, &[(*x, *y, *width, *height)]);
        }
        Stroke::Boxes(all) => boxes(surface, all),
        Stroke::Path { points, width, grey, dash } => {
            let mut path = PathBuilder::new();
            for (at, (x, y)) in points.iter().enumerate() {
                if at == 0 { path.move_to(*x, *y) } else { path.line_to(*x, *y) }
            }
            surface.set_fill(None);
            surface.set_stroke(Some(Pencil {
                paint: luma::Color::new(*grey).into(),
                width: *width,
                dash: (!dash.is_empty()).then(|| StrokeDash { array: dash.clone(), offset: 0.0 }),
                ..Pencil::default()
            }));
            if let Some(path) = path.finish() {
                surface.draw_path(&path);
            }
        }
        Stroke::Picture { x, y, width, height, photo } => {
            let Some((image, way_up)) = images.get(*photo) else { return };
            let (wide, high) = if lies(*way_up) { (*height, *width) } else { (*width, *height) };
            if let Some(size) = Size::from_wh(wide, high) {
                surface.push_transform(&Transform::from_translate(*x, *y));
                surface.push_transform(&upright(*way_up, (*width, *height)));
                surface.draw_image(image.clone(), size);
                surface.pop();
                surface.pop();
            }
        }
    }
}

fn boxes(surface: &mut Surface, all: &[(f32, f32, f32, f32)]) {
    let mut path = PathBuilder::new();
    all.iter()
        .filter_map(|(x, y, width, height)| Rect::from_xywh(*x, *y, *width, *height))
        .for_each(|rect| path.push_rect(rect));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

fn tree(paper: &Paper, pen: &Pen, marks: &[Option<Identifier>]) -> TagTree {
    let mut tree = TagTree::new().with_lang(Some(paper.language.clone()));
    pen.roots.iter().filter(|root| holds_ink(pen, **root)).for_each(|root| tree.push(group(pen, *root, marks)));
    tree
}

fn group(pen: &Pen, node: usize, marks: &[Option<Identifier>]) -> TagGroup {
    let mut group = match &pen.nodes[node].kind {
        Kind::Heading(level, text) => {
            let level = NonZeroU16::new(u16::from(*level).max(1)).expect("it is at least one");
            TagGroup::new(Tag::Hn(level, Some(text.clone())))
        }
        Kind::Paragraph => TagGroup::new(Tag::P),
        Kind::List => TagGroup::new(Tag::L(ListNumbering::None)),
        Kind::Item => TagGroup::new(Tag::LI),
        Kind::Mark => TagGroup::new(Tag::Lbl),
        Kind::Body => TagGroup::new(Tag::LBody),
        Kind::Table => TagGroup::new(Tag::Table),
        Kind::Row => TagGroup::new(Tag::TR),
        Kind::HeadAbove => TagGroup::new(Tag::TH(TableHeaderScope::Column)),
        Kind::HeadBeside => TagGroup::new(Tag::TH(TableHeaderScope::Row)),
        Kind::Cell => TagGroup::new(Tag::TD),
        Kind::Section => TagGroup::new(Tag::Section),
        Kind::Figure(says) => TagGroup::new(Tag::Figure(Some(says.clone()))),
    };
    for child in &pen.nodes[node].children {
        match child {
            Child::Node(child) => group.push(TagNode::from(self::group(pen, *child, marks))),
            Child::Drawn(number) => {
                if let Some(Some(mark)) = marks.get(*number) {
                    group.push(TagNode::from(*mark));
                }
            }
        }
    }
    group
}

/// Headings as a list of places, parts under the title.
fn outline(entries: &[Entry]) -> Outline {
    let mut outline = Outline::new();
    for entry in entries.iter().filter(|entry| entry.level <= 1) {
        let place = XyzDestination::new(entry.page, Point::from_xy(0.0, entry.y));
        outline.push_child(OutlineNode::new(face::settable(&entry.text), place));
    }
    outline
}
