//! A pole lying on its side, with the places where it is cut.

/// Draws a pole of some length in as many cells as its share of `cells`, the
/// length of the longest: its pieces one after another from the left, a mark
/// where each ends, dots where it is left over. Empty where there is no room.
#[must_use]
pub fn bole(pieces_m: &[f64], kerf_m: f64, length_m: f64, longest_m: f64, cells: usize) -> String {
    let scale = cells.saturating_sub(1) as f64 / longest_m;
    if !scale.is_finite() || scale <= 0.0 {
        return String::new();
    }
    // Within 0 to `cells`: the cast is exact.
    let cell = |metres: f64| ((metres * scale).round().max(0.0) as usize).min(cells.saturating_sub(1));
    let mut drawn = vec!['·'; cell(length_m) + 1];
    let mut at_m = 0.0;
    let mut from = 0;
    for piece in pieces_m {
        let to = cell(at_m + piece);
        for place in drawn.iter_mut().take(to).skip(from + 1) {
            *place = '─';
        }
        if let Some(end) = drawn.get_mut(to) {
            *end = '┼';
        }
        from = to;
        at_m += piece + kerf_m;
    }
    if let Some(end) = drawn.get_mut(from).filter(|_| !pieces_m.is_empty()) {
        *end = '┤';
    }
    if let Some(first) = drawn.first_mut() {
        *first = '├';
    }
    drawn.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pole_is_marked_where_it_is_cut() {
        assert_eq!(bole(&[2.6, 2.6], 0.005, 6.0, 6.0, 13), "├────┼────┤··");
        assert_eq!(bole(&[4.0], 0.005, 4.0, 8.0, 17), "├───────┤");
        assert_eq!(bole(&[1.0], 0.005, 4.0, 4.0, 9), "├─┤······");
    }

    #[test]
    fn a_drawing_never_runs_out_of_its_room() {
        for cells in 0..30 {
            for pieces in [&[][..], &[6.0], &[9.0, 9.0], &[0.01; 40]] {
                assert!(bole(pieces, 0.005, 6.0, 6.0, cells).chars().count() <= cells);
                assert!(bole(pieces, 0.005, 6.0, 0.0, cells).is_empty());
            }
        }
    }
}
