//! Arguments → window, or a headless command.
fn main() {}
