//! What runs the screen: threads that tell, one loop that is told.
//!
//! ```text
//! keys, mouse, pastes ── input ───┐
//! TERM, HUP, resizes ─── signals ─┼─► one channel ─► rounds: update, effects, one drawing
//! answers, kept ──────── book ────┘                     │
//!           ▲───────────────────────────────────────────┘
//! ```
//!
//! The book lives on its own thread and nowhere else, so that a slow disk
//! never holds up a key. Nothing ticks: a round begins when something came,
//! takes all that has piled up, and ends with one drawing. Each thread says
//! farewell when it ends, by returning or by panicking, and the screen ends
//! with it.

mod book_thread;
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
    let book = spawn("book", &tell, move |tell| book_thread::serve(book, &asked, tell))?;
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
    use super::*;

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
}
