use second_breath::heat::findings::FINDINGS;
use second_breath::heat::run::*;
use second_breath::heat::soak::Soak;
use second_breath::units::UnitSystem;
#[test]
fn look() {
    let soak = Soak::default();
    let r = run(&soak).unwrap();
    for s in r.trace.samples.iter().step_by(30) {
        println!(
            "{:5.1} blk {:5.1} exh {:5.1} man {:5.1} base {:5.1} body {:5.1} bowl {:5.1} well {:5.1} pump {:5.1} bay {:5.1} | P {:5.1} m {:5.1}/{:5.1} lost {:.3} left {:.3} lvl {:.1} vent {:.2} bub {:.3} perc {:.2} rate {:.1e} a {:.2} pud {:.2} vap {:.2} y {:.3} phi {:.2} crank {:.1} pm {:.1} lm {:.1} W {:.1} {:.1} {:.1} {:.1}",
            s.time_s / 60.0,
            s.block_k - 273.15,
            s.exhaust_k - 273.15,
            s.manifold_k - 273.15,
            s.base_k - 273.15,
            s.body_k - 273.15,
            s.bowl_k - 273.15,
            s.well_k - 273.15,
            s.pump_k - 273.15,
            s.bay_k - 273.15,
            s.vapour_pa / 1e3,
            s.bowl_margin_k,
            s.well_margin_k,
            s.bowl_lost,
            s.bowl_share,
            s.level_m * 1e3,
            s.vented_kg * 1e3,
            s.bubbled_kg * 1e3,
            s.percolated_kg * 1e3,
            s.percolating_kg_per_s,
            s.bubble_share,
            s.puddle_kg * 1e3,
            s.manifold_vapour_kg * 1e3,
            s.vapour_share,
            s.richness,
            s.cranking_s,
            s.pump_margin_k,
            s.lock_margin_k,
            s.joint_w,
            s.casting_w,
            s.gap_w,
            s.air_w
        );
    }
    for e in &r.events {
        println!("{:6.1} {}", e.time_s / 60.0, e.kind.label());
    }
    for f in FINDINGS {
        println!("{}: {:?}", f.label, (f.get)(&r.findings).map(|v| f.quantity.show(v, UnitSystem::Si)));
    }
    println!("{:?}", r.closure);
    let t = std::time::Instant::now();
    for _ in 0..20 {
        run(&soak).unwrap();
    }
    println!("{:?} a run", t.elapsed() / 20);
}
