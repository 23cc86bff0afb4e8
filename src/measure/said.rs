//! Lengths as they are called out, understood.

use super::body::Body;
use super::metres::Metres;
use super::number::{Number, number};
use super::pieces::{Kind, MOST_CHARS, Pieces};
use super::refusal::{NotUnderstood, Place};
use super::unit::{Family, Unit};

/// What is taken for granted between people who call out lengths.
#[derive(Debug, Clone, Copy)]
pub struct Speech<'a> {
    /// Everyone whose measure is known, one of each name.
    pub bodies: &'a [Body],
    /// Whose parts are meant when nobody is named.
    pub own: Option<&'a Body>,
    /// The unit of a bare number.
    pub bare: Unit,
}

/// Nobody was measured, and a bare number is centimetres.
impl Default for Speech<'_> {
    fn default() -> Self {
        Self { bodies: &[], own: None, bare: Unit::Centimetre }
    }
}

/// A length or a difference as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// In metres: 0 to 1,000, or -1,000 to 1,000 for a difference.
    pub metres: f64,
    /// How it was understood: `2 1/2 sp`. Understood again, it is the same
    /// number of metres.
    pub shown: String,
    /// Whose parts it was said in; none for metres and feet.
    pub whose: Option<String>,
    /// The longest unit it was said in.
    pub unit: Unit,
    /// Whether the unit was left out.
    pub bare: bool,
}

/// Understands a length of 0 to 1,000 m.
///
/// # Errors
/// Refuses whatever is not plainly a length, with its place.
pub fn understand(text: &str, speech: &Speech<'_>) -> Result<Said, NotUnderstood> {
    let mut pieces = Pieces::cut(text)?;
    if let Some((_, place)) = pieces.take_sign() {
        return Err(place.refused("a length has no sign before it; leave the sign out"));
    }
    let length = Length::take(&mut pieces)?;
    let said = length.said(speech)?;
    if said.metres < 0.0 {
        return Err(length.place().refused("less than nothing; a length is from 0 to 1000 m"));
    }
    Ok(said)
}

/// Understands a difference of -1,000 to 1,000 m, with or without a sign
/// before it.
///
/// # Errors
/// Refuses whatever is not plainly a difference, with its place.
pub fn understand_signed(text: &str, speech: &Speech<'_>) -> Result<Said, NotUnderstood> {
    let mut pieces = Pieces::cut(text)?;
    let sign = pieces.take_sign();
    let length = Length::take(&mut pieces)?;
    let said = length.said(speech)?;
    if length.is_trimmed() {
        return match sign {
            Some((_, place)) => {
                Err(place.refused("a sign before spans with millimetres is unclear; leave it out"))
            }
            None => Ok(said),
        };
    }
    // Nothing is 0, whatever sign was said before it.
    if said.metres == 0.0 {
        return Ok(said);
    }
    let (metres, sign) = match sign {
        Some((true, _)) => (-said.metres, '-'),
        _ => (said.metres, '+'),
    };
    Ok(Said { metres, shown: format!("{sign}{}", said.shown), ..said })
}

/// How a number with its unit goes on from the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    Beside,
    Plus,
    Minus,
}

/// A number with its unit.
struct Term {
    joint: Joint,
    number: Number,
    unit: Option<Unit>,
    place: Place,
}

impl Term {
    fn take(pieces: &mut Pieces<'_>, joint: Joint) -> Result<Self, NotUnderstood> {
        let number = number(pieces)?;
        let (unit, place) = match unit(pieces)? {
            Some((unit, end)) => (Some(unit), number.place.to(end)),
            None => (None, number.place),
        };
        Ok(Self { joint, number, unit, place })
    }

    /// Whether it is the millimetres by which a length in body parts is told
    /// to be more or less: `2 1/2 sp + 3 mm`.
    fn trims(&self, before: Unit) -> bool {
        self.joint != Joint::Beside && self.unit == Some(Unit::Millimetre) && before.family() == Family::Body
    }

    /// Makes sure that it may follow the term before.
    fn follows(&self, before: &Self) -> Result<(), NotUnderstood> {
        let Some(longer) = before.unit else {
            return Err(match self.joint {
                Joint::Beside => self.place.refused(
                    "a number straight after a number; say both units, or a fraction such as 3/4 or 3 1/4",
                ),
                _ => before.place.refused("a number without a unit; say its unit, such as 3 m"),
            });
        };
        let Some(unit) = self.unit else {
            return Err(self.place.refused("a number without a unit; say its unit, or leave it out"));
        };
        if self.trims(longer) {
            return Ok(());
        }
        if self.joint == Joint::Minus {
            return Err(self.place.refused("only millimetres are taken off, and only from body parts"));
        }
        if unit.family() != longer.family() {
            return Err(self
                .place
                .refused(format!("{longer} and {unit} are not said together; say it in one of them")));
        }
        if unit == longer {
            return Err(self.place.refused(format!("{unit} is said twice; add them up")));
        }
        if unit < longer {
            return Err(self
                .place
                .refused(format!("{unit} stands before {longer}; say the longer unit first")));
        }
        Ok(())
    }
}

