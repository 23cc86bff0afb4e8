//! The entry forms: what is typed, and the draft that comes of it.

mod losses;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use tui_input::{Input, InputRequest};
use uuid::Uuid;

use crate::build::accept::Refused;
use crate::build::brief::BriefText;
use crate::build::draft::{Draft, StemSaid};
use crate::build::entry::{How, Item};
use crate::build::field::{FIELDS, Sort};
use crate::build::house::House;

/// The longest text a field takes, characters.
const LONGEST: usize = 200;

/// A form.
#[derive(Debug, Clone)]
pub struct Form {
    /// What it is for.
    pub kind: FormKind,
    /// The house it is about; none for a new house and for all houses.
    pub house: Option<Uuid>,
    /// Its heading.
    pub title: String,
    /// Its fields.
    pub fields: Vec<FormField>,
    /// The field that is typed in, by its place.
    pub focus: usize,
    /// What was refused.
    pub refused: Vec<Refused>,
    /// Whether the book is keeping it just now.
    pub keeping: bool,
}

/// What a form is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FormKind {
    /// Reading a point.
    Reading {
        /// As `set-out/ab`.
        point: String,
        /// Beside the earlier reading.
        again: bool,
    },
    /// That a peg was moved.
    Moved,
    /// A movement of an item.
    Tally,
    /// Signing a stage.
    Sign {
        /// The stage.
        stage: String,
    },
    /// All that was lost.
    Lost,
    /// Stopping the work.
    Hold,
    /// What is made fast before a storm.
    TieDown,
    /// Going on.
    Resume,
    /// Striking an entry.
    Strike {
        /// The entry.
        entry: Uuid,
    },
    /// Saying the brief anew.
    Brief,
    /// Starting a house.
    Start,
    /// Looking for words in the day book.
    Find,
}

/// A field of a form.
#[derive(Debug, Clone)]
pub struct FormField {
    /// Its id, as refusals name it.
    pub id: &'static str,
    /// What people call it.
    pub says: String,
    /// One line that explains it.
    pub help: String,
    /// What was typed.
    pub input: Input,
    /// The words that would do, where only some do.
    pub words: Vec<String>,
    /// What is taken where nothing is typed.
    pub default: String,
}

impl FormField {
    fn new(id: &'static str, says: &str, help: &str) -> Self {
        Self {
            id,
            says: says.to_owned(),
            help: help.to_owned(),
            input: Input::default(),
            words: Vec::new(),
            default: String::new(),
        }
    }

    fn with(mut self, text: &str) -> Self {
        self.input = Input::new(text.to_owned());
        self
    }

    fn of(mut self, words: impl IntoIterator<Item = &'static str>) -> Self {
        self.words = words.into_iter().map(str::to_owned).collect();
        self
    }

    /// What was typed.
    #[must_use]
    pub fn text(&self) -> &str {
        self.input.value()
    }
}

impl Form {
    fn new(kind: FormKind, house: Option<Uuid>, title: impl Into<String>, fields: Vec<FormField>) -> Self {
        Self { kind, house, title: title.into(), fields, focus: 0, refused: Vec::new(), keeping: false }
    }

    /// Reads a point.
    #[must_use]
    pub fn reading(house: &House, stage: &str, point: &str, says: &str, again: bool, by: &str) -> Self {
        let title = if again { format!("{says}, once more") } else { says.to_owned() };
        let kind = FormKind::Reading { point: format!("{stage}/{point}"), again };
        let fields = vec![
            FormField::new("value", "read", "as it is called out"),
            FormField::new("by", "by", "who read it").with(by),
            FormField::new("with", "with", "rope, tape, bob: may be left empty"),
        ];
        Self::new(kind, Some(house.id), title, fields)
    }

    /// Tells that a peg was moved.
    #[must_use]
    pub fn moved(house: &House, corner: &str, by: &str) -> Self {
        let title = "A peg was moved: all that was read to it is unread again";
        let fields = vec![
            FormField::new("point", "peg", "a, b, c or d").with(corner).of(["a", "b", "c", "d"]),
            FormField::new("by", "by", "who moved it").with(by),
        ];
        Self::new(FormKind::Moved, Some(house.id), title, fields)
    }

