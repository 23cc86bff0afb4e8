//! What the system tells the program.

use std::io;
use std::sync::mpsc::Sender;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGWINCH};
use signal_hook::iterator::Signals;

use super::Came;
use crate::screen::msg::Msg;

/// Listens from now on; what comes before [`tell`] is told then.
///
/// # Errors
/// Where the system refuses.
pub fn listen() -> io::Result<Signals> {
    Signals::new([SIGTERM, SIGHUP, SIGINT, SIGQUIT, SIGTSTP, SIGCONT, SIGWINCH])
}

/// Tells every signal, until nobody listens.
pub fn tell(mut signals: Signals, tell: &Sender<Came>) {
    for signal in &mut signals {
        if tell.send(Came::Msg(meaning(signal))).is_err() {
            return;
        }
    }
}

fn meaning(signal: i32) -> Msg {
    match signal {
        SIGWINCH => Msg::Resized,
        SIGCONT => Msg::Woken,
        // Told by another program what Ctrl-Z tells by hand.
        SIGTSTP => Msg::Key(KeyEvent::new(KeyCode::Char('z'), KeyModifiers::CONTROL)),
        _ => Msg::End,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;
    use std::thread;

    use super::*;
    use crate::screen::keys::{self, Act, Place};

    #[test]
    fn signals_are_told_in_words_of_the_screen() {
        for signal in [SIGTERM, SIGHUP, SIGINT, SIGQUIT] {
            assert!(matches!(meaning(signal), Msg::End));
        }
        assert!(matches!(meaning(SIGWINCH), Msg::Resized));
        assert!(matches!(meaning(SIGCONT), Msg::Woken));
    }

    #[test]
    fn a_stop_from_outside_is_the_key_that_stops() {
        let Msg::Key(key) = meaning(SIGTSTP) else { panic!("a key") };
        for place in [Place::Row, Place::House, Place::DayBook, Place::Pieces, Place::Form, Place::Help] {
            assert_eq!(keys::act(place, &key), Some(Act::Suspend));
        }
    }

    #[test]
    fn a_signal_that_came_before_the_thread_is_told() {
        let signals = Signals::new([SIGWINCH]).expect("listening");
        signal_hook::low_level::raise(SIGWINCH).expect("raised");
        let (tell_it, told) = mpsc::channel();
        let thread = thread::spawn(move || tell(signals, &tell_it));
        assert!(matches!(told.recv(), Ok(Came::Msg(Msg::Resized))));
        drop(told);
        signal_hook::low_level::raise(SIGWINCH).expect("raised");
        thread.join().expect("no panic");
    }
}
