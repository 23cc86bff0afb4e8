//! What a builder asks to be written: the same for keys and for commands.

use uuid::Uuid;

use super::accept::{self, Refused, Voice};
use super::brief::BriefText;
use super::entry::What;
use super::house::House;
use super::pieces;
use super::together::Together;
use crate::measure::Unit;

/// Of what poles a tally is, as said; empty where nothing was.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StemSaid {
    /// The kind of tree.
    pub tree: String,
    /// How long each is.
    pub length: String,
    /// How thick each is at its thin end.
    pub thick: String,
    /// Why they are cut past what permits allow.
    pub why: String,
}

/// A request about one house, or about all of them.
#[derive(Debug, Clone, PartialEq)]
pub enum Draft {
    /// Start a house.
    Start {
        /// Its name.
        name: String,
        /// Its brief.
        said: BriefText,
    },
    /// Say fields of the brief anew.
    Brief {
        /// The fields that change; an empty text goes back to the default.
        changes: Vec<(String, String)>,
    },
    /// Read a point.
    Reading {
        /// As `set-out/ab`.
        point: String,
        /// As called out.
        value: String,
        /// Beside the earlier reading, not in its place.
        again: bool,
        /// With what.
        with: String,
        /// Whose spans, where not the house's own.
        whose: Option<String>,
        /// The unit of a bare number, where not the brief's own.
        bare: Option<Unit>,
    },
    /// Tell that a peg was moved.
    Moved {
        /// As `set-out/c`.
        point: String,
    },
    /// Tell a movement of an item.
    Tally {
        /// The item.
        item: String,
        /// How many.
        count: String,
        /// How.
        how: String,
        /// To which house.
        to: Option<Uuid>,
        /// Anything else.
        remark: String,
        /// Of what poles.
        of: StemSaid,
    },
    /// Tell all that was lost, at once.
    Lost {
        /// The items, and how many of each; empty where none.
        counts: Vec<(String, String)>,
        /// Whether all of it was built in, and not taken from what lay there
        /// first.
        built_in: bool,
        /// Anything else.
        remark: String,
    },
    /// Tell that one more row was laid on a slope, its panels used.
    Laid {
        /// The slope: `ab` or `cd`.
        slope: String,
    },
    /// Tell that poles were cut to pieces: they are used, the pieces cut.
    CutUp {
        /// The poles, as `6 m x 12 cm`.
        pole: String,
        /// How many of them.
        times: String,
        /// The pieces of each, as `2 rafters, 1 brace`.
        into: String,
    },
    /// Sign a stage.
    Sign {
        /// The stage.
        stage: String,
        /// Why, where it is not ready.
        remark: String,
    },
    /// Stop the work.
    Hold {
        /// Why.
        cause: String,
        /// Whether it was planned.
        planned: bool,
    },
    /// Go on.
    Resume,
    /// Tell what the houses have together.
    Together(Together),
    /// Answer a cut that was past the permits.
    Answer {
        /// The cut's entry.
        entry: Uuid,
        /// What there is to say to it.
        said: String,
    },
    /// Strike an entry.
    Strike {
        /// The entry.
        entry: Uuid,
        /// Why.
        why: String,
    },
    /// Strike entries that were kept together.
    StrikeAll {
        /// The entries.
        entries: Vec<Uuid>,
        /// Why.
        why: String,
    },
}

impl Draft {
    /// What is to be written for a house as it is now, all of it or none.
    ///
    /// # Errors
    /// Everything that is wrong, each with its field.
    pub fn decide(&self, house: &House, by: &str) -> Result<Vec<What>, Vec<Refused>> {
        let one = |r: Result<What, Refused>| r.map(|what| vec![what]).map_err(|e| vec![e]);
        match self {
            Self::Start { .. } => one(Err(Refused { field: "house", why: "is started already".to_owned() })),
            Self::Brief { changes } => brief(house, changes).map(|what| vec![what]),
            Self::Reading { point, value, again, with, whose, bare } => {
                let own = Voice::of(house);
                let voice = Voice { bare: bare.unwrap_or(own.bare), whose: whose.clone(), ..own };
                one(accept::reading(house, point, value, &voice, *again, with))
            }
            Self::Moved { point } => one(accept::moved(point)),
            Self::Tally { item, count, how, to, remark, of } => {
                one(accept::tally(house, item, count, how, *to, remark, of))
            }
            Self::Lost { counts, built_in, remark } => accept::lost(house, counts, *built_in, remark),
            Self::Laid { slope } => accept::laid(house, slope).map(Vec::from).map_err(|e| vec![e]),
            Self::CutUp { pole, times, into } => {
                pieces::cut_up(house, pole, times, into).map_err(|e| vec![e])
            }
            Self::Sign { stage, remark } => one(accept::sign(house, stage, by, remark)),
            Self::Hold { cause, planned } => one(accept::hold(cause, *planned)),
            Self::Resume => Ok(vec![What::Resume]),
            Self::Together(together) => together.decide().map(|what| vec![what]),
            Self::Answer { entry, said } => one(accept::answer(*entry, said)),
            Self::Strike { entry, why } => one(accept::strike(*entry, why)),
            Self::StrikeAll { entries, why } => {
                let strikes = entries.iter().map(|entry| accept::strike(*entry, why));
                strikes.collect::<Result<_, _>>().map_err(|e| vec![e])
            }
        }
    }
}

/// The fields that are a person's.
const PARTS: [&str; 6] = ["span", "half_span", "forearm", "hand", "breadth", "finger"];

/// A new version of the brief, with everything not changed as it was.
fn brief(house: &House, changes: &[(String, String)]) -> Result<What, Vec<Refused>> {
    let mut said = house.version.said.clone();
    for (id, text) in changes {
        said.say(id, text);
    }
    if said.said("measure") != house.version.said.said("measure") {
        another_measure(house, changes, &mut said)?;
    }
    if said == house.version.said {
        return Err(vec![Refused { field: "brief", why: "nothing changes; say a field anew".to_owned() }]);
    }
    accept::worked(&said)?;
    Ok(What::Brief { said })
}

/// The parts of one person are not those of another: where nothing was said
/// of them, they are taken over from what the book knows of that person.
fn another_measure(
    house: &House,
    changes: &[(String, String)],
    said: &mut BriefText,
) -> Result<(), Vec<Refused>> {
    for part in PARTS {
        if !changes.iter().any(|(id, _)| id == part) {
            said.say(part, "");
        }
    }
    let name = said.said("measure").unwrap_or_default().to_owned();
    if let Some(body) = house.bodies.iter().find(|b| b.name().to_lowercase() == name.to_lowercase()) {
        said.borrow_measure(body);
    }
    if said.said("span").is_none() {
        let why = format!("nobody called \"{name}\" is measured; say the span too");
        return Err(vec![Refused { field: "span", why }]);
    }
    Ok(())
}
