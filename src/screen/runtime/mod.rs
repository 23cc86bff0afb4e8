//! What runs the screen: threads that tell, one loop that is told.
//!
//! ```text
//! keys, mouse, pastes ── input ───┐
//! TERM, HUP, resizes ─── signals ─┼─► one channel ─► rounds: update, effects, one drawing
//! answers, kept ──────── book ────┤                     │
//!           ▲──────────── │ ──────│─────────────────────┘
//! the plan ───────────── days ────┘
//! ```
//!
//! The book lives on its own thread and nowhere else, so that a slow disk
//! never holds up a key; the days are planned on another, so that many houses
//! hold up neither a key nor the book. Nothing ticks: a round begins when something came,
//! takes all that has piled up, and ends with one drawing. Each thread says
//! farewell when it ends, by returning or by panicking, and the screen ends
//! with it.

mod book_thread;
mod days_thread;
mod input;
mod rounds;
mod signals;

use std::io;
use std::sync::mpsc::{self, Sender};
use std::thread::{self, JoinHandle};

use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Position;

use super::model::Model;
use super::msg::Msg;
use super::term::{Outlet, Taken};
use crate::book::Book;
use crate::build::Moment;
use rounds::Rounds;

/// What comes through the channel.
#[derive(Debug)]
enum Came {
    /// Something for the model.
    Msg(Msg),
    /// The mouse was pressed at a cell.
    Press(Position),
    /// A thread cannot go on.
    Broken(io::Error),
    /// A thread has ended.
    Farewell,
}

/// Opens the book on the screen, and gives the exit status once it is left.
///
/// `clock` tells the time, `writer` is who writes.
///
/// # Errors
/// Where the terminal cannot be taken, or a thread ends before its time. The
/// terminal was given back then.
pub fn run(book: Book, clock: impl Fn() -> Moment + Send + 'static, writer: String) -> io::Result<u8> {
    let (tell, told) = mpsc::channel();
    let (ask, asked) = mpsc::channel();
    // Before the terminal is taken: from then on, no signal may end the
    // program without giving it back.
    let signals = signals::listen()?;
    let taken = Taken::take()?;
    let terminal = Terminal::new(CrosstermBackend::new(Outlet::default()))?;
    let mut rounds = Rounds::new(Model::new(writer, clock()), terminal, clock, ask);
    rounds.draw()?;
    spawn("signals", &tell, |tell| signals::tell(signals, tell))?;
    spawn("input", &tell, input::tell)?;
    let (plan, to_plan) = mpsc::channel();
    spawn("days", &tell, move |tell| days_thread::plan(&to_plan, tell))?;
    let book = spawn("book", &tell, move |tell| book_thread::serve(book, &asked, tell, &plan))?;
    let status = rounds.run(&told);
    drop(taken);
    // What is still to be kept is kept before the program ends.
    drop(rounds);
    book.join().map_err(|_| rounds::fault())?;
    status
}

/// Starts a thread that says farewell when it ends.
fn spawn(
    name: &str,
    tell: &Sender<Came>,
    work: impl FnOnce(&Sender<Came>) + Send + 'static,
) -> io::Result<JoinHandle<()>> {
    let farewell = Farewell(tell.clone());
    thread::Builder::new().name(name.to_owned()).spawn(move || work(&farewell.0))
}

/// Tells, when dropped, that its thread has ended.
struct Farewell(Sender<Came>);

impl Drop for Farewell {
    fn drop(&mut self) {
        // Where nobody listens any more, the screen has ended before.
        let _ = self.0.send(Came::Farewell);
    }
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use portable_pty::{CommandBuilder, PtySize, native_pty_system};

    use super::*;
    use crate::build::Moment;

    #[test]
    fn a_thread_that_returns_says_farewell() {
        let (tell, told) = mpsc::channel();
        let thread = spawn("returns", &tell, |_| ()).expect("started");
        assert!(matches!(told.recv(), Ok(Came::Farewell)));
        thread.join().expect("no panic");
    }

