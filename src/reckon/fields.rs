//! Reading a topic's input: every key checked, every refusal with its place,
//! a JSON pointer (RFC 6901).

use std::collections::BTreeSet;
use std::fmt;

use serde_json::Value;
use thiserror::Error;

/// The most bytes of input a topic reads.
pub const MOST_BYTES: usize = 64 << 20;
/// The most things a list may hold unless a topic says otherwise.
pub const MOST_THINGS: usize = 10_000;
/// The longest and shortest length a topic takes, in metres.
pub const LENGTH_M: (f64, f64) = (1e-6, 1000.0);
/// The greatest count a topic takes.
pub const MOST_COUNT: u32 = 1_000_000;
/// The greatest of all other numbers.
pub const MOST: f64 = 1e12;
/// The least number that may stand below a fraction line.
pub const LEAST_DIVISOR: f64 = 1e-9;

/// Why a topic would not work with its input: the place and what would do.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{place}: {why}")]
pub struct Refusal {
    /// A JSON pointer to the place.
    pub place: String,
    /// What is wrong there and what would do.
    pub why: String,
}

impl Refusal {
    /// A refusal at a place.
    pub fn at(place: impl Into<String>, why: impl Into<String>) -> Self {
        Self { place: place.into(), why: why.into() }
    }
}

/// A pointer one step further in, with `~` and `/` escaped as RFC 6901 asks.
#[must_use]
pub fn step(place: &str, key: impl fmt::Display) -> String {
    let key = key.to_string().replace('~', "~0").replace('/', "~1");
    format!("{place}/{key}")
}

/// One object of a topic's input: keys are taken by name, and [`Fields::end`]
/// refuses what nobody asked for.
#[derive(Debug)]
pub struct Fields {
    place: String,
    all: serde_json::Map<String, Value>,
    asked: BTreeSet<&'static str>,
}

impl Fields {
    /// Opens the object at `place`.
    ///
    /// # Errors
    /// Refuses what is no object.
    pub fn open(place: &str, value: Value) -> Result<Self, Refusal> {
        match value {
            Value::Object(all) => Ok(Self { place: place.to_owned(), all, asked: BTreeSet::new() }),
            _ => Err(Refusal::at(place, "not an object; { } with its keys would do")),
        }
    }

    /// The pointer of one of this object's keys.
    #[must_use]
    pub fn at(&self, key: &str) -> String {
        step(&self.place, key)
    }

    /// Whether the key was given; asking makes it a known one.
    pub fn has(&mut self, key: &'static str) -> bool {
        self.asked.insert(key);
        self.all.contains_key(key)
    }

