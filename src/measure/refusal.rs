//! What was not understood, and where.

use thiserror::Error;

use super::pieces::{MOST_CHARS, is_unseen};

/// Text that was not understood: the place in it, and one plain line that
/// says what is wrong and what would do.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{why}")]
pub struct NotUnderstood {
    /// How many characters stand before the place.
    pub at: usize,
    /// How many characters the place is wide; 0 where something is missing.
    pub len: usize,
    /// What is wrong, and what would do.
    pub why: String,
}

impl NotUnderstood {
    /// The refusal as one line for the command line, the text repeated with
    /// what cannot be seen written out: `"3 m 5": at 5, a number …`.
    pub fn pointed(&self, text: &str) -> String {
        let mut shown = String::new();
        for c in text.chars().take(MOST_CHARS) {
            if is_unseen(c) {
                shown.extend(c.escape_unicode());
            } else {
                shown.push(c);
            }
        }
        if text.chars().nth(MOST_CHARS).is_some() {
            shown.push('…');
        }
        format!("\"{shown}\": at {}, {}", self.at + 1, self.why)
    }

    /// The same refusal in a longer text that has so many characters before.
    pub(super) fn after(mut self, chars: usize) -> Self {
        self.at += chars;
        self
    }
}

/// A stretch of the text, in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub at: usize,
    pub len: usize,
}

impl Place {
    /// The stretch from this to the end of the other.
    pub fn to(self, other: Self) -> Self {
        Self { at: self.at, len: (other.at + other.len).saturating_sub(self.at) }
    }

    /// A refusal here.
    pub fn refused(self, why: impl Into<String>) -> NotUnderstood {
        NotUnderstood { at: self.at, len: self.len, why: why.into() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pointed(text: &str, at: usize, len: usize) -> String {
        Place { at, len }.refused("a number without a unit; say its unit").pointed(text)
    }

    #[test]
    fn a_refusal_points_at_the_place_counted_from_one() {
        assert_eq!(pointed("3 m 5", 4, 1), "\"3 m 5\": at 5, a number without a unit; say its unit");
    }

    #[test]
    fn a_refusal_repeats_nothing_that_cannot_be_seen() {
        let line = pointed("3\u{1b}[2J\n\u{202e}m", 1, 1);
        assert!(line.starts_with("\"3\\u{1b}[2J\\u{a}\\u{202e}m\": at 2, "), "{line}");
    }

    #[test]
    fn a_refusal_of_a_long_text_is_one_short_line() {
        assert!(pointed(&"1".repeat(400), 80, 320).starts_with(&format!("\"{}…\": at 81, ", "1".repeat(80))));
    }
}
