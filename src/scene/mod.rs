//! The section of a carburettor as a display list in metres: shapes with roles, no colours, no screen.
//!
//! Front is left, up is up, the origin lies on the primary barrel's axis at its throttle shaft. Every place is
//! computed from the scenario's dimensions and one [`Sample`] of a run; a part that the model does not have is not
//! drawn.

pub mod air;
pub mod bare_link;
pub mod body;
pub mod circuits;
pub mod counterweighted_door;
pub mod damped_fixed_jets;
pub mod damped_lifted_rods;
pub mod door;
pub mod idle_bench;
pub mod labels;
pub mod layout;
pub mod looked;
pub mod opened;
pub mod parts;
pub mod pump_bench;
pub mod shapes;
pub mod soak;
pub mod soak_plan;
pub mod spring_door;
pub mod twin_pump;
pub mod vacuum_diaphragm;
pub mod weighted_valve;

use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use crate::settings::Settings;
use air::Obstacle;
use glam::DVec2;
use layout::Layout;
use shapes::Sheet;

/// What a shape stands for; the theme gives it colour, hatch and line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Body metal that the section cuts through; hatched.
    CutMetal,
    /// A part seen whole: plate, door, lever, plunger.
    Part,
    /// A spring.
    Spring,
    /// A weight.
    Weight,
    /// A diaphragm.
    Diaphragm,
    /// Liquid fuel.
    Fuel,
    /// A space under vacuum; hatched.
    Vacuum,
    /// A passage, an outline, a centre line.
    Line,
    /// A hollow: nothing but what is drawn over it.
    Hollow,
    /// Vapour.
    Vapour,
    /// Heat on its way.
    Heat,
    /// The part that the present step of attention is on.
    Accent,
}

/// A shape in metres.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A filled, outlined, closed outline; need not be convex.
    Area(Vec<DVec2>),
    /// An open line of a width in metres; 0: as thin as the screen draws.
    Stroke {
        /// Corners.
        points: Vec<DVec2>,
        /// Width, m.
        width: f64,
    },
    /// A filled, outlined disc.
    Disc {
        /// Centre.
        centre: DVec2,
        /// Radius, m.
        radius: f64,
    },
}

/// One shape with its role.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What it stands for.
    pub role: Role,
    /// Where it is.
    pub shape: Shape,
}

/// A name that touches its part by a leader line.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What is said, a few words, with a figure where that helps.
    pub text: String,
    /// The point on the part.
    pub part: DVec2,
    /// Where the text stands; its nearer edge is put here.
    pub place: DVec2,
    /// Shown from this level of detail on: 0 always, 1 on a large drawing, 2 when asked.
    pub level: u8,
}

/// A stream of air: streaks move along the path at the computed speed, their number is the mass flow.
#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    /// Middle line, in the direction of flow, with the half width of the channel at each corner, m.
    pub path: Vec<(DVec2, f64)>,
    /// Speed at each corner of the path, m/s.
    pub speeds: Vec<f64>,
    /// Mass flow, kg/s.
    pub flow_kg_per_s: f64,
}

/// Drops of fuel leaving a nozzle, slot or shooter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spray {
    /// Where it leaves.
    pub from: DVec2,
    /// Direction and reach, m.
    pub reach: DVec2,
    /// Mass flow, kg/s.
    pub flow_kg_per_s: f64,
}

/// A space tinted by its pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Tint {
    /// Outline of the space.
    pub outline: Vec<DVec2>,
    /// Depression against ambient, Pa.
    pub depression_pa: f64,
}

/// A store of heat, tinted by its temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// Its outline.
    pub outline: Vec<DVec2>,
    /// Its temperature, K.
    pub temperature_k: f64,
}

/// A drawing of one carburettor at one instant.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scene {
    /// Spaces by pressure, under everything else.
    pub tints: Vec<Tint>,
    /// Stores of heat, under the shapes, in painting order.
    pub warmths: Vec<Warmth>,
    /// Shapes, in painting order.
    pub items: Vec<Item>,
    /// Air.
    pub streams: Vec<Stream>,
    /// Fuel in the air.
    pub sprays: Vec<Spray>,
    /// Names.
    pub labels: Vec<Label>,
    /// Corners of what is drawn: least and greatest, without labels.
    pub bounds: (DVec2, DVec2),
}

/// What a family fits into the castings.
#[derive(Debug, Clone, Copy, Default)]
pub struct Fittings {
    /// A door or valve in the secondary air.
    pub blade: Option<layout::BladeSize>,
    /// Whether it lies above the venturis.
    pub door_above: bool,
    /// Whether the secondary nozzles lie bare under the door, without boosters.
    pub nozzles_under_door: bool,
}

/// A family's drawing.
#[derive(Debug, Clone, Copy)]
pub struct Drawing {
    /// What it fits into the castings.
    pub fittings: fn(&Scenario) -> Fittings,
    /// What stands in the secondary air.
    pub obstacle: fn(&Scenario, &Sample, &Layout) -> Option<Obstacle>,
    /// Its own parts.
    pub parts: fn(&mut Sheet, &Scenario, &Sample, &Layout),
}

/// Every family's drawing by the family's id.
pub const DRAWINGS: &[(&str, Drawing)] = &[
    ("bare_link", bare_link::DRAWING),
    ("twin_pump", twin_pump::DRAWING),
    ("vacuum_diaphragm", vacuum_diaphragm::DRAWING),
    ("counterweighted_door", counterweighted_door::DRAWING),
    ("spring_door", spring_door::DRAWING),
    ("damped_lifted_rods", damped_lifted_rods::DRAWING),
    ("damped_fixed_jets", damped_fixed_jets::DRAWING),
    ("weighted_valve", weighted_valve::DRAWING),
];

/// The drawing of a scenario at one instant of its run.
pub fn draw(scenario: &Scenario, sample: &Sample) -> Scene {
    let id = scenario.entry().id;
    let Some((_, drawing)) = DRAWINGS.iter().find(|(family, _)| *family == id) else { return Scene::default() };
    let layout = Layout::new(scenario, &(drawing.fittings)(scenario));
    let mut sheet = Sheet::default();
    body::castings(&mut sheet, scenario, sample, &layout);
    circuits::draw(&mut sheet, scenario, sample, &layout);
    body::plates(&mut sheet, scenario, sample, &layout);
    (drawing.parts)(&mut sheet, scenario, sample, &layout);
    sheet.scene.streams = air::streams(scenario, sample, &layout, (drawing.obstacle)(scenario, sample, &layout));
    labels::place(sheet)
}

/// A setting of the scenario's family, SI; 0 for a key that the family does not have.
pub fn family_value(scenario: &Scenario, key: &str) -> f64 {
    // not through the scenario's places, which list every group: a drawing asks some twenty times
    let of_group = |group: &dyn Settings| {
        let index = group.settings().iter().position(|own| own.id.starts_with(key) && own.key() == key);
        index.map(|index| group.get(index))
    };
    scenario.family().groups().into_iter().find_map(of_group).unwrap_or(0.0)
}

/// A figure of the family's own, by its channel; 0 for a channel that the family does not have.
pub fn own_value(scenario: &Scenario, sample: &Sample, channel: &str) -> f64 {
    let place = scenario.family().channels().iter().position(|own| own.id == channel);
    place.map_or(0.0, |place| sample.own[place])
}
