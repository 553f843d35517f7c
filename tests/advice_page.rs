//! The page that a customer takes home: every shipped customer's stands on two sheets of both papers, the same call gives
//! the same bytes, and no figure stands on it that the recommendation or its runs have not.

use rayon::prelude::*;
use second_breath::advice::intake::answers::Complaint;
use second_breath::advice::recommend::contrast::Contrast;
use second_breath::advice::recommend::design::Action;
use second_breath::advice::recommend::phrase::flow;
use second_breath::advice::recommend::proposal::Recommendation;
use second_breath::advice::recommend::{Options, recommend};
use second_breath::bench::sentence::sentence;
use second_breath::bench::watch::Watch;
use second_breath::content::customers;
use second_breath::content::recommended::with_what_is_left_out;
use second_breath::report::advice_page::{document, pdf};
use second_breath::report::date::Date;
use second_breath::report::document::{Block, Document, Picture, Text};
use second_breath::report::face::Faces;
use second_breath::report::layout::lay_out;
use second_breath::report::page::Paper;
use second_breath::settings::grouped::Grouped;
use second_breath::units::UnitSystem;
use std::collections::BTreeSet;
use std::sync::LazyLock;

const DAY: Date = Date { year: 2026, month: 3, day: 9 };
const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];

/// Of every shipped customer, asked once; few draws, for no number here hangs on how finely a share is known.
static FOUND: LazyLock<Vec<(&'static str, Recommendation)>> = LazyLock::new(|| {
    let options = Options { seed: 1, draws: 4, units: UnitSystem::Si };
    let ask = |shipped: second_breath::content::library::Shipped| {
        let customer = shipped.customer().expect("is read");
        let found = recommend(&customer, options, &Watch::default(), &mut |_| {}).expect("a recommendation");
        (shipped.stem, with_what_is_left_out(found).expect("the list is read"))
    };
    customers::shipped().into_par_iter().map(ask).collect()
});

fn page(found: &Recommendation, paper: Paper) -> Document {
    document(found, paper, DAY).expect("a page")
}

fn texts<'a>(blocks: &'a [Block], out: &mut Vec<&'a Text>) {
    for block in blocks {
        match block {
            Block::Heading(_, text) | Block::Paragraph(text) | Block::Note(text) => out.push(text),
            Block::List(_, items) | Block::Caution(items) => out.extend(items),
            Block::Table(table) => out.extend(table.rows.iter().flatten()),
            Block::Figure(figure) => out.push(&figure.caption),
            Block::Columns(columns) => columns.iter().for_each(|column| texts(column, out)),
            Block::Together(blocks) | Block::Small(blocks) => texts(blocks, out),
            Block::Room(_) | Block::Fields(_) | Block::PageBreak => {}
        }
    }
}

fn words(document: &Document) -> String {
    let mut all = Vec::new();
    texts(&document.blocks, &mut all);
    all.iter().map(|text| text.words()).collect::<Vec<_>>().join("\n")
}

/// Every number in a text, as it is written.
fn numbers(text: &str) -> BTreeSet<String> {
    text.split(|sign: char| !sign.is_ascii_digit() && sign != '.')
        .map(|part| part.trim_matches('.').to_owned())
        .filter(|part| !part.is_empty())
        .collect()
}

