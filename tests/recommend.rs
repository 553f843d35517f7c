//! The customer's card and the recommendation: nothing lost, every mistake told, and a ranking that follows from runs.

mod support;

use second_breath::advice::intake::answers::{Budget, Cam, Complaint, Patience, RoadUse};
use second_breath::advice::intake::{AsFound, Customer, GROUPS};
use second_breath::advice::recommend::design::{Action, dominated};
use second_breath::advice::recommend::judge::figures;
use second_breath::advice::recommend::proposal::{Proposal, Recommendation};
use second_breath::advice::recommend::ranking::{front, order};
use second_breath::advice::recommend::weigh::{Burdens, CRITERIA, Weights};
use second_breath::advice::recommend::{Options, Partial, RecommendError, hot, recommend};
use second_breath::bench::findings::findings;
use second_breath::bench::run::{COARSE_S, run_with};
use second_breath::bench::watch::Watch;
use second_breath::content::customer_file::{blank, parse, serialize};
use second_breath::content::customers;
use second_breath::content::recommended::{proposals_csv, recommendation_json, with_what_is_left_out};
use second_breath::families::FAMILIES;
use second_breath::settings::Kind;
use second_breath::settings::grouped::Grouped;
use second_breath::solver::hybrid::Control;
use second_breath::units::UnitSystem;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock};

fn shipped(stem: &str) -> Customer {
    customers::shipped_named(stem).expect("comes along").customer().expect("is read")
}

/// The customer with one answer another.
fn telling(mut customer: Customer, group: &str, key: &str, value: f64) -> Customer {
    let place = customer.place(group, key).unwrap_or_else(|| panic!("{group}.{key} is asked"));
    customer.tell(place, value).expect("is accepted");
    customer
}

/// Fewer draws than usual: what is asked here does not hang on how finely a share is known.
const FEW: Options = Options { seed: 1, draws: 8, units: UnitSystem::Si };

fn asked(customer: &Customer) -> Recommendation {
    recommend(customer, FEW, &Watch::default(), &mut |_| {}).expect("a recommendation")
}

/// Of a customer that comes along; each is asked once for all tests.
fn asked_shipped(stem: &str) -> Arc<Recommendation> {
    static ASKED: Mutex<BTreeMap<String, Arc<OnceLock<Arc<Recommendation>>>>> = Mutex::new(BTreeMap::new());
    let cell = Arc::clone(ASKED.lock().expect("no test panics here").entry(stem.to_owned()).or_default());
    Arc::clone(cell.get_or_init(|| Arc::new(asked(&shipped(stem)))))
}

/// With small parts alone: few candidates, so that a test is quick where it does not matter which there are.
fn with_small_parts(customer: Customer) -> Customer {
    telling(customer, "owner", "budget", Budget::Parts.value())
}

fn on_threads(threads: usize, customer: &Customer) -> Recommendation {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    pool.install(|| asked(customer))
}

/// A family by what it has instead of by its name: the first whose tuning begins so.
fn kind(tuning: &str) -> f64 {
    FAMILIES.iter().position(|entry| entry.tuning[0] == tuning).expect("a family") as f64
}

fn kept(found: &Recommendation) -> &Proposal {
    found.proposals.iter().find(|proposal| proposal.action == Action::Keep).expect("what is fitted was told")
}

// ---- the card

