//! The pen: where on which page the next thing goes, what was drawn there, and its place in the document's tree.

use krilla::image::Image;

use crate::face;
use crate::{Paper, Photo};

/// Free on every side, points: what a home printer leaves anyway, and room for holes.
pub(crate) const MARGIN: f32 = 45.0;
/// Of it, kept for the foot of the page.
const FOOT: f32 = 22.0;
/// Black, and the grey of thin rules (7:1 on white holds for all that is read: text is black).
pub(crate) const BLACK: u8 = 0;
/// Thin rules.
pub(crate) const GREY: u8 = 120;

/// What a node of the tree is.
#[derive(Debug, Clone)]
pub(crate) enum Kind {
    Heading(u8, String),
    Paragraph,
    List,
    Item,
    Mark,
    Body,
    Table,
    Row,
    HeadAbove,
    HeadBeside,
    Cell,
    Section,
    Figure(String),
}

/// What hangs on a node: another, or something drawn (its number in the order of drawing).
#[derive(Debug, Clone, Copy)]
pub(crate) enum Child {
    Node(usize),
    Drawn(usize),
}

#[derive(Debug)]
pub(crate) struct Node {
    pub kind: Kind,
    pub children: Vec<Child>,
}

/// A stroke of ink, in points from the top left.
#[derive(Debug)]
pub(crate) enum Stroke {
    /// A line of text: left end of its base line.
    Text { x: f32, y: f32, size: f32, is_bold: bool, text: String },
    /// A filled box.
    Filled { x: f32, y: f32, width: f32, height: f32, grey: u8 },
    /// Boxes of one colour, drawn as one: bars and squares must not part.
    Boxes(Vec<(f32, f32, f32, f32)>),
    /// A line through points.
    Path { points: Vec<(f32, f32)>, width: f32, grey: u8, dash: Vec<f32> },
    /// A picture.
    Picture { x: f32, y: f32, width: f32, height: f32, photo: usize },
}

/// Strokes that belong together: to a node of the tree, or to none (rules, feet, repeated heads).
#[derive(Debug)]
pub(crate) struct Drawn {
    pub number: Option<usize>,
    pub strokes: Vec<Stroke>,
}

/// A heading for the outline.
#[derive(Debug)]
pub(crate) struct Entry {
    pub level: u8,
    pub text: String,
    pub page: usize,
    pub y: f32,
}

/// Pages as they were laid out.
pub(crate) struct Pen<'a> {
    pub width: f32,
    height: f32,
    /// Where the next thing begins on the page.
    pub y: f32,
    pub pages: Vec<Vec<Drawn>>,
    pub nodes: Vec<Node>,
    /// Nodes on top of the tree, in order.
    pub roots: Vec<usize>,
    pub entries: Vec<Entry>,
    pub photos: Vec<(&'a Photo, Image)>,
    drawn: usize,
}

impl<'a> Pen<'a> {
    pub fn new(paper: &Paper) -> Pen<'a> {
        let (wide, height) = paper.sheet.points();
        Pen {
            width: wide - 2.0 * MARGIN,
            height,
            y: MARGIN,
            pages: vec![Vec::new()],
            nodes: Vec::new(),
            roots: Vec::new(),
            entries: Vec::new(),
            photos: Vec::new(),
            drawn: 0,
        }
    }
    /// The lowest that anything may reach.
    pub fn floor(&self) -> f32 {
        self.height - MARGIN - FOOT
    }
    /// Room left on the page.
    pub fn room(&self) -> f32 {
        self.floor() - self.y
    }
    /// Room on an empty page.
    pub fn page_room(&self) -> f32 {
        self.floor() - MARGIN
    }
    pub fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = MARGIN;
    }
    pub fn is_at_top(&self) -> bool {
        self.y <= MARGIN
    }
    /// Leaves a gap, unless the page has just begun.
    pub fn gap(&mut self, points: f32) {
        if !self.is_at_top() {
            self.y += points;
        }
    }
    /// Begins a new page when so much does not fit.
    pub fn keep(&mut self, points: f32) {
        if points > self.room() && !self.is_at_top() {
            self.new_page();
        }
    }
    /// A node on top of the tree.
    pub fn root(&mut self, kind: Kind) -> usize {
        self.nodes.push(Node { kind, children: Vec::new() });
        self.roots.push(self.nodes.len() - 1);
        self.nodes.len() - 1
    }
    /// A node under another.
    pub fn under(&mut self, parent: usize, kind: Kind) -> usize {
        self.nodes.push(Node { kind, children: Vec::new() });
        let node = self.nodes.len() - 1;
        self.nodes[parent].children.push(Child::Node(node));
        node
    }
    /// Draws on the page, for a node of the tree or for none.
    pub fn draw(&mut self, node: Option<usize>, strokes: Vec<Stroke>) {
        if strokes.is_empty() {
            return;
        }
        let number = node.map(|node| {
            self.drawn += 1;
            self.nodes[node].children.push(Child::Drawn(self.drawn - 1));
            self.drawn - 1
        });
        self.pages.last_mut().expect("there is always a page").push(Drawn { number, strokes });
    }
    /// A thin line across.
    pub fn rule(&mut self, x: f32, y: f32, width: f32, thick: f32, grey: u8) {
        self.draw(None, vec![Stroke::Filled { x, y: y - thick / 2.0, width, height: thick, grey }]);
    }
    /// Lines of text from a left edge down, breaking over pages; the first base line lies a size below where the pen stands.
    pub fn lines(&mut self, node: usize, x: f32, lines: &[String], is_bold: bool, size: f32, lead: f32) {
        for line in lines {
            self.keep(lead);
            if !line.is_empty() {
                let y = self.y + size;
                self.draw(Some(node), vec![Stroke::Text { x, y, size, is_bold, text: line.clone() }]);
            }
            self.y += lead;
        }
    }
    /// The foot of each page: its words, and which page of how many.
    pub fn feet(&mut self, foot: &str) {
        const SIZE: f32 = 8.0;
        let count = self.pages.len();
        let y = self.height - MARGIN;
        for (at, page) in self.pages.iter_mut().enumerate() {
            let number = format!("{} / {count}", at + 1);
            let wide = face::face(false).width(&number, SIZE);
            let words = face::broken(foot, false, SIZE, self.width - wide - 20.0).swap_remove(0);
            let rule = Stroke::Filled { x: MARGIN, y: y - SIZE - 5.0, width: self.width, height: 0.5, grey: GREY };
            let mut strokes = vec![rule];
            if !words.is_empty() {
                strokes.push(Stroke::Text { x: MARGIN, y, size: SIZE, is_bold: false, text: words });
            }
            let x = MARGIN + self.width - wide;
            strokes.push(Stroke::Text { x, y, size: SIZE, is_bold: false, text: number });
            page.push(Drawn { number: None, strokes });
        }
    }
}
