//! The open stage: its cautions and steps, or its points and items.

use ratatui::layout::Rect;

use super::super::look::{Meaning, style};
use super::super::model::ITEM;
use super::super::msg::Target;
use super::super::parts::cells::{fit, fit_right, wrap};
use super::super::pen::{Pen, row};
use crate::build::House;
use crate::build::accept::told;
use crate::build::heap::ItemNow;
use crate::build::house::{PointNow, StageNow};
use crate::build::telling;
use crate::build::verdict::Verdict;

/// Draws cautions and steps, scrolled.
pub fn how(house: &House, now: &StageNow, scroll: usize, area: Rect, pen: &mut Pen<'_>) {
    let cells = usize::from(area.width);
    let mut lines: Vec<(String, Meaning)> = Vec::new();
    lines.push(("Mind first".to_owned(), Meaning::Caution));
    for caution in now.stage.cautions {
        lines.extend(hanging("! ", caution, cells, Meaning::Caution));
    }
    lines.push((String::new(), Meaning::Plain));
    lines.push(("What it takes".to_owned(), Meaning::Title));
    for word in (now.stage.kit)(&house.worked) {
        lines.extend(hanging("· ", &word, cells, Meaning::Plain));
    }
    lines.push((String::new(), Meaning::Plain));
    lines.push(("How it is done".to_owned(), Meaning::Title));
    for (at, step) in now.stage.steps.iter().enumerate() {
        lines.extend(hanging(&format!("{} ", at + 1), step.does, cells, Meaning::Plain));
        lines.extend(hanging("  ", step.why, cells, Meaning::Quiet));
    }
    lines.push((String::new(), Meaning::Plain));
    lines.extend(hanging("To sign: ", now.stage.rule_says, cells, Meaning::Plain));
    let whole = usize::from(area.height);
    let from = scroll.min(lines.len().saturating_sub(whole));
    let more = from + whole < lines.len();
    let room = if more { whole.saturating_sub(1) } else { whole };
    pen.drawn.from = Some(from);
    for (at, (text, meaning)) in lines.iter().skip(from).take(room).enumerate() {
        pen.line(row(area, at as u16), text, *meaning);
    }
    if more {
        pen.line(row(area, area.height.saturating_sub(1)), "  … Down or PgDn shows more", Meaning::Hand);
    }
}

/// A text behind a mark, its further lines set in.
fn hanging(mark: &str, text: &str, cells: usize, meaning: Meaning) -> Vec<(String, Meaning)> {
    let inset = mark.chars().count();
    wrap(text, cells.saturating_sub(inset))
        .into_iter()
        .enumerate()
        .map(|(at, line)| {
            let before = if at == 0 { mark.to_owned() } else { " ".repeat(inset) };
            (format!("{before}{line}"), meaning)
        })
        .collect()
}

/// The sign of a verdict.
#[must_use]
pub const fn sign(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Unread => " ",
        Verdict::True => "=",
        Verdict::Out => "x",
        Verdict::Doubtful => "?",
    }
}

const fn meaning(p: &PointNow) -> Meaning {
    match p.verdict {
        Verdict::Unread | Verdict::True => Meaning::Plain,
        Verdict::Out => Meaning::Out,
        Verdict::Doubtful => Meaning::Doubtful,
    }
}

/// One line of the stage.
struct Line {
    text: String,
    meaning: Meaning,
    /// The id by which it is chosen; none for headings.
    id: Option<String>,
}

/// The widths of the columns right of the first, for a width.
struct Columns {
    says: usize,
    meant: usize,
    read: usize,
    diff: usize,
    word: bool,
}

impl Columns {
    fn of(cells: usize) -> Self {
        let word = cells >= 60;
        let (meant, read, diff) = (8, 8, 8);
        let right = meant + read + diff + 3 + if word { 9 } else { 0 };
        Self { says: cells.saturating_sub(right), meant, read, diff, word }
    }
}