#[test]
fn a_full_card_is_written_and_read_without_losing_anything() {
    let mut customer = Customer::default();
    (customer.name, customer.note) = ("Full \"card\"".to_owned(), "Two\nlines".to_owned());
    for place in customer.places() {
        let value = match customer.setting(place).expect("a question").kind {
            Kind::Choice(words) => words.len() as f64 - 1.0,
            Kind::Number { least, most, .. } => least + 0.37 * (most - least),
        };
        customer.tell(place, value).expect("inside its range");
    }
    customer = telling(customer, "now", "kind", kind("family.wind_up"));
    customer.as_found = vec![
        AsFound { group: "family".to_owned(), key: "wind_up".to_owned(), value: 4.0 },
        AsFound { group: "pump".to_owned(), key: "shot".to_owned(), value: 1.1e-6 },
    ];
    let again = parse(&serialize(&customer), "card").expect("reads what it wrote");
    assert_eq!((&again.name, &again.note), (&customer.name, &customer.note));
    for place in customer.places() {
        let (here, there) = (customer.answer(place).expect("told"), again.answer(place).expect("told"));
        // a file holds thirteen figures in display units
        assert!((here - there).abs() <= 1e-12 * here.abs(), "{place:?}: {here} {there}");
    }
    for (here, there) in customer.as_found.iter().zip(&again.as_found) {
        assert_eq!((&here.group, &here.key), (&there.group, &there.key));
        assert!((here.value - there.value).abs() <= 1e-12 * here.value);
    }
}

#[test]
fn a_half_filled_card_is_kept_as_it_is() {
    let mut half = Customer::default();
    half.name = "Half".to_owned();
    for (index, place) in half.places().into_iter().enumerate().filter(|(index, _)| index % 3 == 0) {
        let default = half.setting(place).expect("a question").default;
        half.tell(place, default).expect("a default is accepted");
        assert!(half.is_known(place), "{index}");
    }
    let again = parse(&serialize(&half), "half").expect("reads what it wrote");
    for place in half.places() {
        assert_eq!(again.is_known(place), half.is_known(place), "{place:?}");
    }
    assert_eq!(parse(&serialize(&again), "half").expect("reads"), again);
    assert_eq!(half.assumed().len(), again.assumed().len());
}

#[test]
fn an_answer_can_be_taken_back_and_a_refused_one_changes_nothing() {
    let mut customer = Customer::default();
    let mass = customer.place("car", "mass").expect("is asked");
    assert_eq!(customer.answer(mass), None);
    customer.tell(mass, 2000.0).expect("accepted");
    assert_eq!(customer.answer(mass), Some(2000.0));
    for bad in [-1.0, 1e9, f64::NAN, f64::INFINITY] {
        assert!(customer.tell(mass, bad).is_err());
        assert_eq!(customer.answer(mass), Some(2000.0));
    }
    customer.forget(mass);
    assert_eq!(customer, Customer::default());
}

#[test]
fn a_blank_card_asks_every_question_and_answers_none() {
    let text = blank();
    let card = parse(&text, "blank").expect("a blank card is read");
    for place in card.places() {
        assert!(!card.is_known(place));
        assert!(text.contains(card.setting(place).expect("a question").label));
    }
}

#[test]
fn each_bad_answer_is_told_with_its_line_and_what_would_be_taken() {
    let card = Customer::default();
    for place in card.places() {
        let (group, setting) = (GROUPS[place.group].id, card.setting(place).expect("a question"));
        let bad = |value: &str| {
            let text = format!("format_version = 1\n\n[{group}]\n{} = {value}\n", setting.key());
            let problems = parse(&text, "card.toml").expect_err("refused");
            assert_eq!(problems.0.len(), 1, "{problems}");
            assert_eq!((problems.0[0].line, &*problems.0[0].key), (4, &*format!("{group}.{}", setting.key())));
            problems.to_string()
        };
        match setting.kind {
            Kind::Choice(words) => assert!(bad("\"nothing of that\"").contains(words[0].id)),
            Kind::Number { most, quantity, .. } => {
                let symbol = quantity.unit(UnitSystem::Si).symbol;
                let beyond = quantity.unit(UnitSystem::Si).from_si(most) * 10.0 + 10.0;
                let value =
                    if symbol.is_empty() { format!("{beyond:.1}") } else { format!("\"{beyond:.1} {symbol}\"") };
                assert!(bad(&value).contains("give "), "{}", bad(&value));
            }
        }
        assert!(bad("[1]").contains("unknown"));
        assert!(!bad("\"nan\"").is_empty());
    }
}