    /// The one of two keys that was given.
    ///
    /// # Errors
    /// Refuses both at the second and neither at the first.
    pub fn one_of(&mut self, first: &'static str, second: &'static str) -> Result<&'static str, Refusal> {
        match (self.has(first), self.has(second)) {
            (true, false) => Ok(first),
            (false, true) => Ok(second),
            (true, true) => {
                Err(Refusal::at(self.at(second), format!("given beside {first}; one of the two would do")))
            }
            (false, false) => Err(Refusal::at(self.at(first), format!("missing; give it or {second}"))),
        }
    }

    /// Takes a key that may be left out.
    pub fn maybe(&mut self, key: &'static str) -> Option<Value> {
        self.asked.insert(key);
        self.all.remove(key)
    }

    /// Takes a key that must be there.
    ///
    /// # Errors
    /// Refuses a missing key at the pointer it would have.
    pub fn need(&mut self, key: &'static str) -> Result<Value, Refusal> {
        self.maybe(key).ok_or_else(|| Refusal::at(self.at(key), "missing; give it"))
    }

    /// A number from `least` to `most`, both taken in.
    ///
    /// # Errors
    /// Refuses a missing key, what is no number, and what lies outside.
    pub fn number(&mut self, key: &'static str, least: f64, most: f64) -> Result<f64, Refusal> {
        let value = self.need(key)?;
        number(&self.at(key), &value, least, most)
    }

    /// A number from `least` to `most`, or `default` where it is left out.
    ///
    /// # Errors
    /// As [`Fields::number`], but for the missing key.
    pub fn number_or(
        &mut self,
        key: &'static str,
        default: f64,
        least: f64,
        most: f64,
    ) -> Result<f64, Refusal> {
        match self.maybe(key) {
            None => Ok(default),
            Some(value) => number(&self.at(key), &value, least, most),
        }
    }

    /// A number above 0, to `most` taken in.
    ///
    /// # Errors
    /// As [`Fields::number`]; 0 is not taken.
    pub fn above_zero(&mut self, key: &'static str, most: f64) -> Result<f64, Refusal> {
        let value = self.need(key)?;
        above_zero(&self.at(key), &value, most)
    }

    /// A length of 1e-6 to 1,000 m.
    ///
    /// # Errors
    /// As [`Fields::number`].
    pub fn length(&mut self, key: &'static str) -> Result<f64, Refusal> {
        self.number(key, LENGTH_M.0, LENGTH_M.1)
    }

    /// A length of 1e-6 to 1,000 m, or `default`.
    ///
    /// # Errors
    /// As [`Fields::number_or`].
    pub fn length_or(&mut self, key: &'static str, default: f64) -> Result<f64, Refusal> {
        self.number_or(key, default, LENGTH_M.0, LENGTH_M.1)
    }

    /// A length that may also be 0.
    ///
    /// # Errors
    /// As [`Fields::number`]; nothing between 0 and 1e-6 m is taken.
    pub fn length_or_zero(&mut self, key: &'static str) -> Result<f64, Refusal> {
        let value = self.need(key)?;
        length_or_zero(&self.at(key), &value)
    }

    /// A length that may also be 0, or `default`.
    ///
    /// # Errors
    /// As [`Fields::length_or_zero`], but for the missing key.
    pub fn length_or_zero_or(&mut self, key: &'static str, default: f64) -> Result<f64, Refusal> {
        match self.maybe(key) {
            None => Ok(default),
            Some(value) => length_or_zero(&self.at(key), &value),
        }
    }

    /// A whole number from `least` to `most`; 4.0 is whole.
    ///
    /// # Errors
    /// As [`Fields::number`], and refuses what is not whole.
    pub fn whole(&mut self, key: &'static str, least: u32, most: u32) -> Result<u32, Refusal> {
        let value = self.need(key)?;
        whole(&self.at(key), &value, least, most)
    }

    /// A whole number, or `default`.
    ///
    /// # Errors
    /// As [`Fields::whole`], but for the missing key.
    pub fn whole_or(
        &mut self,
        key: &'static str,
        default: u32,
        least: u32,
        most: u32,
    ) -> Result<u32, Refusal> {
        match self.maybe(key) {
            None => Ok(default),
            Some(value) => whole(&self.at(key), &value, least, most),
        }
    }

    /// A text.
    ///
    /// # Errors
    /// Refuses a missing key and what is no text.
    pub fn text(&mut self, key: &'static str) -> Result<String, Refusal> {
        match self.need(key)? {
            Value::String(text) => Ok(text),
            _ => Err(Refusal::at(self.at(key), "not a text; words in quotes would do")),
        }
    }

    /// A list of `least` to [`MOST_THINGS`] things, each with its pointer.
    ///
    /// # Errors
    /// Refuses a missing key, what is no list, and a list outside its length.
    pub fn list(
        &mut self,
        key: &'static str,
        least: usize,
        most: usize,
    ) -> Result<Vec<(String, Value)>, Refusal> {
        let value = self.need(key)?;
        list(&self.at(key), value, least, most)
    }

    /// An object under a key.
    ///
    /// # Errors
    /// Refuses a missing key and what is no object.
    pub fn object(&mut self, key: &'static str) -> Result<Self, Refusal> {
        let value = self.need(key)?;
        Self::open(&self.at(key), value)
    }

    /// All that is left, key by key in the order given; nothing more is
    /// refused as unknown.
    pub fn rest(&mut self) -> Vec<(String, Value)> {
        std::mem::take(&mut self.all).into_iter().collect()
    }

    /// Ends the object.
    ///
    /// # Errors
    /// Refuses a key that nobody asked for.
    pub fn end(self) -> Result<(), Refusal> {
        match self.all.keys().next() {
            None => Ok(()),
            Some(key) => {
                let known: Vec<&str> = self.asked.iter().copied().collect();
                Err(Refusal::at(
                    step(&self.place, key),
                    format!("not a key of this; its keys are {}", known.join(", ")),
                ))
            }
        }
    }
}

/// A number from `least` to `most`, both taken in.
///
/// # Errors
/// Refuses what is no number and what lies outside.
pub fn number(place: &str, value: &Value, least: f64, most: f64) -> Result<f64, Refusal> {
    let Some(number) = value.as_f64() else {
        return Err(Refusal::at(place, format!("not a number; {least} to {most} would do")));
    };
    if number.is_finite() && (least..=most).contains(&number) {
        return Ok(number);
    }
    Err(Refusal::at(place, format!("{number} is out of range; {least} to {most} would do")))
}

