//! Reading the crews and the tasks.

use serde_json::Value;

use super::{In, Task};
use crate::reckon::fields::{self, Fields, MOST, MOST_COUNT, MOST_THINGS, Refusal};

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a wrong type and a number outside its
    /// range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let tasks = f.list("tasks", 0, MOST_THINGS)?;
        let input = Self {
            crews: counts(f.object("crews")?)?,
            tasks: tasks.into_iter().map(|(at, v)| read_task(&at, v)).collect::<Result<_, _>>()?,
            seconds: f.number_or("seconds", 1.0, 0.0, 60.0)?,
        };
        f.end()?;
        Ok(input)
    }
}

fn read_task(place: &str, value: Value) -> Result<Task, Refusal> {
    let mut f = Fields::open(place, value)?;
    let after = f.list("after", 0, MOST_THINGS)?;
    let task = Task {
        id: f.text("id")?,
        days: f.whole("days", 0, 1000)?,
        needs: counts(f.object("needs")?)?,
        after: after.into_iter().map(|(at, v)| name(&at, v)).collect::<Result<_, _>>()?,
        not_before: day(&mut f)?,
    };
    f.end()?;
    Ok(task)
}

/// The whole number under each key of an object.
fn counts(mut of: Fields) -> Result<Vec<(String, u32)>, Refusal> {
    let all = of.rest().into_iter();
    all.map(|(key, value)| {
        let count = fields::whole(&of.at(&key), &value, 0, MOST_COUNT)?;
        Ok((key, count))
    })
    .collect()
}

fn name(place: &str, value: Value) -> Result<String, Refusal> {
    match value {
        Value::String(name) => Ok(name),
        _ => Err(Refusal::at(place, "not a text; the id of a task in quotes would do")),
    }
}

/// A day to start from, which may lie further off than a count reaches.
fn day(f: &mut Fields) -> Result<u64, Refusal> {
    let day = f.number_or("not_before", 0.0, 0.0, MOST)?;
    if day.fract() != 0.0 {
        return Err(Refusal::at(f.at("not_before"), format!("{day} is not whole; a day would do")));
    }
    // In range and whole: the conversion is exact.
    Ok(day as u64)
}
