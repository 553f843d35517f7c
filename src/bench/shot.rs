//! An accelerator pump on the bench: the shot against time, without an engine.

use crate::bench::pedal::Pedal;
use crate::carburettor::pump::{Pump, PumpFlow, PumpMode};
use crate::physics::fuel_flow::Liquid;
use crate::solver::hybrid::{Control, Evaluation, Failure, Hybrid, Tolerance, integrate};

/// One instant of a shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShotSample {
    /// Since the start, s.
    pub time_s: f64,
    /// Lever, share of its stroke.
    pub lever: f64,
    /// Plunger, share of its stroke; behind the lever the duration spring is squeezed.
    pub plunger: f64,
    /// Fuel out of the shooters, m³/s.
    pub flow_m3_per_s: f64,
    /// Fuel that has left since the start, m³.
    pub delivered_m3: f64,
}

/// What one stab of the pedal delivered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delivery {
    /// Volume, m³.
    pub volume_m3: f64,
    /// Time from the pedal's first move to nine tenths of that volume, s.
    pub to_90_percent_s: f64,
    /// Greatest flow, m³/s.
    pub peak_m3_per_s: f64,
}

/// Time between samples, s.
const INTERVAL_S: f64 = 0.002;

/// The shot of a pump whose shaft follows a pedal from end to end, with fuel in a full bowl.
///
/// # Errors
/// [`Failure`] if the equations cannot be followed; a defect of the program.
pub fn shot(pump: &Pump, pedal: &Pedal, fuel: Liquid) -> Result<Vec<ShotSample>, Failure> {
    let corners = pedal.corners();
    let mut bench = Bench { pump, fuel, piece: corners[0..2].to_vec(), mode: PumpMode::Follows };
    let mut state = [pump.lever(pedal.rest, 0.0).place_m, 0.0];
    let stroke = pump.stroke_m().max(f64::MIN_POSITIVE);
    let mut samples = Vec::new();
    for pair in corners.windows(2) {
        bench.piece = pair.to_vec();
        integrate(&mut bench, (pair[0].0, pair[1].0), &mut state, Control::default(), |bench, stretch| {
            while samples.len() as f64 * INTERVAL_S <= stretch.end + 1e-12 {
                let time = samples.len() as f64 * INTERVAL_S;
                let at = stretch.at(time.min(stretch.end));
                let (lever, flow) = bench.motion(time, at[0]);
                samples.push(ShotSample {
                    time_s: time,
                    lever: lever / stroke,
                    plunger: at[0] / stroke,
                    flow_m3_per_s: bench.pump.shot(flow.plunger_speed),
                    delivered_m3: at[1],
                });
            }
        })?;
    }
    Ok(samples)
}

/// What each stab of the pedal delivered: the first, and the second if the foot lifts in between.
pub fn deliveries(samples: &[ShotSample], pedal: &Pedal) -> Vec<Delivery> {
    let second = pedal.begin_s + pedal.stab_s + pedal.hold_s + pedal.stab_s + pedal.off_s;
    let mut begins = vec![pedal.begin_s];
    if pedal.hold_s > 0.0 && second < pedal.end_s() {
        begins.push(second);
    }
    let ends = begins[1..].iter().copied().chain([f64::INFINITY]);
    begins.iter().zip(ends).map(|(&begin, end)| delivery(samples, begin, end)).collect()
}

fn delivery(samples: &[ShotSample], begin: f64, end: f64) -> Delivery {
    let of: Vec<_> = samples.iter().filter(|s| s.time_s >= begin - 1e-9 && s.time_s < end).collect();
    let (Some(first), Some(last)) = (of.first(), of.last()) else {
        return Delivery { volume_m3: 0.0, to_90_percent_s: 0.0, peak_m3_per_s: 0.0 };
    };
    let volume_m3 = last.delivered_m3 - first.delivered_m3;
    let most = of.iter().find(|s| s.delivered_m3 - first.delivered_m3 >= 0.9 * volume_m3);
    Delivery {
        volume_m3,
        to_90_percent_s: most.map_or(0.0, |sample| sample.time_s - begin),
        peak_m3_per_s: of.iter().map(|s| s.flow_m3_per_s).fold(0.0, f64::max),
    }
}

struct Bench<'a> {
    pump: &'a Pump,
    fuel: Liquid,
    /// Both ends of the present piece of the pedal's path.
    piece: Vec<(f64, f64)>,
    mode: PumpMode,
}

impl Bench<'_> {
    /// The lever's place, m, and what the plunger does.
    fn motion(&self, time: f64, plunger_m: f64) -> (f64, PumpFlow) {
        let ((t0, p0), (t1, p1)) = (self.piece[0], self.piece[1]);
        let rate = (p1 - p0) / (t1 - t0);
        let lever = self.pump.lever(p0 + rate * (time - t0), rate);
        (lever.place_m, self.pump.motion(self.mode, lever, plunger_m, self.fuel))
    }
}

