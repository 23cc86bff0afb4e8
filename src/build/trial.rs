//! Houses for tests, written the way a builder writes them: every entry goes
//! through [`Draft::decide`], a minute after the one before.

use chrono::{Duration, TimeZone, Utc};
use uuid::Uuid;

use super::accept;
use super::brief::BriefText;
use super::draft::{Draft, StemSaid};
use super::entry::{Entry, Moment, PointName, What};
use super::house::{From, House};
use super::stage::{Goal, Point, PointKind};

/// A house in the making. It starts four of Oru's spans long and three wide.
#[derive(Debug, Clone)]
pub(crate) struct Trial {
    name: String,
    said: BriefText,
    written: Vec<What>,
}

impl Trial {
    /// A house of some name.
    pub(crate) fn new(name: &str) -> Self {
        let trial = Self { name: name.to_owned(), said: BriefText::default(), written: Vec::new() };
        trial
            .say("owner", "Oru")
            .say("place", "Lee shore")
            .say("measure", "Oru")
            .span("1.742 m")
            .say("length", "4 sp")
            .say("ratio", "3:4")
    }

    /// Says a field of the brief it starts with.
    pub(crate) fn say(mut self, field: &str, text: &str) -> Self {
        assert!(self.written.is_empty(), "{field} is said after the start; change the brief instead");
        self.said.say(field, text);
        self
    }

    /// Says the span of the measure it starts with.
    pub(crate) fn span(self, text: &str) -> Self {
        self.say("span", text)
    }

    /// Writes whatever a draft comes to.
    pub(crate) fn draft(mut self, draft: &Draft) -> Self {
        let all = draft.decide(&self.house(), "Oru").unwrap_or_else(|e| panic!("{draft:?}: {e:?}"));
        self.written.extend(all);
        self
    }

    /// Reads a point.
    pub(crate) fn read(self, point: &str, value: &str) -> Self {
        self.reading(point, value, false)
    }

    /// Reads a point once more, beside the earlier reading.
    pub(crate) fn read_again(self, point: &str, value: &str) -> Self {
        self.reading(point, value, true)
    }

    fn reading(self, point: &str, value: &str, again: bool) -> Self {
        self.draft(&Draft::Reading {
            point: point.to_owned(),
            value: value.to_owned(),
            again,
            with: String::new(),
            whose: None,
            bare: None,
        })
    }

    /// Reads every point of a stage as it should be.
    pub(crate) fn read_true(self, stage: &str) -> Self {
        let house = self.house();
        let now = house.stage(stage).unwrap_or_else(|| panic!("no stage {stage}"));
        let read = now.points.iter().filter(|p| p.from != From::Derived);
        let points: Vec<PointName> = read.map(|p| PointName::new(stage, &p.point.id)).collect();
        self.read_rightly(&points)
    }

    /// Reads points as they should be.
    pub(crate) fn read_rightly(mut self, points: &[PointName]) -> Self {
        let house = self.house();
        let voice = accept::Voice::of(&house);
        for name in points {
            let now = house.point(name).unwrap_or_else(|| panic!("no point {name}"));
            let said = as_it_should_be(&now.point);
            let what = accept::reading(&house, &name.to_string(), &said, &voice, false, "");
            self.written.push(what.unwrap_or_else(|e| panic!("{name}: {e}")));
        }
        self
    }

    /// Stops the work, and goes on a minute after the last of what is done
    /// meanwhile.
    pub(crate) fn held(self, cause: &str, meanwhile: impl FnOnce(Self) -> Self) -> Self {
        let hold = Draft::Hold { cause: cause.to_owned(), planned: false };
        meanwhile(self.draft(&hold)).draft(&Draft::Resume)
    }

    /// Signs a stage that is ready.
    pub(crate) fn sign(self, stage: &str) -> Self {
        self.sign_with(stage, "")
    }

