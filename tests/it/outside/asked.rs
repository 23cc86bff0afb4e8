//! How these checks put a question to a topic.
#![expect(clippy::expect_used, reason = "a check that gets no answer has failed")]

use serde_json::Value;
use spanwright::reckon::TOPICS;

/// The answer of a topic.
pub fn answer(topic: &str, input: Value) -> Value {
    let topic = TOPICS.iter().find(|t| t.name == topic).expect("a topic of that name");
    (topic.run)(input).expect("an answer")
}

/// A number of an answer, by its pointer.
pub fn number(answer: &Value, place: &str) -> f64 {
    answer.pointer(place).and_then(Value::as_f64).expect(place)
}

/// Checks a number to so much either way.
#[track_caller]
pub fn near(got: f64, meant: f64, within: f64) {
    assert!((got - meant).abs() <= within, "{got} is not {meant} ± {within}");
}
