//! The day book: entries as they were written, newest first.

use rusqlite::{ToSql, named_params};
use uuid::Uuid;

use crate::build::entry::{Entry, Kind, Moment};

use super::Book;
use super::error::BookError;
use super::read::{Head, Id, head_columns};

/// Which entries of the day book are asked for; what is not set leaves all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filter {
    /// Of this house.
    pub house: Option<Uuid>,
    /// Of this kind.
    pub kind: Option<Kind>,
    /// Told by this person, in any case of the letters A to Z.
    pub by: Option<String>,
    /// With these words in what they say, in any case of the letters A to Z.
    pub text: Option<String>,
    /// Older than this one: the last of the page before.
    pub before: Option<(Moment, Uuid)>,
    /// No more than this many.
    pub limit: u32,
}

impl Default for Filter {
    fn default() -> Self {
        Self { house: None, kind: None, by: None, text: None, before: None, limit: 100 }
    }
}

/// A line of the day book.
#[derive(Debug, Clone, PartialEq)]
pub struct LogLine {
    /// The entry.
    pub entry: Entry,
    /// The line through it.
    pub struck: Option<Struck>,
}

/// A line through an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Struck {
    /// The strike.
    pub id: Uuid,
    /// Why.
    pub why: String,
    /// Who struck it.
    pub by: String,
}

impl Book {
    /// A page of the day book, newest first by when it happened, then by id.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn log(&self, filter: &Filter) -> Result<Vec<LogLine>, BookError> {
        let (happened, id) =
            filter.before.map_or((i64::MAX, Uuid::max()), |(at, id)| (at.timestamp_micros(), id));
        let mut values: Vec<(&str, &dyn ToSql)> = vec![];
        let id = id.to_string();
        let house = filter.house.map(|house| house.to_string());
        let kind = filter.kind.map(Kind::word);
        let text = filter.text.as_deref().map(anywhere);
        values.extend_from_slice(named_params! { ":happened": happened, ":id": id, ":limit": filter.limit });
        let mut only = String::new();
        for (name, value, test) in [
            (":house", house.as_ref().map(|v| v as &dyn ToSql), " AND entry.house = :house"),
            // With a house, its own index is the better one.
            (
                ":kind",
                kind.as_ref().map(|v| v as &dyn ToSql),
                match house {
                    Some(_) => " AND +entry.kind = :kind",
                    None => " AND entry.kind = :kind",
                },
            ),
            (
                ":by",
                filter.by.as_ref().map(|v| v as &dyn ToSql),
                match (&house, kind) {
                    (None, None) => " AND entry.by_whom = :by",
                    _ => " AND +entry.by_whom = :by COLLATE NOCASE",
                },
            ),
            (":text", text.as_ref().map(|v| v as &dyn ToSql), SAYS),
        ] {
            if let Some(value) = value {
                values.push((name, value));
                only.push_str(test);
            }
        }
        let sql = format!("{SELECT}{only}{ORDER}");
        self.at_one_moment(|conn| {
            let mut query = conn.prepare_cached(&sql)?;
            let lines = query.query_map(values.as_slice(), |row| {
                let struck = match row.get::<_, Option<Id>>(8)? {
                    Some(id) => Some(Struck { id: id.0, why: row.get(9)?, by: row.get(10)? }),
                    None => None,
                };
                Ok((Head::of(row)?, struck))
            })?;
            lines
                .map(|line| line.and_then(|(head, struck)| Ok(LogLine { entry: head.whole(conn)?, struck })))
                .collect()
        })
    }
}

const SELECT: &str = concat!(
    "SELECT ",
    head_columns!(),
    ", strike.id, strike.why, struck.by_whom
    FROM entry
    LEFT JOIN strike ON strike.entry = entry.id
    LEFT JOIN entry AS struck ON struck.id = strike.id
    WHERE (entry.happened, entry.id) < (:happened, :id)"
);

const ORDER: &str = " ORDER BY entry.happened DESC, entry.id DESC LIMIT :limit";

/// Whether an entry says the words; only asked where words are looked for.
const SAYS: &str = "
    AND CASE entry.kind
        WHEN 'house' THEN (SELECT name FROM house AS it WHERE it.id = entry.id)
        WHEN 'brief' THEN (SELECT said FROM brief AS it WHERE it.id = entry.id)
        WHEN 'measure' THEN (SELECT name FROM measure AS it WHERE it.id = entry.id)
        WHEN 'reading' THEN
            (SELECT stage || '/' || point || ' ' || said || ' ' || with_what FROM reading AS it WHERE it.id = entry.id)
        WHEN 'moved' THEN (SELECT stage || '/' || point FROM moved AS it WHERE it.id = entry.id)
        WHEN 'tally' THEN (SELECT item || ' ' || how || ' ' || remark FROM tally AS it WHERE it.id = entry.id)
        WHEN 'sign' THEN (SELECT stage || ' ' || remark FROM sign AS it WHERE it.id = entry.id)
        WHEN 'hold' THEN (SELECT cause FROM hold AS it WHERE it.id = entry.id)
        WHEN 'strike' THEN (SELECT why FROM strike AS it WHERE it.id = entry.id)
    END LIKE :text ESCAPE '\\'";

/// The words anywhere, as LIKE has it.
fn anywhere(text: &str) -> String {
    let plain = text.replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_");
    format!("%{plain}%")
}
