//! Writing and reading what the houses have together.

use std::collections::BTreeMap;

use chrono::{NaiveDate, Weekday};
use rusqlite::{Connection, Row, named_params};

use super::read::{Id, Word, one, unreadable};
use super::write::{number, run};
use crate::build::entry::{
    Closed, ClosedDays, Crew, CrewDay, Kind, Permit, Pull, Secure, TieDown, Weather, What, Wood, Work,
};

/// The columns of a tie-down, in the order of [`Secure::ALL`].
const SECURED: &str = "panels, lifting_poles, ridge, openings, tools, people";

/// Adds what an entry of one of these kinds says.
pub(super) fn add(conn: &Connection, id: &str, what: &What) -> rusqlite::Result<()> {
    match what {
        What::Permit(p) => {
            const SQL: &str = "INSERT INTO permit (id, tree, count, place, until)
                VALUES (:id, :tree, :count, :place, :until)";
            let until = p.until.to_string();
            let values = named_params! {
                ":id": id, ":tree": p.tree, ":count": p.count, ":place": p.place, ":until": until,
            };
            run(conn, SQL, values)
        }
        What::Answer { entry, said } => {
            const SQL: &str = "INSERT INTO answer (id, entry, said) VALUES (:id, :entry, :said)";
            run(conn, SQL, named_params! { ":id": id, ":entry": entry.to_string(), ":said": said })
        }
        What::TieDown(tied) => add_tie_down(conn, id, tied),
        What::Crew(crew) => {
            const SQL: &str =
                "INSERT INTO crew (id, name, size, works) VALUES (:id, :name, :size, json(:works))";
            let works: Vec<&str> = crew.works.iter().map(|work| work.word()).collect();
            let works = serde_json::to_string(&works)
                .map_err(|e| rusqlite::Error::ToSqlConversionFailure(Box::new(e)))?;
            let values = named_params! { ":id": id, ":name": crew.name, ":size": crew.size, ":works": works };
            run(conn, SQL, values)
        }
        What::CrewDay(day) => add_crew_day(conn, id, day),
        What::Closed(closed) => add_closed(conn, id, closed),
        What::Weather(w) => {
            const SQL: &str = "INSERT INTO weather (id, month, chance) VALUES (:id, :month, :chance)";
            run(conn, SQL, named_params! { ":id": id, ":month": w.month, ":chance": number(w.chance) })
        }
        What::Wood(w) => {
            const SQL: &str = "INSERT INTO wood (id, name, density_kg_m3, class, durability)
                VALUES (:id, :name, :density_kg_m3, :class, :durability)";
            let values = named_params! {
                ":id": id,
                ":name": w.name,
                ":density_kg_m3": number(w.density_kg_m3),
                ":class": w.class,
                ":durability": w.durability,
            };
            run(conn, SQL, values)
        }
        What::Pull(p) => {
            const SQL: &str = "INSERT INTO pull (id, joint, cord, newtons, said, remark)
                VALUES (:id, :joint, :cord, :newtons, :said, :remark)";
            let values = named_params! {
                ":id": id,
                ":joint": p.joint.word(),
                ":cord": p.cord,
                ":newtons": number(p.newtons),
                ":said": p.said,
                ":remark": p.remark,
            };
            run(conn, SQL, values)
        }
        // The others are added where the entries of one house are.
        _ => Ok(()),
    }
}

fn add_tie_down(conn: &Connection, id: &str, tied: &TieDown) -> rusqlite::Result<()> {
    let sql = format!("INSERT INTO tie_down (id, {SECURED}) VALUES (?, ?, ?, ?, ?, ?, ?)");
    let answers = Secure::ALL.iter().map(|secure| tied.0.get(secure).copied());
    let values = std::iter::once(rusqlite::types::Value::from(id.to_owned()))
        .chain(answers.map(|yes| yes.map_or(rusqlite::types::Value::Null, |yes| i64::from(yes).into())));
    conn.prepare_cached(&sql)?.execute(rusqlite::params_from_iter(values)).map(drop)
}

fn add_crew_day(conn: &Connection, id: &str, day: &CrewDay) -> rusqlite::Result<()> {
    const SQL: &str = "INSERT INTO crew_day (id, crew, work, people, share, done, remark)
        VALUES (:id, :crew, :work, :people, :share, :done, :remark)";
    let values = named_params! {
        ":id": id,
        ":crew": day.crew,
        ":work": day.work.word(),
        ":people": day.people,
        ":share": number(day.share),
        ":done": day.done.map(number),
        ":remark": day.remark,
    };
    run(conn, SQL, values)
}

