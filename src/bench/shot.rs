//! An accelerator pump on the bench: the shot against time, without an engine.

use crate::bench::pedal::Pedal;
use crate::carburettor::pump::{Lever, Pump, PumpFlow, PumpMode};
use crate::figures;
use crate::physics::GRAVITY;
use crate::physics::fuel_flow::Liquid;
use crate::solver::hybrid::{Control, Evaluation, Failure, Hybrid, Tolerance, integrate};
use crate::units::Figure;

/// A column of a shot; SI.
pub type Channel = Figure<ShotSample, f64>;

figures! {
    /// One instant of a shot; SI, pressure against the bowl's air.
    pub struct ShotSample,
    /// The columns.
    CHANNELS: f64 {
        time_s: Duration, "Time";
        turn: Fraction, "Turn of the throttle shaft";
        lever: Fraction, "Lever down";
        plunger: Fraction, "Plunger down";
        spring_n: Force, "Duration spring";
        pressure_pa: Pressure, "Pressure under the plunger";
        flow_m3_per_s: FuelFlow, "Fuel out of the shooters";
        jet_m_per_s: AirSpeed, "Speed of the jets of fuel";
        refill_m3_per_s: FuelFlow, "Fuel back through the inlet check";
        delivered_m3: SmallVolume, "Delivered so far";
    }
}

impl Shot {
    /// The instant at a time, straight between samples; before or after the shot, its nearest end.
    pub fn at(&self, time_s: f64) -> ShotSample {
        let place = (time_s / INTERVAL_S).clamp(0.0, self.samples.len().saturating_sub(1) as f64);
        let before = place.floor() as usize;
        let Some(low) = self.samples.get(before) else { return ShotSample::default() };
        self.samples.get(before + 1).map_or(*low, |high| low.towards(high, place - before as f64))
    }

    /// Where the fuel of a level jet is at a time, from the shooter on: way ahead and height, m, for each sample that was
    /// let go since the jet last began, the youngest first. Each piece flies by itself with the speed that it left with;
    /// the air's drag and the break-up into drops are left out.
    pub fn flying(&self, time_s: f64) -> impl Iterator<Item = (f64, f64)> {
        let now = self.at(time_s);
        let gone = self.samples.partition_point(|sample| sample.time_s < time_s);
        let older = self.samples[..gone].iter().rev().copied();
        std::iter::once(now).chain(older).take_while(|sample| sample.jet_m_per_s > 0.0).map(move |sample| {
            let age = time_s - sample.time_s;
            (sample.jet_m_per_s * age, -0.5 * GRAVITY * age * age)
        })
    }
}

impl ShotSample {
    /// How far a level jet falls on a way, m; `None` when there is no jet.
    pub fn fall_m(&self, way_m: f64) -> Option<f64> {
        let time = way_m / self.jet_m_per_s;
        (self.jet_m_per_s > 0.0).then_some(0.5 * GRAVITY * time * time)
    }
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
pub const INTERVAL_S: f64 = 0.002;

/// A kind of moment in a shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShotEventKind {
    /// Fuel begins to leave the shooters.
    ShotBegins,
    /// The lever has run ahead: from here on the duration spring drives the plunger.
    SpringTakesOver,
    /// No more fuel leaves the shooters.
    ShotEnds,
    /// Fuel begins to come back from the bowl.
    RefillBegins,
    /// The plunger has stopped rising.
    RefillEnds,
}

impl ShotEventKind {
    /// Every kind.
    pub const ALL: &'static [Self] =
        &[Self::ShotBegins, Self::SpringTakesOver, Self::ShotEnds, Self::RefillBegins, Self::RefillEnds];

    /// Stable key in files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::ShotBegins => "shot_begins",
            Self::SpringTakesOver => "spring_takes_over",
            Self::ShotEnds => "shot_ends",
            Self::RefillBegins => "refill_begins",
            Self::RefillEnds => "refill_ends",
        }
    }

    /// As shown.
    pub const fn label(self) -> &'static str {
        match self {
            Self::ShotBegins => "Shot begins",
            Self::SpringTakesOver => "Spring takes over",
            Self::ShotEnds => "Shot ends",
            Self::RefillBegins => "Refill begins",
            Self::RefillEnds => "Refill done",
        }
    }
}

/// A named moment of a shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShotEvent {
    /// When, s.
    pub time_s: f64,
    /// What.
    pub kind: ShotEventKind,
}

/// A finished shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// On an even grid, [`INTERVAL_S`] apart.
    pub samples: Vec<ShotSample>,
    /// In order of time.
    pub events: Vec<ShotEvent>,
}

