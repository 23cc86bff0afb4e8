//! `measure`: people's measures.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::accept::Refused;
use crate::build::entry::{Parts, What};
use crate::build::field;
use crate::measure::{Body, told};

/// Record a person's measure, or list those the book knows.
#[derive(Debug, clap::Args)]
pub(super) struct Measure {
    /// Whose it is
    #[arg(requires = "span")]
    name: Option<String>,
    /// From fingertip to fingertip, arms spread: 1.742m
    #[arg(long, value_name = "LENGTH", requires = "name", allow_hyphen_values = true)]
    span: Option<String>,
    /// Half of it, as measured: 87cm
    #[arg(long, value_name = "LENGTH", requires = "span", allow_hyphen_values = true)]
    half_span: Option<String>,
    /// Elbow to fingertip: 45cm
    #[arg(long, value_name = "LENGTH", requires = "span", allow_hyphen_values = true)]
    forearm: Option<String>,
    /// Thumb to little finger, spread: 21cm
    #[arg(long, value_name = "LENGTH", requires = "span", allow_hyphen_values = true)]
    hand: Option<String>,
    /// Across the palm: 85mm
    #[arg(long, value_name = "LENGTH", requires = "span", allow_hyphen_values = true)]
    breadth: Option<String>,
    /// Across a finger: 18mm
    #[arg(long, value_name = "LENGTH", requires = "span", allow_hyphen_values = true)]
    finger: Option<String>,
}

impl Measure {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        if self.name.is_none() {
            return list(&scribe.open_to_tell()?, scribe.json);
        }
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new()))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let name = self.name.as_deref().unwrap_or_default();
        let parts = self.parts(name)?;
        Ok(book.keep_measure(name, parts, stamp)?)
    }

    /// What was said of the parts, or everything that is wrong with it.
    fn parts(&self, name: &str) -> Result<Parts, CliError> {
        let mut refused = Vec::new();
        let mut part = |id: &str, said: &Option<String>| {
            let (field, said) = (field::by_id(id)?, said.as_deref()?);
            match field.read(said, None) {
                Ok(metres) => Some(metres),
                Err(why) => {
                    refused.push(Refused { field: field.id, why });
                    None
                }
            }
        };
        let span_m = part("span", &self.span).unwrap_or_default();
        let parts = Parts {
            span_m,
            half_span_m: part("half_span", &self.half_span),
            forearm_m: part("forearm", &self.forearm),
            hand_m: part("hand", &self.hand),
            breadth_m: part("breadth", &self.breadth),
            finger_m: part("finger", &self.finger),
        };
        if !refused.is_empty() {
            return Err(CliError::Refused(refused));
        }
        parts.body(name).map_err(|e| CliError::refused("measure", e.to_string()))?;
        Ok(parts)
    }
}

/// The measure of a person, where the book knows it; names are compared in
/// any case.
pub(super) fn known(book: &Book, asked: &str) -> Result<Option<Body>, CliError> {
    let asked = asked.trim().to_lowercase();
    let found = book.measures()?.into_iter().rev().find_map(|entry| match entry.what {
        What::Measure { name, parts } if name.to_lowercase() == asked => parts.body(&name).ok(),
        _ => None,
    });
    Ok(found)
}

fn list(book: &Book, json: bool) -> Result<Said, CliError> {
    let known = book.measures()?;
    let known: Vec<(&str, &Parts, &crate::build::Entry)> = known
        .iter()
        .filter_map(|entry| match &entry.what {
            What::Measure { name, parts } => Some((name.as_str(), parts, entry)),
            _ => None,
        })
        .collect();
    if json {
        let all: Vec<Value> = known
            .iter()
            .map(|(name, parts, entry)| {
                json!({
                    "id": entry.id, "name": name, "at": entry.happened, "by": entry.by,
                    "span_m": parts.span_m, "half_span_m": parts.half_span_m, "forearm_m": parts.forearm_m,
                    "hand_m": parts.hand_m, "breadth_m": parts.breadth_m, "finger_m": parts.finger_m,
                })
            })
            .collect();
        return Ok(Said::Json(all.into()));
    }
    if known.is_empty() {
        let line = "No measure is known yet: spanwright measure NAME --span 1.742m".to_owned();
        return Ok(Said::Lines(vec![line]));
    }
    let head = ["name", "span", "half span", "forearm", "hand span", "hand breadth", "finger"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    let told = |m: Option<f64>| m.map_or_else(|| "-".to_owned(), told::metres);
    rows.extend(known.iter().map(|(name, p, _)| {
        let parts = [Some(p.span_m), p.half_span_m, p.forearm_m, p.hand_m, p.breadth_m, p.finger_m];
        std::iter::once((*name).to_owned()).chain(parts.map(told)).collect()
    }));
    let sides = [&[Side::Left][..], &[Side::Right; 6]].concat();
    Ok(Said::Lines(lined_up("", &sides, &rows)))
}