impl Hybrid<2> for Bench<'_> {
    fn evaluate(&self, time: f64, state: &[f64; 2], into: &mut Evaluation<2>) {
        let (_, flow) = self.motion(time, state[0]);
        into.rates = [flow.plunger_speed, self.pump.shot(flow.plunger_speed)];
        into.stiff.clear();
        if flow.slope != 0.0 {
            into.stiff.push(0, 0, flow.slope);
            into.stiff.push(1, 0, flow.slope * self.pump.plunger_m2());
        }
        into.guards.clear();
        into.guards.push(flow.guard);
    }

    fn transition(&mut self, _index: usize, time: f64, state: &mut [f64; 2]) {
        let ((t0, p0), (t1, p1)) = (self.piece[0], self.piece[1]);
        let rate = (p1 - p0) / (t1 - t0);
        let lever = self.pump.lever(p0 + rate * (time - t0), rate);
        self.mode = self.pump.next(self.mode, lever.speed);
        state[0] = lever.place_m;
    }

    fn tolerance(&self) -> &Tolerance<2> {
        &Tolerance { absolute: [1e-7, 1e-11], relative_share: [1.0, 1.0] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PETROL: Liquid = Liquid { density: 740.0, viscosity: 0.5e-3 };

    fn delivered(change: impl Fn(&mut Pump)) -> Delivery {
        let mut pump = Pump::default();
        change(&mut pump);
        let pedal = Pedal { rest: 0.0, ..Pedal::default() };
        deliveries(&shot(&pump, &pedal, PETROL).expect("runs"), &pedal)[0]
    }

    #[test]
    fn the_cam_sets_the_volume_and_fuel_cannot_leave_twice() {
        let delivery = delivered(|_| {});
        assert!((delivery.volume_m3 / Pump::default().shot_m3 - 1.0).abs() < 1e-3, "{delivery:?}");
    }

    #[test]
    fn holes_and_spring_set_the_time_and_not_the_volume() {
        let base = delivered(|_| {});
        let bigger_holes = delivered(|pump| pump.shooter_m *= 1.3);
        let stiffer = delivered(|pump| pump.spring_rate_n_per_m *= 2.0);
        for sooner in [bigger_holes, stiffer] {
            assert!(sooner.to_90_percent_s < 0.9 * base.to_90_percent_s, "{base:?} {sooner:?}");
            assert!(sooner.peak_m3_per_s > 1.1 * base.peak_m3_per_s);
            assert!((sooner.volume_m3 / base.volume_m3 - 1.0).abs() < 2e-3);
        }
    }

    #[test]
    fn a_second_stab_soon_after_finds_less() {
        let pump = Pump { inlet_m: 1.0e-3, ..Pump::default() };
        let second = |off_s: f64| {
            let pedal = Pedal { rest: 0.0, hold_s: 0.5, off_s, length_s: 6.0, ..Pedal::default() };
            let all = deliveries(&shot(&pump, &pedal, PETROL).expect("runs"), &pedal);
            all[1].volume_m3 / all[0].volume_m3
        };
        assert!(second(0.3) < 0.8 && second(3.0) > 0.99, "{} {}", second(0.3), second(3.0));
    }

    /// The duration spring's shot in closed form while squeezed: with a turbulent hole dV/dt = C A √(2 F/(A ρ)) and a
    /// spring without preload F = k x it ends in finite time; here against a hundred thousand small steps.
    #[test]
    fn reference_a_squeezed_spring_empties_as_small_steps_say() {
        let pump = Pump { spring_preload_n: 0.2, ..Pump::default() };
        let pedal = Pedal { rest: 0.0, stab_s: 0.02, begin_s: 0.05, length_s: 2.0, ..Pedal::default() };
        let ours = deliveries(&shot(&pump, &pedal, PETROL).expect("runs"), &pedal)[0];
        let (h, mut plunger, mut time, mut reached) = (1e-5, 0.0, 0.0, 0.0);
        while time < 1.9 {
            let turn = (time / 0.02_f64).min(1.0);
            let lever = pump.lever(turn, if turn < 1.0 { 50.0 } else { 0.0 });
            let squeezed = pump.motion(PumpMode::Squeezed, lever, plunger, PETROL).plunger_speed;
            plunger = (plunger + h * squeezed).min(lever.place_m);
            time += h;
            if reached == 0.0 && plunger >= 0.9 * pump.stroke_m() {
                reached = time;
            }
        }
        // both are read on grids: 2 ms and 0.01 ms
        assert!((ours.to_90_percent_s - reached).abs() < 2.1e-3, "{ours:?} {reached}");
    }
}
