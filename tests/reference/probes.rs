//! Laws whose input can be put wrong on purpose: row, input, and our value with that input times a factor.

use crate::air::{SEA_LEVEL, throat_depression, throat_m2};
use crate::elementary::share_left;
use crate::engine::{filled_kpa, thirty_grams};
use crate::heat::{implied_reid, plate_rayleigh, two_store_peak};
use crate::parts::{Column, disc_moment, filling_ms};
use crate::plate::share;
use crate::ratings::{demand, density, standard_kpa};
use second_breath::engine::fuel::Fuel;
use second_breath::physics::air::mass_flow;

type Probe = (&'static str, &'static str, fn(f64) -> f64);

pub const PROBES: &[Probe] = &[
    ("C1.21", "area", |f| 1e3 * mass_flow(SEA_LEVEL, 0.9 * SEA_LEVEL.pressure_pa, f * 1e-4)),
    ("C1.43", "throat area", |f| throat_depression(f * throat_m2())),
    ("C3.53", "bore of the bleed", |f| share_left(f * 1e-3)),
    ("C4.11", "closed angle", |f| share(45.0, f * 7.0, 0.2)),
    ("C4.12", "thickness of the shaft", |f| share(60.0, 10.0, f * 0.1)),
    ("C5.06", "volumetric efficiency", |f| demand(350.0, 6000.0, f * 0.85)),
    ("C5.23", "pressure", |f| density(70.0, f * 101_325.0)),
    ("C6.09", "ethanol", |f| Fuel { ethanol: 2.0 - f, ..Fuel::default() }.stoichiometric_ratio()),
    ("C6.42", "manifold volume", |f| filled_kpa(thirty_grams(), f * 4e-3, 0.05)),
    ("C6.49", "plate area", |f| filled_kpa(f * 7.3631e-4, 4e-3, 0.3)),
    ("C7.09", "passage length", |f| Column::new(1.5e-3, f * 60e-3, 5e-3, 1500.0).share_after(4.305_58e-3)),
    ("C8.41", "offset", |f| disc_moment(40e-3, f * 2e-3, 5e3)),
    ("P9.1", "bore of the orifice", |f| filling_ms(f * 0.5e-3, 1000.0)),
    ("C10.90", "measured pressure", |f| implied_reid(33.0, f * 3.49)),
    ("C11.10", "temperature difference", |f| plate_rayleigh(75.0 + f * 15.0, 75.0 - f * 15.0)),
    ("C11.60", "conductance of the joint", |f| two_store_peak(f * 1.6)),
    ("C10.54", "altitude", |f| standard_kpa(f * 5000.0)),
];
