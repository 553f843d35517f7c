//! What a learner should leave with. Lessons name outcomes by number.

/// One thing to be able to say and to use, and what it is mistaken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outcome {
    /// Number in lesson files, from 1.
    pub number: usize,
    /// What is to be understood.
    pub text: &'static str,
    /// What is believed instead.
    pub mistaken: &'static str,
}

macro_rules! outcomes {
    ($($number:literal: $text:literal, $mistaken:literal;)*) => {
        /// Every outcome, by number.
        pub const OUTCOMES: &[Outcome] =
            &[$(Outcome { number: $number, text: $text, mistaken: $mistaken },)*];
    };
}

outcomes! {
    1: "Air speed lowers the pressure in the venturi, and the bowl's air pushes fuel up", "the engine sucks fuel";
    2: "The bowl level sets when fuel starts and moves the mixture where the signal is weak", "it sets the pump's pressure";
    3: "The idle circuit feeds below the plate", "the main nozzle feeds idle";
    4: "The mixture screw trims fuel, the stop screw sets speed", "the mixture screw sets the idle speed";
    5: "The transfer slot bridges idle and main; a plate set too far open uncovers it",
        "the plate may stand anywhere at idle";
    6: "The main circuit has a threshold and takes time to refill", "it flows from the first air";
    7: "An air bleed weakens the mixture", "a bigger bleed is richer";
    8: "Enrichment opens when vacuum falls", "it opens at high vacuum";
    9: "The accelerator pump covers a gap, once", "it feeds steady full power";
    10: "Volume, rate and duration of the shot are three settings", "a bigger shot cures every bog";
    11: "A lean hole and a rich one feel alike and show differently", "a bog is always rich";
    12: "Opening four barrels at low speed weakens the signal", "more barrels always help";
    13: "A positively linked secondary follows the foot, not the engine", "it opens with engine speed";
    14: "A vacuum diaphragm follows the primary venturi's depression", "manifold vacuum opens it";
    15: "A stiffer diaphragm spring opens later", "stiffer opens earlier";
    16: "An air door delays the air by its own pressure drop", "it is a choke plate";
    17: "Weights and springs do one job with different laws over angle; one is set with a turn",
        "both have the same curve";
    18: "A brake delays by letting air through a hole", "it is a damper in oil";
    19: "Every device that delays also restricts, and by how much", "it costs nothing";
    20: "Air demand is displacement × speed × filling ÷ 3456, and what that leaves out", "bigger is safer";
    21: "Heat soak: fuel boils and floods; spacer, vent, fuel and altitude matter", "a hot no-start means lean";
    22: "A used carburettor can look perfect and be ruined inside", "clean outside is clean inside";
    23: "The lineage: which problem each kind answered", "newer is better at everything";
    24: "Choosing by load, gearing, use and the owner's will to tune", "mechanical is always faster";
}
