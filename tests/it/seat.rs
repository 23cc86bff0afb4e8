//! A seat at the screen: the program in a terminal of its own, keys in, cells
//! out.

use std::ffi::{OsStr, OsString};
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Resource, Rlimit, Signal, kill_process, prlimit};
use vt100::{MouseProtocolMode, Parser, Screen};

use super::desk::{Desk, PROGRAM};

/// How long the program may take to show something before the test fails:
/// long, since many tests share the machine.
const PATIENCE: Duration = Duration::from_secs(30);

/// The program in a terminal.
pub struct Seat {
    terminal: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    program: Program,
    heard: Receiver<Vec<u8>>,
    parser: Parser,
    bytes: Vec<u8>,
}

/// A seat before it is taken.
pub struct Place {
    arguments: Vec<OsString>,
    folder: OsString,
    environment: Vec<(OsString, OsString)>,
}

impl Place {
    /// The program with the environment of a desk and 80 columns by 24 rows.
    pub fn at<A: AsRef<OsStr>>(desk: &Desk, arguments: impl IntoIterator<Item = A>) -> Self {
        let mut all = vec![OsString::from(PROGRAM)];
        all.extend(arguments.into_iter().map(|a| a.as_ref().to_owned()));
        Self {
            arguments: all,
            folder: desk.folder().into(),
            environment: desk.environment().into_iter().map(|(name, value)| (name.into(), value)).collect(),
        }
    }

    /// Started by a script, in a shell with job control. The shell tells
    /// `[stopped]` when the job was stopped, waits for Enter, wakes it, and
    /// tells its `[status …]` when it has ended.
    pub fn in_a_shell(mut self) -> Self {
        const SHELL: &str = r#"set -m; sh -c '"$@"; exit $?' script "$@"
            while status=$?; [ -n "$(jobs -s)" ]; do echo "[stopped]"; read -r line; fg >/dev/null; done
            echo "[status $status]""#;
        let program = std::mem::take(&mut self.arguments);
        self.arguments = ["/bin/bash", "-c", SHELL, "shell"].map(OsString::from).to_vec();
        self.arguments.extend(program);
        self.environment.push(("PATH".into(), "/usr/bin:/bin".into()));
        self
    }

    /// On a disk where no file grows beyond so many KiB, until there is room.
    pub fn on_a_small_disk(mut self, most: u64) -> Self {
        // Left to itself, the system ends a program that asks for more.
        let shell = format!(r#"trap "" XFSZ; ulimit -S -f {most}; exec "$@""#);
        let program = std::mem::take(&mut self.arguments);
        self.arguments = ["/bin/bash", "-c", &shell, "shell"].map(OsString::from).to_vec();
        self.arguments.extend(program);
        self
    }

    /// With one more variable in the environment.
    pub fn with(mut self, name: &str, value: &str) -> Self {
        self.environment.push((name.into(), value.into()));
        self
    }

    /// Starts the program.
    pub fn sit(self) -> Seat {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a terminal");
        let mut command = CommandBuilder::from_argv(self.arguments);
        command.env_clear();
        command.cwd(self.folder);
        for (name, value) in self.environment {
            command.env(name, value);
        }
        let program = Program(pair.slave.spawn_command(command).expect("the program starts"));
        // The last one to hold this side is the program: when it ends, so
        // does what is read below.
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().expect("the terminal can be read");
        let (tell, heard) = mpsc::channel();
        thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(length @ 1..) = reader.read(&mut bytes) {
                if tell.send(bytes[..length].to_vec()).is_err() {
                    return;
                }
            }
        });
        Seat {
            keys: pair.master.take_writer().expect("the terminal can be typed in"),
            terminal: pair.master,
            program,
            heard,
            parser: Parser::new(cells(size.rows), cells(size.cols), 0),
            bytes: Vec::new(),
        }
    }
}

