//! Roots by a bracket that cannot fail.

/// A root of `f` between `low` and `high`, whose values must differ in sign (or be zero), to `tolerance` in x.
/// Without a change of sign, the end with the smaller value. `f` is evaluated on both sides of the root, within the
/// tolerance of it.
///
/// Chandrupatla, *Advances in Engineering Software* 28 (1997) 145: bisection, and inverse quadratic interpolation
/// where that is sure to help.
pub fn bracketed(low: f64, high: f64, tolerance: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mut old, mut at_old) = (low, f(low));
    let (mut new, mut at_new) = (high, f(high));
    if at_old == 0.0 || at_new == 0.0 || at_old.signum() == at_new.signum() {
        return if at_old.abs() <= at_new.abs() { old } else { new };
    }
    let mut share = 0.5;
    for _ in 0..200 {
        let x = new + share * (old - new);
        let at = f(x);
        let (third, at_third);
        if at.signum() == at_new.signum() {
            (third, at_third) = (new, at_new);
        } else {
            (third, at_third) = (old, at_old);
            (old, at_old) = (new, at_new);
        }
        (new, at_new) = (x, at);
        let limit = tolerance / (old - new).abs();
        if limit > 0.5 || at == 0.0 {
            break;
        }
        let xi = (new - old) / (third - old);
        let phi = (at_new - at_old) / (at_third - at_old);
        share = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            at_new / (at_old - at_new) * at_third / (at_old - at_third)
                + (third - new) / (old - new) * at_new / (at_third - at_new) * at_old / (at_third - at_old)
        } else {
            0.5
        };
        share = share.clamp(limit, 1.0 - limit);
    }
    if at_new.abs() <= at_old.abs() { new } else { old }
}

#[cfg(test)]
mod tests {
    use super::bracketed;

    #[test]
    fn finds_a_cube_root_in_few_evaluations() {
        let mut count = 0;
        let root = bracketed(0.0, 3.0, 1e-12, |x| {
            count += 1;
            x * x * x - 2.0
        });
        assert!((root - 2f64.cbrt()).abs() < 1e-11);
        assert!(count < 16, "{count} evaluations");
    }

    #[test]
    fn a_jump_is_a_root() {
        let root = bracketed(0.0, 1.0, 1e-9, |x| if x < 0.3 { -1.0 } else { 5.0 });
        assert!((root - 0.3).abs() < 1e-8);
    }

    #[test]
    fn no_change_of_sign_gives_the_better_end() {
        assert_eq!(bracketed(1.0, 2.0, 1e-9, |x| x), 1.0);
    }
}
