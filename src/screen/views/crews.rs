//! The list of crews, rates and closed days.

use ratatui::layout::Rect;

use super::super::look::{Meaning, style};
use super::super::model::{CrewsShown, Model};
use super::super::msg::Target;
use super::super::parts::cells::{fit, wrap};
use super::super::pen::{Pen, row};
use super::days::begun;
use crate::book::DaysTold;
use crate::build::days::{CrewNow, list};
use crate::build::telling::people;

/// How wide the columns are, cells.
const NAME: usize = 20;
const PEOPLE: usize = 12;
const WORK: usize = 12;
const MUCH: usize = 32;
/// The most lines at the foot.
const FOOT: usize = 4;

/// Draws the list.
pub fn draw(model: &Model, shown: CrewsShown, area: Rect, pen: &mut Pen<'_>) {
    let Some((inner, planned)) = begun("Crews, rates and closed days", model, area, pen) else { return };
    let cells = usize::from(inner.width);
    let crews = &planned.now.crews;
    let chosen = shown.chosen.min(crews.len().saturating_sub(1));
    let foot = foot(model, planned, chosen, cells);
    let lines: Vec<(String, Meaning)> =
        crews.iter().map(of_crew).chain(rates(planned)).chain(village(planned, cells)).collect();
    let room = usize::from(inner.height).saturating_sub(foot.len() + 1);
    let from = shown.scroll.min(lines.len().saturating_sub(room));
    pen.drawn.from = Some(from);
    for (at, (text, meaning)) in lines.iter().enumerate().skip(from).take(room) {
        let here = row(inner, (at - from) as u16);
        let is_chosen = at == chosen && !crews.is_empty();
        let mark = if is_chosen { "▸" } else { " " };
        let look = style(*meaning);
        let look = if is_chosen { look.patch(style(Meaning::Chosen)) } else { look };
        pen.styled(here, &format!("{mark}{text}"), look);
        if at < crews.len() {
            pen.target(here, Target::Line(at));
        }
    }
    let below = lines.len().saturating_sub(from + room);
    let under = Rect { y: inner.y + room as u16, height: inner.height - room as u16, ..inner };
    if below > 0 {
        let text = format!(" … {below} more below; PgDn shows them");
        pen.line(row(under, 0), &text, Meaning::Hand);
    }
    for (at, (text, meaning)) in foot.iter().enumerate() {
        pen.line(row(under, at as u16 + 1), text, *meaning);
    }
}

fn of_crew(now: &CrewNow) -> (String, Meaning) {
    let (name, size) = (fit(&now.crew.name, NAME), fit(&people(now.crew.size), PEOPLE));
    let meaning = if now.assumed { Meaning::Quiet } else { Meaning::Plain };
    (format!("{name}{size}{}", list::works(&now.crew)), meaning)
}

fn rates(planned: &DaysTold) -> Vec<(String, Meaning)> {
    let title = "What a person does in a day (and the usual, where another was learnt)";
    let rates = &planned.now.rates;
    let rows = list::rates(rates).into_iter().map(|[work, much, known]| {
        (format!(" {}{}{known}", fit(&work, WORK), fit(&much, MUCH)), Meaning::Plain)
    });
    let odd = list::any_odd(rates).then(|| (format!(" {}", list::ODD), Meaning::Quiet));
    let blank = (String::new(), Meaning::Plain);
    [blank, (title.to_owned(), Meaning::Title)].into_iter().chain(rows).chain(odd).collect()
}

fn village(planned: &DaysTold, cells: usize) -> Vec<(String, Meaning)> {
    let now = &planned.now;
    let told = list::village(&planned.village, now.today).into_iter().map(|text| (text, Meaning::Plain));
    let assumed = now.assumed.iter().map(|text| (text.clone(), Meaning::Quiet));
    let all = told.chain(assumed).flat_map(|(text, meaning)| {
        wrap(&text, cells.saturating_sub(2)).into_iter().map(move |line| (format!(" {line}"), meaning))
    });
    let title = ("Closed days and the weather".to_owned(), Meaning::Title);
    [(String::new(), Meaning::Plain), title].into_iter().chain(all).collect()
}

/// What there is to say of the chosen crew, and what is told.
fn foot(model: &Model, planned: &DaysTold, chosen: usize, cells: usize) -> Vec<(String, Meaning)> {
    if model.form.is_some() {
        return Vec::new();
    }
    let crew = planned.now.crews.get(chosen);
    let crew = crew.map_or_else(
        || "No crew is named yet; r names one.".to_owned(),
        |now| list::crew(now, planned.now.today) + ".",
    );
    let notice = model.notice.as_ref().map(|notice| (notice.text.clone(), notice.meaning));
    let all = std::iter::once((crew, Meaning::Hand)).chain(notice);
    let wrapped =
        all.flat_map(|(text, meaning)| wrap(&text, cells).into_iter().map(move |line| (line, meaning)));
    wrapped.take(FOOT).collect()
}
