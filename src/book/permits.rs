//! Permits and what was cut against them, by index.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, Row, named_params};
use uuid::Uuid;

use super::Book;
use super::error::BookError;
use super::read::{Id, Word, moment};
use super::village::day;
use crate::build::accept::Refused;
use crate::build::draft::Draft;
use crate::build::entry::{Entry, How, Permit, What};
use crate::build::permit::{self, Cut, Leave, Ledger, PastCut};

const LEAVES: &str = "
    SELECT entry.id, entry.happened, entry.happened_offset, permit.tree, permit.count, permit.place, permit.until,
        EXISTS (SELECT 1 FROM strike WHERE strike.entry = permit.id)
    FROM permit CROSS JOIN entry ON entry.id = permit.id
    WHERE permit.tree = coalesce(:tree, permit.tree)";

const CUTS: &str = "
    SELECT entry.id, entry.happened, entry.happened_offset, entry.house, tally.item, tally.count, entry.by_whom,
        tally.past_permit,
        (SELECT answer.said FROM answer
         WHERE answer.entry = tally.id
             AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = answer.id)
         ORDER BY answer.id DESC LIMIT 1)
    FROM tally JOIN entry ON entry.id = tally.id
    WHERE tally.tree = :tree AND tally.how = 'cut'
        AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = tally.id)";

impl Book {
    /// The kinds of tree for which there are permits.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn permitted_trees(&self) -> Result<Vec<String>, BookError> {
        self.at_one_moment(|conn| Ok(trees_of(leaves(conn, None)?.into_iter().filter(|leave| !leave.struck))))
    }

    /// The permits of every kind of tree, by its name, with what was cut
    /// against them.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn ledgers(&self) -> Result<Vec<(String, Ledger)>, BookError> {
        self.at_one_moment(|conn| {
            let mut trees = trees_of(leaves(conn, None)?);
            for tree in cut_trees(conn)? {
                // Of the others nothing can be past but what was said to be.
                if !trees.contains(&tree) && was_said_past(conn, &tree)? {
                    trees.push(tree);
                }
            }
            trees.sort();
            let all = trees.into_iter().map(|tree| ledger(conn, &tree).map(|ledger| (tree, ledger)));
            let all: rusqlite::Result<Vec<(String, Ledger)>> = all.collect();
            // Of a tree whose permit was struck, nothing may have been cut.
            let told = |(_, ledger): &(_, Ledger)| !ledger.leaves.is_empty() || !ledger.past.is_empty();
            Ok(all?.into_iter().filter(told).collect())
        })
    }

    /// The cuts past the permits that wait for an answer, by their houses.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn past_cuts(&self) -> Result<BTreeMap<Uuid, Vec<PastCut>>, BookError> {
        let mut by_house: BTreeMap<Uuid, Vec<PastCut>> = BTreeMap::new();
        for (tree, ledger) in self.ledgers()? {
            for past in &ledger.past {
                if let (Some(house), Some(waiting)) = (past.cut.house, PastCut::waiting(&tree, past)) {
                    by_house.entry(house).or_default().push(waiting);
                }
            }
        }
        Ok(by_house)
    }

    /// The cuts past the permits that wait for an answer, at one house.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn past_cuts_at(&self, house: Uuid) -> Result<Vec<PastCut>, BookError> {
        const TREES: &str = "
            SELECT DISTINCT tally.tree FROM tally CROSS JOIN entry ON entry.id = tally.id
            WHERE tally.tree IS NOT NULL AND entry.house = :house";
        self.at_one_moment(|conn| {
            let mut query = conn.prepare_cached(TREES)?;
            let trees = query.query_map(named_params! { ":house": house.to_string() }, |row| row.get(0))?;
            let mut waiting = Vec::new();
            for tree in trees {
                let tree: String = tree?;
                let past = ledger(conn, &tree)?.past;
                let here = past.iter().filter(|past| past.cut.house == Some(house));
                waiting.extend(here.filter_map(|past| PastCut::waiting(&tree, past)));
            }
            Ok(waiting)
        })
    }
}

fn ledger(conn: &Connection, tree: &str) -> rusqlite::Result<Ledger> {
    Ok(Ledger::of(&leaves(conn, Some(tree))?, &cuts(conn, tree)?))
}

/// The kinds of tree that some permits are for.
fn trees_of(leaves: impl IntoIterator<Item = Leave>) -> Vec<String> {
    let trees: BTreeSet<String> = leaves.into_iter().map(|leave| leave.permit.tree).collect();
    trees.into_iter().collect()
}

/// The kinds of tree that were tallied, each found by one step in the index.
fn cut_trees(conn: &Connection) -> rusqlite::Result<Vec<String>> {
    const SQL: &str = "
        WITH RECURSIVE kind(tree) AS (
            SELECT min(tree) FROM tally WHERE tree IS NOT NULL
            UNION ALL
            SELECT (SELECT min(tree) FROM tally WHERE tally.tree > kind.tree) FROM kind
            WHERE kind.tree IS NOT NULL
        )
        SELECT tree FROM kind WHERE tree IS NOT NULL";
    let mut query = conn.prepare_cached(SQL)?;
    let trees = query.query_map([], |row| row.get(0))?;
    trees.collect()
}

/// Whether any of a kind of tree was said to be cut past a permit.
fn was_said_past(conn: &Connection, tree: &str) -> rusqlite::Result<bool> {
    const SQL: &str = "SELECT EXISTS (SELECT 1 FROM tally WHERE tree = :tree AND past_permit IS NOT NULL)";
    conn.prepare_cached(SQL)?.query_row(named_params! { ":tree": tree }, |row| row.get(0))
}