#[test]
fn all_mistakes_of_a_card_are_told_at_once() {
    let text = "format_version = 2\nname = 3\n[engin]\n[engine]\ndisplacment = \"5 L\"\ncam = \"wild\"\n[now]\nkind = \"magic\"\n\
                [as_found.family]\nspring = \"1 N\"\n";
    let problems = parse(text, "card.toml").expect_err("refused");
    let told = problems.to_string();
    for part in
        [":1: format_version", ":2: name", "did you mean engine?", "did you mean displacement?", ":6: engine.cam"]
    {
        assert!(told.contains(part), "{part} in {told}");
    }
    assert!(told.contains("as_found"), "{told}");
    let lines: Vec<usize> = problems.0.iter().map(|problem| problem.line).collect();
    assert!(lines.is_sorted(), "{lines:?}");
}

#[test]
fn settings_as_found_need_their_kind_and_belong_to_it() {
    let orphan = "format_version = 1\n[as_found.pump]\nshot = \"1 cm3\"\n";
    assert!(parse(orphan, "card").expect_err("refused").to_string().contains("[now]"));
    let id = FAMILIES[0].id;
    let other =
        format!("format_version = 1\n[now]\nkind = \"{id}\"\n[as_found.pump]\nshott = \"1 cm3\"\n[as_found.engine]\n");
    let told = parse(&other, "card").expect_err("refused").to_string();
    assert!(told.contains("did you mean shot?") && told.contains("as_found.engine"), "{told}");
}

#[test]
fn a_card_of_garbage_is_refused_without_a_panic() {
    for text in
        ["", "\u{0}\u{1}", "[[[", "format_version = 1\n[engine", "engine = 3", "as_found = []\nformat_version=1"]
    {
        assert!(parse(text, "garbage").is_err(), "{text:?}");
    }
}

// ---- the recommendation

#[test]
fn every_shipped_customer_is_read_says_that_it_is_invented_and_is_advised() {
    assert!(customers::shipped().len() >= 6);
    for one in customers::shipped() {
        assert!(one.customer().expect("is read").note.contains("Invented customer of Kestrel Yard"), "{}", one.stem);
        let found = asked_shipped(one.stem);
        println!("{}: {} runs; {} {}", one.stem, found.runs, found.headline, found.sure);
        for proposal in &found.proposals {
            println!("   {:.2} {:.2} {:?} {}", proposal.cost, proposal.first_share, proposal.burdens, proposal.title);
            assert!(proposal.burdens.iter().chain([&proposal.cost, &proposal.work_s]).all(|value| value.is_finite()));
            assert!(!proposal.title.is_empty() && !proposal.why.is_empty() && !proposal.steps.is_empty());
            assert!(proposal.scenario.problems().is_empty());
        }
        let shares: f64 = found.proposals.iter().map(|proposal| proposal.first_share).sum();
        assert!((shares - 1.0).abs() < 1e-9, "one is first in every draw: {shares}");
        let found = with_what_is_left_out((*found).clone()).expect("the list is read");
        assert!(!found.left_out.is_empty());
        let json: serde_json::Value =
            serde_json::from_str(&recommendation_json(&found).expect("writes")).expect("is JSON");
        assert_eq!(json["proposals"].as_array().map(Vec::len), Some(found.proposals.len()));
        assert_eq!(proposals_csv(&found).expect("writes").lines().count(), found.proposals.len() + 1);
    }
}

#[test]
fn it_tells_how_far_it_has_come_and_how_the_ranking_stands() {
    let mut partial: Vec<Partial> = Vec::new();
    let watch = Watch::default();
    let found = recommend(&shipped("06_hot_start"), FEW, &watch, &mut |p| partial.push(p.clone())).expect("advice");
    assert!(partial.len() >= 2 && partial.is_sorted_by(|a, b| a.done < b.done));
    assert!(partial[0].ranking.is_empty() && partial[1..].iter().all(|p| !p.ranking.is_empty()));
    assert!(partial.iter().all(|p| p.done <= p.of_about));
    assert_eq!(found.runs, watch.done());
    // an estimate for a bar: within a factor of two
    assert!(partial[0].of_about < 2 * found.runs && found.runs < 2 * partial[0].of_about, "{}", found.runs);
}

