//! Keys, the mouse and pastes.

use std::io;
use std::sync::mpsc::Sender;

use crossterm::event::{
    self, Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind,
};
use ratatui::layout::Position;

use super::Came;
use crate::screen::msg::Msg;

/// Tells all that is typed and pressed, until nobody listens or the terminal
/// cannot be read.
pub fn tell(tell: &Sender<Came>) {
    loop {
        let came = match event::read() {
            Ok(event) => came(event),
            Err(e) => Some(Came::Broken(io::Error::new(e.kind(), format!("the keys cannot be read: {e}")))),
        };
        let broken = matches!(came, Some(Came::Broken(_)));
        if came.is_some_and(|came| tell.send(came).is_err()) || broken {
            return;
        }
    }
}

/// What an event comes to; nothing where it is none of ours.
fn came(event: Event) -> Option<Came> {
    match event {
        Event::Key(key) => typed(key).map(|key| Came::Msg(Msg::Key(key))),
        Event::Paste(text) => Some(Came::Msg(Msg::Pasted(text))),
        Event::Mouse(mouse) => pointed(mouse),
        // A resize is told by its signal, which is listened to from the start.
        Event::Resize(..) | Event::FocusGained | Event::FocusLost => None,
    }
}

/// A key as it counts: not when it is let go, and without the two keys held
/// for a letter on the third level of a keyboard.
fn typed(mut key: KeyEvent) -> Option<KeyEvent> {
    const THIRD_LEVEL: KeyModifiers = KeyModifiers::CONTROL.union(KeyModifiers::ALT);
    if key.kind == KeyEventKind::Release {
        return None;
    }
    if matches!(key.code, KeyCode::Char(_)) && key.modifiers.contains(THIRD_LEVEL) {
        key.modifiers -= THIRD_LEVEL;
    }
    Some(key)
}

fn pointed(mouse: MouseEvent) -> Option<Came> {
    match mouse.kind {
        MouseEventKind::Down(MouseButton::Left) => Some(Came::Press(Position::new(mouse.column, mouse.row))),
        MouseEventKind::ScrollUp => Some(Came::Msg(Msg::Wheel(-1))),
        MouseEventKind::ScrollDown => Some(Came::Msg(Msg::Wheel(1))),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(code: KeyCode, modifiers: KeyModifiers, kind: KeyEventKind) -> Option<KeyEvent> {
        typed(KeyEvent::new_with_kind(code, modifiers, kind))
    }

    #[test]
    fn a_key_counts_when_pressed_and_while_held_not_when_let_go() {
        let plain = |kind| key(KeyCode::Down, KeyModifiers::NONE, kind);
        assert!(plain(KeyEventKind::Press).is_some() && plain(KeyEventKind::Repeat).is_some());
        assert_eq!(plain(KeyEventKind::Release), None);
    }

    #[test]
    fn a_letter_of_the_third_level_is_typed_text() {
        let third = KeyModifiers::CONTROL | KeyModifiers::ALT;
        let typed = key(KeyCode::Char('@'), third, KeyEventKind::Press).expect("it counts");
        assert_eq!(typed.modifiers, KeyModifiers::NONE);
        let shifted = key(KeyCode::Char('Ł'), third | KeyModifiers::SHIFT, KeyEventKind::Press);
        assert_eq!(shifted.expect("it counts").modifiers, KeyModifiers::SHIFT);
        let control = key(KeyCode::Char('z'), KeyModifiers::CONTROL, KeyEventKind::Press);
        assert_eq!(control.expect("it counts").modifiers, KeyModifiers::CONTROL);
        let held = key(KeyCode::Left, third, KeyEventKind::Press);
        assert_eq!(held.expect("it counts").modifiers, third);
    }

    #[test]
    fn the_left_button_presses_and_the_wheel_turns() {
        let at = |kind| pointed(MouseEvent { kind, column: 7, row: 3, modifiers: KeyModifiers::NONE });
        let press = at(MouseEventKind::Down(MouseButton::Left));
        assert!(matches!(press, Some(Came::Press(Position { x: 7, y: 3 }))));
        assert!(matches!(at(MouseEventKind::ScrollUp), Some(Came::Msg(Msg::Wheel(-1)))));
        assert!(matches!(at(MouseEventKind::ScrollDown), Some(Came::Msg(Msg::Wheel(1)))));
        assert!(at(MouseEventKind::Up(MouseButton::Left)).is_none());
        assert!(at(MouseEventKind::Moved).is_none());
    }

    #[test]
    fn a_paste_comes_in_one_piece() {
        let pasted = came(Event::Paste("Lee shore\nsecond".to_owned()));
        assert!(matches!(pasted, Some(Came::Msg(Msg::Pasted(text))) if text == "Lee shore\nsecond"));
    }
}
