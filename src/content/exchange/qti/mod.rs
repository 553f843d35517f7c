//! Items as a 1EdTech QTI 2.2 content package, out and in: `imsmanifest.xml` and one file an item in a zip.
//!
//! The subset: an item with one `choiceInteraction` for one option, or one `textEntryInteraction` for a number with a
//! tolerance; plain text; feedback an option, or for right and wrong; the outcomes as keywords in the manifest. What an
//! imported item has beyond that is not dropped in silence: the item is not taken, and the reason said.

mod item_in;
mod item_out;
mod package;
mod xml;

pub use package::{Imported, LARGEST_PACKAGE_BYTES, export, import, read};

/// Namespace of items.
const ITEM_NAMESPACE: &str = "http://www.imsglobal.org/xsd/imsqti_v2p2";

/// Namespaces of items that are read: for this subset the version before has the same form.
const READ_NAMESPACES: [&str; 2] = [ITEM_NAMESPACE, "http://www.imsglobal.org/xsd/imsqti_v2p1"];

/// The one response of an item.
const RESPONSE: &str = "RESPONSE";

/// The outcome that says which feedback is shown.
const FEEDBACK: &str = "FEEDBACK";

/// Feedback of a numeric item to a right and a wrong answer.
const RIGHT: &str = "right";
const WRONG: &str = "wrong";
