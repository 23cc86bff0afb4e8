//! The fields of a brief: one table for the command line, the form and the
//! reading of what was said.

use super::brief;
use crate::measure::{self, Body};

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sort {
    /// Words.
    Text,
    /// One of some words.
    Choice(&'static [&'static str]),
    /// A length between two lengths, m.
    Length(f64, f64),
    /// Degrees between two angles.
    Degrees(f64, f64),
    /// A whole number between two.
    Count(u32, u32),
    /// A number between two, with its unit.
    Number(f64, f64, &'static str),
    /// A proportion, as 3:4; at most 1.
    Ratio,
}

/// A field of a brief.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Its id, in the book and in JSON.
    pub id: &'static str,
    /// What people call it.
    pub says: &'static str,
    /// What it holds.
    pub sort: Sort,
    /// What it is unless said otherwise.
    pub default: Option<&'static str>,
    /// One line that explains it.
    pub help: &'static str,
}

impl Field {
    /// The name of its option on the command line.
    #[must_use]
    pub fn option(&self) -> String {
        self.id.replace('_', "-")
    }

    /// Reads what was said: metres, degrees, a count, kg/m³ or a share.
    ///
    /// # Errors
    /// One line that says what is wrong and what would do.
    pub fn read(&self, said: &str, body: Option<&Body>) -> Result<f64, String> {
        let within = |n: f64, least: f64, most: f64, unit: &str| {
            if (least..=most).contains(&n) {
                Ok(n)
            } else {
                Err(format!("{n}{unit} is out of range; {least} to {most}{unit} would do"))
            }
        };
        match self.sort {
            Sort::Text | Sort::Choice(_) => Err(format!("\"{said}\" is no number")),
            Sort::Length(least, most) => within(brief::length(said, body)?, least, most, " m"),
            Sort::Degrees(least, most) => {
                measure::understand_angle(said, least..=most).map_err(|e| e.to_string())
            }
            Sort::Count(least, most) => {
                measure::understand_count(said, least..=most).map(f64::from).map_err(|e| e.to_string())
            }
            Sort::Number(least, most, unit) => {
                let bare = said.trim();
                let bare = bare.strip_suffix(unit).unwrap_or(bare).trim_end();
                let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
                let n = bare.parse().ok().filter(|n: &f64| n.is_finite());
                let unread = || format!("\"{said}\" is no number; {least} to {most}{unit} would do");
                within(n.ok_or_else(unread)?, least, most, &unit)
            }
            Sort::Ratio => ratio(said),
        }
    }
}

/// The share that a proportion such as 3:4 gives.
fn ratio(said: &str) -> Result<f64, String> {
    let unread = || format!("\"{said}\" is no proportion; 3:4 would do (width to length)");
    let (a, b) = said.split_once(':').ok_or_else(unread)?;
    let number = |t: &str| t.trim().parse::<f64>().ok().filter(|n| n.is_finite() && *n > 0.0 && *n <= 1000.0);
    let share = number(a).ok_or_else(unread)? / number(b).ok_or_else(unread)?;
    if share > 1.0 {
        return Err(format!("{said} makes the house wider than long; turn it round"));
    }
    if share < 0.05 {
        return Err(format!("{said} is too narrow for a house; 3:4 would do"));
    }
    Ok(share)
}

/// Looks a field up by its id.
#[must_use]
pub fn by_id(id: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|f| f.id == id)
}

const fn text(id: &'static str, says: &'static str, help: &'static str) -> Field {
    Field { id, says, sort: Sort::Text, default: None, help }
}

const fn choice(
    id: &'static str,
    says: &'static str,
    words: &'static [&'static str],
    default: &'static str,
    help: &'static str,
) -> Field {
    Field { id, says, sort: Sort::Choice(words), default: Some(default), help }
}

const fn need(id: &'static str, says: &'static str, sort: Sort, help: &'static str) -> Field {
    Field { id, says, sort, default: None, help }
}

const fn with(
    id: &'static str,
    says: &'static str,
    sort: Sort,
    default: &'static str,
    help: &'static str,
) -> Field {
    Field { id, says, sort, default: Some(default), help }
}