    /// Tells a movement of an item.
    #[must_use]
    pub fn tally(house: &House, item: Option<Item>, by: &str) -> Self {
        let items = Item::ALL.iter().map(|i| i.word());
        let ways = How::ALL.iter().map(|h| h.word());
        let fields = vec![
            FormField::new("item", "item", "F2 goes through the items")
                .with(item.map_or("", Item::word))
                .of(items),
            FormField::new("count", "how many", "pieces; metres of cord, m³ of stone"),
            FormField::new("as", "as", "F2 goes through the ways").with("delivered").of(ways),
            FormField::new("to", "to", "the house it was moved to; else leave it empty"),
            FormField::new("remark", "remark", "may be left empty"),
            FormField::new("by", "by", "who counted").with(by),
        ];
        let mut form = Self::new(FormKind::Tally, Some(house.id), "What came, went or was used", fields);
        form.focus = usize::from(item.is_some());
        form
    }

    /// Signs a stage.
    #[must_use]
    pub fn sign(house: &House, stage: &str, says: &str, against: &[String], by: &str) -> Self {
        let title = if against.is_empty() {
            format!("Sign {says}: all that must hold holds")
        } else {
            format!("Sign {says}, which is not ready: write why")
        };
        let fields = vec![
            FormField::new("by", "by", "whose word it is").with(by),
            FormField::new("remark", "remark", "why, where something is out or unread"),
        ];
        let mut form = Self::new(FormKind::Sign { stage: stage.to_owned() }, Some(house.id), title, fields);
        form.focus = usize::from(!by.is_empty());
        form
    }

    /// Stops the work at a house, or at all of them.
    #[must_use]
    pub fn hold(house: Option<&House>, by: &str) -> Self {
        let title = house.map_or_else(
            || "Stop the work at all houses".to_owned(),
            |h| format!("Stop the work at {}", h.name),
        );
        let causes = ["storm", "mourning", "no panels", "no crew", "feast"];
        let fields = vec![
            FormField::new(
                "cause",
                "cause",
                "before a storm: stays on, lifting poles tied, loose poles and panels down, people away",
            )
            .of(causes),
            FormField::new("by", "by", "who says so").with(by),
        ];
        let mut form = Self::new(FormKind::Hold, house.map(|h| h.id), title, fields);
        for field in &mut form.fields {
            field.default = if field.id == "cause" { "storm".to_owned() } else { String::new() };
        }
        form
    }

    /// Goes on with the work.
    #[must_use]
    pub fn resume(house: Option<&House>, by: &str) -> Self {
        let title = house.map_or_else(
            || "Go on with the work at all houses".to_owned(),
            |h| format!("Go on with the work at {}", h.name),
        );
        let fields = vec![FormField::new("by", "by", "who says so").with(by)];
        Self::new(FormKind::Resume, house.map(|h| h.id), title, fields)
    }

    /// Strikes an entry.
    #[must_use]
    pub fn strike(house: Option<Uuid>, entry: Uuid, what: &str, by: &str) -> Self {
        let fields = vec![
            FormField::new("why", "why", "read from the wrong peg, counted twice …"),
            FormField::new("by", "by", "who strikes it").with(by),
        ];
        Self::new(FormKind::Strike { entry }, house, format!("Strike {what}; it stays readable"), fields)
    }

    /// Starts a house.
    #[must_use]
    pub fn start(by: &str) -> Self {
        let mut fields = vec![FormField::new("name", "name", "what people will call the house")];
        fields.extend(brief_fields(&BriefText::default()));
        fields.push(FormField::new("by", "by", "who decides").with(by));
        Self::new(FormKind::Start, None, "A new house", fields)
    }

    /// Says the brief anew.
    #[must_use]
    pub fn brief(house: &House, by: &str) -> Self {
        let mut fields: Vec<FormField> = brief_fields(&house.version.said).collect();
        fields.push(FormField::new("by", "by", "who decides").with(by));
        Self::new(FormKind::Brief, Some(house.id), format!("The brief of {}", house.name), fields)
    }

    /// Looks for words in the day book.
    #[must_use]
    pub fn find(text: &str) -> Self {
        let fields = vec![FormField::new("text", "words", "empty shows everything").with(text)];
        Self::new(FormKind::Find, None, "Only entries with these words", fields)
    }

    /// Whether it takes a page of its own.
    #[must_use]
    pub const fn is_long(&self) -> bool {
        matches!(self.kind, FormKind::Start | FormKind::Brief)
    }

    /// What was typed in a field.
    #[must_use]
    pub fn text(&self, id: &str) -> &str {
        let field = self.fields.iter().find(|f| f.id == id);
        field.map_or("", |f| if f.text().trim().is_empty() { f.default.as_str() } else { f.text() })
    }

