//! The invented class of 2,000 answers: opened from the disk, with all its statistics:
//! `cargo bench --no-default-features --bench records`.

use divan::{Bencher, black_box};
use second_breath::learning::invented_class::invented_class;
use second_breath::learning::statistics::{items, mastery};
use second_breath::storage::line;
use second_breath::storage::records::Records;

fn main() {
    divan::main();
}

#[divan::bench]
fn a_class_opens_with_all_statistics(bencher: Bencher<'_, '_>) {
    let class = invented_class(1);
    let folder = std::env::temp_dir().join(format!("second_breath_bench_{}", std::process::id()));
    std::fs::create_dir_all(folder.join("answers")).expect("a folder");
    for (code, _) in &class.learners {
        let own: Vec<_> = class.answers.iter().filter(|answer| answer.learner == *code).cloned().collect();
        let text = line::log(code, &own).expect("a log");
        std::fs::write(folder.join("answers").join(format!("{code}.answers")), text).expect("written");
    }
    bencher.bench_local(|| {
        let mut records = Records::open(&folder).expect("records");
        let answers = records.all_answers().expect("answers");
        assert_eq!(answers.len(), class.answers.len());
        black_box(items::of(&answers));
        black_box(mastery::mastery(&answers, &class.outcomes));
        black_box(mastery::reteach(&answers, &class.outcomes))
    });
    let _ = std::fs::remove_dir_all(&folder);
}