#[test]
fn the_same_seed_gives_the_same_answer_on_any_number_of_threads() {
    let customer = shipped("06_hot_start");
    let (one, four) = (on_threads(1, &customer), on_threads(4, &customer));
    assert_eq!(recommendation_json(&one).expect("writes"), recommendation_json(&four).expect("writes"));
    let other = recommend(&customer, Options { seed: 2, ..FEW }, &Watch::default(), &mut |_| {});
    let other = other.expect("a recommendation");
    let costs = |found: &Recommendation| found.proposals.iter().map(|p| p.cost).collect::<Vec<_>>();
    assert_ne!(costs(&one), costs(&other), "another seed draws others");
    assert_eq!(kept(&one).cost_as_told, kept(&other).cost_as_told, "and what is told stays");
}

#[test]
fn it_stops_when_it_is_asked_to() {
    let customer = shipped("01_heavy_wagon");
    let before = Watch::default();
    before.cancel();
    let cancelled = recommend(&customer, FEW, &before, &mut |_| {});
    assert_eq!(cancelled.map(|_| ()), Err(RecommendError::Cancelled));
    let watch = Watch::default();
    let mut stages = 0;
    let cancelled = recommend(&customer, FEW, &watch, &mut |_| {
        stages += 1;
        watch.cancel();
    });
    assert_eq!(cancelled.map(|_| ()), Err(RecommendError::Cancelled));
    assert_eq!(stages, 1, "nothing is reported after that");
    let whole = asked_shipped("01_heavy_wagon").runs;
    assert!(watch.done() < whole / 2, "{} of {whole} runs", watch.done());
}

#[test]
fn answers_beyond_their_range_are_refused() {
    let mut customer = Customer::default();
    customer.car.mass_kg = f64::NAN;
    customer.engine.compression = 99.0;
    match recommend(&customer, FEW, &Watch::default(), &mut |_| {}) {
        Err(RecommendError::OutOfRange(problems)) => assert_eq!(problems.len(), 2),
        other => panic!("{:?}", other.map(|found| found.headline)),
    }
}

#[test]
fn an_empty_card_gets_an_answer_that_says_how_little_is_known() {
    let found = asked(&Customer::default());
    assert!(found.proposals.iter().all(|proposal| proposal.action == Action::Fit && proposal.beats_fitted.is_none()));
    assert!(found.assumed.iter().filter(|line| line.text.contains("likely range")).count() > 10);
    let known = asked_shipped("04_content_owner");
    assert!(known.assumed.len() < found.assumed.len());
}

/// What a proposal states of a stroke is what its scenario does when it is run alone, to the last bit; and the same for
/// all figures together.
#[test]
fn what_is_stated_is_what_a_direct_run_gives() {
    let found = asked_shipped("05_too_big");
    let watch = Watch::default();
    for proposal in &found.proposals {
        for stab in &proposal.figures.stabs {
            let scenario = proposal.at_stroke(&found.car, stab.stroke);
            let run = run_with(&scenario, COARSE_S, Control::default()).expect("runs");
            assert_eq!(findings(&scenario, &run), stab.findings, "{}", proposal.title);
        }
        let again = figures(&proposal.scenario, &found.car, &proposal.footing, &found.weights, &watch).expect("runs");
        assert_eq!(again, proposal.figures, "{}", proposal.title);
    }
}

#[test]
fn what_another_beats_in_everything_is_never_first_and_never_on_the_front() {
    for stem in ["01_heavy_wagon", "04_content_owner"] {
        let found = asked_shipped(stem);
        assert!(found.proposals[0].on_front);
        assert!(found.proposals.is_sorted_by(|a, b| a.cost <= b.cost));
        for (index, one) in found.proposals.iter().enumerate() {
            let beaten = found.proposals.iter().any(|other| dominated(&one.burdens, &other.burdens));
            assert_eq!(one.on_front, !beaten);
            assert!(index > 0 || !beaten);
        }
    }
}

