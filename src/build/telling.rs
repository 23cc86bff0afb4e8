//! Entries and values told in words, and text made safe to show.

use uuid::Uuid;

use super::accept::told as told_count;
use super::entry::{ClosedDays, Item, Secure, Stem, Value, What};
use super::house::PointNow;
use super::stage::{Goal, Point, PointKind};
use super::verdict::amount;
use crate::measure::{Body, Metres, is_unseen, told};

/// A text from a book or a file as it may be shown: without what steers a
/// terminal or turns the line round, and on one line.
#[must_use]
pub fn shown(text: &str) -> String {
    let seen = text.chars().map(|c| if matches!(c, '\n' | '\r' | '\t') { ' ' } else { c });
    seen.filter(|c| !is_unseen(*c)).collect()
}

/// So many people: `1 person`, `4 people`.
#[must_use]
pub fn people(count: u32) -> String {
    format!("{count} {}", if count == 1 { "person" } else { "people" })
}

/// A name as the first word, after the options, of a command that is told to be
/// typed: quoted for a POSIX shell, and behind `--` where it looks like an
/// option itself. None where no shell can be given it.
#[must_use]
pub fn typed(name: &str) -> Option<String> {
    let quoted = shlex::try_quote(name).ok()?;
    Some(if name.starts_with('-') { format!("-- {quoted}") } else { quoted.into_owned() })
}

/// A month by its number, 1 to 12.
#[must_use]
pub const fn month(number: u32) -> &'static str {
    match number {
        1 => "January",
        2 => "February",
        3 => "March",
        4 => "April",
        5 => "May",
        6 => "June",
        7 => "July",
        8 => "August",
        9 => "September",
        10 => "October",
        11 => "November",
        _ => "December",
    }
}

/// What an entry says, in one line; `about` is the entry it strikes or answers,
/// `name_of` gives the name of a house.
#[must_use]
pub fn line(what: &What, about: Option<&What>, name_of: impl Fn(Uuid) -> Option<String>) -> String {
    let quoted = |entry: &Uuid| match about {
        Some(about) => format!("\"{}\"", line(about, None, &name_of as &dyn Fn(Uuid) -> Option<String>)),
        None => entry.to_string(),
    };
    match what {
        What::House { name } => format!("started {name}"),
        What::Brief { said } => {
            let said: Vec<String> =
                said.0.iter().map(|(id, text)| format!("{} {text}", id.replace('_', " "))).collect();
            format!("brief: {}", said.join(", "))
        }
        What::Measure { name, parts } => format!("{name}'s span is {:.3} m", parts.span_m),
        What::Reading(r) => {
            let again = if r.again { " again" } else { "" };
            let with = if r.with.is_empty() { String::new() } else { format!(", with {}", r.with) };
            format!("read {}{again}: {}{}{with}", r.point, r.said, in_metres(&r.value, &r.said))
        }
        What::Moved { point } => format!("moved peg {}", point.point.to_uppercase()),
        What::Tally(tally) => {
            let to = tally.to.map_or_else(String::new, |to| {
                format!(" to {}", name_of(to).unwrap_or_else(|| to.to_string()))
            });
            let (of, remark) = (of_poles(&tally.of), after(&tally.remark));
            format!("{} {}{to}{of}{remark}", of_item(tally.item, tally.count), tally.how)
        }
        What::Sign(sign) => format!("signed {}{}", sign.stage, after(&sign.remark)),
        What::Hold { cause, planned } => {
            format!("held: {cause}{}", if *planned { ", as planned" } else { "" })
        }
        What::Resume => "resumed".to_owned(),
        What::Strike { entry, why } => format!("struck: {}, {why}", quoted(entry)),
        What::Answer { entry, said } => format!("answered: {}, {said}", quoted(entry)),
        what => of_the_village(what),
    }
}

/// What an entry says of what the houses have together.
fn of_the_village(what: &What) -> String {
    match what {
        What::Permit(p) => {
            let place = if p.place.is_empty() { String::new() } else { format!(", {}", p.place) };
            format!("leave to cut {} {} until {}{place}", p.count, p.tree, p.until)
        }
        What::TieDown(tied) => {
            let answer = |(what, yes): (&Secure, &bool)| {
                format!("{} {}", what.word().replace('-', " "), if *yes { "yes" } else { "no" })
            };
            format!("made fast: {}", tied.0.iter().map(answer).collect::<Vec<_>>().join(", "))
        }
        What::Crew(crew) if crew.size == 0 => format!("crew {} is no more", crew.name),
        What::Crew(crew) => {
            let works: Vec<&str> = crew.works.iter().map(|w| w.word()).collect();
            let works = if works.is_empty() { String::new() } else { format!(", for {}", works.join(", ")) };
            format!("crew {}: {}{works}", crew.name, people(crew.size))
        }
        What::CrewDay(day) => {
            let share = if day.share < 1.0 { format!(", {} of the day", day.share) } else { String::new() };
            let done = day.done.map_or_else(String::new, |done| format!(", {} done", told_count(done)));
            let people = people(day.people);
            format!("{}, {people} at {}{share}{done}{}", day.crew, day.work, after(&day.remark))
        }
        What::Closed(closed) => {
            let days = match closed.days {
                ClosedDays::Weekly(day) => format!("every {day}"),
                ClosedDays::Dates { from, to } if from == to => from.to_string(),
                ClosedDays::Dates { from, to } => format!("{from} to {to}"),
            };
            format!("nobody works {days}{}", after(&closed.cause))
        }
        What::Weather(w) => {
            let many = w.chance * 100.0;
            format!("of 100 days in {}, {many:.0} are lost to weather", month(w.month))
        }
        What::Wood(w) => {
            format!("{}: {:.0} kg/m³, {}, lasts {}", w.name, w.density_kg_m3, w.class, w.durability)
        }
        What::Pull(p) => format!(
            "{} of {} broke at {} ({:.0} N){}",
            p.joint.word().replace('-', " "),
            p.cord,
            p.said,
            p.newtons,
            after(&p.remark)
        ),
        _ => String::new(),
    }
}