/// Draws points and items, with the chosen line in sight.
pub fn readings(house: &House, now: &StageNow, chosen: &str, area: Rect, pen: &mut Pen<'_>) {
    let columns = Columns::of(usize::from(area.width));
    let mut lines = signed(now, usize::from(area.width));
    lines.extend(points(house, now, &columns));
    lines.extend(items(now, usize::from(area.width)));
    let warned = lines_of_caution(now, area, pen);
    let area = Rect { y: area.y + warned, height: area.height.saturating_sub(warned), ..area };
    let whole = usize::from(area.height);
    let cut = lines.len() > whole && whole > 3;
    let room = if cut { whole - 1 } else { whole };
    let at = lines.iter().position(|l| l.id.as_deref() == Some(chosen)).unwrap_or(0);
    // The heading above the first line stays in sight with it.
    let from = if at < room { 0 } else { (at + 1 - room).min(lines.len().saturating_sub(room)) };
    let mut choice = lines[..from].iter().filter(|l| l.id.is_some()).count();
    for (at, line) in lines.iter().skip(from).take(room).enumerate() {
        let here = row(area, at as u16);
        let is_chosen = line.id.as_deref() == Some(chosen);
        let look =
            if is_chosen { style(line.meaning).patch(style(Meaning::Chosen)) } else { style(line.meaning) };
        pen.styled(here, &line.text, look);
        if line.id.is_some() {
            pen.target(here, Target::Line(choice));
            choice += 1;
        }
    }
    if cut {
        let below = lines.len() - from - room;
        let told = [(from, "above"), (below, "below")].into_iter().filter(|(more, _)| *more > 0);
        let told: Vec<String> = told.map(|(more, side)| format!("{more} more {side}")).collect();
        pen.line(row(area, area.height - 1), &format!("  … {}", told.join(", ")), Meaning::Quiet);
    }
}

/// Whose word the stage has, and the remark that goes with it.
fn signed(now: &StageNow, cells: usize) -> Vec<Line> {
    let Some(signed) = &now.signed else { return Vec::new() };
    let day = signed.happened.format("%-d %b");
    let remark =
        if signed.sign.remark.is_empty() { String::new() } else { format!(": {}", signed.sign.remark) };
    let text = format!("Signed by {}, {day}{remark}", signed.by);
    wrap(&text, cells).into_iter().map(|text| Line { text, meaning: Meaning::Plain, id: None }).collect()
}

/// Draws the cautions above the points; gives their height.
fn lines_of_caution(now: &StageNow, area: Rect, pen: &mut Pen<'_>) -> u16 {
    let lines = cautions(now.stage.cautions, usize::from(area.width), usize::from(area.height));
    for (at, (text, meaning)) in lines.iter().enumerate() {
        pen.line(row(area, at as u16), text, *meaning);
    }
    lines.len() as u16
}

/// As many cautions, each whole, as go into a quarter of the lines; the first
/// one always, where three lines are left below it. What is not there stands
/// a key away.
fn cautions(all: &[&str], cells: usize, room: usize) -> Vec<(String, Meaning)> {
    let told = |count: usize| -> Vec<(String, Meaning)> {
        let more = match all.len() - count {
            0 => String::new(),
            more => format!(" (f: {more} more)"),
        };
        let each = all.iter().take(count).enumerate().map(|(at, caution)| {
            let text = if at + 1 == count { format!("{caution}{more}") } else { (*caution).to_owned() };
            hanging("! ", &text, cells, Meaning::Caution)
        });
        each.flatten().collect()
    };
    let fits = |lines: &Vec<_>| lines.len() <= room / 4;
    let many = (2..=all.len()).rev().map(told).find(fits);
    let lines = many.unwrap_or_else(|| told(all.len().min(1)));
    if lines.len() + 3 <= room {
        return lines;
    }
    let pointer = hanging("! ", &format!("{} cautions: f shows them", all.len()), cells, Meaning::Caution);
    if pointer.len() + 2 <= room { pointer } else { Vec::new() }
}

