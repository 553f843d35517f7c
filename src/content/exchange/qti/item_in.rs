//! The XML of an `assessmentItem` as an item, or the reason why it is not one of the subset.

use super::xml::{Element, Node};
use super::{READ_NAMESPACES, RESPONSE, RIGHT, WRONG};
use crate::content::exchange::{ExchangeItem, ExchangeKind, ExchangeOption, Tolerance, one_line};
use crate::content::problem::quoted;

/// Why an item is not taken, and at which line.
pub type Refused = (usize, String);

/// Elements whose words count and whose looks may go. Raised and lowered figures are not among them: without its place a
/// figure means something else.
const PLAIN: [&str; 12] =
    ["p", "div", "span", "em", "strong", "b", "i", "br", "prompt", "simpleChoice", "code", "blockquote"];

/// Elements of response processing that are understood.
const PROCESSING: [&str; 11] = [
    "responseProcessing",
    "responseCondition",
    "responseIf",
    "responseElse",
    "match",
    "equal",
    "variable",
    "correct",
    "baseValue",
    "setOutcomeValue",
    "and",
];

/// An item from the root of its file; the outcomes stand elsewhere.
pub fn taken(root: &Element) -> Result<ExchangeItem, Refused> {
    if root.local() != "assessmentItem" || !root.own_namespace().is_some_and(|name| READ_NAMESPACES.contains(&name)) {
        return refuse(root, format!("{} is not an item of QTI 2.1 or 2.2", quoted(&root.name)));
    }
    if root.get("adaptive") == Some("true") || root.get("timeDependent") == Some("true") {
        return refuse(root, "it adapts to the learner or depends on time");
    }
    for strange in ["templateDeclaration", "templateProcessing", "stylesheet", "assessmentStimulusRef"] {
        if let Some(found) = root.named(strange).next() {
            return refuse(found, format!("it has a {strange}"));
        }
    }
    let body = only(root, "itemBody")?;
    let interactions: Vec<&Element> =
        body.all().into_iter().filter(|element| element.local().ends_with("Interaction")).collect();
    let [interaction] = interactions.as_slice() else {
        return refuse(body, format!("it has {} interactions, not one", interactions.len()));
    };
    let declaration = only(root, "responseDeclaration")?;
    let name = declaration.get("identifier").unwrap_or(RESPONSE);
    if interaction.get("responseIdentifier") != Some(name) || declaration.get("cardinality") != Some("single") {
        return refuse(declaration, "its response is not a single one of its interaction");
    }
    let processing = processing(root)?;
    let (stem, kind) = match interaction.local() {
        "choiceInteraction" => (stem(body, interaction)?, choice(root, declaration, interaction, processing)?),
        "textEntryInteraction" => numeric(root, body, declaration, interaction, processing)?,
        other => return refuse(interaction, format!("{} is not a choice or a number", quoted(other))),
    };
    let attribute = |name: &str| root.get(name).unwrap_or_default().to_owned();
    let item =
        ExchangeItem { id: attribute("identifier"), title: attribute("title"), stem, kind, outcomes: Vec::new() };
    let item = item.tidied();
    item.check().map_err(|what| (root.line, what))?;
    Ok(item)
}

fn refuse<T>(element: &Element, why: impl Into<String>) -> Result<T, Refused> {
    Err((element.line, why.into()))
}

fn only<'a>(parent: &'a Element, name: &'a str) -> Result<&'a Element, Refused> {
    let mut found = parent.named(name);
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => refuse(parent, format!("it has no {name}")),
        (Some(_), Some(second)) => refuse(second, format!("it has more than one {name}")),
    }
}

/// The response processing, if any, when it holds nothing but what is understood.
fn processing(root: &Element) -> Result<Option<&Element>, Refused> {
    let Some(processing) = root.named("responseProcessing").next() else { return Ok(None) };
    if let Some(template) = processing.get("template") {
        let file = template.rsplit('/').next().unwrap_or_default();
        if file.trim_end_matches(".xml") != "match_correct" {
            return refuse(processing, format!("it is scored by {}", quoted(template)));
        }
    }
    match processing.all().into_iter().find(|element| !PROCESSING.contains(&element.local())) {
        Some(strange) => refuse(strange, format!("it is scored by {}", quoted(strange.local()))),
        None => Ok(Some(processing)),
    }
}

