//! What a document says, with nothing of how it is set.

use crate::report::date::Date;
use crate::scene::Scene;

/// A document for paper.
#[derive(Debug, Clone)]
pub struct Document {
    /// Title.
    pub title: String,
    /// What kind of paper this is, at the head of every page: "Instructor's key".
    pub kind: String,
    /// The day that stands at the foot of every page.
    pub date: Date,
    /// What it consists of.
    pub blocks: Vec<Block>,
}

/// Words with their setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The words.
    pub text: String,
    /// How they are set.
    pub style: Style,
}

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Style {
    /// As the rest.
    #[default]
    Plain,
    /// Strong.
    Strong,
    /// Emphasised.
    Emphasis,
}

/// A line or more of running text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Text(pub Vec<Span>);

impl Text {
    /// Words as the rest.
    pub fn plain(text: impl Into<String>) -> Self {
        Self::default().and(text, Style::Plain)
    }

    /// Strong words.
    pub fn strong(text: impl Into<String>) -> Self {
        Self::default().and(text, Style::Strong)
    }

    /// The same with more words behind.
    pub fn and(mut self, text: impl Into<String>, style: Style) -> Self {
        self.0.push(Span { text: text.into(), style });
        self
    }

    /// Its words without their setting.
    pub fn words(&self) -> String {
        self.0.iter().map(|span| span.text.as_str()).collect()
    }
}

/// A part of a document, from top to bottom.
#[derive(Debug, Clone)]
pub enum Block {
    /// A heading; 1 is the title's level.
    Heading(u8, Text),
    /// A paragraph.
    Paragraph(Text),
    /// Small text that may stand back: a source, a remark.
    Note(Text),
    /// A list.
    List(Marks, Vec<Text>),
    /// A table.
    Table(Table),
    /// Care that a step needs.
    Caution(Vec<Text>),
    /// Room to write.
    Room(Room),
    /// Words with a line to write on behind each, side by side.
    Fields(Vec<String>),
    /// A figure with its caption.
    Figure(Figure),
    /// Columns of equal width side by side, on one page where a page holds them.
    Columns(Vec<Vec<Block>>),
    /// On one page, where a page holds it.
    Together(Vec<Block>),
    /// In smaller letters with less space between: for a page that must hold much.
    Small(Vec<Block>),
    /// What follows begins a page.
    PageBreak,
}

/// What stands before the items of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marks {
    /// A dot.
    Dots,
    /// Numbers, beginning with this one.
    Numbers(u32),
    /// A box to tick.
    Boxes,
    /// A box, of which the one with this index is ticked.
    Ticked(usize),
}

/// A table.
#[derive(Debug, Clone, Default)]
pub struct Table {
    /// Columns from left to right.
    pub columns: Vec<Column>,
    /// Rows; a row with fewer cells than columns ends early, more are left out.
    pub rows: Vec<Vec<Text>>,
}

/// A column of a table.
#[derive(Debug, Clone)]
pub struct Column {
    /// Its head.
    pub head: Text,
    /// Its share of the width against the other columns.
    pub share: f64,
    /// Whether it holds numbers, which stand at the right.
    pub numbers: bool,
}

/// Room to write.
#[derive(Debug, Clone)]
pub struct Room {
    /// What is to be written.
    pub caption: String,
    /// Height of the frame, points.
    pub height_pt: f64,
    /// Whether there are lines to write on.
    pub ruled: bool,
    /// Whether it takes what is left of its page when a page break follows.
    pub grows: bool,
}

/// A figure.
#[derive(Debug, Clone)]
pub struct Figure {
    /// What is seen.
    pub picture: Picture,
    /// Under it; empty for none.
    pub caption: Text,
    /// The same for those who listen.
    pub spoken: String,
}

/// What a figure shows.
#[derive(Debug, Clone)]
pub enum Picture {
    /// A section, with the height that it may take, points.
    Section(Box<Scene>, f64),
    /// A line chart; without lines, a frame to sketch in.
    Chart(Chart),
}

/// A line chart.
#[derive(Debug, Clone)]
pub struct Chart {
    /// To the right.
    pub across: Axis,
    /// Upwards.
    pub up: Axis,
    /// Lines; what lies outside the axes is cut off.
    pub series: Vec<Series>,
    /// Levels that are marked across.
    pub levels: Vec<Level>,
    /// Height of the frame, points.
    pub height_pt: f64,
}

/// An axis in the unit in which it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it shows, with its unit.
    pub label: String,
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub most: f64,
}

/// A named line of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// Its place among the lines, which gives it colour and dash.
    pub place: usize,
    /// Points from left to right, in the units of the axes.
    pub points: Vec<(f64, f64)>,
}

/// A level that is marked across a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Its name.
    pub name: String,
    /// Where it is, in the unit of the axis.
    pub value: f64,
}
