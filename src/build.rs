//! A file of content that is added or taken away changes what is embedded; the compiler sees changed files only.

fn main() {
    println!("cargo::rerun-if-changed=content/scenarios");
    println!("cargo::rerun-if-changed=content/course");
}
