//! One declaration for each thing that can be set.
//!
//! [`crate::settings!`] turns a list of declarations into a plain struct for the physics and a table of
//! [`Setting`]s for everything else: sliders, file keys, range checks, help and report rows all read that table.

pub mod grouped;

use crate::units::{Quantity, Unit, UnitSystem, rounded, with_unit};

/// Where a range and a default come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// A published source, named.
    Published(&'static str),
    /// What everybody in the trade repeats.
    CommonPractice,
    /// A plausible value that nobody has published.
    Memory,
    /// An invented value for a demonstration.
    Invented,
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Published(source) => write!(f, "source: {source}"),
            Self::CommonPractice => f.write_str("common practice, no source"),
            Self::Memory => f.write_str("from memory, not a published value"),
            Self::Invented => f.write_str("invented for the demonstration"),
        }
    }
}

/// What a setting takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// A number in SI units between two bounds, both allowed.
    Number {
        /// What is measured.
        quantity: Quantity,
        /// Least accepted value, SI.
        least: f64,
        /// Greatest accepted value, SI.
        most: f64,
    },
    /// One of several words; the value is its place in the list.
    Choice(&'static [Word]),
}

/// One word of a [`Kind::Choice`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// As written in files.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
}

/// One thing that can be set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Stable key in files, snake case.
    pub id: &'static str,
    /// As shown.
    pub label: &'static str,
    /// What it does, in a sentence or two.
    pub help: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Value before anybody changes it, SI or place in the list.
    pub default: f64,
    /// Where range and default come from.
    pub source: Source,
}

impl Setting {
    /// Whether `value` is accepted.
    pub fn accepts(&self, value: f64) -> bool {
        match self.kind {
            Kind::Number { least, most, .. } => (least..=most).contains(&value),
            Kind::Choice(words) => value >= 0.0 && value.fract() == 0.0 && (value as usize) < words.len(),
        }
    }

    /// The same setting with another default.
    pub const fn with_default(mut self, default: f64) -> Self {
        self.default = default;
        self
    }
}

impl Setting {
    /// Key in files: the field's name without its unit.
    pub fn key(&self) -> &'static str {
        const SUFFIXES: &[&str] = &[
            "_w_per_mk",
            "_w_per_k",
            "_j_per_k",
            "_n_s_per_m",
            "_nm_per_rad",
            "_kg_per_m3",
            "_m_per_s",
            "_rad_per_s",
            "_kg_per_s",
            "_m3_per_s",
            "_n_per_m",
            "_kg_m2",
            "_nm_s",
            "_pa_s",
            "_m3",
            "_m2",
            "_pa",
            "_rad",
            "_nm",
            "_kg",
            "_m",
            "_n",
            "_s",
            "_k",
        ];
        SUFFIXES.iter().find_map(|suffix| self.id.strip_suffix(suffix)).unwrap_or(self.id)
    }

    /// What is accepted, in words: `give 0.8 L to 9.5 L`.
    pub fn accepted(&self, system: UnitSystem) -> String {
        match self.kind {
            Kind::Choice(words) => {
                let ids: Vec<_> = words.iter().map(|word| word.id).collect();
                format!("give one of {}", ids.join(", "))
            }
            Kind::Number { quantity, .. } => {
                let unit = quantity.unit(system);
                format!("give {}", self.range(unit, unit.symbol))
            }
        }
    }

    /// A value as it is shown: with its unit, or the word it stands for.
    pub fn shown(&self, value: f64, system: UnitSystem) -> String {
        match self.kind {
            Kind::Number { quantity, .. } => quantity.show(value, system),
            Kind::Choice(words) => {
                words.get(value as usize).map_or_else(|| value.to_string(), |word| word.label.to_owned())
            }
        }
    }

    /// A value that missed a bound by the rounding of a unit is that bound.
    pub fn at_bound(&self, value: f64) -> f64 {
        const ROUNDING: f64 = 1e-12;
        let Kind::Number { least, most, .. } = self.kind else { return value };
        let near = |bound: f64| (value - bound).abs() <= ROUNDING * bound.abs();
        if value < least && near(least) {
            least
        } else if value > most && near(most) {
            most
        } else {
            value
        }
    }

    /// The range in a unit spelled so, each bound written so that it is itself accepted; the words of a choice.
    pub fn range(&self, unit: Unit, spelling: &str) -> String {
        match self.kind {
            Kind::Choice(words) => words.iter().map(|word| word.id).collect::<Vec<_>>().join(", "),
            Kind::Number { least, most, .. } => {
                let bound = |si| with_unit(self.bound(si, unit), spelling);
                format!("{} to {}", bound(least), bound(most))
            }
        }
    }

    /// A bound in a unit, as short as it can be written and still be accepted.
    fn bound(&self, si: f64, unit: Unit) -> f64 {
        let exact = unit.from_si(si);
        let short = (3..17).map(|figures| rounded(exact, figures)).find(|short| {
            let back = self.at_bound(unit.to_si(*short));
            self.accepts(back) && (short - exact).abs() <= 1e-3 * exact.abs()
        });
        short.unwrap_or(exact)
    }
}

