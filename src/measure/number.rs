//! Numbers as they are called out: `344`, `3.44`, `3,44`, `3/4`, `2 1/2`, `2½`.

use super::fraction::{Fraction, FractionError};
use super::pieces::{Kind, Pieces};
use super::refusal::{NotUnderstood, Place};

/// A number, how it is shown, and where it was said.
#[derive(Debug)]
pub(super) struct Number {
    /// 0 or more, finite.
    pub value: f64,
    /// As it was understood; understood again, it is the same value.
    pub shown: String,
    pub place: Place,
}

/// Takes a number, with its fraction.
///
/// # Errors
/// Refuses what is not a number, and fractions not made by halving.
pub(super) fn number(pieces: &mut Pieces<'_>) -> Result<Number, NotUnderstood> {
    let start = pieces.here();
    let first = match pieces.peek() {
        Some(Kind::Number(digits)) => digits,
        Some(Kind::Halves(over, under)) => {
            pieces.take();
            return fraction(start, Fraction::new(over, under));
        }
        Some(_) => return Err(start.refused("a number should stand here, such as 2 1/2 or 3.44")),
        None => return Err(start.refused("a number is missing; say one, such as 2 1/2 or 3.44")),
    };
    pieces.take();
    if pieces.take_if(Kind::Slash) {
        let over = whole(first, start)?;
        let (under, end) = under(pieces)?;
        return fraction(start.to(end), Fraction::new(over, under));
    }
    let here = pieces.here();
    match (pieces.peek(), pieces.peek_second()) {
        (Some(Kind::Halves(over, under)), _) => {
            let whole = whole(first, start)?;
            pieces.take();
            fraction(start.to(here), Fraction::mixed(whole, over, under))
        }
        (Some(Kind::Number(over)), Some(Kind::Slash)) => {
            let (whole, over) = (whole(first, start)?, whole(over, here)?);
            pieces.take();
            pieces.take();
            let (under, end) = under(pieces)?;
            fraction(start.to(end), Fraction::mixed(whole, over, under))
        }
        _ => decimal(first, start),
    }
}

/// Takes the number below a fraction line.
fn under(pieces: &mut Pieces<'_>) -> Result<(u32, Place), NotUnderstood> {
    let place = pieces.here();
    let Some(Kind::Number(digits)) = pieces.peek() else {
        return Err(place.refused("a number is missing below the fraction line; say one, as in 1/2"));
    };
    pieces.take();
    Ok((whole(digits, place)?, place))
}

fn whole(digits: &str, place: Place) -> Result<u32, NotUnderstood> {
    if digits.contains(['.', ',']) {
        return Err(place.refused("a fraction goes with whole numbers; say 2 1/2 or 2.5, not both"));
    }
    let whole = digits.parse().ok().filter(|whole| *whole <= Fraction::MOST);
    whole.ok_or_else(|| place.refused(FractionError::TooMany.to_string()))
}

fn fraction(place: Place, fraction: Result<Fraction, FractionError>) -> Result<Number, NotUnderstood> {
    let fraction = fraction.map_err(|why| place.refused(why.to_string()))?;
    Ok(Number { value: fraction.value(), shown: fraction.to_string(), place })
}

fn decimal(digits: &str, place: Place) -> Result<Number, NotUnderstood> {
    let mut shown = digits.replace(',', ".").trim_start_matches('0').to_owned();
    if shown.is_empty() || shown.starts_with('.') {
        shown.insert(0, '0');
    }
    let value = shown.parse().map_err(|_| place.refused("not a number; say one, such as 3.44"))?;
    Ok(Number { value, shown, place })
}
