//! The form of an exported package: elements, their order and their attributes, restated by hand for the subset that is
//! written, from memory of the QTI 2.2 schema and of IMS Content Packaging 1.1; the attributes of a choice were read in a
//! stored copy of the schema. Not a validation against the schema itself, which is not at hand here.

use super::package::{file, items};
use quick_xml::events::Event;
use quick_xml::reader::Reader;
use second_breath::content::exchange::qti::export;

/// Element; attributes (with `?` those that may be absent); what it holds, in order: `?` none or one, `*` any number,
/// `+` one or more. `text` stands for words.
const FORM: &[(&str, &[&str], &[&str])] = &[
    ("manifest", &["identifier"], &["metadata", "organizations", "resources"]),
    ("schema", &[], &["text"]),
    ("schemaversion", &[], &["text"]),
    ("organizations", &[], &[]),
    ("resources", &[], &["resource*"]),
    ("resource", &["identifier", "type", "href"], &["metadata?", "file+"]),
    ("file", &["href"], &[]),
    ("lom:lom", &[], &["lom:general?"]),
    ("lom:general", &[], &["lom:keyword*"]),
    ("lom:keyword", &[], &["lom:string+"]),
    ("lom:string", &["language?"], &["text"]),
    (
        "assessmentItem",
        &["identifier", "title", "adaptive?", "timeDependent"],
        &["responseDeclaration*", "outcomeDeclaration*", "itemBody?", "responseProcessing?", "modalFeedback*"],
    ),
    ("responseDeclaration", &["identifier", "cardinality", "baseType?"], &["correctResponse?"]),
    ("outcomeDeclaration", &["identifier", "cardinality", "baseType?"], &[]),
    ("correctResponse", &[], &["value+"]),
    ("value", &[], &["text"]),
    ("itemBody", &[], &["p*", "choiceInteraction?"]),
    ("p", &[], &["textEntryInteraction?", "text?"]),
    ("choiceInteraction", &["responseIdentifier", "shuffle?", "maxChoices?"], &["simpleChoice+"]),
    ("simpleChoice", &["identifier"], &["text"]),
    ("textEntryInteraction", &["responseIdentifier"], &[]),
    ("responseProcessing", &[], &["responseCondition+", "setOutcomeValue?"]),
    ("responseCondition", &[], &["responseIf", "responseElse?"]),
    ("responseIf", &[], &["match?", "equal?", "setOutcomeValue+"]),
    ("responseElse", &[], &["setOutcomeValue+"]),
    ("match", &[], &["variable", "correct"]),
    ("equal", &["toleranceMode", "tolerance?"], &["variable", "correct"]),
    ("variable", &["identifier"], &[]),
    ("correct", &["identifier"], &[]),
    ("setOutcomeValue", &["identifier"], &["baseValue?", "variable?"]),
    ("baseValue", &["baseType"], &["text"]),
    ("modalFeedback", &["outcomeIdentifier", "identifier", "showHide"], &["text"]),
];

struct Open {
    name: String,
    attributes: Vec<String>,
    holds: Vec<String>,
}

/// What is wrong with the form of a text.
fn faults(text: &str) -> Vec<String> {
    let mut reader = Reader::from_str(text);
    let mut open: Vec<Open> = Vec::new();
    let mut faults = Vec::new();
    loop {
        match reader.read_event().expect("XML") {
            Event::Start(start) => open.push(begun(&start)),
            Event::Empty(start) => {
                let element = begun(&start);
                note(&mut open, &element.name);
                faults.extend(fault(&element));
            }
            Event::End(_) => {
                let element = open.pop().expect("an open one");
                note(&mut open, &element.name);
                faults.extend(fault(&element));
            }
            Event::Text(piece) if !piece.decode().expect("text").trim().is_empty() => note(&mut open, "text"),
            Event::GeneralRef(_) => note(&mut open, "text"),
            Event::Eof => return faults,
            _ => {}
        }
    }
}

fn begun(start: &quick_xml::events::BytesStart<'_>) -> Open {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let attributes = start.attributes().map(|attribute| text(attribute.expect("an attribute").key.as_ref()));
    let attributes = attributes.filter(|name| !name.starts_with("xmlns") && !name.starts_with("xsi:")).collect();
    Open { name: text(start.name().as_ref()), attributes, holds: Vec::new() }
}

fn note(open: &mut [Open], what: &str) {
    if let Some(parent) = open.last_mut()
        && !(what == "text" && parent.holds.last().is_some_and(|last| last == "text"))
    {
        parent.holds.push(what.to_owned());
    }
}

fn fault(element: &Open) -> Option<String> {
    let name = &element.name;
    // the one element that means something else in the two places where it stands
    let of_package: &[&str] = &["schema", "schemaversion"];
    let (attributes, holds): (&[&str], &[&str]) = if name == "metadata" {
        (&[], if element.holds.len() == 1 { &["lom:lom"] } else { of_package })
    } else {
        match FORM.iter().find(|(known, ..)| known == name) {
            Some((_, attributes, holds)) => (attributes, holds),
            None => return Some(format!("{name} is not known")),
        }
    };
    let bare = |name: &str| name.trim_end_matches(['?', '*', '+']).to_owned();
    let missing = attributes.iter().find(|one| !one.ends_with('?') && !element.attributes.contains(&bare(one)));
    let strange = element.attributes.iter().find(|one| !attributes.iter().any(|known| bare(known) == **one));
    if missing.is_some() || strange.is_some() {
        return Some(format!("{name}: attribute missing {missing:?}, strange {strange:?}"));
    }
    let mut rest = element.holds.as_slice();
    for wanted in holds {
        let count = rest.iter().take_while(|held| **held == bare(wanted)).count();
        let allowed = match wanted.chars().last() {
            Some('?') => 0..=1,
            Some('*') => 0..=usize::MAX,
            Some('+') => 1..=usize::MAX,
            _ => 1..=1,
        };
        if !allowed.contains(&count) {
            return Some(format!("{name}: {count} of {wanted}"));
        }
        rest = &rest[count..];
    }
    (!rest.is_empty()).then(|| format!("{name}: {rest:?} out of place"))
}

#[test]
fn an_exported_package_has_the_form_of_the_standard() {
    let bytes = export(&items()).expect("a package");
    assert_eq!(faults(&file(&bytes, "imsmanifest.xml")), [""; 0]);
    for item in items() {
        assert_eq!(faults(&file(&bytes, &format!("items/{}.xml", item.id))), [""; 0], "{}", item.id);
    }
}

#[test]
fn the_check_of_the_form_sees_what_is_out_of_place() {
    let bytes = export(&items()).expect("a package");
    let text = file(&bytes, "items/demand.xml");
    for (from, to) in [
        ("timeDependent=\"false\"", ""),
        ("title=", "titel="),
        ("<value>612.3456789</value>", ""),
        ("showHide=\"show\"", ""),
        (
            "<itemBody>",
            "<modalFeedback outcomeIdentifier=\"F\" identifier=\"x\" showHide=\"show\">x</modalFeedback><itemBody>",
        ),
    ] {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from} is there");
        assert!(!faults(&changed).is_empty(), "{from}");
    }
}
