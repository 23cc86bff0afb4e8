//! What may be written next: words in, an entry's contents out, or a refusal
//! that names the field and what would do. The command line and the forms
//! ask here, so that both refuse alike.

mod laid;
mod lost;
mod tally;

use unicode_width::UnicodeWidthStr;
use uuid::Uuid;

use super::brief::{self, BriefText, Remark};
use super::entry::{PointName, Reading, SignOff, Value, What};
use super::house::{From, House, State};
use super::stage::{Goal, Point, PointKind, STAGES};
use super::storm::storm_misspelt;
use super::telling::shown;
use super::worked::Worked;
use crate::measure::{self, Body, MOST_COUNT, NotUnderstood, Speech, Unit, is_unseen};

pub use laid::laid;
pub use lost::lost;
pub use tally::{LENGTH_M, MOST, THICK_M, tally, told, tree};

/// The longest text an entry holds, characters.
pub const LONGEST_TEXT: usize = 500;
/// The longest cause of a hold or tool of a reading, characters.
pub const LONGEST_WORDS: usize = 100;
/// The longest name, characters.
pub const LONGEST_NAME: usize = 60;

/// Why something may not be written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {why}")]
pub struct Refused {
    /// The field of the form, or the option of the command.
    pub field: &'static str,
    /// What is wrong and what would do.
    pub why: String,
}

pub(super) fn refuse<T>(field: &'static str, why: impl Into<String>) -> Result<T, Refused> {
    Err(Refused { field, why: why.into() })
}

impl std::convert::From<Remark> for Refused {
    fn from(remark: Remark) -> Self {
        Self { field: remark.field, why: remark.why }
    }
}

/// How lengths are called out at a house.
#[derive(Debug, Clone)]
pub struct Voice {
    /// Everybody whose parts may be named.
    pub bodies: Vec<Body>,
    /// The unit of a bare number.
    pub bare: Unit,
    /// Whose spans are meant when nobody is named; the house's own measure
    /// where it is none of the bodies.
    pub whose: Option<String>,
}

impl Voice {
    /// The voice of a house's own measure, bare numbers as its brief has them.
    #[must_use]
    pub fn of(house: &House) -> Self {
        Self { bodies: house.speakers(), bare: house.worked.brief.bare, whose: None }
    }

    fn speech(&self) -> Speech<'_> {
        let named = self.whose.as_ref().and_then(|w| self.bodies.iter().find(|b| b.name() == w));
        Speech { bodies: &self.bodies, own: named.or(self.bodies.first()), bare: self.bare }
    }
}

/// A value as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// The value.
    pub value: Value,
    /// How it was understood, in words.
    pub shown: String,
    /// Whose spans it was called out in, where they are not the house's own.
    pub whose: Option<String>,
}

/// Understands what was called out for a kind of point.
///
/// # Errors
/// The place in the text, what is wrong, and what would do.
pub fn understand(kind: PointKind, text: &str, voice: &Voice) -> Result<Understood, NotUnderstood> {
    let speech = voice.speech();
    let own = voice.bodies.first().map(Body::name);
    let other = |whose: Option<String>| whose.filter(|w| Some(w.as_str()) != own);
    let plain = |value, shown: String| Understood { value, shown, whose: None };
    Ok(match kind {
        PointKind::Length => {
            let said = measure::understand(text, &speech)?;
            Understood { value: Value::Length(said.metres), shown: said.shown, whose: other(said.whose) }
        }
        PointKind::Signed => {
            let said = measure::understand_signed(text, &speech)?;
            Understood { value: Value::Length(said.metres), shown: said.shown, whose: other(said.whose) }
        }
        PointKind::Pair => {
            let pair = measure::understand_pair(text, &speech)?;
            let shown = match (&pair.first, &pair.second) {
                (Some(a), Some(b)) => format!("{} less {}", a.shown, b.shown),
                _ => measure::told::signed_millimetres(pair.difference_m),
            };
            let value = Value::Pair {
                first_m: pair.first.as_ref().map(|s| s.metres),
                second_m: pair.second.as_ref().map(|s| s.metres),
                difference_m: pair.difference_m,
            };
            Understood { value, shown, whose: other(pair.first.and_then(|s| s.whose)) }
        }
        PointKind::Angle => {
            let degrees = measure::understand_angle(text, -360.0..=360.0)?;
            plain(Value::Angle(degrees), format!("{degrees}°"))
        }
        PointKind::Count => {
            let count = measure::understand_count(text, 0..=MOST_COUNT)?;
            plain(Value::Count(f64::from(count)), count.to_string())
        }
        PointKind::YesNo => {
            let yes = measure::understand_yes_no(text)?;
            plain(Value::YesNo(yes), if yes { "yes" } else { "no" }.to_owned())
        }
    })
}

