//! Checking a book, the file and every rule it must obey.

use rusqlite::Connection;

use super::Book;
use super::error::BookError;
use super::names::is_known_rightly;
use super::summary;

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What, in a sentence.
    pub what: String,
    /// Where: an entry's id, or what SQLite names.
    pub place: String,
}

/// A rule, and the query for the ids that break it.
const RULES: &[(&str, &str)] = &[
    (
        "an entry's kind is unknown, or what it says is lost",
        "SELECT id FROM entry WHERE kind <> 'resume'
         AND NOT EXISTS (SELECT 1 FROM detail WHERE detail.id = entry.id AND detail.kind = entry.kind)",
    ),
    (
        "what an entry says stands under two kinds",
        "SELECT detail.id FROM detail JOIN entry USING (id) WHERE detail.kind <> entry.kind",
    ),
    ("what is said has no entry", "SELECT id FROM detail WHERE id NOT IN (SELECT id FROM entry)"),
    (
        "an entry names no house, or should name none",
        "SELECT id FROM entry WHERE
            house IS NULL AND kind NOT IN (
                'measure', 'hold', 'resume', 'strike', 'permit', 'answer', 'tie-down', 'crew', 'closed', 'weather',
                'wood', 'pull'
            )
            OR house IS NOT NULL AND kind IN ('measure', 'permit', 'crew', 'closed', 'weather', 'wood')
            OR house IS NOT id AND kind = 'house'",
    ),
    (
        "an entry's house is not in the book",
        "SELECT id FROM entry WHERE house IS NOT NULL AND house NOT IN (SELECT id FROM house)",
    ),
    (
        "a reading or a sign-off goes by a brief that is not its house's",
        "SELECT entry.id
         FROM (SELECT id, brief FROM reading UNION ALL SELECT id, brief FROM sign) AS it
         JOIN entry USING (id) LEFT JOIN entry AS told ON told.id = it.brief AND told.kind = 'brief'
         WHERE told.house IS NOT entry.house",
    ),
    (
        "a sign-off rests on a reading that is not its house's",
        "SELECT entry.id FROM sign_rested JOIN entry ON entry.id = sign_rested.sign
         LEFT JOIN entry AS told ON told.id = sign_rested.entry AND told.kind = 'reading'
         WHERE told.house IS NOT entry.house",
    ),
    (
        "an item is given to no house of the book, or to its own",
        "SELECT entry.id FROM tally JOIN entry USING (id)
         WHERE tally.how = 'moved'
            AND (tally.to_house IS NULL OR tally.to_house = entry.house
                OR tally.to_house NOT IN (SELECT id FROM house))",
    ),
    (
        "an answer answers nothing of its house",
        "SELECT entry.id FROM answer JOIN entry USING (id)
         LEFT JOIN entry AS told ON told.id = answer.entry
         WHERE told.id IS NULL OR told.house IS NOT entry.house",
    ),
    (
        "a strike strikes nothing of its house, or another strike",
        "SELECT entry.id FROM strike JOIN entry USING (id)
         LEFT JOIN entry AS struck ON struck.id = strike.entry
         WHERE struck.id IS NULL OR struck.kind = 'strike' OR struck.house IS NOT entry.house",
    ),
];

/// All that entries say, by kind; what [`RULES`] calls `detail`.
const DETAIL: &str = "WITH detail (kind, id) AS (
    SELECT 'house', id FROM house UNION ALL SELECT 'brief', id FROM brief
    UNION ALL SELECT 'measure', id FROM measure UNION ALL SELECT 'reading', id FROM reading
    UNION ALL SELECT 'moved', id FROM moved UNION ALL SELECT 'tally', id FROM tally
    UNION ALL SELECT 'sign', id FROM sign UNION ALL SELECT 'hold', id FROM hold
    UNION ALL SELECT 'strike', id FROM strike UNION ALL SELECT 'permit', id FROM permit
    UNION ALL SELECT 'answer', id FROM answer UNION ALL SELECT 'tie-down', id FROM tie_down
    UNION ALL SELECT 'crew', id FROM crew UNION ALL SELECT 'crew-day', id FROM crew_day
    UNION ALL SELECT 'closed', id FROM closed UNION ALL SELECT 'weather', id FROM weather
    UNION ALL SELECT 'wood', id FROM wood UNION ALL SELECT 'pull', id FROM pull) ";

impl Book {
    /// Checks the file and every rule the book must obey; gives nothing where
    /// all is well. Reads the whole book, as it is at one moment.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read at all.
    pub fn verify(&self) -> Result<Vec<Finding>, BookError> {
        self.at_one_moment(|conn| {
            let mut findings = checked_by_sqlite(conn)?;
            // Past a broken file, the rules would only tell of it again.
            if findings.is_empty() {
                broken_rules(conn, &mut findings)?;
                misnamed(conn, &mut findings)?;
            }
            // Past a broken rule, what a house is now says nothing.
            if findings.is_empty() {
                out_of_date(conn, &mut findings)?;
            }
            Ok(findings)
        })
    }
}

/// Pages, indexes, types and the CHECKs of every column.
fn checked_by_sqlite(conn: &Connection) -> rusqlite::Result<Vec<Finding>> {
    let mut findings = vec![];
    let mut check = conn.prepare("PRAGMA integrity_check")?;
    for said in check.query_map([], |row| row.get::<_, String>(0))? {
        let place = said.unwrap_or_else(|failed| failed.to_string());
        if place != "ok" {
            findings.push(Finding { what: "the file does not pass SQLite's own check".to_owned(), place });
        }
    }
    Ok(findings)
}

fn broken_rules(conn: &Connection, findings: &mut Vec<Finding>) -> rusqlite::Result<()> {
    for (what, query) in RULES {
        let mut query = conn.prepare(&format!("{DETAIL}{query}"))?;
        for id in query.query_map([], |row| row.get::<_, String>(0))? {
            findings.push(Finding { what: (*what).to_owned(), place: id? });
        }
    }
    let mut keys = conn.prepare("SELECT \"table\", parent FROM pragma_foreign_key_check")?;
    let broken = keys
        .query_map([], |row| Ok(format!("{} to {}", row.get::<_, String>(0)?, row.get::<_, String>(1)?)))?;
    for place in broken {
        findings.push(Finding { what: "a row names another that is not there".to_owned(), place: place? });
    }
    Ok(())
}

/// Houses of which something else is kept than their entries say.
fn out_of_date(conn: &Connection, findings: &mut Vec<Finding>) -> rusqlite::Result<()> {
    for house in summary::out_of_date(conn)? {
        let what = "what is kept of a house at a glance is not what its entries say".to_owned();
        findings.push(Finding { what, place: house.to_string() });
    }
    Ok(())
}

/// Houses that could not be found by the name they have.
fn misnamed(conn: &Connection, findings: &mut Vec<Finding>) -> rusqlite::Result<()> {
    let mut query = conn.prepare("SELECT id, name, known_as FROM house")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let (name, stored): (String, String) = (row.get(1)?, row.get(2)?);
        if !is_known_rightly(&name, &stored) {
            let what = "a house is not known by its own name".to_owned();
            findings.push(Finding { what, place: row.get(0)? });
        }
    }
    Ok(())
}
