//! Two lengths that should be equal.

use super::metres::difference_m;
use super::refusal::NotUnderstood;
use super::said::{Said, Speech, understand, understand_signed};

/// Two lengths that should be equal, or only by how much they differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// The first, if both were called out.
    pub first: Option<Said>,
    /// The second, if both were called out.
    pub second: Option<Said>,
    /// The first less the second, in metres.
    pub difference_m: f64,
}

/// Understands `2.31 m less 2.305 m`, the same with `;` for `less`, or the
/// difference alone: `-5 mm`.
///
/// # Errors
/// Refuses what is neither, with its place in the whole text.
pub fn understand_pair(text: &str, speech: &Speech<'_>) -> Result<Pair, NotUnderstood> {
    let Some((before, after)) = parted(text) else {
        let difference_m = understand_signed(text, speech)?.metres;
        return Ok(Pair { first: None, second: None, difference_m });
    };
    let chars_before = text.chars().count() - after.chars().count();
    let first = understand(before, speech)?;
    let second = understand(after, speech).map_err(|refusal| refusal.after(chars_before))?;
    let difference_m = difference_m(first.metres, second.metres);
    Ok(Pair { first: Some(first), second: Some(second), difference_m })
}

/// The texts before and after the first `;` or, without one, the first `less`
/// that stands as a word of its own.
fn parted(text: &str) -> Option<(&str, &str)> {
    const LESS: &str = "less";
    text.split_once(';').or_else(|| {
        // Lower case in ASCII alone: the same bytes, the same places.
        text.to_ascii_lowercase().match_indices(LESS).find_map(|(at, _)| {
            let (before, after) = (text.get(..at)?, text.get(at + LESS.len()..)?);
            let alone = !before.ends_with(char::is_alphabetic) && !after.starts_with(char::is_alphabetic);
            alone.then_some((before, after))
        })
    })
}
