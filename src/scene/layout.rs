//! Where everything stands, before anything moves: computed from the scenario's dimensions alone.

use super::Fittings;
use super::shapes::smooth;
use crate::bench::scenario::Scenario;
use crate::carburettor::barrels::Barrels;
use crate::carburettor::pump::Pump;
use glam::{DVec2, dvec2};

/// Thickness of an outer wall, m.
pub const WALL: f64 = 4.5e-3;
/// Thickness of a bowl's floor, m: what its jets are screwed into.
pub const FLOOR: f64 = 3.5e-3;
/// Metal between the two bores, m.
const BETWEEN: f64 = 10e-3;
/// Height of the mounting base, m.
pub const BASE: f64 = 8e-3;
/// Room under a bowl's floor for passage and enrichment valve, m.
const UNDER_FLOOR: f64 = 24e-3;
/// Widest well that is drawn, m; what a larger refill volume needs more lies out of the section.
const WIDEST_WELL: f64 = 14e-3;

/// Shortest bowl that has room for jet and enrichment valve, m; a smaller surface is narrower across the section.
const SHORTEST_BOWL: f64 = 22e-3;

/// A door or valve as the section shows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BladeSize {
    /// Length across its shaft, m.
    pub length: f64,
    /// Thickness, m.
    pub thickness: f64,
    /// Distance of the shaft behind its middle, m.
    pub offset: f64,
    /// Angle of its open stop, rad.
    pub open: f64,
}

impl BladeSize {
    /// Length ahead of the shaft, which swings down.
    pub fn ahead(&self) -> f64 {
        self.length / 2.0 + self.offset
    }

    /// Length behind the shaft, which swings up; negative when the shaft lies off the blade.
    pub fn behind(&self) -> f64 {
        self.length / 2.0 - self.offset
    }

    /// Room that it needs below and above its shaft.
    fn reach(&self) -> (f64, f64) {
        let sin = self.open.sin();
        (self.ahead() * sin, self.behind().max(0.0) * sin)
    }
}

/// One barrel with its bowl. `u` counts from the barrel's axis toward the bowl.
#[derive(Debug, Clone)]
pub struct Side {
    /// Its dimensions.
    pub barrels: Barrels,
    /// x of the axis.
    pub axis: f64,
    /// x per u: −1 for a bowl in front, 1 for a bowl behind.
    pub outward: f64,
    /// Wall of the barrel from the base's underside to the deck: (y, radius).
    pub contour: Vec<(f64, f64)>,
    /// y of the throat.
    pub throat_y: f64,
    /// Radius of the rounded inlet at the deck.
    pub inlet: f64,
    /// Whether a booster hangs in the venturi.
    pub booster: bool,
    /// y of the nozzle's lip.
    pub nozzle_y: f64,
    /// Height of the passage to the nozzle.
    pub slit: f64,
    /// y of the set fuel level.
    pub level: f64,
    /// y of the bowl's floor.
    pub floor: f64,
    /// Height of the passage from jet to well.
    pub passage: f64,
    /// u of the idle channel.
    pub idle_u: f64,
    /// u of the well's two walls.
    pub well: (f64, f64),
    /// y of the well's top.
    pub well_top: f64,
    /// u of the bowl's two walls.
    pub bowl: (f64, f64),
    /// u of the main jet.
    pub jet_u: f64,
    /// u of the enrichment valve.
    pub enrichment_u: Option<f64>,
    /// y of the underside of the bowl's lid.
    pub ceiling: f64,
    /// y of the top of the lid.
    pub lid: f64,
    /// The accelerator pump.
    pub pump: Option<PumpPlace>,
    /// u of the outside.
    pub outside: f64,
    /// Half width of the air horn at the deck.
    pub bay: f64,
}