/// Over a thousand made-up lists: pure arithmetic of the ranking, without a run.
#[test]
fn doubling_a_weight_never_makes_the_first_worse_in_it() {
    let mut random = fastrand::Rng::with_seed(7);
    let mut moved = 0;
    for _ in 0..1000 {
        let list: Vec<Burdens> = (0..8).map(|_| std::array::from_fn(|_| random.f64() * 4.0 - 1.0)).collect();
        let mut weights = Weights::of(&Customer::default());
        weights.criteria = std::array::from_fn(|_| 0.05 + random.f64());
        let before = order(&list, &weights)[0];
        assert!(front(&list)[before]);
        for criterion in 0..CRITERIA {
            let mut doubled = weights.clone();
            doubled.criteria[criterion] *= 2.0;
            let after = order(&list, &doubled)[0];
            assert!(list[after][criterion] <= list[before][criterion]);
            moved += usize::from(after != before);
        }
    }
    assert!(moved > 100, "weights do move the answer: {moved}");
}

/// Whatever an owner with less patience is offered, one with more could have as well, and minds its work less.
#[test]
fn more_patience_never_worsens_the_best() {
    let base = shipped("05_too_big");
    let best = |patience: Patience| {
        let found = asked(&telling(base.clone(), "owner", "patience", patience.value()));
        found.proposals.iter().map(|proposal| proposal.cost_as_told).fold(f64::INFINITY, f64::min)
    };
    let [leave, some, enjoys] = [Patience::Leave, Patience::Some, Patience::Enjoys].map(best);
    println!("{leave} {some} {enjoys}");
    assert!(some <= leave && enjoys <= some, "{leave} {some} {enjoys}");
    assert!(enjoys < leave, "and it does help");
}

#[test]
fn with_small_parts_alone_what_is_fitted_stays() {
    let found = asked(&with_small_parts(shipped("05_too_big")));
    assert!(found.proposals.iter().all(|proposal| proposal.action != Action::Fit));
    assert!(found.proposals.len() == 2, "as it is, and changed");
}

#[test]
fn road_use_is_told_where_it_applies() {
    let wagon = with_small_parts(shipped("01_heavy_wagon"));
    assert!(asked(&wagon).law.contains("emission equipment"));
    let private = asked(&telling(wagon, "owner", "road", RoadUse::No.value()));
    assert!(!private.law.contains("emission equipment") && private.law.contains("check local rules"));
}

#[test]
fn a_complaint_that_the_runs_do_not_show_sends_the_owner_to_look_for_a_fault() {
    let sound = telling(with_small_parts(shipped("01_heavy_wagon")), "now", "kind", kind("family.spring_preload"));
    let sound = telling(sound, "now", "rating", 0.22);
    let text = asked(&telling(sound, "now", "complaint", Complaint::Thirsty.value())).complaint.expect("a complaint");
    assert!(text.contains("look for a fault"), "{text}");
    let bogs = asked_shipped("01_heavy_wagon").complaint.clone().expect("a complaint");
    assert!(bogs.contains("So does the model"), "{bogs}");
}

// ---- the six customers: one fact changed turns the answer as the trade expects; common practice, no source

#[test]
fn a_heavy_wagon_is_not_left_with_a_bare_link_and_may_keep_a_diaphragm() {
    let bare = asked_shipped("01_heavy_wagon");
    assert!(bare.proposals[0].beats_fitted > Some(0.9) && !kept(&bare).alike);
    let waits = asked(&telling(shipped("01_heavy_wagon"), "now", "kind", kind("family.spring_preload")));
    println!("{} {}", waits.headline, waits.sure);
    assert!(kept(&waits).alike, "{}", waits.headline);
    assert!(waits.headline.contains("as good within what can be known") || waits.proposals[0].action == Action::Keep);
    assert!(kept(&waits).cost < kept(&bare).cost);
}

