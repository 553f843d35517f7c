//! Backward differentiation on an uneven grid, one evaluation a step.
//!
//! The past is a polynomial through the last states, kept as Newton's divided differences, so that every step may have
//! its own length and every order from 1 to [`MOST_ORDER`] is at hand. A step extrapolates that polynomial, evaluates
//! the rates once, and corrects by one Newton iteration whose matrix may be an approximation: only the few stiff
//! columns are written down ([`Stiff`]), and the linear solve is a handful of multiplications.
//!
//! Variable-coefficient formulas as in Hairer, Nørsett and Wanner, *Solving Ordinary Differential Equations I* (1993)
//! §III.5; the corrector and its error follow from two interpolation errors, see [`Step`].

use super::stiff::Stiff;

/// Highest order used. From order 3 on the formulas are not A-stable; beyond 4 they help little at the accuracy wanted.
pub const MOST_ORDER: usize = 4;
/// Points kept: one more than the highest order's predictor has, to see whether a higher order would do better.
const POINTS: usize = MOST_ORDER + 2;

/// The recent past of N states as a polynomial in time.
#[derive(Debug, Clone, Copy)]
pub struct Past<const N: usize> {
    /// Newest first; a time that stands twice carries the rates.
    times: [f64; POINTS],
    /// Divided differences from the newest point, of order 0, 1, …
    differences: [[f64; N]; POINTS],
    points: usize,
}

/// What a step is tried with. With t the new time, tⱼ the past ones, newest first, and k the order: the corrector's
/// polynomial differs from the predictor's by e Π (t − tⱼ)/…, j < k, whose slope at t is `stiffness` times e.
pub struct Step<const N: usize> {
    /// Extrapolated state.
    pub state: [f64; N],
    /// Its rates.
    pub rates: [f64; N],
    /// Σ 1/(t − tⱼ), j < k, 1/s.
    pub stiffness: f64,
    /// Local error over correction: both interpolation errors contain the same derivative; 1/(1 + stiffness (t − tₖ)).
    pub error_share: f64,
}

impl<const N: usize> Past<N> {
    /// A past of one step, of which states and rates at both ends are known.
    pub fn new(times: [f64; 2], states: [&[f64; N]; 2], rates: [&[f64; N]; 2]) -> Self {
        let span = times[1] - times[0];
        let mut differences = [[0.0; N]; POINTS];
        for i in 0..N {
            let slope = (states[1][i] - states[0][i]) / span;
            let (late, early) = ((rates[1][i] - slope) / span, (slope - rates[0][i]) / span);
            differences[0][i] = states[1][i];
            differences[1][i] = rates[1][i];
            differences[2][i] = late;
            differences[3][i] = (late - early) / span;
        }
        let mut past = Self { times: [times[0]; POINTS], differences, points: 4 };
        past.times[..2].fill(times[1]);
        past
    }

    /// Highest order with which a step can be tried.
    pub fn order(&self) -> usize {
        (self.points - 1).min(MOST_ORDER)
    }

    /// Newest state.
    pub fn state(&self) -> &[f64; N] {
        &self.differences[0]
    }

    /// Extrapolate to a later time.
    pub fn predict(&self, time: f64, order: usize) -> Step<N> {
        let mut state = self.differences[0];
        let mut rates = [0.0; N];
        let (mut product, mut slope, mut stiffness) = (1.0, 0.0, 0.0);
        for j in 1..=order {
            let since = time - self.times[j - 1];
            slope = slope * since + product;
            product *= since;
            stiffness += 1.0 / since;
            let difference = &self.differences[j];
            for i in 0..N {
                state[i] += product * difference[i];
                rates[i] += slope * difference[i];
            }
        }
        let error_share = 1.0 / (1.0 + stiffness * (time - self.times[order]));
        Step { state, rates, stiffness, error_share }
    }

    /// The state at a time between the newest two points, on the polynomial of an order through the newest points.
    pub fn at(&self, time: f64, order: usize) -> [f64; N] {
        let order = order.min(self.points - 1);
        let mut state = self.differences[order];
        for j in (0..order).rev() {
            let since = time - self.times[j];
            for (value, difference) in state.iter_mut().zip(&self.differences[j]) {
                *value = difference + since * *value;
            }
        }
        state
    }

    /// Take a state at a later time into the past.
    pub fn push(&mut self, time: f64, state: &[f64; N]) {
        let count = (self.points + 1).min(POINTS);
        let mut carried = *state;
        for j in 0..count {
            std::mem::swap(&mut carried, &mut self.differences[j]);
            // `carried` is now the old difference of order j; the new one of order j + 1 follows from both
            if j + 1 < count {
                let span = time - self.times[j];
                for (old, new) in carried.iter_mut().zip(&self.differences[j]) {
                    *old = (new - *old) / span;
                }
            }
        }
        self.times.copy_within(0..POINTS - 1, 1);
        self.times[0] = time;
        self.points = count;
    }

    /// Local error that a step of an order would have had in the step just taken; `None` if too little is known.
    pub fn error(&self, order: usize) -> Option<[f64; N]> {
        if order == 0 || order > MOST_ORDER || order + 2 > self.points || self.times[0] == self.times[1] {
            return None;
        }
        let (mut product, mut stiffness) = (1.0, 0.0);
        for j in 1..=order {
            let since = self.times[0] - self.times[j];
            product *= since;
            stiffness += 1.0 / since;
        }
        let scale = product / stiffness;
        Some(self.differences[order + 1].map(|difference| difference * scale))
    }
}

