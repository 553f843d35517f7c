//! A handful of coupled stores, integrated in linearly implicit steps.
//!
//! The method of `solver::rosenbrock` wants its Jacobian in an order that solves by substitution; a network in which
//! everything is tied to everything has none. Here the matrix is full, small and factorised.
//!
//! ROS2 of Verwer, Spee, Blom and Hundsdorfer, *SIAM J. Sci. Comput.* 20 (1999) 1456, with γ = 1 − 1/√2: two stages,
//! order 2 whatever matrix stands for the Jacobian, L-stable with the true one. Sums that the rates keep (heat, fuel)
//! are kept to rounding, for the matrix is made of differences of those rates.

use crate::solver::hybrid::{Failure, Stretch};
use crate::solver::multistep::Past;

const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Relative change of a state, with its scale, by which the matrix is found.
const DIFFERENCE: f64 = 1e-6;
/// Steps for which a matrix serves, as long as none is refused.
const MATRIX_SERVES: usize = 4;
const MOST_ATTEMPTS: usize = 50_000;
const SHORTEST: f64 = 1e-7;

/// A system of stores.
pub trait Stores<const N: usize> {
    /// What flows into each store in a second. The first [`Self::acting`] states act on the rates; the others only add
    /// up.
    fn rates(&self, state: &[f64; N]) -> [f64; N];
    /// How many states act on the rates.
    fn acting(&self) -> usize {
        N
    }
    /// Size of a state that matters; the error allowed in a step is a share of it.
    fn scale(&self) -> &[f64; N];
    /// Whether a state can be: a step that leaves it is repeated shorter.
    fn possible(&self, _state: &[f64; N]) -> bool {
        true
    }
}

/// Accuracy and limits of an integration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Control {
    /// Error allowed in a step, as a share of each state's scale.
    pub share: f64,
    /// Longest step, s.
    pub longest: f64,
}

impl Default for Control {
    fn default() -> Self {
        Self { share: 3e-3, longest: 60.0 }
    }
}