/// Where a pump stands.
#[derive(Debug, Clone, Copy)]
pub struct PumpPlace {
    /// u of the cylinder's two walls.
    pub cylinder: (f64, f64),
    /// Whole travel, m.
    pub stroke: f64,
    /// y of the plunger's face with the lever at rest.
    pub top: f64,
    /// y of the cylinder's bottom.
    pub bottom: f64,
    /// Length of the duration spring as it is fitted.
    pub spring: f64,
    /// Bores of inlet check and shooter.
    pub holes: (f64, f64),
}

/// Height of a plunger.
pub const PLUNGER: f64 = 3e-3;

impl Side {
    /// A point at u and y.
    pub fn at(&self, u: f64, y: f64) -> DVec2 {
        dvec2(self.axis + self.outward * u, y)
    }

    /// Radius of the barrel at a height.
    pub fn radius(&self, y: f64) -> f64 {
        let above = self.contour.partition_point(|corner| corner.0 < y).clamp(1, self.contour.len() - 1);
        let ((y0, r0), (y1, r1)) = (self.contour[above - 1], self.contour[above]);
        let share = if y1 > y0 { ((y - y0) / (y1 - y0)).clamp(0.0, 1.0) } else { 1.0 };
        r0 + (r1 - r0) * share
    }

    /// Wall between two heights, from the lower to the upper.
    pub fn wall(&self, from: f64, to: f64) -> Vec<(f64, f64)> {
        let mut wall = vec![(from, self.radius(from))];
        wall.extend(self.contour.iter().filter(|corner| corner.0 > from + 1e-6 && corner.0 < to - 1e-6));
        wall.push((to, self.radius(to)));
        wall
    }

    /// Half length of the throttle plate: closed, it touches the bore.
    pub fn plate_half(&self) -> f64 {
        plate_half(&self.barrels)
    }
}

fn plate_half(barrels: &Barrels) -> f64 {
    barrels.bore_m / 2.0 / barrels.closed_rad.cos()
}

/// Heights of one side that follow from its dimensions, counted down from the deck.
struct Stack {
    inlet_height: f64,
    nozzle_below_deck: f64,
    diffuser: f64,
    chamber: f64,
}

/// Length over which the bore widens to a valve's chamber.
const TRANSITION: f64 = 5e-3;

impl Stack {
    fn new(barrels: &Barrels, valve: Option<BladeSize>, booster: bool) -> Self {
        let throat = barrels.venturi_m / 2.0;
        let bore = barrels.bore_m / 2.0;
        let chamber = valve.map_or(0.0, |valve| {
            let (below, above) = valve.reach();
            below + above + 2.0 * TRANSITION + 7e-3
        });
        Self {
            inlet_height: throat,
            nozzle_below_deck: if booster { 0.7 } else { 0.6 } * throat,
            diffuser: ((bore - throat).abs() / 0.15).clamp(0.6 * throat, 3.0 * throat.max(bore)),
            chamber,
        }
    }

    /// Least height of the deck over the shafts.
    fn deck(&self, barrels: &Barrels, base_bottom: f64, depth: f64) -> f64 {
        let by_barrel = plate_half(barrels) + 3e-3 + self.chamber + self.diffuser + self.inlet_height * 1.1;
        let floor = base_bottom + BASE + UNDER_FLOOR;
        by_barrel.max(floor + depth + barrels.lip_m + self.nozzle_below_deck)
    }
}

/// The whole drawing's fixed places.
#[derive(Debug, Clone)]
pub struct Layout {
    /// Front barrel.
    pub primary: Side,
    /// Rear barrel.
    pub secondary: Side,
    /// Underside of the base.
    pub base: f64,
    /// Bottom of the plenum.
    pub plenum: f64,
    /// Top of the venturis.
    pub deck: f64,
    /// Top of the air horn.
    pub horn: f64,
    /// Shaft of the door above the venturis or the valve below them, with its size.
    pub blade: Option<(DVec2, BladeSize)>,
    /// Whether that is a door above the venturis.
    pub door_above: bool,
}

