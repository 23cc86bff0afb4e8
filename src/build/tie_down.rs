//! The list of what is made fast before a storm.

use super::accept::{Refused, refuse};
use super::entry::{Secure, TieDown, What};
use crate::measure;

/// What comes before everything on the list.
pub const LEAVE: &str = "Leave in time: heed the warnings of the weather service and of the authorities, \
    and let nobody be on a roof, at the ridge or on the way once the wind is up.";

impl Secure {
    /// The question.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::Panels => "loose panels stacked and netted",
            Self::LiftingPoles => "lifting poles down",
            Self::Ridge => "ridge roped to the ground",
            Self::Openings => "openings closed, or open on both sides",
            Self::Tools => "tools under cover",
            Self::People => "people sent home, or to the shelter",
        }
    }

    /// Why it is asked; common practice, no source.
    #[must_use]
    pub const fn why(self) -> &'static str {
        match self {
            Self::Panels => "a loose panel flies, and one that flies hurts people and takes others along",
            Self::LiftingPoles => "a pole that stands free is thrown down, onto the frame or onto people",
            Self::Ridge => "wind lifts a roof at its ridge first, and a frame without thatch sways",
            Self::Openings => "wind that gets in on one side only lifts the roof from below",
            Self::Tools => "what lies about is blown away, and blades and bars are blown at people",
            Self::People => "a house that is being built is no shelter",
        }
    }
}

impl TieDown {
    /// What was said of a thing.
    #[must_use]
    pub fn answer(&self, what: Secure) -> Option<bool> {
        self.0.get(&what).copied()
    }

    /// What nobody has said yes to: whether it was answered no.
    pub fn open(&self) -> impl Iterator<Item = (Secure, bool)> + '_ {
        Secure::ALL.iter().filter_map(|what| match self.answer(*what) {
            Some(true) => None,
            answered => Some((*what, answered.is_some())),
        })
    }

    /// Takes in later answers in the place of earlier ones.
    pub fn take(&mut self, later: &Self) {
        self.0.extend(later.0.iter().map(|(what, yes)| (*what, *yes)));
    }

    /// What is not made fast, in a sentence; none where all of it is.
    #[must_use]
    pub fn lacking(&self) -> Option<String> {
        let of = |no: bool| {
            let open = self.open().filter(|(_, answered)| *answered == no);
            open.map(|(what, _)| what.word().replace('-', " ")).collect::<Vec<_>>().join(", ")
        };
        let parts = [("Not made fast", of(true)), ("Not answered", of(false))];
        let told: Vec<String> = parts
            .iter()
            .filter(|(_, what)| !what.is_empty())
            .map(|(head, what)| format!("{head}: {what}."))
            .collect();
        if told.is_empty() { None } else { Some(told.join(" ")) }
    }

    /// The same, shortly: what is not made fast is named, what nobody answered
    /// is counted.
    #[must_use]
    pub fn lacking_in_short(&self) -> Option<String> {
        let (no, unsaid): (Vec<_>, Vec<_>) = self.open().partition(|(_, answered)| *answered);
        let no: Vec<String> = no.iter().map(|(what, _)| what.word().replace('-', " ")).collect();
        let unsaid = format!("{} of {} not answered", unsaid.len(), Secure::ALL.len());
        match (no.is_empty(), self.open().any(|(_, answered)| !answered)) {
            (true, false) => None,
            (true, true) => Some(format!("What is made fast: {unsaid}.")),
            (false, false) => Some(format!("Not made fast: {}.", no.join(", "))),
            (false, true) => Some(format!("Not made fast: {}; {unsaid}.", no.join(", "))),
        }
    }
}

/// What was made fast before a storm, and what was not.
///
/// # Errors
/// An answer that is neither yes nor no, a thing that is not on the list, and
/// no answer at all.
pub(super) fn decide(answers: &[(String, String)]) -> Result<What, Vec<Refused>> {
    let (mut tied, mut refused) = (TieDown::default(), Vec::new());
    for (what, said) in answers.iter().filter(|(_, said)| !said.trim().is_empty()) {
        match one(what, said) {
            Ok((what, yes)) => {
                tied.0.insert(what, yes);
            }
            Err(e) => refused.push(e),
        }
    }
    if tied.0.is_empty() && refused.is_empty() {
        let why = "nothing is answered; say yes or no to something on the list".to_owned();
        refused.push(Refused { field: Secure::Panels.word(), why });
    }
    if refused.is_empty() { Ok(What::TieDown(tied)) } else { Err(refused) }
}

fn one(what: &str, said: &str) -> Result<(Secure, bool), Refused> {
    let what: Secure = what.parse().or_else(|e: super::entry::UnknownWord| refuse("what", e.to_string()))?;
    let yes = measure::understand_yes_no(said).or_else(|e| refuse(what.word(), e.pointed(said)))?;
    Ok((what, yes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(what, said)| ((*what).to_owned(), (*said).to_owned())).collect()
    }

    #[test]
    fn what_is_not_answered_is_told_apart_from_what_is_not_made_fast() {
        let Ok(What::TieDown(mut tied)) =
            decide(&answers(&[("panels", "yes"), ("ridge", "no"), ("lifting-poles", "yes"), ("tools", "")]))
        else {
            panic!("answers are taken")
        };
        assert_eq!(tied.lacking().unwrap(), "Not made fast: ridge. Not answered: openings, tools, people.");
        assert_eq!(tied.lacking_in_short().unwrap(), "Not made fast: ridge; 3 of 6 not answered.");
        let none = TieDown::default().lacking_in_short().unwrap();
        assert_eq!(none, "What is made fast: 6 of 6 not answered.");
        let rest = Secure::ALL.iter().map(|what| (*what, true)).collect();
        tied.take(&TieDown(rest));
        assert_eq!((tied.lacking(), tied.lacking_in_short()), (None, None));
        tied.0.insert(Secure::Ridge, false);
        assert_eq!(tied.lacking_in_short().unwrap(), "Not made fast: ridge.");
    }

    #[test]
    fn only_yes_or_no_answers_the_list() {
        let field = |all: &[(&str, &str)]| decide(&answers(all)).unwrap_err()[0].field;
        assert_eq!(field(&[("panels", "perhaps")]), "panels");
        assert_eq!(field(&[("panels", " ")]), "panels");
        assert_eq!(field(&[("roof", "yes")]), "what");
    }
}
