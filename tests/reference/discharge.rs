//! Discharge coefficients of jets and small holes: section 2 of the checks.

use crate::table::{Row, row};
use second_breath::engine::fuel::Fuel;
use second_breath::physics::fuel_flow::Jet;

const LICHTAROWICZ: (f64, &str) =
    (0.01, "our two-term form leaves out the logarithmic term of the fit; within 1 % at L/d = 2");
const LONGER: (f64, &str) = (0.03, "our jets have one length, L/d = 2; at L/d = 4 the fit is lower by 0.017 and more");
const NAKAYAMA: (f64, &str) =
    (0.06, "the two published fits differ by 0.04 at Re 1000, which is the honest uncertainty");
const SHORT_TUBE: (f64, &str) = (0.015, "a short square-edged tube: 0.80 to 0.82 by every source, ours 0.81");
const BETWEEN: (f64, &str) = (0.11, "petrol is a blend that lies between the two pure liquids");

pub const ROWS: &[Row] = &[
    row("C2.20", "Jet::coefficient", LICHTAROWICZ, || Jet::coefficient(500.0)),
    row("C2.21", "Jet::coefficient", LICHTAROWICZ, || Jet::coefficient(1e3)),
    row("C2.24", "Jet::coefficient", LICHTAROWICZ, || Jet::coefficient(1e4)),
    row("C2.25", "Jet::coefficient", LICHTAROWICZ, || Jet::coefficient(2e4)),
    row("C2.26", "Jet::coefficient", LONGER, || Jet::coefficient(5e3)),
    row("C2.27", "Jet::coefficient", LONGER, || Jet::coefficient(2e4)),
    row("C2.30", "Jet::coefficient", NAKAYAMA, || Jet::coefficient(1e3)),
    row("C2.31", "Jet::coefficient", NAKAYAMA, || Jet::coefficient(5e3)),
    row("C2.32", "Jet::coefficient", NAKAYAMA, || Jet::coefficient(1e4)),
    row("C2.40", "Jet::coefficient, fast flow", SHORT_TUBE, || Jet::coefficient(1e9)),
    row("P2.1", "Jet::coefficient, fast flow", SHORT_TUBE, || Jet::coefficient(1e9)),
    row("C2.57", "Fuel, default viscosity", BETWEEN, || 1e3 * Fuel::default().liquid().viscosity),
    row("C2.58", "Fuel, default viscosity", BETWEEN, || 1e3 * Fuel::default().liquid().viscosity),
];
