//! What the parts between engine and fuel are made of.

use crate::choice;

/// A solid, as heat sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Conductivity, W/(m K).
    pub conductivity: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Heat capacity, J/(kg K).
    pub heat_capacity: f64,
    /// Emissivity of a bare surface.
    pub emissivity: f64,
}

impl Material {
    /// Heat capacity of a volume, J/(m³ K).
    pub fn per_volume(&self) -> f64 {
        self.density * self.heat_capacity
    }
}

/// Zinc alloy 3 (North American Die Casting Association); emissivity of a dull casting from memory.
pub const ZINC: Material = Material { conductivity: 113.0, density: 6600.0, heat_capacity: 419.0, emissivity: 0.3 };
/// Aluminium alloy 380 (North American Die Casting Association, A-3-2-12); emissivity of a dull casting from memory.
pub const ALUMINIUM: Material = Material { conductivity: 96.2, density: 2710.0, heat_capacity: 963.0, emissivity: 0.3 };
/// Phenolic moulding filled with wood flour, type 31, within the printed ranges; emissivity from memory.
pub const PHENOLIC: Material = Material { conductivity: 0.31, density: 1400.0, heat_capacity: 1675.0, emissivity: 0.9 };

choice! {
    /// What the bowls are cast or moulded from. The base below them is metal in every case.
    pub enum Body {
        /// Die-cast zinc.
        Zinc = "zinc", "Cast zinc";
        /// Die-cast aluminium.
        Aluminium = "aluminium", "Cast aluminium";
        /// Phenolic moulding on an aluminium base.
        Phenolic = "phenolic", "Moulded phenolic";
    }
}

impl Body {
    /// Of the bowls.
    pub fn material(self) -> Material {
        match self {
            Self::Zinc => ZINC,
            Self::Aluminium => ALUMINIUM,
            Self::Phenolic => PHENOLIC,
        }
    }

    /// Of the base with the throttle plates.
    pub fn base(self) -> Material {
        match self {
            Self::Zinc => ZINC,
            Self::Aluminium | Self::Phenolic => ALUMINIUM,
        }
    }
}

choice! {
    /// How the outside is finished.
    pub enum Finish {
        /// As it comes out of the mould.
        Bare = "bare", "Bare";
        /// Any paint, whatever its colour: 0.9 in the infrared.
        Painted = "painted", "Painted";
    }
}

impl Finish {
    /// Emissivity of a surface of `material`.
    pub fn emissivity(self, material: Material) -> f64 {
        match self {
            Self::Bare => material.emissivity,
            Self::Painted => 0.9,
        }
    }
}

choice! {
    /// What a spacer is made of.
    pub enum Spacer {
        /// Phenolic moulding, 0.31 W/(m K).
        Phenolic = "phenolic", "Phenolic";
        /// Resin-bonded wood laminate.
        Laminate = "laminate", "Wood laminate";
        /// High-density hardboard.
        Hardboard = "hardboard", "Hardboard";
        /// Die-cast aluminium.
        Aluminium = "aluminium", "Aluminium";
    }
}

impl Spacer {
    /// Conductivity, W/(m K). Hardboard: ASHRAE, by the library `ht`; laminate from memory, between plywood (0.091) and
    /// hardboard.
    pub fn conductivity(self) -> f64 {
        match self {
            Self::Phenolic => PHENOLIC.conductivity,
            Self::Laminate => 0.12,
            Self::Hardboard => 0.144,
            Self::Aluminium => ALUMINIUM.conductivity,
        }
    }
}

choice! {
    /// What the studs are made of.
    pub enum Stud {
        /// Plain carbon steel.
        Steel = "steel", "Steel";
        /// Austenitic stainless steel.
        Stainless = "stainless", "Stainless steel";
    }
}

impl Stud {
    /// Conductivity, W/(m K); from memory.
    pub fn conductivity(self) -> f64 {
        match self {
            Self::Steel => 50.0,
            Self::Stainless => 15.0,
        }
    }
}

choice! {
    /// A sheet between manifold and bowls.
    pub enum Shield {
        /// Nothing but air.
        None = "none", "None";
        /// One bright sheet in the middle of the gap.
        Bright = "bright", "Bright sheet";
    }
}

impl Shield {
    /// Number of sheets.
    pub fn sheets(self) -> f64 {
        f64::from(u8::from(self == Self::Bright))
    }
}
