//! Answers that are not lengths: counts, angles, yes and no.

use std::ops::RangeInclusive;

use super::number::number;
use super::pieces::{Kind, Pieces};
use super::refusal::{NotUnderstood, Place};

/// The greatest count.
pub const MOST_COUNT: u32 = 1_000_000;

/// Understands a count of things within a range that ends at [`MOST_COUNT`] or
/// before.
///
/// # Errors
/// Refuses all but a whole number of the range in plain digits, with its place.
pub fn understand_count(text: &str, range: RangeInclusive<u32>) -> Result<u32, NotUnderstood> {
    let mut pieces = Pieces::cut(text)?;
    let place = pieces.here();
    let digits = match pieces.peek() {
        Some(Kind::Number(digits)) if !digits.contains(['.', ',']) => digits,
        Some(_) => return Err(place.refused("a count is a whole number in plain digits, such as 40")),
        None => return Err(place.refused("nothing was said; say a count, such as 40")),
    };
    pieces.take();
    pieces.finished()?;
    let count = digits.parse().ok().filter(|count| range.contains(count));
    count.ok_or_else(|| {
        let (least, most) = range.into_inner();
        place.refused(format!("out of range; a count from {least} to {most} would do"))
    })
}

/// Understands an angle in degrees within the range: `45`, `45 deg`, `-2 1/2°`.
///
/// # Errors
/// Refuses what is not an angle or lies outside the range, with its place.
pub fn understand_angle(text: &str, range_deg: RangeInclusive<f64>) -> Result<f64, NotUnderstood> {
    let mut pieces = Pieces::cut(text)?;
    let start = pieces.here();
    let sign = pieces.take_sign();
    let number = number(&mut pieces)?;
    let is_degrees = match pieces.peek() {
        Some(Kind::Degree) => true,
        Some(Kind::Word(word)) => {
            ["deg", "degree", "degrees"].iter().any(|known| known.eq_ignore_ascii_case(word))
        }
        _ => false,
    };
    if is_degrees {
        pieces.take();
    }
    pieces.finished()?;
    // Subtracted from 0, so that nothing is never -0.
    let degrees = if sign.is_some_and(|(minus, _)| minus) { 0.0 - number.value } else { number.value };
    if !range_deg.contains(&degrees) {
        let (least, most) = range_deg.into_inner();
        return Err(start.to(number.place).refused(format!("out of range; say {least} to {most} degrees")));
    }
    Ok(degrees)
}

/// Understands yes and no: `yes`, `y`, `true`, `no`, `n`, `false`.
///
/// # Errors
/// Refuses everything else.
pub fn understand_yes_no(text: &str) -> Result<bool, NotUnderstood> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" | "true" => Ok(true),
        "no" | "n" | "false" => Ok(false),
        _ => Err(Place { at: 0, len: text.chars().count() }.refused("neither yes nor no; say yes or no")),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_count_is_a_whole_number_in_plain_digits() {
        assert_eq!(understand_count("40", 0..=MOST_COUNT), Ok(40));
        assert_eq!(understand_count(" 0 ", 0..=MOST_COUNT), Ok(0));
        assert_eq!(understand_count("1000000", 0..=MOST_COUNT), Ok(MOST_COUNT));
        for (text, at, len) in [
            ("", 0, 0),
            ("1000001", 0, 7),
            ("99999999999999999999", 0, 20),
            ("1.5", 0, 3),
            ("1,000", 0, 5),
            ("-1", 0, 1),
            ("½", 0, 1),
            ("4 0", 2, 1),
            ("40 panels", 3, 6),
            ("４０", 0, 1),
        ] {
            let refusal = understand_count(text, 0..=MOST_COUNT).unwrap_err();
            assert_eq!((refusal.at, refusal.len), (at, len), "{}", refusal.pointed(text));
        }
    }

    #[test]
    fn an_angle_is_in_degrees_and_in_the_range_asked_for() {
        for (text, degrees) in [
            ("45", 45.0),
            ("45 deg", 45.0),
            ("45°", 45.0),
            ("−2 1/2 degrees", -2.5),
            ("+7,5", 7.5),
            ("-0", 0.0),
        ] {
            let understood = understand_angle(text, -360.0..=360.0).unwrap();
            assert_eq!(understood, degrees, "{text}");
            assert!(understood != 0.0 || understood.is_sign_positive(), "{text}");
        }
        for (text, at, len) in [
            ("", 0, 0),
            ("-1", 0, 2),
            ("90.5°", 0, 4),
            ("45 m", 3, 1),
            ("45° 30", 4, 2),
            ("45°°", 3, 1),
            ("-", 1, 0),
        ] {
            let refusal = understand_angle(text, 0.0..=90.0).unwrap_err();
            assert_eq!((refusal.at, refusal.len), (at, len), "{}", refusal.pointed(text));
        }
        let refusal = understand_angle("91", 0.0..=90.0).unwrap_err();
        assert_eq!(refusal.pointed("91"), "\"91\": at 1, out of range; say 0 to 90 degrees");
    }

    #[test]
    fn yes_and_no_are_understood_in_capitals_or_not() {
        for (text, answer) in
            [("yes", true), ("Y", true), (" true ", true), ("no", false), ("N", false), ("FALSE", false)]
        {
            assert_eq!(understand_yes_no(text), Ok(answer), "{text}");
        }
        for text in ["", "maybe", "yes no", "1", "ｙ"] {
            let refusal = understand_yes_no(text).unwrap_err();
            assert_eq!((refusal.at, refusal.len), (0, text.chars().count()), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_answer_stops_the_book(text in any::<String>()) {
            let chars = text.chars().count();
            let refusals = [
                understand_count(&text, 0..=MOST_COUNT).err(),
                understand_angle(&text, -360.0..=360.0).err(),
                understand_yes_no(&text).err(),
            ];
            for refusal in refusals.into_iter().flatten() {
                prop_assert!(refusal.at + refusal.len <= chars, "{refusal:?} in {text:?}");
            }
        }
    }
}
