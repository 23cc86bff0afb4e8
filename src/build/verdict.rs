//! What a reading makes of its point.

use super::stage::{Goal, Point, PointKind};
use crate::measure::told;

/// What can be said of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Not read.
    Unread,
    /// Read, and as it should be.
    True,
    /// Read, and not as it should be.
    Out,
    /// Read, but something since makes it uncertain.
    Doubtful,
}

impl Verdict {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unread => "unread",
            Self::True => "true",
            Self::Out => "out",
            Self::Doubtful => "doubtful",
        }
    }
}

/// Rounding in the last place never puts a reading out, m.
const FORGIVEN: f64 = 1e-9;

/// Judges a value against a point's goal: the verdict and, where it helps,
/// a word on it.
#[must_use]
pub fn judge(point: &Point, value: f64) -> (Verdict, Option<String>) {
    match point.goal {
        Goal::Near { target, tolerance } => {
            let off = value - target;
            if off.abs() <= tolerance + FORGIVEN {
                return (Verdict::True, None);
            }
            let allowed = amount(point.kind, tolerance);
            (Verdict::Out, Some(format!("{} is allowed", allowed.trim_start_matches('+'))))
        }
        Goal::NotLess { target } => {
            if value >= target - FORGIVEN {
                return (Verdict::True, None);
            }
            let less = amount(point.kind, target - value);
            let word = if point.kind == PointKind::Count { "too few" } else { "too little" };
            (Verdict::Out, Some(format!("{} {word}", less.trim_start_matches('+'))))
        }
        Goal::Told { warn_above: Some(limit) } if value > limit + FORGIVEN => {
            let limit = amount(point.kind, limit);
            (Verdict::True, Some(format!("above {}: think it over", limit.trim_start_matches('+'))))
        }
        Goal::Told { .. } => (Verdict::True, None),
        Goal::Yes if value >= 1.0 => (Verdict::True, None),
        Goal::Yes => (Verdict::Out, Some("answered no".to_owned())),
    }
}

/// An amount with its sign and unit, short: millimetres up to a metre.
#[must_use]
pub fn amount(kind: PointKind, value: f64) -> String {
    match kind {
        PointKind::Count | PointKind::YesNo => format!("{value:+.0}"),
        PointKind::Angle => format!("{value:+.1}°"),
        _ if value.abs() < 0.9995 => told::signed_millimetres(value),
        _ => format!("{value:+.2} m"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_at_its_tolerance_is_true() {
        let point = Point::near("ab", "a-b side", 7.0, 0.035);
        assert_eq!(judge(&point, 7.035).0, Verdict::True);
        assert_eq!(judge(&point, 6.965).0, Verdict::True);
        assert_eq!(judge(&point, 7.0351), (Verdict::Out, Some("35 mm is allowed".to_owned())));
    }

    #[test]
    fn more_than_enough_is_true() {
        let point = Point::count("turns", "turns", 3);
        assert_eq!(judge(&point, 5.0).0, Verdict::True);
        assert_eq!(judge(&point, 3.0).0, Verdict::True);
        assert_eq!(judge(&point, 2.0).0, Verdict::Out);
    }

    #[test]
    fn a_fall_above_the_limit_is_told_and_warned_of() {
        let point = Point::told("fall", "fall", PointKind::Length, Some(0.3));
        assert_eq!(judge(&point, 0.3), (Verdict::True, None));
        assert!(judge(&point, 0.31).1.is_some());
    }
}
