//! Exact fractions, by halving.

use std::fmt;

use num_rational::Ratio;
use thiserror::Error;

/// Why a fraction is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum FractionError {
    /// Nothing is divided by nothing.
    #[error("a fraction over 0; below the line stands 2, 4, 8, 16, 32 or 64")]
    OverNothing,
    /// Not made by halving.
    #[error("a fraction over {0}; only halving is exact: below the line stands 2, 4, 8, 16, 32 or 64")]
    NotHalved(u32),
    /// The fraction after a whole number is one or more.
    #[error("{0}/{1} after a whole number must be less than 1; add the whole of it to the number")]
    NotProper(u32, u32),
    /// More than anyone counts.
    #[error("a number over 1000000; say a smaller one")]
    TooMany,
}

/// A number of halves, quarters and so on to sixty-fourths, from 0 to
/// 1,000,000: exact, and exact still as an `f64`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fraction(Ratio<u32>);

impl Fraction {
    /// The finest part.
    pub const FINEST: u32 = 64;
    /// The greatest whole number.
    pub const MOST: u32 = 1_000_000;

    /// So many parts of that fineness: 3 over 4.
    ///
    /// # Errors
    /// Refuses parts that are not made by halving, down to 1/64, and more than
    /// 1,000,000.
    pub fn new(over: u32, under: u32) -> Result<Self, FractionError> {
        if under == 0 {
            return Err(FractionError::OverNothing);
        }
        if !under.is_power_of_two() || under > Self::FINEST {
            return Err(FractionError::NotHalved(under));
        }
        let ratio = Ratio::new(over, under);
        if ratio > Ratio::from(Self::MOST) {
            return Err(FractionError::TooMany);
        }
        Ok(Self(ratio))
    }

    /// A whole number and a fraction less than 1: 2 and 1 over 2.
    ///
    /// # Errors
    /// As [`Fraction::new`]; and a fraction of 1 or more.
    pub fn mixed(whole: u32, over: u32, under: u32) -> Result<Self, FractionError> {
        // Refuses what is wrong with the fraction by itself.
        Self::new(over, under)?;
        if over >= under {
            return Err(FractionError::NotProper(over, under));
        }
        let over = whole.checked_mul(under).and_then(|parts| parts.checked_add(over));
        Self::new(over.ok_or(FractionError::TooMany)?, under)
    }

    /// The nearest sixteenth, halves upward; what is not from 0 to 1,000,000
    /// is taken to the nearer end.
    pub fn nearest_sixteenth(value: f64) -> Self {
        let value = value.clamp(0.0, f64::from(Self::MOST));
        // At most 16 million, well inside a u32.
        Self(Ratio::new((value * 16.0).round() as u32, 16))
    }

    /// The same number, exactly.
    pub fn value(self) -> f64 {
        f64::from(*self.0.numer()) / f64::from(*self.0.denom())
    }

    /// Whether it is 0.
    pub fn is_nothing(self) -> bool {
        *self.0.numer() == 0
    }
}

/// Shows it as it is called out: `2 1/2`, `3/4`, `4`.
impl fmt::Display for Fraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0.to_integer(), self.0.fract()) {
            (whole, part) if *part.numer() == 0 => write!(f, "{whole}"),
            (0, part) => write!(f, "{part}"),
            (whole, part) => write!(f, "{whole} {part}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_fraction_is_told_in_its_lowest_terms() {
        assert_eq!(Fraction::mixed(2, 2, 4).unwrap().to_string(), "2 1/2");
        assert_eq!(Fraction::new(12, 16).unwrap().to_string(), "3/4");
        assert_eq!(Fraction::new(64, 16).unwrap().to_string(), "4");
        assert_eq!(Fraction::new(0, 8).unwrap().to_string(), "0");
    }

    #[test]
    fn only_halving_is_exact() {
        assert_eq!(Fraction::new(1, 3), Err(FractionError::NotHalved(3)));
        assert_eq!(Fraction::new(1, 128), Err(FractionError::NotHalved(128)));
        assert_eq!(Fraction::new(1, 0), Err(FractionError::OverNothing));
        assert_eq!(Fraction::mixed(2, 5, 4), Err(FractionError::NotProper(5, 4)));
        assert_eq!(Fraction::mixed(u32::MAX, 1, 2), Err(FractionError::TooMany));
        assert_eq!(Fraction::new(u32::MAX, 1), Err(FractionError::TooMany));
    }

    proptest! {
        #[test]
        fn halving_and_doubling_loses_nothing(whole in 0_u32..1_000_000, over in 0_u32..64) {
            let fraction = Fraction::mixed(whole, over, 64).unwrap();
            prop_assert_eq!(fraction.value(), f64::from(whole) + f64::from(over) / 64.0);
        }

        #[test]
        fn the_nearest_sixteenth_is_within_a_thirty_second(value in 0.0..1e6_f64) {
            let nearest = Fraction::nearest_sixteenth(value);
            prop_assert!((nearest.value() - value).abs() <= 1.0 / 32.0);
        }
    }
}
