//! Typing in a form.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use tui_input::{Input, InputRequest};

use super::Form;

/// The longest text a field takes, characters.
const LONGEST: usize = 200;

impl Form {
    /// Takes a key that is typed; false where it is none.
    pub fn typed(&mut self, key: &KeyEvent) -> bool {
        let Some(field) = self.fields.get_mut(self.focus) else { return false };
        // Ctrl with Alt is how some keyboards reach their letters.
        let letter = key.modifiers - KeyModifiers::SHIFT;
        let typed = letter.is_empty() || letter == KeyModifiers::CONTROL | KeyModifiers::ALT;
        let request = match key.code {
            KeyCode::Char(c) if typed && !c.is_control() => {
                if field.text().chars().count() >= LONGEST {
                    return true;
                }
                InputRequest::InsertChar(c)
            }
            KeyCode::Char('u') if letter == KeyModifiers::CONTROL => InputRequest::DeleteLine,
            KeyCode::Char('w') if letter == KeyModifiers::CONTROL => InputRequest::DeletePrevWord,
            KeyCode::Backspace => InputRequest::DeletePrevChar,
            KeyCode::Delete => InputRequest::DeleteNextChar,
            KeyCode::Left => InputRequest::GoToPrevChar,
            KeyCode::Right => InputRequest::GoToNextChar,
            KeyCode::Home => InputRequest::GoToStart,
            KeyCode::End => InputRequest::GoToEnd,
            _ => return false,
        };
        let erases = matches!(
            request,
            InputRequest::InsertChar(_) | InputRequest::DeletePrevChar | InputRequest::DeleteNextChar
        );
        if std::mem::take(&mut field.gives_way) && erases {
            field.input.reset();
        }
        field.input.handle(request);
        self.refused.clear();
        self.fit_to_item();
        true
    }

    /// Takes pasted text, on one line.
    pub fn pasted(&mut self, text: &str) {
        let line = text.lines().collect::<Vec<_>>().join(" ").replace('\t', " ");
        for c in line.chars().filter(|c| !c.is_control()).take(LONGEST) {
            self.typed(&KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE));
        }
    }

    /// Goes to another field, round about.
    pub fn step(&mut self, by: isize) {
        let count = self.fields.len() as isize;
        if count > 0 {
            self.focus = (self.focus as isize + by).rem_euclid(count) as usize;
        }
    }

    /// Puts in the next of the words that would do.
    pub fn next_word(&mut self) {
        let Some(field) = self.fields.get_mut(self.focus) else { return };
        let at = field.words.iter().position(|w| w == field.text());
        let next = at.map_or(0, |i| (i + 1) % field.words.len().max(1));
        if let Some(word) = field.words.get(next) {
            field.input = Input::new(word.clone());
        }
        self.refused.clear();
        self.fit_to_item();
    }
}
