//! `holds`: what holds, what lifts, what gives first.

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house};
use crate::build::field;
use crate::build::holds::{Line, lines};

/// What holds, what lifts, what gives first: a screening, not a design.
#[derive(Debug, clap::Args)]
pub(super) struct HoldsArgs {
    /// The house
    house: String,
    /// The gust it is to hold, m/s, in place of the brief's
    #[arg(long, value_name = "M/S", allow_hyphen_values = true)]
    gust: Option<String>,
}

impl HoldsArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open_to_tell()?;
        let house = house(&book, &self.house)?;
        let read = |said: &String| field::by_id("gust").map(|f| f.read(said, None)).transpose();
        let gust = self.gust.as_ref().map(read).transpose().map_err(|why| CliError::refused("gust", why))?;
        let holds = house.holds(gust.flatten());
        if scribe.json {
            return Ok(Said::Json(serde_json::json!(holds)));
        }
        let title = format!("{}: what holds, what lifts, what gives first", house.name);
        Ok(Said::Lines(std::iter::once(title).chain(lines(&holds).iter().map(plain)).collect()))
    }
}

/// A line without its tone.
pub(super) fn plain(line: &Line) -> String {
    format!("{}{}", line.mark, line.text).trim_end().to_owned()
}
