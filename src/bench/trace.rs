//! What a run did, on an even grid of time.

use crate::families::{CHANNELS as OWN_CHANNELS, OwnChannel};
use crate::units::{Figure, Quantity};

/// A column of a trace; SI.
pub type Channel = Figure<Sample, f64>;

macro_rules! channels {
    ($($field:ident: $quantity:ident, $label:literal;)*) => {
        /// Every figure of one instant; SI, depressions positive against the bowl's air.
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        pub struct Sample {
            $(#[doc = $label] pub $field: f64,)*
            /// The family's own figures, in the order of its channels.
            pub own: [f64; OWN_CHANNELS],
        }

        /// The columns that every trace has.
        pub const CHANNELS: &[Channel] = &[$(Figure {
            id: stringify!($field), label: $label, quantity: Quantity::$quantity, get: |sample| sample.$field,
        },)*];

        impl Sample {
            /// Between this sample (0) and `other` (1).
            pub fn towards(&self, other: &Self, share: f64) -> Self {
                let mix = |a: f64, b: f64| a + (b - a) * share;
                Self {
                    $($field: mix(self.$field, other.$field),)*
                    own: std::array::from_fn(|i| mix(self.own[i], other.own[i])),
                }
            }
        }
    };
}

channels! {
    time_s: Duration, "Time";
    pedal: Fraction, "Pedal";
    primary_plate_rad: Angle, "Primary plates";
    secondary_plate_rad: Angle, "Secondary plates";
    device_opening: Fraction, "Door or diaphragm open";
    plenum_pa: Pressure, "Manifold pressure";
    primary_air_kg_per_s: AirFlow, "Primary air";
    secondary_air_kg_per_s: AirFlow, "Secondary air";
    leak_kg_per_s: AirFlow, "Air past the plates";
    engine_air_kg_per_s: AirFlow, "Air into the cylinders";
    primary_throat_pa: SmallPressure, "Primary throat depression";
    secondary_throat_pa: SmallPressure, "Secondary throat depression";
    primary_signal_pa: SmallPressure, "Primary nozzle signal";
    secondary_signal_pa: SmallPressure, "Secondary nozzle signal";
    primary_throat_m_per_s: AirSpeed, "Primary throat air speed";
    secondary_throat_m_per_s: AirSpeed, "Secondary throat air speed";
    primary_well: Fraction, "Primary well filled";
    secondary_well: Fraction, "Secondary well filled";
    primary_main_kg_per_s: FuelMassFlow, "Primary main fuel";
    secondary_main_kg_per_s: FuelMassFlow, "Secondary main fuel";
    idle_kg_per_s: FuelMassFlow, "Idle and transfer fuel";
    pump_kg_per_s: FuelMassFlow, "Pump fuel";
    second_pump_kg_per_s: FuelMassFlow, "Second pump fuel";
    pump_plunger: Fraction, "Pump plunger down";
    pump_lever: Fraction, "Pump lever down";
    second_pump_plunger: Fraction, "Second pump plunger down";
    second_pump_lever: Fraction, "Second pump lever down";
    slot_share: Fraction, "Transfer slot uncovered";
    enrichment_lift: Fraction, "Enrichment valve open";
    primary_bowl_drop_m: Length, "Primary bowl below its level";
    secondary_bowl_drop_m: Length, "Secondary bowl below its level";
    film_kg: SmallMass, "Fuel on the wall";
    port_fuel_kg_per_s: FuelMassFlow, "Fuel into the port";
    cylinder_fuel_kg_per_s: FuelMassFlow, "Fuel into the cylinders";
    lambda: Number, "λ in the cylinders";
    mixture_share: Fraction, "Torque the mixture gives";
    torque_nm: Torque, "Torque";
    ideal_torque_nm: Torque, "Torque with the right mixture";
    engine_rad_per_s: RotationalSpeed, "Engine speed";
    road_m_per_s: RoadSpeed, "Road speed";
    distance_m: Distance, "Distance";
    acceleration_m_per_s2: Acceleration, "Acceleration";
}

/// Largest λ that a trace states; more air than this to the fuel is shown as this.
pub const LARGEST_LAMBDA: f64 = 9.99;

/// Samples on an even grid.
#[derive(Debug, Clone)]
pub struct Trace {
    /// Time between samples, s.
    pub interval_s: f64,
    /// At least two samples; the first is at time 0.
    pub samples: Vec<Sample>,
    /// The family's own columns.
    pub own: &'static [OwnChannel],
}

impl Trace {
    /// The instant at a time, straight between samples; before or after the trace, its nearest end.
    pub fn at(&self, time_s: f64) -> Sample {
        let last = self.samples.len() - 1;
        let place = (time_s / self.interval_s).clamp(0.0, last as f64);
        let before = (place.floor() as usize).min(last.saturating_sub(1));
        self.samples[before].towards(&self.samples[(before + 1).min(last)], place - before as f64)
    }

    /// Time of the last sample, s.
    pub fn end_s(&self) -> f64 {
        self.samples[self.samples.len() - 1].time_s
    }
}
