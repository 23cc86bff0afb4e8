//! The loop: wait for something, take all that came, draw once.

use std::io;
use std::iter;
use std::sync::mpsc::{Receiver, Sender};

use ratatui::Terminal;
use ratatui::backend::Backend;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Color;

use super::Came;
use super::book_thread::Job;
use crate::book::Stamp;
use crate::build::Moment;
use crate::screen::model::Model;
use crate::screen::msg::{Effect, Msg, Target};
use crate::screen::term;
use crate::screen::update::update;
use crate::screen::view::view;

/// The screen at work.
pub struct Rounds<B: Backend, C> {
    model: Model,
    terminal: Terminal<B>,
    clock: C,
    book: Sender<Job>,
    /// What the last drawing shows where: presses are meant for that.
    targets: Vec<(Rect, Target)>,
    colourless: bool,
}

/// What is told where the program, not the builder, did something wrong.
pub fn fault() -> io::Error {
    io::Error::other("the screen ended by a fault of its own; all that was kept is in the book")
}

impl<B: Backend, C: Fn() -> Moment> Rounds<B, C> {
    pub fn new(model: Model, terminal: Terminal<B>, clock: C, book: Sender<Job>) -> Self {
        // https://no-color.org: set and not empty.
        let colourless = std::env::var_os("NO_COLOR").is_some_and(|set| !set.is_empty());
        Self { model, terminal, clock, book, targets: Vec::new(), colourless }
    }

    /// Goes on until the screen is left, and gives the exit status.
    ///
    /// # Errors
    /// Where a thread ended before its time.
    pub fn run(&mut self, told: &Receiver<Came>) -> io::Result<u8> {
        let first = self.model.begin();
        if let Some(status) = self.act(first) {
            return Ok(status);
        }
        loop {
            let came = told.recv().map_err(|_| fault())?;
            for came in iter::once(came).chain(told.try_iter()) {
                if let Some(status) = self.take(came)? {
                    return Ok(status);
                }
            }
            if self.draw().is_err() {
                // The terminal is gone, and with it whoever could be told.
                let last = self.update(Msg::End);
                return Ok(last.unwrap_or(1));
            }
        }
    }

    /// Draws the model as it is now.
    ///
    /// # Errors
    /// Where the terminal cannot be written to.
    pub fn draw(&mut self) -> io::Result<()> {
        let Self { model, terminal, targets, colourless, .. } = self;
        let drawing = terminal.draw(|frame| {
            let drawn = view(model, frame.buffer_mut());
            if let Some(at) = drawn.cursor {
                frame.set_cursor_position(at);
            }
            if *colourless {
                take_colour(frame.buffer_mut());
            }
            *targets = drawn.targets;
        });
        drawing.map(drop).map_err(|e| io::Error::other(e.to_string()))
    }

    fn take(&mut self, came: Came) -> io::Result<Option<u8>> {
        Ok(match came {
            Came::Msg(msg) => {
                if matches!(msg, Msg::Woken) {
                    term::take_again()?;
                    self.redraw();
                }
                self.update(msg)
            }
            Came::Press(at) => match target(&self.targets, at) {
                Some(target) => self.update(Msg::Pressed(target)),
                None => None,
            },
            Came::Broken(e) => return Err(e),
            Came::Farewell => return Err(fault()),
        })
    }

    fn update(&mut self, msg: Msg) -> Option<u8> {
        let effects = update(&mut self.model, msg, (self.clock)());
        self.act(effects)
    }

    /// Does what is to be done; gives the exit status where it is to leave.
    fn act(&mut self, effects: Vec<Effect>) -> Option<u8> {
        for effect in effects {
            match effect {
                Effect::Ask { asked, question } => self.tell_book(Job::Ask { asked, question }),
                Effect::Keep { house, draft, by, at } => {
                    let stamp = Stamp { at, now: (self.clock)(), by };
                    self.tell_book(Job::Keep { house, draft, stamp });
                }
                Effect::Remember(left) => self.tell_book(Job::Remember(left)),
                Effect::Suspend => {
                    // Where the system refuses to stop the program, it goes on.
                    let _ = term::stop();
                }
                Effect::Redraw => self.redraw(),
                Effect::Leave { status } => return Some(status),
            }
        }
        None
    }

    fn tell_book(&self, job: Job) {
        // A book thread that is gone has said farewell: it is in the channel.
        let _ = self.book.send(job);
    }

    /// Lets the next drawing write every cell.
    fn redraw(&mut self) {
        // `Terminal::clear` would ask the terminal where its cursor is, and
        // wait for an answer that goes to the input thread.
        let area = self.terminal.get_frame().area();
        let _ = self.terminal.resize(area);
    }
}

/// What stands at a cell; of several, what was drawn last.
fn target(targets: &[(Rect, Target)], at: Position) -> Option<Target> {
    targets.iter().rev().find(|(area, _)| area.contains(at)).map(|(_, target)| target.clone())
}

/// Takes all colour from a drawing. With no colour to set, none is sent: told
/// not to send colours, crossterm 0.29 would send a reset in place of each,
/// which also ends what is bold or reversed.
fn take_colour(buffer: &mut Buffer) {
    for cell in &mut buffer.content {
        cell.fg = Color::Reset;
        cell.bg = Color::Reset;
        cell.underline_color = Color::Reset;
    }
}