impl Layout {
    /// From a scenario and what its family fits.
    pub fn new(scenario: &Scenario, fittings: &Fittings) -> Self {
        let (primary, secondary) = (&scenario.primary, &scenario.secondary);
        let depth = scenario.bowl.depth_m;
        let base = -(plate_half(primary).max(plate_half(secondary)) + 5e-3);
        let valve = fittings.blade.filter(|_| !fittings.door_above);
        let door = fittings.blade.filter(|_| fittings.door_above);
        let stacks = [Stack::new(primary, None, true), Stack::new(secondary, valve, !fittings.nozzles_under_door)];
        let deck = stacks[0].deck(primary, base, depth).max(stacks[1].deck(secondary, base, depth));
        let mut front = side(scenario, primary, -1.0, &stacks[0], (base, deck), None, true);
        let mut rear = side(scenario, secondary, 1.0, &stacks[1], (base, deck), valve, !fittings.nozzles_under_door);
        let wide = |side: &Side, door: f64| side.contour.iter().map(|c| c.1).fold(door, f64::max);
        let half_door = door.map_or(0.0, |door| door.length / 2.0 + 0.4e-3);
        let spacing = wide(&front, 0.0) + BETWEEN + wide(&rear, half_door);
        rear.axis = spacing;
        front.bay = front.inlet + 5e-3;
        rear.bay = (rear.inlet + 5e-3).max(half_door);
        fit_bowl(scenario, &mut front, Some(&scenario.pump), deck, true);
        fit_bowl(scenario, &mut rear, scenario.family().second_pump(), deck, false);
        let open_horn =
            (deck + 0.5 * primary.bore_m.max(secondary.bore_m).max(30e-3)).max(front.lid.max(rear.lid) + 6e-3);
        let horn = door.map_or(open_horn, |door| {
            let (below, above) = door.reach();
            open_horn.max(deck + below + above + 14e-3)
        });
        let blade = fittings.blade.map(|size| {
            let (below, above) = size.reach();
            let y = if fittings.door_above {
                deck + below + 4e-3
            } else {
                deck - stacks[1].inlet_height * 1.1 - stacks[1].diffuser - TRANSITION - 3.5e-3 - above
            };
            (dvec2(spacing + size.offset, y), size)
        });
        Self {
            primary: front,
            secondary: rear,
            base,
            plenum: base - 0.45 * primary.bore_m.max(secondary.bore_m) - 6e-3,
            deck,
            horn,
            blade,
            door_above: fittings.door_above,
        }
    }

    /// Both sides.
    pub fn sides(&self) -> [&Side; 2] {
        [&self.primary, &self.secondary]
    }

    /// Half width of a door's bay at the door.
    pub fn door_bay(&self) -> Option<f64> {
        self.blade.filter(|_| self.door_above).map(|(_, size)| size.length / 2.0 + 0.4e-3)
    }
}

fn side(
    scenario: &Scenario,
    barrels: &Barrels,
    outward: f64,
    stack: &Stack,
    (base, deck): (f64, f64),
    valve: Option<BladeSize>,
    booster: bool,
) -> Side {
    let throat = barrels.venturi_m / 2.0;
    let inlet = 1.35 * throat;
    let throat_y = deck - stack.inlet_height;
    let nozzle_y = deck - stack.nozzle_below_deck;
    let level = nozzle_y - barrels.lip_m;
    let slit = barrels.nozzle_m.min(0.35 * throat);
    Side {
        barrels: *barrels,
        axis: 0.0,
        outward,
        contour: contour(barrels, stack, (base, deck), valve),
        throat_y,
        inlet,
        booster,
        nozzle_y,
        slit,
        level,
        floor: level - scenario.bowl.depth_m,
        passage: barrels.passage_bore_m,
        idle_u: 0.0,
        well: (0.0, 0.0),
        well_top: nozzle_y + slit + 0.1 * throat,
        bowl: (0.0, 0.0),
        jet_u: 0.0,
        enrichment_u: None,
        ceiling: 0.0,
        lid: 0.0,
        pump: None,
        outside: 0.0,
        bay: 0.0,
    }
}

