//! The zip with its manifest. Nothing of a package is ever written to the disk, and no more is unpacked than is bounded.

use super::xml::{self, Element};
use super::{item_in, item_out};
use crate::content::exchange::ExchangeItem;
use crate::content::problem::{Problem, Problems, quoted};
use std::collections::HashSet;
use std::io::{Cursor, Read, Write};
use std::path::Path;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter};

/// Largest package that is read, in bytes.
pub const LARGEST_PACKAGE_BYTES: usize = 16 * 1024 * 1024;

/// Largest file in a package, unpacked, in bytes.
const LARGEST_FILE_BYTES: u64 = 1024 * 1024;

/// Most bytes that are unpacked in all.
const MOST_BYTES: u64 = 32 * 1024 * 1024;

/// Most files of a package.
const MOST_FILES: usize = 5_000;

/// Most items of a package.
const MOST_ITEMS: usize = 2_000;

const MANIFEST: &str = "imsmanifest.xml";
const PACKAGE_NAMESPACE: &str = "http://www.imsglobal.org/xsd/imscp_v1p1";
const LOM_NAMESPACE: &str = "http://ltsc.ieee.org/xsd/LOM";

/// How an outcome is named among the keywords of an item.
const OUTCOME: &str = "outcome ";

/// What a package gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// Items that were taken, in the manifest's order.
    pub items: Vec<ExchangeItem>,
    /// Every item that was not, and why.
    pub not_taken: Vec<Problem>,
}

/// A package with these items, the same bytes for the same items. Their white space is tidied.
///
/// # Errors
/// Every item that cannot be exchanged, by its number.
pub fn export(items: &[ExchangeItem]) -> Result<Vec<u8>, Problems> {
    let mut problems = Vec::new();
    let mut seen = HashSet::new();
    for (index, item) in items.iter().enumerate() {
        // some systems take Q1.xml and q1.xml for one file
        let unique = seen.insert(item.id.to_ascii_lowercase());
        let checked = if unique { item.check() } else { Err("another item has the same id".to_owned()) };
        if let Err(message) = checked {
            let key = quoted(&item.id);
            let mend = "change the item, or leave it out".to_owned();
            problems.push(Problem { file: "items".to_owned(), line: index + 1, key, message, mend });
        }
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let items: Vec<ExchangeItem> = items.iter().map(ExchangeItem::tidied).collect();
    zipped(&items).map_err(|error| {
        Problems::of_file("items", 1, format!("the package cannot be made: {error}"), "export fewer items at once")
    })
}

fn zipped(items: &[ExchangeItem]) -> Result<Vec<u8>, zip::result::ZipError> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    // no clock: the same items give the same bytes
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default());
    let mut add = |name: String, element: &Element| {
        zip.start_file(name, options)?;
        zip.write_all(element.document().as_bytes())?;
        Ok::<(), zip::result::ZipError>(())
    };
    add(MANIFEST.to_owned(), &manifest(items))?;
    for item in items {
        add(place(item), &item_out::written(item))?;
    }
    Ok(zip.finish()?.into_inner())
}

/// File of an item within the package; its id has been checked.
fn place(item: &ExchangeItem) -> String {
    format!("items/{}.xml", item.id)
}

fn manifest(items: &[ExchangeItem]) -> Element {
    let kind = Element::new("metadata")
        .holding(Element::new("schema").saying("QTIv2.2 Package"))
        .holding(Element::new("schemaversion").saying("1.0.0"));
    Element::new("manifest")
        .with("xmlns", PACKAGE_NAMESPACE)
        .with("xmlns:lom", LOM_NAMESPACE)
        .with("identifier", "second_breath_items")
        .holding(kind)
        .holding(Element::new("organizations"))
        .holding(Element::new("resources").holding_all(items.iter().map(resource)))
}

fn resource(item: &ExchangeItem) -> Element {
    let resource = Element::new("resource")
        .with("identifier", &format!("resource_{}", item.id))
        .with("type", "imsqti_item_xmlv2p2")
        .with("href", &place(item));
    let keywords = item.outcomes.iter().map(|number| {
        let text = Element::new("lom:string").with("language", "en").saying(&format!("{OUTCOME}{number}"));
        Element::new("lom:keyword").holding(text)
    });
    let general = Element::new("lom:general").holding_all(keywords);
    let about = Element::new("metadata").holding(Element::new("lom:lom").holding(general));
    let resource = if item.outcomes.is_empty() { resource } else { resource.holding(about) };
    resource.holding(Element::new("file").with("href", &place(item)))
}

/// The bytes of a package file, as far as [`import`] takes them.
///
/// # Errors
/// A file that cannot be read or is too large.
pub fn read(path: &Path) -> Result<Vec<u8>, Problem> {
    let shown = path.display().to_string();
    let mut bytes = Vec::new();
    let is_file = std::fs::metadata(path).is_ok_and(|found| found.is_file());
    let opened = if is_file { std::fs::File::open(path) } else { Err(std::io::ErrorKind::NotFound.into()) };
    opened.and_then(|file| file.take(LARGEST_PACKAGE_BYTES as u64 + 1).read_to_end(&mut bytes)).map_err(|error| {
        whole(&shown, format!("the file cannot be read: {error}"), "give the zip file of a package")
    })?;
    Ok(bytes)
}