/// Finds a point by its name, or says what the names are.
///
/// # Errors
/// An unknown stage or point, and a point that is worked out and never read.
pub fn point<'h>(house: &'h House, text: &str) -> Result<(PointName, &'h super::house::PointNow), Refused> {
    let name: PointName = text
        .parse()
        .or_else(|_| refuse("point", format!("\"{text}\" is no point; STAGE/POINT, such as set-out/ab")))?;
    let Some(stage) = house.stage(&name.stage) else {
        let known: Vec<&str> = STAGES.iter().map(|s| s.id).collect();
        return refuse("point", format!("no stage \"{}\"; the stages are {}", name.stage, known.join(", ")));
    };
    let Some(now) = stage.point(&name.point) else {
        let mut known: Vec<&str> =
            stage.points.iter().filter(|p| p.from != From::Derived).map(|p| p.point.id.as_str()).collect();
        let more = known.len().saturating_sub(12);
        known.truncate(12);
        let more = if more > 0 { format!(" and {more} more, see house --json") } else { String::new() };
        return refuse(
            "point",
            format!("no point \"{}\" at {}; there are {}{more}", name.point, name.stage, known.join(", ")),
        );
    };
    if now.from == From::Derived {
        return refuse("point", format!("{name} is worked out from the readings; read those"));
    }
    Ok((name, now))
}

/// A reading of a point.
///
/// # Errors
/// An unknown point, a value that is not understood, and a repeat of a point
/// that was not read before.
pub fn reading(
    house: &House,
    at: &str,
    text: &str,
    voice: &Voice,
    again: bool,
    with: &str,
) -> Result<What, Refused> {
    let (name, now) = point(house, at)?;
    if let Some(whose) = &voice.whose
        && !voice.bodies.iter().any(|b| b.name() == whose)
    {
        let known: Vec<&str> = voice.bodies.iter().map(Body::name).collect();
        return refuse(
            "measure",
            format!("nobody called \"{whose}\" is measured; the book knows {}", known.join(", ")),
        );
    }
    let understood = understand(now.point.kind, text, voice).or_else(|e| refuse("value", e.pointed(text)))?;
    if now.point.kind == PointKind::Length
        && matches!(now.point.goal, Goal::Near { .. })
        && understood.value.number() < 1e-6
    {
        return refuse("value", "nothing is no length here; read it again");
    }
    far_off(&now.point, text, &understood, voice)?;
    if again && now.reading.is_none() {
        return refuse("again", format!("{name} was not read yet; read it once without --again"));
    }
    if again && now.reading.as_ref().is_some_and(|r| r.values.len() >= 1000) {
        return refuse("again", "1,000 repeats are enough");
    }
    bounded("with", with, LONGEST_WORDS)?;
    let said = match &understood.whose {
        Some(whose) if !text.contains(whose.as_str()) => format!("{} of {whose}", text.trim()),
        _ => text.trim().to_owned(),
    };
    Ok(What::Reading(Reading {
        point: name,
        said,
        value: understood.value,
        again,
        with: with.trim().to_owned(),
        brief: house.version.id,
    }))
}

/// A number alone that is nowhere near what is meant was said in another
/// unit: it is asked for, not kept.
fn far_off(point: &Point, text: &str, said: &Understood, voice: &Voice) -> Result<(), Refused> {
    let Goal::Near { target, .. } = point.goal else { return Ok(()) };
    let alone = text.trim().chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' '));
    let value = said.value.number();
    if point.kind != PointKind::Length || !alone || (target / 3.0..=target * 3.0).contains(&value) {
        return Ok(());
    }
    let bare = voice.bare.sign();
    refuse(
        "value",
        format!("{} alone is {} {bare}, far from {target:.3} m; say its unit", text.trim(), text.trim()),
    )
}

/// That a peg was moved.
///
/// # Errors
/// Anything but the four pegs.
pub fn moved(at: &str) -> Result<What, Refused> {
    match at.to_ascii_lowercase().as_str() {
        "set-out/a" | "set-out/b" | "set-out/c" | "set-out/d" => {
            let point = at.to_ascii_lowercase().parse().or_else(|_| refuse("point", "no such peg"))?;
            Ok(What::Moved { point })
        }
        _ => refuse(
            "point",
            format!("\"{at}\" is no peg; the pegs are set-out/a, set-out/b, set-out/c, set-out/d"),
        ),
    }
}

