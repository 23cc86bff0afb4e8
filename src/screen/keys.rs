//! The one table of keys: handling, foot lines and help are made from it.

mod act;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

pub use act::Act;

/// Where a key works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The row of houses.
    Row,
    /// A house.
    House,
    /// The day book.
    DayBook,
    /// The stores.
    Stores,
    /// The days.
    Days,
    /// Crews, rates and closed days.
    Crews,
    /// Poles to pieces.
    Pieces,
    /// A form.
    Form,
    /// The long form of a brief.
    Brief,
    /// What holds of a house.
    Holds,
    /// The help.
    Help,
    /// Where the work was.
    Were,
}

/// A key, where it works, and what it does.
#[derive(Debug, Clone, Copy)]
pub struct Binding {
    /// Where.
    pub places: &'static [Place],
    /// The key.
    pub code: KeyCode,
    /// With which keys held down.
    pub held: KeyModifiers,
    /// What it is called.
    pub shown: &'static str,
    /// What it does.
    pub act: Act,
    /// What it does, in a few words, for the help.
    pub says: &'static str,
    /// In one word, for the foot line; not shown there where it is empty.
    pub foot: &'static str,
}

use Place::{Brief, Crews, DayBook, Days, Form, Help, Holds, House, Pieces, Row, Stores, Were};

const PAGES: &[Place] = &[Row, House, DayBook, Stores, Holds, Pieces, Days, Crews];
const FURTHER: &[Place] = &[DayBook, Stores, Holds, Pieces, Days, Crews];
const READ: &[Place] = &[Help, Were];
const ALL: &[Place] = &[Row, House, DayBook, Stores, Holds, Pieces, Days, Crews, Form, Brief, Help, Were];
const FORMS: &[Place] = &[Form, Brief];
const OVER: &[Place] = &[Form, Brief, Help];

/// What `r`, `k` and `m` do at the days.
const CREW: &str = "name a crew: how many, for what work";
const CLOSED: &str = "say on which days nobody works";
const WEATHER: &str = "say how likely a day is lost to weather";
/// What `?` does.
const ALL_KEYS: &str = "this list of all keys, and what the signs mean";
/// What `y` does where no yes is asked.
const TIE_DOWN: &str = "tell what is made fast before a storm";
/// What `c` does.
const DAYS: &str = "the days: who does what, and when each house may be done";

const fn key(
    places: &'static [Place],
    code: KeyCode,
    shown: &'static str,
    act: Act,
    says: &'static str,
    foot: &'static str,
) -> Binding {
    Binding { places, code, held: KeyModifiers::NONE, shown, act, says, foot }
}

const fn ctrl(
    places: &'static [Place],
    letter: char,
    shown: &'static str,
    act: Act,
    says: &'static str,
    foot: &'static str,
) -> Binding {
    Binding { places, code: KeyCode::Char(letter), held: KeyModifiers::CONTROL, shown, act, says, foot }
}

