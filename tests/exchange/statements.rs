use super::answer;
use second_breath::content::exchange::statements::statements;
use second_breath::learning::invented_class::invented_class;
use second_breath::learning::record::{Answer, Mode};
use serde_json::Value;
use std::collections::HashSet;

fn parsed(answers: &[Answer]) -> Vec<Value> {
    statements(answers).lines().map(|line| serde_json::from_str(line).expect("JSON")).collect()
}

/// Field by field as *Experience API* 1.0.3, part 2, sections 2.4 and 4 ask for.
#[test]
fn a_statement_says_who_did_what_with_what_result() {
    let statement = &parsed(&[answer()])[0];
    assert_eq!(statement["actor"]["objectType"], "Agent");
    assert_eq!(statement["actor"]["account"]["name"], "k7m2qd");
    assert_eq!(statement["actor"]["account"].as_object().map(serde_json::Map::len), Some(2));
    assert_eq!(statement["verb"]["id"], "http://adlnet.gov/expapi/verbs/answered");
    assert_eq!(statement["object"]["id"], "https://second-breath.invalid/item/..%2Fpump%2F%C3%BC%3F");
    let result = &statement["result"];
    assert_eq!((&result["score"]["scaled"], &result["success"]), (&0.25.into(), &false.into()));
    assert_eq!(result["response"], "=1+1,\"x\"\r\ny");
    assert_eq!(result["duration"], "PT61.24S");
    assert_eq!(statement["timestamp"], "2024-02-29T23:59:59Z");
    let extensions = &statement["context"]["extensions"];
    assert_eq!(extensions["https://second-breath.invalid/extension/seed"], u64::MAX.to_string());
    assert_eq!(extensions["https://second-breath.invalid/extension/form"], "@A");
    let known = ["actor", "verb", "object", "result", "context", "timestamp", "id"];
    let keys: HashSet<&str> = statement.as_object().expect("an object").keys().map(String::as_str).collect();
    assert_eq!(keys, known.into());
}

#[test]
fn an_item_of_dots_stays_under_its_path_and_round_numbers_stay_short() {
    let strange = Answer { item: "..".to_owned(), seconds: 0.0, mode: Mode::Review, misconception: None, ..answer() };
    let statement = &parsed(&[strange])[0];
    assert_eq!(statement["object"]["id"], "https://second-breath.invalid/item/%2E%2E");
    assert_eq!(statement["result"]["duration"], "PT0S");
}

#[test]
fn a_class_goes_out_without_names_and_each_answer_has_an_id_that_stays() {
    let class = invented_class(5);
    let text = statements(&class.answers);
    assert!(class.learners.iter().all(|(code, name)| text.contains(code.as_str()) && !text.contains(name.as_str())));
    let ids = |text: &str| -> Vec<String> {
        let id = |line: &str| serde_json::from_str::<Value>(line).expect("JSON")["id"].as_str().expect("id").to_owned();
        text.lines().map(id).collect()
    };
    let found = ids(&text);
    assert_eq!(found.iter().collect::<HashSet<_>>().len(), class.answers.len());
    assert_eq!(found, ids(&statements(&class.answers)));
    // 8-4-4-4-12 figures, version 5, variant 10
    let well_formed = |id: &String| {
        let parts: Vec<usize> = id.split('-').map(str::len).collect();
        parts == [8, 4, 4, 4, 12] && id.as_bytes()[14] == b'5' && b"89ab".contains(&id.as_bytes()[19])
    };
    assert!(found.iter().all(well_formed));
}