/// A sign-off of a stage.
///
/// # Errors
/// An unknown stage, a stage that is signed and not in doubt, and a stage
/// that is not ready where no remark says why it is signed all the same.
pub fn sign(house: &House, stage: &str, by: &str, remark: &str) -> Result<What, Refused> {
    let Some(now) = house.stage(stage) else {
        let known: Vec<&str> = STAGES.iter().map(|s| s.id).collect();
        return refuse("stage", format!("no stage \"{stage}\"; the stages are {}", known.join(", ")));
    };
    if by.trim().is_empty() {
        return refuse("by", "say who signs");
    }
    bounded("remark", remark, LONGEST_TEXT)?;
    if now.state == State::Signed {
        return refuse("stage", format!("{stage} is signed already; strike that sign-off first"));
    }
    if !now.against.is_empty() && gives_no_reason(remark) {
        return refuse(
            "remark",
            format!(
                "{stage} is not ready ({}); put it right, or write why it is signed all the same",
                now.against.join("; ")
            ),
        );
    }
    let rested_on =
        now.points.iter().filter_map(|p| p.reading.as_ref()).flat_map(|r| r.ids.iter().copied()).collect();
    Ok(What::Sign(SignOff {
        stage: stage.to_owned(),
        remark: remark.trim().to_owned(),
        rested_on,
        brief: house.version.id,
    }))
}

/// A stop of the work.
///
/// # Errors
/// No cause, one too long, and a storm with a slip of the pen: what is read
/// again hangs on it.
pub fn hold(cause: &str, planned: bool) -> Result<What, Refused> {
    if says_nothing(cause) {
        return refuse("cause", "say why: storm, mourning, no panels, no crew, feast, or other words");
    }
    bounded("cause", cause, LONGEST_WORDS)?;
    if let Some(word) = storm_misspelt(cause) {
        return refuse(
            "cause",
            format!("\"{}\": is a {word} meant? Say so, or say other words", cause.trim()),
        );
    }
    Ok(What::Hold { cause: cause.trim().to_owned(), planned })
}

/// A strike through an entry.
///
/// # Errors
/// No reason, or one too long.
pub fn strike(entry: Uuid, why: &str) -> Result<What, Refused> {
    if gives_no_reason(why) {
        return refuse("why", "say why it is struck; it stays readable");
    }
    bounded("why", why, LONGEST_TEXT)?;
    Ok(What::Strike { entry, why: why.trim().to_owned() })
}

/// An answer to a cut past the permits.
///
/// # Errors
/// Nothing said, or too much.
pub fn answer(entry: Uuid, said: &str) -> Result<What, Refused> {
    if gives_no_reason(said) {
        return refuse("said", "say what there is to answer");
    }
    bounded("said", said, LONGEST_TEXT)?;
    Ok(What::Answer { entry, said: said.trim().to_owned() })
}

/// A new house's name and brief.
///
/// # Errors
/// Everything that is wrong, each with its field.
pub fn start(name: &str, said: &BriefText) -> Result<(What, What, Worked), Vec<Refused>> {
    let mut refused = Vec::new();
    let name = name.trim();
    refused.extend(called("name", name).err());
    match worked(said) {
        Ok(worked) if refused.is_empty() => {
            let house = What::House { name: name.to_owned() };
            return Ok((house, What::Brief { said: said.clone() }, worked));
        }
        Ok(_) => {}
        Err(more) => refused.extend(more),
    }
    Err(refused)
}

/// A brief worked out.
///
/// # Errors
/// Everything that is wrong, each with its field.
pub fn worked(said: &BriefText) -> Result<Worked, Vec<Refused>> {
    let brief =
        brief::understand(said).map_err(|all| all.into_iter().map(Refused::from).collect::<Vec<_>>())?;
    Worked::of(brief).map_err(|e| vec![e.into()])
}

/// What a house or a person may be called, without blanks at its ends.
///
/// # Errors
/// Nothing to be seen, something that cannot be seen, and too long a name.
pub fn called(field: &'static str, name: &str) -> Result<(), Refused> {
    if says_nothing(name) || name.chars().count() > LONGEST_NAME || name.contains(is_unseen) {
        return refuse(field, format!("1 to {LONGEST_NAME} characters that can be seen would do"));
    }
    Ok(())
}

/// Whether nothing of a text can be seen.
pub(super) fn says_nothing(text: &str) -> bool {
    shown(text).trim().width() == 0
}

/// Whether a text has neither letter nor number, and so gives no reason.
pub(super) fn gives_no_reason(text: &str) -> bool {
    !text.contains(char::is_alphanumeric)
}

/// A text of no more than so many characters.
///
/// # Errors
/// A longer one.
pub fn bounded(field: &'static str, text: &str, most: usize) -> Result<(), Refused> {
    if text.chars().count() > most {
        return refuse(field, format!("longer than {most} characters; say it shorter"));
    }
    Ok(())
}
