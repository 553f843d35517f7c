//! A file of content that is added or taken away changes what is embedded; the compiler sees changed files only. And
//! whether the figures of a second opinion are there: the window mentions it only then.

fn main() {
    println!("cargo::rerun-if-changed=content/scenarios");
    println!("cargo::rerun-if-changed=content/course");
    println!("cargo::rerun-if-changed=content/customers");
    println!("cargo::rerun-if-changed=tests/second_opinion");
    let figures = std::fs::read_dir("tests/second_opinion")
        .into_iter()
        .flatten()
        .flatten()
        .any(|entry| entry.path().extension().is_some_and(|ending| ending == "csv" || ending == "json"));
    println!("cargo::rustc-env=SECOND_OPINION={}", if figures { "yes" } else { "no" });
}