fn add_closed(conn: &Connection, id: &str, closed: &Closed) -> rusqlite::Result<()> {
    const SQL: &str = "INSERT INTO closed (id, weekday, from_day, to_day, cause)
        VALUES (:id, :weekday, :from_day, :to_day, :cause)";
    let (weekday, dates) = match closed.days {
        ClosedDays::Weekly(day) => (Some(day.number_from_monday()), None),
        ClosedDays::Dates { from, to } => (None, Some((from.to_string(), to.to_string()))),
    };
    let (from, to) = dates.unzip();
    let values = named_params! {
        ":id": id, ":weekday": weekday, ":from_day": from, ":to_day": to, ":cause": closed.cause,
    };
    run(conn, SQL, values)
}

/// Reads what an entry of one of these kinds says.
pub(super) fn said(conn: &Connection, id: &str, kind: Kind) -> rusqlite::Result<What> {
    match kind {
        Kind::Permit => one(conn, id, "SELECT tree, count, place, until FROM permit WHERE id = :id", |row| {
            let until = day(row, 3)?;
            Ok(What::Permit(Permit { tree: row.get(0)?, count: row.get(1)?, place: row.get(2)?, until }))
        }),
        Kind::Answer => one(conn, id, "SELECT entry, said FROM answer WHERE id = :id", |row| {
            Ok(What::Answer { entry: row.get::<_, Id>(0)?.0, said: row.get(1)? })
        }),
        Kind::TieDown => one(conn, id, &format!("SELECT {SECURED} FROM tie_down WHERE id = :id"), |row| {
            let mut tied = BTreeMap::new();
            for (column, secure) in Secure::ALL.iter().enumerate() {
                if let Some(yes) = row.get::<_, Option<bool>>(column)? {
                    tied.insert(*secure, yes);
                }
            }
            Ok(What::TieDown(TieDown(tied)))
        }),
        Kind::Crew => one(conn, id, "SELECT name, size, works FROM crew WHERE id = :id", |row| {
            let works: Vec<Work> = serde_json::from_str(row.get_ref(2)?.as_str()?)
                .map_err(|e| unreadable(2, format!("crew {id}: {e}").into()))?;
            Ok(What::Crew(Crew { name: row.get(0)?, size: row.get(1)?, works }))
        }),
        Kind::CrewDay => crew_day(conn, id),
        Kind::Closed => {
            one(conn, id, "SELECT weekday, from_day, to_day, cause FROM closed WHERE id = :id", |row| {
                Ok(What::Closed(Closed { days: closed_days(row)?, cause: row.get(3)? }))
            })
        }
        Kind::Weather => one(conn, id, "SELECT month, chance FROM weather WHERE id = :id", |row| {
            Ok(What::Weather(Weather { month: row.get(0)?, chance: row.get(1)? }))
        }),
        Kind::Wood => {
            one(conn, id, "SELECT name, density_kg_m3, class, durability FROM wood WHERE id = :id", |row| {
                let (name, density_kg_m3) = (row.get(0)?, row.get(1)?);
                Ok(What::Wood(Wood { name, density_kg_m3, class: row.get(2)?, durability: row.get(3)? }))
            })
        }
        Kind::Pull => {
            one(conn, id, "SELECT joint, cord, newtons, said, remark FROM pull WHERE id = :id", |row| {
                Ok(What::Pull(Pull {
                    joint: row.get::<_, Word<_>>(0)?.0,
                    cord: row.get(1)?,
                    newtons: row.get(2)?,
                    said: row.get(3)?,
                    remark: row.get(4)?,
                }))
            })
        }
        other => Err(unreadable(0, format!("entry {id} is of kind {other}").into())),
    }
}

fn crew_day(conn: &Connection, id: &str) -> rusqlite::Result<What> {
    const SQL: &str = "SELECT crew, work, people, share, done, remark FROM crew_day WHERE id = :id";
    one(conn, id, SQL, |row| {
        Ok(What::CrewDay(CrewDay {
            crew: row.get(0)?,
            work: row.get::<_, Word<_>>(1)?.0,
            people: row.get(2)?,
            share: row.get(3)?,
            done: row.get(4)?,
            remark: row.get(5)?,
        }))
    })
}

fn closed_days(row: &Row<'_>) -> rusqlite::Result<ClosedDays> {
    match row.get::<_, Option<u8>>(0)? {
        Some(number) => Weekday::try_from(number.wrapping_sub(1))
            .map(ClosedDays::Weekly)
            .map_err(|e| unreadable(0, Box::new(e))),
        None => Ok(ClosedDays::Dates { from: day(row, 1)?, to: day(row, 2)? }),
    }
}

/// A day, as 2031-06-30.
pub(super) fn day(row: &Row<'_>, column: usize) -> rusqlite::Result<NaiveDate> {
    row.get_ref(column)?.as_str()?.parse().map_err(|e| unreadable(column, Box::new(e)))
}
