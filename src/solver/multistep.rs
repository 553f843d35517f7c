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
            for i in 0..N {
                state[i] = self.differences[j][i] + since * state[i];
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
                for i in 0..N {
                    carried[i] = (self.differences[j][i] - carried[i]) / span;
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
