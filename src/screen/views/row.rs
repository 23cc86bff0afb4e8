//! The row of houses, drawn side by side on one ground line.

use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

use super::super::look::{Meaning, style};
use super::super::model::{Model, RowPage};
use super::super::msg::Target;
use super::super::parts::cells::{cut, wrap};
use super::super::parts::{Elevation, common_scale};
use super::super::pen::{Pen, row};
use super::{heading, told};
use crate::build::House;
use crate::build::days::{Ends, telling};
use crate::build::house::{StageNow, State};
use crate::build::next;
use crate::build::telling::{of_item, short as told_short};

/// The narrowest and widest plot of a house, cells.
const PLOT: (u16, u16) = (19, 30);
/// The lines of words under a house.
const WORDS: u16 = 8;

/// The least height in which a house can be made out, cells.
const LEAST_AIR: u16 = 5;

/// Draws the row.
pub fn draw(model: &Model, page: &RowPage, area: Rect, pen: &mut Pen<'_>) {
    let day = model.now.format("%a %-d %b %Y").to_string();
    if page.lines.is_empty() {
        heading("The houses", &day, area, pen);
        empty(page.loaded, area, pen);
        told(model, "", Rect { y: area.bottom().saturating_sub(2), height: 2, ..area }, pen);
        return;
    }
    let plots = usize::from((area.width / PLOT.0).max(1)).min(page.lines.len());
    let wide = (area.width / plots as u16).min(PLOT.1);
    let chosen = page.index();
    let first = (chosen / plots * plots).min(page.lines.len() - plots);
    let last = first + plots;
    heading("The houses", &format!("{day}   {} to {last} of {}", first + 1, page.lines.len()), area, pen);
    // A form tells the notice itself.
    let tells = model.notice.is_some() && model.form.is_none();
    let told_lines = if tells { 2 } else { 0 };
    let ground = area.bottom().saturating_sub(WORDS + 1 + told_lines);
    if ground <= area.y {
        return;
    }
    let beyond = Rect::new(area.x, ground, area.width, 1);
    pen.line(beyond, &"━".repeat(usize::from(area.width)), Meaning::Plain);
    let plot = Size::new(wide, ground + 1 - (area.y + 1));
    let scale = common_scale(page.drawn.iter().map(AsRef::as_ref), plot);
    for (at, line) in page.lines[first..last].iter().enumerate() {
        let plot =
            Rect::new(area.x + at as u16 * wide, area.y + 1, wide, area.bottom() - area.y - 1 - told_lines);
        let house = page.drawn.iter().find(|h| h.id == line.id);
        let air = Rect { height: ground + 1 - plot.y, ..plot };
        if let Some(house) = house.filter(|_| air.height >= LEAST_AIR) {
            (&Elevation::new(house, scale)).render(air, pen.buf);
        }
        let words = Rect { y: ground + 1, height: plot.bottom().saturating_sub(ground + 1), ..plot };
        under(house.map(AsRef::as_ref), &line.name, first + at == chosen, model, words, pen);
        pen.target(plot, Target::House(line.id));
    }
    if tells {
        told(model, "", Rect { y: area.bottom() - 2, height: 2, x: area.x + 1, width: area.width - 1 }, pen);
    }
}

/// What stands under a house: its name, its stage, and what asks for a hand.
fn under(house: Option<&House>, name: &str, chosen: bool, model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let area = Rect { x: area.x + 1, width: area.width.saturating_sub(2), ..area };
    let mark = if chosen { "▸" } else { " " };
    let meaning = if chosen { Meaning::Chosen } else { Meaning::Title };
    pen.line(row(area, 0), &format!("{mark}{name}"), meaning);
    let Some(house) = house else { return };
    let mut words = words(house, model, usize::from(area.width));
    end_at(&mut words, usize::from(area.height.saturating_sub(1)), usize::from(area.width));
    for (at, (text, meaning)) in words.into_iter().enumerate() {
        pen.styled(row(area, at as u16 + 1), &text, style(meaning));
    }
}

