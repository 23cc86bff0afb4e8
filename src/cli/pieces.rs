//! `pieces`: which pole to cut into which pieces, and that it was done.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house};
use super::told;
use crate::book::{Book, Kept, Stamp};
use crate::build::House;
use crate::build::draft::Draft;
use crate::build::pieces::{KERF_M, Lacking, Plan, Pole, THIN_END, size_told, unsure_told};
use crate::reckon::timber::Cut;

/// Which pole to cut into which pieces; record that it was done.
///
/// The pieces of the earlier stage come first, the thickest before the others,
/// from the fewest poles. With --cut or --pole, records that poles were cut so:
/// they are used, the pieces cut, all in one.
#[derive(Debug, clap::Args)]
pub(super) struct PiecesArgs {
    /// The house
    house: String,
    /// Plan with the poles that the brief names (its field `poles`), and not
    /// with those on hand
    #[arg(long)]
    standard: bool,
    /// Record that a pole on hand was cut as this line of the plan has it
    #[arg(long, value_name = "LINE", conflicts_with_all = ["standard", "pole", "into"])]
    cut: Option<String>,
    /// Record that a pole of this size was cut, such as "6 m x 12 cm"
    #[arg(long, value_name = "SIZE", requires = "into", conflicts_with = "standard")]
    pole: Option<String>,
    /// The pieces that came of it, such as "1 rafter, 1 slope brace"
    #[arg(long, value_name = "PIECES", requires = "pole")]
    into: Option<String>,
    /// How many poles were cut so
    #[arg(long, value_name = "COUNT", default_value = "1", allow_hyphen_values = true)]
    times: String,
}

impl PiecesArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        if self.cut.is_none() && self.pole.is_none() {
            let now = house(&scribe.open_to_tell()?, &self.house)?;
            let plan = if self.standard { Plan::standard(&now) } else { Plan::at_hand(&now) };
            return Ok(if scribe.json {
                Said::Json(json(&now, &plan, self.standard))
            } else {
                Said::Lines(lines(&now, &plan, self.standard))
            });
        }
        let mut book = scribe.open()?;
        let now = house(&book, &self.house)?;
        let draft = self.draft(&now)?;
        let kept = book.keep_draft(Some(now.id), &draft, &scribe.stamp)?;
        let (more, line) = match &draft {
            Draft::CutUp { pole, times, into } => (
                json!({ "pole": pole, "times": times, "into": into }),
                format!("{times} of {pole} at {}: each into {into}", now.name),
            ),
            _ => (Value::Null, String::new()),
        };
        Ok(Said::kept(scribe.json, kept, more, vec![line]))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let now = house(book, &self.house)?;
        if self.cut.is_none() && self.pole.is_none() {
            return Err(CliError::Usage("records nothing without --cut or --pole; leave it out".to_owned()));
        }
        Ok(book.keep_draft(Some(now.id), &self.draft(&now)?, stamp)?)
    }

    /// What was cut, by the plan or as it was said.
    fn draft(&self, house: &House) -> Result<Draft, CliError> {
        let times = self.times.clone();
        if let (Some(pole), Some(into)) = (&self.pole, &self.into) {
            return Ok(Draft::CutUp { pole: pole.clone(), times, into: into.clone() });
        }
        let plan = Plan::at_hand(house);
        let line = self.cut.as_deref().unwrap_or_default();
        let chosen = line.trim().parse::<usize>().ok().and_then(|n| plan.out.cuts.get(n.checked_sub(1)?));
        let Some((cut, pole)) = chosen.and_then(|cut| Some((cut, plan.pole(cut)?))) else {
            let count = plan.out.cuts.len();
            let why = if count == 0 {
                "no pole on hand makes any piece that is needed; --pole and --into tell what was cut"
                    .to_owned()
            } else {
                format!("no line \"{line}\" in the plan; 1 to {count} would do")
            };
            return Err(CliError::refused("cut", why));
        };
        Ok(Draft::CutUp { pole: size_told(pole.size), times, into: plan.pieces(cut) })
    }
}

fn json(house: &House, plan: &Plan, standard: bool) -> Value {
    let pole = |pole: &Pole| json!({ "length_m": pole.size.length_m, "top_d_m": pole.size.d_m, "count": pole.count });
    let cut = |(line, cut): (usize, &Cut)| {
        json!({
            "line": line,
            "pole": plan.pole(cut).map(pole),
            "count": cut.count,
            "pieces": cut.pieces,
            "left_m": plan.left_m(cut),
        })
    };
    let wanted = plan.wanted.iter().map(|w| {
        json!({
            "item": w.item,
            "name": w.name,
            "length_m": w.size.length_m,
            "min_d_m": w.size.d_m,
            "count": w.count,
        })
    });
    let lacking = plan.lacking.iter().map(|l| json!({ "name": l.name, "count": l.count, "why": l.why }));
    json!({
        "house": house.name,
        "with": if standard { "standard" } else { "on-hand" },
        "wanted": wanted.collect::<Vec<_>>(),
        "stock": plan.stock.iter().map(pole).collect::<Vec<_>>(),
        "poles": plan.out.poles,
        "length_m": plan.out.length_m,
        "waste_m": plan.out.waste_m,
        "bound": plan.out.bound,
        "proved": plan.out.proved,
        "kerf_m": KERF_M,
        "cuts": (1..).zip(&plan.out.cuts).map(cut).collect::<Vec<_>>(),
        "lacking": lacking.collect::<Vec<_>>(),
        "lacking_proved": plan.lacking_proved,
        "unsized_poles": told::whole(house.poles.unsized_poles),
        "sizes_left_out": plan.sizes_left_out,
        "note": THIN_END,
    })
}

fn lines(house: &House, plan: &Plan, standard: bool) -> Vec<String> {
    let with = if standard { "the poles that the brief names" } else { "the poles on hand" };
    let mut lines = vec![format!("{}: poles to pieces, with {with}", house.name)];
    let row = |(line, cut): (usize, &Cut)| {
        let size = plan.pole(cut).map_or_else(String::new, |pole| size_told(pole.size));
        vec![
            format!("{line}."),
            format!("{} of", cut.count),
            size,
            format!("each into {}", plan.pieces(cut)),
            format!("{:.2} m left", plan.left_m(cut)),
        ]
    };
    let rows: Vec<Vec<String>> = (1..).zip(&plan.out.cuts).map(row).collect();
    let sides = [Side::Right, Side::Right, Side::Left, Side::Left, Side::Right];
    lines.extend(lined_up("  ", &sides, &rows));
    lines.push(plan.told());
    lines.extend(plan.lacking.iter().map(Lacking::told));
    lines.extend(unsure_told(house));
    lines.push(THIN_END.to_owned());
    lines
}
