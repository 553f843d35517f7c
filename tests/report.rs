//! Print: every lesson makes a handout and a key, everything stands on its page inside the margins, nothing is given away,
//! the same call gives the same bytes, and hostile text does no harm.

use glam::DVec2;
use rayon::prelude::*;
use second_breath::content::course_folder;
use second_breath::learning::course::{Course, Lesson};
use second_breath::learning::explain::{Part, told};
use second_breath::learning::prediction::Prediction;
use second_breath::learning::seen::see;
use second_breath::report::date::Date;
use second_breath::report::document::{
    Axis, Block, Chart, Column, Document, Figure, Marks, Picture, Room, Series, Style, Table, Text,
};
use second_breath::report::face::Faces;
use second_breath::report::handout::{self, Reader};
use second_breath::report::layout::lay_out;
use second_breath::report::page::{Kind, Laid, MARGINS_PT, Mark, Owner, Paper, Words};
use second_breath::report::print;
use std::sync::LazyLock;

static COURSE: LazyLock<Course> = LazyLock::new(|| course_folder::course(None).0);
static FACES: LazyLock<Faces> = LazyLock::new(|| Faces::embedded().expect("the typeface"));

const DAY: Date = Date { year: 2026, month: 3, day: 9 };
const READERS: [Reader; 2] = [Reader::Pupil, Reader::Instructor];
const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];
/// A line's width is the sum of its signs, so that only rounding is forgiven, points.
const ROUNDING_PT: f64 = 1e-6;

fn document(blocks: Vec<Block>) -> Document {
    Document { title: "A paper".to_owned(), kind: "A test".to_owned(), date: DAY, blocks }
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(Text::plain(text))
}

fn laid(document: &Document, paper: Paper) -> Laid {
    lay_out(document, &FACES, paper)
}

/// Words of the document's parts, not of heads, feet and ornament.
fn said(laid: &Laid) -> impl Iterator<Item = (usize, &Words)> {
    let of_page = |page| laid.words(page).filter(|(owner, _)| matches!(owner, Owner::Node(_)));
    (0..laid.pages.len()).flat_map(move |page| of_page(page).map(move |(_, words)| (page, words)))
}

/// Everything that is said, with single spaces.
fn all_words(laid: &Laid) -> String {
    let words: Vec<&str> = said(laid).map(|(_, words)| words.text.as_str()).collect();
    single_spaced(&words.join(" "))
}