/// The fields, in the order in which they are asked. The defaults are common
/// practice.
pub const FIELDS: &[Field] = &[
    text("owner", "owner", "who will live there"),
    text("place", "place", "where it will stand"),
    text("measure", "measure", "whose arm span the house is laid out with"),
    need("span", "span", Sort::Length(0.5, 3.0), "fingertip to fingertip, arms spread: 1.742 m"),
    need("length", "length", Sort::Length(1.0, 40.0), "between the corner marks along the house: 4 sp"),
    need("width", "width", Sort::Length(0.8, 30.0), "between the corner marks across the house: 3 sp"),
    with("ratio", "width to length", Sort::Ratio, "3:4", "the proportion that gives the width: 3:4"),
    with("post_height", "post height", Sort::Length(0.5, 8.0), "2.1 m", "ground to head"),
    with("post_depth", "post depth", Sort::Length(0.2, 3.6), "0.9 m", "in the ground"),
    with(
        "post_gap_max",
        "widest post gap",
        Sort::Length(0.5, 10.0),
        "3 m",
        "posts along a side stand no further apart",
    ),
    with("post_d", "post thickness", Sort::Length(0.05, 0.6), "0.18 m", "diameter of the posts"),
    with("beam_d", "beam thickness", Sort::Length(0.05, 0.6), "0.16 m", "diameter of tie beams and plates"),
    with("ridge_d", "ridge thickness", Sort::Length(0.04, 0.5), "0.12 m", "diameter of the ridge pole"),
    with("rafter_d", "rafter thickness", Sort::Length(0.02, 0.3), "0.08 m", "diameter of the rafters"),
    with(
        "pitch",
        "pitch",
        Sort::Degrees(5.0, 80.0),
        "45",
        "slope of the roof, degrees; under 45 palm thatch rots sooner",
    ),
    with("eave", "eave", Sort::Length(0.0, 2.0), "0.6 m", "level overhang past the plates"),
    with("gable", "gable", Sort::Length(0.0, 2.0), "0.6 m", "overhang past the end frames"),
    with(
        "rafter_gap_max",
        "widest rafter gap",
        Sort::Length(0.1, 2.0),
        "0.6 m",
        "rafters stand no further apart",
    ),
    choice("thatch", "thatch", &["nipa", "coconut"], "nipa", "kind of thatch: nipa or coconut"),
    need("course", "course", Sort::Length(0.02, 0.5), "rows this far apart; the kind's own unless said"),
    with("panel", "panel", Sort::Length(0.3, 4.0), "1.2 m", "length of a panel"),
    with("lap", "side lap", Sort::Length(0.0, 2.0), "0.1 m", "panels of a row lap by this much"),
    with("cap_lap", "cap lap", Sort::Length(0.0, 2.0), "0.15 m", "cap panels lap by this much"),
    with("pins_per_cap", "pins in a cap", Sort::Count(1, 20), "4", "pins in each cap panel"),
    choice(
        "raising",
        "ridge goes up",
        &["with-rafters", "bare"],
        "bare",
        "bare, or with the rafters tied on: then many more people are needed",
    ),
    with("wraps", "wrap turns", Sort::Count(1, 20), "3", "wrap turns in each lashing"),
    with("fraps", "frapping turns", Sort::Count(0, 20), "2", "frapping turns in each lashing"),
    text("wood", "wood", "kind of tree of the frame, such as mangrove; else a weak one is taken"),
    need(
        "green_density",
        "green wood",
        Sort::Number(200.0, 2000.0, "kg/m³"),
        "kg/m³ of the poles as lifted; weigh a short piece, else the wood is taken as soaked",
    ),
    text("cord", "cord", "what it is tied with, as it was pulled; else the weakest that was pulled counts"),
    choice(
        "sides",
        "sides",
        &["open", "closed"],
        "open",
        "open, or closed by walls: wind lifts them differently",
    ),
    need("gust", "gust to hold", Sort::Number(10.0, 90.0, "m/s"), "the gust the house is to hold, m/s: 45"),
    need(
        "c_net",
        "own uplift",
        Sort::Number(0.1, 5.0, ""),
        "your own net uplift coefficient, in place of the tables",
    ),
    choice(
        "soil",
        "ground",
        &["unknown", "gravel", "sand", "clay"],
        "unknown",
        "what the posts stand in; mud, fill and loose coral stay unknown",
    ),
    need("foot", "foot", Sort::Length(0.05, 1.5), "across the cross-piece or stones fixed to a post's foot"),
    need("half_span", "half span", Sort::Length(0.2, 1.6), "as measured: 0.87 m"),
    need("forearm", "forearm", Sort::Length(0.1, 1.0), "elbow to fingertip: 45 cm"),
    need("hand", "hand span", Sort::Length(0.05, 0.5), "thumb to little finger, spread: 21 cm"),
    need("breadth", "hand breadth", Sort::Length(0.03, 0.2), "across the palm: 85 mm"),
    need("finger", "finger", Sort::Length(0.005, 0.05), "across a finger: 18 mm"),
    with(
        "poles",
        "usual poles",
        Sort::Text,
        "9 m x 12 cm, 6 m x 16 cm, 4 m x 18 cm, 6 m x 8 cm, 4 m x 8 cm",
        "length and thin end of the poles that are usually had: 6 m x 12 cm, 4 m x 8 cm",
    ),
    choice("tolerance", "tolerance", &["rope", "tape"], "rope", "set out with ropes or with a tape"),
    choice(
        "bare_numbers",
        "bare numbers are",
        &["cm", "m", "mm", "in", "ft", "sp", "h"],
        "cm",
        "the unit of a reading that is called out as a number alone",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_can_be_read() {
        for field in FIELDS {
            let Some(default) = field.default else { continue };
            match field.sort {
                Sort::Choice(words) => assert!(words.contains(&default), "{}", field.id),
                Sort::Text => {
                    assert!(default.split(',').all(|p| brief::pole(p, None).is_ok()), "{}", field.id)
                }
                _ => assert!(field.read(default, None).is_ok(), "{}", field.id),
            }
        }
    }

    #[test]
    fn a_proportion_is_width_to_length() {
        assert_eq!(ratio("3:4"), Ok(0.75));
        for bad in ["4:3", "3", "3:0", "a:b", "1:100", "3:4:5", "-3:4", "1e999:4"] {
            assert!(ratio(bad).is_err(), "{bad}");
        }
    }
}
