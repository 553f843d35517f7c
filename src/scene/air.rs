//! Air: two streams a barrel, parted by booster, door and plate, with the computed speeds.
//!
//! Speed in the throat is the run's own; elsewhere it follows from the flow, the density of air outside, and the
//! area that the section shows: a round passage, the gap at a door, the opening at a plate.

use super::Stream;
use super::body::rising_edge;
use super::layout::{Layout, Side};
use super::shapes::direction;
use crate::bench::scenario::Scenario;
use crate::bench::trace::Sample;
use crate::carburettor::barrels::BARRELS;
use glam::{DVec2, dvec2};
use std::f64::consts::PI;

/// Largest speed that a stream shows, m/s: sound in the throat of a passage.
const SOUND: f64 = 340.0;
/// Least half width of a stream, m.
const LEAST_HALF: f64 = 0.1e-3;

/// What one barrel's air does.
#[derive(Debug, Clone, Copy)]
pub struct Air {
    /// Mass flow of the pair, kg/s.
    pub flow: f64,
    /// Speed in the throat.
    pub throat_m_per_s: f64,
    /// Angle of the plate.
    pub plate_rad: f64,
}

/// A blade in the air: shaft, its two ends, the area that it leaves open for one barrel.
#[derive(Debug, Clone, Copy)]
pub struct Obstacle {
    /// Shaft.
    pub shaft: DVec2,
    /// The two ends.
    pub ends: [DVec2; 2],
    /// Half of the thickness that the air must pass.
    pub half: f64,
    /// What is open beside it for one barrel, m².
    pub open_m2: f64,
}

/// What stands at one height of a barrel.
#[derive(Clone, Copy)]
struct Station {
    y: f64,
    /// x of what parts the two streams, and half of how far it parts them.
    divider: f64,
    half: f64,
    /// Speed over that of the same flow in a passage as wide as the walls stand apart.
    gain: f64,
}

impl Station {
    fn plain(y: f64, divider: f64) -> Self {
        Self { y, divider, half: 0.0, gain: 1.0 }
    }

    /// Between this station (0) and a lower one (1), level at both.
    fn towards(&self, other: &Self, share: f64) -> Self {
        let eased = share * share * (3.0 - 2.0 * share);
        let mix = |a: f64, b: f64| a + (b - a) * eased;
        Self {
            y: self.y + (other.y - self.y) * share,
            divider: mix(self.divider, other.divider),
            half: mix(self.half, other.half),
            gain: mix(self.gain, other.gain),
        }
    }
}

/// Streams of both sides; none where nothing flows.
pub fn streams(scenario: &Scenario, sample: &Sample, layout: &Layout, door: Option<Obstacle>) -> Vec<Stream> {
    let density = scenario.ambient.air().density();
    let airs = [
        Air {
            flow: sample.primary_air_kg_per_s,
            throat_m_per_s: sample.primary_throat_m_per_s,
            plate_rad: sample.primary_plate_rad,
        },
        Air {
            flow: sample.secondary_air_kg_per_s,
            throat_m_per_s: sample.secondary_throat_m_per_s,
            plate_rad: sample.secondary_plate_rad,
        },
    ];
    let obstacles = [None, door];
    let mut streams = Vec::with_capacity(4);
    for ((side, air), obstacle) in layout.sides().into_iter().zip(airs).zip(obstacles) {
        if air.flow != 0.0 {
            let stations = refined(&stations(layout, side, &air, obstacle, density));
            streams.extend([-1.0, 1.0].map(|half| stream(layout, side, &air, &stations, half, density)));
        }
    }
    streams
}

