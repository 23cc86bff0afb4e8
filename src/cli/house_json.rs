//! A house in JSON, whole.

use serde_json::{Map, Value, json};

use super::{again, brief, told};
use crate::build::Moment;
use crate::build::entry::Value as Read;
use crate::build::heap::ItemNow;
use crate::build::house::{From, House, PointNow, StageNow};
use crate::build::next;
use crate::build::readings::Current;
use crate::build::record::Signed;
use crate::build::roofing::{Going, Outlook};
use crate::build::stage::{Goal, PointKind};
use crate::build::stages::set_out;
use crate::build::worked::Worked;
use crate::reckon::square;

/// All that is known of a house.
pub(super) fn house(house: &House, now: Moment) -> Value {
    let pegs = house.stages.iter().find_map(|stage| stage.findings.set_out.as_ref());
    let doubts: Vec<Value> =
        house.doubts.iter().map(|d| json!({ "what": d.what, "since": d.since, "cause": d.cause })).collect();
    let holds: Vec<Value> = house
        .holds
        .iter()
        .map(|h| {
            json!({
                "id": h.id, "cause": h.cause, "planned": h.planned, "all": h.all, "from": h.from, "to": h.to,
                "tied": h.tied.0,
            })
        })
        .collect();
    json!({
        "name": house.name,
        "id": house.id,
        "started": house.started,
        "brief": brief::json(house),
        "stages": house.stages.iter().map(|now| stage(now, &house.worked)).collect::<Vec<_>>(),
        "in_hand": house.in_hand().stage.id,
        "set_out": squared(house),
        "kept": pegs.map(|p| p.kept.as_slice()).unwrap_or_default(),
        "peg_moves": pegs.map(|p| p.moves.as_slice()).unwrap_or_default(),
        "doubts": doubts,
        "read_again": again::json(house),
        "holds": holds,
        "held": house.held_at(now).is_some(),
        "past_permit": house.past_permit,
        "thatch": thatch(house, now),
        "what_holds": house.holds(None),
        "next": house.next_at(now),
    })
}

/// What squaring says of the pegs' readings: nothing while none is there, or
/// while they contradict each other so that no shape is found.
fn squared(house: &House) -> Option<square::Out> {
    let asked = set_out::asked(&house.worked, &house.readings);
    if asked.readings.is_empty() {
        return None;
    }
    square::run(&asked).ok()
}

/// How the thatch goes: each slope's bands from the eave up, how fast panels
/// are laid and woven, and the day on which they run out.
fn thatch(house: &House, now: Moment) -> Value {
    let going = Going::of(house);
    let bands = |slope: usize| {
        let bands = house.worked.slopes[slope].iter().map(|band| {
            json!({
                "kind": band.way.kind.id,
                "course_m": band.way.course_m,
                "even_course_m": band.even_course_m,
                "from_m": band.from_m,
                "rows": band.rows,
                "panels_per_row": band.panels_per_row,
            })
        });
        bands.collect::<Vec<_>>()
    };
    let (outlook, runs_out) = match going.outlook(now.date_naive()) {
        Outlook::Unknown => ("unknown", None),
        Outlook::Lasts => ("lasts", None),
        Outlook::RunsOut(day) => ("runs-out", Some(day)),
    };
    json!({
        "ab": bands(0),
        "cd": bands(1),
        "rows": { "ab": going.rows[0], "cd": going.rows[1] },
        "panels_laid": going.laid,
        "panels_left": going.left,
        "on_hand": told::whole(going.on_hand),
        "laid_per_day": going.laying.map(|rate| rate.per_day()),
        "laid_days": going.laying.map(|rate| rate.days),
        "woven_per_day": going.weaving.map(|rate| rate.per_day()),
        "woven_days": going.weaving.map(|rate| rate.days),
        "outlook": outlook,
        "runs_out": runs_out,
        "life_years": house.worked.life_years(),
        "lay_new": next::thatch_year(house),
    })
}

fn stage(now: &StageNow, worked: &Worked) -> Value {
    let steps: Vec<Value> =
        now.stage.steps.iter().map(|step| json!({ "does": step.does, "why": step.why })).collect();
    json!({
        "id": now.stage.id,
        "number": now.stage.number,
        "name": now.stage.says,
        "state": now.state.word(),
        "sign_off": now.signed.as_ref().map(sign_off),
        "points": now.points.iter().map(point).collect::<Vec<_>>(),
        "items": now.items.iter().map(item).collect::<Vec<_>>(),
        "cautions": now.stage.cautions,
        "kit": (now.stage.kit)(worked),
        "steps": steps,
        "rule": now.stage.rule_says,
        "told": now.findings.told,
        "against": now.against,
    })
}

fn sign_off(signed: &Signed) -> Value {
    json!({
        "id": signed.id,
        "by": signed.by,
        "at": signed.happened,
        "remark": signed.sign.remark,
        "rested_on": signed.sign.rested_on,
        "brief": signed.sign.brief,
    })
}

fn point(now: &PointNow) -> Value {
    let kind = now.point.kind;
    let number = |v: f64| told::json(kind, v);
    let target = match now.point.goal {
        Goal::Yes => Some(Value::Bool(true)),
        goal => goal.target().map(number),
    };
    let from = match now.from {
        From::Reading => "reading",
        From::Derived => "derived",
        From::Inferred => "inferred",
    };
    let mut told = json!({
        "id": now.point.id,
        "name": now.point.says,
        "kind": kind.word(),
        "target": target,
        "tolerance": now.point.goal.tolerance().map(number),
        "reading": now.value.map(number),
        "said": now.reading.as_ref().and_then(|r| r.said.last()),
        "difference": if kind == PointKind::YesNo { None } else { now.difference.map(number) },
        "verdict": now.verdict.word(),
        "why": now.why,
        "from": from,
        "derived": now.from == From::Derived,
        "must": now.point.must,
        "since_storm": now.since_storm || now.asked_by_storm,
    });
    if let (Some(reading), Value::Object(told)) = (&now.reading, &mut told) {
        read(reading, kind, told);
    }
    told
}

/// By whom and when it was read, each reading that stands, and the two
/// lengths of a pair.
fn read(reading: &Current, kind: PointKind, told: &mut Map<String, Value>) {
    told.insert("by".to_owned(), json!(reading.by));
    told.insert("at".to_owned(), json!(reading.happened));
    let each: Vec<Value> = reading
        .ids
        .iter()
        .zip(reading.values.iter().zip(&reading.said))
        .map(|(id, (value, said))| json!({ "id": id, "said": said, "reading": told::json(kind, value.number()) }))
        .collect();
    told.insert("readings".to_owned(), each.into());
    if let Some(Read::Pair { first_m, second_m, .. }) = reading.values.last() {
        told.insert("first".to_owned(), json!(first_m));
        told.insert("second".to_owned(), json!(second_m));
    }
}

fn item(now: &ItemNow) -> Value {
    let count = |n: f64| told::count(now.need.item, n);
    json!({
        "id": now.need.item,
        "unit": now.need.item.unit(),
        "need": count(now.need.count),
        "promised": count(now.heap.promised),
        "on_hand": count(now.heap.on_hand),
        "used": count(now.heap.used),
        "spoiled": count(now.heap.spoiled),
        "lost": count(now.heap.lost),
        "left": count(now.left),
        "short": count(now.short),
        "too_small": count(now.too_small),
        "thick": now.need.d_m,
        "how": now.need.how.join("\n"),
    })
}
