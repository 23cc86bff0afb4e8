//! The days: a strip for each house against the calendar, and what each crew
//! does today and on the next working day.

use chrono::{Datelike, Days as Count, NaiveDate};
use ratatui::layout::Rect;
use unicode_width::UnicodeWidthStr;

use super::super::look::Meaning;
use super::super::model::{DaysPage, Model};
use super::super::msg::Target;
use super::super::parts::cells::{fit, wrap};
use super::super::pen::{Pen, row, stretch};
use super::{heading, told};
use crate::book::DaysTold;
use crate::build::days::{Days, HouseDays, Job, Stop, in_words, moved, telling};
use crate::build::entry::Work;

/// How wide the names and the dates beside the calendar are, cells.
const NAMES: u16 = 15;
const DATES: u16 = 20;
/// The lines above the strips: the weeks, and where today is.
const HEAD: u16 = 2;
/// The lines of a house: its building, and its weaving below.
const LINES: u16 = 2;
/// The most lines of what the crews do.
const CREWS: usize = 6;

/// What the letters of the strips mean.
const LEGEND: [&str; 2] = [
    "s set-out  d digging  p posts  b beams  f frame  r raising  t thatching  c cap",
    "a reading again  w weaving, below the building    ▒ held    · nobody works",
];

/// The letter of a work; the calendar has one cell a day.
const fn letter(work: Work) -> char {
    match work {
        Work::SetOut => 's',
        Work::Digging => 'd',
        Work::Posts => 'p',
        Work::Beams => 'b',
        Work::Frame => 'f',
        Work::Raising => 'r',
        Work::Weaving => 'w',
        Work::Thatching => 't',
        Work::Capping => 'c',
        Work::Cutting | Work::Other => 'o',
    }
}

/// The heading of a page about the plan, the area below it and the plan; where
/// there is none yet, that it is being made.
pub(super) fn begun<'m>(
    title: &str,
    model: &'m Model,
    area: Rect,
    pen: &mut Pen<'_>,
) -> Option<(Rect, &'m DaysTold)> {
    heading(title, &model.now.format("%a %-d %b %Y").to_string(), area, pen);
    let inner = Rect {
        x: area.x + 1,
        y: area.y + 1,
        width: area.width.saturating_sub(2),
        height: area.height.saturating_sub(1),
    };
    let Some(planned) = &model.planned else {
        pen.line(row(inner, 1), "Planning the days …", Meaning::Plain);
        told(model, "", row(inner, inner.height.saturating_sub(1)), pen);
        return None;
    };
    Some((inner, planned))
}

/// Draws the days.
pub fn draw(model: &Model, page: &DaysPage, area: Rect, pen: &mut Pen<'_>) {
    let Some((inner, planned)) = begun("The days", model, area, pen) else { return };
    let days = &planned.now;
    if days.houses.is_empty() {
        let text = "No house is in the book yet. Esc goes back; n there starts one.";
        pen.line(row(inner, 1), text, Meaning::Plain);
        told(model, "", row(inner, inner.height.saturating_sub(1)), pen);
        return;
    }
    let at = page.chosen.and_then(|id| days.houses.iter().position(|h| h.id == id)).unwrap_or(0);
    // The strip of the chosen house stays in sight, whatever is told below.
    let room = inner.height.saturating_sub(HEAD + LINES);
    let below = below(model, planned, at, usize::from(inner.width), usize::from(room));
    let strips = inner.height.saturating_sub(below.len() as u16);
    calendar(page, days, at, Rect { height: strips, ..inner }, pen);
    let foot = Rect { y: inner.y + strips, height: inner.height - strips, ..inner };
    for (line, (text, meaning)) in below.iter().enumerate() {
        pen.line(row(foot, line as u16), text, *meaning);
    }
}

/// All that stands below the strips: first what was kept, then the crews, and
/// what there is room for of the rest.
fn below(model: &Model, planned: &DaysTold, at: usize, cells: usize, room: usize) -> Vec<(String, Meaning)> {
    let days = &planned.now;
    let wrapped = |text: &str, meaning| wrap(text, cells).into_iter().map(move |line| (line, meaning));
    let notice: Vec<_> = match (&model.form, &model.notice) {
        // The form tells it.
        (Some(_), _) => Vec::new(),
        (None, Some(notice)) => wrapped(&notice.text, notice.meaning).collect(),
        (None, None) => wrapped(&days.assumed.join(" "), Meaning::Quiet).take(3).collect(),
    };
    let mut lines = crews(days, cells, CREWS.min(room.saturating_sub(notice.len())));
    let mut house = vec![(String::new(), Meaning::Plain)];
    if let Some(chosen) = days.houses.get(at) {
        house.extend(wrapped(&of_house(planned, chosen), Meaning::Plain).take(4));
    }
    if lines.len() + house.len() + notice.len() <= room {
        lines.extend(house);
    }
    lines.extend(notice);
    let legend: Vec<_> = LEGEND.iter().flat_map(|line| wrapped(line, Meaning::Quiet)).collect();
    if model.form.is_none() && lines.len() + legend.len() <= room {
        lines.extend(legend);
    }
    lines
}

