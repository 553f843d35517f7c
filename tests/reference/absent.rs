//! Lines of the checks that today's model does not touch, each with the reason. An id that ends in a point stands for
//! its whole section.

pub const ABSENT: &[(&[&str], &str)] = &[
    (&["C1.03"], "γ is 1.4 everywhere in the model"),
    (
        &["C2.01", "C2.05", "C2.06", "C2.07", "C2.09", "C2.12", "C2.13"],
        "standard meters in pipes of 50 mm and more: a check of meters, not of carburettors",
    ),
    (&["C2.43", "C2.44", "C2.46"], "chamfered entries: our jets have one edge, square"),
    (&["C2.50", "C2.51", "C2.52"], "thin-plate orifices under water: our jets are long holes"),
    (
        &["C4.16", "C4.17", "C4.21"],
        "wrong transcription, not to be met; plate_area_is_not_the_transcription_with_wrong_signs",
    ),
    (&["C5.28", "C5.29"], "moist air: the model's air is dry"),
    (
        &["C5.30", "C5.31", "C5.32", "C5.33"],
        "power correction to standard air: the model gives torque in the air of the day",
    ),
    (&["C5.35"], "compressibility factor: perfect gas, 0.04 % off"),
    (&["C6.01", "C6.02", "C6.03"], "pure hydrocarbons: the model's petrol is CH1.87 with ethanol"),
    (&["C6.13"], "oxygen share of the fuel"),
    (&["C6.15"], "a reciprocal, no law of ours"),
    (&["C6.26"], "one by definition"),
    (&["C6.32"], "flame temperature"),
    (&["C6.33", "C6.34"], "ideal cycle efficiency: indicated efficiency is a setting"),
    (&["C6.62"], "an empirical throttle function: ours is isentropic (C6.63)"),
    (&["C6.64", "C6.66", "C6.67", "C6.69"], "another fit of the film, recalled with low confidence: never a limit"),
    (
        &["C7.20", "C7.21", "C7.22", "C7.23", "C7.24"],
        "vapour equilibrium in the manifold: the film's share stands for it",
    ),
    (
        &[
            "C8.03", "C8.04", "C8.05", "C8.07", "C8.14", "C8.15", "C8.16", "C8.21", "C8.22", "C8.24", "C8.25", "C8.26",
            "C8.30", "C8.31", "C8.32",
        ],
        "a plate in an unbounded stream: our door's arm tapers as its projection to a share that is a low-confidence setting",
    ),
    (&["C9.01", "C9.03"], "effective area of a diaphragm from its diameters: the area is a setting"),
    (&["C9.10"], "time to no depression at all: our orifice is laminar near rest (to 1 kPa and 50 Pa: P9.1, C9.11)"),
    (&["C9.15"], "adiabatic chamber: ours keeps its temperature"),
    (&["C10.86"], "too light for a carburettor's fuel; not to be used"),
    (&["C11.72"], "fibre cement: no part of ours is made of it"),
    (&["C12.09"], "carbon monoxide: a conversion of units, matter of lessons"),
];
