//! Lengths in metres inside, said and told the way people call them out.
//!
//! A measure belongs to a person: [`Body`] holds whose span it is and how
//! long its parts are. [`understand`] reads what was called out (`2 1/2 sp`,
//! `3.44 m`, `5' 4 1/2"`), [`told`] writes lengths back. What cannot be
//! understood is refused with its place and one plain line ([`NotUnderstood`]).
//!
//! Spans and inches are halved, and halved again: their fractions are exact
//! binary ones ([`Fraction`]), so halving a length never gathers error.

mod answers;
mod body;
mod fraction;
mod metres;
mod number;
mod pair;
mod pieces;
mod refusal;
mod said;
pub mod told;
mod unit;

pub use answers::{MOST_COUNT, understand_angle, understand_count, understand_yes_no};
pub use body::{Body, BodyError, Parts};
pub use fraction::{Fraction, FractionError};
pub use metres::{LengthError, Metres, difference_m};
pub use pair::{Pair, understand_pair};
pub use pieces::is_unseen;
pub use refusal::NotUnderstood;
pub use said::{Said, Speech, understand, understand_signed};
pub use unit::{Family, Unit};
