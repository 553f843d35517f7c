//! The invented customers that come with the program, and customers on disk.

use crate::advice::intake::Customer;
use crate::content::library::Shipped;
use crate::content::problem::Problems;
use crate::content::{customer_file, library};
use include_dir::{Dir, include_dir};
use std::path::Path;

static CUSTOMERS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content/customers");

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
    library::files(&CUSTOMERS)
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
    customer_file::parse(&library::text_of(path, &name, "customer", &shipped())?, &name)
}