/// Words of an element, if it has nothing but words.
fn words(element: &Element, except: &str) -> Result<String, Refused> {
    let strange = element.all().into_iter().skip(1).find(|one| !PLAIN.contains(&one.local()) && one.local() != except);
    match strange {
        Some(strange) => refuse(strange, format!("it holds {}, not only words", quoted(strange.local()))),
        None => Ok(element.text()),
    }
}

/// Paragraphs of the body without the interaction, then its prompt.
fn stem(body: &Element, interaction: &Element) -> Result<String, Refused> {
    let mut pieces = Vec::new();
    around(body, interaction, &mut pieces)?;
    for prompt in interaction.named("prompt") {
        pieces.push(words(prompt, "")?);
    }
    Ok(joined(&pieces))
}

/// The words around an interaction, wherever it stands within.
fn around(outer: &Element, interaction: &Element, pieces: &mut Vec<String>) -> Result<(), Refused> {
    for node in &outer.content {
        match node {
            Node::Text(text) => pieces.push(one_line(text)),
            Node::Element(element) if std::ptr::eq(element, interaction) => {}
            Node::Element(element) if !PLAIN.contains(&element.local()) => {
                return refuse(element, format!("it holds {}, not only words", quoted(element.local())));
            }
            Node::Element(element) if element.all().iter().any(|one| std::ptr::eq(*one, interaction)) => {
                around(element, interaction, pieces)?;
            }
            Node::Element(element) => pieces.push(words(element, "")?),
        }
    }
    Ok(())
}

fn joined(pieces: &[String]) -> String {
    let full: Vec<&str> = pieces.iter().map(String::as_str).filter(|piece| !piece.is_empty()).collect();
    full.join("\n\n")
}

fn key(declaration: &Element) -> Result<String, Refused> {
    if let Some(mapping) = declaration.named("mapping").next() {
        return refuse(mapping, "its score comes from a mapping");
    }
    let correct = only(declaration, "correctResponse")?;
    Ok(only(correct, "value")?.text())
}

/// What is said where the outcome has this value.
fn feedback(root: &Element, id: &str) -> Result<String, Refused> {
    let mut pieces = Vec::new();
    for element in root.named("modalFeedback") {
        if element.get("showHide") == Some("hide") {
            return refuse(element, "a feedback is hidden, not shown, by an answer");
        }
        if element.get("identifier") == Some(id) {
            pieces.push(words(element, "")?);
        }
    }
    Ok(pieces.join(" "))
}

/// Feedback to nothing that can be chosen would be lost.
fn all_told(root: &Element, ids: &[&str]) -> Result<(), Refused> {
    let known = |element: &&Element| element.get("identifier").is_some_and(|id| ids.contains(&id));
    match root.named("modalFeedback").find(|element| !known(element)) {
        Some(element) => refuse(element, "a feedback belongs to none of the answers"),
        None => Ok(()),
    }
}

fn choice(
    root: &Element,
    declaration: &Element,
    interaction: &Element,
    processing: Option<&Element>,
) -> Result<ExchangeKind, Refused> {
    if !["1", ""].contains(&interaction.get("maxChoices").unwrap_or("1")) {
        return refuse(interaction, "more than one option may be chosen");
    }
    if let Some(equal) = processing.and_then(|all| all.all().into_iter().find(|one| one.local() == "equal")) {
        return refuse(equal, "a choice is scored as a number");
    }
    let key = key(declaration)?;
    let mut options = Vec::new();
    for element in interaction.elements().filter(|element| element.local() != "prompt") {
        if element.local() != "simpleChoice" {
            return refuse(element, format!("{} is not a plain option", quoted(element.local())));
        }
        let id = element.get("identifier").unwrap_or_default().to_owned();
        let mut plain = element.clone();
        plain.content.retain(|node| !matches!(node, Node::Element(one) if one.local() == "feedbackInline"));
        let mut said = vec![feedback(root, &id)?];
        for inline in element.named("feedbackInline") {
            said.push(words(inline, "")?);
        }
        let right = id == key;
        options.push(ExchangeOption { id, text: words(&plain, "")?, feedback: one_line(&said.join(" ")), right });
    }
    all_told(root, &options.iter().map(|option| option.id.as_str()).collect::<Vec<_>>())?;
    Ok(ExchangeKind::Choice { options })
}

