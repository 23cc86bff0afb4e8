//! The forms: a panel under the page, or a page of their own for a brief.

use ratatui::layout::Rect;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::super::form::{Form, FormField, FormKind};
use super::super::look::{Meaning, style};
use super::super::model::{Model, Notice};
use super::super::msg::Target;
use super::super::parts::cells::{fit, wrap};
use super::super::pen::{Pen, row, stretch};
use super::{heading, house};
use crate::build::accept::{self, Refused, Voice};
use crate::build::entry::{PointName, Secure};
use crate::build::holds::{MemberNow, PULL_CAUTION, in_short, members};
use crate::build::house::House;
use crate::build::stage::PointKind;
use crate::build::telling;
use crate::build::together::force;
use crate::build::verdict::{amount, judge};
use crate::build::worked::Worked;
use crate::measure::{Metres, told};

/// How wide the names of fields are, cells.
const NAMES: u16 = 20;
/// How wide a field is, cells, where there is room.
const FIELD: u16 = 48;

/// How many lines a form's panel takes.
#[must_use]
pub fn height(form: &Form, model: &Model, cells: u16) -> u16 {
    let inner = usize::from(cells.saturating_sub(2));
    // Going from field to field must not move what stands above.
    let tallest = form.fields.iter().map(|field| help(form, field, inner).len()).max().unwrap_or(0);
    let least = if matches!(form.kind, FormKind::Reading { .. }) { 3 } else { 2 };
    let words = words(form, model, inner).len().max(tallest);
    let below = least.max(words + notice(model, cells.saturating_sub(2)).len());
    (title(form, cells).len() + form.fields.len() + below) as u16
}

/// The heading; where it is too long for the rule, it goes on below.
fn title(form: &Form, cells: u16) -> Vec<String> {
    wrap(&form.title, usize::from(cells.saturating_sub(6)))
}

/// The lines of the notice, where there is one.
fn notice(model: &Model, cells: u16) -> Vec<(String, Meaning)> {
    let lines = |n: &Notice| wrap(&n.text, usize::from(cells)).into_iter().map(|l| (l, n.meaning)).collect();
    model.notice.as_ref().map_or_else(Vec::new, lines)
}

/// Draws a form under the page.
pub fn draw_panel(form: &Form, model: &Model, area: Rect, pen: &mut Pen<'_>) {
    let line = row(area, 0);
    pen.line(line, &"─".repeat(usize::from(line.width)), Meaning::Quiet);
    let title = title(form, area.width);
    for (at, text) in title.iter().enumerate() {
        let text = format!(" {text} ");
        pen.line(stretch(row(area, at as u16), 2, text.width() as u16), &text, Meaning::Title);
    }
    let notice = notice(model, area.width.saturating_sub(2));
    let inner = usize::from(area.width.saturating_sub(2));
    let mut words = words(form, model, inner);
    // In a low window the fields are scrolled before what is told is cut.
    let above = title.len().max(1) as u16;
    let below = 2.max(notice.len() + words.len()) as u16;
    let least = area.height.saturating_sub(above + 2.max(notice.len()) as u16).clamp(1, 3);
    let count = form.fields.len() as u16;
    let room = area.height.saturating_sub(above + below).max(least).min(count);
    let fields = Rect { y: area.y + above, height: room, ..area };
    list(form, fields, pen);
    let under = Rect {
        x: area.x + 1,
        y: fields.bottom(),
        width: area.width.saturating_sub(2),
        height: area.bottom().saturating_sub(fields.bottom()),
    };
    // What is told of what was kept, or was not, is never put out by the rest.
    words.truncate(usize::from(under.height).saturating_sub(notice.len()));
    words.extend(notice);
    for (at, (text, meaning)) in words.iter().take(usize::from(under.height)).enumerate() {
        pen.line(row(under, at as u16), text, *meaning);
    }
}

