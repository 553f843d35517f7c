//! XML as a small tree of elements and text, with bounds; no document type, no entity of one's own.

use crate::content::problem::{Problem, quoted};
use crate::content::toml::Lines;
use quick_xml::XmlVersion;
use quick_xml::escape::{escape, resolve_predefined_entity};
use quick_xml::events::{BytesStart, Event};
use quick_xml::reader::Reader;

/// Deepest nesting that is followed.
const MOST_DEPTH: usize = 50;

/// Most elements of a file.
const MOST_ELEMENTS: usize = 20_000;

/// Most attributes of an element.
const MOST_ATTRIBUTES: usize = 50;

/// An element with its content.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Element {
    /// Name, with its prefix when read.
    pub name: String,
    /// Attributes in order.
    pub attributes: Vec<(String, String)>,
    /// Content in order.
    pub content: Vec<Node>,
    /// Line at which it was read.
    pub line: usize,
}

/// A piece of an element's content.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    /// An element.
    Element(Element),
    /// Text.
    Text(String),
}

impl Element {
    /// An empty one.
    pub fn new(name: &str) -> Self {
        Self { name: name.to_owned(), ..Self::default() }
    }

    /// With one more attribute.
    pub fn with(mut self, name: &str, value: &str) -> Self {
        self.attributes.push((name.to_owned(), value.to_owned()));
        self
    }

    /// With one more element in it.
    pub fn holding(mut self, element: Self) -> Self {
        self.content.push(Node::Element(element));
        self
    }

    /// With more elements in it.
    pub fn holding_all(self, elements: impl IntoIterator<Item = Self>) -> Self {
        elements.into_iter().fold(self, Self::holding)
    }

    /// With more text in it.
    pub fn saying(mut self, text: &str) -> Self {
        self.content.push(Node::Text(text.to_owned()));
        self
    }

    /// Name without its prefix.
    pub fn local(&self) -> &str {
        self.name.rsplit(':').next().unwrap_or_default()
    }

    /// An attribute, by its name.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.trim())
    }

    /// The namespace that it declares for itself.
    pub fn own_namespace(&self) -> Option<&str> {
        match self.name.split_once(':') {
            Some((prefix, _)) => self.get(&format!("xmlns:{prefix}")),
            None => self.get("xmlns"),
        }
    }

    /// Elements in it.
    pub fn elements(&self) -> impl Iterator<Item = &Self> {
        self.content.iter().filter_map(|node| match node {
            Node::Element(element) => Some(element),
            Node::Text(_) => None,
        })
    }

    /// Elements in it with a name.
    pub fn named<'a>(&'a self, local: &'a str) -> impl Iterator<Item = &'a Self> {
        self.elements().filter(move |element| element.local() == local)
    }

    /// It and all elements below it.
    pub fn all(&self) -> Vec<&Self> {
        let mut found = vec![self];
        let mut next = 0;
        while let Some(element) = found.get(next).copied() {
            found.extend(element.elements());
            next += 1;
        }
        found
    }

    /// All text in it, as one line.
    pub fn text(&self) -> String {
        let mut text = String::new();
        self.gather(&mut text);
        super::super::one_line(&text)
    }

    fn gather(&self, text: &mut String) {
        for node in &self.content {
            match node {
                Node::Text(piece) => text.push_str(piece),
                Node::Element(element) => {
                    // a line break and the end of a block part words
                    let parts = ["br", "p", "div"].contains(&element.local());
                    if parts {
                        text.push(' ');
                    }
                    element.gather(text);
                    if parts {
                        text.push(' ');
                    }
                }
            }
        }
    }

    /// As the text of a file.
    pub fn document(&self) -> String {
        let mut text = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
        self.write(&mut text, 0);
        text
    }

    fn write(&self, text: &mut String, depth: usize) {
        let indent = "  ".repeat(depth);
        text.push_str(&format!("{indent}<{}", self.name));
        for (name, value) in &self.attributes {
            text.push_str(&format!(" {name}=\"{}\"", escape(value.as_str())));
        }
        if self.content.is_empty() {
            text.push_str("/>\n");
            return;
        }
        let has_text = self.content.iter().any(|node| matches!(node, Node::Text(_)));
        text.push_str(if has_text { ">" } else { ">\n" });
        for node in &self.content {
            match node {
                Node::Text(piece) => text.push_str(&escape(piece.as_str())),
                Node::Element(element) if has_text => {
                    let mut inner = String::new();
                    element.write(&mut inner, 0);
                    text.push_str(inner.trim_end());
                }
                Node::Element(element) => element.write(text, depth + 1),
            }
        }
        text.push_str(&format!("{}</{}>\n", if has_text { "" } else { &indent }, self.name));
    }
}

