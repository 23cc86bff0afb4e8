//! Reading entries back.

use std::error::Error;
use std::str::FromStr;

use chrono::{DateTime, FixedOffset};
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ValueRef};
use rusqlite::{Connection, Params, Row, named_params};
use uuid::Uuid;

use super::village;
use crate::build::brief::BriefText;
use crate::build::entry::{
    Entry, How, Kind, Moment, Parts, PointName, Reading, SignOff, Stem, Tally, UnknownWord, Value, What,
};

/// What every entry has, but for what it says.
pub(super) struct Head {
    pub id: Uuid,
    house: Option<Uuid>,
    happened: Moment,
    written: Moment,
    by: String,
    kind: Kind,
}

/// The columns of a [`Head`], of a table that goes by `entry`.
macro_rules! head_columns {
    () => {
        "entry.id, entry.kind, entry.house, entry.happened, entry.happened_offset,
         entry.written, entry.written_offset, entry.by_whom"
    };
}
pub(super) use head_columns;

impl Head {
    /// Reads a row that begins with [`head_columns`].
    pub(super) fn of(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            id: row.get::<_, Id>(0)?.0,
            kind: row.get::<_, Word<Kind>>(1)?.0,
            house: row.get::<_, Option<Id>>(2)?.map(|id| id.0),
            happened: moment(row, 3)?,
            written: moment(row, 5)?,
            by: row.get(7)?,
        })
    }

    /// The entry, with what it says.
    pub(super) fn whole(self, conn: &Connection) -> rusqlite::Result<Entry> {
        let what = said(conn, self.id, self.kind)?;
        let Self { id, house, happened, written, by, .. } = self;
        Ok(Entry { id, house, happened, written, by, what })
    }
}

/// The entries whose heads a query gives, in its order.
pub(super) fn entries<P: Params>(conn: &Connection, sql: &str, params: P) -> rusqlite::Result<Vec<Entry>> {
    let mut query = conn.prepare_cached(sql)?;
    let heads = query.query_map(params, Head::of)?;
    heads.map(|head| head?.whole(conn)).collect()
}

/// An id in a column.
pub(super) struct Id(pub Uuid);

impl FromSql for Id {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Uuid::try_parse(value.as_str()?).map(Self).map_err(FromSqlError::other)
    }
}

/// A known word in a column.
pub(super) struct Word<T>(pub T);

impl<T: FromStr<Err = UnknownWord>> FromSql for Word<T> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value.as_str()?.parse().map(Self).map_err(FromSqlError::other)
    }
}

/// A moment in a column and its offset in the next.
pub(super) fn moment(row: &Row<'_>, column: usize) -> rusqlite::Result<Moment> {
    let offset: i32 = row.get(column + 1)?;
    DateTime::from_timestamp_micros(row.get(column)?)
        .zip(offset.checked_mul(60).and_then(FixedOffset::east_opt))
        .map(|(utc, offset)| utc.with_timezone(&offset))
        .ok_or_else(|| unreadable(column, "a moment is out of range".into()))
}

pub(super) fn unreadable(column: usize, what: Box<dyn Error + Send + Sync>) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(column, rusqlite::types::Type::Text, what)
}

fn said(conn: &Connection, id: Uuid, kind: Kind) -> rusqlite::Result<What> {
    let id = &id.to_string();
    match kind {
        Kind::House => one(conn, id, "SELECT name FROM house WHERE id = :id", |row| {
            Ok(What::House { name: row.get(0)? })
        }),
        Kind::Brief => one(conn, id, "SELECT said FROM brief WHERE id = :id", |row| {
            let said: BriefText = serde_json::from_str(row.get_ref(0)?.as_str()?)
                .map_err(|e| unreadable(0, format!("brief {id}: {e}").into()))?;
            Ok(What::Brief { said })
        }),
        Kind::Measure => measure(conn, id),
        Kind::Reading => reading(conn, id),
        Kind::Moved => one(conn, id, "SELECT stage, point FROM moved WHERE id = :id", |row| {
            Ok(What::Moved { point: PointName { stage: row.get(0)?, point: row.get(1)? } })
        }),
        Kind::Tally => tally(conn, id),
        Kind::Sign => sign(conn, id),
        Kind::Hold => one(conn, id, "SELECT cause, planned FROM hold WHERE id = :id", |row| {
            Ok(What::Hold { cause: row.get(0)?, planned: row.get(1)? })
        }),
        Kind::Resume => Ok(What::Resume),
        Kind::Strike => one(conn, id, "SELECT entry, why FROM strike WHERE id = :id", |row| {
            Ok(What::Strike { entry: row.get::<_, Id>(0)?.0, why: row.get(1)? })
        }),
        kind => village::said(conn, id, kind),
    }
}