/// What the form says under its fields: what was refused, else what was
/// understood, else what the field is for.
fn words(form: &Form, model: &Model, cells: usize) -> Vec<(String, Meaning)> {
    if let FormKind::TakenIn { lines } = &form.kind {
        return wrapped(lines.iter().map(|line| (telling::shown(line), Meaning::Plain)), cells);
    }
    if form.keeping {
        let what = if form.kind == FormKind::TakeIn { "Taking it in …" } else { "Keeping it …" };
        return vec![(what.to_owned(), Meaning::Plain)];
    }
    if !form.refused.is_empty() {
        return wrapped(form.refused.iter().map(|r| (said(r), Meaning::Out)), cells);
    }
    if let (FormKind::Reading { point, again }, Some(house)) = (&form.kind, model.house())
        && let Some(lines) = understood(form, house, point, *again)
    {
        return wrapped(lines, cells);
    }
    form.fields.get(form.focus).map(|field| help(form, field, cells)).unwrap_or_default()
}

/// What a field is for.
fn help(form: &Form, field: &FormField, cells: usize) -> Vec<(String, Meaning)> {
    let untold = !field.words.is_empty() && !field.help.contains("F2");
    let choices = if untold { "   (F2: the next word)" } else { "" };
    let mut words = vec![(format!("{}{choices}", field.help), Meaning::Quiet)];
    match form.kind {
        FormKind::TieDown => {
            words.extend(field.id.parse::<Secure>().map(|what| (what.why().to_owned(), Meaning::Plain)));
        }
        FormKind::Pull => {
            if let Ok(newtons) = force(form.text("value")) {
                words[0].0 = format!("{} = {newtons:.0} N   {}", form.text("value").trim(), words[0].0);
            }
            words.push((PULL_CAUTION.to_owned(), Meaning::Caution));
        }
        _ => {}
    }
    wrapped(words, cells)
}

/// Lines broken to so many cells.
fn wrapped(lines: impl IntoIterator<Item = (String, Meaning)>, cells: usize) -> Vec<(String, Meaning)> {
    let broken = |(text, meaning): (String, Meaning)| {
        wrap(&text, cells).into_iter().map(move |line| (line, meaning)).collect::<Vec<_>>()
    };
    lines.into_iter().flat_map(broken).collect()
}

fn said(refused: &Refused) -> String {
    format!("{}: {}", refused.field.replace('_', " "), refused.why)
}

/// What the form understands of a reading as it is typed: in metres and in
/// spans, the target, and the verdict.
fn understood(form: &Form, house: &House, point: &str, again: bool) -> Option<Vec<(String, Meaning)>> {
    let name: PointName = point.parse().ok()?;
    let now = house.point(&name)?;
    let meant = (
        format!("{}{}", house::goal(house, now), if again { "; beside the earlier reading" } else { "" }),
        Meaning::Quiet,
    );
    let text = form.text("value");
    if text.trim().is_empty() {
        let how = match now.point.kind {
            PointKind::YesNo => "yes or no; F2 puts one in, Enter keeps it",
            PointKind::Angle => "degrees from north, 0 to 360, such as 118",
            PointKind::Count => "a whole number",
            PointKind::Signed => "toward it +5 mm, away from it -5 mm; or in any other unit",
            PointKind::Pair => "both: 2.31 m less 2.305 m; or by how much the first is more: +5 mm",
            PointKind::Length => "as it is called out: 2 1/2 sp, 3.44 m, 344, 5' 4 1/2\", 2 sp + 1 h",
        };
        return Some(vec![meant, (how.to_owned(), Meaning::Quiet)]);
    }
    let said = match accept::understand(now.point.kind, text, &Voice::of(house)) {
        Ok(said) => said,
        Err(e) => return Some(vec![meant, (e.pointed(text), Meaning::Out)]),
    };
    let value = said.value.number();
    let (verdict, why) = judge(&now.point, value);
    let off = now
        .point
        .goal
        .target()
        .map(|t| format!(", {}", amount(now.point.kind, value - t)))
        .unwrap_or_default();
    let why = why.map(|w| format!(" ({w})")).unwrap_or_default();
    let whose = said.whose.map(|w| format!(" by {w}'s measure")).unwrap_or_default();
    let spans = match (now.point.kind.word(), Metres::new(value)) {
        ("length", Ok(m)) if value > 0.2 => {
            format!(" = {} = {}", told::metres(value), told::in_spans(m, &house.worked.brief.body))
        }
        ("length", _) => format!(" = {}", told::signed_millimetres(value)),
        _ => String::new(),
    };
    let meaning = if verdict.word() == "true" { Meaning::Plain } else { Meaning::Out };
    Some(vec![meant, (format!("{}{whose}{spans}: {}{off}{why}", said.shown, verdict.word()), meaning)])
}