fn points(house: &House, now: &StageNow, columns: &Columns) -> Vec<Line> {
    let c = columns;
    let head = format!(
        "{}{}{}{}",
        fit("Point", c.says),
        fit_right("meant", c.meant),
        fit_right("read", c.read),
        fit_right("off", c.diff)
    );
    let mut lines = vec![Line { text: head, meaning: Meaning::Title, id: None }];
    for p in &now.points {
        let body = &house.worked.brief.body;
        let read = if p.value.is_none() { "____".to_owned() } else { telling::read(p) };
        let suspected = if now.findings.remarks.iter().any(|(id, _)| *id == p.point.id) { "?" } else { " " };
        let word = if c.word { format!(" {}", p.verdict.word()) } else { String::new() };
        let text = format!(
            "{}{}{}{} {}{suspected}{word}",
            fit(if p.point.says.len() <= c.says { &p.point.says } else { &p.point.short }, c.says),
            fit_right(&telling::meant(&p.point, body), c.meant),
            fit_right(&read, c.read),
            fit_right(&telling::difference(p), c.diff),
            sign(p.verdict),
        );
        lines.push(Line { text, meaning: meaning(p), id: Some(p.point.id.clone()) });
    }
    lines
}

fn items(now: &StageNow, cells: usize) -> Vec<Line> {
    if now.items.is_empty() {
        return Vec::new();
    }
    let name = |i: &ItemNow| {
        let unit = i.need.item.unit();
        let name =
            if unit.is_empty() { i.need.item.to_string() } else { format!("{} ({unit})", i.need.item) };
        if i.too_small > 0.0 { format!("! {name}") } else { name }
    };
    let numbers = |i: &ItemNow| {
        let short = if i.short > 0.0 { told(i.short) } else { "-".to_owned() };
        [told(i.need.count), told(i.left), told(i.heap.on_hand), short]
    };
    let heads = ["need", "ahead", "on hand", "short"];
    // As wide as what stands in them, where there is no room for more.
    let least = if cells >= 60 { 8 } else { 0 };
    let mut wide = heads.map(|head| (head.len() + 1).max(least));
    for i in &now.items {
        for (wide, number) in wide.iter_mut().zip(numbers(i)) {
            *wide = (*wide).max(number.len() + 1);
        }
    }
    let says = cells.saturating_sub(wide.iter().sum());
    let of = |name: &str, numbers: [String; 4]| {
        let columns = numbers.iter().zip(wide).map(|(number, wide)| fit_right(number, wide));
        format!("{}{}", fit(name, says), columns.collect::<String>())
    };
    let heading = of("Item", heads.map(str::to_owned));
    let plain = |text: String, meaning| Line { text, meaning, id: None };
    let mut lines = vec![plain(String::new(), Meaning::Plain), plain(heading, Meaning::Title)];
    lines.extend(now.items.iter().map(|i| Line {
        text: of(&name(i), numbers(i)),
        meaning: if i.short > 0.0 { Meaning::Hand } else { Meaning::Plain },
        id: Some(format!("{ITEM}{}", i.need.item)),
    }));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::stage::STAGES;

    fn told(all: &[&str], cells: usize, room: usize) -> String {
        let lines: Vec<String> = cautions(all, cells, room).into_iter().map(|(text, _)| text).collect();
        lines.iter().map(|line| line.trim()).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_first_caution_is_whole_wherever_points_can_be_read_below_it() {
        for stage in STAGES {
            let all = stage.cautions;
            for (cells, room) in [(41, 12), (41, 15), (41, 18), (66, 12), (66, 34), (26, 10)] {
                let text = told(all, cells, room);
                assert!(text.contains(all[0]), "{} in {cells}x{room}: {text}", stage.id);
                let there = all.iter().filter(|caution| text.contains(**caution)).count();
                let more = format!("(f: {} more)", all.len() - there);
                assert_eq!(text.contains(&more), there < all.len(), "{} in {cells}x{room}: {text}", stage.id);
            }
        }
    }

    #[test]
    fn a_low_window_tells_where_the_cautions_stand() {
        for stage in STAGES {
            let text = told(stage.cautions, 26, 5);
            assert!(text.contains(stage.cautions[0]) || text.ends_with("cautions: f shows them"), "{text}");
            assert!(!text.contains('…'), "{text}");
        }
    }
}
