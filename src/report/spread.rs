//! Places for names that would stand on each other.

/// Heights no nearer to each other than `pitch`, each as near to its wish as its neighbours let it, within a range as far
/// as that holds them all. The order of the wishes is kept.
pub fn apart(wishes: &[f64], pitch: f64, (least, most): (f64, f64)) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|a, b| wishes[*a].total_cmp(&wishes[*b]));
    let mut places = vec![0.0; wishes.len()];
    let mut free = f64::NEG_INFINITY;
    for (rank, index) in order.iter().enumerate() {
        // what stands below needs its room too
        let latest = most - (order.len() - 1 - rank) as f64 * pitch;
        let place = wishes[*index].clamp(least, most.max(least)).min(latest).max(free).max(least);
        places[*index] = place;
        free = place + pitch;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_apart_in_their_order() {
        let places = apart(&[5.0, 5.1, 90.0, 4.9], 10.0, (0.0, 100.0));
        assert_eq!(places, [14.9, 24.9, 90.0, 4.9]);
    }

    #[test]
    fn names_at_the_end_move_up_and_stay_inside() {
        assert_eq!(apart(&[99.0, 99.5, 100.0], 10.0, (0.0, 100.0)), [80.0, 90.0, 100.0]);
    }

    #[test]
    fn more_names_than_there_is_room_for_still_stand_apart() {
        let places = apart(&[0.0; 5], 10.0, (0.0, 20.0));
        assert!(places.windows(2).all(|pair| pair[1] - pair[0] >= 10.0), "{places:?}");
    }
}
