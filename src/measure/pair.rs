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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn pair(text: &str) -> Result<Pair, NotUnderstood> {
        understand_pair(text, &Speech::default())
    }

    #[test]
    fn a_pair_is_the_first_less_the_second() {
        for text in ["2.31m less 2.305m", "2.31 m; 2305 mm", "231 LESS 230.5", "2.31m less2.305m"] {
            let pair = pair(text).unwrap();
            assert_eq!(pair.difference_m, 0.005, "{text}");
            assert_eq!(pair.first.unwrap().metres, 2.31, "{text}");
            assert_eq!(pair.second.unwrap().metres, 2.305, "{text}");
        }
        assert_eq!(pair("2 m less 2.01 m").unwrap().difference_m, -0.01);
    }

    #[test]
    fn a_pair_may_be_told_by_its_difference_alone() {
        for (text, difference_m) in
            [("-5 mm", -0.005), ("+5mm", 0.005), ("0", 0.0), ("-0", 0.0), ("0.5", 0.005)]
        {
            assert_eq!(pair(text), Ok(Pair { first: None, second: None, difference_m }), "{text}");
        }
    }

    #[test]
    fn a_refused_pair_has_its_place_in_the_whole_text() {
        for (text, at, len) in [
            ("2 m less 3 ells", 11, 4),
            ("½ m ; 3 ells", 8, 4),
            ("2 ells less 3 m", 2, 4),
            ("2 m less", 8, 0),
            ("less 2 m", 0, 0),
            ("2 m less -1 m", 9, 1),
            ("1 m; 2 m; 3 m", 8, 1),
            ("1 m less 2 m less 3 m", 13, 4),
            ("2 mless 3 m", 2, 5),
            ("", 0, 0),
        ] {
            let refusal = pair(text).unwrap_err();
            assert_eq!((refusal.at, refusal.len), (at, len), "{}", refusal.pointed(text));
        }
    }

    proptest! {
        #[test]
        fn no_pair_stops_the_book(first in any::<String>(), by in "( less |;|less|)", second in any::<String>()) {
            let text = format!("{first}{by}{second}");
            if let Err(refusal) = pair(&text) {
                prop_assert!(refusal.at + refusal.len <= text.chars().count(), "{refusal:?} in {text:?}");
            }
        }
    }
}
