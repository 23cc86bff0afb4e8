//! `reckon`: a computation alone.

use std::fs::File;
use std::io::{self, Read};
use std::path::PathBuf;

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use crate::reckon::fields::MOST_BYTES;
use crate::reckon::parse::parse;
use crate::reckon::{Refusal, TOPICS};

/// A computation alone: one JSON object in, one JSON object out.
#[derive(Debug, clap::Args)]
pub(super) struct Reckon {
    /// The topic; without one, they are listed
    topic: Option<String>,
    /// Read the input from a file; without it, from standard input
    #[arg(long = "in", value_name = "FILE", requires = "topic")]
    input: Option<PathBuf>,
}

impl Reckon {
    pub(super) fn run(self, json: bool) -> Result<Said, CliError> {
        let Some(name) = self.topic else { return Ok(topics(json)) };
        let topic = TOPICS.iter().find(|t| t.name == name).ok_or(CliError::NoTopic(name))?;
        let text = match &self.input {
            None => all(io::stdin().lock(), "standard input")?,
            Some(path) => {
                let shown = path.display().to_string();
                let file = File::open(path)
                    .map_err(|source| CliError::Unreadable { path: shown.clone(), source })?;
                all(file, &shown)?
            }
        };
        Ok(Said::Json((topic.run)(parse(&text)?)?))
    }
}

fn topics(json: bool) -> Said {
    if json {
        let all: Vec<Value> = TOPICS.iter().map(|t| json!({ "name": t.name, "says": t.says })).collect();
        return Said::Json(all.into());
    }
    let rows: Vec<Vec<String>> = TOPICS.iter().map(|t| vec![t.name.to_owned(), t.says.to_owned()]).collect();
    Said::Lines(lined_up("", &[Side::Left, Side::Left], &rows))
}

/// All that is to be read, unless it is more than any topic takes.
fn all(from: impl Read, name: &str) -> Result<Vec<u8>, CliError> {
    let mut text = Vec::new();
    from.take(MOST_BYTES as u64 + 1)
        .read_to_end(&mut text)
        .map_err(|source| CliError::Unreadable { path: name.to_owned(), source })?;
    if text.len() > MOST_BYTES {
        let why = format!("over {} MiB; give less", MOST_BYTES >> 20);
        return Err(Refusal::at("(input)", why).into());
    }
    Ok(text)
}
