//! An accelerator pump on the bench, with everything that its shot depends on: settings → shot and findings.

use crate::bench::pedal::Pedal;
use crate::bench::run::RunError;
use crate::bench::scenario::Scenario;
use crate::bench::shot::{Shot, ShotEventKind, ShotSample, deliveries, shot};
use crate::carburettor::pump::Pump;
use crate::engine::fuel::Fuel;
use crate::settings::grouped::Grouped;
use crate::units::Figure;
use crate::{figures, grouped};

/// A pump, the foot that works it, and what it pumps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpTest {
    /// The pump.
    pub pump: Pump,
    /// The throttle shaft's turn.
    pub pedal: Pedal,
    /// Fuel.
    pub fuel: Fuel,
}

grouped! {
    PumpTest;
    pump: "Accelerator pump";
    pedal: "Pedal";
    fuel: "Fuel";
}

impl Default for PumpTest {
    /// A stab from rest, and a second one soon after.
    fn default() -> Self {
        let pedal = Pedal { rest: 0.0, hold_s: 0.6, off_s: 0.3, ..Pedal::default() };
        Self { pump: Pump::default(), pedal, fuel: Fuel::default() }
    }
}

/// One finding; `None` when it did not happen.
pub type Finding = Figure<ShotFindings, Option<f64>>;

figures! {
    /// What a shot comes down to; SI, times from the pedal's first move.
    pub struct ShotFindings,
    /// Every finding.
    FINDINGS: Option<f64> {
        volume_m3: SmallVolume, "First shot";
        to_90_percent_s: ShortTime, "To nine tenths of it";
        lasts_s: ShortTime, "First shot, begin to end";
        spring_share: Fraction, "Of it, driven by the spring";
        peak_m3_per_s: FuelFlow, "Greatest flow";
        peak_pa: Pressure, "Greatest pressure under the plunger";
        fastest_m_per_s: AirSpeed, "Fastest jet of fuel";
        refill_s: ShortTime, "Foot up to pump full";
        second_m3: SmallVolume, "Second shot";
        second_share: Fraction, "Second shot over the first";
    }
}

/// A finished test.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpRun {
    /// Samples and events.
    pub shot: Shot,
    /// What it comes down to.
    pub findings: ShotFindings,
}

impl PumpTest {
    /// The primary pump of a scenario under its pedal.
    pub fn of(scenario: &Scenario) -> Self {
        Self { pump: scenario.pump, pedal: scenario.pedal, fuel: scenario.fuel }
    }

    /// Work the pump.
    ///
    /// # Errors
    /// [`RunError::OutOfRange`] for refused values; [`RunError::Failed`] if the equations fail.
    pub fn run(&self) -> Result<PumpRun, RunError> {
        let problems = self.problems();
        if !problems.is_empty() {
            return Err(RunError::OutOfRange(problems));
        }
        let shot = shot(&self.pump, &self.pedal, self.fuel.liquid())?;
        let findings = self.findings(&shot);
        Ok(PumpRun { shot, findings })
    }

    fn findings(&self, shot: &Shot) -> ShotFindings {
        let samples = &shot.samples;
        let stabs = deliveries(samples, &self.pedal);
        let most = |value: fn(&ShotSample) -> f64| samples.iter().map(value).reduce(f64::max);
        let first = stabs.first().filter(|stab| stab.volume_m3 > 0.0);
        let at = |kind| shot.events.iter().find(|event| event.kind == kind).map(|event| event.time_s);
        let (begins, ends) = (at(ShotEventKind::ShotBegins), at(ShotEventKind::ShotEnds));
        let second = stabs.get(1).map(|stab| stab.volume_m3);
        ShotFindings {
            volume_m3: stabs.first().map(|stab| stab.volume_m3),
            to_90_percent_s: first.map(|stab| stab.to_90_percent_s),
            lasts_s: begins.zip(ends).map(|(begin, end)| end - begin),
            spring_share: first.map(|stab| {
                let sprung = at(ShotEventKind::SpringTakesOver).filter(|time| ends.is_none_or(|end| *time < end));
                let before = |time| samples.iter().rfind(|s| s.time_s <= time).map_or(0.0, |s| s.delivered_m3);
                sprung.map_or(0.0, |time| 1.0 - before(time) / stab.volume_m3)
            }),
            peak_m3_per_s: first.map(|stab| stab.peak_m3_per_s),
            peak_pa: most(|sample| sample.pressure_pa),
            fastest_m_per_s: most(|sample| sample.jet_m_per_s),
            refill_s: at(ShotEventKind::RefillBegins).zip(at(ShotEventKind::RefillEnds)).map(|(a, b)| b - a),
            second_m3: second,
            second_share: first.zip(second).map(|(first, second)| second / first.volume_m3),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carburettor::pump::CamProfile;

    fn findings(change: impl Fn(&mut PumpTest)) -> ShotFindings {
        let mut test = PumpTest::default();
        change(&mut test);
        test.run().expect("runs").findings
    }

    #[test]
    fn a_slow_refill_makes_a_small_second_shot() {
        let (quick, slow) = (findings(|test| test.pump.inlet_m = 4e-3), findings(|test| test.pump.inlet_m = 0.8e-3));
        assert!(quick.second_share > Some(0.99), "{quick:?}");
        assert!(slow.second_share < Some(0.6), "{slow:?}");
        // the foot comes down again before a slow one is full
        assert!(quick.refill_s < Some(0.2) && slow.refill_s > quick.refill_s, "{quick:?} {slow:?}");
    }

    #[test]
    fn a_quick_foot_leaves_more_to_the_spring() {
        let share = |stab_s: f64| {
            let share = findings(|test| (test.pedal.stab_s, test.pump.profile) = (stab_s, CamProfile::C)).spring_share;
            share.expect("delivers")
        };
        let (quick, even, slow) = (share(0.3), share(1.0), share(2.0));
        assert!(quick > even + 0.1 && even > slow + 0.1, "{quick} {even} {slow}");
    }

    #[test]
    fn no_pump_finds_nothing_and_refused_values_are_told() {
        let none = findings(|test| test.pump.shot_m3 = 0.0);
        assert_eq!((none.volume_m3, none.lasts_s, none.second_share), (Some(0.0), None, None));
        let mut test = PumpTest::default();
        test.pump.shooter_m = 0.0;
        assert!(matches!(test.run(), Err(RunError::OutOfRange(problems)) if problems[0].key == "pump.shooter"));
    }
}