/// The root of a file.
///
/// # Errors
/// What is not XML, or more of it than is followed.
pub fn parse(text: &str, file: &str) -> Result<Element, Problem> {
    let lines = Lines::of(text);
    let mut reader = Reader::from_str(text);
    let mut open: Vec<Element> = Vec::new();
    let mut root = None;
    let mut count = 0;
    loop {
        let place = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
        // one further: white space before a tag is a piece of its own
        let line = lines.line_at(place.saturating_add(1));
        let wrong = |message: String, mend: &str| Problem {
            file: file.to_owned(),
            line,
            key: String::new(),
            message,
            mend: mend.to_owned(),
        };
        let broken = |error: &dyn std::fmt::Display| {
            wrong(format!("this is not XML: {}", quoted(&error.to_string())), "export the item again")
        };
        let event = reader.read_event().map_err(|error| broken(&error))?;
        match event {
            Event::Start(start) | Event::Empty(start) if count >= MOST_ELEMENTS || open.len() >= MOST_DEPTH => {
                let message = format!("more than {MOST_ELEMENTS} elements, or nested deeper than {MOST_DEPTH}");
                let name = quoted(&String::from_utf8_lossy(start.name().as_ref()));
                return Err(wrong(format!("{message}, at {name}"), "an item is a few dozen elements"));
            }
            Event::Start(start) => {
                count += 1;
                open.push(element(&start, line).map_err(|error| broken(&error))?);
            }
            Event::Empty(start) => {
                count += 1;
                let element = element(&start, line).map_err(|error| broken(&error))?;
                close(element, &mut open, &mut root).map_err(|error| broken(&error))?;
            }
            Event::End(_) => {
                if let Some(element) = open.pop() {
                    close(element, &mut open, &mut root).map_err(|error| broken(&error))?;
                }
            }
            Event::Text(piece) => say(&mut open, &piece.decode().map_err(|error| broken(&error))?),
            Event::CData(piece) => say(&mut open, &piece.decode().map_err(|error| broken(&error))?),
            Event::GeneralRef(reference) => {
                let known = match reference.resolve_char_ref().map_err(|error| broken(&error))? {
                    Some(character) => character.to_string(),
                    None => {
                        let name = reference.decode().map_err(|error| broken(&error))?;
                        let message = format!("the entity {} is not one of XML's own five", quoted(&name));
                        let known = resolve_predefined_entity(&name);
                        known.ok_or_else(|| wrong(message, "write the character itself"))?.to_owned()
                    }
                };
                say(&mut open, &known);
            }
            Event::DocType(_) => {
                return Err(wrong("it has a document type".to_owned(), "take the line <!DOCTYPE …> out"));
            }
            Event::Eof => break,
            Event::Comment(_) | Event::Decl(_) | Event::PI(_) => {}
        }
    }
    let whole = root.filter(|_| open.is_empty());
    whole.ok_or_else(|| Problem {
        file: file.to_owned(),
        line: lines.last(),
        key: String::new(),
        message: "the XML ends too early".to_owned(),
        mend: "export the item again".to_owned(),
    })
}

fn element(start: &BytesStart<'_>, line: usize) -> Result<Element, String> {
    let mut element = Element::new(&String::from_utf8_lossy(start.name().as_ref()));
    element.line = line;
    for attribute in start.attributes() {
        let attribute = attribute.map_err(|error| error.to_string())?;
        let value = attribute.normalized_value(XmlVersion::default()).map_err(|error| error.to_string())?;
        element.attributes.push((String::from_utf8_lossy(attribute.key.as_ref()).into_owned(), value.into_owned()));
        if element.attributes.len() > MOST_ATTRIBUTES {
            return Err(format!("an element with more than {MOST_ATTRIBUTES} attributes"));
        }
    }
    Ok(element)
}

fn close(element: Element, open: &mut [Element], root: &mut Option<Element>) -> Result<(), &'static str> {
    match (open.last_mut(), &root) {
        (Some(parent), _) => parent.content.push(Node::Element(element)),
        (None, None) => *root = Some(element),
        (None, Some(_)) => return Err("a second root"),
    }
    Ok(())
}

fn say(open: &mut [Element], text: &str) {
    let Some(parent) = open.last_mut() else { return };
    match parent.content.last_mut() {
        Some(Node::Text(before)) => before.push_str(text),
        _ => parent.content.push(Node::Text(text.to_owned())),
    }
}