#[test]
fn a_milder_camshaft_asks_for_a_smaller_carburettor() {
    let sharp = asked_shipped("02_light_strip");
    let mild = telling(shipped("02_light_strip"), "engine", "cam", Cam::Mild.value());
    let mild = asked(&telling(mild, "owner", "patience", Patience::Some.value()));
    assert!(mild.demand_m3_per_s < sharp.demand_m3_per_s);
    let rated = |found: &Recommendation| found.proposals[0].rating.flow_m3_per_s;
    assert!(rated(&mild) < rated(&sharp), "{} {}", mild.headline, sharp.headline);
}

#[test]
fn who_races_his_tow_van_gets_more_power_at_the_top() {
    let tows = asked_shipped("03_tow_van");
    let races = asked(&telling(shipped("03_tow_van"), "use", "strip", 1.0));
    println!("{} {}", races.headline, races.sure);
    let top = |found: &Recommendation| found.proposals[0].figures.top_nm;
    assert!(top(&races) > top(&tows), "{} {}", top(&races), top(&tows));
}

#[test]
fn a_car_with_nothing_wrong_keeps_what_it_has_and_a_spring_run_down_is_wound_up() {
    let content = asked_shipped("04_content_owner");
    assert!(kept(&content).alike, "{}", content.headline);
    assert!(content.proposals[0].action != Action::Fit, "{}", content.headline);
    let mut run_down = shipped("04_content_owner");
    run_down.as_found = vec![
        AsFound { group: "family".to_owned(), key: "wind_up".to_owned(), value: 0.3 },
        AsFound { group: "family".to_owned(), key: "brake_orifice".to_owned(), value: 2.5e-3 },
    ];
    let run_down = asked(&run_down);
    println!("{} {}", run_down.headline, run_down.sure);
    assert!(kept(&run_down).cost > kept(&content).cost + 1.0);
    assert!(!kept(&run_down).alike);
    let changed = run_down.proposals.iter().find(|proposal| proposal.action == Action::Change).expect("a change");
    assert!(changed.cost < kept(&run_down).cost);
}

#[test]
fn a_small_engine_is_given_a_smaller_carburettor_and_a_large_one_makes_sense_of_it() {
    let small = asked_shipped("05_too_big");
    let fitted = kept(&small).rating.flow_m3_per_s;
    assert!(small.proposals[0].rating.flow_m3_per_s < 0.7 * fitted, "{}", small.headline);
    let large = asked(&telling(shipped("05_too_big"), "engine", "displacement", 7.4e-3));
    println!("{} {}", large.headline, large.sure);
    assert!(large.proposals[0].rating.flow_m3_per_s > 1.2 * small.proposals[0].rating.flow_m3_per_s);
    assert!(kept(&large).cost < 0.5 * kept(&small).cost, "{} {}", kept(&large).cost, kept(&small).cost);
}

#[test]
fn a_bad_hot_start_is_the_fuels_and_the_spacers_affair() {
    let winter = shipped("06_hot_start");
    let summer = telling(winter.clone(), "place", "grade", 0.0);
    let (winter_rows, summer_rows) = (hot::rows(&winter), hot::rows(&summer));
    println!("{winter_rows:?}\n{summer_rows:?}");
    assert!(winter_rows[0].is_hard());
    assert!(summer_rows[0].cranking_s < winter_rows[0].cranking_s, "fuel that boils later");
    for rows in [&winter_rows, &summer_rows] {
        assert!(rows.len() == 4 && rows.is_sorted_by(|a, b| a.hottest_k >= b.hottest_k), "each remedy cools");
        assert!(rows[3].cranking_s < rows[0].cranking_s);
    }
    let found = asked_shipped("06_hot_start");
    assert!(found.complaint.as_ref().is_some_and(|text| text.contains("bad start") && text.contains("all of them")));
    assert!(found.proposals[0].action != Action::Fit, "another carburettor is no cure");
}
