//! A program in a terminal of its own, and how long it takes to show
//! something.

use std::ffi::OsStr;
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::mpsc::{self, Receiver};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use vt100::Parser;

const COLUMNS: NonZeroU16 = NonZeroU16::new(80).expect("not zero");
const ROWS: NonZeroU16 = NonZeroU16::new(24).expect("not zero");
/// Longer than anything here may take.
const PATIENCE: Duration = Duration::from_secs(30);

pub struct Terminal {
    keys: Box<dyn Write + Send>,
    heard: Receiver<(Instant, Vec<u8>)>,
    parser: Parser,
    started: Instant,
    child: Box<dyn Child + Send + Sync>,
    _master: Box<dyn MasterPty + Send>,
}

impl Terminal {
    /// Starts a program.
    pub fn open<A: AsRef<OsStr>>(program: &Path, arguments: impl IntoIterator<Item = A>) -> Self {
        let size = PtySize { rows: ROWS.get(), cols: COLUMNS.get(), pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a terminal");
        let mut command = CommandBuilder::new(program);
        command.args(arguments);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        let started = Instant::now();
        let child = pair.slave.spawn_command(command).expect("the program starts");
        let mut reader = pair.master.try_clone_reader().expect("the terminal can be read");
        let (tell, heard) = mpsc::channel();
        thread::spawn(move || {
            let mut bytes = [0; 65536];
            while let Ok(length @ 1..) = reader.read(&mut bytes) {
                if tell.send((Instant::now(), bytes[..length].to_vec())).is_err() {
                    return;
                }
            }
        });
        let keys = pair.master.take_writer().expect("the terminal can be typed in");
        let parser = Parser::new(ROWS, COLUMNS, 0);
        Self { keys, heard, parser, started, child, _master: pair.master }
    }

    /// From the start of the program until the screen is as it should be.
    pub fn until(&mut self, is_so: impl Fn(&str) -> bool) -> Duration {
        self.wait(is_so) - self.started
    }

    /// From a key until the screen is as it should be.
    pub fn press(&mut self, key: &str, is_so: impl Fn(&str) -> bool) -> Duration {
        let pressed = Instant::now();
        self.keys.write_all(key.as_bytes()).expect("the program takes keys");
        self.keys.flush().expect("the program takes keys");
        self.wait(is_so) - pressed
    }

    /// What is shown.
    pub fn shown(&self) -> String {
        self.parser.screen().contents()
    }

    /// When what makes it so was heard; now, where it is so already.
    fn wait(&mut self, is_so: impl Fn(&str) -> bool) -> Instant {
        let mut last = Instant::now();
        while !is_so(&self.shown()) {
            let (at, bytes) =
                self.heard.recv_timeout(PATIENCE).unwrap_or_else(|e| panic!("{e}:\n{}", self.shown()));
            self.parser.process(&bytes);
            last = at;
        }
        last
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
