use super::answer;
use second_breath::content::exchange::tables;
use second_breath::learning::invented_class::{ANSWERS, invented_class};
use second_breath::learning::statistics::{items, mastery};

fn rows(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let row = |row: csv::StringRecord| row.iter().map(str::to_owned).collect();
    reader.records().map(|record| row(record.expect("as many cells as the heading"))).collect()
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_gets_an_apostrophe() {
    for text in ["=1", "+1", "-1", "@x", "\tx", "\rx"] {
        assert_eq!(tables::harmless(text), format!("'{text}"));
    }
    for text in ["", "x=1", "'x", " =1", "1"] {
        assert_eq!(tables::harmless(text), text);
    }
}

#[test]
fn answers_keep_their_texts_and_end_their_lines_as_the_standard_says() {
    let text = tables::answers(&[answer()]);
    let rows = rows(&text);
    let cell = |name: &str| &rows[1][rows[0].iter().position(|heading| heading == name).expect("a column")];
    assert_eq!(cell("time_utc"), "2024-02-29T23:59:59Z");
    assert_eq!((cell("learner").as_str(), cell("item").as_str()), ("k7m2qd", "../pump/\u{fc}?"));
    assert_eq!((cell("form").as_str(), cell("chosen").as_str()), ("'@A", "'=1+1,\"x\"\r\ny"));
    assert_eq!((cell("seed"), cell("misconception").as_str()), (&u64::MAX.to_string(), "'-bigger is safer"));
    assert_eq!(text.matches("\r\n").count(), 3, "two lines and the one in the answer");
    assert_eq!(text.matches('\n').count(), 3);
}

#[test]
fn the_tables_of_a_class_have_a_row_an_answer_an_item_and_an_outcome() {
    let class = invented_class(3);
    assert_eq!(rows(&tables::answers(&class.answers)).len(), ANSWERS + 1);
    let form = items::of(&class.answers);
    let of_items = rows(&tables::items(&form));
    assert_eq!(of_items.len(), form.items.len() + 1);
    let p: f64 = of_items[1][2].parse().expect("p");
    assert_eq!(Ok(p), form.items[0].difficulty.value);
    let map = mastery::mastery(&class.answers, &class.outcomes);
    let of_outcomes = rows(&tables::mastery(&map));
    assert_eq!((of_outcomes.len(), of_outcomes[0].len()), (25, 3 + 2 * class.learners.len()));
    let sum: usize = of_outcomes[1].iter().skip(4).step_by(2).map(|n| n.parse::<usize>().expect("n")).sum();
    assert_eq!(of_outcomes[1][2], sum.to_string(), "the class is the sum of its learners");
    // what is not defined is an empty cell with a reason
    let lone = rows(&tables::items(&items::of(&[answer()])));
    assert_eq!((lone[1][4].as_str(), lone[1][5].as_str()), ("", "it needs 3 learners or more"));
}
