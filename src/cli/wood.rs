//! `wood`: kinds of wood, told and listed.

use clap::Subcommand;
use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;
use crate::build::holds::Told;
use crate::build::holds::wood::{From, Taken, all};
use crate::build::together::Together;

/// Kinds of wood: how heavy, how strong, how long they last.
#[derive(Debug, clap::Args)]
pub(super) struct WoodArgs {
    #[command(subcommand)]
    does: Does,
}

#[derive(Debug, Subcommand)]
enum Does {
    /// Tell a kind of wood, in place of what was known of it
    Add {
        /// What the tree is called
        name: String,
        /// Oven-dry mass over green volume, kg/m³: 840
        #[arg(long, value_name = "KG/M3", allow_hyphen_values = true)]
        density: String,
        /// The strength class that is taken for it (EN 338): D40
        #[arg(long)]
        class: String,
        /// In the ground, 1 very durable to 5 not durable (EN 350)
        #[arg(long, value_name = "1-5", allow_hyphen_values = true)]
        durability: String,
    },
    /// All kinds that can be named in a brief
    List,
}

impl WoodArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        match self.does {
            Does::Add { .. } => {
                let mut book = scribe.open_or_begin()?;
                let kept = self.keep(&mut book, &scribe.stamp)?;
                Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new()))
            }
            Does::List => {
                let woods = all(&Told::of(&scribe.open_to_tell()?.entries_of(None)?).woods);
                Ok(if scribe.json { Said::Json(json!(woods)) } else { Said::Lines(lines(&woods)) })
            }
        }
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let Does::Add { name, density, class, durability } = &self.does else {
            return Err(CliError::Usage("wood list records nothing; leave it out".to_owned()));
        };
        let wood = Together::Wood {
            name: name.clone(),
            density: density.clone(),
            class: class.clone(),
            durability: durability.clone(),
        };
        Ok(book.keep_draft(None, &Draft::Together(wood), stamp)?)
    }
}

fn lines(woods: &[Taken]) -> Vec<String> {
    let head = ["wood", "kg/m³ dry", "class", "lasts", ""].map(str::to_owned).to_vec();
    let rows = woods.iter().map(|w| {
        let whence = match w.from {
            From::Book => "told in this book",
            _ => "from memory; weigh and try your own",
        };
        vec![
            w.name.clone(),
            format!("{:.0}", w.density_kg_m3),
            w.class.clone(),
            w.durability.to_string(),
            whence.to_owned(),
        ]
    });
    let rows: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
    let sides = [Side::Left, Side::Right, Side::Left, Side::Left, Side::Left];
    let mut lines = lined_up("", &sides, &rows);
    lines.push("Classes (EN 338) are for graded sawn timber; for poles they are assumed. Lasts: 1 very long in the ground to 5 not at all (EN 350).".to_owned());
    lines
}