impl Seat {
    /// Presses a key, by the name it has in the program's own list: `Enter`,
    /// `Shift-Tab`, `PgUp`, `Ctrl-Z`, `q`.
    pub fn press(&mut self, key: &str) {
        let code = match key {
            "Enter" => "\r",
            "Esc" => "\x1b",
            "Tab" => "\t",
            "Shift-Tab" => "\x1b[Z",
            "Backspace" => "\x7f",
            "Up" => "\x1b[A",
            "Down" => "\x1b[B",
            "Right" => "\x1b[C",
            "Left" => "\x1b[D",
            "Home" => "\x1b[H",
            "End" => "\x1b[F",
            "PgUp" => "\x1b[5~",
            "PgDn" => "\x1b[6~",
            "F2" => "\x1bOQ",
            _ => match key.strip_prefix("Ctrl-").and_then(|letter| letter.chars().next()) {
                Some(letter) => {
                    let letter = u8::try_from(letter).expect("an ASCII letter");
                    return self.send(&[letter & 0x1f]);
                }
                None if key.chars().count() == 1 => key,
                None => panic!("no key is called {key}"),
            },
        };
        self.send(code.as_bytes());
    }

    /// Types a text, letter by letter.
    pub fn type_in(&mut self, text: &str) {
        self.send(text.as_bytes());
    }

    /// Pastes a text, as a terminal tells it where it was asked to.
    pub fn paste(&mut self, text: &str) {
        assert!(self.screen().bracketed_paste(), "pastes are not asked for");
        self.send(format!("\x1b[200~{text}\x1b[201~").as_bytes());
    }

    /// Presses the left button of the mouse on the first letter of a text that
    /// is shown.
    pub fn click(&mut self, text: &str) {
        assert_ne!(self.screen().mouse_protocol_mode(), MouseProtocolMode::None, "presses are not asked for");
        let (column, row) = self.find(text);
        let (column, row) = (column + 1, row + 1);
        self.send(format!("\x1b[<0;{column};{row}M\x1b[<0;{column};{row}m").as_bytes());
    }

    fn send(&mut self, bytes: &[u8]) {
        self.keys.write_all(bytes).expect("the program takes keys");
        self.keys.flush().expect("the program takes keys");
    }