/// Wall of a barrel from the base up: bore, perhaps a valve's chamber, diffuser, throat, rounded inlet.
fn contour(barrels: &Barrels, stack: &Stack, (base, deck): (f64, f64), valve: Option<BladeSize>) -> Vec<(f64, f64)> {
    let (bore, throat) = (barrels.bore_m / 2.0, barrels.venturi_m / 2.0);
    let foot = deck - 1.1 * throat - stack.diffuser;
    let mut wall = vec![(base, bore)];
    if let Some(valve) = valve {
        let half = valve.length / 2.0 + 0.4e-3;
        let bottom = foot - stack.chamber;
        wall.push((bottom, bore));
        wall.extend(smooth((bottom, bore), (bottom + TRANSITION, half), 5));
        wall.push((foot - TRANSITION, half));
        wall.extend(smooth((foot - TRANSITION, half), (foot, bore), 5));
    } else {
        wall.push((foot, bore));
    }
    wall.extend(smooth((foot, bore), (foot + stack.diffuser, throat), 14));
    wall.push((deck - 0.9 * throat, throat));
    wall.extend((1..=10).map(|i| {
        let t = f64::from(i) / 10.0;
        // a quarter of an ellipse
        (deck - 0.9 * throat * (1.0 - t), throat + 0.35 * throat * (1.0 - (1.0 - t * t).sqrt()))
    }));
    wall
}

/// Bowl, well and pump outward of the barrel.
fn fit_bowl(scenario: &Scenario, side: &mut Side, pump: Option<&Pump>, deck: f64, primary: bool) {
    let barrels = side.barrels;
    let wall = side.contour.iter().map(|corner| corner.1).fold(0.0, f64::max);
    side.idle_u = wall + 3e-3;
    let well_in = wall + if primary { 6e-3 } else { 4.5e-3 };
    let surface = barrels.refill_m3 / barrels.lip_m;
    let well = (surface / std::f64::consts::FRAC_PI_4).sqrt().clamp(side.passage.min(WIDEST_WELL), WIDEST_WELL);
    side.well = (well_in, well_in + well);
    let bowl_in = side.well.1 + 4e-3;
    // a bowl lies across the pair of barrels, or is a little broader than long if it is very large
    let across = (2.0 * barrels.bore_m + BETWEEN).max((1.6 * scenario.bowl.surface_m2).sqrt());
    side.bowl = (bowl_in, bowl_in + (scenario.bowl.surface_m2 / across).max(SHORTEST_BOWL));
    side.jet_u = bowl_in + 4.5e-3 + barrels.main_jet_m / 2.0;
    if primary && scenario.enrichment.extra_area > 0.0 {
        side.enrichment_u = Some(side.jet_u + barrels.main_jet_m / 2.0 + 8.5e-3);
    }
    side.ceiling = (side.level + 15e-3).max(deck - WALL);
    side.outside = side.bowl.1 + WALL;
    if let Some(pump) = pump.filter(|pump| pump.shot_m3 > 0.0) {
        let stroke = pump.stroke_m();
        let place = PumpPlace {
            cylinder: (side.bowl.1 + 3e-3, side.bowl.1 + 3e-3 + pump.cylinder_m),
            stroke,
            top: side.level - 6e-3,
            bottom: side.level - 6e-3 - stroke - 2e-3,
            spring: stroke + 8e-3,
            holes: (pump.inlet_m, pump.shooter_m),
        };
        side.ceiling = side.ceiling.max(place.top + PLUNGER + place.spring + 4e-3);
        side.outside = place.cylinder.1 + WALL;
        side.pump = Some(place);
    }
    side.outside = side.outside.max(side.bay + 8e-3);
    side.lid = side.ceiling + WALL;
}
