//! The forms of the days: a crew's day, a crew, closed days, the weather.

use chrono::{Datelike, NaiveDate};
use tui_input::Input;
use uuid::Uuid;

use super::{Form, FormField, FormKind};
use crate::build::days::{Days, counted_in};
use crate::build::draft::Draft;
use crate::build::entry::{Crew, CrewDay, What, Work};
use crate::build::telling::{month, people};
use crate::build::together::Together;

/// The days of a week, as they are said.
const WEEKDAYS: [&str; 7] = ["sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];

impl Form {
    /// Tells what a crew did today, filled in from the plan; at `chosen` where
    /// nothing is planned for it.
    #[must_use]
    pub fn crew_day(days: &Days, crew: usize, chosen: Option<Uuid>, by: &str) -> Self {
        let now = days.crews.get(crew);
        let planned = days.on(crew, days.today).into_iter().min_by_key(|(_, job)| job.again > 0);
        let house = planned
            .map(|(house, _)| house)
            .or_else(|| days.houses.iter().find(|house| Some(house.id) == chosen).or(days.houses.first()));
        // To read again what was done is none of the work that is counted.
        let works = planned.map(|(_, job)| if job.again > 0 { Work::Other } else { job.work });
        let (work, counted) = (works.map_or("", Work::word), works.map_or("", counted_in));
        let size = now.map(|now| now.crew.size.to_string()).unwrap_or_default();
        let name = now.map_or("", |now| now.crew.name.as_str());
        let mut crews = FormField::new("crew", "crew", "who").with(name);
        crews.words = days.crews.iter().map(|now| now.crew.name.clone()).collect();
        let mut houses = FormField::new("house", "at", "the house").with(house.map_or("", |h| &h.name));
        houses.words = days.houses.iter().map(|house| house.name.clone()).collect();
        let done = match counted {
            "" => "how much was done; may be left empty".to_owned(),
            "houses" => "how much of it: 1 is all, 0.5 half; the rates are learnt from it".to_owned(),
            counted => format!("how many {counted}; may be left empty, but the rates are learnt from it"),
        };
        let fields = vec![
            crews,
            houses,
            FormField::new("work", "work", "what was done").with(work).of(Work::ALL.iter().map(|w| w.word())),
            FormField::new("people", "people", "how many there were").counted(&size),
            FormField::new("done", "done", &done),
            FormField::new("share", "share of the day", "1 for the whole day, 0.5 for half of it")
                .counted("1"),
            FormField::new(
                "remark",
                "remark",
                "may be left empty; the reason, where far more was done than usual",
            ),
            FormField::new("by", "by", "who tells it").with(by),
        ];
        let mut form = Self::new(FormKind::CrewDay, None, "What a crew did today", fields);
        form.focus = if work.is_empty() { 2 } else { 4 };
        form
    }

    /// Names a crew.
    #[must_use]
    pub fn crew(by: &str) -> Self {
        let works = "such as weaving,thatching; empty is anything but weaving";
        let fields = vec![
            FormField::new("name", "name", "what it is called; a name there is says it anew"),
            FormField::new("size", "people", "how many; 0 where it is no more"),
            FormField::new("for", "for", works).of(Work::ALL.iter().map(|w| w.word())),
            FormField::new("by", "by", "who says so").with(by),
        ];
        Self::new(FormKind::Crew, None, "A crew", fields)
    }

    /// Says a crew anew.
    #[must_use]
    pub fn crew_again(crew: &Crew, by: &str) -> Self {
        let mut form = Self::crew(by);
        let works: Vec<&str> = crew.works.iter().map(|work| work.word()).collect();
        for (field, text) in
            form.fields.iter_mut().zip([&crew.name, &crew.size.to_string(), &works.join(",")])
        {
            field.input = Input::new(text.clone());
            field.gives_way = field.id == "size";
        }
        form.focus = 1;
        form
    }

    /// Ends a crew.
    #[must_use]
    pub fn crew_end(name: &str, by: &str) -> Self {
        let fields = vec![FormField::new("by", "by", "who says so; what it did stays told").with(by)];
        let kind = FormKind::CrewEnd { name: name.to_owned() };
        Self::new(kind, None, format!("End {name}: the crew is no more"), fields)
    }

    /// Says on which days nobody works.
    #[must_use]
    pub fn closed(by: &str) -> Self {
        let weekly = "a day of every week; leave it empty to close dates";
        let fields = vec![
            FormField::new("weekday", "every", weekly).of(WEEKDAYS),
            FormField::new("from", "or from", "the first day, such as 2030-12-24"),
            FormField::new("to", "to", "the last day; empty is the first alone"),
            FormField::new("why", "why", "feast, rest: may be left empty"),
            FormField::new("by", "by", "who says so").with(by),
        ];
        Self::new(FormKind::Closed, None, "Days on which nobody works", fields)
    }

    /// Says how likely a day of a month is lost to weather.
    #[must_use]
    pub fn weather(today: NaiveDate, by: &str) -> Self {
        let fields = vec![
            FormField::new("month", "month", "1 to 12").counted(&today.month().to_string()),
            FormField::new("chance", "chance", "of 10 days 3 are lost: 0.3"),
            FormField::new("by", "by", "who says so").with(by),
        ];
        let mut form = Self::new(FormKind::Weather, None, "Days lost to weather", fields);
        form.focus = 1;
        form
    }

    /// The draft of one of these forms.
    pub(super) fn of_the_days(&self) -> Option<Draft> {
        let text = |id| self.text(id).to_owned();
        Some(Draft::Together(match &self.kind {
            FormKind::CrewDay => Together::CrewDay {
                crew: text("crew"),
                work: text("work"),
                people: text("people"),
                share: text("share"),
                done: text("done"),
                remark: text("remark"),
            },
            FormKind::Crew if self.text("size").trim() == "0" => Together::CrewEnd { name: text("name") },
            FormKind::CrewEnd { name } => Together::CrewEnd { name: name.clone() },
            FormKind::Crew => Together::Crew { name: text("name"), size: text("size"), works: text("for") },
            FormKind::Closed if self.text("weekday").trim().is_empty() => {
                Together::Closed { from: text("from"), to: text("to"), why: text("why") }
            }
            FormKind::Closed => Together::Rest { weekday: text("weekday"), why: text("why") },
            FormKind::Weather => Together::Weather { month: text("month"), chance: text("chance") },
            _ => return None,
        }))
    }

    /// The day of a crew that the form tells, where it can be understood.
    #[must_use]
    pub fn told_day(&self) -> Option<CrewDay> {
        let Some(Draft::Together(together)) = self.of_the_days() else { return None };
        match together.decide() {
            Ok(What::CrewDay(day)) => Some(day),
            _ => None,
        }
    }

    /// What one of these forms says, in a few words.
    pub(super) fn days_in_words(&self) -> String {
        let text = |id| self.text(id).trim().to_owned();
        match &self.kind {
            FormKind::CrewDay => {
                let done = text("done");
                let done = if done.is_empty() { done } else { format!(", {done} done") };
                format!("{}, {} at {}{done}", text("crew"), said_people(&text("people")), text("work"))
            }
            FormKind::CrewEnd { name } => format!("crew {name} is no more"),
            FormKind::Crew => format!("crew {}, {}", text("name"), said_people(&text("size"))),
            FormKind::Closed if text("weekday").is_empty() => format!("nobody works from {}", text("from")),
            FormKind::Closed => format!("nobody works on a {}", text("weekday")),
            FormKind::Weather => {
                let number = text("month").parse().ok();
                format!("the weather of {}", number.map_or_else(|| text("month"), |n| month(n).to_owned()))
            }
            _ => self.title.clone(),
        }
    }
}

/// People as they were said, in words.
fn said_people(text: &str) -> String {
    text.parse().map_or_else(|_| format!("{text} people"), people)
}