/// A number above 0, to `most` taken in.
///
/// # Errors
/// As [`number`]; 0 is not taken.
pub fn above_zero(place: &str, value: &Value, most: f64) -> Result<f64, Refusal> {
    let number = number(place, value, 0.0, most)?;
    if number > 0.0 {
        return Ok(number);
    }
    Err(Refusal::at(place, format!("0 is out of range; above 0 to {most} would do")))
}

/// Passes on a number of an answer.
///
/// # Errors
/// Refuses one that is not finite, at the input that drives it.
pub fn finite(place: &str, number: f64) -> Result<f64, Refusal> {
    if number.is_finite() {
        return Ok(number);
    }
    Err(Refusal::at(place, "makes an answer that is not finite; a more ordinary number would do"))
}

/// A length of 0 or of 1e-6 to 1,000 m.
///
/// # Errors
/// As [`number`].
pub fn length_or_zero(place: &str, value: &Value) -> Result<f64, Refusal> {
    let length = number(place, value, 0.0, LENGTH_M.1)?;
    if length == 0.0 || length >= LENGTH_M.0 {
        return Ok(length);
    }
    Err(Refusal::at(
        place,
        format!("{length} is out of range; 0 or {} to {} would do", LENGTH_M.0, LENGTH_M.1),
    ))
}

/// A whole number from `least` to `most`; 4.0 is whole.
///
/// # Errors
/// As [`number`], and refuses what is not whole.
pub fn whole(place: &str, value: &Value, least: u32, most: u32) -> Result<u32, Refusal> {
    let number = number(place, value, f64::from(least), f64::from(most))?;
    if number.fract() != 0.0 {
        return Err(Refusal::at(place, format!("{number} is not whole; a count would do")));
    }
    // In range and whole: the conversion is exact.
    Ok(number as u32)
}

/// A list of `least` to `most` things, each with its pointer.
///
/// # Errors
/// Refuses what is no list, and a list outside its length.
pub fn list(place: &str, value: Value, least: usize, most: usize) -> Result<Vec<(String, Value)>, Refusal> {
    let Value::Array(all) = value else {
        return Err(Refusal::at(place, "not a list; [ ] would do"));
    };
    if all.len() < least || all.len() > most {
        return Err(Refusal::at(
            place,
            format!("a list of {}; {least} to {most} things would do", all.len()),
        ));
    }
    Ok(all.into_iter().enumerate().map(|(i, v)| (step(place, i), v)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reckon::parse::parse;

    #[test]
    fn of_two_ways_to_say_a_thing_one_is_wanted() {
        let read = |text: &str| {
            let mut f = Fields::open("", parse(text.as_bytes()).unwrap()).unwrap();
            f.one_of("a", "b").map_err(|e| e.to_string())
        };
        assert_eq!(read(r#"{"a": 1}"#), Ok("a"));
        assert_eq!(read(r#"{"b": 1}"#), Ok("b"));
        assert_eq!(read(r#"{"a": 1, "b": 1}"#).unwrap_err(), "/b: given beside a; one of the two would do");
        assert_eq!(read("{}").unwrap_err(), "/a: missing; give it or b");
    }

    #[test]
    fn above_zero_is_not_zero() {
        let read = |value: Value| above_zero("/k", &value, 1.1).map_err(|e| e.to_string());
        assert_eq!(read(5e-324.into()), Ok(5e-324));
        assert_eq!(read(1.1.into()), Ok(1.1));
        assert_eq!(read(0.into()).unwrap_err(), "/k: 0 is out of range; above 0 to 1.1 would do");
        assert!(read((-1).into()).is_err() && read(1.2.into()).is_err());
    }

    #[test]
    fn numbers_are_read_to_the_last_bit() {
        let v = parse(br#"{"a": 0.1234567890123456789, "b": 4, "c": 4.0}"#).unwrap();
        assert_eq!(v["a"].as_f64(), Some(0.123_456_789_012_345_68));
        let mut f = Fields::open("", v).unwrap();
        assert_eq!(f.whole("b", 0, 9).unwrap(), 4);
        assert_eq!(f.whole("c", 0, 9).unwrap(), 4);
        assert!(f.end().unwrap_err().place == "/a");
    }
}
