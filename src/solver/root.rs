//! Roots by a bracket that cannot fail.

/// A root of `f` between `low` and `high`, whose values must differ in sign (or be zero), to `tolerance` in x:
/// bisection steered by false position (Illinois variant). Without a change of sign, the end with the smaller value.
pub fn bracketed(mut low: f64, mut high: f64, tolerance: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mut at_low, mut at_high) = (f(low), f(high));
    if at_low == 0.0 || at_low.signum() == at_high.signum() {
        return if at_low.abs() <= at_high.abs() { low } else { high };
    }
    for turn in 0..200 {
        if (high - low).abs() <= tolerance {
            break;
        }
        let secant = high - at_high * (high - low) / (at_high - at_low);
        let inside = secant > low.min(high) && secant < low.max(high);
        let x = if turn % 3 == 2 || !inside { 0.5 * (low + high) } else { secant };
        let at = f(x);
        if at == 0.0 {
            return x;
        }
        if at.signum() == at_high.signum() {
            at_low *= 0.5;
        } else {
            low = high;
            at_low = at_high;
        }
        (high, at_high) = (x, at);
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    #[test]
    fn finds_a_cube_root() {
        let root = super::bracketed(0.0, 3.0, 1e-12, |x| x * x * x - 2.0);
        assert!((root - 2f64.cbrt()).abs() < 1e-11);
    }
}