/// Integrate from `start` to `end`, changing `state`; `watch` sees every finished step.
///
/// # Errors
/// [`Failure`] when a state is not a number or the step has become too small.
pub fn integrate<const N: usize, S: Stores<N>>(
    system: &S,
    (start, end): (f64, f64),
    state: &mut [f64; N],
    control: Control,
    mut watch: impl FnMut(&Stretch<'_, N>),
) -> Result<(), Failure> {
    let (mut time, mut length, mut age) = (start, 1.0_f64, MATRIX_SERVES);
    let mut rates = system.rates(state);
    let mut matrix = Matrix::new();
    for _ in 0..MOST_ATTEMPTS {
        if time >= end {
            return Ok(());
        }
        let whole = end - time;
        let mut h = length.min(control.longest).min(whole);
        // two even steps rather than a crumb at the end
        if h < whole && whole - h < 0.5 * h {
            h = 0.5 * whole;
        }
        if age >= MATRIX_SERVES {
            matrix.find(system, state, &rates);
            age = 0;
        }
        let taken = matrix.step(system, state, &rates, h);
        let next_rates = taken.as_ref().map(|(next, _)| system.rates(next));
        let size = taken.as_ref().map_or(f64::NAN, |(_, error)| error_size(system.scale(), error, control.share));
        let finite = next_rates.is_some_and(|rates| rates.iter().all(|rate| rate.is_finite()));
        let (Some((next, _)), Some(next_rates), true) = (taken, next_rates, finite && size <= 1.0) else {
            // with the matrix of this very place the step is as good as it can be
            age = if age > 0 { MATRIX_SERVES } else { age };
            length = h * if size.is_finite() && finite { (0.8 / size.sqrt()).clamp(0.1, 0.8) } else { 0.2 };
            if length < SHORTEST {
                return Err(stopped(time, state, &rates));
            }
            continue;
        };
        let then = if h == whole { end } else { time + h };
        let past = Past::new([time, then], [state, &next], [&rates, &next_rates]);
        watch(&Stretch { start: time, end: then, past: &past, order: 3, ends_in_event: false });
        time = then;
        length = h * (0.8 / size.max(1e-4).sqrt()).clamp(0.3, 3.0);
        (*state, rates) = (next, next_rates);
        age += 1;
    }
    Err(Failure::Stuck { time })
}

fn stopped<const N: usize>(time: f64, state: &[f64; N], rates: &[f64; N]) -> Failure {
    match (0..N).find(|&i| !state[i].is_finite() || !rates[i].is_finite()) {
        Some(state) => Failure::NotFinite { time, state },
        None => Failure::Stuck { time },
    }
}

fn error_size<const N: usize>(scale: &[f64; N], error: &[f64; N], share: f64) -> f64 {
    let mut size: f64 = 0.0;
    for (error, scale) in error.iter().zip(scale) {
        let here = error.abs() / (share * scale);
        if here.is_nan() {
            return f64::NAN;
        }
        size = size.max(here);
    }
    size
}

/// The Jacobian, and what follows from it for one step length.
struct Matrix<const N: usize> {
    jacobian: [[f64; N]; N],
    factors: [[f64; N]; N],
    order: [usize; N],
    /// Step length of the factors, s.
    factored: f64,
}

impl<const N: usize> Matrix<N> {
    fn new() -> Self {
        Self { jacobian: [[0.0; N]; N], factors: [[0.0; N]; N], order: [0; N], factored: 0.0 }
    }

    fn find(&mut self, system: &impl Stores<N>, state: &[f64; N], rates: &[f64; N]) {
        for column in 0..system.acting() {
            let step = DIFFERENCE * (state[column].abs() + system.scale()[column]);
            let mut moved = *state;
            moved[column] += step;
            let there = system.rates(&moved);
            for row in 0..N {
                self.jacobian[row][column] = (there[row] - rates[row]) / step;
            }
        }
        self.factored = 0.0;
    }

    /// Factorise 1 − γ h J over the states that act, with row exchanges; false if it cannot be done.
    fn factorise(&mut self, acting: usize, h: f64) -> bool {
        if self.factored == h {
            return true;
        }
        self.factored = h;
        let a = &mut self.factors;
        for (row, (into, from)) in a.iter_mut().zip(&self.jacobian).enumerate().take(acting) {
            for (into, from) in into.iter_mut().zip(from).take(acting) {
                *into = -GAMMA * h * from;
            }
            into[row] += 1.0;
        }
        for column in 0..acting {
            let pivot =
                (column..acting).max_by(|&x, &y| a[x][column].abs().total_cmp(&a[y][column].abs())).unwrap_or(column);
            a.swap(column, pivot);
            self.order[column] = pivot;
            let diagonal = a[column][column];
            if !diagonal.is_finite() || diagonal == 0.0 {
                self.factored = 0.0;
                return false;
            }
            let (above, below) = a.split_at_mut(column + 1);
            let pivot_row = &above[column];
            for row in below.iter_mut().take(acting - column - 1) {
                let factor = row[column] / diagonal;
                row[column] = factor;
                if factor != 0.0 {
                    for (entry, over) in row.iter_mut().zip(pivot_row).take(acting).skip(column + 1) {
                        *entry -= factor * over;
                    }
                }
            }
        }
        true
    }

    /// Solve (1 − γ h J) k = right-hand side in place.
    fn solve(&self, acting: usize, h: f64, k: &mut [f64; N]) {
        // factors are exchanged whole, multipliers and all: exchange the right-hand side first
        for row in 0..acting {
            k.swap(row, self.order[row]);
        }
        for row in 0..acting {
            for column in 0..row {
                k[row] -= self.factors[row][column] * k[column];
            }
        }
        for row in (0..acting).rev() {
            for column in row + 1..acting {
                k[row] -= self.factors[row][column] * k[column];
            }
            k[row] /= self.factors[row][row];
        }
        for row in acting..N {
            let sum: f64 = (0..acting).map(|column| self.jacobian[row][column] * k[column]).sum();
            k[row] += GAMMA * h * sum;
        }
    }

    /// One step: the new state, and its difference from the first-order solution inside it.
    fn step(
        &mut self,
        system: &impl Stores<N>,
        state: &[f64; N],
        rates: &[f64; N],
        h: f64,
    ) -> Option<([f64; N], [f64; N])> {
        let acting = system.acting();
        if !self.factorise(acting, h) {
            return None;
        }
        let mut first = *rates;
        self.solve(acting, h, &mut first);
        let inner = std::array::from_fn(|i| state[i] + h * first[i]);
        if !system.possible(&inner) {
            return None;
        }
        let there = system.rates(&inner);
        let mut second = std::array::from_fn(|i| there[i] - 2.0 * first[i]);
        self.solve(acting, h, &mut second);
        let next = std::array::from_fn(|i| state[i] + h * (1.5 * first[i] + 0.5 * second[i]));
        let error = std::array::from_fn(|i| 0.5 * h * (first[i] + second[i]));
        system.possible(&next).then_some((next, error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two stores and what leaves them: stiff, with a known end.
    struct Pair;

    impl Stores<3> for Pair {
        fn rates(&self, s: &[f64; 3]) -> [f64; 3] {
            let between = 50.0 * (s[0] - s[1]);
            let out = 0.1 * s[1];
            [-between, between - out, out]
        }

        fn acting(&self) -> usize {
            2
        }

        fn scale(&self) -> &[f64; 3] {
            &[1.0; 3]
        }
    }

    fn end(share: f64) -> [f64; 3] {
        let mut state = [1.0, 0.0, 0.0];
        integrate(&Pair, (0.0, 20.0), &mut state, Control { share, longest: 20.0 }, |_| {}).expect("runs");
        state
    }

    #[test]
    fn what_leaves_is_what_is_missing_to_rounding() {
        let state = end(1e-3);
        assert!((state.iter().sum::<f64>() - 1.0).abs() < 1e-10, "{state:?}");
    }

    /// Eigenvalues of the pair: the slow one decays as 0.1/2 per second, nearly; exact by the quadratic formula.
    #[test]
    fn agrees_with_the_matrix_exponential() {
        let (a, b) = (100.1_f64, 5.0_f64);
        let root = (a * a - 4.0 * b).sqrt();
        let (slow, fast) = (0.5 * (root - a), -0.5 * (root + a));
        // s0 = A e^slow t + B e^fast t with s0(0) = 1, s0'(0) = −50
        let amplitude = (-50.0 - fast) / (slow - fast);
        let exact = amplitude * (20.0 * slow).exp();
        let (rough, fine) = ((end(1e-3)[0] - exact).abs(), (end(1e-5)[0] - exact).abs());
        assert!(rough < 1e-3 && fine < 0.03 * rough.max(1e-5), "{rough:.2e} {fine:.2e}");
    }
}