/// Leaves so many lines; the last of them says where more was to come.
fn end_at(words: &mut Vec<(String, Meaning)>, lines: usize, cells: usize) {
    if words.len() <= lines {
        return;
    }
    words.truncate(lines);
    if let Some((last, _)) = words.last_mut() {
        *last = cut(&format!("{last} …"), cells);
    }
}

fn words(house: &House, model: &Model, cells: usize) -> Vec<(String, Meaning)> {
    let now = house.in_hand();
    let mut lines = Vec::new();
    let done = house.is_handed_over() && now.state == State::Signed;
    let stage = if done {
        "handed over".to_owned()
    } else {
        format!("{} {}", now.stage.number, now.stage.says.to_lowercase())
    };
    lines.extend(wrap(&stage, cells).into_iter().map(|l| (l, Meaning::Plain)));
    let held = house.held_at(model.now);
    if let Some(held) = house.held_or_to_be(model.now) {
        lines.push((held.told(model.now), Meaning::Doubtful));
    }
    let doubts = house.doubts.len();
    if doubts > 0 {
        lines.push((format!("? {doubts} in doubt"), Meaning::Doubtful));
    }
    if !house.past_permit.is_empty() {
        lines.push(("! past permit".to_owned(), Meaning::Out));
    }
    if let Some(short) = short(now, cells).filter(|_| held.is_none()) {
        lines.extend(wrap(&short, cells).into_iter().map(|line| (line, Meaning::Hand)));
    }
    if let Some(days) = model.planned.as_ref().map(|told| &told.now)
        && let Some(ends) = days.houses.iter().find(|h| h.id == house.id).map(|h| &h.ends)
        && matches!(ends, Ends::Dates { .. } | Ends::Overtaken { .. })
    {
        lines.push((telling::ends_within(ends, days.today, cells), Meaning::Plain));
    }
    let next = match next::thatch_year(house).filter(|_| done) {
        Some(year) => format!("new thatch about {year}"),
        None if held.is_some() => "not before resuming".to_owned(),
        None => house.next_at(model.now),
    };
    lines.extend(wrap(&next, cells).into_iter().map(|l| (l, Meaning::Plain)));
    lines
}

/// What the stage in hand is short of; under a narrow house the first item,
/// with a mark where there are more.
fn short(now: &StageNow, cells: usize) -> Option<String> {
    let items = || now.items.iter().filter(|i| i.short > 0.0).map(|i| (i.need.item, i.short));
    let all = format!("short {}", told_short(items())?);
    let (item, count) = items().next()?;
    let first = format!("short {}", of_item(item, count));
    Some(if all.width() <= cells || first == all { all } else { format!("{first} …") })
}

/// An empty book offers a hand.
fn empty(loaded: bool, area: Rect, pen: &mut Pen<'_>) {
    let lines: &[&str] = if loaded {
        &[
            "No house stands in this book yet.",
            "",
            "n   starts one: say whose span is the measure, how long and how",
            "    wide, and the rope kit, the posts and the panels are worked out.",
            "",
            "To look round first, leave with q and open the sample book:",
            "    spanwright demo",
        ]
    } else {
        &["Opening the book …"]
    };
    for (at, line) in lines.iter().enumerate() {
        pen.line(row(area, at as u16 + 3), &format!("   {line}"), Meaning::Plain);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_fit_under_a_house_is_told_to_go_on() {
        let lines = ["the brief changed:", "hanging, no post", "at 2"];
        let mut words = lines.map(|l| (l.to_owned(), Meaning::Plain)).to_vec();
        end_at(&mut words, 3, 18);
        assert_eq!(words.len(), 3);
        end_at(&mut words, 2, 18);
        assert_eq!(words[1].0, "hanging, no post …");
        end_at(&mut words, 1, 18);
        assert_eq!(words[0].0, "the brief changed…");
        end_at(&mut words, 0, 18);
        assert!(words.is_empty());
    }
}
