//! What is in a cell, and the glyph that shows it.

use ratatui::style::Style;

use crate::build::figure::{Key, Means, Sign};
use crate::screen::look::Meaning;

/// The sides a box line can leave a cell by.
pub const NORTH: u8 = 1;
pub const SOUTH: u8 = 2;
pub const EAST: u8 = 4;
pub const WEST: u8 = 8;

/// What is in a cell so far.
#[derive(Debug, Clone, Copy, Default)]
pub struct Spot {
    /// The sides a box line leaves by.
    pub sides: u8,
    /// What runs level in it, where that is not a plain line.
    pub level: Option<Means>,
    /// Half blocks: upper, lower.
    pub halves: [bool; 2],
    /// Any other mark; it goes over the lines.
    pub mark: Option<char>,
    /// How much of it is thatched, 0 to 1.
    pub thatch: f64,
    /// How it looks.
    pub style: Style,
}

impl Spot {
    /// What is shown.
    pub fn symbol(&self) -> Option<char> {
        if self.mark.is_some() {
            return self.mark;
        }
        match self.halves {
            [true, true] => return Some('█'),
            [true, false] => return Some('▀'),
            [false, true] => return Some('▄'),
            [false, false] => {}
        }
        if self.sides != 0 {
            return Some(joined(self.sides, self.level));
        }
        match self.thatch {
            share if share >= 0.75 => Some('▒'),
            share if share >= 0.25 => Some('░'),
            _ => None,
        }
    }
}

/// The box line that leaves a cell by some sides.
fn joined(sides: u8, level: Option<Means>) -> char {
    let (upright, across) = (sides & (NORTH | SOUTH), sides & (EAST | WEST));
    let pick = |plain: char, north: char, south: char, both: char| match upright {
        0 => plain,
        NORTH => north,
        SOUTH => south,
        _ => both,
    };
    match (level, across) {
        (_, 0) => '│',
        (Some(Means::Ground), _) => pick('━', '┷', '┯', '┿'),
        (Some(Means::Beam), _) => pick('═', '╧', '╤', '╪'),
        (_, EAST) => pick('─', '└', '┌', '├'),
        (_, WEST) => pick('─', '┘', '┐', '┤'),
        _ => pick('─', '┴', '┬', '┼'),
    }
}

/// A post that stands.
pub const POST: char = '■';

/// How a legend shows what it explains.
pub const fn key(key: Key) -> char {
    match key {
        Key::Line(Means::Design) => '·',
        Key::Line(_) => '─',
        Key::Way(_) => '>',
        Key::Sign(Sign::Post) => POST,
        Key::Sign(Sign::Mark) => '+',
        Key::Sign(Sign::Hole | Sign::Pole | Sign::Person) => 'o',
        Key::Letter(letter) => letter,
    }
}

/// What a shape means on the screen.
pub const fn meaning(means: Means) -> Meaning {
    match means {
        Means::Design => Meaning::Quiet,
        Means::Suspected | Means::Out => Meaning::Out,
        Means::Move => Meaning::Hand,
        Means::Ground
        | Means::Read
        | Means::Post
        | Means::Beam
        | Means::Rafter
        | Means::Thatch
        | Means::Cap
        | Means::Note => Meaning::Plain,
    }
}
