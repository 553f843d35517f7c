//! Running text, already taken apart: a screen lays it out, nothing is left to parse.

/// A block of text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A heading; 1 is the largest.
    Heading(u8, Vec<Span>),
    /// A paragraph.
    Paragraph(Vec<Span>),
    /// An item of a list, with its number if the list is numbered.
    Item(Option<u32>, Vec<Span>),
}

/// A piece of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The words.
    pub text: String,
    /// How they are set.
    pub style: Style,
}

/// How words are set.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Style {
    /// As the rest.
    #[default]
    Plain,
    /// Strong.
    Strong,
    /// Emphasised.
    Emphasis,
    /// Leads to the lesson with this stem.
    Lesson(String),
    /// Opens the shipped scenario with this stem.
    Scenario(String),
}

impl Block {
    /// Its spans.
    pub fn spans(&self) -> &[Span] {
        match self {
            Self::Heading(_, spans) | Self::Paragraph(spans) | Self::Item(_, spans) => spans,
        }
    }

    /// Its words without their setting.
    pub fn text(&self) -> String {
        self.spans().iter().map(|span| span.text.as_str()).collect()
    }
}
