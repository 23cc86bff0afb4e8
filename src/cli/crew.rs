//! `crew`: who works, how fast, and the days nobody works.

use serde_json::{Value, json};
use uuid::Uuid;

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, DaysTold, Kept, Stamp};
use crate::build::House;
use crate::build::accept::Refused;
use crate::build::days::{Evening, Site, Village, counted_in, elsewhere, list as listed};
use crate::build::draft::Draft;
use crate::build::entry::{ClosedDays, Entry, What as Written};
use crate::build::together::Together;

/// Who works, how fast, and the days nobody works.
#[derive(Debug, clap::Args)]
pub(super) struct CrewArgs {
    #[command(subcommand)]
    what: What,
}

/// The keys of `crew list --json`.
const LIST_JSON: &str = "\
JSON: {crews: [{name, size, works, assumed, seen: {house, work, day} | null}],
  rates: [{work, counted_in, per_person_day, usual, spread, days, person_days, learnt, odd}],
  closed: [{weekday} | {from, to}, each with why], weather: [{month, chance}],
  assumed: [sentences]}";

/// What a day does to a rate, and the keys of `crew day --json`.
const DAY_JSON: &str = "\
A day counts three times the rate known before it at the most, a third of it at the
least; ten times it or more is kept only with a remark that says why. So is a day past
the people of a crew that was told for that date before.
JSON: {id, says: [sentences], tell_too: a command, or null}
  tell_too puts what was done in the stores or the rows; the day alone does not";

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Name a crew, or say anew how many it is and what it does
    Add {
        /// What it is called
        name: String,
        /// How many people
        #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
        size: String,
        /// What it does, as weaving,thatching; without it, anything but weaving
        #[arg(long = "for", value_name = "WORKS", default_value = "", hide_default_value = true)]
        works: String,
    },
    /// Say that a crew is no more
    End {
        /// What it was called
        name: String,
    },
    /// Tell what people did at a house on a day; the rates are learnt from it
    #[command(after_help = DAY_JSON)]
    Day {
        /// The house
        house: String,
        /// The crew
        #[arg(long, value_name = "NAME")]
        crew: String,
        /// set-out, digging, posts, beams, frame, raising, weaving, thatching, capping, cutting, other
        #[arg(long, value_name = "WORK")]
        work: String,
        /// How many people
        #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
        people: String,
        /// How much of the day, 0.01 to 1: 0.5 is half of it; without it, the whole day
        #[arg(
            long,
            value_name = "SHARE",
            default_value = "",
            hide_default_value = true,
            allow_hyphen_values = true
        )]
        share: String,
        /// How much was done: holes, posts, panels …
        #[arg(
            long,
            value_name = "NUMBER",
            default_value = "",
            hide_default_value = true,
            allow_hyphen_values = true
        )]
        done: String,
        /// Anything else worth telling; the reason, where far more was done than usual
        #[arg(long, default_value = "", hide_default_value = true)]
        remark: String,
    },
    /// Say on which day of every week nobody works
    Rest {
        /// The day: sunday
        #[arg(long, value_name = "DAY")]
        weekday: String,
        /// Why nobody works
        #[arg(long, default_value = "", hide_default_value = true)]
        why: String,
    },
    /// Say on which days nobody works
    Closed {
        /// The first day, as 2030-12-24
        #[arg(long, value_name = "DAY")]
        from: String,
        /// The last day; without it, the first alone
        #[arg(long, value_name = "DAY", default_value = "", hide_default_value = true)]
        to: String,
        /// Why nobody works
        #[arg(long, default_value = "", hide_default_value = true)]
        why: String,
    },
    /// Say how likely a day of a month is lost to weather
    Weather {
        /// The month: 1 to 12
        #[arg(long, value_name = "MONTH", allow_hyphen_values = true)]
        month: String,
        /// The share of its days that is lost, 0 to 0.95: 0.3 is three of ten
        #[arg(long, value_name = "CHANCE", allow_hyphen_values = true)]
        chance: String,
    },
    /// The crews, the rates and how far they are learnt, the closed days
    #[command(after_help = LIST_JSON)]
    List,
}

impl CrewArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        if matches!(self.what, What::List) {
            return list(scribe);
        }
        let mut book = scribe.open()?;
        let evening = book.evening(scribe.stamp.at)?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        match kept.house {
            Some(id) => day_kept(&book, kept, id, &evening, scribe),
            None => Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new())),
        }
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let mut house = None;
        let together = match &self.what {
            What::Add { name, size, works } => {
                Together::Crew { name: name.clone(), size: size.clone(), works: works.clone() }
            }
            What::End { name } => {
                known(book, name)?;
                Together::CrewEnd { name: name.clone() }
            }
            What::Day { house: said, crew, work, people, share, done, remark } => {
                house = Some(book.house_named(said)?);
                Together::CrewDay {
                    crew: crew.clone(),
                    work: work.clone(),
                    people: people.clone(),
                    share: share.clone(),
                    done: done.clone(),
                    remark: remark.clone(),
                }
            }
            What::Rest { weekday, why } => Together::Rest { weekday: weekday.clone(), why: why.clone() },
            What::Closed { from, to, why } => {
                Together::Closed { from: from.clone(), to: to.clone(), why: why.clone() }
            }
            What::Weather { month, chance } => {
                Together::Weather { month: month.clone(), chance: chance.clone() }
            }
            What::List => return Err(CliError::Usage("crew list records nothing; leave it out".to_owned())),
        };
        Ok(book.keep_draft(house, &Draft::Together(together), stamp)?)
    }
}

