//! A desk to try the program on: a fresh folder, an environment of its own,
//! and a clock that stands still.

use std::ffi::{OsStr, OsString};
use std::fmt;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// The program under trial.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_spanwright");

/// What the clock shows where a test does not set it.
pub const MORNING: &str = "2030-10-14T08:00:00+10:00";

/// A folder, an environment and a clock.
pub struct Desk {
    folder: TempDir,
    now: String,
}

impl Desk {
    /// An empty desk, in the morning.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder for the desk");
        for name in ["home", "data", "config", "cache", "state", "run"] {
            fs::create_dir(folder.path().join(name)).expect("a folder on the desk");
        }
        Self { folder, now: MORNING.to_owned() }
    }

    /// Sets the clock: RFC 3339.
    pub fn set_clock(&mut self, now: &str) {
        now.clone_into(&mut self.now);
    }

    /// The folder the program is run in.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// A file in that folder.
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The book that is used where none is named.
    pub fn book(&self) -> PathBuf {
        self.file("data/spanwright/book.spanwright")
    }

    /// All that the program finds in its environment.
    pub fn environment(&self) -> Vec<(&'static str, OsString)> {
        let place = |name: &str| self.file(name).into_os_string();
        vec![
            ("HOME", place("home")),
            ("XDG_DATA_HOME", place("data")),
            ("XDG_CONFIG_HOME", place("config")),
            ("XDG_CACHE_HOME", place("cache")),
            ("XDG_STATE_HOME", place("state")),
            ("XDG_RUNTIME_DIR", place("run")),
            ("TZ", "UTC".into()),
            ("LANG", "C.UTF-8".into()),
            ("TERM", "xterm-256color".into()),
            ("COLUMNS", "80".into()),
            ("SPANWRIGHT_NOW", self.now.clone().into()),
        ]
    }

    /// The program with its environment and folder, not yet started: for
    /// tests that need more than [`Desk::run`] does.
    pub fn command<A: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = A>) -> Command {
        self.set(Command::new(PROGRAM), arguments)
    }

    /// A command of the program with its environment and folder.
    pub fn set<A: AsRef<OsStr>>(
        &self,
        mut command: Command,
        arguments: impl IntoIterator<Item = A>,
    ) -> Command {
        command.args(arguments).env_clear().envs(self.environment()).current_dir(self.folder());
        command
    }

    /// Runs the program to its end, with nothing on its input.
    pub fn run<A: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = A>) -> Said {
        self.run_with_input(arguments, "")
    }

    /// Runs the program to its end, with a text on its input.
    pub fn run_with_input<A: AsRef<OsStr>>(
        &self,
        arguments: impl IntoIterator<Item = A>,
        input: &str,
    ) -> Said {
        let mut command = self.command(arguments);
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().expect("the program starts");
        let mut stdin = child.stdin.take().expect("its input is a pipe");
        let input = input.to_owned();
        // From a thread of its own: both sides could wait for each other. A
        // program that does not read its input may end before it is written.
        let writing = std::thread::spawn(move || drop(stdin.write_all(input.as_bytes())));
        let output = child.wait_with_output().expect("the program ends");
        writing.join().expect("the input was written");
        Said { out: self.text(output.stdout), err: self.text(output.stderr), status: output.status.code() }
    }

    /// The text of a stream, with the desk's own folder told as `[desk]`.
    fn text(&self, bytes: Vec<u8>) -> String {
        let text = String::from_utf8(bytes).expect("the program writes UTF-8");
        let folder = fs::canonicalize(self.folder()).expect("the desk stands");
        text.replace(&folder.display().to_string(), "[desk]")
            .replace(&self.folder().display().to_string(), "[desk]")
    }
}

/// What the program said, on both streams, and its exit status.
#[must_use = "look at what was said, or at least at the status"]
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    pub out: String,
    pub err: String,
    /// The exit status; none where a signal ended it.
    pub status: Option<i32>,
}

impl Said {
    /// What was said, of a run that did what was asked and complained of
    /// nothing.
    #[track_caller]
    pub fn well(self) -> String {
        assert!(self.status == Some(0) && self.err.is_empty(), "should have gone well:\n{self}");
        self.out
    }

    /// The complaint, of a run that ended with this status and printed
    /// nothing else.
    #[track_caller]
    pub fn refused(self, status: i32) -> String {
        assert!(
            self.status == Some(status) && self.out.is_empty(),
            "should have ended with {status}:\n{self}"
        );
        self.err
    }
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.out)?;
        if !self.err.is_empty() {
            write!(f, "------- stderr -------\n{}", self.err)?;
        }
        match self.status {
            Some(0) => {}
            Some(status) => writeln!(f, "[status {status}]")?,
            None => writeln!(f, "[ended by a signal]")?,
        }
        f.write_str("[end]")
    }
}
