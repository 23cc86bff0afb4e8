//! Adding to the book.

use std::fs;
use std::io;
use std::os::unix::fs::MetadataExt;
use std::path::Path;

use rusqlite::{Connection, Transaction, TransactionBehavior, named_params};
use uuid::Uuid;

use crate::build::brief::BriefText;
use crate::build::entry::{Entry, How, Parts, Reading, SignOff, Tally, Value, What};

use super::error::BookError;
use super::names::known_as;
use super::{Book, ask, village};

impl Book {
    /// Keeps the entries, all of them or none. When this returns, they are on
    /// the disk.
    ///
    /// An entry may name those before it, in the book or in the list.
    ///
    /// # Errors
    /// [`BookError::Refused`] for the first entry that breaks a rule of the
    /// book; else what the disk or another program had against it.
    pub fn keep(&mut self, entries: &[Entry]) -> Result<(), BookError> {
        self.write(|conn| add_all(conn, &self.path, entries))
    }

    /// Decides by what is told of a house what to add, and keeps it; nobody
    /// else can write in between. The closure gets what [`Book::entries_of`]
    /// gives.
    ///
    /// Gives the ids of what was kept, or the closure's own error, and then
    /// nothing was kept.
    ///
    /// # Errors
    /// Those of [`Book::keep`].
    pub fn decide<E>(
        &mut self,
        house: Option<Uuid>,
        decide: impl FnOnce(&[Entry]) -> Result<Vec<Entry>, E>,
    ) -> Result<Result<Vec<Uuid>, E>, BookError> {
        self.decide_within(house, |_, told| Ok(decide(told)))
    }

    /// The same, where the book itself has to be asked too.
    pub(super) fn decide_within<E>(
        &self,
        house: Option<Uuid>,
        decide: impl FnOnce(&Connection, &[Entry]) -> rusqlite::Result<Result<Vec<Entry>, E>>,
    ) -> Result<Result<Vec<Uuid>, E>, BookError> {
        self.write(|conn| {
            let told = |e| BookError::sqlite(conn, &self.path, e);
            let entries = ask::load(conn, house).map_err(told)?;
            match decide(conn, &entries).map_err(told)? {
                Ok(entries) => {
                    add_all(conn, &self.path, &entries)?;
                    Ok(Ok(entries.iter().map(|entry| entry.id).collect()))
                }
                Err(declined) => Ok(Err(declined)),
            }
        })
    }

    /// The one transaction there is: it takes the write lock before anything
    /// is read, so that what was read is still so when it is committed.
    pub(super) fn write<R>(
        &self,
        work: impl FnOnce(&Connection) -> Result<R, BookError>,
    ) -> Result<R, BookError> {
        if self.only_read {
            return Err(BookError::ReadOnly { path: self.path.display().to_string() });
        }
        let told = |e| self.told(e);
        let tx = Transaction::new_unchecked(&self.conn, TransactionBehavior::Immediate).map_err(told)?;
        let done = work(&tx)?;
        self.stands()?;
        tx.commit().map_err(told)?;
        Ok(done)
    }

    /// Looks whether the file that is open is still the one at the book's
    /// place: what is written to a file that was taken away is lost with it.
    pub(super) fn stands(&self) -> Result<(), BookError> {
        match inode(&self.path) {
            Ok(there) if there == self.inode => Ok(()),
            Ok(_) => Err(BookError::TakenAway { path: self.path.display().to_string() }),
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                Err(BookError::TakenAway { path: self.path.display().to_string() })
            }
            Err(e) => Err(BookError::file(&self.path, "looking for it", e)),
        }
    }
}

/// What a file is to the system, whatever it is called: its device and number.
pub(super) fn inode(path: &Path) -> io::Result<(u64, u64)> {
    let about = fs::metadata(path)?;
    Ok((about.dev(), about.ino()))
}

fn add_all(conn: &Connection, path: &Path, entries: &[Entry]) -> Result<(), BookError> {
    for entry in entries {
        if let What::Strike { entry: struck, .. } = &entry.what
            && is_struck(conn, *struck).map_err(|e| BookError::sqlite(conn, path, e))?
        {
            let why = "the entry is struck already".to_owned();
            return Err(BookError::Refused { kind: entry.what.kind(), id: entry.id, why });
        }
        add(conn, entry).map_err(|e| BookError::inserting(conn, path, entry, e))?;
    }
    Ok(())
}

/// Whether there is a line through an entry.
pub(super) fn is_struck(conn: &Connection, entry: Uuid) -> rusqlite::Result<bool> {
    const SQL: &str = "SELECT EXISTS (SELECT 1 FROM strike WHERE entry = :entry)";
    conn.prepare_cached(SQL)?.query_row(named_params! { ":entry": entry.to_string() }, |row| row.get(0))
}

