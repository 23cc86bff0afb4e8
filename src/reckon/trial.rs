//! How the topics' tests put a question to a topic.

use serde_json::{Value, json};

use super::{Refusal, TOPICS};

/// The answer of a topic, or its refusal.
pub fn tried(topic: &str, input: Value) -> Result<Value, Refusal> {
    let topic = TOPICS.iter().find(|t| t.name == topic).expect("a topic of that name");
    (topic.run)(input)
}

/// The answer of a topic that is not expected to refuse.
pub fn told(topic: &str, input: Value) -> Value {
    tried(topic, input).expect("an answer")
}

/// The input with one place changed, its pointer given; `null` takes a key out.
pub fn with(input: &Value, place: &str, value: Value) -> Value {
    let (parent, key) = place.rsplit_once('/').expect("a pointer");
    let mut input = input.clone();
    let object = input.pointer_mut(parent).and_then(Value::as_object_mut).expect("an object there");
    match value {
        Value::Null => object.remove(key),
        value => object.insert(key.to_owned(), value),
    };
    input
}

/// Checks that the input, changed at each place in turn, is refused there.
pub fn refuses(topic: &str, input: &Value, changes: &[(&str, Value)]) {
    told(topic, input.clone());
    for (place, value) in changes {
        let refusal = tried(topic, with(input, place, value.clone())).expect_err(place);
        assert_eq!(&refusal.place, place, "{value}: {refusal}");
        let advice = ["would do", "give it", "its keys are"];
        assert!(advice.iter().any(|words| refusal.why.contains(words)), "{refusal}");
    }
    let refusal = tried(topic, with(input, "/unheard", json!(1))).expect_err("an unknown key");
    assert_eq!(refusal.place, "/unheard");
}

/// Checks that the input is taken with each of the changes.
pub fn takes(topic: &str, input: &Value, changes: &[(&str, Value)]) {
    for (place, value) in changes {
        let taken = tried(topic, with(input, place, value.clone()));
        assert!(taken.is_ok(), "{place} {value}: {taken:?}");
    }
}