/// Every key there is.
pub const TABLE: &[Binding] = &[
    key(&[Row], KeyCode::Enter, "Enter", Act::Enter, "open the house", "open"),
    key(&[Row], KeyCode::Left, "Left", Act::Back, "the house before", ""),
    key(&[Row], KeyCode::Right, "Right", Act::Forth, "the house after", "next"),
    key(&[Row], KeyCode::Up, "Up", Act::Back, "the house before", ""),
    key(&[Row], KeyCode::Down, "Down", Act::Forth, "the house after", ""),
    key(&[Row], KeyCode::Char('n'), "n", Act::Start, "start a new house", "new"),
    key(&[Row], KeyCode::Char('h'), "h", Act::HoldAll, "stop the work at all houses, or go on", "hold"),
    key(&[Row], KeyCode::Char('M'), "M", Act::TakeIn, "take in another book", ""),
    key(
        &[House],
        KeyCode::Enter,
        "Enter",
        Act::Enter,
        "read the chosen point, tally the chosen item",
        "read",
    ),
    key(&[House], KeyCode::Up, "Up", Act::Back, "the line above", ""),
    key(&[House], KeyCode::Down, "Down", Act::Forth, "the line below", "next"),
    key(&[House], KeyCode::Right, "Right", Act::StageUp, "the stage above on the ladder", "stage"),
    key(&[House], KeyCode::Left, "Left", Act::StageDown, "the stage below on the ladder", ""),
    key(
        &[House],
        KeyCode::Char('+'),
        "+",
        Act::LayRow,
        "at the rows of a slope: one more row is laid",
        "row laid",
    ),
    key(&[House], KeyCode::Char('s'), "s", Act::Sign, "sign the stage", "sign"),
    key(&[House], KeyCode::Char('f'), "f", Act::Fold, "the steps and cautions, or the readings", "steps"),
    key(&[House], KeyCode::Char('t'), "t", Act::Tally, "tell what came, was used or was lost", "tally"),
    key(&[House], KeyCode::Char('m'), "m", Act::Moved, "tell that a peg was moved", "moved"),
    key(&[Row, House], KeyCode::Char('g'), "g", Act::Stores, "the stores of all houses", "stores"),
    key(&[House], KeyCode::Char('w'), "w", Act::Holds, "what holds, what lifts, what gives first", "holds"),
    key(&[Row, House], KeyCode::Char('c'), "c", Act::Days, DAYS, "days"),
    key(&[House], KeyCode::Char('u'), "u", Act::StrikeLast, "strike what was kept last", "undo"),
    key(&[Row], KeyCode::Char('u'), "u", Act::StrikeLast, "strike what was kept last", ""),
    key(
        &[House],
        KeyCode::Char('l'),
        "l",
        Act::Pieces,
        "poles to pieces: which pole to cut into what",
        "poles",
    ),
    key(&[House], KeyCode::Char('h'), "h", Act::Hold, "stop the work here, or go on", "hold"),
    key(&[House], KeyCode::Char('x'), "x", Act::Strike, "strike the chosen reading", "strike"),
    key(
        &[House],
        KeyCode::Char('a'),
        "a",
        Act::Again,
        "read the chosen point once more, beside the first",
        "",
    ),
    key(&[House], KeyCode::Char('i'), "i", Act::Sum, "how the chosen item is worked out", ""),
    key(&[Row], KeyCode::Char('y'), "y", Act::TieDown, TIE_DOWN, ""),
    key(
        &[House],
        KeyCode::Char('y'),
        "y",
        Act::Yes,
        "yes (and n no) where that is asked; else what is made fast",
        "",
    ),
    ctrl(&[House], 'y', "Ctrl-Y", Act::TieDown, TIE_DOWN, ""),
    key(&[House], KeyCode::Char('z'), "z", Act::Lost, "tell all that was lost, as after a storm", ""),
    key(&[House], KeyCode::Char('b'), "b", Act::Brief, "say the brief anew", ""),
    key(&[Stores], KeyCode::Up, "Up", Act::Back, "the line above", ""),
    key(&[Stores], KeyCode::Down, "Down", Act::Forth, "the line below", ""),
    key(
        &[Stores],
        KeyCode::Enter,
        "Enter",
        Act::Enter,
        "show an item's houses; tally at a house; answer a cut",
        "open",
    ),
    key(&[Stores], KeyCode::Char('t'), "t", Act::Tally, "tell what came, was used or was lost", "tally"),
    key(
        &[Stores],
        KeyCode::Char('m'),
        "m",
        Act::Lend,
        "move some here from the house that has most to spare",
        "move",
    ),
    key(&[Stores], KeyCode::Char('i'), "i", Act::Sum, "how the need is worked out", "sum"),
    key(&[Stores], KeyCode::Char('w'), "w", Act::ThisWeek, "only what must come this week, or all", "week"),
    key(&[Stores], KeyCode::Char('p'), "p", Act::Permit, "leave to cut that was given", "permit"),
    key(&[Pieces], KeyCode::Up, "Up", Act::Back, "the line above", ""),
    key(&[Pieces], KeyCode::Down, "Down", Act::Forth, "the line below", "choose"),
    key(&[Pieces], KeyCode::Enter, "Enter", Act::Enter, "tell that poles were cut as this line says", "cut"),
    key(
        &[Pieces],
        KeyCode::Char('t'),
        "t",
        Act::Tally,
        "tell what poles came or went, by their size",
        "poles",
    ),
    key(
        &[Pieces],
        KeyCode::Char('v'),
        "v",
        Act::Usual,
        "with the usual poles of the brief, or with those on hand",
        "usual poles",
    ),
    key(&[Pieces], KeyCode::Esc, "Esc", Act::Out, "back to the house", "house"),
    key(&[Holds], KeyCode::Up, "Up", Act::Back, "up", ""),
    key(&[Holds], KeyCode::Down, "Down", Act::Forth, "down", "more"),
    key(&[Holds], KeyCode::Char('g'), "g", Act::Gust, "try another gust than the brief's", "gust"),
    key(
        &[Holds],
        KeyCode::Char('p'),
        "p",
        Act::Pull,
        "tell a cord or a joint that was pulled until it broke",
        "pulled",
    ),
    key(&[Holds], KeyCode::Char('t'), "t", Act::Wood, "tell a kind of wood", "wood"),
    key(&[Holds], KeyCode::Char('b'), "b", Act::Brief, "say the brief anew", "brief"),
    key(&[DayBook], KeyCode::Up, "Up", Act::Back, "the newer entry", ""),
    key(&[DayBook], KeyCode::Down, "Down", Act::Forth, "the older entry", "choose"),
    key(&[DayBook], KeyCode::Char('x'), "x", Act::Strike, "strike the entry, with the reason", "strike"),
    key(&[DayBook], KeyCode::Char('/'), "/", Act::Find, "only entries with these words", "find"),
    key(
        &[DayBook],
        KeyCode::Char('k'),
        "k",
        Act::KindOnly,
        "only one kind of entry, then the next kind",
        "kind",
    ),
    key(
        &[DayBook],
        KeyCode::Char('p'),
        "p",
        Act::PersonOnly,
        "only what the chosen entry's person wrote, or everybody's",
        "person",
    ),
    key(
        &[DayBook],
        KeyCode::Char('h'),
        "h",
        Act::HouseOnly,
        "only the chosen entry's house, or all houses",
        "house",
    ),
    key(&[Days], KeyCode::Up, "Up", Act::Back, "the house before", ""),
    key(&[Days], KeyCode::Down, "Down", Act::Forth, "the house after", "choose"),
    key(&[Days], KeyCode::Left, "Left", Act::WeekBack, "a week back", ""),
    key(&[Days], KeyCode::Right, "Right", Act::WeekForth, "a week on", "week"),
    key(&[Days], KeyCode::Enter, "Enter", Act::Enter, "open the house", "open"),
    key(&[Days], KeyCode::Char('t'), "t", Act::CrewDay, "tell what a crew did today", "tell"),
    key(&[Days], KeyCode::Char('l'), "l", Act::Crews, "crews, rates, closed days, the weather", "crews"),
    key(&[Days], KeyCode::Char('r'), "r", Act::Crew, CREW, ""),
    key(&[Days], KeyCode::Char('k'), "k", Act::Closed, CLOSED, ""),
    key(&[Days], KeyCode::Char('m'), "m", Act::Weather, WEATHER, ""),
    key(&[Crews], KeyCode::Up, "Up", Act::Back, "the crew before", ""),
    key(&[Crews], KeyCode::Down, "Down", Act::Forth, "the crew after", "choose"),
    key(&[Crews], KeyCode::Enter, "Enter", Act::Enter, "say the chosen crew anew", "alter"),
    key(&[Crews], KeyCode::Char('x'), "x", Act::CrewEnd, "end the chosen crew", "end"),
    key(&[Crews], KeyCode::Char('r'), "r", Act::Crew, CREW, "new"),
    key(&[Crews], KeyCode::Char('k'), "k", Act::Closed, CLOSED, "rest"),
    key(&[Crews], KeyCode::Char('m'), "m", Act::Weather, WEATHER, "weather"),
    key(&[Crews], KeyCode::Esc, "Esc", Act::Out, "back to the days", "days"),
    key(&[Days], KeyCode::Esc, "Esc", Act::Out, "back", "back"),
    key(ALL, KeyCode::PageUp, "PgUp", Act::PageBack, "a page up", ""),
    key(ALL, KeyCode::PageDown, "PgDn", Act::PageForth, "a page down", ""),
    key(PAGES, KeyCode::Home, "Home", Act::First, "the first", ""),
    key(PAGES, KeyCode::End, "End", Act::Last, "the last", ""),
    key(READ, KeyCode::Home, "Home", Act::First, "to the top", ""),
    key(READ, KeyCode::End, "End", Act::Last, "to the end", ""),
    key(&[Row, House, Days], KeyCode::Char('d'), "d", Act::DayBook, "the day book", "day book"),
    key(&[Stores], KeyCode::Esc, "Esc", Act::Out, "back to where this was opened", "back"),
    key(&[House, DayBook], KeyCode::Esc, "Esc", Act::Out, "back to the houses", "houses"),
    key(&[Holds], KeyCode::Esc, "Esc", Act::Out, "back to the house", "house"),
    key(&[Row, House], KeyCode::Char('?'), "?", Act::Help, ALL_KEYS, "all keys"),
    key(FURTHER, KeyCode::Char('?'), "?", Act::Help, ALL_KEYS, "keys"),
    key(PAGES, KeyCode::Char('q'), "q", Act::Leave, "leave; the book opens here again", "leave"),
    key(&[Form], KeyCode::Enter, "Enter", Act::Enter, "keep it", "keep"),
    key(&[Brief], KeyCode::Enter, "Enter", Act::NextField, "on to the next field", "next field"),
    key(FORMS, KeyCode::Tab, "Tab", Act::NextField, "the next field", ""),
    key(FORMS, KeyCode::Down, "Down", Act::NextField, "the next field", ""),
    key(FORMS, KeyCode::BackTab, "Shift-Tab", Act::FieldBefore, "the field before", ""),
    key(FORMS, KeyCode::Up, "Up", Act::FieldBefore, "the field before", ""),
    key(FORMS, KeyCode::F(2), "F2", Act::NextWord, "the next of the words that would do", "next word"),
    key(OVER, KeyCode::Esc, "Esc", Act::Out, "back, keeping nothing", "back"),
    key(&[Help], KeyCode::Enter, "Enter", Act::Out, "back", ""),
    key(&[Help], KeyCode::Char('?'), "?", Act::Out, "back", ""),
    key(&[Help], KeyCode::Char('q'), "q", Act::Out, "back", ""),
    key(&[Help], KeyCode::Up, "Up", Act::Back, "up", ""),
    key(&[Help], KeyCode::Down, "Down", Act::Forth, "down", "more"),
    key(&[Were], KeyCode::Enter, "Enter", Act::Out, "on to where the book was left", "go on"),
    key(&[Were], KeyCode::Esc, "Esc", Act::Out, "on to where the book was left", ""),
    key(&[Were], KeyCode::Up, "Up", Act::Back, "up", ""),
    key(&[Were], KeyCode::Down, "Down", Act::Forth, "down", ""),
    ctrl(FORMS, 's', "Ctrl-S", Act::Enter, "keep it, whichever field is typed in", "keep"),
    ctrl(ALL, 'z', "Ctrl-Z", Act::Suspend, "stop the program for a while; fg goes on", ""),
    ctrl(ALL, 'l', "Ctrl-L", Act::Redraw, "draw everything anew", ""),
    ctrl(ALL, 'c', "Ctrl-C", Act::Leave, "leave; nothing kept is lost", ""),
];

