//! Units at the edge of the program.
//!
//! Inside, every number is plain SI in an `f64` whose name carries the unit. A number is shown, read or written
//! through a [`Quantity`], which knows one [`Unit`] for each [`UnitSystem`] and every other unit that is understood.

/// A unit: `si = value * scale + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// The symbol as it is shown and read, such as `mm`.
    pub symbol: &'static str,
    /// Plain-keyboard spellings that are read as the same unit.
    pub also: &'static [&'static str],
    scale: f64,
    offset: f64,
}

impl Unit {
    /// The SI unit of anything: the number as it is.
    pub const SI: Self = NONE;

    const fn new(symbol: &'static str, scale: f64) -> Self {
        Self { symbol, also: &[], scale, offset: 0.0 }
    }

    const fn or(mut self, also: &'static [&'static str]) -> Self {
        self.also = also;
        self
    }

    const fn with_zero_at(mut self, offset: f64) -> Self {
        self.offset = offset;
        self
    }

    /// The SI value of `value` in this unit.
    pub const fn to_si(self, value: f64) -> f64 {
        value * self.scale + self.offset
    }

    /// The value in this unit of an SI value.
    pub const fn from_si(self, si: f64) -> f64 {
        (si - self.offset) / self.scale
    }

    /// Whether `text` names this unit; a bare number is named by nothing at all.
    pub fn is_named(self, text: &str) -> bool {
        self.symbol == text || self.also.iter().any(|also| also.eq_ignore_ascii_case(text))
    }
}

/// A figure of `T` as tables and files show it: a column of a trace, a finding of a run.
#[derive(Debug, Clone, Copy)]
pub struct Figure<T, V> {
    /// Stable key in files.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Its value, SI.
    pub get: fn(&T) -> V,
}

