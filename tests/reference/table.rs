//! What a row of the proof is, and how ours is held against it.
//!
//! `checks.csv` beside this file holds the facts: id, quantity with its inputs, value, unit and how the value was
//! obtained. The modules hold, for each id, a pointer to our law, a relative tolerance and the reason for it.
//!
//! Library rows were computed with fluids 1.3.1, ht 1.2.0, chemicals 1.5.2, thermo 0.6.1, ambiance 1.3.1,
//! CoolProp 8.0.0, cantera 3.2.0 and pint 0.25.3; rows marked `num` with scipy 1.17.1 on numpy 2.4.6.

/// How a reference value came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// A figure printed in a named source.
    Published,
    /// Computed by a library that others keep.
    Library,
    /// The same equation by another's integrator, quadrature or root finder, or a figure that must equal another way.
    Numeric,
    /// The stated equation evaluated once: catches slips only, never a wrong equation.
    Arithmetic,
}

impl Origin {
    /// Whether such a row can contradict more than a slip of the pen.
    pub fn independent(self) -> bool {
        self != Self::Arithmetic
    }
}

/// A line of `checks.csv`.
#[derive(Debug, Clone, serde::Deserialize)]
pub struct Check {
    pub id: String,
    pub quantity: String,
    pub value: f64,
    pub unit: String,
    pub how: String,
}

impl Check {
    pub fn origin(&self) -> Origin {
        if self.how.starts_with("published") {
            Origin::Published
        } else if self.how.starts_with("lib") {
            Origin::Library
        } else if self.how.starts_with("num") || self.how.contains("must equal") || self.quantity.contains("must equal")
        {
            Origin::Numeric
        } else {
            Origin::Arithmetic
        }
    }
}

/// Every line of `checks.csv`, in its order.
pub fn checks() -> Vec<Check> {
    let text = include_str!("checks.csv");
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(|line| line.expect("a well-formed line")).collect()
}

/// One of our laws against one line.
#[derive(Clone, Copy)]
pub struct Row {
    /// Id of the line.
    pub id: &'static str,
    /// Which law of the library the value goes through.
    pub law: &'static str,
    /// Largest accepted relative difference.
    pub tolerance: f64,
    /// Why that much.
    pub reason: &'static str,
    /// Our value in the line's unit.
    pub ours: fn() -> f64,
}

pub const fn row(
    id: &'static str,
    law: &'static str,
    (tolerance, reason): (f64, &'static str),
    ours: fn() -> f64,
) -> Row {
    Row { id, law, tolerance, reason, ours }
}

/// Same equation, same constants: what six printed digits leave.
pub const DIGITS: (f64, &str) = (1e-5, "same equation and constants; the reference has six digits");
/// A perfect gas against real air.
pub const REAL_AIR: (f64, &str) =
    (1e-3, "perfect gas with R = 287.05 and γ = 1.4 against real air: below 0.06 % over this range");
/// A textbook's constants.
pub const TEXTBOOK: (f64, &str) =
    (1e-3, "the textbook rounds R to 287, cp to 1005, g to 9.81 and once π to 3.141: up to 0.04 %");

/// Ours against a line, with what was found.
pub struct Comparison {
    pub row: Row,
    pub check: Check,
    pub ours: f64,
}

impl Comparison {
    pub fn difference(&self) -> f64 {
        self.ours / self.check.value - 1.0
    }

    pub fn agrees(&self) -> bool {
        self.agrees_when_off_by(1.0)
    }

    /// Whether the row would still pass if our law gave this factor of what it gives.
    pub fn agrees_when_off_by(&self, factor: f64) -> bool {
        (self.ours * factor / self.check.value - 1.0).abs() <= self.row.tolerance
    }

    /// Whether the row notices a law that is 1 % too high, and one that is 1 % too low.
    pub fn sees_one_percent(&self) -> bool {
        !self.agrees_when_off_by(1.01) && !self.agrees_when_off_by(0.99)
    }
}