/// A group of values that a table of [`Setting`]s describes, in the table's order.
pub trait Settings {
    /// What can be set.
    fn settings(&self) -> &'static [Setting];
    /// Value of setting `index`; `index` is below the number of settings.
    fn get(&self, index: usize) -> f64;
    /// Change setting `index`. The value is stored as it is: check it with [`Setting::accepts`] first.
    fn set(&mut self, index: usize, value: f64);
}

/// What a field of a settings struct can be.
pub trait Field: Copy {
    /// As stored in the table: SI value or place in the list of words.
    fn to_value(self) -> f64;
    /// From a stored value that [`Setting::accepts`] has accepted.
    fn from_value(value: f64) -> Self;
}

impl Field for f64 {
    fn to_value(self) -> f64 {
        self
    }

    fn from_value(value: f64) -> Self {
        value
    }
}

/// Declares an enumeration that can be a field of a settings struct.
#[macro_export]
macro_rules! choice {
    ($(#[$doc:meta])* pub enum $name:ident { $($(#[$word_doc:meta])* $variant:ident = $id:literal, $label:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $name { $($(#[$word_doc])* $variant,)+ }

        impl $name {
            /// Every variant, in the order of the words.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];
            /// The words for the variants.
            pub const WORDS: &'static [$crate::settings::Word] =
                &[$($crate::settings::Word { id: $id, label: $label },)+];
            /// As a setting takes it.
            pub const KIND: $crate::settings::Kind = $crate::settings::Kind::Choice(Self::WORDS);
            /// As a table stores it.
            pub const fn value(self) -> f64 {
                self as u8 as f64
            }
        }

        impl $crate::settings::Field for $name {
            fn to_value(self) -> f64 {
                self.value()
            }

            fn from_value(value: f64) -> Self {
                Self::ALL[(value as usize).min(Self::ALL.len() - 1)]
            }
        }
    };
}

/// Declares a settings struct and its table. A line reads
/// `field: Type = default, kind, "Label", "Help.", source;`, where kind is `Quantity[least, most]` or `choice`.
#[macro_export]
macro_rules! settings {
    (@kind $ty:ty, choice) => { <$ty>::KIND };
    (@kind $ty:ty, $quantity:ident[$least:expr, $most:expr]) => {
        $crate::settings::Kind::Number { quantity: $crate::units::Quantity::$quantity, least: $least, most: $most }
    };
    (@default choice, $default:expr) => { $default.value() };
    (@default $quantity:ident, $default:expr) => { $default };
    ($(#[$doc:meta])* pub struct $name:ident {
        $($field:ident: $ty:ty = $default:expr, $kind:ident $([$least:expr, $most:expr])?, $label:literal, $help:literal, $source:expr;)*
    }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name { $(#[doc = $help] pub $field: $ty,)* }

        impl $name {
            /// What can be set, in the order of the fields.
            pub const SETTINGS: &'static [$crate::settings::Setting] = &[$($crate::settings::Setting {
                id: stringify!($field),
                label: $label,
                help: $help,
                kind: $crate::settings!(@kind $ty, $kind $([$least, $most])?),
                default: $crate::settings!(@default $kind, $default),
                source: $source,
            },)*];
        }

        impl Default for $name {
            fn default() -> Self {
                Self { $($field: $default,)* }
            }
        }

        impl $crate::settings::Settings for $name {
            fn settings(&self) -> &'static [$crate::settings::Setting] {
                Self::SETTINGS
            }

            #[allow(unused_variables, unused_assignments, unused_mut)]
            fn get(&self, index: usize) -> f64 {
                let mut place = 0;
                $(if place == index { return $crate::settings::Field::to_value(self.$field); } place += 1;)*
                unreachable!("setting {index} of {}", stringify!($name))
            }

            #[allow(unused_variables, unused_assignments, unused_mut)]
            fn set(&mut self, index: usize, value: f64) {
                let mut place = 0;
                $(if place == index { self.$field = $crate::settings::Field::from_value(value); return; } place += 1;)*
                unreachable!("setting {index} of {}", stringify!($name))
            }
        }
    };
}