/// What a key does in a place.
#[must_use]
pub fn act(place: Place, key: &KeyEvent) -> Option<Act> {
    // Shift is in the character already; terminals differ in whether they
    // also report it.
    let held = key.modifiers - KeyModifiers::SHIFT;
    TABLE.iter().find(|b| b.places.contains(&place) && b.code == key.code && b.held == held).map(|b| b.act)
}

/// The keys of a place, in the order of the table.
pub fn of(place: Place) -> impl Iterator<Item = &'static Binding> {
    TABLE.iter().filter(move |b| b.places.contains(&place))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_does_two_things_in_one_place() {
        for place in [Row, House, DayBook, Stores, Holds, Pieces, Days, Crews, Form, Brief, Help, Were] {
            let mut seen = Vec::new();
            for b in of(place) {
                assert!(!seen.contains(&(b.code, b.held)), "{place:?} {}", b.shown);
                seen.push((b.code, b.held));
            }
        }
    }

    #[test]
    fn every_key_is_explained_on_one_line() {
        for b in TABLE {
            assert!(!b.says.is_empty() && b.says.len() + 14 <= 78, "{}", b.shown);
        }
    }

    #[test]
    fn a_shifted_question_mark_is_a_question_mark() {
        let key = KeyEvent::new(KeyCode::Char('?'), KeyModifiers::SHIFT);
        assert_eq!(act(Row, &key), Some(Act::Help));
        let alt = KeyEvent::new(KeyCode::Char('q'), KeyModifiers::ALT);
        assert_eq!(act(Row, &alt), None);
    }
}
