//! A sample book's entries as text: our own commands, one a line, each with
//! the days before today and the time of day before it, as in
//! `-23 07:30 start "Tern house" --owner Oru`. `strike last` strikes what the
//! line before recorded; a word such as `+60d` is the day sixty days from today.

use chrono::{Days, NaiveTime};
use clap::Parser;

use super::args::{Args, complaint};
use super::error::CliError;
use crate::book::{Book, Kept, Stamp};
use crate::build::Moment;

/// A sample, by its file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// The file.
    pub file: &'static str,
    /// Its text.
    pub text: &'static str,
}

/// The book that is shown where there is none of one's own.
pub(super) const OUTER_HOUSES: Sample =
    Sample { file: "sample-db/outer-houses.txt", text: include_str!("../../sample-db/outer-houses.txt") };

impl Sample {
    /// Writes the sample into a book, its days counted back from today.
    ///
    /// # Errors
    /// The first line that is not accepted, by its number.
    pub(super) fn write(self, book: &mut Book, now: Moment) -> Result<(), CliError> {
        let mut last = None;
        for (number, line) in (1..).zip(self.text.lines()) {
            let line = line.trim();
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            let told = |e: CliError| CliError::Sample { file: self.file, line: number, why: e.to_string() };
            last = Some(written(line, book, now, last).map_err(told)?);
        }
        Ok(())
    }
}

fn written(line: &str, book: &mut Book, now: Moment, last: Option<Kept>) -> Result<Kept, CliError> {
    let not = |why: &str| CliError::Usage(why.to_owned());
    let mut words = shlex::split(line).ok_or_else(|| not("a quotation mark is not closed"))?.into_iter();
    let (Some(days), Some(time)) = (words.next(), words.next()) else {
        return Err(not("days, time and a command would do, as -23 07:30 start NAME"));
    };
    let at = moment(&days, &time, now)
        .ok_or_else(|| not("days before today and a time would do, as -23 07:30"))?;
    let words = words.map(|word| day_to_come(&word, now).unwrap_or(word));
    let mut words: Vec<String> = std::iter::once("spanwright".to_owned()).chain(words).collect();
    if let ([_, command, entry, ..], Some(last)) = (words.as_mut_slice(), last)
        && (command.as_str(), entry.as_str()) == ("strike", "last")
    {
        *entry = last.entry.to_string();
    }
    let args = match Args::try_parse_from(words) {
        Ok(args) => args,
        Err(error) => return Err(complaint(&error).err().unwrap_or_else(|| not("no command"))),
    };
    let by = args.global.by.ok_or_else(|| not("--by is missing; say who says so"))?;
    let command = args.command.ok_or_else(|| not("the command is missing"))?;
    command.keep(book, &Stamp { at, now: at, by })
}

/// The day that so many days after today is, where a word says so: `+60d`.
fn day_to_come(word: &str, now: Moment) -> Option<String> {
    let days: u64 = word.strip_prefix('+')?.strip_suffix('d')?.parse().ok()?;
    Some(now.date_naive().checked_add_days(Days::new(days))?.to_string())
}

/// So many days before today at a time of day, where today is told.
fn moment(days: &str, time: &str, now: Moment) -> Option<Moment> {
    let days: u64 = days.strip_prefix('-')?.parse().ok()?;
    let time = NaiveTime::parse_from_str(time, "%H:%M").ok()?;
    let day = now.date_naive().checked_sub_days(Days::new(days))?;
    day.and_time(time).and_local_timezone(*now.offset()).single()
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;
    use tempfile::{TempDir, tempdir};

    use super::*;
    use crate::book::{Filter, Opening};
    use crate::build::entry::What;

    const START: &str = "-3 07:30 start Tern --measure Oru --span 1.742m --length 4sp --by Oru";

    fn written(folder: &TempDir, text: &'static str) -> (Result<(), CliError>, Book) {
        let mut book = Book::open(&folder.path().join("sample.spanwright"), Opening::Create).unwrap();
        let now = DateTime::parse_from_rfc3339("2030-10-14T08:00:00+10:00").unwrap();
        (Sample { file: "sample-db/trial.txt", text }.write(&mut book, now), book)
    }

    #[test]
    fn the_days_of_a_sample_are_counted_back_from_today() {
        let folder = tempdir().unwrap();
        let (done, book) = written(
            &folder,
            "# A trial.\n\n-3 07:30 start Tern --measure Oru --span 1.742m --length 4sp --by Oru\n\
             -1 16:05 read Tern set-out/ab \"4 sp\" --by Tavi\n\
             -1 16:07 strike last --why \"the wrong peg\" --by Tavi\n",
        );
        done.unwrap();
        let log = book.log(&Filter::default()).unwrap();
        assert_eq!(log[0].entry.happened.to_rfc3339(), "2030-10-13T16:07:00+10:00");
        assert_eq!(log[1].struck.as_ref().unwrap().why, "the wrong peg");
        assert_eq!(log.last().unwrap().entry.happened.to_rfc3339(), "2030-10-11T07:30:00+10:00");
    }

    #[test]
    fn days_to_come_are_counted_from_today() {
        let folder = tempdir().unwrap();
        let (done, book) = written(
            &folder,
            "-3 07:30 permit add --tree mangrove --count 20 --until +60d --where \"north creek\" --by Oru\n",
        );
        done.unwrap();
        let What::Permit(permit) = &book.log(&Filter::default()).unwrap()[0].entry.what else {
            panic!("a permit")
        };
        assert_eq!(permit.until.to_string(), "2030-12-13");
    }

    #[test]
    fn a_line_that_is_not_accepted_is_named_with_its_file() {
        let refused = |text: &'static str| written(&tempdir().unwrap(), text).0.unwrap_err().to_string();
        assert!(written(&tempdir().unwrap(), START).0.is_ok());
        for (text, place, why) in [
            ("\n-3 07:30 start X --by Oru", "line 2", "span: missing"),
            ("-3 07:30 houses --by Oru", "line 1", "records nothing"),
            ("-3 07:30 start X", "line 1", "--by is missing"),
            ("-3 07:30 --by Oru", "line 1", "the command is missing"),
            ("-3", "line 1", "days, time and a command"),
            ("3 07:30 houses", "line 1", "days before today"),
            ("-3 25:30 houses", "line 1", "days before today"),
            ("-3 07:30 raise X", "line 1", "raise"),
            ("-3 07:30 start \"X", "line 1", "quotation mark"),
        ] {
            let said = refused(text);
            assert!(said.starts_with(&format!("sample-db/trial.txt, {place}: ")), "{said}");
            assert!(said.contains(why), "{why}: {said}");
        }
    }
}