/// The shot of a pump whose shaft follows a pedal from end to end, with fuel in a full bowl.
///
/// # Errors
/// [`Failure`] if the equations cannot be followed; a defect of the program.
pub fn shot(pump: &Pump, pedal: &Pedal, fuel: Liquid) -> Result<Shot, Failure> {
    let corners = pedal.corners();
    let mut bench = Bench::new(pump, fuel, corners[0..2].to_vec());
    let mut state = [pump.lever(pedal.rest, 0.0).place_m, 0.0];
    let mut samples = Vec::new();
    for pair in corners.windows(2) {
        bench.piece = pair.to_vec();
        bench.note(pair[0].0);
        integrate(&mut bench, (pair[0].0, pair[1].0), &mut state, Control::default(), |bench, stretch| {
            while samples.len() as f64 * INTERVAL_S <= stretch.end + 1e-12 {
                let time = samples.len() as f64 * INTERVAL_S;
                samples.push(bench.sample(time, &stretch.at(time.min(stretch.end))));
            }
        })?;
    }
    Ok(Shot { samples, events: bench.events })
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

/// A plunger parts from a cam that runs ever faster at equal speeds: until it has gone so far, rounding must not send it
/// back, m.
const SLACK_M: f64 = 1e-9;

/// What the pump is about, as somebody who watches it would say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    Still,
    /// The plunger goes down with the lever.
    Pressed,
    /// The spring drives it.
    Squeezed,
    /// It rises.
    Refills,
}

struct Bench<'a> {
    pump: &'a Pump,
    fuel: Liquid,
    /// Both ends of the present piece of the pedal's path.
    piece: Vec<(f64, f64)>,
    mode: PumpMode,
    phase: Phase,
    events: Vec<ShotEvent>,
}

impl<'a> Bench<'a> {
    fn new(pump: &'a Pump, fuel: Liquid, piece: Vec<(f64, f64)>) -> Self {
        Self { pump, fuel, piece, mode: PumpMode::Follows, phase: Phase::Still, events: Vec::new() }
    }

    /// Turn of the shaft, 0 to 1, and its rate, 1/s.
    fn turn(&self, time: f64) -> (f64, f64) {
        let ((t0, p0), (t1, p1)) = (self.piece[0], self.piece[1]);
        let rate = (p1 - p0) / (t1 - t0);
        (p0 + rate * (time - t0), rate)
    }

    fn lever(&self, time: f64) -> Lever {
        let (turn, rate) = self.turn(time);
        self.pump.lever(turn, rate)
    }

    /// The lever, and what the plunger does.
    fn motion(&self, time: f64, plunger_m: f64) -> (Lever, PumpFlow) {
        let lever = self.lever(time);
        (lever, self.pump.motion(self.mode, lever, plunger_m, self.fuel))
    }

    fn sample(&self, time_s: f64, state: &[f64; 2]) -> ShotSample {
        let (lever, flow) = self.motion(time_s, state[0]);
        let stroke = self.pump.stroke_m().max(f64::MIN_POSITIVE);
        let (out, back) = (self.pump.shot(flow.plunger_speed), self.pump.refill(flow.plunger_speed));
        let (shooters, inlet) = (self.pump.shooters(), self.pump.inlet());
        ShotSample {
            time_s,
            turn: self.turn(time_s).0,
            lever: lever.place_m / stroke,
            plunger: state[0] / stroke,
            spring_n: self.pump.spring_n(lever.place_m - state[0]),
            pressure_pa: shooters.pressure_loss(out, self.fuel) - inlet.pressure_loss(back, self.fuel),
            flow_m3_per_s: out,
            // a long hole runs full: the jet is as thick as the hole
            jet_m_per_s: out / shooters.area_m2,
            refill_m3_per_s: back,
            delivered_m3: state[1],
        }
    }

    /// Book what has changed at a corner of the pedal's path or of the plunger's.
    fn note(&mut self, time_s: f64) {
        let rate = self.turn(time_s).1;
        let phase = match self.mode {
            _ if self.pump.shot_m3 <= 0.0 => Phase::Still,
            PumpMode::Squeezed => Phase::Squeezed,
            PumpMode::Refills => Phase::Refills,
            PumpMode::Follows if rate > 0.0 => Phase::Pressed,
            PumpMode::Follows if rate < 0.0 => Phase::Refills,
            PumpMode::Follows => Phase::Still,
        };
        let (before, shoots) = (self.phase, |phase| matches!(phase, Phase::Pressed | Phase::Squeezed));
        let mut book = |happened: bool, kind| {
            if happened {
                self.events.push(ShotEvent { time_s, kind });
            }
        };
        book(shoots(before) && !shoots(phase), ShotEventKind::ShotEnds);
        book(before == Phase::Refills && phase != Phase::Refills, ShotEventKind::RefillEnds);
        book(!shoots(before) && shoots(phase), ShotEventKind::ShotBegins);
        book(before != Phase::Squeezed && phase == Phase::Squeezed, ShotEventKind::SpringTakesOver);
        book(before != Phase::Refills && phase == Phase::Refills, ShotEventKind::RefillBegins);
        self.phase = phase;
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
        let parted = self.mode != PumpMode::Follows;
        into.guards.push(if parted { flow.guard + SLACK_M } else { flow.guard });
    }

    fn transition(&mut self, _index: usize, time: f64, state: &mut [f64; 2]) {
        let lever = self.lever(time);
        self.mode = self.pump.next(self.mode, lever.speed);
        state[0] = lever.place_m;
        self.note(time);
    }

