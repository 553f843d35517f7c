//! The invented customers that come with the program, and customers on disk.

use crate::advice::intake::Customer;
use crate::content::problem::Problems;
use crate::content::{customer_file, library};
use include_dir::{Dir, include_dir};
use std::path::Path;

static CUSTOMERS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content/customers");

/// A customer that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shipped {
    /// File name without its ending; it can be written in place of a path.
    pub stem: &'static str,
    /// The file.
    pub text: &'static str,
}

impl Shipped {
    /// The customer.
    ///
    /// # Errors
    /// As [`customer_file::parse`]; a test reads every shipped file.
    pub fn customer(&self) -> Result<Customer, Problems> {
        customer_file::parse(self.text, &format!("{}.toml", self.stem))
    }
}

/// Every shipped customer, in the order of the file names.
pub fn shipped() -> Vec<Shipped> {
    let mut all: Vec<_> = CUSTOMERS
        .files()
        .filter(|file| file.path().extension().is_some_and(|ending| ending == "toml"))
        .filter_map(|file| Some(Shipped { stem: file.path().file_stem()?.to_str()?, text: file.contents_utf8()? }))
        .collect();
    all.sort_by_key(|shipped| shipped.stem);
    all
}

/// The shipped customer with this stem.
pub fn shipped_named(stem: &str) -> Option<Shipped> {
    shipped().into_iter().find(|shipped| shipped.stem == stem)
}

/// The customer in a file, or the shipped one whose stem is written in place of a path.
///
/// # Errors
/// Every problem of the file, or that it cannot be read.
pub fn load(path: &Path) -> Result<Customer, Problems> {
    if let Some(shipped) = path.to_str().filter(|_| !path.exists()).and_then(shipped_named) {
        return shipped.customer();
    }
    let name = path.display().to_string();
    let stems: Vec<_> = shipped().iter().map(|shipped| shipped.stem).collect();
    customer_file::parse(&library::read_text(path, &name, "customer", &stems)?, &name)
}
