//! JSON read so that nothing is lost that an ordinary reader would lose: a key
//! given twice, and where in the text a number was that no double can hold.

use std::cell::RefCell;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_json::Value;
use thiserror::Error;

use super::fields::{Refusal, step};

/// Input that could not be read as one JSON object.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Unread {
    /// Not JSON, or not an object.
    #[error("(input): {why}, line {line}, column {column}")]
    NotJson {
        /// What was wrong.
        why: String,
        /// The line, from 1.
        line: usize,
        /// The column, from 1.
        column: usize,
    },
    /// JSON, but something in it cannot be taken.
    #[error(transparent)]
    Refused(#[from] Refusal),
}

/// Reads a JSON value whose objects refuse a key given twice, and keeps the
/// way to where it is: after an error, the way to the error.
#[derive(Clone, Copy)]
struct Reader<'w>(&'w RefCell<Vec<String>>);

impl Reader<'_> {
    fn enter(&self, step: impl ToString) {
        self.0.borrow_mut().push(step.to_string());
    }

    fn leave(&self) {
        self.0.borrow_mut().pop();
    }
}

impl<'de> DeserializeSeed<'de> for Reader<'_> {
    type Value = Value;
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Value, D::Error> {
        from.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Reader<'_> {
    type Value = Value;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }
    fn visit_bool<E>(self, v: bool) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_i64<E>(self, v: i64) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_u64<E>(self, v: u64) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_f64<E>(self, v: f64) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_str<E>(self, v: &str) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut all = Vec::new();
        self.enter(0);
        while let Some(v) = seq.next_element_seed(self)? {
            self.leave();
            all.push(v);
            self.enter(all.len());
        }
        self.leave();
        Ok(Value::Array(all))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        let mut all = serde_json::Map::new();
        while let Some(key) = map.next_key::<String>()? {
            self.enter(&key);
            if all.contains_key(&key) {
                return Err(A::Error::custom(TWICE));
            }
            let value = map.next_value_seed(self)?;
            self.leave();
            all.insert(key, value);
        }
        Ok(Value::Object(all))
    }
}

const TWICE: &str = "given twice; once is enough";

/// Reads one JSON object.
///
/// # Errors
/// [`Unread::NotJson`] for text that is no JSON or no object, with line and
/// column; [`Unread::Refused`] with its place for a key given twice and for
/// a number that no double can hold (`NaN`, `1e999`).
pub fn parse(text: &[u8]) -> Result<Value, Unread> {
    let text = std::str::from_utf8(text).map_err(|e| {
        let before = &text[..e.valid_up_to()];
        let line = 1 + before.iter().filter(|b| **b == b'\n').count();
        let column = 1 + before.iter().rev().take_while(|b| **b != b'\n').count();
        Unread::NotJson { why: "not UTF-8 text".into(), line, column }
    })?;
    let way = RefCell::new(Vec::new());
    let mut from = serde_json::Deserializer::from_str(text);
    let value = Reader(&way).deserialize(&mut from).map_err(|e| unread(text, &way.borrow(), &e))?;
    from.end().map_err(|e| unread(text, &[], &e))?;
    if value.is_object() {
        return Ok(value);
    }
    Err(Unread::NotJson { why: "not a JSON object; one in { } is read".into(), line: 1, column: 1 })
}

fn unread(text: &str, way: &[String], error: &serde_json::Error) -> Unread {
    let (line, column) = (error.line(), error.column());
    let said = error.to_string();
    let why = said.split(" at line ").next().unwrap_or(&said);
    let place = way.iter().fold(String::new(), |place, key| step(&place, key));
    if why == TWICE {
        return Refusal::at(place, TWICE).into();
    }
    if !place.is_empty() && (why.contains("out of range") || is_odd_number(text, line, column)) {
        let why = format!("not a finite number, line {line}, column {column}; an ordinary number would do");
        return Refusal::at(place, why).into();
    }
    Unread::NotJson { why: why.to_owned(), line, column }
}

/// Whether the word in which reading stopped is a number to other programs
/// but not to JSON.
fn is_odd_number(text: &str, line: usize, column: usize) -> bool {
    let here = text.split('\n').nth(line.saturating_sub(1)).unwrap_or("").as_bytes();
    let stop = column.min(here.len());
    let from = here[..stop].iter().rposition(|b| b":,[{ \t".contains(b)).map_or(0, |i| i + 1);
    let word: String = here[from..].iter().take(9).map(|b| char::from(*b)).collect();
    let word = word.trim_start_matches(['-', '+']);
    word.starts_with("NaN") || word.starts_with("Infinity")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> String {
        parse(text.as_bytes()).map_or_else(|e| e.to_string(), |v| v.to_string())
    }

    #[test]
    fn a_key_given_twice_is_named() {
        assert_eq!(said(r#"{"a": {"b~/": 1, "b~/": 2}}"#), "/a/b~0~1: given twice; once is enough");
        assert_eq!(said(r#"{"a": 1, "a": 1}"#), "/a: given twice; once is enough");
        assert_eq!(said(r#"{"a": {"a": 1}, "a": 1}"#), "/a: given twice; once is enough");
        assert_eq!(said(r#"{"a": {"a": 1, "a": 1}}"#), "/a/a: given twice; once is enough");
    }

    #[test]
    fn a_number_no_double_can_hold_is_named() {
        assert!(
            said(r#"{"a": {"b": 1e999}}"#).starts_with("/a/b: not a finite number"),
            "{}",
            said(r#"{"a": {"b": 1e999}}"#)
        );
        assert!(
            said(r#"{"a": [1, NaN]}"#).starts_with("/a/1: not a finite number"),
            "{}",
            said(r#"{"a": [1, NaN]}"#)
        );
        assert!(
            said(r#"{"a": -Infinity}"#).starts_with("/a: not a finite number"),
            "{}",
            said(r#"{"a": -Infinity}"#)
        );
        assert!(said(r#"{"a": Infinity}"#).starts_with("/a: not a finite number"));
        assert!(said(r#"{"a": -1e999}"#).starts_with("/a: not a finite number"));
    }

    #[test]
    fn what_is_no_object_says_where() {
        assert!(said("{\n \"a\": }").starts_with("(input): ") && said("{\n \"a\": }").contains("line 2"));
        assert!(said("[1]").starts_with("(input): not a JSON object"));
        assert!(said("").starts_with("(input): "));
        assert!(said("{} {}").starts_with("(input): "));
        assert!(parse(b"{\"a\": \"\xff\"}").is_err());
    }
}