    /// Signs a stage, with a remark where it is not ready.
    pub(crate) fn sign_with(self, stage: &str, remark: &str) -> Self {
        self.draft(&Draft::Sign { stage: stage.to_owned(), remark: remark.to_owned() })
    }

    /// Reads every point of these stages as it should be, and signs them.
    pub(crate) fn built(self, stages: &[&str]) -> Self {
        stages.iter().fold(self, |trial, stage| trial.read_true(stage).sign(stage))
    }

    /// The entries so far, in order.
    pub(crate) fn entries(&self) -> Vec<Entry> {
        let (house, brief, _) =
            accept::start(&self.name, &self.said).unwrap_or_else(|e| panic!("{}: {e:?}", self.name));
        let first = Uuid::from_u128(1);
        let entry = |(minute, what): (u32, What)| Entry {
            id: Uuid::from_u128(u128::from(minute) + 1),
            house: Some(first),
            happened: after(minute),
            written: after(minute),
            by: "Oru".to_owned(),
            what,
        };
        (0..).zip([house, brief].into_iter().chain(self.written.iter().cloned())).map(entry).collect()
    }

    /// The house now.
    pub(crate) fn house(&self) -> House {
        let entries = self.entries();
        House::of(entries[0].id, &entries).unwrap_or_else(|e| panic!("{e}"))
    }
}

/// So many minutes after eight in the morning of 14 October 2030.
fn after(minutes: u32) -> Moment {
    let start = Utc.with_ymd_and_hms(2030, 10, 14, 8, 0, 0).unwrap().fixed_offset();
    start + Duration::minutes(i64::from(minutes))
}

/// What is called out where a point is as it should be.
fn as_it_should_be(point: &Point) -> String {
    match (point.kind, point.goal) {
        (PointKind::YesNo, _) => "yes".to_owned(),
        (PointKind::Count, goal) => format!("{:.0}", goal.target().unwrap_or(1.0)),
        (PointKind::Angle, goal) => format!("{:.1}", goal.target().unwrap_or(120.0)),
        (_, Goal::Told { .. }) => "0.1 m".to_owned(),
        (PointKind::Signed | PointKind::Pair, goal) => {
            format!("{:.1} mm", 1e3 * goal.target().unwrap_or(0.0))
        }
        // Rounding down would make it too short.
        (_, Goal::NotLess { target }) => format!("{:.3} m", target + 0.001),
        (_, goal) => format!("{:.4} m", goal.target().unwrap_or(1.0)),
    }
}

impl Draft {
    /// A movement of an item of which no more is said.
    pub(crate) fn tally(item: &str, count: &str, how: &str) -> Self {
        Self::Tally {
            item: item.to_owned(),
            count: count.to_owned(),
            how: how.to_owned(),
            to: None,
            remark: String::new(),
            of: StemSaid::default(),
        }
    }

    /// A tally of pieces of a size.
    pub(crate) fn sized(item: &str, count: &str, how: &str, length: &str, thick: &str) -> Self {
        let size = StemSaid { length: length.to_owned(), thick: thick.to_owned(), ..StemSaid::default() };
        match Self::tally(item, count, how) {
            Self::Tally { item, count, how, to, remark, .. } => {
                Self::Tally { item, count, how, to, remark, of: size }
            }
            other => other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::stage::STAGES;

    #[test]
    fn a_house_read_as_it_should_be_is_handed_over() {
        let all: Vec<&str> = STAGES.iter().map(|s| s.id).collect();
        let house = Trial::new("School shade").built(&all).house();
        assert!(house.is_handed_over());
        assert!(house.doubts.is_empty(), "{:?}", house.doubts);
    }

    #[test]
    fn a_repeat_stands_beside_the_first_reading() {
        let house = Trial::new("Tern house")
            .span("2 m")
            .read("set-out/ab", "8.5 m")
            .read_again("set-out/ab", "8 m")
            .house();
        assert_eq!(house.readings.number("set-out", "ab"), Some(8.25));
    }
}