    /// What it says, in a few words, once it is kept.
    #[must_use]
    pub fn in_words(&self) -> String {
        let text = |id| self.text(id).trim().to_owned();
        match &self.kind {
            FormKind::Reading { .. } => format!("{}: {}", self.title, text("value")),
            FormKind::Tally => format!("{} {} {}", text("count"), text("item"), text("as")),
            FormKind::Sign { stage } => format!("the sign-off of {stage}"),
            FormKind::Hold => format!("the hold: {}", text("cause")),
            FormKind::Moved => format!("that peg {} was moved", text("point").to_uppercase()),
            FormKind::Start => format!("the start of {}", text("name")),
            FormKind::Resume => "the resuming".to_owned(),
            FormKind::TieDown => "what was made fast".to_owned(),
            FormKind::Lost => self.losses_in_words(),
            FormKind::Brief => "the brief as said last".to_owned(),
            FormKind::Strike { .. } | FormKind::Find => self.title.clone(),
        }
    }

    /// Who says so.
    #[must_use]
    pub fn by(&self) -> String {
        self.text("by").trim().to_owned()
    }

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
        field.input.handle(request);
        self.refused.clear();
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
    }

    /// Shows what was refused, and goes to the field.
    pub fn refuse(&mut self, refused: Vec<Refused>) {
        self.keeping = false;
        if let Some(at) = refused.first().and_then(|r| self.fields.iter().position(|f| f.id == r.field)) {
            self.focus = at;
        }
        self.refused = refused;
    }

    /// The draft that comes of what was typed; none where the form writes
    /// nothing in the book. `find` gives the house of a name.
    ///
    /// # Errors
    /// A house that nobody knows.
    pub fn draft(&self, find: impl Fn(&str) -> Option<Uuid>) -> Result<Option<Draft>, Refused> {
        Ok(Some(match &self.kind {
            FormKind::Reading { point, again } => Draft::Reading {
                point: point.clone(),
                value: self.text("value").to_owned(),
                again: *again,
                with: self.text("with").to_owned(),
                whose: None,
                bare: None,
            },
            FormKind::Moved => Draft::Moved { point: format!("set-out/{}", self.text("point").trim()) },
            FormKind::Tally => {
                let name = self.text("to").trim();
                let to = if name.is_empty() { None } else { Some(find(name).ok_or_else(|| no_house(name))?) };
                Draft::Tally {
                    item: self.text("item").trim().to_owned(),
                    count: self.text("count").to_owned(),
                    how: self.text("as").trim().to_owned(),
                    to,
                    remark: self.text("remark").to_owned(),
                    of: StemSaid::default(),
                }
            }
            FormKind::Sign { stage } => {
                Draft::Sign { stage: stage.clone(), remark: self.text("remark").to_owned() }
            }
            FormKind::Hold => Draft::Hold { cause: self.text("cause").to_owned(), planned: false },
            FormKind::Resume => Draft::Resume,
            FormKind::TieDown => self.tied(),
            FormKind::Lost => self.losses(),
            FormKind::Strike { entry } => Draft::Strike { entry: *entry, why: self.text("why").to_owned() },
            FormKind::Brief => Draft::Brief { changes: self.brief_said().collect() },
            FormKind::Start => {
                let mut said = BriefText::default();
                for (id, text) in self.brief_said().filter(|(_, text)| !text.is_empty()) {
                    said.say(&id, &text);
                }
                Draft::Start { name: self.text("name").to_owned(), said }
            }
            FormKind::Find => return Ok(None),
        }))
    }

    /// The fields of the brief as typed. An empty width or ratio must not put
    /// out the other.
    pub fn brief_said(&self) -> impl Iterator<Item = (String, String)> + '_ {
        self.fields
            .iter()
            .filter(|f| FIELDS.iter().any(|known| known.id == f.id))
            .filter(|f| !(matches!(f.id, "width" | "ratio") && f.text().trim().is_empty()))
            .map(|f| (f.id.to_owned(), f.text().trim().to_owned()))
    }
}

fn no_house(name: &str) -> Refused {
    Refused { field: "to", why: format!("no house is called \"{name}\"") }
}

/// The fields of a brief, filled with what was said.
fn brief_fields(said: &BriefText) -> impl Iterator<Item = FormField> + '_ {
    FIELDS.iter().map(|known| {
        let mut field =
            FormField::new(known.id, known.says, known.help).with(said.said(known.id).unwrap_or(""));
        if let Sort::Choice(words) = known.sort {
            field.words = words.iter().map(|w| (*w).to_owned()).collect();
        }
        field.default = known.default.unwrap_or_default().to_owned();
        field
    })
}