/// Everything that the recommendation says itself.
fn said(found: &Recommendation, contrast: &Contrast) -> String {
    let mut all = vec![found.customer.note.clone(), found.headline.clone(), found.sure.clone(), found.hot.text.clone()];
    all.extend(found.complaint.clone());
    all.push(found.counts.clone());
    all.extend(found.reading.iter().chain(&found.cautions).chain(&found.left_out).cloned());
    all.push(found.law.clone());
    all.extend(found.assumed.iter().map(|line| format!("{} {}", line.label, line.text)));
    all.extend(contrast.sides.iter().map(|side| sentence(&side.findings)));
    for proposal in &found.proposals {
        all.push(proposal.title.clone());
        all.extend([&proposal.gains, &proposal.costs, &proposal.why, &proposal.room].into_iter().flatten().cloned());
        all.extend(proposal.settings.iter().map(|setting| format!("{} {:?}", setting.value, setting.before)));
        all.extend(proposal.steps.iter().map(|step| step.text.clone()));
        // the table's own figures, from the numbers behind the texts
        all.push(format!(
            "{:.1} {:.0} {:.0} {:.0} {:.1} {}",
            proposal.cost,
            proposal.first_share * found.draws as f64,
            1e3 * proposal.figures.lost_s(&found.weights),
            proposal.figures.top_nm,
            1e6 * proposal.footing.cruise.fuel_kg_per_m,
            proposal.work_s / 3600.0
        ));
    }
    let customer = &found.customer;
    // a flow is shown in both units
    all.extend(customer.told("now", "rating").map(flow));
    let answers = customer
        .places()
        .into_iter()
        .filter_map(|place| Some(customer.setting(place)?.shown(customer.answer(place)?, UnitSystem::Si)));
    all.extend(answers);
    all.push(format!("{:.0} {} {} {}", 1e3 * contrast.telling_s(), found.runs, found.seed, found.draws));
    all.extend(found.hot.rows.iter().map(|row| format!("{:.1}", row.cranking_s)));
    all.join("\n")
}

#[test]
fn every_shipped_customers_page_stands_on_two_sheets_of_both_papers() {
    let faces = Faces::embedded().expect("the typeface");
    assert!(FOUND.len() >= 6, "the customers are there");
    for (stem, found) in FOUND.iter() {
        for paper in PAPERS {
            let laid = lay_out(&page(found, paper), &faces, paper);
            assert!(laid.pages.len() <= 2, "{stem} takes {} pages of {paper:?}", laid.pages.len());
            assert!(laid.missing.is_empty(), "{stem}: the typeface lacks {:?}", laid.missing);
        }
    }
}

/// The customer of whom most is said, asked as the program asks: more draws make more sentences.
#[test]
fn the_fullest_page_stands_on_two_sheets_with_all_its_draws() {
    let shipped = customers::shipped().into_iter().find(|shipped| shipped.stem.starts_with("05")).expect("a customer");
    let customer = shipped.customer().expect("is read");
    let found = recommend(&customer, Options::default(), &Watch::default(), &mut |_| {}).expect("a recommendation");
    let found = with_what_is_left_out(found).expect("the list is read");
    let faces = Faces::embedded().expect("the typeface");
    for paper in PAPERS {
        assert_eq!(lay_out(&page(&found, paper), &faces, paper).pages.len(), 2, "{paper:?}");
    }
}

#[test]
fn the_same_call_gives_the_same_bytes() {
    let (_, found) = &FOUND[0];
    for paper in PAPERS {
        assert_eq!(pdf(found, paper, DAY).expect("a file"), pdf(found, paper, DAY).expect("a file"));
    }
}

#[test]
fn every_figure_on_the_page_is_the_recommendations() {
    for (stem, found) in FOUND.iter() {
        let contrast = Contrast::of(found).expect("they run again");
        let known = numbers(&said(found, &contrast));
        // step numbers, ranks, counts of what is left away, and the words that explain λ
        let counted = |number: &str| number.parse::<usize>().is_ok_and(|count| count <= 40);
        for number in numbers(&words(&page(found, Paper::A4))) {
            assert!(known.contains(&number) || counted(&number), "{stem}: nobody computed {number}");
        }
    }
}

#[test]
fn the_page_says_what_matters_first_and_leaves_nothing_important_out() {
    for (stem, found) in FOUND.iter() {
        let first = &found.proposals[0];
        let text = words(&page(found, Paper::A4));
        for wanted in [&found.headline, &found.law, &found.sure, &found.hot.text] {
            assert!(text.contains(wanted), "{stem}: {wanted}");
        }
        assert!(text.contains("Invented customer of Kestrel Yard"), "{stem}");
        assert!(found.cautions.iter().all(|caution| text.contains(caution)), "{stem}: cautions");
        for setting in &first.settings {
            assert!(text.contains(&setting.value), "{stem}: {}", setting.label);
        }
        let steps = first.steps.iter().take(3);
        assert!(steps.into_iter().all(|step| text.contains(&step.text) && text.contains(step.caution)), "{stem}");
        for line in &found.assumed {
            assert!(text.contains(&line.label), "{stem}: {} was not told", line.label);
        }
    }
}

