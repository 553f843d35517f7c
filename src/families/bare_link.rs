//! Bare link: the secondary plates follow the pedal and nothing covers the hole. The teaching control.

use super::{Entry, Family};
use crate::family_plumbing;

/// The family in the list.
pub const ENTRY: Entry = Entry {
    id: "bare_link",
    name: "Bare link",
    summary: "The secondary plates follow the pedal through a rod; nothing covers the gap before their fuel arrives.",
    tuning: &["linkage.starts"],
    fresh: || Box::new(BareLink),
};

/// See the file's heading.
#[derive(Debug, Clone, Copy)]
pub struct BareLink;

impl Family for BareLink {
    family_plumbing!();
}