fn single_spaced(text: &str) -> String {
    text.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Without any space: lines break words that are too wide, and settings change within a word.
fn packed(text: &str) -> String {
    text.chars().filter(|sign| !sign.is_whitespace() && *sign != '\u{a0}').collect()
}

/// The box of words from the height of small letters to a little below the line: lines of text may be set closely, but
/// not one into the other. The space at the end of a line prints nothing.
fn frame(words: &Words) -> (DVec2, DVec2) {
    let visible = words.text.trim_end().len();
    let shown = words.glyphs.iter().take_while(|glyph| glyph.range.start < visible);
    let width = words.size_pt * shown.map(|glyph| glyph.advance).sum::<f64>();
    let at = words.at;
    (at - DVec2::new(0.0, 0.5 * words.size_pt), at + DVec2::new(width, 0.05 * words.size_pt))
}

fn assert_inside(laid: &Laid, what: &str) {
    let size = laid.paper.size_pt();
    let low = DVec2::new(MARGINS_PT.0, MARGINS_PT.1);
    let high = size - DVec2::new(MARGINS_PT.0, MARGINS_PT.2);
    for (page, words) in said(laid).filter(|(_, words)| !words.text.trim().is_empty()) {
        let (from, to) = frame(words);
        let is_inside = from.x >= low.x - ROUNDING_PT
            && from.y >= low.y - ROUNDING_PT
            && to.x <= high.x + ROUNDING_PT
            && to.y <= high.y + ROUNDING_PT;
        assert!(is_inside, "{what}, page {}: {:?} from {from} to {to}", page + 1, words.text);
    }
    // lines and areas need not keep to the margins to a hair, but never leave the paper
    for mark in laid.pages.iter().flatten().flat_map(|piece| &piece.marks) {
        if let Mark::Line(points, _) | Mark::Area { outline: points, .. } = mark {
            let on_paper = |point: &DVec2| point.cmpge(DVec2::ZERO).all() && point.cmple(size).all();
            assert!(points.iter().all(on_paper), "{what}: {points:?}");
        }
    }
}

fn assert_apart(laid: &Laid, what: &str) {
    for page in 0..laid.pages.len() {
        let words: Vec<&Words> =
            laid.words(page).map(|(_, words)| words).filter(|w| !w.text.trim().is_empty()).collect();
        let frames: Vec<_> = words.iter().map(|words| frame(words)).collect();
        for (i, a) in frames.iter().enumerate() {
            for (j, b) in frames.iter().enumerate().skip(i + 1) {
                // half a point: spaces at the ends of words in another setting
                let meet = a.0.x + 0.5 < b.1.x && b.0.x + 0.5 < a.1.x && a.0.y < b.1.y && b.0.y < a.1.y;
                assert!(!meet, "{what}, page {}: {:?} on {:?}", page + 1, words[i].text, words[j].text);
            }
        }
    }
}

fn each_handout(check: impl Fn(&Lesson, Reader, &Document) + Sync) {
    assert!(COURSE.lessons.len() >= 22, "the course is there");
    COURSE.lessons.par_iter().for_each(|lesson| {
        for reader in READERS {
            let document =
                handout::document(lesson, reader, DAY).unwrap_or_else(|why| panic!("{}: {why}", lesson.stem));
            check(lesson, reader, &document);
        }
    });
}

#[test]
fn every_lesson_prints_for_both_readers_on_both_papers() {
    each_handout(|lesson, reader, document| {
        for paper in PAPERS {
            let file = print(document, paper).unwrap_or_else(|why| panic!("{} {reader:?}: {why}", lesson.stem));
            assert!(file.starts_with(b"%PDF-1.7"), "{}", lesson.stem);
            // a page for each experiment at most twice over, one before and one after
            let (pages, blocks) = (laid(document, paper).pages.len(), lesson.live().count());
            assert!((2..=3 + 3 * blocks).contains(&pages), "{} {reader:?}: {pages} pages", lesson.stem);
        }
    });
}

#[test]
fn everything_stands_inside_the_margins_and_nothing_on_anything_else() {
    each_handout(|lesson, reader, document| {
        for paper in PAPERS {
            let laid = laid(document, paper);
            let what = format!("{} {reader:?} {paper:?}", lesson.stem);
            assert_inside(&laid, &what);
            assert_apart(&laid, &what);
            assert!(laid.missing.is_empty(), "{what}: {:?}", laid.missing);
        }
    });
}

#[test]
fn every_text_of_a_lesson_stands_on_its_pages() {
    each_handout(|lesson, reader, document| {
        let laid = laid(document, Paper::A4);
        // part by part, for the cells of a row are set line by line
        let mut parts = vec![String::new(); laid.nodes.len()];
        for (owner, words) in (0..laid.pages.len()).flat_map(|page| laid.words(page)) {
            if let Owner::Node(node) = owner {
                parts[node] += &packed(&words.text);
            }
        }
        let mut texts = Vec::new();
        collect(&document.blocks, &mut texts);
        assert!(texts.len() > 10, "{}", lesson.stem);
        for text in &texts {
            let text = packed(text);
            let said = parts.iter().filter(|part| **part == text).count();
            let wanted = texts.iter().filter(|other| packed(other) == text).count();
            // words such as a name may stand in a picture or a label too
            assert!(
                text.is_empty() || said >= wanted,
                "{} {reader:?}: {text} stands {said} times, not {wanted}",
                lesson.stem
            );
        }
    });
}

/// Texts of blocks, without those inside pictures.
fn collect(blocks: &[Block], texts: &mut Vec<String>) {
    for block in blocks {
        match block {
            Block::Heading(_, text) | Block::Paragraph(text) | Block::Note(text) => texts.push(text.words()),
            Block::List(_, items) | Block::Caution(items) => texts.extend(items.iter().map(Text::words)),
            Block::Table(table) => texts.extend(table.rows.iter().flatten().map(Text::words)),
            Block::Figure(figure) => texts.push(figure.caption.words()),
            Block::Together(blocks) | Block::Small(blocks) => collect(blocks, texts),
            Block::Columns(columns) => columns.iter().for_each(|blocks| collect(blocks, texts)),
            Block::Room(_) | Block::Fields(_) | Block::PageBreak => {}
        }
    }
}

/// What a pupil may not read before the run: why an answer is right or wrong, and what the runs say.
fn answers(lesson: &Lesson) -> Vec<String> {
    let mut answers = Vec::new();
    for live in lesson.live() {
        if let Prediction::Choice { options, .. } = &live.prediction {
            answers.extend(options.iter().map(|option| option.why.clone()));
        }
        let seen = see(&live.benches, live.needs_steady()).expect("a block that runs");
        answers.push(told(&live.explain, &seen));
        let pieces = live.explain.iter().filter_map(|part| match part {
            // short words such as "and" stand everywhere
            Part::Words(words) if words.split_whitespace().count() >= 6 => Some(words.clone()),
            _ => None,
        });
        answers.extend(pieces);
    }
    answers.into_iter().map(|answer| single_spaced(&answer)).collect()
}

#[test]
fn the_pupil_is_told_nothing_that_only_the_run_may_tell() {
    each_handout(|lesson, reader, document| {
        let whole = packed(&all_words(&laid(document, Paper::A4)));
        for answer in answers(lesson) {
            let is_told = whole.contains(&packed(&answer));
            match reader {
                Reader::Pupil => assert!(!is_told, "{} gives away: {answer}", lesson.stem),
                Reader::Instructor => assert!(is_told, "{} keeps back: {answer}", lesson.stem),
            }
        }
        if reader == Reader::Pupil {
            assert!(!has_result(&document.blocks), "{} shows a trace or a ticked answer", lesson.stem);
        }
    });
}

fn has_result(blocks: &[Block]) -> bool {
    blocks.iter().any(|block| match block {
        Block::List(Marks::Ticked(_), _) => true,
        Block::Figure(Figure { picture: Picture::Chart(chart), .. }) => !chart.series.is_empty(),
        Block::Together(blocks) => has_result(blocks),
        Block::Columns(columns) => columns.iter().any(|blocks| has_result(blocks)),
        _ => false,
    })
}

#[test]
fn what_follows_an_experiment_begins_a_page_for_the_pupil() {
    each_handout(|lesson, reader, document| {
        let is_break = |block: &&Block| matches!(block, Block::PageBreak);
        let breaks = document.blocks.iter().filter(is_break).count();
        let expected = if reader == Reader::Pupil { lesson.live().count() } else { 0 };
        assert_eq!(breaks, expected, "{}", lesson.stem);
    });
}

#[test]
fn the_same_call_gives_the_same_bytes_and_another_day_others() {
    let lesson = &COURSE.lessons[7];
    let made = |day| handout::pdf(lesson, Reader::Instructor, Paper::A4, day).expect("a file");
    assert_eq!(made(DAY), made(DAY));
    assert_ne!(made(DAY), made(Date { day: 10, ..DAY }));
}

/// How often a name stands in the file, whose structure is not compressed.
fn count(file: &[u8], name: &str) -> usize {
    let is_name = |after: Option<&u8>| after.is_none_or(|byte| !byte.is_ascii_alphanumeric());
    file.windows(name.len())
        .enumerate()
        .filter(|(at, bytes)| *bytes == name.as_bytes() && is_name(file.get(at + name.len())))
        .count()
}

/// That every sign of the text can be taken out again is one of the checks of PDF/UA-1 that the writer makes; here are
/// those parts that it cannot know of.
#[test]
fn a_file_says_what_its_parts_are() {
    let lesson = &COURSE.lessons[7];
    let document = handout::document(lesson, Reader::Instructor, DAY).expect("a document");
    let laid = laid(&document, Paper::A4);
    let file = print(&document, Paper::A4).expect("a file");
    assert_eq!(count(&file, "/Marked true"), 1);
    assert!(count(&file, "/Lang(en-GB)") >= 1);
    assert_eq!(count(&file, "/DisplayDocTitle true"), 1);
    assert_eq!(count(&file, "/Title(Why there is a hole)"), 2, "information and list of contents");
    let parts = |wanted: fn(&Kind) -> bool| laid.nodes.iter().filter(|node| wanted(&node.kind)).count();
    for (name, wanted) in [
        ("/S/H1", (|kind| matches!(kind, Kind::Heading(1, _))) as fn(&Kind) -> bool),
        ("/S/H2", |kind| matches!(kind, Kind::Heading(2, _))),
        ("/S/P", |kind| *kind == Kind::Paragraph),
        ("/S/L", |kind| matches!(kind, Kind::List(_))),
        ("/S/LI", |kind| *kind == Kind::Item),
        ("/S/Table", |kind| *kind == Kind::Table),
        ("/S/TR", |kind| *kind == Kind::Row),
        ("/S/TH", |kind| *kind == Kind::Head),
        ("/S/TD", |kind| *kind == Kind::Cell),
        ("/S/Figure", |kind| matches!(kind, Kind::Figure(_))),
    ] {
        assert!(parts(wanted) > 0, "{name} is tried");
        assert_eq!(count(&file, name), parts(wanted), "{name}");
    }
    let silent = |kind: &Kind| matches!(kind, Kind::Figure(spoken) if spoken.trim().is_empty());
    assert!(!laid.nodes.iter().any(|node| silent(&node.kind)), "a figure without words");
}

#[test]
fn the_head_and_the_foot_say_where_one_is() {
    let blocks = (0..80).map(|_| paragraph("One line.")).collect();
    let laid = laid(&document(blocks), Paper::A4);
    let count = laid.pages.len();
    assert!(count > 1);
    for page in 0..count {
        let edge = |owner| {
            laid.words(page).filter(|(own, _)| *own == owner).map(|(_, words)| words.text.as_str()).collect::<String>()
        };
        let foot = edge(Owner::PageFoot);
        assert!(foot.contains(&format!("Page {} of {count}", page + 1)), "{foot}");
        assert!(foot.contains("9 March 2026") && foot.contains(env!("CARGO_PKG_VERSION")), "{foot}");
        assert_eq!(edge(Owner::PageHead).contains("A paper"), page > 0);
    }
}

#[test]
fn a_heading_is_never_the_last_of_its_page() {
    for lines in 0..60 {
        let mut blocks: Vec<Block> = (0..lines).map(|_| paragraph("One line.")).collect();
        blocks.push(Block::Heading(2, Text::plain("A heading")));
        blocks.push(paragraph(&"Several words on some lines. ".repeat(12)));
        let laid = laid(&document(blocks), Paper::A4);
        for page in 0..laid.pages.len() {
            let nodes = laid.words(page).filter_map(|(owner, _)| match owner {
                Owner::Node(node) => Some(&laid.nodes[node].kind),
                _ => None,
            });
            let last = nodes.last().expect("words on every page");
            assert!(!matches!(last, Kind::Heading(..)), "{lines} lines, page {}", page + 1);
        }
    }
}

#[test]
fn paragraphs_leave_no_single_line_behind() {
    for lines in 0..50 {
        let mut blocks: Vec<Block> = (0..lines).map(|_| paragraph("One line.")).collect();
        blocks.push(paragraph(&"A paragraph of several words on seven lines or so. ".repeat(10)));
        let laid = laid(&document(blocks), Paper::A4);
        let last_node = laid.nodes.len() - 1;
        let on_page = |page| laid.words(page).filter(|(owner, _)| *owner == Owner::Node(last_node)).count();
        let counts: Vec<usize> = (0..laid.pages.len()).map(on_page).filter(|count| *count > 0).collect();
        assert!(counts.iter().all(|count| *count >= 2), "{lines}: {counts:?}");
    }
}

fn table(rows: usize) -> Table {
    let column = |head: &str, numbers| Column { head: Text::plain(head), share: 1.0, numbers };
    let row = |row: usize| vec![Text::plain(format!("Row {row}")), Text::plain(format!("{}.5", row * 7 % 1000))];
    Table { columns: vec![column("What", false), column("How much", true)], rows: (0..rows).map(row).collect() }
}

#[test]
fn numbers_of_a_column_end_at_the_same_place() {
    let laid = laid(&document(vec![Block::Table(table(40))]), Paper::A4);
    let ends: Vec<f64> = said(&laid)
        .filter(|(_, words)| words.text.ends_with(".5"))
        .map(|(_, words)| words.at.x + words.width_pt())
        .collect();
    assert_eq!(ends.len(), 40);
    // the sum of eight signs: rounding
    assert!(ends.iter().all(|end| (end - ends[0]).abs() < 1e-9), "{ends:?}");
}

#[test]
fn a_table_of_ten_thousand_rows_says_each_row_once_and_its_head_on_every_page() {
    let document = document(vec![Block::Table(table(10_000))]);
    let laid = laid(&document, Paper::A4);
    let rows: Vec<&str> =
        said(&laid).map(|(_, words)| words.text.as_str()).filter(|text| text.starts_with("Row ")).collect();
    assert_eq!(rows.len(), 10_000);
    assert!(rows.iter().enumerate().all(|(place, text)| *text == format!("Row {place}")));
    for page in 0..laid.pages.len() {
        let heads = laid.words(page).filter(|(_, words)| words.text == "How much").count();
        assert_eq!(heads, 1, "page {}", page + 1);
    }
    assert_inside(&laid, "a long table");
}

#[test]
fn rows_are_not_cut() {
    let mut long = table(30);
    for row in &mut long.rows {
        row[0] = Text::plain(
            "A cell of several lines, because it says more than a column of this width can hold in one. ".repeat(2),
        );
    }
    let laid = laid(&document(vec![Block::Table(long)]), Paper::A4);
    let cells = (0..laid.nodes.len()).filter(|node| laid.nodes[*node].kind == Kind::Cell);
    for cell in cells {
        let pages: std::collections::BTreeSet<usize> = (0..laid.pages.len())
            .filter(|page| laid.words(*page).any(|(owner, _)| owner == Owner::Node(cell)))
            .collect();
        assert_eq!(pages.len(), 1);
    }
}

#[test]
fn hostile_text_is_set_and_stays_inside() {
    let huge = "W".repeat(20_000);
    let signs = "\u{0}\u{7}\u{1b}[31m \u{202e}evil\u{feff} a\u{301} \u{10ffff} \r\n\t\u{2028}end";
    let chart = |least, most, points: Vec<(f64, f64)>| {
        let axis = || Axis { label: huge[..300].to_owned(), least, most };
        let series = vec![Series { name: huge[..200].to_owned(), place: 9, points }];
        let picture = Picture::Chart(Chart { across: axis(), up: axis(), series, levels: Vec::new(), height_pt: 1e9 });
        Block::Figure(Figure { picture, caption: Text::plain("A chart."), spoken: String::new() })
    };
    let nan = f64::NAN;
    let nested = (0..50).fold(paragraph("deep"), |block, _| Block::Together(vec![block]));
    let blocks = vec![
        paragraph(""),
        Block::Paragraph(Text::default()),
        paragraph(&huge),
        Block::Paragraph(Text::plain(&huge).and(&huge, Style::Strong).and("x", Style::Emphasis)),
        Block::Heading(0, Text::plain("")),
        Block::Heading(200, Text::plain(&huge[..2000])),
        paragraph(signs),
        Block::List(Marks::Numbers(u32::MAX), vec![Text::plain("a"), Text::plain(&huge[..500])]),
        Block::List(Marks::Ticked(7), Vec::new()),
        Block::Table(Table::default()),
        Block::Table(Table { rows: vec![Vec::new(), vec![Text::plain(&huge)]], ..table(3) }),
        Block::Caution(vec![Text::plain(&huge)]),
        Block::Room(Room { caption: huge[..400].to_owned(), height_pt: 1e9, ruled: true, grows: true }),
        Block::Room(Room { caption: String::new(), height_pt: -1.0, ruled: true, grows: false }),
        Block::Fields(Vec::new()),
        Block::Fields(vec![huge[..300].to_owned(); 3]),
        chart(0.0, 0.0, vec![(0.0, nan), (nan, 1.0)]),
        chart(nan, f64::INFINITY, Vec::new()),
        chart(0.0, 1.0, vec![(-5.0, 1e30), (0.5, 0.5), (2.0, -1e30)]),
        Block::Columns(Vec::new()),
        Block::Columns(vec![vec![paragraph(&huge)], vec![Block::PageBreak, paragraph("b")]]),
        nested,
    ];
    for paper in PAPERS {
        let document = document(blocks.clone());
        let laid = laid(&document, paper);
        assert_inside(&laid, "hostile text");
        print(&document, paper).expect("a file");
    }
}

#[test]
fn an_empty_document_is_a_page() {
    let empty = Document { title: String::new(), kind: String::new(), date: DAY, blocks: Vec::new() };
    assert_eq!(laid(&empty, Paper::A4).pages.len(), 1);
    let lesson = Lesson {
        stem: String::new(),
        title: String::new(),
        minutes: 0,
        outcomes: vec![0, 99],
        sources: Vec::new(),
        cautions: Vec::new(),
        bench: None,
        pieces: Vec::new(),
    };
    for reader in READERS {
        handout::pdf(&lesson, reader, Paper::A4, DAY).expect("a file");
    }
}

#[test]
fn signs_that_the_typeface_lacks_are_replaced_and_said() {
    let document = document(vec![paragraph("Fuel 燃料 and λ")]);
    let laid = laid(&document, Paper::A4);
    let whole = all_words(&laid);
    assert_eq!(laid.missing, ['料', '燃']);
    assert!(whole.contains("Fuel □□ and λ"), "{whole}");
    assert!(whole.contains("U+6599, U+71C3"), "{whole}");
    print(&document, Paper::A4).expect("a file");
}

#[test]
fn a_number_and_its_unit_stay_on_one_line() {
    for words in 0..40 {
        let text = format!("{}85.2 kPa", "word ".repeat(words));
        let laid = laid(&document(vec![paragraph(&text)]), Paper::A4);
        assert!(said(&laid).any(|(_, words)| words.text.contains("85.2\u{a0}kPa")), "{words}");
    }
}