/// What is told of the chosen house, in full.
fn of_house(planned: &DaysTold, house: &HouseDays) -> String {
    let days = &planned.now;
    let mut told = format!("{}: {}", house.name, telling::ends(&house.ends, days.today));
    let hangs = in_words(&house.on_path);
    if !hangs.is_empty() {
        told.push_str(&format!("; {hangs}"));
    }
    told.push('.');
    if let Some(raising) = telling::raising(days, house) {
        told.push_str(&format!(" The {raising}."));
    }
    let all = planned.before.as_ref().map(|before| moved(before, days)).unwrap_or_default();
    if let Some(moved) = all.iter().find(|m| m.house == house.id) {
        told.push_str(&format!(" Since yesterday: {}.", telling::moved_by(moved, days.today)));
    }
    told
}

/// What each crew does today and on the next working day.
fn crews(days: &Days, cells: usize, most: usize) -> Vec<(String, Meaning)> {
    let next = days.next_worked(days.today);
    let mut lines = Vec::new();
    for (at, now) in days.crews.iter().enumerate() {
        let today = telling::today(days, at);
        let then = next.map(|day| {
            let doing = telling::doing(days, at, day);
            let doing = if doing.is_empty() { "nothing to do" } else { &doing };
            format!("{}: {doing}", telling::day(day, days.today))
        });
        let who = format!("{} ({})", now.crew.name, now.crew.size);
        let text = format!("{who} today: {today}. {}.", then.unwrap_or_default());
        lines.extend(wrap(&text, cells).into_iter().map(|line| (line, Meaning::Plain)));
    }
    if lines.len() > most {
        lines.truncate(most.saturating_sub(1));
        lines.push(("… spanwright days tells the rest".to_owned(), Meaning::Quiet));
    }
    lines
}

/// The weeks across, and a strip for each house.
fn calendar(page: &DaysPage, days: &Days, at: usize, area: Rect, pen: &mut Pen<'_>) {
    let wide = area.width.saturating_sub(NAMES + DATES + 1);
    let monday = days.today - Count::new(u64::from(days.today.weekday().num_days_from_monday()));
    let Some(first) = monday.checked_add_days(Count::new(7 * u64::from(page.week))) else { return };
    let dates: Vec<NaiveDate> = first.iter_days().take(usize::from(wide)).collect();
    weeks(&dates, stretch(row(area, 0), NAMES, wide), pen);
    if let Some(today) = dates.iter().position(|date| *date == days.today) {
        pen.line(stretch(row(area, 1), NAMES + today as u16, 7), "▼ today", Meaning::Hand);
    }
    let room = usize::from(area.height.saturating_sub(HEAD) / LINES).max(1);
    let from = (at + 1).saturating_sub(room);
    for (line, (place, house)) in days.houses.iter().enumerate().skip(from).take(room).enumerate() {
        let top = Rect { y: area.y + HEAD + line as u16 * LINES, height: LINES, ..area };
        let top = top.intersection(area);
        let (mark, meaning) = if place == at { ("▸", Meaning::Chosen) } else { (" ", Meaning::Title) };
        let name = fit(&format!("{mark}{}", house.name), usize::from(NAMES) - 1);
        pen.line(stretch(row(top, 0), 0, NAMES - 1), &name, meaning);
        for (below, weaving) in [(0, false), (1, true)] {
            let strip: String = dates.iter().map(|date| cell(days, house, *date, weaving)).collect();
            pen.line(stretch(row(top, below), NAMES, wide), &strip, Meaning::Plain);
        }
        let ends = telling::ends_within(&house.ends, days.today, usize::from(DATES));
        pen.line(stretch(row(top, 0), NAMES + wide + 1, DATES), &ends, Meaning::Plain);
        pen.target(top, Target::House(house.id));
    }
    if from + room < days.houses.len() || from > 0 {
        let text =
            format!("{} to {} of {}", from + 1, (from + room).min(days.houses.len()), days.houses.len());
        pen.line(stretch(row(area, 0), NAMES + wide + 1, DATES), &text, Meaning::Quiet);
    }
}

/// The Mondays.
fn weeks(dates: &[NaiveDate], line: Rect, pen: &mut Pen<'_>) {
    for (at, date) in dates.iter().enumerate().step_by(7) {
        let label = date.format("%-d %b").to_string();
        if at + label.width() <= dates.len() {
            pen.line(stretch(line, at as u16, label.width() as u16), &label, Meaning::Quiet);
        }
    }
}

/// A day of a house: what is done, a stop, a closed day, or nothing.
fn cell(days: &Days, house: &HouseDays, date: NaiveDate, weaving: bool) -> char {
    let held = |stop: &Stop| {
        let (from, to) = stop.days();
        from <= date && to.is_none_or(|to| date < to)
    };
    if house.stops.iter().any(held) && date >= days.today {
        return '▒';
    }
    if days.calendar.is_closed(date) {
        return '·';
    }
    let here = |job: &&Job| (job.work == Work::Weaving) == weaving && job.is_on(date);
    match house.jobs.iter().rfind(here) {
        Some(job) if job.again > 0 => 'a',
        Some(job) => letter(job.work),
        None if date == days.today => '┊',
        None => ' ',
    }
}
