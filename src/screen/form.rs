//! The entry forms: what is typed, and the draft that comes of it.

mod briefing;
mod crews;
mod holding;
mod losses;
mod poles;
mod stores;
mod taking_in;
mod typing;

use tui_input::Input;
use uuid::Uuid;

use crate::build::accept::Refused;
use crate::build::brief::BriefText;
use crate::build::draft::Draft;
use crate::build::house::House;

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
    Tally {
        /// The kinds of tree with permits.
        trees: Vec<String>,
    },
    /// Leave to cut.
    Permit,
    /// Answering a cut past the permits.
    Answer {
        /// The cut's entry.
        entry: Uuid,
    },
    /// One more row of thatch.
    Laid {
        /// The slope.
        slope: String,
    },
    /// Poles that came or went.
    Poles,
    /// That poles were cut to pieces.
    CutUp,
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
    /// Striking what was kept together.
    Strike {
        /// The entries.
        entries: Vec<Uuid>,
    },
    /// Saying the brief anew.
    Brief,
    /// Starting a house.
    Start,
    /// What a crew did on a day.
    CrewDay,
    /// A crew.
    Crew,
    /// That a crew is no more.
    CrewEnd {
        /// What it was called.
        name: String,
    },
    /// Days on which nobody works.
    Closed,
    /// Days lost to weather.
    Weather,
    /// Telling a cord or a joint that was pulled.
    Pull,
    /// Telling a kind of wood.
    Wood,
    /// Trying another gust.
    Gust,
    /// Looking for words in the day book.
    Find,
    /// Taking in another book.
    TakeIn,
    /// What was taken in; nothing is typed.
    TakenIn {
        /// In words.
        lines: Vec<String>,
    },
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
    /// Whether what stands in it gives way to the first key that is typed.
    pub gives_way: bool,
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
            gives_way: false,
        }
    }

    fn with(mut self, text: &str) -> Self {
        self.input = Input::new(text.to_owned());
        self
    }

    /// Filled with a number, which typing replaces.
    fn counted(mut self, number: &str) -> Self {
        self.gives_way = !number.is_empty();
        self.with(number)
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

    /// One more row of thatch; nothing is left to type.
    #[must_use]
    pub fn laid(house: &House, slope: &str, by: &str) -> Self {
        let fields = vec![FormField::new("by", "by", "who laid it").with(by)];
        let title = format!("one more row on the {slope} slope");
        Self::new(FormKind::Laid { slope: slope.to_owned() }, Some(house.id), title, fields)
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

    /// Strikes an entry, or several that were kept together.
    #[must_use]
    pub fn strike(house: Option<Uuid>, entries: Vec<Uuid>, what: &str, by: &str) -> Self {
        let fields = vec![
            FormField::new("why", "why", "read from the wrong peg, counted twice …"),
            FormField::new("by", "by", "who strikes it").with(by),
        ];
        Self::new(FormKind::Strike { entries }, house, format!("Strike {what}; it stays readable"), fields)
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

    /// Whether it asks for nothing but a name: where that is not what is
    /// refused, nothing typed in it would do better.
    #[must_use]
    pub fn asks_who_alone(&self) -> bool {
        matches!(self.fields.as_slice(), [field] if field.id == "by")
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
            FormKind::Tally { .. } => format!("{} {}", self.counted(), text("as")),
            FormKind::Poles => format!("{} poles {}", text("count"), text("as")),
            FormKind::CutUp => format!("{} of {} cut to pieces", text("times"), text("pole")),
            FormKind::Sign { stage } => format!("the sign-off of {stage}"),
            FormKind::Hold => format!("the hold: {}", text("cause")),
            FormKind::Moved => format!("that peg {} was moved", text("point").to_uppercase()),
            FormKind::Start => format!("the start of {}", text("name")),
            FormKind::Permit => format!("leave to cut {} {}", text("count"), text("tree")),
            FormKind::Resume => "the resuming".to_owned(),
            FormKind::TieDown => "what was made fast".to_owned(),
            FormKind::Lost => self.losses_in_words(),
            FormKind::Brief => "the brief as said last".to_owned(),
            FormKind::Laid { slope } => {
                format!("the last row on the {slope} slope and its panels")
            }
            FormKind::CrewDay
            | FormKind::Crew
            | FormKind::CrewEnd { .. }
            | FormKind::Closed
            | FormKind::Weather => self.days_in_words(),
            FormKind::Pull => format!("the pull of {} at {}", text("joint"), text("value")),
            FormKind::Wood => format!("the wood {}", text("name")),
            FormKind::Strike { .. }
            | FormKind::Answer { .. }
            | FormKind::Gust
            | FormKind::Find
            | FormKind::TakeIn
            | FormKind::TakenIn { .. } => self.title.clone(),
        }
    }

    /// Who says so.
    #[must_use]
    pub fn by(&self) -> String {
        self.text("by").trim().to_owned()
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
            FormKind::Tally { .. } => Draft::Tally {
                item: self.text("item").trim().to_owned(),
                count: self.text("count").to_owned(),
                how: self.text("as").trim().to_owned(),
                to: self.to(find)?,
                remark: self.text("remark").to_owned(),
                of: self.stem(),
            },
            FormKind::Permit => self.permit_told(),
            FormKind::Answer { entry } => Draft::Answer { entry: *entry, said: self.text("said").to_owned() },
            FormKind::Laid { slope } => Draft::Laid { slope: slope.clone() },
            FormKind::Poles => self.poles_told(self.to(find)?),
            FormKind::CutUp => self.pieces_told(),
            FormKind::Sign { stage } => {
                Draft::Sign { stage: stage.clone(), remark: self.text("remark").to_owned() }
            }
            FormKind::Hold => Draft::Hold { cause: self.text("cause").to_owned(), planned: false },
            FormKind::Resume => Draft::Resume,
            FormKind::TieDown => self.tied(),
            FormKind::Lost => self.losses(),
            FormKind::Strike { entries } => {
                Draft::StrikeAll { entries: entries.clone(), why: self.text("why").to_owned() }
            }
            FormKind::Brief => Draft::Brief { changes: self.brief_said().collect() },
            FormKind::Start => {
                let mut said = BriefText::default();
                for (id, text) in self.brief_said().filter(|(_, text)| !text.is_empty()) {
                    said.say(&id, &text);
                }
                Draft::Start { name: self.text("name").to_owned(), said }
            }
            FormKind::CrewDay
            | FormKind::Crew
            | FormKind::CrewEnd { .. }
            | FormKind::Closed
            | FormKind::Weather => {
                return Ok(self.of_the_days());
            }
            FormKind::Pull => self.pulled()?,
            FormKind::Wood => self.wood_told(),
            FormKind::Gust | FormKind::Find | FormKind::TakeIn | FormKind::TakenIn { .. } => return Ok(None),
        }))
    }

    /// The house that something was moved to, where one is named.
    fn to(&self, find: impl Fn(&str) -> Option<Uuid>) -> Result<Option<Uuid>, Refused> {
        let name = self.text("to").trim();
        if name.is_empty() { Ok(None) } else { find(name).map(Some).ok_or_else(|| no_house(name)) }
    }
}

fn no_house(name: &str) -> Refused {
    Refused { field: "to", why: format!("no house is called \"{name}\"") }
}
