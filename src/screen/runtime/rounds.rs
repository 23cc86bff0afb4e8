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
    io::Error::other("a part of the program stopped")
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
            if let Some(status) = self.round(told)? {
                return Ok(status);
            }
        }
    }

    /// Waits for something, takes all that came, draws once.
    fn round(&mut self, told: &Receiver<Came>) -> io::Result<Option<u8>> {
        let first = told.recv().map_err(|_| fault())?;
        for came in iter::once(first).chain(told.try_iter()) {
            if let Some(status) = self.take(came)? {
                return Ok(Some(status));
            }
        }
        Ok(self.draw().err().map(|_| self.left_alone()))
    }

    /// Ends in silence where the terminal is gone, and with it whoever could
    /// be told; gives the exit status.
    fn left_alone(&mut self) -> u8 {
        self.update(Msg::End).unwrap_or(1)
    }

    /// Draws the model as it is now.
    ///
    /// # Errors
    /// Where the terminal cannot be written to.
    pub fn draw(&mut self) -> io::Result<()> {
        let Self { model, terminal, targets, colourless, .. } = self;
        let mut from = None;
        let drawing = terminal.draw(|frame| {
            let drawn = view(model, frame.buffer_mut());
            if let Some(at) = drawn.cursor {
                frame.set_cursor_position(at);
            }
            if *colourless {
                take_colour(frame.buffer_mut());
            }
            *targets = drawn.targets;
            from = drawn.from;
        });
        drawing.map(drop).map_err(|e| io::Error::other(e.to_string()))?;
        if let Some(line) = from {
            self.update(Msg::ShownFrom(line));
        }
        Ok(())
    }

    fn take(&mut self, came: Came) -> io::Result<Option<u8>> {
        match came {
            // A terminal that hangs up wakes the program too.
            Came::Msg(Msg::Woken) if term::take_again().is_err() => Ok(Some(self.left_alone())),
            Came::Msg(msg) => Ok(self.update(msg)),
            Came::Press(at) => {
                Ok(target(&self.targets, at).and_then(|target| self.update(Msg::Pressed(target))))
            }
            Came::Broken(_) if self.draw().is_err() => Ok(Some(self.left_alone())),
            Came::Broken(e) => Err(e),
            Came::Farewell => Err(fault()),
        }
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
                Effect::Plan(at) => self.tell_book(Job::Plan(at)),
                Effect::TakeIn { other } => self.tell_book(Job::TakeIn { other }),
                Effect::Remember(left) => self.tell_book(Job::Remember(left)),
                Effect::Saw(upto) => self.tell_book(Job::Saw(upto)),
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

#[cfg(test)]
mod tests {
    use std::sync::mpsc;

    use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
    use ratatui::backend::TestBackend;
    use ratatui::style::{Modifier, Style};

    use super::*;
    use crate::screen::msg::Question;

    fn morning() -> Moment {
        "2030-10-14T08:00:00+10:00".parse().expect("a moment")
    }

    type Tried = Rounds<TestBackend, fn() -> Moment>;

    fn rounds() -> (Tried, Receiver<Job>) {
        let (ask, asked) = mpsc::channel();
        let terminal = Terminal::new(TestBackend::new(80, 24)).expect("cells");
        (Rounds::new(Model::new("Tavi".to_owned(), morning()), terminal, morning, ask), asked)
    }

    fn piled(came: impl IntoIterator<Item = Came>) -> Receiver<Came> {
        let (tell, told) = mpsc::channel();
        came.into_iter().for_each(|came| tell.send(came).expect("the other end is kept"));
        told
    }

    fn drawings(rounds: &mut Tried) -> usize {
        rounds.terminal.get_frame().count()
    }

    #[test]
    fn what_has_piled_up_is_drawn_once() {
        let (mut rounds, _asked) = rounds();
        let keys = ["?", "?", "?"].map(|_| KeyEvent::new(KeyCode::Char('?'), KeyModifiers::NONE));
        let told = piled(keys.map(|key| Came::Msg(Msg::Key(key))));
        assert_eq!(rounds.round(&told).expect("no fault"), None);
        assert_eq!(drawings(&mut rounds), 1);
        assert!(rounds.model.help.is_some(), "all three were taken");
    }

    #[test]
    fn the_first_question_is_asked_once_and_the_end_remembers_the_place() {
        let (mut rounds, asked) = rounds();
        assert_eq!(rounds.run(&piled([Came::Msg(Msg::End)])).expect("no fault"), 0);
        assert!(matches!(asked.try_recv(), Ok(Job::Ask { question: Question::Left(_), .. })));
        assert!(matches!(asked.try_recv(), Ok(Job::Remember(_))));
        assert!(asked.try_recv().is_err());
    }

    #[test]
    fn a_farewell_ends_the_rounds_without_another_drawing() {
        let (mut rounds, _asked) = rounds();
        let told = piled([Came::Msg(Msg::Resized), Came::Farewell]);
        assert_eq!(rounds.run(&told).expect_err("a fault").to_string(), fault().to_string());
        assert_eq!(drawings(&mut rounds), 0);
    }

    #[test]
    fn a_thread_that_cannot_go_on_ends_the_rounds_with_its_reason() {
        let (mut rounds, _asked) = rounds();
        let told = piled([Came::Broken(io::Error::other("the keys cannot be read"))]);
        assert_eq!(rounds.run(&told).expect_err("a fault").to_string(), "the keys cannot be read");
    }

    #[test]
    fn a_press_is_meant_for_what_was_drawn_last() {
        let (mut rounds, _asked) = rounds();
        let leave = Target::Key(KeyCode::Char('q'));
        rounds.targets =
            vec![(Rect::new(0, 0, 80, 24), Target::Stage(1)), (Rect::new(3, 5, 4, 1), leave.clone())];
        assert_eq!(target(&rounds.targets, Position::new(6, 5)), Some(leave));
        assert_eq!(target(&rounds.targets, Position::new(7, 5)), Some(Target::Stage(1)));
        assert_eq!(target(&rounds.targets, Position::new(80, 5)), None);
        assert_eq!(rounds.take(Came::Press(Position::new(80, 5))).expect("no fault"), None);
        assert_eq!(rounds.take(Came::Press(Position::new(3, 5))).expect("no fault"), Some(0));
    }

    #[test]
    fn drawing_anew_writes_every_cell() {
        let (mut rounds, _asked) = rounds();
        rounds.draw().expect("drawn");
        let shown = rounds.terminal.backend().buffer().clone();
        let stray = ratatui::buffer::Cell::new("#");
        rounds.terminal.backend_mut().draw([(5, 5, &stray)].into_iter()).expect("cells");
        rounds.draw().expect("drawn");
        assert_ne!(rounds.terminal.backend().buffer(), &shown, "only what changed is written");
        let redraw = KeyEvent::new(KeyCode::Char('l'), KeyModifiers::CONTROL);
        rounds.round(&piled([Came::Msg(Msg::Key(redraw))])).expect("no fault");
        assert_eq!(rounds.terminal.backend().buffer(), &shown);
    }

    #[test]
    fn without_colours_marks_stay() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 6, 1));
        let style = Style::new().fg(Color::Red).bg(Color::Blue).add_modifier(Modifier::REVERSED);
        buffer.set_string(0, 0, "chosen", style);
        take_colour(&mut buffer);
        let mut plain = Buffer::empty(Rect::new(0, 0, 6, 1));
        plain.set_string(0, 0, "chosen", Style::new().add_modifier(Modifier::REVERSED));
        assert_eq!(buffer, plain);
    }
}