/// Draws the fields, the focused one in sight.
fn list(form: &Form, area: Rect, pen: &mut Pen<'_>) {
    let room = usize::from(area.height);
    let from = (form.focus + 1).saturating_sub(room);
    for (at, field) in form.fields.iter().enumerate().skip(from).take(room) {
        let line = row(area, (at - from) as u16);
        draw_field(field, at == form.focus, line, pen);
        pen.target(line, Target::Field(at));
    }
    let below = form.fields.len().saturating_sub(from + room);
    if from > 0 {
        beside(row(area, 0), &format!("{from} above"), pen);
    }
    if below > 0 {
        beside(row(area, area.height.saturating_sub(1)), &format!("{below} below"), pen);
    }
}

/// How many fields are out of sight, at the right of the first or last line,
/// where there is room beside the field.
fn beside(line: Rect, text: &str, pen: &mut Pen<'_>) {
    let wide = text.len() as u16;
    if line.width > NAMES + FIELD + wide {
        pen.line(stretch(line, line.width - wide - 1, wide), text, Meaning::Quiet);
    }
}

fn draw_field(field: &FormField, focused: bool, line: Rect, pen: &mut Pen<'_>) {
    let mark = if focused { "▸" } else { " " };
    pen.line(
        stretch(line, 0, NAMES),
        &format!("{mark} {}", field.says),
        if focused { Meaning::Title } else { Meaning::Plain },
    );
    let room = line.width.saturating_sub(NAMES + 2).min(FIELD);
    let place = stretch(line, NAMES, room);
    let scroll = field.input.visual_scroll(usize::from(room.saturating_sub(1)));
    let text = visible(field.text(), scroll);
    if field.text().is_empty() && !field.default.is_empty() {
        pen.styled(
            place,
            &fit(&field.default, usize::from(room)),
            style(Meaning::Quiet).patch(style(Meaning::Field)),
        );
    } else {
        pen.line(place, &text, Meaning::Field);
        if focused && field.gives_way {
            pen.line(stretch(place, 0, text.width() as u16), &text, Meaning::Chosen);
        }
    }
    if focused {
        let at = field.input.visual_cursor().saturating_sub(scroll);
        pen.cursor(place.x + (at as u16).min(room.saturating_sub(1)), place.y);
    }
}

/// A text from so many cells on. A wide letter that lies half before them
/// leaves a blank, and marks go with the letter they stand on.
fn visible(text: &str, scroll: usize) -> String {
    let mut passed = 0;
    let rest: String = text
        .chars()
        .skip_while(|c| {
            let cells = c.width().unwrap_or(0);
            let skip = passed < scroll || (passed > 0 && cells == 0);
            passed += if skip { cells } else { 0 };
            skip
        })
        .collect();
    format!("{}{rest}", " ".repeat(passed.saturating_sub(scroll)))
}

