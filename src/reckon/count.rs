//! How many: rounding up to whole things.

use serde::Serializer;

/// The least whole number not below `x`; 1e-9 over a whole number is forgiven,
/// so that a length which divides evenly is not cut one time more.
#[must_use]
pub fn round_up(x: f64) -> f64 {
    // Adding 0 turns the negative zero of ceil into an ordinary one.
    (x - 1e-9).ceil() + 0.0
}

/// Writes a whole number without a fraction, as long as every whole number of
/// its size can be held.
///
/// # Errors
/// What the serializer refuses.
pub fn whole<S: Serializer>(number: &f64, to: S) -> Result<S::Ok, S::Error> {
    const EXACT: f64 = (1_u64 << 53) as f64;
    if (0.0..=EXACT).contains(number) && number.fract() == 0.0 {
        to.serialize_u64(*number as u64)
    } else {
        to.serialize_f64(*number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_even_division_is_not_rounded_up_once_more() {
        assert_eq!(0.3 / 0.1, 2.9999999999999996);
        assert_eq!(round_up(0.3 / 0.1), 3.0);
        assert_eq!(round_up(0.7 / 0.1 + 4e-16), 7.0);
        assert_eq!(round_up(3.0 + 2e-9), 4.0);
        assert!(round_up(0.0).is_sign_positive());
    }

    #[test]
    fn whole_numbers_are_written_without_a_point() {
        let said = |n: f64| whole(&n, serde_json::value::Serializer).unwrap().to_string();
        assert_eq!(said(12.0), "12");
        assert_eq!(said(1e30), "1e+30");
    }
}
