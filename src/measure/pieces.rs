//! What was said, cut into pieces that know their place.

use super::refusal::{NotUnderstood, Place};
use super::unit::Unit;

/// The most characters of one thing said.
pub(super) const MOST_CHARS: usize = 80;

/// Whether a character cannot be seen on the line it stands in: control
/// characters, line ends, and marks that turn the direction of writing or take
/// no room. The joiners that some scripts need within a word are let through.
pub fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'
                ..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'
                ..='\u{e007f}'
        )
}

/// What a piece is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind<'a> {
    /// Digits, with at most one point or comma and then a digit after it.
    Number(&'a str),
    /// A fraction in one character: ½.
    Halves(u32, u32),
    Slash,
    Plus,
    Minus,
    /// A foot or an inch mark.
    Mark(Unit),
    Degree,
    Word(&'a str),
    /// The name after `of`, up to the end.
    Of(&'a str),
}

/// A piece and its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece<'a> {
    pub kind: Kind<'a>,
    pub place: Place,
}

/// Pieces, taken from the front.
pub(super) struct Pieces<'a> {
    list: std::vec::IntoIter<Piece<'a>>,
    end: Place,
}

impl<'a> Pieces<'a> {
    /// Cuts the text.
    ///
    /// # Errors
    /// Refuses more than 80 characters, and whatever is no part of a number,
    /// a word or a sign.
    pub fn cut(text: &'a str) -> Result<Self, NotUnderstood> {
        let chars = text.chars().count();
        if chars > MOST_CHARS {
            let over = Place { at: MOST_CHARS, len: chars - MOST_CHARS };
            return Err(over.refused(format!("too long; say it in at most {MOST_CHARS} characters")));
        }
        if let Some((at, c)) = text.chars().enumerate().find(|(_, c)| is_unseen(*c)) {
            return Err(odd(c, Place { at, len: 1 }));
        }
        let mut cutter = Cutter { rest: text, at: 0 };
        let mut list = Vec::new();
        while let Some(piece) = cutter.piece()? {
            list.push(piece);
        }
        Ok(Self { list: list.into_iter(), end: Place { at: chars, len: 0 } })
    }

    /// The piece that comes next.
    pub fn peek(&self) -> Option<Kind<'a>> {
        self.list.as_slice().first().map(|piece| piece.kind)
    }

    /// The piece after that.
    pub fn peek_second(&self) -> Option<Kind<'a>> {
        self.list.as_slice().get(1).map(|piece| piece.kind)
    }

    /// Where the next piece stands, or the end.
    pub fn here(&self) -> Place {
        self.list.as_slice().first().map_or(self.end, |piece| piece.place)
    }

    /// Takes the next piece.
    pub fn take(&mut self) -> Option<Piece<'a>> {
        self.list.next()
    }

    /// Takes the next piece if it is this.
    pub fn take_if(&mut self, kind: Kind<'_>) -> bool {
        let is = self.peek() == Some(kind);
        if is {
            self.list.next();
        }
        is
    }

    /// Takes a leading sign: whether it is a minus, and its place.
    pub fn take_sign(&mut self) -> Option<(bool, Place)> {
        let place = self.here();
        let minus = match self.peek()? {
            Kind::Plus => false,
            Kind::Minus => true,
            _ => return None,
        };
        self.list.next();
        Some((minus, place))
    }

    /// Makes sure that nothing is left.
    ///
    /// # Errors
    /// Refuses a piece too many.
    pub fn finished(&self) -> Result<(), NotUnderstood> {
        match self.peek() {
            None => Ok(()),
            Some(_) => Err(self.here().refused("cannot stand here; leave it out")),
        }
    }
}

/// A refusal of a character, written out where it cannot be seen.
fn odd(c: char, place: Place) -> NotUnderstood {
    let code = u32::from(c);
    let shown = if is_unseen(c) || c.is_whitespace() {
        format!("a character that cannot be seen (U+{code:04X})")
    } else {
        format!("the character {c} (U+{code:04X})")
    };
    place.refused(format!("{shown} cannot stand here; use plain digits, letters and spaces"))
}

/// The text not yet cut.
struct Cutter<'a> {
    rest: &'a str,
    at: usize,
}

impl<'a> Cutter<'a> {
    /// Takes characters as long as they belong.
    fn take(&mut self, belongs: impl Fn(char) -> bool) -> (&'a str, Place) {
        let end = self.rest.find(|c| !belongs(c)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        let place = Place { at: self.at, len: taken.chars().count() };
        self.rest = rest;
        self.at += place.len;
        (taken, place)
    }

    fn piece(&mut self) -> Result<Option<Piece<'a>>, NotUnderstood> {
        self.take(|c| c == ' ');
        let Some(c) = self.rest.chars().next() else { return Ok(None) };
        let (kind, place) = if is_number(c) {
            let (number, place) = self.take(is_number);
            (numeral(number, place)?, place)
        } else if c.is_alphabetic() {
            self.word()?
        } else {
            let place = Place { at: self.at, len: 1 };
            let kind = sign(c).ok_or_else(|| odd(c, place))?;
            self.rest = self.rest.strip_prefix(c).unwrap_or_default();
            self.at += 1;
            (kind, place)
        };
        Ok(Some(Piece { kind, place }))
    }

    fn word(&mut self) -> Result<(Kind<'a>, Place), NotUnderstood> {
        let (word, place) = self.take(char::is_alphabetic);
        if !word.eq_ignore_ascii_case("of") {
            return Ok((Kind::Word(word), place));
        }
        self.take(|c| c == ' ');
        let name = self.rest.trim_end_matches(' ');
        if name.is_empty() {
            return Err(place.refused("nobody is named after of; say whose, as in 2 sp of Oru"));
        }
        let place = Place { at: self.at, len: name.chars().count() };
        self.rest = "";
        Ok((Kind::Of(name), place))
    }
}

fn is_number(c: char) -> bool {
    c.is_ascii_digit() || c == '.' || c == ','
}

/// A number, once its point or comma is seen to stand rightly.
fn numeral(number: &str, place: Place) -> Result<Kind<'_>, NotUnderstood> {
    if number.matches(['.', ',']).count() > 1 {
        return Err(place.refused("more than one point or comma; a number has one at most, as in 3.44"));
    }
    if !number.ends_with(|c: char| c.is_ascii_digit()) {
        return Err(place.refused("no digit after the point; write one, as in 3.0, or leave the point out"));
    }
    Ok(Kind::Number(number))
}

fn sign(c: char) -> Option<Kind<'static>> {
    Some(match c {
        '/' | '\u{2044}' => Kind::Slash,
        '+' => Kind::Plus,
        '-' | '−' => Kind::Minus,
        '\'' | '′' | '’' => Kind::Mark(Unit::Foot),
        '"' | '″' | '”' => Kind::Mark(Unit::Inch),
        '°' => Kind::Degree,
        '½' => Kind::Halves(1, 2),
        '¼' => Kind::Halves(1, 4),
        '¾' => Kind::Halves(3, 4),
        '⅛' => Kind::Halves(1, 8),
        '⅜' => Kind::Halves(3, 8),
        '⅝' => Kind::Halves(5, 8),
        '⅞' => Kind::Halves(7, 8),
        // Not halved, and refused as such rather than as an odd character.
        '⅓' => Kind::Halves(1, 3),
        '⅔' => Kind::Halves(2, 3),
        _ => return None,
    })
}