/// Takes a unit, if one comes next.
fn unit(pieces: &mut Pieces<'_>) -> Result<Option<(Unit, Place)>, NotUnderstood> {
    let place = pieces.here();
    let word = match pieces.peek() {
        Some(Kind::Mark(unit)) => {
            pieces.take();
            return Ok(Some((unit, place)));
        }
        Some(Kind::Word(word)) => word,
        _ => return Ok(None),
    };
    pieces.take();
    if let Some(Kind::Word(second)) = pieces.peek()
        && let Some(unit) = Unit::called(&format!("{word} {second}"))
    {
        let end = pieces.here();
        pieces.take();
        return Ok(Some((unit, place.to(end))));
    }
    match Unit::called(word) {
        Some(unit) => Ok(Some((unit, place))),
        None => {
            let known = Unit::ALL.map(Unit::sign).join(" ");
            Err(place.refused(format!("{word} is not a unit; units are {known}")))
        }
    }
}

/// A whole length: its terms, and who was named.
struct Length<'a> {
    first: Term,
    more: Vec<Term>,
    of: Option<(&'a str, Place)>,
}

impl<'a> Length<'a> {
    fn take(pieces: &mut Pieces<'a>) -> Result<Self, NotUnderstood> {
        let Some(_) = pieces.peek() else {
            return Err(pieces.here().refused("nothing was said; say a length, such as 2 1/2 sp or 3.44 m"));
        };
        let mut length = Self { first: Term::take(pieces, Joint::Beside)?, more: Vec::new(), of: None };
        while let Some(kind) = pieces.peek() {
            let joint = match kind {
                Kind::Of(name) => {
                    length.of = Some((name, pieces.here()));
                    pieces.take();
                    break;
                }
                Kind::Number(_) | Kind::Halves(..) => Joint::Beside,
                Kind::Plus => Joint::Plus,
                Kind::Minus => Joint::Minus,
                _ => break,
            };
            if joint != Joint::Beside {
                pieces.take();
            }
            let term = Term::take(pieces, joint)?;
            term.follows(length.last())?;
            length.more.push(term);
        }
        pieces.finished()?;
        Ok(length)
    }

    fn last(&self) -> &Term {
        self.more.last().unwrap_or(&self.first)
    }

    fn terms(&self) -> impl Iterator<Item = &Term> {
        std::iter::once(&self.first).chain(&self.more)
    }

    fn place(&self) -> Place {
        self.first.place.to(self.last().place)
    }

    /// Whether millimetres were added to body parts or taken off them.
    fn is_trimmed(&self) -> bool {
        self.first.unit.is_some_and(|unit| self.last().trims(unit))
    }

    fn said(&self, speech: &Speech<'_>) -> Result<Said, NotUnderstood> {
        let unit = self.first.unit.unwrap_or(speech.bare);
        let body = self.body(unit, speech)?;
        let mut metres = 0.0;
        let mut shown = String::new();
        for term in self.terms() {
            let unit = term.unit.unwrap_or(speech.bare);
            let (sign, joint) = match term.joint {
                Joint::Minus => (-1.0, " - "),
                Joint::Plus if term.trims(self.first.unit.unwrap_or(unit)) => (1.0, " + "),
                _ if shown.is_empty() => (1.0, ""),
                _ => (1.0, " "),
            };
            metres += sign * in_metres(term, unit, body)?;
            shown.push_str(&format!("{joint}{} {unit}", term.number.shown));
        }
        if Metres::new(metres.abs()).is_err() {
            return Err(self.place().refused("over 1000 m; a length is from 0 to 1000 m"));
        }
        let named = self.of.and(body).filter(|body| speech.own.is_none_or(|own| own != *body));
        if let Some(body) = named {
            shown.push_str(&format!(" of {}", body.name()));
        }
        // Shorter by one, so that it can be understood again with a sign.
        if shown.chars().count() >= MOST_CHARS {
            return Err(self.place().refused("too long; say it more simply, as in 2 1/2 sp"));
        }
        let whose = body.map(|body| body.name().to_owned());
        Ok(Said { metres, shown, whose, unit, bare: self.first.unit.is_none() })
    }

    /// Whose parts are meant; none for metres and feet.
    fn body<'s>(&self, unit: Unit, speech: &Speech<'s>) -> Result<Option<&'s Body>, NotUnderstood> {
        match (self.of, unit.family()) {
            (Some((name, place)), Family::Body) => named(name, place, speech).map(Some),
            (Some((name, place)), _) => {
                Err(place.refused(format!("{unit} is the same for all; leave out of {name}")))
            }
            (None, Family::Body) if speech.own.is_none() => {
                let why = "nobody's measure is meant; say whose, as in 2 sp of Oru, or say it in m";
                Err(self.first.place.refused(why))
            }
            (None, Family::Body) => Ok(speech.own),
            (None, _) => Ok(None),
        }
    }
}

/// The one person of that name: as written, or else in capitals or not.
fn named<'s>(name: &str, place: Place, speech: &Speech<'s>) -> Result<&'s Body, NotUnderstood> {
    let everyone = || speech.bodies.iter().chain(speech.own);
    let lower = name.to_lowercase();
    let found = everyone()
        .find(|body| body.name() == name)
        .or_else(|| everyone().find(|body| body.name().to_lowercase() == lower));
    found.ok_or_else(|| {
        place.refused(format!("{name} has not been measured; measure them first, or name another"))
    })
}

fn in_metres(term: &Term, unit: Unit, body: Option<&Body>) -> Result<f64, NotUnderstood> {
    let count = term.number.value;
    if let Some(metres) = unit.in_metres(count) {
        return Ok(metres);
    }
    match body.and_then(|body| body.part(unit)) {
        Some(part) => Ok(count * part.get()),
        None => {
            let whose = body.map_or("nobody", Body::name);
            let why =
                format!("the {} of {whose} was not measured; measure it, or say it in sp or m", unit.word());
            Err(term.place.refused(why))
        }
    }
}

#[cfg(test)]
mod tests;