/// Adds what an entry says, then the entry: the schema looks at it whole.
pub(super) fn add(conn: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let id = &entry.id.to_string();
    match &entry.what {
        What::House { name } => add_house(conn, id, name, &known_as(name)),
        What::Brief { said } => add_brief(conn, id, said),
        What::Measure { name, parts } => add_measure(conn, id, name, parts),
        What::Reading(reading) => add_reading(conn, id, reading),
        What::Moved { point } => {
            const SQL: &str = "INSERT INTO moved (id, stage, point) VALUES (:id, :stage, :point)";
            run(conn, SQL, named_params! { ":id": id, ":stage": point.stage, ":point": point.point })
        }
        What::Tally(tally) => add_tally(conn, id, tally),
        What::Sign(sign) => add_sign(conn, id, sign),
        What::Hold { cause, planned } => {
            const SQL: &str = "INSERT INTO hold (id, cause, planned) VALUES (:id, :cause, :planned)";
            run(conn, SQL, named_params! { ":id": id, ":cause": cause, ":planned": planned })
        }
        What::Resume => Ok(()),
        What::Strike { entry, why } => {
            const SQL: &str = "INSERT INTO strike (id, entry, why) VALUES (:id, :entry, :why)";
            run(conn, SQL, named_params! { ":id": id, ":entry": entry.to_string(), ":why": why })
        }
        what => village::add(conn, id, what),
    }?;
    add_entry(conn, id, entry)
}

pub(super) fn run(
    conn: &Connection,
    sql: &str,
    values: &[(&str, &dyn rusqlite::ToSql)],
) -> rusqlite::Result<()> {
    conn.prepare_cached(sql)?.execute(values).map(drop)
}

pub(super) fn add_entry(conn: &Connection, id: &str, entry: &Entry) -> rusqlite::Result<()> {
    const SQL: &str = "
        INSERT INTO entry (id, kind, house, happened, happened_offset, written, written_offset, by_whom)
        VALUES (:id, :kind, :house, :happened, :happened_offset, :written, :written_offset, :by_whom)";
    let values = named_params! {
        ":id": id,
        ":kind": entry.what.kind().word(),
        ":house": entry.house.map(|house| house.to_string()),
        ":happened": entry.happened.timestamp_micros(),
        ":happened_offset": entry.happened.offset().local_minus_utc() / 60,
        ":written": entry.written.timestamp_micros(),
        ":written_offset": entry.written.offset().local_minus_utc() / 60,
        ":by_whom": entry.by,
    };
    run(conn, SQL, values)
}

pub(super) fn add_house(conn: &Connection, id: &str, name: &str, known_as: &str) -> rusqlite::Result<()> {
    const SQL: &str = "INSERT INTO house (id, name, known_as) VALUES (:id, :name, :known_as)";
    run(conn, SQL, named_params! { ":id": id, ":name": name, ":known_as": known_as })
}

fn add_brief(conn: &Connection, id: &str, said: &BriefText) -> rusqlite::Result<()> {
    const SQL: &str = "INSERT INTO brief (id, said) VALUES (:id, :said)";
    let said =
        serde_json::to_string(said).map_err(|e| rusqlite::Error::ToSqlConversionFailure(Box::new(e)))?;
    run(conn, SQL, named_params! { ":id": id, ":said": said })
}

fn add_measure(conn: &Connection, id: &str, name: &str, parts: &Parts) -> rusqlite::Result<()> {
    const SQL: &str = "
        INSERT INTO measure (id, name, span_m, half_span_m, forearm_m, hand_m, breadth_m, finger_m)
        VALUES (:id, :name, :span_m, :half_span_m, :forearm_m, :hand_m, :breadth_m, :finger_m)";
    let values = named_params! {
        ":id": id,
        ":name": name,
        ":span_m": number(parts.span_m),
        ":half_span_m": parts.half_span_m.map(number),
        ":forearm_m": parts.forearm_m.map(number),
        ":hand_m": parts.hand_m.map(number),
        ":breadth_m": parts.breadth_m.map(number),
        ":finger_m": parts.finger_m.map(number),
    };
    run(conn, SQL, values)
}

