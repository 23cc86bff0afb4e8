//! A length.

use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a number is not a length.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum LengthError {
    /// Neither infinity nor what is not a number is a length.
    #[error("a length must be a finite number of metres")]
    NotFinite,
    /// Less than nothing, or longer than anything the book is for.
    #[error("{0} m is out of range; a length is from 0 to 1000 m")]
    OutOfRange(f64),
}

/// A length of 0 to 1,000 m, both taken in.
///
/// In JSON it is the bare number of metres, checked when it is read.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Metres(f64);

impl Metres {
    /// The longest length.
    pub const MOST: Self = Self(1000.0);

    /// Takes a number of metres for a length.
    ///
    /// # Errors
    /// Refuses what is not finite or lies outside 0 to 1,000 m.
    pub fn new(metres: f64) -> Result<Self, LengthError> {
        if !metres.is_finite() {
            return Err(LengthError::NotFinite);
        }
        if !(0.0..=Self::MOST.0).contains(&metres) {
            return Err(LengthError::OutOfRange(metres));
        }
        // The one thing this changes is -0.
        Ok(Self(metres.abs()))
    }

    /// The number of metres.
    pub const fn get(self) -> f64 {
        self.0
    }

    /// Both lengths end to end.
    ///
    /// # Errors
    /// Refuses a sum over 1,000 m.
    pub fn plus(self, other: Self) -> Result<Self, LengthError> {
        Self::new(self.0 + other.0)
    }

    /// The length so many times.
    ///
    /// # Errors
    /// Refuses a product that is not finite or lies outside 0 to 1,000 m.
    pub fn times(self, factor: f64) -> Result<Self, LengthError> {
        Self::new(self.0 * factor)
    }

    /// How much longer this is than the other, in metres; less than 0 when it
    /// is the shorter. Rounded as in [`difference_m`].
    pub fn less(self, other: Self) -> f64 {
        difference_m(self.0, other.0)
    }
}

/// The first number of metres less the second, to a nanometre: so 0.3 m less
/// 0.295 m is 5 mm and not 5.000000000000004 mm, which a tolerance of 5 mm
/// would refuse. Never -0.
pub fn difference_m(first_m: f64, second_m: f64) -> f64 {
    let nanometres = ((first_m - second_m) * 1e9).round();
    // Adding 0 turns -0 into 0.
    nanometres / 1e9 + 0.0
}

impl TryFrom<f64> for Metres {
    type Error = LengthError;

    fn try_from(metres: f64) -> Result<Self, LengthError> {
        Self::new(metres)
    }
}

impl From<Metres> for f64 {
    fn from(length: Metres) -> Self {
        length.0
    }
}

/// Shows metres to the millimetre: `3.440 m`.
impl fmt::Display for Metres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.3} m", self.0)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn metres(metres: f64) -> Metres {
        Metres::new(metres).unwrap()
    }

    #[test]
    fn a_length_is_finite_and_from_nothing_to_a_thousand_metres() {
        assert_eq!(metres(0.0).get(), 0.0);
        assert_eq!(metres(1000.0), Metres::MOST);
        assert_eq!(Metres::new(1000.1), Err(LengthError::OutOfRange(1000.1)));
        assert_eq!(Metres::new(-0.001), Err(LengthError::OutOfRange(-0.001)));
        assert_eq!(Metres::new(f64::INFINITY), Err(LengthError::NotFinite));
        assert_eq!(Metres::new(f64::NAN), Err(LengthError::NotFinite));
        assert!(metres(-0.0).get().is_sign_positive());
    }

    #[test]
    fn arithmetic_does_not_leave_the_range() {
        assert_eq!(metres(1.5).plus(metres(2.0)), Ok(metres(3.5)));
        assert!(metres(600.0).plus(metres(600.0)).is_err());
        assert_eq!(metres(1.742).times(4.0), Ok(metres(6.968)));
        assert!(metres(1.0).times(-1.0).is_err());
        assert!(metres(1.0).times(f64::NAN).is_err());
    }

    #[test]
    fn a_difference_on_the_tolerance_is_not_tipped_over_it() {
        assert_eq!(metres(0.3).less(metres(0.295)), 0.005);
        assert_eq!(metres(0.295).less(metres(0.3)), -0.005);
        assert!(metres(2.0).less(metres(2.0)).is_sign_positive());
        assert!(metres(0.1).less(metres(0.3 - 0.2)).is_sign_positive());
    }

    #[test]
    fn json_holds_the_bare_number_and_is_checked() {
        assert_eq!(serde_json::to_string(&metres(1.742)).unwrap(), "1.742");
        assert_eq!(serde_json::from_str::<Metres>("1.742").unwrap(), metres(1.742));
        assert!(serde_json::from_str::<Metres>("-1").is_err());
    }

    proptest! {
        #[test]
        fn what_is_longer_by_so_much_is_that_much_longer(a in 0.0..500.0_f64, by in 0.0..500.0_f64) {
            let longer = metres(a).plus(metres(by)).unwrap();
            // Half a nanometre of rounding, and the rounding of numbers under 1,000 twice over.
            prop_assert!((longer.less(metres(a)) - by).abs() < 1e-9);
        }
    }
}