/// A stranger reads what to do before why, and a cheaper way that is as good before the dear one.
#[test]
fn what_to_do_is_told_in_its_order() {
    for (stem, found) in FOUND.iter() {
        let text = words(&page(found, Paper::A4));
        let place = |part: &str| text.find(part).unwrap_or_else(|| panic!("{stem}: {part} is missing"));
        assert!(place("What to do") < place("What you would see"), "{stem}");
        assert!(place("What you would see") < place("Its rated flow"), "{stem}");
        assert!(place("Its rated flow") < place("Tune in this order"), "{stem}");
        let first = &found.proposals[0];
        let cheap = found.proposals.iter().find(|one| one.alike && 2.0 * one.work_s <= first.work_s);
        if first.action == Action::Fit && cheap.is_some_and(|cheap| cheap.action == Action::Change) {
            assert!(place("Before you buy, try the cheaper way") < place("How it works"), "{stem}");
        }
        if first.action == Action::Change && found.proposals.iter().any(|one| one.action == Action::Keep && one.alike) {
            assert!(text.contains("You may leave everything as it is"), "{stem}");
        }
        let asks_hot = found.customer.told("now", "complaint") == Some(Complaint::HotStart.value());
        assert_eq!(text.contains("Against the bad hot start"), asks_hot && found.hot.rows[0].is_hard(), "{stem}");
    }
}

/// What is drawn side by side is drawn to one scale.
#[test]
fn the_sections_of_a_page_have_one_scale() {
    for (stem, found) in FOUND.iter() {
        for paper in PAPERS {
            let mut scales = Vec::new();
            scales_of(&page(found, paper).blocks, &mut scales);
            let (least, most) = scales.iter().fold((f64::MAX, 0.0_f64), |(a, b), scale| (a.min(*scale), b.max(*scale)));
            assert!(!scales.is_empty() && most - least < 1e-9 * most, "{stem}: {scales:?}");
        }
    }
}

/// Height on paper over the height of what is drawn.
fn scales_of(blocks: &[Block], scales: &mut Vec<f64>) {
    for block in blocks {
        match block {
            Block::Figure(figure) => {
                if let Picture::Section(scene, height_pt) = &figure.picture {
                    scales.push(height_pt / (scene.bounds.1.y - scene.bounds.0.y));
                }
            }
            Block::Columns(columns) => columns.iter().for_each(|column| scales_of(column, scales)),
            Block::Together(blocks) | Block::Small(blocks) => scales_of(blocks, scales),
            _ => {}
        }
    }
}

#[test]
fn the_pictures_are_of_the_runs_that_are_compared() {
    for (stem, found) in FOUND.iter() {
        let contrast = Contrast::of(found).expect("they run again");
        let stab = |side: usize| {
            let proposal = &found.proposals[contrast.sides[side].proposal];
            proposal.figures.stabs.iter().find(|stab| stab.stroke == contrast.stroke).expect("was run")
        };
        for (index, side) in contrast.sides.iter().enumerate() {
            let (drawn, judged) = (side.findings.lost_s.unwrap_or(0.0), stab(index).findings.lost_s.unwrap_or(0.0));
            // the judged run is sampled more coarsely: 5 ms against 2 ms, of which an integral feels a part
            assert!((drawn - judged).abs() <= 0.003 + 0.02 * judged, "{stem}: {drawn} against {judged}");
        }
        let kept = found.proposals.iter().position(|proposal| proposal.action == Action::Keep);
        if let Some(kept) = kept {
            assert!(contrast.sides.iter().any(|side| side.proposal == kept), "{stem}: today is shown");
        }
        assert!(contrast.sides.iter().any(|side| side.proposal == 0), "{stem}: the first is shown");
        let mut sections = 0;
        count_sections(&page(found, Paper::A4).blocks, &mut sections);
        assert_eq!(sections, contrast.sides.len(), "{stem}");
    }
}

fn count_sections(blocks: &[Block], count: &mut usize) {
    for block in blocks {
        match block {
            Block::Figure(figure) => *count += usize::from(matches!(figure.picture, Picture::Section(..))),
            Block::Columns(columns) => columns.iter().for_each(|column| count_sections(column, count)),
            Block::Together(blocks) | Block::Small(blocks) => count_sections(blocks, count),
            _ => {}
        }
    }
}
