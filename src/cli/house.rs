//! `house`: one house in full.

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house};
use super::{again, house_json, told};
use crate::build::accept;
use crate::build::heap::ItemNow;
use crate::build::house::{From, House, PointNow, StageNow};
use crate::build::next::day;
use crate::build::permit::PastCut;
use crate::build::roofing;
use crate::build::stage::{STAGES, by_id};
use crate::build::stores::too_small;
use crate::build::verdict::Verdict;
use crate::build::worked::Worked;
use crate::build::{Moment, telling};
use crate::measure::Body;

/// One house: stages, points, items, doubts, what is next.
#[derive(Debug, clap::Args)]
pub(super) struct HouseArgs {
    /// The house
    house: String,
    /// Show this stage, and not the one in hand: centre-mark, set-out, posts, beams, roof-frame,
    /// ridge, thatch, cap, handing-over
    #[arg(long, value_name = "STAGE", conflicts_with = "all")]
    stage: Option<String>,
    /// Show all nine stages
    #[arg(long)]
    all: bool,
}

impl HouseArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open_to_tell()?;
        let house = house(&book, &self.house)?;
        let shown: Vec<&StageNow> = match &self.stage {
            Some(id) => {
                let known = || STAGES.iter().map(|s| s.id).collect::<Vec<_>>().join(", ");
                by_id(id).ok_or_else(|| {
                    CliError::refused("stage", format!("no stage \"{id}\"; the stages are {}", known()))
                })?;
                house.stage(id).into_iter().collect()
            }
            None if self.all => house.stages.iter().collect(),
            None => vec![house.in_hand()],
        };
        if scribe.json {
            return Ok(Said::Json(house_json::house(&house, scribe.stamp.now)));
        }
        Ok(Said::Lines(lines(&house, &shown, scribe.stamp.now)))
    }
}

fn lines(house: &House, shown: &[&StageNow], now: Moment) -> Vec<String> {
    let brief = &house.worked.brief;
    let mut lines = vec![format!("{}: {}", house.name, told::plan(&house.worked))];
    let whose: Vec<String> = [("for", &brief.owner), ("at", &brief.place)]
        .iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(word, text)| format!("{word} {text}"))
        .collect();
    if !whose.is_empty() {
        lines.push(whose.join(" "));
    }
    lines.push(String::new());
    lines.extend(ladder(house));
    for stage in shown {
        lines.push(String::new());
        lines.extend(in_full(stage, &house.worked));
        lines.extend(roofing::told(house, stage, now.date_naive()).iter().map(|word| format!("  {word}")));
    }
    lines.push(String::new());
    // A doubt in a point is told with the points to read again.
    let stages = house.doubts.iter().filter(|d| !d.what.contains('/'));
    lines.extend(stages.map(|d| format!("In doubt since {}: {}: {}", day(d.since), d.what, d.cause)));
    lines.extend(again::lines(house));
    lines.extend(house.past_permit.iter().map(past_permit));
    if let Some(held) = house.held_or_to_be(now) {
        lines.push(format!("{}: {}", if held.all { "All houses" } else { "This house" }, held.told(now)));
        lines.extend(held.lacking());
    }
    lines.push(format!("Next: {}", house.next_at(now)));
    lines
}

/// A cut past the permits, and how it is answered.
fn past_permit(past: &PastCut) -> String {
    let (what, day) = (past.told(), day(past.happened));
    format!(
        "! {what}, {day} by {}: {}; spanwright permit answer {} --said …",
        past.by,
        past.why_told(),
        past.entry
    )
}

/// The nine stages, the ninth on top as on the house.
fn ladder(house: &House) -> Vec<String> {
    let here = house.in_hand().stage.id;
    let rows: Vec<Vec<String>> = house
        .stages
        .iter()
        .rev()
        .map(|now| {
            let signed = now.signed.as_ref().map_or_else(String::new, |signed| {
                let remark = match signed.sign.remark.as_str() {
                    "" => String::new(),
                    remark => format!(": {remark}"),
                };
                format!("{}, {}{remark}", signed.by, day(signed.happened))
            });
            vec![
                if now.stage.id == here { ">" } else { "" }.to_owned(),
                now.stage.number.to_string(),
                now.stage.says.to_owned(),
                now.stage.id.to_owned(),
                now.state.word().to_owned(),
                signed,
            ]
        })
        .collect();
    lined_up("", &[Side::Left; 6], &rows)
}

/// A stage with its cautions, points and items.
fn in_full(now: &StageNow, worked: &Worked) -> Vec<String> {
    let body = &worked.brief.body;
    let mut lines = vec![format!("{} {}, {}", now.stage.number, now.stage.says, now.state.word())];
    lines.extend(now.stage.cautions.iter().map(|caution| format!("  ! {caution}")));
    lines.extend((now.stage.kit)(worked).iter().map(|word| format!("  · {word}")));
    if !now.points.is_empty() {
        let head = ["point", "", "meant", "read", "off", "verdict", ""].map(str::to_owned).to_vec();
        let rows: Vec<Vec<String>> =
            std::iter::once(head).chain(now.points.iter().map(|p| point(p, body))).collect();
        let sides = [Side::Left, Side::Left, Side::Right, Side::Right, Side::Right, Side::Left, Side::Left];
        lines.extend(lined_up("  ", &sides, &rows));
    }
    if !now.items.is_empty() {
        let head = ["item", "need", "needed yet", "on hand", "promised", "short", "how it is worked out"];
        let items = now.items.iter().map(|i| {
            let heap = &i.heap;
            let counts = [i.need.count, i.left, heap.on_hand, heap.promised, i.short].map(accept::told);
            std::iter::once(i.need.item.to_string()).chain(counts).chain(std::iter::once(how(i))).collect()
        });
        let rows: Vec<Vec<String>> = std::iter::once(head.map(str::to_owned).to_vec()).chain(items).collect();
        let sides = [&[Side::Left][..], &[Side::Right; 5], &[Side::Left]].concat();
        lines.extend(lined_up("  ", &sides, &rows));
    }
    lines.extend(now.findings.told.iter().map(|word| format!("  {word}")));
    lines
}

/// How a need is worked out, and what does not count for it.
fn how(now: &ItemNow) -> String {
    let how = now.need.how.first().cloned().unwrap_or_default();
    if now.too_small > 0.0 { format!("{how}; ! {}", too_small(now.too_small)) } else { how }
}

fn point(now: &PointNow, body: &Body) -> Vec<String> {
    let mut words: Vec<&str> = Vec::new();
    match now.from {
        From::Reading => {}
        From::Derived => words.push("worked out"),
        From::Inferred => words.push("follows from others"),
    }
    words.extend(now.why.as_deref());
    let verdict = match (now.verdict, now.from) {
        (Verdict::Unread, From::Derived) => "",
        (verdict, _) => verdict.word(),
    };
    vec![
        now.point.id.clone(),
        now.point.says.clone(),
        telling::meant(&now.point, body),
        telling::read(now),
        telling::difference(now),
        verdict.to_owned(),
        words.join("; "),
    ]
}