/// The items of a package.
///
/// # Errors
/// What is no package, or one beyond the bounds.
pub fn import(bytes: &[u8], file: &str) -> Result<Imported, Problem> {
    if bytes.len() > LARGEST_PACKAGE_BYTES {
        let message = format!("the package has more than the {LARGEST_PACKAGE_BYTES} bytes that are read");
        return Err(whole(file, message, "make several packages of it"));
    }
    let archive = ZipArchive::new(Cursor::new(bytes))
        .map_err(|error| whole(file, format!("this is not a zip file: {error}"), "give the zip file of a package"))?;
    if archive.len() > MOST_FILES {
        let message = format!("the package has more than {MOST_FILES} files");
        return Err(whole(file, message, "make several packages of it"));
    }
    let mut package = Package { archive, file, left: MOST_BYTES };
    let manifest = package.text(MANIFEST).and_then(|text| xml::parse(&text, &package.name(MANIFEST)))?;
    if manifest.local() != "manifest" || manifest.own_namespace() != Some(PACKAGE_NAMESPACE) {
        return Err(whole(
            file,
            "imsmanifest.xml is not the manifest of a content package",
            "export the package again",
        ));
    }
    let mut found = Imported { items: Vec::new(), not_taken: Vec::new() };
    let resources = manifest.named("resources").flat_map(|resources| resources.named("resource"));
    for (index, resource) in resources.enumerate() {
        if index == MOST_ITEMS {
            let message = format!("the package has more than {MOST_ITEMS} items");
            return Err(whole(file, message, "make several packages of it"));
        }
        match package.item(resource) {
            Ok(item) if found.items.iter().any(|other| other.id == item.id) => {
                let message = format!("a second item has the id {}", quoted(&item.id));
                found.not_taken.push(not_taken(&package.name(MANIFEST), resource.line, message));
            }
            Ok(item) => found.items.push(item),
            Err(problem) => found.not_taken.push(problem),
        }
    }
    Ok(found)
}

fn whole(file: &str, message: impl Into<String>, mend: &str) -> Problem {
    Problem { file: file.to_owned(), line: 1, key: String::new(), message: message.into(), mend: mend.to_owned() }
}

fn not_taken(file: &str, line: usize, why: String) -> Problem {
    let mend = "it is not taken; change it where it comes from, or write it here".to_owned();
    Problem { file: file.to_owned(), line, key: String::new(), message: why, mend }
}

struct Package<'a> {
    archive: ZipArchive<Cursor<&'a [u8]>>,
    file: &'a str,
    /// Bytes that may still be unpacked.
    left: u64,
}

impl Package<'_> {
    fn name(&self, inside: &str) -> String {
        format!("{}/{}", self.file, quoted(inside))
    }

    fn item(&mut self, resource: &Element) -> Result<ExchangeItem, Problem> {
        let manifest = self.name(MANIFEST);
        let refuse = |why: String| Err(not_taken(&manifest, resource.line, why));
        let kind = resource.get("type").unwrap_or_default();
        if !["imsqti_item_xmlv2p2", "imsqti_item_xmlv2p1"].contains(&kind) {
            return refuse(format!("a resource of the type {} is not an item", quoted(kind)));
        }
        let Some(href) = resource.get("href") else { return refuse("an item names no file".to_owned()) };
        // a file further up, on a drive, or somewhere in the world is no file of the package
        let stays =
            !href.starts_with('/') && !href.contains(['\\', ':', '\0']) && href.split('/').all(|part| part != "..");
        if !stays {
            return refuse(format!("{} leads out of the package", quoted(href)));
        }
        let text = self.text(href)?;
        let root = xml::parse(&text, &self.name(href))?;
        let mut item = item_in::taken(&root).map_err(|(line, why)| not_taken(&self.name(href), line, why))?;
        let keywords = resource.all().into_iter().filter(|element| element.local() == "keyword");
        let number = |keyword: &Element| keyword.text().strip_prefix(OUTCOME)?.parse().ok();
        item.outcomes = keywords.filter_map(number).collect();
        Ok(item)
    }

    /// The text of a file, unpacked as far as the bounds allow; what the zip says of its size is not believed.
    fn text(&mut self, name: &str) -> Result<String, Problem> {
        let shown = self.name(name);
        let mut bytes = Vec::new();
        let most = LARGEST_FILE_BYTES.min(self.left);
        match self.archive.by_name(name) {
            Ok(entry) if entry.is_file() => entry.take(most + 1).read_to_end(&mut bytes).map_err(|error| {
                whole(&shown, format!("it cannot be unpacked: {error}"), "export the package again")
            })?,
            Ok(_) => return Err(whole(&shown, "this is not a file", "export the package again")),
            Err(error) => {
                return Err(whole(
                    &shown,
                    format!("it cannot be found or unpacked: {error}"),
                    "export the package again",
                ));
            }
        };
        if bytes.len() as u64 > most {
            let message =
                format!("it unpacks to more than {LARGEST_FILE_BYTES} bytes, or all files to more than {MOST_BYTES}");
            return Err(whole(&shown, message, "this is no item; make several packages if there are many"));
        }
        self.left -= bytes.len() as u64;
        let text =
            String::from_utf8(bytes).map_err(|_| whole(&shown, "the file is not text in UTF-8", "save it as UTF-8"))?;
        Ok(text.trim_start_matches('\u{feff}').to_owned())
    }
}
