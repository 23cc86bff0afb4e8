//! The day book: entries as they were written, newest first.

use rusqlite::types::Value;
use rusqlite::{Connection, ToSql, named_params};
use uuid::Uuid;

use crate::build::entry::{Entry, Kind, Moment, What};
use crate::build::telling;

use super::Book;
use super::error::BookError;
use super::read::{Head, Id, entries, head_columns};

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
    /// What it strikes or answers.
    pub about: Option<Entry>,
}

impl LogLine {
    /// What it says, in one line; `name_of` gives the name of a house.
    #[must_use]
    pub fn says(&self, name_of: impl Fn(Uuid) -> Option<String>) -> String {
        telling::line(&self.entry.what, self.about.as_ref().map(|entry| &entry.what), name_of)
    }
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
        let (sql, values) = asked(filter);
        let values: Vec<_> = values.iter().map(|(name, value)| (*name, value as &dyn ToSql)).collect();
        self.at_one_moment(|conn| {
            let mut query = conn.prepare_cached(&sql)?;
            let mut rows = query.query(values.as_slice())?;
            let mut lines = vec![];
            while let Some(row) = rows.next()? {
                let struck = match row.get::<_, Option<Id>>(8)? {
                    Some(id) => Some(Struck { id: id.0, why: row.get(9)?, by: row.get(10)? }),
                    None => None,
                };
                let entry = Head::of(row)?.whole(conn)?;
                let about = about(conn, &entry.what)?;
                lines.push(LogLine { entry, struck, about });
            }
            Ok(lines)
        })
    }
}

/// The entry that one strikes or answers.
fn about(conn: &Connection, what: &What) -> rusqlite::Result<Option<Entry>> {
    const SQL: &str = concat!("SELECT ", head_columns!(), " FROM entry WHERE id = :id");
    match what {
        What::Strike { entry, .. } | What::Answer { entry, .. } => {
            Ok(entries(conn, SQL, named_params! { ":id": entry.to_string() })?.pop())
        }
        _ => Ok(None),
    }
}