/// Declares a struct of figures and the table of them. A line reads `field: Quantity, "Label";`, and every field has one
/// type: `f64`, or `Option<f64>` where a figure may be missing.
#[macro_export]
macro_rules! figures {
    ($(#[$doc:meta])* pub struct $name:ident, $(#[$table_doc:meta])* $table:ident: f64 { $($rows:tt)* }) => {
        $crate::figures!(@table [$(#[$doc])*] $name, [$(#[$table_doc])*] $table, f64, $($rows)*);
        $crate::figures!(@between $name, $($rows)*);
    };
    ($(#[$doc:meta])* pub struct $name:ident, $(#[$table_doc:meta])* $table:ident: Option<f64> { $($rows:tt)* }) => {
        $crate::figures!(@table [$(#[$doc])*] $name, [$(#[$table_doc])*] $table, Option<f64>, $($rows)*);
    };
    (@table [$($doc:tt)*] $name:ident, [$($table_doc:tt)*] $table:ident, $value:ty,
        $($field:ident: $quantity:ident, $label:literal;)*) => {
        $($doc)*
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        pub struct $name { $(#[doc = $label] pub $field: $value,)* }

        $($table_doc)*
        pub const $table: &[$crate::units::Figure<$name, $value>] = &[$($crate::units::Figure {
            id: stringify!($field),
            label: $label,
            quantity: $crate::units::Quantity::$quantity,
            get: |figures| figures.$field,
        },)*];
    };
    (@between $name:ident, $($field:ident: $quantity:ident, $label:literal;)*) => {
        impl $name {
            /// Between these figures (0) and `other` (1).
            pub fn towards(&self, other: &Self, share: f64) -> Self {
                let mix = |a: f64, b: f64| a + (b - a) * share;
                Self { $($field: mix(self.$field, other.$field),)* }
            }
        }
    };
}

/// Which units the reader wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
pub enum UnitSystem {
    /// Metric units.
    #[default]
    Si,
    /// The units spoken in the workshop: cfm, inHg, thousandths of an inch.
    Workshop,
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident: $si:expr, $workshop:expr $(, $other:expr)*;)*) => {
        /// What a number measures; it decides in which units the number is shown and read.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Quantity { $($(#[$doc])* $name,)* }

        impl Quantity {
            /// Every unit that is read for this quantity: SI first, then workshop, then others.
            pub const fn units(self) -> &'static [Unit] {
                match self { $(Self::$name => const { &[$si, $workshop $(, $other)*] },)* }
            }

            /// Every quantity.
            pub const ALL: &'static [Quantity] = &[$(Self::$name,)*];
        }
    };
}

/// Metres in an inch (exact, international yard and pound agreement of 1959).
pub const INCH_M: f64 = 0.0254;
/// Conventional inch of mercury, NIST SP 811 appendix B.8: 3386.389 Pa.
pub const INHG: Unit = Unit::new("inHg", 3386.389);
/// Cubic feet a minute: 1728 cubic inches in 60 s.
pub const CFM: Unit = Unit::new("cfm", 1728.0 * INCH_M * INCH_M * INCH_M / 60.0);
/// Revolutions a minute.
pub const RPM: Unit = Unit::new("rpm", std::f64::consts::TAU / 60.0).or(&["r/min"]);
/// Millimetres.
pub const MM: Unit = Unit::new("mm", 1e-3);

/// Pounds to the square inch.
pub const PSI: Unit = Unit::new("psi", POUND_FORCE_N / (INCH_M * INCH_M));

const CUBIC_INCH: f64 = INCH_M * INCH_M * INCH_M;
const POUND_KG: f64 = 0.453_592_37;
const POUND_FORCE_N: f64 = POUND_KG * 9.806_65;
const INCH_POUND: f64 = POUND_FORCE_N * INCH_M;
const NONE: Unit = Unit::new("", 1.0);
const PERCENT: Unit = Unit::new("%", 0.01);
const SECOND: Unit = Unit::new("s", 1.0);
const MINUTE: Unit = Unit::new("min", 60.0);
/// International table British thermal unit (exact).
const BTU_J: f64 = 1_055.055_852_62;
const MILLISECOND: Unit = Unit::new("ms", 1e-3);
const DEGREE: Unit = Unit::new("°", std::f64::consts::PI / 180.0).or(&["deg"]);

quantities! {
    /// A bore, a jet, a stroke.
    Length: MM, Unit::new("in", INCH_M), Unit::new("thou", INCH_M * 1e-3), Unit::new("cm", 0.01), Unit::new("m", 1.0);
    /// A jet or shooter hole.
    FineLength: MM, Unit::new("thou", INCH_M * 1e-3), Unit::new("in", INCH_M);
    /// A journey on the road, an altitude.
    Distance: Unit::new("m", 1.0), Unit::new("ft", 0.3048);
    /// A flow area, a blade, a diaphragm.
    Area: Unit::new("cm²", 1e-4).or(&["cm2"]), Unit::new("in²", INCH_M * INCH_M).or(&["in2"]), Unit::new("mm²", 1e-6).or(&["mm2"]);
    /// A fine orifice.
    FineArea: Unit::new("mm²", 1e-6).or(&["mm2"]), Unit::new("thou²", INCH_M * INCH_M * 1e-6).or(&["thou2"]);
    /// Frontal area times drag coefficient.
    DragArea: Unit::new("m²", 1.0).or(&["m2"]), Unit::new("ft²", 0.3048 * 0.3048).or(&["ft2"]);
    /// A plenum, an engine.
    Volume: Unit::new("L", 1e-3), Unit::new("in³", CUBIC_INCH).or(&["in3", "cid"]), Unit::new("cm³", 1e-6).or(&["cm3", "cc"]);
    /// A pump shot, a well.
    SmallVolume: Unit::new("cm³", 1e-6).or(&["cm3", "cc"]), Unit::new("cm³", 1e-6);
    /// A volume of fuel in a second.
    FuelFlow: Unit::new("cm³/s", 1e-6).or(&["cm3/s", "cc/s"]), Unit::new("cm³/s", 1e-6);
    /// A plate, a door, a shaft.
    Angle: DEGREE, DEGREE;
    /// How fast a plate or door turns.
    AngularSpeed: Unit::new("rad/s", 1.0), Unit::new("°/s", std::f64::consts::PI / 180.0).or(&["deg/s"]);
    /// Speed of a shaft.
    RotationalSpeed: RPM, RPM;
    /// Speed of a car.
    RoadSpeed: Unit::new("km/h", 1.0 / 3.6), Unit::new("mph", 0.44704);
    /// Speed of air.
    AirSpeed: Unit::new("m/s", 1.0), Unit::new("ft/s", 0.3048);
    /// Speed of a small part.
    PartSpeed: Unit::new("mm/s", 1e-3), Unit::new("in/s", INCH_M);
    /// Absolute pressure or vacuum.
    Pressure: Unit::new("kPa", 1e3), INHG, Unit::new("Pa", 1.0), Unit::new("mbar", 100.0), PSI;
    /// A signal of a few hundred pascals.
    SmallPressure: Unit::new("Pa", 1.0), Unit::new("inH₂O", 249.0889).or(&["inH2O"]), Unit::new("kPa", 1e3), INHG;
    /// Temperature.
    Temperature: Unit::new("°C", 1.0).with_zero_at(273.15).or(&["C", "degC"]), Unit::new("°F", 5.0 / 9.0).with_zero_at(273.15 - 32.0 * 5.0 / 9.0).or(&["F", "degF"]), Unit::new("K", 1.0);
    /// A margin between two temperatures.
    TemperatureDifference: Unit::new("K", 1.0), Unit::new("°F", 5.0 / 9.0).or(&["F", "degF"]);
    /// A wait of minutes.
    LongTime: MINUTE, MINUTE, SECOND;
    /// Heat that a body takes for a degree.
    HeatCapacity: Unit::new("kJ/K", 1e3), Unit::new("Btu/°F", BTU_J * 1.8).or(&["Btu/F"]), Unit::new("J/K", 1.0);
    /// Heat that passes for a degree of difference.
    Conductance: Unit::new("W/K", 1.0), Unit::new("Btu/(h·°F)", BTU_J * 1.8 / 3600.0).or(&["Btu/h.F"]);
    /// Conductivity of a material for heat.
    Conductivity: Unit::new("W/(m·K)", 1.0).or(&["W/m.K", "W/mK"]), Unit::new("Btu/(h·ft·°F)", BTU_J * 1.8 / 3600.0 / 0.3048).or(&["Btu/h.ft.F"]);
    /// Flow of heat.
    Power: Unit::new("W", 1.0), Unit::new("Btu/h", BTU_J / 3600.0);
    /// Mass of a car.
    Mass: Unit::new("kg", 1.0), Unit::new("lb", POUND_KG);
    /// Mass of a counterweight.
    SmallMass: Unit::new("g", 1e-3), Unit::new("oz", POUND_KG / 16.0);
    /// Mass of air in a second.
    AirFlow: Unit::new("g/s", 1e-3), Unit::new("lb/min", POUND_KG / 60.0), Unit::new("kg/s", 1.0);
    /// Mass of fuel in a second.
    FuelMassFlow: Unit::new("g/s", 1e-3), Unit::new("lb/h", POUND_KG / 3600.0);
    /// Rated flow of air by volume.
    VolumeFlow: Unit::new("L/s", 1e-3), CFM, Unit::new("m³/s", 1.0).or(&["m3/s"]);
    /// Dynamic viscosity.
    Viscosity: Unit::new("mPa·s", 1e-3).or(&["mPa.s", "cP"]), Unit::new("mPa·s", 1e-3);
    /// Density.
    Density: Unit::new("kg/m³", 1.0).or(&["kg/m3"]), Unit::new("lb/gal", POUND_KG / 3.785_411_784e-3);
    /// Force.
    Force: Unit::new("N", 1.0), Unit::new("ozf", POUND_FORCE_N / 16.0), Unit::new("lbf", POUND_FORCE_N);
    /// Stiffness of a spring that is pulled or pushed.
    Stiffness: Unit::new("N/m", 1.0), Unit::new("ozf/in", POUND_FORCE_N / 16.0 / INCH_M), Unit::new("lbf/in", POUND_FORCE_N / INCH_M);
    /// Friction of a sliding part.
    Damping: Unit::new("N·s/m", 1.0).or(&["N.s/m", "Ns/m"]), Unit::new("N·s/m", 1.0);
    /// Torque of an engine.
    Torque: Unit::new("N·m", 1.0).or(&["N.m", "Nm"]), Unit::new("lbf·ft", POUND_FORCE_N * 0.3048).or(&["lbf.ft", "lb-ft", "ft-lb"]);
    /// Moment on a door.
    SmallTorque: Unit::new("mN·m", 1e-3).or(&["mN.m", "mNm"]), Unit::new("ozf·in", INCH_POUND / 16.0).or(&["ozf.in", "oz-in"]);
    /// Stiffness of a wound spring.
    TorqueRate: Unit::new("mN·m/rad", 1e-3).or(&["mN.m/rad", "mNm/rad"]), Unit::new("ozf·in/turn", INCH_POUND / 16.0 / std::f64::consts::TAU).or(&["ozf.in/turn"]);
    /// Viscous friction of a turning part.
    TorqueDamping: Unit::new("mN·m·s", 1e-3).or(&["mN.m.s", "mNms"]), Unit::new("mN·m·s", 1e-3);
    /// Moment of inertia of a flywheel.
    Inertia: Unit::new("kg·m²", 1.0).or(&["kg.m2"]), Unit::new("lb·ft²", POUND_KG * 0.3048 * 0.3048).or(&["lb.ft2"]);
    /// Moment of inertia of a door.
    SmallInertia: Unit::new("g·cm²", 1e-7).or(&["g.cm2"]), Unit::new("oz·in²", POUND_KG / 16.0 * INCH_M * INCH_M).or(&["oz.in2"]);
    /// Acceleration of a car.
    Acceleration: Unit::new("m/s²", 1.0).or(&["m/s2"]), Unit::new("g", 9.806_65);
    /// A long time.
    Duration: SECOND, SECOND, MILLISECOND;
    /// A short time.
    ShortTime: MILLISECOND, MILLISECOND, SECOND;
    /// A share of a whole.
    Fraction: PERCENT, PERCENT;
    /// A bare number.
    Number: NONE, NONE;
}

impl Quantity {
    /// The unit in which this quantity is shown.
    pub const fn unit(self, system: UnitSystem) -> Unit {
        match system {
            UnitSystem::Si => self.units()[0],
            UnitSystem::Workshop => self.units()[1],
        }
    }

    /// The unit called `text`, in either system or among the others that are understood.
    pub fn unit_named(self, text: &str) -> Option<Unit> {
        self.units().iter().copied().find(|unit| unit.is_named(text))
    }

    /// An SI value as text with its unit, to about three significant figures: `85.2 kPa`.
    pub fn show(self, si: f64, system: UnitSystem) -> String {
        let unit = self.unit(system);
        let number = significant(unit.from_si(si), 3);
        if unit.symbol.is_empty() {
            number
        } else if unit.symbol == "°" {
            format!("{number}°")
        } else {
            format!("{number} {}", unit.symbol)
        }
    }
}

/// `value` with about `figures` significant figures and no exponent, never a negative zero.
pub fn significant(value: f64, figures: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value.is_finite() { "0".into() } else { "–".into() };
    }
    let magnitude = value.abs().log10().floor() as i32;
    let decimals = (figures - 1 - magnitude).clamp(0, 9) as usize;
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches(['-', '0', '.']).is_empty() { "0".into() } else { text }
}

/// A number and its unit as they are written: `4.6 L`, `20°`, `2.2`.
pub fn with_unit(number: f64, spelling: &str) -> String {
    match spelling {
        "" => number.to_string(),
        "°" => format!("{number}°"),
        symbol => format!("{number} {symbol}"),
    }
}

/// `value` with so many figures after its first.
pub fn rounded(value: f64, figures: usize) -> f64 {
    format!("{value:.figures$e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_goes_there_and_back() {
        for quantity in Quantity::ALL {
            for unit in quantity.units() {
                let there = unit.to_si(3.75);
                assert!((unit.from_si(there) - 3.75).abs() < 1e-12, "{quantity:?} {}", unit.symbol);
            }
        }
    }

    /// 3456 = 2 revolutions an intake × 1728 in³ in a ft³: the arithmetic behind the cfm formula.
    #[test]
    fn reference_3456_is_unit_arithmetic() {
        let displacement = Unit::new("in³", CUBIC_INCH).to_si(281.0);
        let turns_per_s = 5000.0 / 60.0;
        let flow = displacement * turns_per_s / 2.0;
        assert!((CFM.from_si(flow) - 281.0 * 5000.0 / 3456.0).abs() < 1e-9);
    }

    #[test]
    fn temperatures_have_their_own_zero() {
        let fahrenheit = Quantity::Temperature.unit_named("°F").unwrap();
        assert!((fahrenheit.to_si(212.0) - 373.15).abs() < 1e-9);
    }

    #[test]
    fn numbers_are_shown_briefly() {
        assert_eq!(Quantity::Pressure.show(85_230.0, UnitSystem::Si), "85.2 kPa");
        assert_eq!(significant(-0.000_000_000_01, 3), "0");
        assert_eq!(significant(1234.5, 3), "1234");
    }
}