    /// Gives the window another size.
    pub fn resize(&mut self, columns: u16, rows: u16) {
        // What was drawn for the old size belongs to it.
        while let Ok(bytes) = self.heard.try_recv() {
            self.hear(&bytes);
        }
        self.parser.set_size(cells(rows), cells(columns));
        let size = PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 };
        self.terminal.resize(size).expect("the window has the new size");
    }

    /// Sends a signal to the program.
    pub fn signal(&self, signal: Signal) {
        kill_process(self.process(), signal).expect("the signal is sent");
    }

    /// Makes room on a small disk.
    pub fn make_room(&self) {
        let room = Rlimit { current: None, maximum: None };
        prlimit(Some(self.process()), Resource::Fsize, room).expect("there is room");
    }

    fn process(&self) -> Pid {
        let id = self.program.0.process_id().and_then(|id| i32::try_from(id).ok()).and_then(Pid::from_raw);
        id.expect("it runs")
    }

    /// Waits until a text is shown.
    #[track_caller]
    pub fn wait_for(&mut self, text: &str) {
        self.wait_until(&format!("{text:?}"), |seat| seat.shown().contains(text));
    }

    /// Waits until the terminal or the screen is as it should be.
    #[track_caller]
    pub fn wait_until(&mut self, what: &str, is_so: impl Fn(&Self) -> bool) {
        let end = Instant::now() + PATIENCE;
        while !is_so(self) {
            match self.heard.recv_timeout(end.saturating_duration_since(Instant::now())) {
                Ok(bytes) => self.hear(&bytes),
                Err(RecvTimeoutError::Timeout) => panic!("waited in vain for {what}:\n{}", self.shown()),
                Err(RecvTimeoutError::Disconnected) => {
                    panic!("the program ended before there was {what}:\n{}", self.shown())
                }
            }
        }
    }

    /// Listens for a while; gives how many bytes the program wrote meanwhile.
    pub fn listen(&mut self, time: Duration) -> usize {
        let (end, before) = (Instant::now() + time, self.bytes.len());
        while let Ok(bytes) = self.heard.recv_timeout(end.saturating_duration_since(Instant::now())) {
            self.hear(&bytes);
        }
        self.bytes.len() - before
    }

    fn hear(&mut self, bytes: &[u8]) {
        self.bytes.extend_from_slice(bytes);
        self.parser.process(bytes);
    }

    /// The cells, as far as the program has been listened to.
    pub fn screen(&self) -> &Screen {
        self.parser.screen()
    }

    /// The text of the cells, a line a row, without blanks at the ends.
    pub fn shown(&self) -> String {
        let (_, columns) = self.screen().size();
        let rows: Vec<String> =
            self.screen().rows(0, columns.get()).map(|r| r.trim_end().to_owned()).collect();
        rows.join("\n").trim_end().to_owned()
    }

    /// What is shown once nothing more comes.
    pub fn settled(&mut self) -> String {
        while self.listen(Duration::from_millis(300)) > 0 {}
        self.shown()
    }

    /// Where a text is shown first: column and row, from 0.
    #[track_caller]
    pub fn find(&self, text: &str) -> (u16, u16) {
        let (rows, columns) = self.screen().size();
        let places = (0..rows.get()).flat_map(|row| (0..columns.get()).map(move |column| (column, row)));
        places
            .into_iter()
            .find(|&(column, row)| {
                let rest = self.screen().contents_between(row, column, row, columns.get());
                let blank = self.screen().cell(row, column).is_some_and(|cell| !cell.has_contents());
                rest.starts_with(text) && !blank
            })
            .unwrap_or_else(|| panic!("{text:?} is not shown:\n{}", self.shown()))
    }

    /// Everything the program has written, as far as it has been listened to.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Whether the terminal is as the shell had it: the first screen, the
    /// cursor, no reports of the mouse, pastes as keys, lines and echo.
    pub fn is_given_back(&self) -> bool {
        /// ECHO and ICANON, as Linux numbers the local modes.
        const LINES_AND_ECHO: u32 = 0o12;
        let screen = self.screen();
        let modes = self.terminal.get_termios().expect("the terminal tells its modes");
        !screen.alternate_screen()
            && !screen.hide_cursor()
            && !screen.bracketed_paste()
            && screen.mouse_protocol_mode() == MouseProtocolMode::None
            && modes.local_flags.bits() & LINES_AND_ECHO == LINES_AND_ECHO
    }

    /// Closes the window, as a terminal does when it is shut or its line is
    /// cut; gives the program's exit status.
    pub fn close(mut self) -> u32 {
        // The thread that reads holds the terminal too; it lets go when it
        // has heard something that nobody wants to know.
        self.resize(79, 23);
        let Self { terminal, keys, mut program, heard, .. } = self;
        drop((heard, keys, terminal));
        program.0.wait().expect("the program has ended").exit_code()
    }

    /// Waits for the program to end; gives its exit status.
    #[track_caller]
    pub fn end(&mut self) -> u32 {
        let end = Instant::now() + PATIENCE;
        loop {
            match self.heard.recv_timeout(end.saturating_duration_since(Instant::now())) {
                Ok(bytes) => self.hear(&bytes),
                Err(RecvTimeoutError::Disconnected) => break,
                Err(RecvTimeoutError::Timeout) => panic!("the program does not end:\n{}", self.shown()),
            }
        }
        self.program.0.wait().expect("the program has ended").exit_code()
    }
}

/// The program; a test that failed leaves it not running.
struct Program(Box<dyn Child + Send + Sync>);

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.0.kill();
    }
}

fn cells(count: u16) -> NonZeroU16 {
    NonZeroU16::new(count).expect("a window has cells")
}
