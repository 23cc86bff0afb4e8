//! Text measured in cells.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use crate::build::telling::shown;

/// Text made safe and cut to so many cells at a grapheme, with a mark where
/// something was cut, and filled with spaces up to them.
#[must_use]
pub fn fit(text: &str, cells: usize) -> String {
    let cut = cut(text, cells);
    let fill = cells.saturating_sub(cut.width());
    format!("{cut}{}", " ".repeat(fill))
}

/// The same, filled on the left.
#[must_use]
pub fn fit_right(text: &str, cells: usize) -> String {
    let cut = cut(text, cells);
    let fill = cells.saturating_sub(cut.width());
    format!("{}{cut}", " ".repeat(fill))
}

/// Text made safe and cut to so many cells.
#[must_use]
pub fn cut(text: &str, cells: usize) -> String {
    let text = shown(text);
    if text.width() <= cells {
        return text;
    }
    let mut kept = String::new();
    let mut used = 0;
    for grapheme in text.graphemes(true) {
        if used + grapheme.width() + 1 > cells {
            break;
        }
        used += grapheme.width();
        kept.push_str(grapheme);
    }
    if cells > 0 {
        kept.push('…');
    }
    kept
}

/// Text made safe and broken at words into lines of so many cells.
#[must_use]
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    if cells == 0 {
        return Vec::new();
    }
    textwrap::wrap(&shown(text), cells).into_iter().map(std::borrow::Cow::into_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_and_joined_characters_line_up() {
        for text in ["Tern house", "家の海岸の家", "e\u{301}te\u{301}", "שלום", "", "a\tb\u{1b}[2J"]
        {
            for cells in 0..14 {
                assert_eq!(fit(text, cells).width(), cells, "{text} in {cells}");
                assert_eq!(fit_right(text, cells).width(), cells, "{text} in {cells}");
            }
        }
    }
}
