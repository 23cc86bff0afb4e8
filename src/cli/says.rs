//! What goes out: standard output, standard error and the exit status.

use std::io::{self, ErrorKind, Write};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::error::CliError;
use crate::book::Kept;
use crate::build::telling::shown;
use crate::measure::is_unseen;

/// What a command has to say when it went well.
#[derive(Debug)]
pub(super) enum Said {
    /// Nothing: the screen said it all, and ended with this status.
    Nothing(u8),
    /// Lines for people.
    Lines(Vec<String>),
    /// One JSON value on one line.
    Json(Value),
}

impl Said {
    /// That an entry was kept: its id, then what else is worth telling.
    pub(super) fn kept(json: bool, kept: Kept, more: Value, lines: Vec<String>) -> Self {
        if !json {
            return Self::Lines(std::iter::once(kept.entry.to_string()).chain(lines).collect());
        }
        let mut told = json!({ "id": kept.entry });
        if let (Value::Object(told), Value::Object(more)) = (&mut told, more) {
            told.extend(more);
        }
        Self::Json(told)
    }
}

/// JSON text in which nothing steers a terminal: what [`shown`] would drop is
/// written as an escape, so that no reader of the JSON loses it.
fn escaped(json: &str) -> String {
    let mut safe = String::with_capacity(json.len());
    for c in json.chars() {
        if is_unseen(c) {
            let mut units = [0; 2];
            safe.extend(c.encode_utf16(&mut units).iter().map(|unit| format!("\\u{unit:04x}")));
        } else {
            safe.push(c);
        }
    }
    safe
}

/// Says it, and gives the exit status: 0 where all went well, 2 for bad
/// input, 1 for a failure.
pub(super) fn say(done: Result<Said, CliError>) -> ExitCode {
    let text = match done {
        Ok(Said::Nothing(status)) => return ExitCode::from(status),
        Ok(Said::Lines(lines)) => lines.iter().map(|line| shown(line) + "\n").collect(),
        Ok(Said::Json(value)) => escaped(&value.to_string()) + "\n",
        Err(error) => return complain(&error),
    };
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => ExitCode::SUCCESS,
        // Whoever read it has seen enough.
        Err(e) if e.kind() == ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(e) => complain(&CliError::Output(e)),
    }
}

fn complain(error: &CliError) -> ExitCode {
    beside(&error.to_string());
    ExitCode::from(error.status())
}

/// Says a line on standard error.
pub(super) fn beside(line: &str) {
    // Where standard error is gone too, the status alone has to tell.
    let _ = writeln!(io::stderr().lock(), "spanwright: {}", in_short(&shown(line)));
}

/// A complaint without its middle where it repeats a great deal of what was
/// typed: what is wrong stands at one end or at the other.
fn in_short(line: &str) -> String {
    const END: usize = 800;
    let count = line.chars().count();
    if count <= 3 * END {
        return line.to_owned();
    }
    let first: String = line.chars().take(END).collect();
    let last: String = line.chars().skip(count - END).collect();
    format!("{first} … {last}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_not_shown() {
        assert_eq!(shown("Oru\u{1b}[2J\u{9b}31m\u{202e}x\u{7}\n\u{200b}y"), "Oru[2J31mx y");
        assert_eq!(shown("שלום اهلا ไทย 家 👩‍🌾"), "שלום اهلا ไทย 家 👩‍🌾");
    }

    #[test]
    fn json_loses_nothing_but_steers_nothing() {
        let told = serde_json::json!({ "by": "Oru\u{9b}\u{202e}\u{e0001}\u{1b}" });
        let text = escaped(&told.to_string());
        assert!(!text.contains(is_unseen), "{text}");
        assert_eq!(serde_json::from_str::<Value>(&text).unwrap(), told);
    }
}