    #[test]
    fn a_thread_that_panics_says_farewell() {
        let (tell, told) = mpsc::channel();
        let thread = spawn("panics", &tell, |_| panic!("on purpose")).expect("started");
        assert!(matches!(told.recv(), Ok(Came::Farewell)));
        thread.join().expect_err("a panic");
    }

    fn morning() -> Moment {
        "2030-10-14T08:00:00+10:00".parse().expect("a moment")
    }

    /// The screen with one thread, at work in a terminal.
    fn screen_with(work: impl FnOnce(&Sender<Came>) + Send + 'static, clock: fn() -> Moment) {
        let ((tell, told), (ask, _asked)) = (mpsc::channel(), mpsc::channel());
        let taken = Taken::take().expect("a terminal");
        let terminal = Terminal::new(CrosstermBackend::new(Outlet::default())).expect("its size");
        let mut rounds = Rounds::new(Model::new("Tavi".to_owned(), morning()), terminal, clock, ask);
        rounds.draw().expect("drawn");
        spawn("tried", &tell, work).expect("started");
        let ended = rounds.run(&told);
        drop(taken);
        println!("ended with {ended:?}");
    }

    #[test]
    #[ignore = "runs in the terminal of a_panic_in_a_thread_gives_the_terminal_back"]
    fn in_a_terminal_a_thread_panics() {
        screen_with(|_| panic!("on purpose"), morning);
    }

    #[test]
    #[ignore = "runs in the terminal of a_panic_in_the_loop_gives_the_terminal_back"]
    fn in_a_terminal_the_loop_panics() {
        let resized = |tell: &Sender<Came>| drop(tell.send(Came::Msg(Msg::Resized)));
        screen_with(resized, || panic!("on purpose"));
    }

    /// Runs another test of this file in a terminal; gives what it wrote
    /// before and after the terminal was given back.
    fn in_a_terminal(test: &str) -> (String, String) {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a terminal");
        let mut command = CommandBuilder::new(std::env::current_exe().expect("this program"));
        command.args([&format!("{}::{test}", module()), "--exact", "--ignored", "--nocapture"]);
        // It would start in the home folder, which need not be there.
        command.cwd(std::env::current_dir().expect("a folder"));
        let mut child = pair.slave.spawn_command(command).expect("started");
        drop(pair.slave);
        let mut wrote = Vec::new();
        // Linux tells the end of a terminal as an error.
        let _ = pair.master.try_clone_reader().expect("readable").read_to_end(&mut wrote);
        child.wait().expect("ended");
        let wrote = String::from_utf8(wrote).expect("UTF-8");
        let (before, after) =
            wrote.split_once("\x1b[?1049l").unwrap_or_else(|| panic!("never left: {wrote:?}"));
        (before.to_owned(), after.to_owned())
    }

    /// This module, as the test program has it: without the name of the crate.
    fn module() -> &'static str {
        module_path!().split_once("::").map_or("", |(_, path)| path)
    }

    #[test]
    fn a_panic_in_a_thread_gives_the_terminal_back() {
        let (before, after) = in_a_terminal("in_a_terminal_a_thread_panics");
        assert!(before.contains("\x1b[?1049h") && before.contains("\x1b[?1000l"), "{before:?}");
        assert!(after.starts_with("\x1b[?25h") && after.contains("on purpose"), "{after:?}");
        assert!(after.contains("a part of the program stopped"), "the screen ended: {after:?}");
        assert!(!after["\x1b[?25h".len()..].contains("\x1b["), "nothing is drawn any more: {after:?}");
    }

    #[test]
    fn a_panic_in_the_loop_gives_the_terminal_back() {
        let (before, after) = in_a_terminal("in_a_terminal_the_loop_panics");
        assert!(before.contains("\x1b[?1049h") && before.contains("\x1b[?1000l"), "{before:?}");
        assert!(after.starts_with("\x1b[?25h") && after.contains("on purpose"), "{after:?}");
        assert!(!after["\x1b[?25h".len()..].contains("\x1b["), "nothing is drawn any more: {after:?}");
    }
}