impl<const N: usize> Step<N> {
    /// The correction of the extrapolated state when its rates turn out to be `rates`.
    pub fn correction(&self, rates: &[f64; N], stiff: &Stiff) -> [f64; N] {
        let time = 1.0 / self.stiffness;
        let mut right = [0.0; N];
        for i in 0..N {
            right[i] = time * (rates[i] - self.rates[i]);
        }
        stiff.solve(time, &mut right);
        right
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Smooth and nonlinear, with one stiff state whose column is the only one written down.
    fn rates(time: f64, s: &[f64; 3]) -> [f64; 3] {
        [-s[1] * s[0], s[0] - s[1] * s[1] * 0.3, -40.0 * (s[2] - time.sin()) + s[0] * s[1]]
    }

    fn stiff() -> Stiff {
        let mut stiff = Stiff::default();
        stiff.push(2, 2, -40.0);
        stiff
    }

    /// A fifth-order answer at 1, by many steps of the starting method.
    fn truth(at: f64) -> [f64; 3] {
        let steps = 40_000;
        let h = at / f64::from(steps);
        (0..steps).fold([1.0, 0.5, 0.2], |s, i| {
            let t = f64::from(i) * h;
            super::super::rosenbrock::step(t, &s, &rates(t, &s), &stiff(), h, rates).0
        })
    }

    /// Steps of one order whose lengths swing by a fifth, from exact beginnings.
    fn integrate(order: usize, steps: usize) -> [f64; 3] {
        let uneven = |i: usize| (i as f64 + 0.1 * (i as f64 * 2.0).sin()) / steps as f64;
        let states: Vec<_> = (0..2).map(|i| truth(uneven(i).max(1e-12))).collect();
        let times = [uneven(0).max(1e-12), uneven(1)];
        let both = [rates(times[0], &states[0]), rates(times[1], &states[1])];
        let mut past = Past::new(times, [&states[0], &states[1]], [&both[0], &both[1]]);
        for i in 2..=steps {
            let time = if i == steps { 1.0 } else { uneven(i) };
            let state = if i < 2 + order {
                truth(time)
            } else {
                let step = past.predict(time, order);
                let correction = step.correction(&rates(time, &step.state), &stiff());
                std::array::from_fn(|i| step.state[i] + correction[i])
            };
            past.push(time, &state);
        }
        *past.state()
    }

    /// The design order on a smooth stretch: halving the step divides the error by 2 to the order. A fifth either way
    /// in the exponent allows for the next term and for a matrix that is only the stiff part.
    #[test]
    fn reference_error_falls_with_the_order() {
        let exact = truth(1.0);
        for order in 1..=MOST_ORDER {
            let error = |steps| {
                let s = integrate(order, steps);
                (0..3).map(|i| (s[i] - exact[i]).abs()).fold(0.0, f64::max)
            };
            let observed = (error(100) / error(200)).log2();
            assert!((observed - order as f64).abs() < 0.35, "order {order}: observed {observed}");
        }
    }

    #[test]
    fn reference_polynomials_up_to_the_order_are_exact() {
        for order in 1..=MOST_ORDER {
            let cubic = |t: f64| (0..=order).map(|power| t.powi(power as i32)).sum::<f64>();
            let slope = |t: f64| (1..=order).map(|power| power as f64 * t.powi(power as i32 - 1)).sum::<f64>();
            let mut past = Past::new([0.0, 0.1], [&[cubic(0.0)], &[cubic(0.1)]], [&[slope(0.0)], &[slope(0.1)]]);
            for time in [0.25, 0.3, 0.5, 0.6] {
                past.push(time, &[cubic(time)]);
            }
            let step = past.predict(0.9, order);
            assert!((step.state[0] - cubic(0.9)).abs() < 1e-11 && (step.rates[0] - slope(0.9)).abs() < 1e-10);
            assert!((past.at(0.55, order)[0] - cubic(0.55)).abs() < 1e-12);
            assert!(past.error(order).is_none_or(|error| error[0].abs() < 1e-10));
        }
    }

    #[test]
    fn a_balance_with_all_its_rows_holds_to_rounding() {
        let rates = |s: &[f64; 2]| {
            let flow = 500.0 * s[0] * s[0].abs().sqrt();
            [-flow, flow]
        };
        let start = [1.0, 0.0];
        let begun = [0.999, 0.001];
        let mut past = Past::new([0.0, 2e-6], [&start, &begun], [&rates(&start), &rates(&begun)]);
        for i in 1..100 {
            let time = 2e-6 + 1e-4 * f64::from(i);
            let step = past.predict(time, 2);
            let slope = 750.0 * step.state[0].abs().sqrt();
            let mut stiff = Stiff::default();
            stiff.push(0, 0, -slope);
            stiff.push(1, 0, slope);
            let correction = step.correction(&rates(&step.state), &stiff);
            past.push(time, &[step.state[0] + correction[0], step.state[1] + correction[1]]);
        }
        let end = past.state();
        assert!((end[0] + end[1] - 1.0).abs() < 1e-13, "{end:?}");
    }
}