/// Of what poles, where it is known.
fn of_poles(of: &Stem) -> String {
    let length = of.length_m.map(|m| format!("{m:.2} m long"));
    let thick = of.top_d_m.map(|m| format!("{:.0} mm at the thin end", m * 1000.0));
    let past = of.past_permit.as_ref().map(|why| format!("past the permit: {why}"));
    [of.tree.clone(), length, thick, past].into_iter().flatten().map(|part| format!(", {part}")).collect()
}

fn after(remark: &str) -> String {
    if remark.is_empty() { String::new() } else { format!(": {remark}") }
}

/// The metres of a length that was called out in something else.
fn in_metres(value: &Value, said: &str) -> String {
    match value {
        Value::Length(m) if !said.trim_end().ends_with('m') => format!(" ({m:.3} m)"),
        Value::Pair { first_m: Some(_), difference_m, .. } => {
            format!(" ({})", told::signed_millimetres(*difference_m))
        }
        _ => String::new(),
    }
}

/// So many of an item: `40 panels`, `112.5 m of cord`.
#[must_use]
pub fn of_item(item: Item, count: f64) -> String {
    let many = if count == 1.0 { "" } else { "s" };
    match item.unit() {
        "" => format!("{} {}{many}", told_count(count), item.word().replace('-', " ")),
        unit => format!("{} {unit} of {}", told_count(count), item.word().replace('-', " ")),
    }
}

/// What many of an item are called: `posts`, `packing stone`.
#[must_use]
pub fn many(item: Item) -> String {
    format!("{}{}", item.word().replace('-', " "), if item.is_whole() { "s" } else { "" })
}

/// What is short, the first in the order in which the stage takes it, and how
/// many more: `1 ridge pole and 2 other items`; nothing where nothing is.
#[must_use]
pub fn short(items: impl IntoIterator<Item = (Item, f64)>) -> Option<String> {
    let mut items = items.into_iter();
    let (item, short) = items.next()?;
    let first = of_item(item, short);
    Some(match items.count() {
        0 => first,
        1 => format!("{first} and 1 other item"),
        more => format!("{first} and {more} other items"),
    })
}

/// What a point should be, in a few cells: `4 sp`, `0`, `3 or more`, `yes`.
#[must_use]
pub fn meant(point: &Point, body: &Body) -> String {
    match point.goal {
        Goal::Yes => "yes".to_owned(),
        Goal::Told { .. } => "told".to_owned(),
        Goal::NotLess { target } if point.kind == PointKind::Count => format!("{target:.0}+"),
        Goal::NotLess { target } => format!("{target:.2} m+"),
        Goal::Near { target: 0.0, .. } => "0".to_owned(),
        Goal::Near { target, .. } if point.kind == PointKind::Length => in_spans_where_neat(target, body),
        Goal::Near { target, .. } => format!("{target:+.3} m"),
    }
}

/// Spans where they come out to the millimetre, metres where not.
#[must_use]
pub fn in_spans_where_neat(metres: f64, body: &Body) -> String {
    let spans = Metres::new(metres).ok().map(|m| told::in_spans(m, body));
    match spans {
        // A sixteenth such as 2 3/16 says less than its metres.
        Some(spans) if spans.left_over_m.abs() < 0.000_5 && metres > 0.2 && spans.to_string().len() <= 8 => {
            spans.to_string()
        }
        _ => told::metres(metres),
    }
}

/// A length in metres and, beside it, in somebody's spans: `6.968 m (4 sp)`.
#[must_use]
pub fn both(metres: f64, body: &Body) -> String {
    match Metres::new(metres) {
        Ok(m) => format!("{} ({})", told::metres(metres), told::in_spans(m, body)),
        Err(_) => told::metres(metres),
    }
}

/// What stands for a point, in a few cells.
#[must_use]
pub fn read(now: &PointNow) -> String {
    let Some(value) = now.value else { return String::new() };
    match now.point.kind {
        PointKind::YesNo => if value >= 1.0 { "yes" } else { "no" }.to_owned(),
        PointKind::Count => format!("{value:.0}"),
        PointKind::Angle => format!("{value:.1}°"),
        PointKind::Length => told::metres(value),
        PointKind::Signed | PointKind::Pair => amount(now.point.kind, value),
    }
}

/// The difference from the target, where it says more than the value.
#[must_use]
pub fn difference(now: &PointNow) -> String {
    match (now.difference, now.point.kind) {
        (Some(d), PointKind::Length | PointKind::Count) => amount(now.point.kind, d),
        (Some(d), PointKind::Signed) if now.point.goal.target() != Some(0.0) => amount(now.point.kind, d),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_short_is_told_by_what_the_stage_takes_first() {
        let all = [(Item::RidgePole, 1.0), (Item::Rafter, 34.0), (Item::Cord, 602.1)];
        assert_eq!(short([]), None);
        assert_eq!(short([all[2]]).unwrap(), "602.1 m of cord");
        assert_eq!(short([all[0], all[1]]).unwrap(), "1 ridge pole and 1 other item");
        assert_eq!(short(all).unwrap(), "1 ridge pole and 2 other items");
    }

    #[test]
    fn what_would_steer_a_terminal_is_left_out() {
        assert_eq!(shown("Tern\u{1b}]0;x\u{7} house\u{202e}\u{9b}2J\u{200f}"), "Tern]0;x house2J");
        assert_eq!(shown("Maréchal ʻOru 家"), "Maréchal ʻOru 家");
    }
}
