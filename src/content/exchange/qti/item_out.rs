//! An item as the XML of an `assessmentItem`.

use super::xml::Element;
use super::{FEEDBACK, ITEM_NAMESPACE, RESPONSE, RIGHT, WRONG};
use crate::content::exchange::{ExchangeItem, ExchangeKind, ExchangeOption, Tolerance, paragraphs};

/// The item's file; the item has been checked and tidied.
pub fn written(item: &ExchangeItem) -> Element {
    let body =
        Element::new("itemBody").holding_all(paragraphs(&item.stem).iter().map(|text| Element::new("p").saying(text)));
    let root = Element::new("assessmentItem")
        .with("xmlns", ITEM_NAMESPACE)
        .with("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance")
        .with(
            "xsi:schemaLocation",
            &format!("{ITEM_NAMESPACE} http://www.imsglobal.org/xsd/qti/qtiv2p2/imsqti_v2p2.xsd"),
        )
        .with("identifier", &item.id)
        .with("title", &item.title)
        .with("adaptive", "false")
        .with("timeDependent", "false");
    match &item.kind {
        ExchangeKind::Choice { options } => choice(root, body, options),
        ExchangeKind::Numeric { key, tolerance, unit, right, wrong } => {
            let field = Element::new("textEntryInteraction").with("responseIdentifier", RESPONSE);
            let mut line = Element::new("p").holding(field);
            if !unit.is_empty() {
                line = line.saying(&format!(" {unit}"));
            }
            root.holding(response("float", &key.to_string()))
                .holding_all(outcomes())
                .holding(body.holding(line))
                .holding(Element::new("responseProcessing").holding(condition(near(*tolerance), true)))
                .holding_all([(RIGHT, right), (WRONG, wrong)].into_iter().filter_map(|(id, text)| feedback(id, text)))
        }
    }
}

fn choice(root: Element, body: Element, options: &[ExchangeOption]) -> Element {
    let key = options.iter().find(|option| option.right).map_or("", |option| option.id.as_str());
    let interaction = Element::new("choiceInteraction")
        .with("responseIdentifier", RESPONSE)
        .with("shuffle", "true")
        .with("maxChoices", "1")
        .holding_all(
            options
                .iter()
                .map(|option| Element::new("simpleChoice").with("identifier", &option.id).saying(&option.text)),
        );
    let same = Element::new("match").holding(variable("variable")).holding(variable("correct"));
    root.holding(response("identifier", key))
        .holding_all(outcomes())
        .holding(body.holding(interaction))
        .holding(
            Element::new("responseProcessing")
                .holding(condition(same, false))
                .holding(set(FEEDBACK, variable("variable"))),
        )
        .holding_all(options.iter().filter_map(|option| feedback(&option.id, &option.feedback)))
}

fn response(base_type: &str, key: &str) -> Element {
    let value = Element::new("value").saying(key);
    Element::new("responseDeclaration")
        .with("identifier", RESPONSE)
        .with("cardinality", "single")
        .with("baseType", base_type)
        .holding(Element::new("correctResponse").holding(value))
}

fn outcomes() -> [Element; 2] {
    [("SCORE", "float"), (FEEDBACK, "identifier")].map(|(name, base_type)| {
        Element::new("outcomeDeclaration")
            .with("identifier", name)
            .with("cardinality", "single")
            .with("baseType", base_type)
    })
}

fn variable(kind: &str) -> Element {
    Element::new(kind).with("identifier", RESPONSE)
}

fn set(outcome: &str, value: Element) -> Element {
    Element::new("setOutcomeValue").with("identifier", outcome).holding(value)
}

fn value(base_type: &str, text: &str) -> Element {
    Element::new("baseValue").with("baseType", base_type).saying(text)
}

/// The answer beside the key, with a tolerance on both sides; a relative one is a percentage in the standard.
fn near(tolerance: Tolerance) -> Element {
    let (mode, width) = match tolerance {
        Tolerance::Absolute(width) => ("absolute", width),
        Tolerance::Percent(width) => ("relative", width),
    };
    Element::new("equal")
        .with("toleranceMode", mode)
        .with("tolerance", &format!("{width} {width}"))
        .holding(variable("variable"))
        .holding(variable("correct"))
}

/// Score 1 if the test holds, else 0; where asked for, with the feedback of right and wrong.
fn condition(test: Element, with_feedback: bool) -> Element {
    let told = |branch: Element, id: &str| {
        if with_feedback { branch.holding(set(FEEDBACK, value("identifier", id))) } else { branch }
    };
    let yes = Element::new("responseIf").holding(test).holding(set("SCORE", value("float", "1")));
    let no = Element::new("responseElse").holding(set("SCORE", value("float", "0")));
    Element::new("responseCondition").holding(told(yes, RIGHT)).holding(told(no, WRONG))
}

fn feedback(id: &str, text: &str) -> Option<Element> {
    let element = Element::new("modalFeedback")
        .with("outcomeIdentifier", FEEDBACK)
        .with("identifier", id)
        .with("showHide", "show");
    (!text.is_empty()).then(|| element.saying(text))
}
