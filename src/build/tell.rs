//! An entry told in one line, as the day book shows it.

use std::collections::HashMap;

use uuid::Uuid;

use super::accept::told;
use super::entry::{Tally, What};

/// What an entry says, in one line; `names` are those of the houses.
#[must_use]
pub fn line(what: &What, names: &HashMap<Uuid, String>) -> String {
    match what {
        What::House { name } => format!("started {name}"),
        What::Brief { said } => {
            let said: Vec<String> = said.0.iter().map(|(id, text)| format!("{id} {text}")).collect();
            format!("brief: {}", said.join(", "))
        }
        What::Measure { name, parts } => format!("{name}'s span is {:.3} m", parts.span_m),
        What::Reading(r) => {
            let again = if r.again { " again" } else { "" };
            let with = if r.with.is_empty() { String::new() } else { format!(", with {}", r.with) };
            format!("read {}{again}: {}{with}", r.point, r.said)
        }
        What::Moved { point } => format!("moved {point}"),
        What::Tally(tally) => moved(tally, names),
        What::Sign(sign) => format!("signed {}{}", sign.stage, after(&sign.remark)),
        What::Hold { cause, planned } => {
            format!("held: {cause}{}", if *planned { ", as planned" } else { "" })
        }
        What::Resume => "resumed".to_owned(),
        What::Strike { entry, why } => format!("struck {entry}: {why}"),
    }
}

fn moved(tally: &Tally, names: &HashMap<Uuid, String>) -> String {
    let unit = match tally.item.unit() {
        "" => String::new(),
        unit => format!(" {unit} of"),
    };
    let to = tally.to.map_or_else(String::new, |to| {
        format!(" to {}", names.get(&to).map_or_else(|| to.to_string(), Clone::clone))
    });
    format!("{}{unit} {} {}{to}{}", told(tally.count), tally.item, tally.how, after(&tally.remark))
}

fn after(remark: &str) -> String {
    if remark.is_empty() { String::new() } else { format!(": {remark}") }
}
