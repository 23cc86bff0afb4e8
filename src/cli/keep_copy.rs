//! `keep-copy`: a safe copy of the book.

use std::path::PathBuf;

use serde_json::json;

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;

/// Copy the book to a new file, safely, also while it is in use.
#[derive(Debug, clap::Args)]
pub(super) struct KeepCopy {
    /// The new file
    file: PathBuf,
}

impl KeepCopy {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open_to_tell()?;
        book.keep_copy(&self.file)?;
        let copy = self.file.display().to_string();
        if scribe.json {
            return Ok(Said::Json(json!({ "copy": copy })));
        }
        Ok(Said::Lines(vec![format!("{} is copied to {copy}", book.path().display())]))
    }
}