pub(super) fn one(
    conn: &Connection,
    id: &str,
    sql: &str,
    read: impl FnOnce(&Row<'_>) -> rusqlite::Result<What>,
) -> rusqlite::Result<What> {
    conn.prepare_cached(sql)?.query_row(named_params! { ":id": id }, read)
}

fn measure(conn: &Connection, id: &str) -> rusqlite::Result<What> {
    const SQL: &str = "
        SELECT name, span_m, half_span_m, forearm_m, hand_m, breadth_m, finger_m
        FROM measure WHERE id = :id";
    one(conn, id, SQL, |row| {
        let parts = Parts {
            span_m: row.get(1)?,
            half_span_m: row.get(2)?,
            forearm_m: row.get(3)?,
            hand_m: row.get(4)?,
            breadth_m: row.get(5)?,
            finger_m: row.get(6)?,
        };
        Ok(What::Measure { name: row.get(0)?, parts })
    })
}

fn reading(conn: &Connection, id: &str) -> rusqlite::Result<What> {
    const SQL: &str = "
        SELECT stage, point, said, value_kind, value, first_m, second_m, again, with_what, brief
        FROM reading WHERE id = :id";
    one(conn, id, SQL, |row| {
        let number: f64 = row.get(4)?;
        let value = match row.get_ref(3)?.as_str()? {
            "length" => Value::Length(number),
            "angle" => Value::Angle(number),
            "count" => Value::Count(number),
            "yes-no" => Value::YesNo(number > 0.0),
            "pair" => Value::Pair { first_m: row.get(5)?, second_m: row.get(6)?, difference_m: number },
            other => return Err(unreadable(3, format!("reading {id} has a value of kind {other}").into())),
        };
        Ok(What::Reading(Reading {
            point: PointName { stage: row.get(0)?, point: row.get(1)? },
            said: row.get(2)?,
            value,
            again: row.get(7)?,
            with: row.get(8)?,
            brief: row.get::<_, Id>(9)?.0,
        }))
    })
}

fn tally(conn: &Connection, id: &str) -> rusqlite::Result<What> {
    const SQL: &str = "
        SELECT item, count, how, to_house, remark, tree, length_m, top_d_m, past_permit, built_in
        FROM tally WHERE id = :id";
    one(conn, id, SQL, |row| {
        Ok(What::Tally(Tally {
            item: row.get::<_, Word<_>>(0)?.0,
            count: row.get(1)?,
            how: if row.get(9)? { How::TornOff } else { row.get::<_, Word<_>>(2)?.0 },
            to: row.get::<_, Option<Id>>(3)?.map(|id| id.0),
            remark: row.get(4)?,
            of: Stem {
                tree: row.get(5)?,
                length_m: row.get(6)?,
                top_d_m: row.get(7)?,
                past_permit: row.get(8)?,
            },
        }))
    })
}

fn sign(conn: &Connection, id: &str) -> rusqlite::Result<What> {
    const SQL: &str = "SELECT stage, remark, brief FROM sign WHERE id = :id";
    const RESTED: &str = "SELECT entry FROM sign_rested WHERE sign = :id ORDER BY place";
    let rested_on = conn
        .prepare_cached(RESTED)?
        .query_map(named_params! { ":id": id }, |row| Ok(row.get::<_, Id>(0)?.0))?
        .collect::<rusqlite::Result<Vec<_>>>()?;
    one(conn, id, SQL, |row| {
        let (stage, remark, brief) = (row.get(0)?, row.get(1)?, row.get::<_, Id>(2)?.0);
        Ok(What::Sign(SignOff { stage, remark, rested_on, brief }))
    })
}
