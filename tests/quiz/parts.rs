//! Parts of the drawing that can be pointed at.

use second_breath::bench::run::run;
use second_breath::bench::scenario::Scenario;
use second_breath::families::FAMILIES;
use second_breath::scene::draw;
use second_breath::scene::parts::{PARTS, part};
use std::collections::BTreeSet;

#[test]
fn every_label_of_every_drawing_is_a_part_and_every_part_is_drawn() {
    let mut drawn = BTreeSet::new();
    for entry in FAMILIES {
        let scenario = Scenario::fresh(entry);
        let run = run(&scenario).expect("a fresh scenario runs");
        let scene = draw(&scenario, &run.trace.at(0.5));
        for label in &scene.labels {
            let part = label.part_named();
            assert!(part.is_some(), "{}: \"{}\" has no id", entry.id, label.text);
            drawn.extend(part.map(|part| part.id));
        }
        let ids: Vec<_> = scene.parts().into_iter().map(|(part, _)| part.id).collect();
        assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "{}: a part is named twice", entry.id);
    }
    let known: BTreeSet<&str> = PARTS.iter().map(|part| part.id).collect();
    assert_eq!(known.len(), PARTS.len(), "ids are distinct");
    assert_eq!(known, drawn);
}

#[test]
fn the_nearest_part_is_found_at_its_own_point() {
    let scenario = Scenario::fresh(&FAMILIES[0]);
    let scene = draw(&scenario, &run(&scenario).expect("it runs").trace.at(0.5));
    for (part, at) in scene.parts() {
        let (near, far) = scene.part_near(at).expect("a part");
        assert!(far == 0.0 && near.id == part.id, "{} is {far} m from {}", part.id, near.id);
    }
}

#[test]
fn the_description_of_the_format_lists_every_part() {
    for known in PARTS {
        assert!(super::FORMAT.contains(&format!("`{}`", known.id)), "{} is not listed", known.id);
        assert_eq!(part(known.id), Some(known));
    }
}