fn stations(layout: &Layout, side: &Side, air: &Air, obstacle: Option<Obstacle>, density: f64) -> Vec<Station> {
    let axis = side.axis;
    let throat = side.barrels.venturi_m / 2.0;
    let edge = rising_edge(air.plate_rad) * side.plate_half();
    let shaft = dvec2(axis, 0.0);
    let plate = Obstacle {
        shaft,
        ends: [shaft + edge, shaft - edge],
        half: side.barrels.shaft_ratio * side.barrels.bore_m / 2.0,
        open_m2: side.barrels.plate().open_area(air.plate_rad) * side.barrels.plate_coefficient,
    };
    let booster = if side.booster { throat } else { 0.0 };
    let by_flow = air.flow.abs() / BARRELS / (density * PI * throat * throat);
    let mut stations = vec![
        Station::plain(layout.horn, axis),
        Station { half: 0.3 * booster, ..Station::plain(layout.deck, axis) },
        Station { half: 0.46 * booster, ..Station::plain(side.nozzle_y, axis) },
        Station {
            half: 0.42 * booster,
            gain: air.throat_m_per_s / by_flow.max(1e-9),
            ..Station::plain(side.throat_y, axis)
        },
        Station::plain(side.throat_y - throat, axis),
        Station::plain(layout.base, axis),
        Station::plain(layout.plenum + 3e-3, axis),
    ];
    for blade in obstacle.into_iter().chain([plate]) {
        pass(&mut stations, layout, side, &blade);
    }
    stations.sort_by(|a, b| b.y.total_cmp(&a.y));
    stations
}

/// Let the streams pass a blade: it is all that parts them between its ends.
fn pass(stations: &mut Vec<Station>, layout: &Layout, side: &Side, blade: &Obstacle) {
    let [a, b] = blade.ends;
    let (low, high) = (a.y.min(b.y) - 1e-4, a.y.max(b.y) + 1e-4);
    stations.retain(|station| station.y < low || station.y > high);
    let mut add = |point: DVec2, half: f64| {
        let (left, right) = walls(layout, side, point.y);
        let whole = PI / 4.0 * (right - left) * (right - left);
        stations.push(Station { y: point.y, divider: point.x, half, gain: whole / blade.open_m2.max(1e-7) });
    };
    add(a, 0.0);
    add(b, 0.0);
    if high - low > 2.0 * blade.half {
        add(blade.shaft, blade.half);
    }
}

/// Walls left and right at a height.
fn walls(layout: &Layout, side: &Side, y: f64) -> (f64, f64) {
    let half = if y > layout.deck {
        let horn = layout.door_bay().filter(|_| side.outward > 0.0).unwrap_or(side.bay);
        let share = ((y - layout.deck) / 5e-3).min(1.0);
        side.inlet + (horn - side.inlet) * share
    } else {
        side.radius(y.max(layout.base))
    };
    (side.axis - half, side.axis + half)
}

/// Longest piece of a stream's path, m.
const PIECE: f64 = 5e-3;

/// Stations close enough together to follow the walls, from the top down.
fn refined(stations: &[Station]) -> Vec<Station> {
    let mut fine = vec![stations[0]];
    for pair in stations.windows(2) {
        let count = ((pair[0].y - pair[1].y) / PIECE).ceil().clamp(1.0, 24.0);
        fine.extend((1..=count as usize).map(|i| pair[0].towards(&pair[1], i as f64 / count)));
    }
    fine
}

fn stream(layout: &Layout, side: &Side, air: &Air, stations: &[Station], half: f64, density: f64) -> Stream {
    let one = air.flow.abs() / BARRELS;
    let mut path = Vec::with_capacity(stations.len());
    let mut speeds = Vec::with_capacity(stations.len());
    for station in stations {
        let (left, right) = walls(layout, side, station.y);
        let (from, to) = if half < 0.0 {
            (left, (station.divider - station.half).clamp(left, right))
        } else {
            ((station.divider + station.half).clamp(left, right), right)
        };
        let across = right - left;
        path.push((dvec2((from + to) / 2.0, station.y), ((to - from) / 2.0).max(LEAST_HALF)));
        speeds.push((station.gain * one / (density * PI / 4.0 * across * across)).min(SOUND));
    }
    if air.flow < 0.0 {
        path.reverse();
        speeds.reverse();
    }
    Stream { path, speeds, flow_kg_per_s: one / 2.0 }
}

/// A door or valve at its angle as an obstacle.
pub fn blade_obstacle(layout: &Layout, angle_rad: f64, width: f64, leak_m2: f64, coefficient: f64) -> Option<Obstacle> {
    let (shaft, size) = layout.blade?;
    let along = -direction(angle_rad);
    let covered = size.length * angle_rad.cos() + size.thickness * angle_rad.sin();
    let open = leak_m2 + width * (size.length - covered).max(0.0);
    Some(Obstacle {
        shaft,
        ends: [shaft + along * size.ahead(), shaft - along * size.behind()],
        half: size.thickness / 2.0,
        open_m2: open * coefficient / BARRELS,
    })
}
