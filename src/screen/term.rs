//! The terminal: taken, and given back whatever happens.
//!
//! Nothing else changes its modes or writes to it. It is given back when
//! [`Taken`] is dropped, when any thread panics, and before the program is
//! stopped for a while; a frame that comes later than that is not written.

use std::fmt;
use std::io::{self, IsTerminal, Write};
use std::panic;
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

use crossterm::cursor::{Hide, Show};
use crossterm::event::{DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste};
use crossterm::style::{Attribute, SetAttribute};
use crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use crossterm::{Command, execute};
use rustix::process::{Signal, getpgrp, getsid, kill_current_process_group};

/// Whether the terminal is ours. Held while anything is written to it, so
/// that a thread that panics does not give it back in the middle of a frame.
static OURS: Mutex<bool> = Mutex::new(false);

fn ours() -> MutexGuard<'static, bool> {
    OURS.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The terminal, for as long as this lives.
#[derive(Debug)]
pub struct Taken(());

impl Taken {
    /// Takes the terminal: raw mode, the other screen, presses of the mouse,
    /// pastes in one piece.
    ///
    /// # Errors
    /// Where input or output is no terminal, or its modes cannot be changed;
    /// it is as it was then.
    pub fn take() -> io::Result<Self> {
        if !(io::stdin().is_terminal() && io::stdout().is_terminal()) {
            return Err(io::Error::other("the input or the output is no terminal"));
        }
        give_back_when_a_thread_panics();
        // Before the first change, so that a change that fails is undone too.
        let taken = Self(());
        enter()?;
        Ok(taken)
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        give_back();
    }
}

fn give_back_when_a_thread_panics() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |about| {
            give_back();
            before(about);
        }));
    });
}

fn enter() -> io::Result<()> {
    let mut ours = ours();
    *ours = true;
    // First of all: a program that was sent to the background is stopped
    // here, before it has written anything.
    enable_raw_mode()?;
    set(&mut io::stdout())
}

fn set(out: &mut impl Write) -> io::Result<()> {
    execute!(out, EnterAlternateScreen, Hide, EnableBracketedPaste, ReportPresses)
}

/// Gives the terminal back; does nothing where it was given back already.
/// Each step is done whatever became of the one before.
pub fn give_back() {
    let mut ours = ours();
    if std::mem::replace(&mut *ours, false) {
        unset(&mut io::stdout());
        let _ = disable_raw_mode();
    }
}

/// Undoes [`set`], while raw mode is still on: without it, the reports of the
/// mouse would be echoed into the shell.
fn unset(out: &mut impl Write) {
    let _ = execute!(out, DisableMouseCapture);
    let _ = execute!(out, DisableBracketedPaste);
    let _ = execute!(out, SetAttribute(Attribute::Reset));
    let _ = execute!(out, LeaveAlternateScreen);
    let _ = execute!(out, Show);
}

/// Takes the terminal again after the program was stopped, whether it was
/// given back before or the shell has changed its modes behind our back.
///
/// # Errors
/// Where its modes cannot be changed.
pub fn take_again() -> io::Result<()> {
    give_back();
    enter()
}

/// Gives the terminal back and stops the program, until it is woken; it is
/// to be taken again then. Does nothing where there is no shell to wake it.
///
/// # Errors
/// Where the system refuses.
pub fn stop() -> io::Result<()> {
    // A shell with job control gives each job a process group of its own.
    let has_shell = getsid(None).is_ok_and(|session| session != getpgrp());
    if has_shell {
        give_back();
        // All of the job, as the terminal itself would: a script that started
        // the program must not go on waiting for it in the foreground.
        kill_current_process_group(Signal::STOP)?;
    }
    Ok(())
}

/// Asks for presses and the wheel of the mouse, not for its every movement:
/// over a slow line those would hold up the keys.
struct ReportPresses;

impl Command for ReportPresses {
    fn write_ansi(&self, f: &mut impl fmt::Write) -> fmt::Result {
        f.write_str("\x1b[?1000h\x1b[?1006h")
    }
}

/// Where frames go: to the terminal, in one piece, while it is ours.
#[derive(Debug, Default)]
pub struct Outlet(Vec<u8>);

impl Write for Outlet {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        let bytes = std::mem::take(&mut self.0);
        let ours = ours();
        if *ours {
            let mut out = io::stdout().lock();
            out.write_all(&bytes)?;
            out.flush()?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A terminal that refuses some of what is written to it.
    struct Refusing {
        refused: usize,
        written: Vec<u8>,
    }

    impl Write for Refusing {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            if self.refused > 0 {
                self.refused -= 1;
                return Err(io::ErrorKind::BrokenPipe.into());
            }
            self.written.extend_from_slice(bytes);
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    fn given_back(refused: usize) -> String {
        let mut out = Refusing { refused, written: vec![] };
        unset(&mut out);
        String::from_utf8(out.written).expect("codes are ASCII")
    }

    #[test]
    fn every_mode_that_was_set_is_unset() {
        let mut out = Vec::new();
        set(&mut out).expect("written");
        let (set, unset) = (String::from_utf8(out).expect("codes are ASCII"), given_back(0));
        let modes: Vec<&str> = set.split('\x1b').filter_map(|code| code.strip_prefix("[?")).collect();
        assert!(modes.len() >= 5, "{set:?}");
        for mode in modes {
            let undone = match mode.strip_suffix('h') {
                Some(mode) => format!("\x1b[?{mode}l"),
                None => format!("\x1b[?{}h", mode.trim_end_matches('l')),
            };
            assert!(unset.contains(&undone), "{mode} stays on after {unset:?}");
        }
    }

    #[test]
    fn the_other_steps_are_done_where_one_fails() {
        let (all, rest) = (given_back(0), given_back(1));
        assert!(!rest.is_empty() && all.len() > rest.len() && all.ends_with(&rest), "{rest:?}");
    }

    #[test]
    fn a_frame_that_comes_late_is_not_written() {
        // The terminal of the tests was never taken.
        let mut outlet = Outlet::default();
        outlet.write_all(b"late").expect("gathered");
        outlet.flush().expect("dropped in silence");
        assert!(outlet.0.is_empty());
    }
}
