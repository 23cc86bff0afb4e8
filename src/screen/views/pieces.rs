//! Poles to pieces: a line for each way a pole is cut, with a drawing of it.

use ratatui::layout::Rect;

use super::super::look::{Meaning, style};
use super::super::model::{Model, PiecesPage};
use super::super::msg::Target;
use super::super::parts::bole::bole;
use super::super::parts::cells::{fit, fit_right, wrap};
use super::super::pen::{Pen, row};
use super::{heading, told};
use crate::build::pieces::{KERF_M, Plan, THIN_END, named, size_told, unsure_told};
use crate::reckon::timber::Cut;

/// Cells of the drawings of poles, on a narrow and on a wide page.
const BOLE: [usize; 2] = [26, 50];
/// Lines at the foot, for what is chosen and what the plan comes to.
const FOOT: u16 = 7;

/// Draws the page.
pub fn draw(model: &Model, page: &PiecesPage, area: Rect, pen: &mut Pen<'_>) {
    let (Some(at_page), Some(plan)) = (&page.told, page.plan()) else {
        heading("Poles to pieces", "", area, pen);
        told(
            model,
            "Working out which pole to cut into what …",
            Rect { y: area.y + 2, height: area.height.saturating_sub(2), ..area },
            pen,
        );
        return;
    };
    let with = if page.usual { "with the usual poles" } else { "with the poles on hand" };
    heading(&format!("{}   poles to pieces", at_page.house.name), with, area, pen);
    let foot = if model.form.is_some() { 0 } else { FOOT.min(area.height / 2) };
    let list = Rect { y: area.y + 1, height: area.height.saturating_sub(1 + foot), ..area };
    listed(plan, page.chosen, list, pen);
    let under = Rect { x: area.x + 1, y: list.bottom(), width: area.width.saturating_sub(2), height: foot };
    let mut lines = chosen(plan, page.chosen);
    let notice = model.notice.as_ref().map(|notice| (notice.text.clone(), notice.meaning));
    lines.push(notice.unwrap_or_else(|| (plan.told(), Meaning::Hand)));
    lines.extend(unsure_told(&at_page.house).into_iter().map(|text| (text, Meaning::Plain)));
    lines.push((THIN_END.to_owned(), Meaning::Caution));
    let cells = usize::from(under.width);
    let lines =
        lines.iter().flat_map(|(text, means)| wrap(text, cells).into_iter().map(|line| (line, *means)));
    for (at, (line, meaning)) in lines.take(usize::from(under.height)).enumerate() {
        pen.line(row(under, at as u16), &line, meaning);
    }
}

/// The cuts, then what is lacking, the chosen line in sight.
fn listed(plan: &Plan, chosen: usize, area: Rect, pen: &mut Pen<'_>) {
    let wide = usize::from(area.width);
    let longest = plan.stock.iter().map(|pole| pole.size.length_m).fold(0.0, f64::max);
    let cells = if wide >= 110 { BOLE[1] } else { BOLE[0].min(wide.saturating_sub(24)) };
    let head = format!(" {}{}{}", fit("poles", 22), fit("cut so (· left over)", cells + 2), "into");
    pen.line(row(area, 0), &head, Meaning::Title);
    let room = usize::from(area.height.saturating_sub(1));
    let cuts = plan.out.cuts.iter().map(|cut| (of_cut(plan, cut, longest, cells), Meaning::Plain));
    let lacking = plan.lacking.iter().map(|lacks| {
        let text = format!(
            " {}! lacking, {}: {}",
            fit(&format!("{:>3} {}", lacks.count, named(lacks.name, lacks.count as usize)), 22),
            lacks.short,
            size_told(lacks.size)
        );
        (text, Meaning::Out)
    });
    let lines: Vec<(String, Meaning)> = cuts.chain(lacking).collect();
    if lines.is_empty() {
        pen.line(row(area, 1), "  Nothing is to be cut.", Meaning::Plain);
    }
    let from = chosen.saturating_sub(room / 2).min(lines.len().saturating_sub(room));
    for (at, (text, meaning)) in lines.iter().enumerate().skip(from).take(room) {
        let here = row(area, (at - from) as u16 + 1);
        let look = style(*meaning);
        pen.styled(here, text, if at == chosen { look.patch(style(Meaning::Chosen)) } else { look });
        pen.target(here, Target::Line(at));
    }
}

fn of_cut(plan: &Plan, cut: &Cut, longest_m: f64, cells: usize) -> String {
    let size = plan.pole(cut).map(|pole| pole.size);
    let drawn = size
        .map_or_else(String::new, |size| bole(&plan.lengths_m(cut), KERF_M, size.length_m, longest_m, cells));
    let pole = size.map_or_else(String::new, size_told);
    let into = plan.pieces(cut);
    format!(" {} of {}{}  {into}", fit_right(&cut.count.to_string(), 3), fit(&pole, 15), fit(&drawn, cells))
}

/// All there is to say of the chosen line.
fn chosen(plan: &Plan, chosen: usize) -> Vec<(String, Meaning)> {
    let cuts = plan.out.cuts.len();
    if let Some(cut) = plan.out.cuts.get(chosen) {
        let pole = plan.pole(cut).map_or_else(String::new, |pole| size_told(pole.size));
        let pieces: Vec<String> =
            cut.pieces.iter().zip(plan.lengths_m(cut)).map(|(name, m)| format!("{name} {m:.2} m")).collect();
        let text = format!(
            "{} of {pole}, each into {}; {:.2} m left of each.",
            cut.count,
            pieces.join(", "),
            plan.left_m(cut)
        );
        return vec![(text, Meaning::Plain)];
    }
    let lacks = chosen.checked_sub(cuts).and_then(|at| plan.lacking.get(at));
    lacks.map(|l| (format!("{}.", l.told()), Meaning::Out)).into_iter().collect()
}
