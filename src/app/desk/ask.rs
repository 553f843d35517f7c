//! What the desk asks a path for.

/// What a path is asked for here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// Answers as a table.
    Answers,
    /// Statistics of items as a table.
    Items,
    /// Outcomes and learners as a table.
    Mastery,
    /// Answers as statements.
    Statements,
    /// Items as a package.
    Package,
    /// A package to be taken in.
    Import,
    /// Everything about the chosen learner.
    One,
    /// Everything about everybody.
    All,
    /// A test on paper.
    Test,
}

impl Ask {
    /// As a heading.
    pub fn title(self) -> &'static str {
        match self {
            Self::Answers => "Write the answers as CSV",
            Self::Items => "Write the statistics of the items as CSV",
            Self::Mastery => "Write outcomes and learners as CSV",
            Self::Statements => "Write the answers as xAPI statements (JSON lines)",
            Self::Package => "Write the items as a QTI 2.2 package",
            Self::Import => "Take in the items of a QTI package",
            Self::One => "Export everything about this learner",
            Self::All => "Export everything about everybody",
            Self::Test => "Write the test as PDF; its key goes beside it",
        }
    }

    /// Kind and ending of its files.
    pub fn kind(self) -> (&'static str, &'static str) {
        match self {
            Self::Answers | Self::Items | Self::Mastery => ("Table", "csv"),
            Self::Statements => ("JSON lines", "jsonl"),
            Self::Package | Self::Import => ("Package", "zip"),
            Self::One | Self::All => ("JSON", "json"),
            Self::Test => ("PDF", "pdf"),
        }
    }

    /// A file name to begin with.
    pub fn suggested(self) -> String {
        let stem = match self {
            Self::Import => return String::new(),
            Self::Answers => "answers",
            Self::Items => "items",
            Self::Mastery => "outcomes",
            Self::Statements => "statements",
            Self::Package => "items",
            Self::One => "learner",
            Self::All => "learners",
            Self::Test => "test",
        };
        format!("{stem}.{}", self.kind().1)
    }
}
