//! Air: two streams a barrel, parted by booster, door and plate, with the computed speeds.
//!
//! Speed in the throat is the run's own; elsewhere it follows from the flow, the density of air outside, and the
//! area that the section shows: a round passage, the gap at a door, the opening at a plate.

use super::Stream;
use super::body::{horn, rising_edge};
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
struct Station {
    y: f64,
    divider: f64,
    half: f64,
    area: Option<f64>,
    speed: Option<f64>,
}

impl Station {
    fn plain(y: f64, divider: f64) -> Self {
        Self { y, divider, half: 0.0, area: None, speed: None }
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
            let stations = stations(layout, side, &air, obstacle);
            streams.extend([-1.0, 1.0].map(|half| stream(layout, side, &air, &stations, half, density)));
        }
    }
    streams
}

fn stations(layout: &Layout, side: &Side, air: &Air, obstacle: Option<Obstacle>) -> Vec<Station> {
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
    let booster = if side.booster { 0.48 * throat } else { 0.0 };
    let mut stations = vec![
        Station::plain(layout.horn, axis),
        Station::plain(layout.deck + 1e-3, axis),
        Station { half: booster, ..Station::plain(side.throat_y + 0.8 * throat, axis) },
        Station { half: 0.42 * throat, ..Station::plain(side.throat_y + 0.3 * throat, axis) },
        Station { half: booster * 0.8, speed: Some(air.throat_m_per_s), ..Station::plain(side.throat_y, axis) },
        Station::plain(side.throat_y - throat, axis),
        Station::plain(layout.base, axis),
        Station::plain(layout.plenum + 3e-3, axis),
    ];
    if !side.booster {
        stations[3].half = 0.0;
    }
    for blade in obstacle.into_iter().chain([plate]) {
        let [a, b] = blade.ends;
        let at =
            |point: DVec2, half: f64| Station { half, area: Some(blade.open_m2), ..Station::plain(point.y, point.x) };
        stations.extend([at(a, 0.0), at(b, 0.0)]);
        if (a.y - b.y).abs() > 2.0 * blade.half {
            stations.push(at(blade.shaft, blade.half));
        }
    }
    stations.sort_by(|a, b| b.y.total_cmp(&a.y));
    stations
}

/// Walls left and right at a height.
fn walls(layout: &Layout, side: &Side, y: f64) -> (f64, f64) {
    if y > layout.deck {
        let face = horn(layout, side);
        let half = face.iter().rev().find(|corner| corner.0 <= y).map_or(side.bay, |corner| corner.1);
        let half = half.min(if y > layout.deck + 3e-3 { f64::MAX } else { side.inlet });
        return (side.axis - half, side.axis + half);
    }
    let radius = side.radius(y.max(layout.base));
    (side.axis - radius, side.axis + radius)
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
        let radius = (right - left) / 2.0;
        let area = station.area.unwrap_or(PI * radius * radius).max(1e-7);
        path.push((dvec2((from + to) / 2.0, station.y), ((to - from) / 2.0).max(LEAST_HALF)));
        speeds.push(station.speed.unwrap_or(one / (density * area)).min(SOUND));
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
