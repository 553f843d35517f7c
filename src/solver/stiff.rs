//! The few stiff columns of a Jacobian, in an order that solves by substitution.

/// A piece of the approximate Jacobian.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Piece {
    /// d rate\[row] / d state\[column], 1/s times the states' units.
    Entry { row: usize, column: usize, value: f64 },
    /// An oscillator: d place/dt = speed, d speed/dt = … + per_place · place + per_speed · speed.
    Oscillator { place: usize, speed: usize, per_place: f64, per_speed: f64 },
}

/// The stiff pieces of the Jacobian, in an order that solves by substitution: a column's diagonal first, then the
/// rest of that column, and an entry in a row before that row's own diagonal. Keep every row of a column that takes
/// part in a balance (what leaves one stock enters another), and balances hold to rounding.
#[derive(Debug, Clone, Default)]
pub struct Stiff {
    pieces: Vec<Piece>,
}

impl Stiff {
    /// Forget all pieces.
    pub fn clear(&mut self) {
        self.pieces.clear();
    }

    /// Add d rate\[row] / d state\[column].
    pub fn push(&mut self, row: usize, column: usize, value: f64) {
        self.pieces.push(Piece::Entry { row, column, value });
    }

    /// Add a part that swings: its speed is the rate of its place, and both act back on the speed.
    pub fn push_oscillator(&mut self, place: usize, speed: usize, per_place: f64, per_speed: f64) {
        self.pieces.push(Piece::Oscillator { place, speed, per_place, per_speed });
    }

    /// Solve (1 − g J) k = right-hand side in place, g in s.
    pub fn solve<const N: usize>(&self, g: f64, k: &mut [f64; N]) {
        for piece in &self.pieces {
            match *piece {
                Piece::Entry { row, column, value } if row == column => k[row] /= 1.0 - g * value,
                Piece::Entry { row, column, value } => k[row] += g * value * k[column],
                Piece::Oscillator { place, speed, per_place, per_speed } => {
                    let right = k[speed] + g * per_place * k[place];
                    k[speed] = right / (1.0 - g * per_speed - g * g * per_place);
                    k[place] += g * k[speed];
                }
            }
        }
    }
    /// Add step · J · vector.
    pub fn add_product<const N: usize>(&self, step: f64, vector: &[f64; N], into: &mut [f64; N]) {
        for piece in &self.pieces {
            match *piece {
                Piece::Entry { row, column, value } => into[row] += step * value * vector[column],
                Piece::Oscillator { place, speed, per_place, per_speed } => {
                    into[place] += step * vector[speed];
                    into[speed] += step * (per_place * vector[place] + per_speed * vector[speed]);
                }
            }
        }
    }
}