/// What is worth telling of a crew's day that was kept.
fn day_kept(
    book: &Book,
    kept: Kept,
    house: Uuid,
    evening: &Evening,
    scribe: &Scribe,
) -> Result<Said, CliError> {
    let Entry { what: Written::CrewDay(day), .. } = book.entry(&kept.entry.to_string())? else {
        return Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new()));
    };
    let house = House::of(house, &book.entries_of(Some(house))?)?;
    let at = scribe.stamp.at;
    let site = Site {
        name: house.name.clone(),
        held: house.held_at(at).map(|held| held.told(at)),
        handed_over: house.is_handed_over(),
    };
    let mut says: Vec<String> = kept.again.iter().map(|again| format!("{}.", again.told())).collect();
    says.extend(evening.says(&day, &site));
    let too = elsewhere(&day, &house.name).map(|to| format!("spanwright {}", to.command));
    let more = json!({ "says": says, "tell_too": too });
    says.extend(too.map(|too| format!("The rates learn from it; the stores and the rows do not: {too}")));
    Ok(Said::kept(scribe.json, kept, more, says))
}

/// Refuses the end of a crew that there is not.
fn known(book: &Book, name: &str) -> Result<(), CliError> {
    let village = Village::of(&book.entries_of(None)?);
    if village.crew(name.trim()).is_some() {
        return Ok(());
    }
    let names: Vec<&str> = village.crews.iter().map(|crew| crew.name.as_str()).collect();
    let why = match names.as_slice() {
        [] => format!("no crew is called \"{name}\"; none is named yet"),
        names => format!("no crew is called \"{name}\"; there are {}", names.join(", ")),
    };
    Err(CliError::Refused(vec![Refused { field: "name", why }]))
}

fn list(scribe: &Scribe) -> Result<Said, CliError> {
    let asked = scribe.open_to_tell()?.days(scribe.stamp.now)?;
    let today = scribe.stamp.now.date_naive();
    let told = match asked.plan() {
        Ok(told) => told,
        // Where no day is worked, one must see which days are closed.
        Err(why) if scribe.json => {
            return Ok(Said::Json(json!({ "closed": closed_json(asked.village()), "why": why.to_string() })));
        }
        Err(why) => {
            let mut lines = listed::village(asked.village(), today);
            lines.push(format!("! {why}: spanwright log lists them"));
            return Ok(Said::Lines(lines));
        }
    };
    if scribe.json {
        return Ok(Said::Json(as_json(&told)));
    }
    let days = &told.now;
    let mut lines: Vec<String> = days.crews.iter().map(|now| listed::crew(now, today)).collect();
    lines.push(String::new());
    lines.push("What a person does in a day (and the usual, where another was learnt):".to_owned());
    let rows: Vec<Vec<String>> = listed::rates(&days.rates).into_iter().map(Vec::from).collect();
    lines.extend(lined_up("  ", &[Side::Left, Side::Left, Side::Left], &rows));
    lines.extend(listed::any_odd(&days.rates).then(|| listed::ODD.to_owned()));
    lines.push(String::new());
    lines.extend(listed::village(&told.village, today));
    lines.extend(days.assumed.iter().cloned());
    Ok(Said::Lines(lines))
}

fn as_json(told: &DaysTold) -> Value {
    let (days, village) = (&told.now, &told.village);
    let crews = days.crews.iter().map(|now| {
        let seen =
            now.seen.as_ref().map(|(house, work, day)| json!({ "house": house, "work": work, "day": day }));
        json!({
            "name": now.crew.name, "size": now.crew.size, "works": now.crew.works,
            "assumed": now.assumed, "seen": seen,
        })
    });
    let rates = days.rates.all().map(|rate| {
        json!({
            "work": rate.work,
            "counted_in": counted_in(rate.work),
            "per_person_day": rate.per_person_day,
            "usual": crate::build::days::usual(rate.work),
            "spread": rate.spread,
            "days": rate.days,
            "person_days": rate.person_days,
            "learnt": rate.learnt(),
            "odd": rate.odd,
        })
    });
    let weather = (1..)
        .zip(village.weather)
        .filter_map(|(month, chance): (u32, _)| Some(json!({ "month": month, "chance": chance? })));
    json!({
        "crews": crews.collect::<Vec<_>>(),
        "rates": rates.collect::<Vec<_>>(),
        "closed": closed_json(village),
        "weather": weather.collect::<Vec<_>>(),
        "assumed": days.assumed,
    })
}

fn closed_json(village: &Village) -> Value {
    let closed = village.closed.iter().map(|closed| match closed.days {
        ClosedDays::Weekly(day) => {
            json!({ "weekday": listed::weekday(day).to_lowercase(), "why": closed.cause })
        }
        ClosedDays::Dates { from, to } => json!({ "from": from, "to": to, "why": closed.cause }),
    });
    closed.collect()
}