    fn tolerance(&self) -> &Tolerance<2> {
        &Tolerance { absolute: [1e-7, 1e-11], relative_share: [1.0, 1.0] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::fuel_flow::Jet;

    const PETROL: Liquid = Liquid { density: 740.0, viscosity: 0.5e-3 };

    fn delivered(change: impl Fn(&mut Pump)) -> Delivery {
        let mut pump = Pump::default();
        change(&mut pump);
        let pedal = Pedal { rest: 0.0, ..Pedal::default() };
        deliveries(&shot(&pump, &pedal, PETROL).expect("runs").samples, &pedal)[0]
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
            let all = deliveries(&shot(&pump, &pedal, PETROL).expect("runs").samples, &pedal);
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
        let ours = deliveries(&shot(&pump, &pedal, PETROL).expect("runs").samples, &pedal)[0];
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

    fn stabbed_twice(pump: &Pump) -> Shot {
        let pedal = Pedal { rest: 0.0, hold_s: 0.6, off_s: 0.5, length_s: 3.0, ..Pedal::default() };
        shot(pump, &pedal, PETROL).expect("runs")
    }

    /// What has left is what the plunger has displaced, whenever it is asked; only the correction at a change of mode,
    /// within the integrator's tolerance, stands between them.
    #[test]
    fn what_leaves_is_what_the_plunger_displaces() {
        let pump = Pump::default();
        let (mut down, mut last) = (0.0, 0.0);
        for sample in stabbed_twice(&pump).samples {
            let place = sample.plunger * pump.stroke_m() * pump.plunger_m2();
            down += (place - last).max(0.0);
            last = place;
            assert!((sample.delivered_m3 - down).abs() < 1e-5 * pump.shot_m3, "{sample:?} {down}");
        }
    }

    /// Bernoulli: no jet is faster than its pressure allows, and it keeps the share C² of that energy, C being the long
    /// hole's coefficient at its Reynolds number.
    #[test]
    fn reference_a_jet_carries_the_energy_that_the_hole_leaves_of_its_pressure() {
        let pump = Pump::default();
        let mut seen = 0;
        for sample in stabbed_twice(&pump).samples.iter().filter(|sample| sample.flow_m3_per_s > 0.0) {
            let energy = 0.5 * PETROL.density * sample.jet_m_per_s.powi(2);
            let reynolds = PETROL.density * sample.jet_m_per_s * pump.shooter_m / PETROL.viscosity;
            let kept = Jet::coefficient(reynolds).powi(2);
            assert!(energy < sample.pressure_pa, "{sample:?}");
            assert!((energy / sample.pressure_pa / kept - 1.0).abs() < 1e-9, "{sample:?} {kept}");
            seen += 1;
        }
        assert!(seen > 50, "{seen}");
    }

    #[test]
    fn while_squeezed_the_spring_holds_the_pressure() {
        let pump = Pump::default();
        let squeezed = |sample: &&ShotSample| sample.lever - sample.plunger > 1e-3;
        for sample in stabbed_twice(&pump).samples.iter().filter(squeezed).filter(|s| s.flow_m3_per_s > 0.0) {
            let force = sample.pressure_pa * pump.plunger_m2();
            assert!((force / sample.spring_n - 1.0).abs() < 1e-9, "{sample:?} {force}");
        }
    }

    #[test]
    fn events_follow_each_other_as_the_plunger_moves() {
        use ShotEventKind::*;
        let kinds = |pump: Pump| stabbed_twice(&pump).events.iter().map(|event| event.kind).collect::<Vec<_>>();
        let once = [ShotBegins, SpringTakesOver, ShotEnds, RefillBegins, RefillEnds];
        let twice: Vec<_> = once.into_iter().chain([ShotBegins, SpringTakesOver, ShotEnds]).collect();
        assert_eq!(kinds(Pump::default()), twice);
        // a spring too stiff for this stab is never squeezed
        let stiff = kinds(Pump { spring_preload_n: 60.0, shooter_m: 2e-3, ..Pump::default() });
        assert!(!stiff.contains(&SpringTakesOver) && stiff.contains(&ShotEnds), "{stiff:?}");
        assert_eq!(kinds(Pump { shot_m3: 0.0, ..Pump::default() }), []);
    }

    /// A piece of fuel that left at 3 m/s is after 20 ms 60 mm away and ½ · 9.80665 · 0.02² m = 1.96 mm lower.
    #[test]
    fn reference_a_jet_falls_freely() {
        let sample = |time_s, jet_m_per_s| ShotSample { time_s, jet_m_per_s, ..ShotSample::default() };
        let samples = (0..=20).map(|i| sample(f64::from(i) * INTERVAL_S, if i < 3 { 0.0 } else { 3.0 })).collect();
        let shot = Shot { samples, events: Vec::new() };
        let path: Vec<_> = shot.flying(0.04).collect();
        assert_eq!(path.len(), 18, "from now back to where it began");
        let (way, height) = path[10];
        assert!((way - 0.06).abs() < 1e-12 && (height + 1.961_33e-3).abs() < 1e-9, "{way} {height}");
        assert!((shot.at(0.04).fall_m(0.06).expect("a jet") + height).abs() < 1e-12);
        assert_eq!(shot.flying(0.004).count(), 0);
    }
}
