//! Answers as xAPI 1.0.3 statements (ADL, *Experience API* part 2, 2016), one a line of JSON.
//!
//! The actor is an account with the learner's code; no name goes out. Ids stand under a host that can never exist
//! (`.invalid`, RFC 2606). A statement's own id follows from its answer (RFC 9562, version 5), so that a record store
//! that gets the same answer twice keeps it once. No `version` stands in a statement: the standard asks those who write one
//! to leave it out (2.4.10).

use crate::learning::date::utc;
use crate::learning::record::Answer;
use serde_json::{Map, Value, json};
use uuid::Uuid;

const HOME: &str = "https://second-breath.invalid";

/// The statements of some answers, in their order.
pub fn statements(answers: &[Answer]) -> String {
    answers.iter().map(|answer| format!("{}\n", statement(answer))).collect()
}

fn statement(answer: &Answer) -> Value {
    let mut statement = json!({
        "actor": {
            "objectType": "Agent",
            "account": { "homePage": format!("{HOME}/learner"), "name": answer.learner.as_str() },
        },
        "verb": { "id": "http://adlnet.gov/expapi/verbs/answered", "display": { "en": "answered" } },
        "object": {
            "objectType": "Activity",
            "id": format!("{HOME}/item/{}", escaped(&answer.item)),
            "definition": { "type": "http://adlnet.gov/expapi/activities/question" },
        },
        "result": {
            "score": { "scaled": answer.score },
            "success": answer.right,
            "response": answer.chosen,
            "duration": duration(answer.seconds),
        },
        "context": { "platform": "Second Breath", "extensions": extensions(answer) },
        "timestamp": utc(answer.at_unix_s),
    });
    let id = Uuid::new_v5(&Uuid::NAMESPACE_URL, statement.to_string().as_bytes());
    if let Value::Object(map) = &mut statement {
        map.insert("id".to_owned(), id.to_string().into());
    }
    statement
}

fn extensions(answer: &Answer) -> Map<String, Value> {
    let mut map = Map::new();
    let mut add = |name: &str, value: &str| map.insert(format!("{HOME}/extension/{name}"), value.into());
    add("mode", answer.mode.id());
    // as text: numbers of JSON lose the last figures of a long seed in many programs
    add("seed", &answer.seed.to_string());
    if let Some(form) = answer.mode.form() {
        add("form", form);
    }
    if let Some(misconception) = &answer.misconception {
        add("misconception", misconception);
    }
    map
}

/// A duration of ISO 8601 to a hundredth of a second, which is what the standard asks for.
fn duration(seconds: f64) -> String {
    let text = format!("{seconds:.2}");
    format!("PT{}S", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A piece of a path with every byte escaped that is not unreserved (RFC 3986, section 2.3).
fn escaped(text: &str) -> String {
    let byte = |byte: u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => char::from(byte).to_string(),
        _ => format!("%{byte:02X}"),
    };
    let path: String = text.bytes().map(byte).collect();
    // a piece of dots alone would lead to another place
    if path.bytes().all(|byte| byte == b'.') { path.replace('.', "%2E") } else { path }
}
