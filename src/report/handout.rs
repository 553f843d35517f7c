//! A lesson on paper: for the pupil, who predicts before anything is told, and for the instructor, with what the runs say.

use crate::learning::course::{Lesson, Piece};
use crate::learning::live::Subject;
use crate::learning::outcomes::{OUTCOMES, Outcome};
use crate::learning::prose;
use crate::report::date::Date;
use crate::report::document::{Block, Document, Figure, Marks, Picture, Style, Text};
use crate::report::page::Paper;
use crate::report::{experiment, key, print};
use crate::scene;
use std::collections::BTreeSet;

/// For whom a handout is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// Predicts, sees, explains: nothing is given away before it.
    Pupil,
    /// Gets the answers and what the runs say.
    Instructor,
}

/// A lesson's handout as a file.
///
/// # Errors
/// In words, when a live block does not run or the file cannot be made.
pub fn pdf(lesson: &Lesson, reader: Reader, paper: Paper, date: Date) -> Result<Vec<u8>, String> {
    print(&document(lesson, reader, date)?, paper)
}

/// A lesson's handout. A pure function of its input.
///
/// # Errors
/// In words, when a live block does not run.
pub fn document(lesson: &Lesson, reader: Reader, date: Date) -> Result<Document, String> {
    let kind = match reader {
        Reader::Pupil => "Handout",
        Reader::Instructor => "Instructor's key",
    };
    let mut maker = Maker { reader, blocks: Vec::new(), drawn: BTreeSet::new(), experiments: 0 };
    maker.head(lesson);
    for piece in &lesson.pieces {
        maker.piece(piece)?;
    }
    maker.foot(lesson);
    Ok(Document { title: lesson.title.clone(), kind: kind.to_owned(), date, blocks: maker.blocks })
}

struct Maker {
    reader: Reader,
    blocks: Vec<Block>,
    /// Families of which a section was shown.
    drawn: BTreeSet<&'static str>,
    experiments: usize,
}

impl Maker {
    fn head(&mut self, lesson: &Lesson) {
        let minutes = lesson.minutes;
        match self.reader {
            Reader::Pupil => {
                self.blocks.push(Block::Fields(vec!["Name".to_owned(), "Date".to_owned()]));
                let how = format!(
                    "About {minutes} minutes. Say first what you expect, then see the run, then write what you saw and \
                     why. Read on only after that."
                );
                self.blocks.push(Block::Note(Text::plain(how)));
            }
            Reader::Instructor => {
                let how = format!(
                    "About {minutes} minutes. The numbers are those of the runs, with the settings as the lesson gives \
                     them."
                );
                self.blocks.push(Block::Note(Text::plain(how)));
                self.outcomes(lesson, "What the class should leave with");
            }
        }
        self.blocks.extend(lesson.cautions.iter().map(|text| Block::Caution(vec![Text::plain(text)])));
    }

    fn outcomes(&mut self, lesson: &Lesson, heading: &str) {
        let known: Vec<&Outcome> =
            lesson.outcomes.iter().filter_map(|number| OUTCOMES.iter().find(|known| known.number == *number)).collect();
        if known.is_empty() {
            return;
        }
        self.blocks.push(heading_of(2, heading));
        let item = |outcome: &&Outcome| match self.reader {
            Reader::Pupil => Text::plain(format!("{}.", outcome.text)),
            Reader::Instructor => Text::plain(format!("{}. ", outcome.text))
                .and(format!("Often believed: {}.", outcome.mistaken), Style::Emphasis),
        };
        let marks = if self.reader == Reader::Pupil { Marks::Boxes } else { Marks::Dots };
        self.blocks.push(Block::List(marks, known.iter().map(item).collect()));
    }

    fn piece(&mut self, piece: &Piece) -> Result<(), String> {
        match piece {
            Piece::Prose(blocks) => self.blocks.extend(prose_blocks(blocks)),
            Piece::Caution(text) => self.blocks.push(Block::Caution(vec![Text::plain(text)])),
            Piece::Live(live) => {
                self.experiments += 1;
                self.blocks.push(heading_of(2, &format!("Experiment {}", self.experiments)));
                self.sections(live)?;
                self.blocks.extend(experiment::setup(live));
                match self.reader {
                    Reader::Pupil => {
                        self.blocks.extend(experiment::question(live));
                        // what follows may tell what was to be found
                        self.blocks.push(Block::PageBreak);
                    }
                    Reader::Instructor => self.blocks.extend(key::result(live)?),
                }
            }
        }
        Ok(())
    }

