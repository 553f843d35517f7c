//! Vapour and heat: sections 10, 11 and 12.

use crate::table::{DIGITS, Row, row};
use second_breath::engine::ambient::{standard_pressure, standard_temperature};
use second_breath::engine::fuel::Fuel;
use second_breath::heat::materials::{Body, Spacer};
use second_breath::heat::parts::{Casting, Mounting};
use second_breath::heat::stores::{Control, Stores, integrate};
use second_breath::physics::heat_transfer::{
    Fluid, biot, horizontal_cylinder, horizontal_layer, radiation, relaxation, slab, vertical_plate,
};
use second_breath::physics::vapour::{
    self, Blend, PETROL_MOLAR_MASS, VapourCurve, fuel_air_ratio, vapour_density, vapour_lock_temperature,
};
use second_breath::solver::root;
use second_breath::units::PSI;

const ZERO_C: f64 = 273.15;
const ATMOSPHERE: f64 = 101_325.0;
const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;

/// Another method altogether: eight pure substances with activities from groups (Dortmund UNIFAC).
const SURROGATE: (f64, &str) =
    (0.04, "AP-42's nomograph against an eight-component surrogate: different fuels, within 4 %");
/// The same for a boiling point, in °F.
const SURROGATE_POINT: (f64, &str) = (0.02, "another method and another fuel; 2 °F");
/// Dry air by the US standard's viscosity and conductivity, one heat capacity.
const STILL_AIR: (f64, &str) =
    (0.01, "US 1976 viscosity and conductivity and one heat capacity against real air: below 1 %");
/// The same after a third or sixth root.
const STILL_AIR_ROOT: (f64, &str) = (0.003, "the same, and a root of it: below 0.3 %");

fn fahrenheit(degrees: f64) -> f64 {
    (degrees + 459.67) / 1.8
}

fn to_fahrenheit(kelvin: f64) -> f64 {
    1.8 * kelvin - 459.67
}

fn petrol(reid_psi: f64) -> VapourCurve {
    VapourCurve::petrol(PSI.to_si(reid_psi))
}

/// True vapour pressure, psi.
pub fn true_psi(reid_psi: f64, at_f: f64) -> f64 {
    PSI.from_si(petrol(reid_psi).pressure(fahrenheit(at_f)))
}

/// Boiling point, °F.
fn boils_f(reid_psi: f64, pressure_psi: f64) -> f64 {
    to_fahrenheit(petrol(reid_psi).boiling_point(PSI.to_si(pressure_psi)))
}

/// US 1976, psi.
fn at_5000_ft() -> f64 {
    PSI.from_si(standard_pressure(5000.0 * FOOT))
}

/// Reid pressure of the surrogate (V/L = 4), psi: 8.95237 / 1.02881 of lines C10.70 and C10.74.
const SURROGATE_REID: f64 = 8.701_675;

/// The surrogate with a share of ethanol by volume.
pub fn surrogate(ethanol: f64) -> Blend {
    let fuel = Fuel { density_kg_per_m3: 736.411, ethanol, ..Fuel::default() };
    Blend::new(PSI.to_si(SURROGATE_REID), fuel.ethanol_mass_share())
}

/// Reid pressure that makes a measured pair, psi.
pub fn implied_reid(at_f: f64, pressure_psi: f64) -> f64 {
    root::bracketed(2.0, 20.0, 1e-10, |reid| true_psi(reid, at_f) - pressure_psi)
}

fn air(celsius: f64) -> Fluid {
    Fluid::air(ATMOSPHERE, ZERO_C + celsius)
}

/// Plate of 80 mm, wall and air in °C: properties at the mean.
pub fn plate_rayleigh(wall_c: f64, air_c: f64) -> f64 {
    air(0.5 * (wall_c + air_c)).rayleigh(0.08, wall_c - air_c)
}

fn radiated(emissivity: f64) -> f64 {
    radiation(emissivity, ZERO_C + 90.0, ZERO_C + 60.0)
}

/// Nothing but a gasket.
fn gasket(thickness_m: f64) -> f64 {
    Mounting { gasket_thickness_m: thickness_m, spacer_thickness_m: 0.0, ..Mounting::default() }.stack_w_per_k()
}

fn spacer(material: Spacer, thickness_m: f64) -> f64 {
    slab(material.conductivity(), 120e-4, thickness_m)
}

/// Body of a mass with 0.2 kg of petrol, J/K.
fn capacity(body: Body, mass_kg: f64) -> f64 {
    Casting { body, body_volume_m3: mass_kg / body.material().density, ..Casting::default() }.body_j_per_k()
        + 0.2 * 2100.0
}

/// Zinc body of 1.6 kg between a flange and air: minutes, and °C at rest.
fn body_at_rest(joint: f64) -> (f64, f64) {
    let (time, rest) = relaxation(capacity(Body::Zinc, 1.6), &[(joint, 100.0), (0.405, 60.0)]);
    (time / 60.0, rest)
}