fn add_reading(conn: &Connection, id: &str, reading: &Reading) -> rusqlite::Result<()> {
    const SQL: &str = "
        INSERT INTO reading
            (id, stage, point, said, value_kind, value, first_m, second_m, again, with_what, brief)
        VALUES
            (:id, :stage, :point, :said, :value_kind, :value, :first_m, :second_m, :again, :with_what, :brief)";
    let (value_kind, first_m, second_m) = match reading.value {
        Value::Length(_) => ("length", None, None),
        Value::Angle(_) => ("angle", None, None),
        Value::Count(_) => ("count", None, None),
        Value::YesNo(_) => ("yes-no", None, None),
        Value::Pair { first_m, second_m, .. } => ("pair", first_m, second_m),
    };
    let values = named_params! {
        ":id": id,
        ":stage": reading.point.stage,
        ":point": reading.point.point,
        ":said": reading.said,
        ":value_kind": value_kind,
        ":value": number(reading.value.number()),
        ":first_m": first_m.map(number),
        ":second_m": second_m.map(number),
        ":again": reading.again,
        ":with_what": reading.with,
        ":brief": reading.brief.to_string(),
    };
    run(conn, SQL, values)
}

/// SQLite takes what is not a number for an empty column. Told as infinite, it
/// is refused like any other number out of range.
pub(super) const fn number(value: f64) -> f64 {
    if value.is_nan() { f64::INFINITY } else { value }
}

fn add_tally(conn: &Connection, id: &str, tally: &Tally) -> rusqlite::Result<()> {
    const SQL: &str = "
        INSERT INTO tally (id, item, count, how, to_house, remark, tree, length_m, top_d_m, past_permit, built_in)
        VALUES (
            :id, :item, :count, :how, :to_house, :remark, :tree, :length_m, :top_d_m, :past_permit, :built_in
        )";
    // What is torn off is lost from what was built in.
    let built_in = tally.how == How::TornOff;
    let values = named_params! {
        ":id": id,
        ":item": tally.item.word(),
        ":count": number(tally.count),
        ":how": if built_in { How::Lost.word() } else { tally.how.word() },
        ":to_house": tally.to.map(|house| house.to_string()),
        ":remark": tally.remark,
        ":tree": tally.of.tree,
        ":length_m": tally.of.length_m.map(number),
        ":top_d_m": tally.of.top_d_m.map(number),
        ":past_permit": tally.of.past_permit,
        ":built_in": built_in,
    };
    run(conn, SQL, values)
}

fn add_sign(conn: &Connection, id: &str, sign: &SignOff) -> rusqlite::Result<()> {
    const SQL: &str = "INSERT INTO sign (id, stage, remark, brief) VALUES (:id, :stage, :remark, :brief)";
    const RESTED: &str = "INSERT INTO sign_rested (sign, entry, place) VALUES (:sign, :entry, :place)";
    let brief = sign.brief.to_string();
    run(
        conn,
        SQL,
        named_params! { ":id": id, ":stage": sign.stage, ":remark": sign.remark, ":brief": brief },
    )?;
    for (place, entry) in (0_i64..).zip(&sign.rested_on) {
        run(conn, RESTED, named_params! { ":sign": id, ":entry": entry.to_string(), ":place": place })?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::{Book, Ids, Opening};
    use super::*;

    fn feast(ids: &mut Ids) -> Entry {
        let now = chrono::DateTime::parse_from_rfc3339("2031-03-02T07:30:00+10:00").expect("a moment");
        let what = What::Hold { cause: "feast".to_owned(), planned: true };
        Entry { id: ids.mint(&now), house: None, happened: now, written: now, by: "Oru".to_owned(), what }
    }

    #[test]
    fn a_full_disk_is_told_nothing_is_kept_by_halves_and_it_goes_on_when_there_is_room() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("village.spanwright");
        let mut book = Book::open(&path, Opening::Create).expect("a book");
        let mut ids = Ids::new();
        // SQLite says the same when it may take no more pages as when the disk has none.
        let pages: i64 = book.conn.query_row("PRAGMA page_count", [], |row| row.get(0)).expect("a count");
        let limit = |book: &Book, pages: i64| {
            book.conn.query_row(&format!("PRAGMA max_page_count = {pages}"), [], |_| Ok(())).expect("set");
        };
        limit(&book, pages + 8);
        let mut kept = 0;
        let full = loop {
            let batch: Vec<Entry> = (0..7).map(|_| feast(&mut ids)).collect();
            match book.keep(&batch) {
                Ok(()) => kept += 7,
                Err(error) => break error,
            }
        };
        assert!(matches!(full, BookError::Full { .. }), "{full}");
        assert_eq!(book.entries_of(None).expect("read").len(), kept);
        assert_eq!(book.verify().expect("verified"), []);
        limit(&book, 100_000);
        book.keep(&[feast(&mut ids)]).expect("there is room again");
        assert_eq!(book.entries_of(None).expect("read").len(), kept + 1);
    }
}
