//! One step of a linearly implicit Runge–Kutta method whose matrix may be an approximation.
//!
//! ROS34PW2 of Rang and Angermann, *BIT Numerical Mathematics* 45 (2005) 761: four stages, order 3 with an embedded
//! order 2, L-stable, and a W-method: it keeps its order whatever matrix stands for the Jacobian. So only the few
//! stiff columns are written down, and the linear solve is a handful of multiplications. A plenum at wide-open
//! throttle has a time constant of 0.1 ms inside a run of seconds; an explicit method would crawl.

use super::stiff::Stiff;

const GAMMA: f64 = 0.435_866_521_508_459;
/// Where in the step each stage is evaluated.
const ALPHA: [[f64; 3]; 4] = [
    [0.0, 0.0, 0.0],
    [0.871_733_043_016_918, 0.0, 0.0],
    [0.844_570_600_153_694_2, -0.112_990_642_364_841_85, 0.0],
    [0.0, 0.0, 1.0],
];
const GAMMAS: [[f64; 3]; 4] = [
    [0.0, 0.0, 0.0],
    [-0.871_733_043_016_918, 0.0, 0.0],
    [-0.903_380_570_130_440_8, 0.054_180_672_388_095_326, 0.0],
    [0.242_123_807_060_953_46, -1.223_250_583_904_514_7, 0.545_260_255_335_102_1],
];
const WEIGHTS: [f64; 4] = [0.242_123_807_060_953_46, -1.223_250_583_904_514_7, 1.545_260_255_335_102, GAMMA];
const EMBEDDED: [f64; 4] = [0.378_109_031_458_193_7, -0.096_042_292_212_423_18, 0.5, 0.217_933_260_754_229_5];

/// A step from `state` at `time`; `rates` and `stiff` are those at its start. Returns the new state and the
/// difference of the embedded solution, both N states. `at` gives the rates at another time and state.
pub fn step<const N: usize>(
    time: f64,
    state: &[f64; N],
    rates: &[f64; N],
    stiff: &Stiff,
    step: f64,
    mut at: impl FnMut(f64, &[f64; N]) -> [f64; N],
) -> ([f64; N], [f64; N]) {
    let mut k = [[0.0; N]; 4];
    for stage in 0..4 {
        let mut right = if stage == 0 {
            *rates
        } else {
            let inner = combine(state, &k, &ALPHA[stage], stage);
            at(time + step * ALPHA[stage].iter().sum::<f64>(), &inner)
        };
        right.iter_mut().for_each(|r| *r *= step);
        if stage > 0 {
            let sum = combine(&[0.0; N], &k, &GAMMAS[stage], stage);
            stiff.add_product(step, &sum, &mut right);
        }
        stiff.solve(step * GAMMA, &mut right);
        k[stage] = right;
    }
    let mut next = *state;
    let mut error = [0.0; N];
    for (stage, k) in k.iter().enumerate() {
        for i in 0..N {
            next[i] += WEIGHTS[stage] * k[i];
            error[i] += (WEIGHTS[stage] - EMBEDDED[stage]) * k[i];
        }
    }
    (next, error)
}

fn combine<const N: usize>(start: &[f64; N], k: &[[f64; N]; 4], weights: &[f64; 3], count: usize) -> [f64; N] {
    let mut sum = *start;
    for (k, weight) in k.iter().zip(weights).take(count) {
        for i in 0..N {
            sum[i] += weight * k[i];
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// x' = −y + (c − x r²), y' = x: with r² = x² + y² and a decaying third state driven by both.
    fn rates(time: f64, s: &[f64; 3]) -> [f64; 3] {
        [-s[1] * s[0], s[0] - s[1] * s[1] * 0.3, -40.0 * (s[2] - time.sin()) + s[0] * s[1]]
    }

    fn integrate(steps: usize) -> [f64; 3] {
        let h = 1.0 / steps as f64;
        let mut s = [1.0, 0.5, 0.2];
        let mut stiff = Stiff::default();
        stiff.push(2, 2, -40.0);
        for i in 0..steps {
            let t = i as f64 * h;
            let now = rates(t, &s);
            s = step(t, &s, &now, &stiff, h, rates).0;
        }
        s
    }

    /// Rang and Angermann 2005: order 3 as a W-method. Halving the step must divide the error by about 8; between
    /// 6 and 10 allows for the next term.
    #[test]
    fn reference_order_three_with_a_partial_jacobian() {
        let truth = integrate(20_000);
        let error = |steps| {
            let s = integrate(steps);
            (0..3).map(|i| (s[i] - truth[i]).abs()).fold(0.0, f64::max)
        };
        let ratio = error(200) / error(400);
        assert!((6.0..10.0).contains(&ratio), "error ratio {ratio}");
    }

    #[test]
    fn a_balance_with_all_its_rows_holds_to_rounding() {
        let flow = |s: &[f64; 2]| 500.0 * s[0] * s[0].abs().sqrt();
        let mut s = [1.0, 0.0];
        for _ in 0..100 {
            let rates = |_: f64, s: &[f64; 2]| [-flow(s), flow(s)];
            let now = rates(0.0, &s);
            let mut stiff = Stiff::default();
            let slope = 750.0 * s[0].abs().sqrt();
            stiff.push(0, 0, -slope);
            stiff.push(1, 0, slope);
            s = step(0.0, &s, &now, &stiff, 0.01, rates).0;
        }
        assert!((s[0] + s[1] - 1.0).abs() < 1e-13);
    }
}