/// The query for a filter, and its values by name.
fn asked(filter: &Filter) -> (String, Vec<(&'static str, Value)>) {
    let (happened, id) =
        filter.before.map_or((i64::MAX, Uuid::max()), |(at, id)| (at.timestamp_micros(), id));
    let mut sql = SELECT.to_owned();
    let mut values: Vec<(&str, Value)> = vec![
        (":happened", happened.into()),
        (":id", id.to_string().into()),
        (":limit", i64::from(filter.limit).into()),
    ];
    let mut only = |test, name, value| {
        sql.push_str(test);
        values.push((name, value));
    };
    if let Some(house) = filter.house {
        only(" AND entry.house = :house", ":house", house.to_string().into());
    }
    // A plus keeps SQLite to the index of the house, which leaves the fewest entries.
    if let Some(kind) = filter.kind {
        let test =
            if filter.house.is_some() { " AND +entry.kind = :kind" } else { " AND entry.kind = :kind" };
        only(test, ":kind", kind.word().to_owned().into());
    }
    if let Some(by) = &filter.by {
        let test = if filter.house.is_some() {
            " AND +entry.by_whom = :by COLLATE NOCASE"
        } else {
            " AND entry.by_whom = :by"
        };
        only(test, ":by", by.clone().into());
    }
    if let Some(text) = &filter.text {
        only(SAYS, ":text", anywhere(text).into());
    }
    sql.push_str(ORDER);
    (sql, values)
}

const SELECT: &str = concat!(
    "SELECT ",
    head_columns!(),
    ", strike.id, strike.why, struck.by_whom
    FROM entry
    LEFT JOIN strike ON strike.id = (SELECT min(id) FROM strike AS it WHERE it.entry = entry.id)
    LEFT JOIN entry AS struck ON struck.id = strike.id
    WHERE (entry.happened, entry.id) < (:happened, :id)"
);

const ORDER: &str = " ORDER BY entry.happened DESC, entry.id DESC LIMIT :limit";

/// Whether an entry says the words; only asked where words are looked for.
const SAYS: &str = "
    AND (CASE entry.kind
        WHEN 'house' THEN 'started ' WHEN 'reading' THEN 'read ' WHEN 'moved' THEN 'moved peg '
        WHEN 'sign' THEN 'signed ' WHEN 'hold' THEN 'held: ' WHEN 'resume' THEN 'resumed'
        WHEN 'strike' THEN 'struck ' WHEN 'permit' THEN 'leave to cut ' WHEN 'answer' THEN 'answered '
        WHEN 'tie-down' THEN 'made fast' WHEN 'closed' THEN 'nobody works ' ELSE ''
    END || CASE entry.kind
        WHEN 'house' THEN (SELECT name FROM house AS it WHERE it.id = entry.id)
        WHEN 'brief' THEN
            (SELECT group_concat(replace(key, '_', ' ') || ' ' || value, ', ')
                FROM brief AS it, json_each(it.said) WHERE it.id = entry.id)
        WHEN 'measure' THEN (SELECT name FROM measure AS it WHERE it.id = entry.id)
        WHEN 'reading' THEN
            (SELECT stage || '/' || point || ' ' || said || ' ' || with_what FROM reading AS it WHERE it.id = entry.id)
        WHEN 'moved' THEN (SELECT stage || '/' || point FROM moved AS it WHERE it.id = entry.id)
        WHEN 'tally' THEN (SELECT item || ' ' || iif(built_in, 'torn-off', how) || ' ' || remark || ' ' || coalesce(tree, '') || ' ' || coalesce(past_permit, '')
                FROM tally AS it WHERE it.id = entry.id)
        WHEN 'sign' THEN (SELECT stage || ' ' || remark FROM sign AS it WHERE it.id = entry.id)
        WHEN 'hold' THEN (SELECT cause FROM hold AS it WHERE it.id = entry.id)
        WHEN 'strike' THEN (SELECT why FROM strike AS it WHERE it.id = entry.id)
        WHEN 'permit' THEN (SELECT tree || ' ' || place || ' ' || until FROM permit AS it WHERE it.id = entry.id)
        WHEN 'answer' THEN (SELECT said FROM answer AS it WHERE it.id = entry.id)
        WHEN 'crew' THEN (SELECT name || ' ' || works FROM crew AS it WHERE it.id = entry.id)
        WHEN 'crew-day' THEN (SELECT crew || ' ' || work || ' ' || remark FROM crew_day AS it WHERE it.id = entry.id)
        WHEN 'closed' THEN
            (SELECT cause || coalesce(' ' || from_day || ' ' || to_day, '') FROM closed AS it WHERE it.id = entry.id)
        WHEN 'wood' THEN (SELECT name || ' ' || class FROM wood AS it WHERE it.id = entry.id)
        WHEN 'pull' THEN
            (SELECT joint || ' ' || cord || ' ' || said || ' ' || remark FROM pull AS it WHERE it.id = entry.id)
        ELSE ''
    END) LIKE :text ESCAPE '\\'";

/// The words anywhere, as LIKE has it.
fn anywhere(text: &str) -> String {
    let plain = text.replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_");
    format!("%{plain}%")
}

#[cfg(test)]
mod tests {
    use super::super::Opening;
    use super::*;

    /// How SQLite goes about a query, a step a line.
    fn plan(book: &Book, filter: &Filter) -> String {
        let (sql, values) = asked(filter);
        let values: Vec<_> = values.iter().map(|(name, value)| (*name, value as &dyn ToSql)).collect();
        let mut query = book.conn.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).expect("a query");
        let steps = query.query_map(values.as_slice(), |row| row.get::<_, String>(3)).expect("a plan");
        steps.collect::<Result<Vec<_>, _>>().expect("steps").join("\n")
    }

    #[test]
    fn every_page_of_the_day_book_is_found_by_index_in_its_order() {
        let folder = tempfile::tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("village.spanwright"), Opening::Create).expect("a book");
        for set in 0..16_u8 {
            let on = |bit: u8| set & (1 << bit) != 0;
            let filter = Filter {
                house: on(0).then(Uuid::max),
                kind: on(1).then_some(Kind::Reading),
                by: on(2).then(|| "Oru".to_owned()),
                text: on(3).then(|| "peg".to_owned()),
                ..Filter::default()
            };
            let plan = plan(&book, &filter);
            let index = match &filter {
                Filter { house: Some(_), .. } => "entry_of_house (house=? AND ",
                Filter { kind: None, by: None, .. } => "entry_in_order (",
                Filter { kind: None, .. } => "entry_by_whom (by_whom=? AND ",
                Filter { by: None, .. } => "entry_of_kind (kind=? AND ",
                _ => "=? AND ",
            };
            let first = plan.lines().next().unwrap_or_default();
            assert!(first.starts_with("SEARCH entry USING") && first.contains(index), "{filter:?}:\n{plan}");
            // The fields of one brief are gone through one by one.
            let scans = plan.matches("SCAN").count() - plan.matches("SCAN json_each VIRTUAL TABLE").count();
            assert!(scans == 0 && !plan.contains("TEMP B-TREE"), "{filter:?}:\n{plan}");
        }
    }
}
