//! `brief`: a house's brief, shown or said anew.

use serde_json::{Map, Value, json};
use unicode_width::UnicodeWidthStr;

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::fields::Fields;
use super::says::Said;
use super::scribe::{Scribe, house};
use super::told;
use crate::book::{Book, Kept, Stamp};
use crate::build::House;
use crate::build::draft::Draft;
use crate::build::field::{FIELDS, Field, Sort};
use crate::build::holds;

/// The widest value that stands among the others; a wider one has a line to
/// itself.
const WIDEST: usize = 30;

/// Show a house's brief, or say fields of it anew: a new version.
#[derive(Debug, clap::Args)]
pub(super) struct BriefArgs {
    /// The house
    house: String,
    #[command(flatten)]
    fields: Fields,
}

impl BriefArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        if self.fields.0.is_empty() {
            let house = house(&scribe.open_to_tell()?, &self.house)?;
            return Ok(if scribe.json { Said::Json(json(&house)) } else { Said::Lines(lines(&house)) });
        }
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let house = house(&book, &self.house)?;
        let doubts: Vec<String> = house.doubts.iter().map(|d| format!("{}: {}", d.what, d.cause)).collect();
        let warnings = warnings(&house);
        let poles = holds::poles(&house.worked);
        let more = json!({ "poles": poles, "warnings": warnings, "doubts": doubts });
        let mut lines = vec![holds::in_short(&house.worked)];
        lines.extend(warnings.iter().map(|w| format!("Think it over: {w}")));
        if house.version.id != kept.entry {
            lines.push(format!(
                "The brief of {} is a later one and stays in force.",
                crate::build::next::day(house.version.happened)
            ));
        }
        lines.extend(doubts.iter().map(|d| format!("In doubt: {d}")));
        lines.push(house.next_at(scribe.stamp.now));
        Ok(Said::kept(scribe.json, kept, more, lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        Ok(book.keep_draft(Some(house), &Draft::Brief { changes: self.fields.0.clone() }, stamp)?)
    }
}

fn warnings(house: &House) -> Vec<String> {
    house.worked.warnings().iter().map(ToString::to_string).collect()
}

/// The unit at the end of a field's name in JSON.
fn unit(field: &Field) -> &'static str {
    match field.sort {
        Sort::Length(..) => "_m",
        Sort::Degrees(..) => "_deg",
        Sort::Number(_, _, "kg/m³") => "_kg_m3",
        Sort::Number(_, _, "m/s") => "_m_s",
        Sort::Text | Sort::Choice(_) | Sort::Count(..) | Sort::Number(..) | Sort::Ratio => "",
    }
}

/// What a field comes to: as it was said, by default, or as it follows from
/// other fields; nothing for a part that was not measured. A brief that stands
/// was read before, and so can be read again.
fn value(house: &House, field: &Field) -> Option<Value> {
    let brief = &house.worked.brief;
    match field.id {
        "width" => return Some(brief.width_m.into()),
        "ratio" => return Some((brief.width_m / brief.length_m).into()),
        "course" => return Some(brief.roofing.course_m.into()),
        "green_density" => return Some(house.worked.green_kg_m3.into()),
        _ => {}
    }
    let said = house.version.said.said(field.id).or(field.default)?;
    match field.sort {
        Sort::Text | Sort::Choice(_) => Some(said.into()),
        Sort::Count(..) => field.read(said, None).ok().map(told::whole),
        _ => field.read(said, Some(&brief.body)).ok().map(Value::from),
    }
}

/// The brief in metres, degrees and numbers, and as it was said.
pub(super) fn json(house: &House) -> Value {
    let mut all = Map::new();
    all.insert("id".to_owned(), json!(house.version.id));
    for field in FIELDS {
        let value = value(house, field).unwrap_or(Value::Null);
        all.insert(format!("{}{}", field.id, unit(field)), value);
    }
    all.insert("said".to_owned(), json!(house.version.said));
    all.insert("versions".to_owned(), json!(house.versions));
    all.insert("poles".to_owned(), json!(holds::poles(&house.worked)));
    all.insert("warnings".to_owned(), json!(warnings(house)));
    Value::Object(all)
}

fn lines(house: &House) -> Vec<String> {
    let rows: Vec<Vec<String>> = FIELDS
        .iter()
        .filter_map(|field| {
            let comes_to = match (value(house, field)?, field.sort) {
                (Value::String(text), _) => text,
                (number, Sort::Length(..)) => {
                    crate::measure::told::metres(number.as_f64().unwrap_or_default())
                }
                (number, Sort::Degrees(..)) => format!("{number}°"),
                (number, Sort::Number(_, _, unit)) => format!("{number} {unit}"),
                (number, Sort::Ratio) => format!("{:.3}", number.as_f64().unwrap_or_default()),
                (number, _) => number.to_string(),
            };
            let said = match house.version.said.said(field.id) {
                Some(said) => format!("said: {said}"),
                None => "not said".to_owned(),
            };
            Some(vec![field.says.to_owned(), comes_to, said])
        })
        .collect();
    let mut lines = vec![format!(
        "{}: version {} of the brief, by {} on {}",
        house.name,
        house.versions,
        house.version.by,
        crate::build::next::day(house.version.happened)
    )];
    let (long, rows): (Vec<_>, Vec<_>) = rows.into_iter().partition(|row| row[1].width() > WIDEST);
    lines.extend(lined_up("  ", &[Side::Left; 3], &rows));
    lines.extend(long.iter().map(|row| format!("  {}: {} ({})", row[0], row[1], row[2])));
    lines.push(holds::in_short(&house.worked));
    lines.extend(warnings(house).iter().map(|w| format!("Think it over: {w}")));
    lines
}
