//! The form that another book is taken in with, and what came of it.

use super::{Form, FormField, FormKind};

/// The most lines that are told; the houses and the day book tell the rest.
const MOST: usize = 8;

impl Form {
    /// Takes in another book.
    #[must_use]
    pub fn take_in() -> Self {
        let help = "its file, such as /media/stick/houses.spanwright; it is only read";
        let fields = vec![FormField::new("other", "the other book", help)];
        Self::new(FormKind::TakeIn, None, "Take in what another book has and this one does not", fields)
    }

    /// Whether nothing is typed in it.
    #[must_use]
    pub const fn only_tells(&self) -> bool {
        matches!(self.kind, FormKind::TakenIn { .. })
    }

    /// What was taken in.
    #[must_use]
    pub fn taken_in(mut lines: Vec<String>) -> Self {
        let more = (lines.len() + 1).saturating_sub(MOST);
        if more > 1 {
            lines.truncate(MOST - 1);
            lines.push(format!("and {more} lines more; the houses and the day book tell them"));
        }
        Self::new(FormKind::TakenIn { lines }, None, "Taken in from the other book", vec![])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_taken_in_is_told_in_few_lines() {
        for (count, told, last) in [
            (1, 1, "line 1"),
            (8, 8, "line 8"),
            (9, 8, "and 2 lines more; the houses and the day book tell them"),
        ] {
            let form = Form::taken_in((1..=count).map(|n| format!("line {n}")).collect());
            let FormKind::TakenIn { lines } = form.kind else { panic!("it tells") };
            assert_eq!((lines.len(), lines.last().map(String::as_str)), (told, Some(last)));
        }
    }
}