/// Engine of 25 kJ/K at 100 °C that cools at 3 W/K, zinc body at 50 °C, air at 55 °C: what the line's rounding leaves
/// of its inputs, and they give both lines.
struct TwoStores {
    joint: f64,
}

impl Stores<2> for TwoStores {
    fn rates(&self, t: &[f64; 2]) -> [f64; 2] {
        let across = self.joint * (t[0] - t[1]);
        [(-3.0 * (t[0] - 55.0) - across) / 25e3, (across - 0.405 * (t[1] - 55.0)) / capacity(Body::Zinc, 1.6)]
    }

    fn scale(&self) -> &[f64; 2] {
        &[20.0; 2]
    }
}

/// Highest temperature of the body, °C.
pub fn two_store_peak(joint: f64) -> f64 {
    let mut state = [100.0, 50.0];
    let mut peak: f64 = 0.0;
    let control = Control { share: 1e-6, longest: 20.0 };
    integrate(&TwoStores { joint }, (0.0, 5400.0), &mut state, control, |stretch| {
        peak = peak.max(stretch.at(stretch.end)[1])
    })
    .expect("runs");
    peak
}

pub const ROWS: &[Row] = &[
    row("C10.01", "VapourCurve::petrol", DIGITS, || petrol(7.0).a),
    row("C10.02", "VapourCurve::petrol", DIGITS, || 1.8 * petrol(7.0).b_k),
    row("C10.03", "VapourCurve::petrol", DIGITS, || petrol(10.0).a),
    row("C10.06", "VapourCurve::petrol", DIGITS, || 1.8 * petrol(13.0).b_k),
    row("C10.10", "VapourCurve::pressure", DIGITS, || true_psi(7.0, 60.0)),
    row("C10.11", "VapourCurve::pressure", DIGITS, || true_psi(10.0, 60.0)),
    row("C10.12", "VapourCurve::pressure", DIGITS, || true_psi(13.0, 60.0)),
    row("C10.16", "VapourCurve::pressure", DIGITS, || true_psi(13.0, 100.0)),
    row("C10.17", "VapourCurve::pressure", DIGITS, || true_psi(15.0, 100.0)),
    row("C10.18", "VapourCurve::pressure", DIGITS, || true_psi(9.0, 120.0)),
    row("C10.19", "VapourCurve::pressure", DIGITS, || true_psi(9.0, 140.0)),
    row("C10.20", "VapourCurve::pressure", DIGITS, || true_psi(13.0, 120.0)),
    row("C10.32", "VapourCurve::boiling_point", DIGITS, || boils_f(9.0, 14.696)),
    row("C10.33", "VapourCurve::boiling_point", DIGITS, || boils_f(10.0, 14.696)),
    row("C10.34", "VapourCurve::boiling_point", DIGITS, || boils_f(11.5, 14.696)),
    row("C10.35", "VapourCurve::boiling_point", DIGITS, || boils_f(13.5, 14.696)),
    row("C10.36", "VapourCurve::boiling_point", DIGITS, || boils_f(15.0, 14.696)),
    row("C10.40", "VapourCurve::boiling_point", DIGITS, || boils_f(7.0, at_5000_ft())),
    row("C10.42", "VapourCurve::boiling_point", DIGITS, || boils_f(9.0, at_5000_ft())),
    row("C10.44", "VapourCurve::boiling_point", DIGITS, || boils_f(11.5, at_5000_ft())),
    row("C10.46", "VapourCurve::boiling_point", DIGITS, || boils_f(15.0, at_5000_ft())),
    row("C10.56", "ambient::standard_temperature", DIGITS, || standard_temperature(5000.0 * FOOT)),
    row("C10.65", "vapour_lock_temperature", DIGITS, || {
        vapour_lock_temperature(62e3, ZERO_C + 53.0, ZERO_C + 101.0) - ZERO_C
    }),
    row("C10.70", "Blend::pressure", SURROGATE, || PSI.from_si(surrogate(0.0).pressure(fahrenheit(100.0)))),
    row("C10.72", "Blend::reid_pressure", (0.01, "van Laar with recalled constants against groups: 0.6 %"), || {
        PSI.from_si(surrogate(0.1).reid_pressure(PSI.to_si(SURROGATE_REID)))
    }),
    row("C10.74", "VapourCurve::pressure", SURROGATE, || true_psi(SURROGATE_REID, 100.0) / SURROGATE_REID),
    row("C10.75", "VapourCurve::pressure", DIGITS, || true_psi(SURROGATE_REID, 100.0) / SURROGATE_REID),
    row("C10.78", "Blend::boiling_point", SURROGATE_POINT, || to_fahrenheit(surrogate(0.1).boiling_point(ATMOSPHERE))),
    row(
        "C10.80",
        "Blend::heat_of_vaporisation",
        (0.015, "from the slope of the curve against pure substances"),
        || 1e-3 * surrogate(0.0).heat_of_vaporisation(),
    ),
    row(
        "C10.83",
        "Blend::heat_of_vaporisation",
        (0.015, "from the slope of the curve against pure substances"),
        || 1e-3 * surrogate(0.1).heat_of_vaporisation(),
    ),
    row("C10.85", "VapourCurve::heat_of_vaporisation", DIGITS, || 1e-3 * petrol(10.0).heat_of_vaporisation()),
    row("C10.87", "VapourCurve::boiling_point", (5e-5, "a difference of two temperatures ten times as large"), || {
        boils_f(9.0, PSI.from_si(ATMOSPHERE)) - boils_f(9.0, at_5000_ft())
    }),
    row("C10.88", "VapourCurve::boiling_point", DIGITS, || boils_f(8.70, PSI.from_si(ATMOSPHERE))),
    row("C10.89", "VapourCurve::boiling_point", DIGITS, || boils_f(8.70, at_5000_ft())),
    row("C10.90", "VapourCurve::pressure", DIGITS, || implied_reid(33.0, 3.49)),
    row("C10.92", "VapourCurve::pressure", DIGITS, || implied_reid(53.0, 3.42)),
    row("C10.93", "VapourCurve::pressure", DIGITS, || implied_reid(52.0, 3.28)),
    row("C11.02", "heat_transfer::vertical_plate", (2e-4, "the textbook's Rayleigh number has four digits"), || {
        vertical_plate(0.69, 1.813e9)
    }),
    row("C11.10", "Fluid::rayleigh", STILL_AIR, || plate_rayleigh(90.0, 60.0)),
    row("C11.11", "heat_transfer::vertical_plate", STILL_AIR_ROOT, || {
        vertical_plate(air(75.0).prandtl(), plate_rayleigh(90.0, 60.0))
    }),
    row("C11.13", "Fluid::rayleigh", STILL_AIR, || plate_rayleigh(120.0, 80.0)),
    row("C11.15", "Fluid::on_vertical_plate", STILL_AIR_ROOT, || air(100.0).on_vertical_plate(0.08, 40.0)),
    row("C11.16", "heat_transfer::horizontal_cylinder", STILL_AIR_ROOT, || {
        horizontal_cylinder(air(75.0).prandtl(), air(75.0).rayleigh(0.07, 30.0))
    }),
    row("C11.18", "heat_transfer::vertical_plate", DIGITS, || vertical_plate(0.69, 0.69 * 2.63e9)),
    row("C11.19", "heat_transfer::horizontal_cylinder", DIGITS, || horizontal_cylinder(0.69, 0.69 * 2.63e9)),
    row("C11.20", "heat_transfer::radiation", DIGITS, || radiated(0.3)),
    row("C11.21", "heat_transfer::radiation", DIGITS, || radiated(0.8)),
    row("C11.30", "Mounting::stack_w_per_k", DIGITS, || gasket(1.5e-3)),
    row("C11.31", "Mounting::stack_w_per_k", DIGITS, || gasket(6e-3)),
    row("C11.33", "Spacer and slab", DIGITS, || spacer(Spacer::Phenolic, INCH)),
    row("C11.34", "Spacer and slab", DIGITS, || spacer(Spacer::Laminate, INCH)),
    row("C11.35", "Spacer and slab", (2.5e-3, "96.2 W/(m K) as printed; the line rounds it to 96"), || {
        spacer(Spacer::Aluminium, INCH)
    }),
    row("C11.36", "Mounting::studs_w_per_k", DIGITS, || {
        Mounting { gasket_thickness_m: 1.5e-3, ear_m: INCH - 1.5e-3, ..Mounting::default() }.studs_w_per_k()
    }),
    row("C11.41", "Casting::body_j_per_k", DIGITS, || capacity(Body::Aluminium, 0.75)),
    row("C11.42", "heat_transfer::relaxation", DIGITS, || body_at_rest(gasket(1.5e-3)).0),
    row("C11.45", "heat_transfer::relaxation", DIGITS, || body_at_rest(spacer(Spacer::Phenolic, INCH)).0),
    row("C11.46", "heat_transfer::relaxation", DIGITS, || body_at_rest(gasket(1.5e-3)).1),
    row("C11.47", "heat_transfer::relaxation", DIGITS, || body_at_rest(gasket(6e-3)).1),
    row("C11.48", "heat_transfer::relaxation", DIGITS, || body_at_rest(spacer(Spacer::Phenolic, 0.5 * INCH)).1),
    row("C11.49", "heat_transfer::relaxation", DIGITS, || body_at_rest(spacer(Spacer::Phenolic, INCH)).1),
    row("C11.50", "heat_transfer::biot", DIGITS, || biot(10.0, 5e-3, Body::Zinc.material().conductivity)),
    row("C11.60", "stores::integrate", (1e-4, "the highest of our steps and of theirs"), || {
        two_store_peak(gasket(1.5e-3))
    }),
    row("C11.62", "stores::integrate", (1e-4, "the highest of our steps and of theirs"), || {
        two_store_peak(gasket(6e-3))
    }),
    row("C11.71", "Spacer", DIGITS, || Spacer::Hardboard.conductivity()),
    row("C12.01", "vapour::fuel_air_ratio", MOLAR, || fuel_air_ratio(0.014, 66e-3)),
    row("C12.02", "vapour::fuel_air_ratio", MOLAR, || fuel_air_ratio(0.076, 66e-3)),
    row("C12.05", "VapourCurve::pressure", DIGITS, || 100.0 * PSI.to_si(true_psi(9.0, 32.0)) / ATMOSPHERE),
    row("C12.06", "VapourCurve::pressure", DIGITS, || 100.0 * PSI.to_si(true_psi(9.0, -45.0)) / ATMOSPHERE),
    row("C12.08", "vapour::vapour_density", DIGITS, || {
        let kelvin = fahrenheit(68.0);
        5.6 * 0.453_592_37 / vapour_density(PETROL_MOLAR_MASS, ATMOSPHERE, kelvin) / FOOT.powi(3)
    }),
    row("C12.10", "VapourCurve::boiling_point", DIGITS, || boils_f(9.0, 0.014 * PSI.from_si(ATMOSPHERE))),
    row("P10.1", "VapourCurve::boiling_point", DIGITS, || boils_f(9.0, 14.696)),
    row("P10.2", "VapourCurve::heat_of_vaporisation", DIGITS, || 1e-3 * petrol(10.0).heat_of_vaporisation()),
    row("P10.3", "VapourCurve::petrol", PRINTED, || petrol(7.0).a),
    row("P10.4", "VapourCurve::petrol", PRINTED, || 1.8 * petrol(10.0).b_k),
    row("P10.5", "VapourCurve::petrol", PRINTED, || petrol(13.0).a),
    row("P11.1", "heat_transfer::radiation", DIGITS, || radiated(0.8)),
    row("P11.2", "heat_transfer::biot", DIGITS, || biot(10.0, 5e-3, Body::Zinc.material().conductivity)),
    row("P11.3", "Fluid::rayleigh", DIGITS, || GIVEN.rayleigh(0.08, 30.0)),
    row("P11.4", "heat_transfer::relaxation", DIGITS, || body_at_rest(gasket(1.5e-3)).0),
    row("P11.5", "heat_transfer::relaxation", DIGITS, || body_at_rest(gasket(1.5e-3)).1),
    row("P11.6", "heat_transfer::vertical_plate", (4e-3, "the textbook's figure has three digits"), || {
        vertical_plate(0.69, 1.813e9)
    }),
    row("P11.7", "Fluid::along_plate", DIGITS, || {
        let fluid = Fluid { heat_capacity: 0.707 * GIVEN.conductivity / GIVEN.viscosity, ..GIVEN };
        let speed = 2e4 * fluid.viscosity / (fluid.density * 0.08);
        fluid.along_plate(0.08, speed) * 0.08 / fluid.conductivity
    }),
    row(
        "P11.8",
        "heat_transfer::horizontal_layer",
        (0.01, "a later form of theirs with Prandtl's number in it"),
        || horizontal_layer(1e5),
    ),
    row("P12.1", "vapour::vapour_density", DIGITS, || vapour_density(PETROL_MOLAR_MASS, ATMOSPHERE, fahrenheit(68.0))),
];

/// Round figures near those of warm air.
const GIVEN: Fluid =
    Fluid { density: 1.0, viscosity: 21e-6, conductivity: 30e-3, heat_capacity: 1007.0, expansion: 1.0 / 348.15 };

/// As many digits as the table prints.
const PRINTED: (f64, &str) = (5e-5, "the table's printed digits");

/// Molar mass of air from R = 287.05.
const MOLAR: (f64, &str) = (1e-4, "air's molar mass from R = 287.05 J/(kg K) against 28.9647 g/mol");

/// The molar mass of the vapour is AP-42's at the printed points.
#[test]
fn vapour_weighs_what_the_table_says() {
    for (reid, grams) in [(7.0, 68.0), (10.0, 66.0), (13.0, 62.0)] {
        let ours = 1e3 * vapour::petrol_vapour_molar_mass(PSI.to_si(reid));
        assert!((ours - grams).abs() < 1e-9, "Reid {reid} psi: {ours}");
    }
}
