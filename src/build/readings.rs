//! The readings that hold now, by point.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::entry::{Entry, Moment, PointName, Reading, Value};

/// What stands for a point now: the latest reading and its repeats.
#[derive(Debug, Clone, PartialEq)]
pub struct Current {
    /// The entries it rests on, the latest last.
    pub ids: Vec<Uuid>,
    /// What was understood, one each.
    pub values: Vec<Value>,
    /// What was called out, one each.
    pub said: Vec<String>,
    /// When the latest was read.
    pub happened: Moment,
    /// Who read the latest.
    pub by: String,
    /// The version of the brief the latest was judged by.
    pub brief: Uuid,
}

impl Current {
    /// What stands before anything was read, to be filled by an entry.
    pub(super) fn unread(entry: &Entry) -> Self {
        let (ids, values, said) = (Vec::new(), Vec::new(), Vec::new());
        Self { ids, values, said, happened: entry.happened, by: String::new(), brief: Uuid::nil() }
    }

    /// Adds a reading, which is the latest now.
    pub(super) fn add(&mut self, entry: &Entry, reading: &Reading) {
        self.ids.push(entry.id);
        self.values.push(reading.value);
        self.said.push(reading.said.clone());
        self.happened = entry.happened;
        self.by.clone_from(&entry.by);
        self.brief = reading.brief;
    }

    /// The mean of the repeats: metres, degrees, a count, or the share of yes.
    #[must_use]
    pub fn number(&self) -> f64 {
        let sum: f64 = self.values.iter().map(Value::number).sum();
        sum / self.values.len().max(1) as f64
    }
}

/// The readings of a house that hold now.
#[derive(Debug, Clone, Default)]
pub struct Readings(pub BTreeMap<PointName, Current>);

impl Readings {
    /// What stands for a point.
    #[must_use]
    pub fn of(&self, stage: &str, point: &str) -> Option<&Current> {
        self.0.get(&PointName::new(stage, point))
    }

    /// Whether two points rest on the same first reading.
    #[must_use]
    pub fn begin_alike(&self, one: &PointName, other: &PointName) -> bool {
        let first = |point| self.0.get(point).and_then(|current: &Current| current.ids.first());
        first(one).is_some() && first(one) == first(other)
    }

    /// The number that stands for a point.
    #[must_use]
    pub fn number(&self, stage: &str, point: &str) -> Option<f64> {
        self.of(stage, point).map(Current::number)
    }
}