/// Refuses an answer to what is no cut past the permits, or is answered.
pub(super) fn may_answer(conn: &Connection, draft: &Draft) -> rusqlite::Result<Result<(), Refused>> {
    let Draft::Answer { entry, .. } = draft else { return Ok(Ok(())) };
    const TREE: &str = "SELECT tree FROM tally WHERE id = :id AND tree IS NOT NULL";
    let tree: Option<String> =
        conn.query_row(TREE, named_params! { ":id": entry.to_string() }, |row| row.get(0)).optional()?;
    let past = tree.map(|tree| ledger(conn, &tree)).transpose()?.unwrap_or_default().past;
    Ok(match past.iter().any(|past| past.cut.id == *entry && past.cut.answer.is_none()) {
        true => Ok(()),
        false => {
            let why = "is no cut past a permit that waits for an answer; permit list tells them".to_owned();
            Err(Refused { field: "entry", why })
        }
    })
}

/// Looks at a cut against the permits for its tree: past them it is refused,
/// or kept as that where it was said why.
pub(super) fn allowed(
    conn: &Connection,
    draft: &Draft,
    mut entry: Entry,
) -> rusqlite::Result<Result<Entry, Refused>> {
    let (Draft::Tally { of: said, .. }, What::Tally(tally)) = (draft, &mut entry.what) else {
        return Ok(Ok(entry));
    };
    let why = said.why.trim();
    let Some(tree) = tally.of.tree.clone().filter(|_| tally.how == How::Cut) else { return Ok(Ok(entry)) };
    let new = Cut {
        id: entry.id,
        house: entry.house,
        item: tally.item,
        // Whole, and bounded where it was understood.
        count: tally.count as u32,
        happened: entry.happened,
        by: entry.by.clone(),
        why: None,
        answer: None,
    };
    let earlier = cuts(conn, &tree)?;
    // No slip of the pen: it was said to be another tree, and that was answered.
    let is_known = earlier.iter().any(|cut| cut.why.is_some() && cut.answer.is_some());
    let trees = if is_known { Vec::new() } else { trees_of(leaves(conn, None)?) };
    let meant = permit::spelled_like(&tree, &trees).filter(|known| *known != tree);
    let past = permit::past(&leaves(conn, Some(&tree))?, &earlier, &new);
    Ok(match (past, meant) {
        (None, Some(known)) if why.is_empty() => {
            let why = format!(
                "no permit is for {tree}, but one for {known}; where it is another tree, say so as a reason (why)"
            );
            Err(Refused { field: "tree", why })
        }
        (Some(left), _) if why.is_empty() => {
            let why = format!(
                "{} {tree} cut, but {left}; past the permit it is cut only with a reason (why)",
                new.count
            );
            Err(Refused { field: "count", why })
        }
        (None, None) if !why.is_empty() => {
            Err(Refused { field: "why", why: "no permit for it is cut past; leave it out".to_owned() })
        }
        _ => {
            tally.of.past_permit = Some(why.to_owned()).filter(|why| !why.is_empty());
            Ok(entry)
        }
    })
}

/// The permits that stand: for one kind of tree, or for all.
pub(super) fn leaves(conn: &Connection, tree: Option<&str>) -> rusqlite::Result<Vec<Leave>> {
    let mut query = conn.prepare_cached(LEAVES)?;
    let rows = query.query_map(named_params! { ":tree": tree }, |row| {
        let permit =
            Permit { tree: row.get(3)?, count: row.get(4)?, place: row.get(5)?, until: day(row, 6)? };
        Ok(Leave { id: row.get::<_, Id>(0)?.0, given: moment(row, 1)?, permit, struck: row.get(7)? })
    })?;
    rows.collect()
}

/// The cuts of a kind of tree that stand.
pub(super) fn cuts(conn: &Connection, tree: &str) -> rusqlite::Result<Vec<Cut>> {
    let mut query = conn.prepare_cached(CUTS)?;
    let rows = query.query_map(named_params! { ":tree": tree }, cut)?;
    rows.collect()
}

fn cut(row: &Row<'_>) -> rusqlite::Result<Cut> {
    Ok(Cut {
        id: row.get::<_, Id>(0)?.0,
        happened: moment(row, 1)?,
        house: row.get::<_, Option<Id>>(3)?.map(|id| id.0),
        item: row.get::<_, Word<_>>(4)?.0,
        // Whole, and far below the most a number of its kind holds.
        count: row.get::<_, f64>(5)? as u32,
        by: row.get(6)?,
        why: row.get(7)?,
        answer: row.get(8)?,
    })
}

#[cfg(test)]
mod tests {
    use super::super::Opening;
    use super::*;

    /// How SQLite goes about a query.
    fn plan(sql: &str) -> String {
        let folder = tempfile::tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("village.spanwright"), Opening::Create).expect("a book");
        let mut query = book.conn.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).expect("a query");
        let steps = query
            .query_map(named_params! { ":tree": "mangrove" }, |row| row.get::<_, String>(3))
            .expect("a plan");
        steps.collect::<Result<Vec<_>, _>>().expect("steps").join("\n")
    }

    #[test]
    fn the_cuts_of_a_tree_are_found_by_index() {
        let plan = plan(CUTS);
        assert!(!plan.contains("SCAN"), "{plan}");
        assert!(plan.contains("INDEX tally_of_tree (tree=?)"), "{plan}");
    }

    #[test]
    fn the_permits_are_found_without_looking_through_all_entries() {
        let plan = plan(LEAVES);
        assert!(plan.contains("SCAN permit") && !plan.contains("SCAN entry"), "{plan}");
    }
}