    /// Sections of kinds that were not shown yet, as they stand before the pedal moves.
    fn sections(&mut self, live: &crate::learning::live::Live) -> Result<(), String> {
        let mut figures = Vec::new();
        for bench in &live.benches {
            let Subject::Stab(scenario) = &bench.subject else { continue };
            let entry = scenario.entry();
            if !self.drawn.insert(entry.id) {
                continue;
            }
            let run = crate::bench::run::run(scenario).map_err(|error| format!("{}: {error}", bench.name))?;
            let scene = scene::draw(scenario, &run.trace.at(scenario.pedal.begin_s));
            figures.push((entry.name, scene));
        }
        let wide = figures.len() == 1;
        let mut blocks = figures.into_iter().map(|(name, scene)| {
            let front = if wide { ", front at the left" } else { "" };
            let caption = format!("{name}, before the pedal moves{front}.");
            let spoken = format!(
                "Section through one primary and one secondary barrel: {name}, before the pedal moves. Named parts: {}.",
                scene.labels.iter().map(|label| label.text.as_str()).collect::<Vec<_>>().join(", ")
            );
            let height_pt = if wide { 200.0 } else { 150.0 };
            let picture = Picture::Section(Box::new(scene), height_pt);
            Block::Figure(Figure { picture, caption: Text::plain(caption), spoken })
        });
        while let Some(first) = blocks.next() {
            self.blocks.push(match blocks.next() {
                Some(second) => Block::Columns(vec![vec![first], vec![second]]),
                None => first,
            });
        }
        Ok(())
    }

    fn foot(&mut self, lesson: &Lesson) {
        if self.reader == Reader::Pupil {
            self.outcomes(lesson, "What you can say now");
        }
        if !lesson.sources.is_empty() {
            self.blocks.push(heading_of(3, "Sources"));
            self.blocks.extend(lesson.sources.iter().map(|source| Block::Note(Text::plain(source))));
        }
        let invented =
            "Cars and carburettors that come with the program are invented, for the invented workshop Kestrel Yard.";
        self.blocks.push(Block::Note(Text::plain(invented)));
    }
}

/// A heading of plain words.
pub fn heading_of(level: u8, text: &str) -> Block {
    Block::Heading(level, Text::plain(text))
}

/// Running text; items that follow each other become a list.
fn prose_blocks(blocks: &[prose::Block]) -> Vec<Block> {
    let mut out: Vec<Block> = Vec::new();
    for block in blocks {
        let text = text_of(block);
        match block {
            // the title alone is of the first level
            prose::Block::Heading(level, _) => out.push(Block::Heading((*level).max(2), text)),
            prose::Block::Paragraph(_) => out.push(Block::Paragraph(text)),
            prose::Block::Item(number, _) => {
                let continues = |marks: Marks, count: usize| match (marks, number) {
                    (Marks::Dots, None) => true,
                    (Marks::Numbers(first), Some(number)) => u64::from(first) + count as u64 == u64::from(*number),
                    _ => false,
                };
                match out.last_mut() {
                    Some(Block::List(marks, items)) if continues(*marks, items.len()) => items.push(text),
                    _ => out.push(Block::List(number.map_or(Marks::Dots, Marks::Numbers), vec![text])),
                }
            }
        }
    }
    out
}

/// Links lead nowhere on paper: their words are emphasised.
fn text_of(block: &prose::Block) -> Text {
    block.spans().iter().fold(Text::default(), |text, span| {
        let style = match span.style {
            prose::Style::Plain => Style::Plain,
            prose::Style::Strong => Style::Strong,
            prose::Style::Emphasis | prose::Style::Lesson(_) | prose::Style::Scenario(_) => Style::Emphasis,
        };
        text.and(&span.text, style)
    })
}