/// Draws a brief on a page of its own, with what it works out to beside it.
pub fn draw_page(form: &Form, model: &Model, area: Rect, pen: &mut Pen<'_>) {
    heading(&form.title, "Ctrl-S keeps it; what is dim is taken as it is", area, pen);
    let beside = if area.width >= 70 { area.width * 40 / 100 } else { 0 };
    let notice = notice(model, area.width.saturating_sub(2));
    let below = 2.max(notice.len()) as u16;
    let height = area.height.saturating_sub(1 + below).max(1);
    let left = Rect { y: area.y + 1, height, width: area.width - beside, ..area };
    list(form, left, pen);
    let help = form.fields.get(form.focus).map_or("", |f| f.help.as_str());
    let foot = Rect { x: area.x + 1, y: left.bottom(), width: area.width.saturating_sub(2), height: below };
    if form.keeping {
        pen.line(row(foot, 0), "Keeping it …", Meaning::Plain);
    } else if !notice.is_empty() {
        for (at, (text, meaning)) in notice.iter().enumerate() {
            pen.line(row(foot, at as u16), text, *meaning);
        }
    } else if let Some(first) = form.refused.first() {
        for (at, text) in wrap(&said(first), usize::from(foot.width)).iter().enumerate() {
            pen.line(row(foot, at as u16), text, Meaning::Out);
        }
    } else {
        let mut lines = wrap(help, usize::from(foot.width));
        if form.fields.len() > usize::from(left.height) {
            lines.push(format!("field {} of {}", form.focus + 1, form.fields.len()));
        }
        for (at, text) in lines.iter().enumerate() {
            pen.line(row(foot, at as u16), text, Meaning::Quiet);
        }
    }
    if beside > 0 {
        let right = Rect { x: left.right() + 1, width: beside.saturating_sub(2), ..left };
        let lines = works_out(form, model, usize::from(right.width));
        for (at, (text, meaning)) in lines.iter().enumerate() {
            pen.line(row(right, at as u16), text, *meaning);
        }
        if lines.len() > usize::from(right.height) {
            pen.line(
                row(right, right.height.saturating_sub(1)),
                "… a taller window shows more",
                Meaning::Quiet,
            );
        }
    }
}

/// What the brief as typed works out to, or all that is wrong with it.
fn works_out(form: &Form, model: &Model, cells: usize) -> Vec<(String, Meaning)> {
    let mut lines = vec![("What it works out to".to_owned(), Meaning::Title)];
    match form.worked(model.house().map(AsRef::as_ref), model.woods()) {
        Ok(worked) => lines.extend(sums(&worked, cells)),
        Err(refused) => {
            lines.push(("Still wanted or wrong:".to_owned(), Meaning::Plain));
            for r in &refused {
                lines.extend(wrap(&said(r), cells).into_iter().map(|l| (l, Meaning::Out)));
            }
        }
    }
    lines
}

fn sums(worked: &Worked, cells: usize) -> Vec<(String, Meaning)> {
    let brief = &worked.brief;
    let spans = |m: f64| telling::in_spans_where_neat(m, &brief.body);
    let plain = |line: String| (line, Meaning::Plain);
    let mut all = vec![
        plain(format!("{} x {}", told::metres(brief.length_m), told::metres(brief.width_m))),
        plain(format!("{} x {}", spans(brief.length_m), spans(brief.width_m))),
    ];
    let weak = members(worked).iter().any(MemberNow::too_weak);
    let meaning = if weak { Meaning::Caution } else { Meaning::Plain };
    all.extend(wrap(&in_short(worked), cells).into_iter().map(|l| (l, meaning)));
    let mut lines: Vec<String> = vec![String::new(), "Ropes, no knots allowed for:".to_owned()];
    for rope in &worked.setout.ropes {
        let marks: Vec<String> = rope.marks_m.iter().map(|m| format!("{m:.3}")).collect();
        lines.push(format!("{} {}", rope.name, told::metres(rope.cut_m)));
        lines.push(format!("  marks at {} m", marks.join(", ")));
    }
    lines.extend([
        format!("{} posts, {} tie beams", worked.posts.len(), worked.frames_m.len()),
        format!("{} rafters of {}", worked.rafter_count(), told::metres(worked.roof.rafter_m)),
        format!("ridge pole {}", told::metres(worked.roof.ridge_m)),
        format!("{} panels, order {}", worked.panels(), worked.order_panels()),
        format!("{} pins in {} caps", worked.thatch.pins, worked.thatch.cap_panels),
        format!("ridge: {:.0} kg, {} people", worked.lift.mass_kg, worked.people()),
    ]);
    all.extend(lines.into_iter().map(plain));
    for warning in worked.warnings() {
        let text = format!("! {}", warning.why);
        all.extend(wrap(&text, cells).into_iter().map(|l| (l, Meaning::Caution)));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_letter_cut_in_half_leaves_its_other_cell_empty() {
        assert_eq!(visible("家の海", 0), "家の海");
        assert_eq!(visible("家の海", 2), "の海");
        assert_eq!(visible("家の海", 3), " 海", "so that the cursor stays where it types");
        assert_eq!(visible("a\u{301}b", 1), "b");
    }
}
