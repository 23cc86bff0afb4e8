//! Answers that are not lengths: counts, angles, yes and no.

use std::ops::RangeInclusive;

use super::number::number;
use super::pieces::{Kind, Pieces};
use super::refusal::{NotUnderstood, Place};

/// The greatest count.
pub const MOST_COUNT: u32 = 1_000_000;

/// Understands a count of 0 to 1,000,000 things.
///
/// # Errors
/// Refuses all but a whole number in plain digits, with its place.
pub fn understand_count(text: &str) -> Result<u32, NotUnderstood> {
    let mut pieces = Pieces::cut(text)?;
    let place = pieces.here();
    let digits = match pieces.peek() {
        Some(Kind::Number(digits)) if !digits.contains(['.', ',']) => digits,
        Some(_) => return Err(place.refused("a count is a whole number in plain digits, such as 40")),
        None => return Err(place.refused("nothing was said; say a count, such as 40")),
    };
    pieces.take();
    pieces.finished()?;
    let count = digits.parse().ok().filter(|count| *count <= MOST_COUNT);
    count.ok_or_else(|| place.refused(format!("too many; a count is from 0 to {MOST_COUNT}")))
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
