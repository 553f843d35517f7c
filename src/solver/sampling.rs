//! Points spread over a cube of many dimensions: the same ones every time for the same seed.

/// Pseudo-random numbers: splitmix64 of Steele, Lea and Flood, *OOPSLA* 2014, constants from memory.
#[derive(Debug, Clone)]
pub struct Random(u64);

impl Random {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// The next number from 0 up to but without 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// 0 to `count` − 1 in some order.
    pub fn order(&mut self, count: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..count).collect();
        for last in (1..count).rev() {
            order.swap(last, (self.unit() * (last + 1) as f64) as usize);
        }
        order
    }
}

/// A Latin square of points (McKay, Beckman and Conover, *Technometrics* 21 (1979) 239): in every dimension each of
/// `count` equal parts of 0 to 1 holds one point.
pub fn latin(count: usize, dimensions: usize, seed: u64) -> Vec<Vec<f64>> {
    let mut random = Random::new(seed);
    let mut points = vec![Vec::with_capacity(dimensions); count];
    for _ in 0..dimensions {
        for (point, part) in points.iter_mut().zip(random.order(count)) {
            point.push((part as f64 + random.unit()) / count as f64);
        }
    }
    points
}

/// Bases of the Halton sequence, one a dimension.
const PRIMES: [usize; 12] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37];

/// Most dimensions of [`Spread`].
pub const MOST_DIMENSIONS: usize = PRIMES.len();

/// Points that fill a cube evenly however many are taken: the sequence of Halton, *Numerische Mathematik* 2 (1960) 84,
/// with the digits of each base in an order drawn from a seed, which undoes the stripes of large bases.
#[derive(Debug, Clone)]
pub struct Spread {
    digits: Vec<Vec<usize>>,
    next: usize,
}

impl Spread {
    /// For at most [`MOST_DIMENSIONS`]; more are left out.
    pub fn new(dimensions: usize, seed: u64) -> Self {
        let mut random = Random::new(seed);
        let digits = PRIMES.iter().take(dimensions).map(|base| random.order(*base)).collect();
        Self { digits, next: 1 }
    }

    /// The next point; every coordinate is above 0 and below 1.
    pub fn point(&mut self) -> Vec<f64> {
        let place = self.next;
        self.next += 1;
        self.digits.iter().map(|digits| radical_inverse(place, digits)).collect()
    }
}

/// The digits of `place`, each exchanged for another, written behind the point.
fn radical_inverse(mut place: usize, digits: &[usize]) -> f64 {
    let base = digits.len();
    let (mut value, mut weight) = (0.0, 1.0);
    // so many digits that what follows is below rounding; leading zeros are exchanged as well
    while weight > 1e-12 {
        weight /= base as f64;
        value += digits[place % base] as f64 * weight;
        place /= base;
    }
    value.clamp(1e-12, 1.0 - 1e-12)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_of_a_latin_square_holds_one_point() {
        let points = latin(16, 5, 7);
        for dimension in 0..5 {
            let mut parts: Vec<usize> = points.iter().map(|point| (point[dimension] * 16.0) as usize).collect();
            parts.sort_unstable();
            assert_eq!(parts, (0..16).collect::<Vec<_>>());
        }
        assert_eq!(points, latin(16, 5, 7));
        assert_ne!(points, latin(16, 5, 8));
    }

    /// The first b^k points of base b hold one point in each of b^k parts, whatever the order of the digits.
    #[test]
    fn spread_points_fill_every_part() {
        let mut spread = Spread::new(2, 3);
        let mut points: Vec<Vec<f64>> = (0..36).map(|_| spread.point()).collect();
        assert!(points.iter().flatten().all(|value| (0.0..1.0).contains(value)));
        points.truncate(27);
        let mut thirds = [0; 9];
        // a point on a boundary belongs above it, whatever rounding says
        points.iter().for_each(|point| thirds[(point[1] * 9.0 + 1e-9) as usize] += 1);
        assert_eq!(thirds, [3; 9]);
    }
}