fn numeric(
    root: &Element,
    body: &Element,
    declaration: &Element,
    interaction: &Element,
    processing: Option<&Element>,
) -> Result<(String, ExchangeKind), Refused> {
    let base_type = declaration.get("baseType").unwrap_or_default();
    if !["float", "integer"].contains(&base_type) {
        return refuse(declaration, format!("its answer is of the type {}, not a number", quoted(base_type)));
    }
    let key: f64 = match key(declaration)?.parse() {
        Ok(key) => key,
        Err(_) => return refuse(declaration, "its key is not a number"),
    };
    let (mut pieces, mut unit) = (Vec::new(), String::new());
    for node in &body.content {
        match node {
            Node::Text(text) => pieces.push(one_line(text)),
            Node::Element(element) if element.elements().any(|one| std::ptr::eq(one, interaction)) => {
                words(element, "textEntryInteraction")?;
                let place = element
                    .content
                    .iter()
                    .position(|node| matches!(node, Node::Element(one) if std::ptr::eq(one, interaction)));
                let (before, after) = element.content.split_at(place.unwrap_or_default());
                let part = |nodes: &[Node]| Element { content: nodes.to_vec(), ..Element::default() }.text();
                pieces.push(part(before));
                unit = part(after);
            }
            Node::Element(element) if PLAIN.contains(&element.local()) => pieces.push(words(element, "")?),
            Node::Element(element) => {
                return refuse(element, format!("it holds {}, not only words", quoted(element.local())));
            }
        }
    }
    all_told(root, &[RIGHT, WRONG])?;
    let tolerance = tolerance(processing)?;
    let (right, wrong) = (feedback(root, RIGHT)?, feedback(root, WRONG)?);
    Ok((joined(&pieces), ExchangeKind::Numeric { key, tolerance, unit, right, wrong }))
}

/// The tolerance of the one comparison of numbers; none is exact.
fn tolerance(processing: Option<&Element>) -> Result<Tolerance, Refused> {
    let all = processing.map(Element::all).unwrap_or_default();
    let equals: Vec<&&Element> = all.iter().filter(|one| one.local() == "equal").collect();
    let equal = match equals.as_slice() {
        [] => return Ok(Tolerance::Absolute(0.0)),
        [one] => one,
        [_, second, ..] => return refuse(second, "it compares with more than one number"),
    };
    let sides: Vec<&str> = equal.elements().map(Element::local).collect();
    if !matches!(sides.as_slice(), ["variable", "correct"] | ["correct", "variable"]) {
        return refuse(equal, "it compares something else than the answer and the key");
    }
    if ["includeLowerBound", "includeUpperBound"].iter().any(|bound| equal.get(bound) == Some("false")) {
        return refuse(equal, "its tolerance leaves its own ends out");
    }
    let numbers: Result<Vec<f64>, _> =
        equal.get("tolerance").unwrap_or_default().split_whitespace().map(str::parse).collect();
    let width = match numbers.as_deref() {
        Ok([]) => 0.0,
        Ok([one]) => *one,
        Ok([low, high]) if low == high => *low,
        _ => return refuse(equal, "its tolerance is not one number for both sides"),
    };
    match equal.get("toleranceMode").unwrap_or("exact") {
        "exact" => Ok(Tolerance::Absolute(0.0)),
        "absolute" => Ok(Tolerance::Absolute(width)),
        "relative" => Ok(Tolerance::Percent(width)),
        other => refuse(equal, format!("{} is not a kind of tolerance", quoted(other))),
    }
}
