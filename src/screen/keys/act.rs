//! What keys do.

/// What a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// To the line or house before.
    Back,
    /// To the line or house after.
    Forth,
    /// A page back.
    PageBack,
    /// A page forth.
    PageForth,
    /// To the first.
    First,
    /// To the last.
    Last,
    /// Open what is chosen; in a form, keep it.
    Enter,
    /// Out of here, one step.
    Out,
    /// The stage below on the ladder.
    StageDown,
    /// The stage above on the ladder.
    StageUp,
    /// Read the chosen point beside its earlier reading.
    Again,
    /// Tell that the chosen peg was moved.
    Moved,
    /// Tell a movement of an item.
    Tally,
    /// Sign the stage.
    Sign,
    /// Stop the work, or go on.
    Hold,
    /// Stop the work at all houses, or go on.
    HoldAll,
    /// Tell what is made fast before a storm.
    TieDown,
    /// Begin a yes; where none is asked, tell what is made fast.
    Yes,
    /// Tell all that was lost.
    Lost,
    /// Say the brief anew.
    Brief,
    /// Fold the steps away, or show them.
    Fold,
    /// Open the day book.
    DayBook,
    /// Open the stores.
    Stores,
    /// Show how something is worked out.
    Sum,
    /// Move some here from another house.
    Lend,
    /// Only what must come this week, or all.
    ThisWeek,
    /// Record leave to cut.
    Permit,
    /// Lay one more row of thatch.
    LayRow,
    /// Open the days.
    Days,
    /// The calendar a week back.
    WeekBack,
    /// The calendar a week forth.
    WeekForth,
    /// Tell what a crew did today.
    CrewDay,
    /// Name a crew.
    Crew,
    /// Show crews, rates and closed days.
    Crews,
    /// End a crew.
    CrewEnd,
    /// Say on which days nobody works.
    Closed,
    /// Say how likely days are lost to weather.
    Weather,
    /// Open poles to pieces.
    Pieces,
    /// The usual poles of the brief, or those on hand.
    Usual,
    /// Open what holds.
    Holds,
    /// Tell a cord or a joint that was pulled.
    Pull,
    /// Tell a kind of wood.
    Wood,
    /// Try another gust.
    Gust,
    /// Start a house.
    Start,
    /// Strike an entry.
    Strike,
    /// Strike what was kept last.
    StrikeLast,
    /// Take in another book.
    TakeIn,
    /// Look for words.
    Find,
    /// Only what the chosen entry's person wrote, or everybody's.
    PersonOnly,
    /// Only the chosen entry's house, or all houses.
    HouseOnly,
    /// The next kind of entry only.
    KindOnly,
    /// The next field.
    NextField,
    /// The field before.
    FieldBefore,
    /// The next of the words that would do.
    NextWord,
    /// The help.
    Help,
    /// Stop the program for a while.
    Suspend,
    /// Draw everything anew.
    Redraw,
    /// Leave.
    Leave,
}

/// How far a page goes, lines.
const FAR: usize = 10;

impl Act {
    /// Where it leads from a line, the last of which has a number; nowhere
    /// where it does something else than going up and down.
    #[must_use]
    pub fn leads(self, at: usize, last: usize) -> Option<usize> {
        let to = match self {
            Self::Back => at.saturating_sub(1),
            Self::Forth => at.saturating_add(1),
            Self::PageBack => at.saturating_sub(FAR),
            Self::PageForth => at.saturating_add(FAR),
            Self::First => 0,
            Self::Last => last,
            _ => return None,
        };
        Some(to.min(last))
    }
}
