//! A crew's day as it is told in the evening: what it is looked at against
//! before it is kept, and what the builder is told of it.

use chrono::NaiveDate;

use super::HouseDays;
use super::dated::{Again, Dated};
use super::left::Stop;
use super::plan::WITHOUT_CREWS;
use super::rates::{Done, Rate, Rates, counted_in};
use super::village::{Village, does, same};
use crate::build::accept::{Refused, gives_no_reason, refuse, told};
use crate::build::entry::{Crew, CrewDay, Entry, Moment, Work};
use crate::build::telling::{people, typed};

/// How many times what is known a person may do in a day without a word of
/// why (common practice, no source).
pub const BEYOND_BELIEF: f64 = 10.0;

/// What a crew's day is looked at against.
#[derive(Debug, Clone, PartialEq)]
pub struct Evening {
    crews: Vec<Crew>,
    rates: Rates,
}

/// The house a crew was at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// What people call it.
    pub name: String,
    /// How it is held, in a few words, where it is.
    pub held: Option<String>,
    /// Whether it is handed over.
    pub handed_over: bool,
}

impl Site {
    /// A house of the plan of the days, on a day.
    #[must_use]
    pub fn of(house: &HouseDays, today: NaiveDate) -> Self {
        let on = |stop: &&Stop| {
            let (from, to) = stop.days();
            from <= today && to.is_none_or(|to| today < to)
        };
        let held = house.stops.iter().rev().find(on).map(|stop| format!("held: {}", stop.cause));
        Self { name: house.name.clone(), held, handed_over: house.handed_over }
    }
}

/// Where what was done is told, beside the day of the crew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Elsewhere {
    /// The command.
    pub command: String,
    /// The same by keys, at the house.
    pub keys: &'static str,
}

impl Evening {
    /// As it was at a moment: the crews of then and of now, and the rates that
    /// follow from the days told up to then.
    #[must_use]
    pub fn at<'d>(at: Moment, together: &[Entry], days: impl Iterator<Item = &'d Done>) -> Self {
        let then: Vec<Entry> = together.iter().filter(|e| e.happened <= at).cloned().collect();
        let mut crews = Village::of(&then).crews;
        for crew in Village::of(together).crews {
            if !crews.iter().any(|known| same(&known.name, &crew.name)) {
                crews.push(crew);
            }
        }
        Self { crews, rates: Rates::of(days.filter(|day| day.at <= at)) }
    }

    /// With these crews and rates.
    #[must_use]
    pub fn with(village: &Village, rates: &Rates) -> Self {
        Self { crews: village.crews.clone(), rates: rates.clone() }
    }

    /// A day as it may be kept, its crew called as it is called, and that the
    /// crew was told for that date before.
    ///
    /// # Errors
    /// A day to come, or before the house was started; a crew that nobody
    /// named; where no remark says why, more people than the crew is on a date
    /// for which it was told before, and far more done than people do.
    pub fn look_at(&self, mut day: CrewDay, dated: &Dated) -> Result<(CrewDay, Option<Again>), Refused> {
        dated.may_be_told()?;
        let (crew, size) = self.called(&day.crew, day.work)?;
        day.crew = crew;
        let again = dated.again(&day.crew, size);
        if gives_no_reason(&day.remark) {
            if let Some(again) = again.as_ref().filter(|again| again.is_too_many_with(person_days(&day))) {
                let why =
                    format!("{}; strike what is wrong, or write the reason as the remark", again.told());
                return refuse("people", why);
            }
            self.is_believed(&day)?;
        }
        Ok((day, again))
    }

    /// Refuses far more done than people do.
    fn is_believed(&self, day: &CrewDay) -> Result<(), Refused> {
        let each = each(day).zip(self.rates.rate(day.work));
        let Some((each, rate)) = each.filter(|(each, rate)| *each >= BEYOND_BELIEF * rate.per_person_day)
        else {
            return Ok(());
        };
        let why = format!(
            "{} {} by {} in {}is {} each, {:.0} times the {} that are known; look at the number, or \
             write the reason as the remark",
            told(day.done.unwrap_or_default()),
            counted_in(day.work),
            people(day.people),
            if day.share < 1.0 { format!("{} of a day ", day.share) } else { "a day ".to_owned() },
            told(each),
            each / rate.per_person_day,
            told(rate.per_person_day),
        );
        refuse("done", why)
    }

    fn crew(&self, name: &str) -> Option<&Crew> {
        self.crews.iter().find(|crew| same(&crew.name, name))
    }

    /// What a crew is called and how many it is. Where nobody is named for a
    /// work, those who are taken for granted are known too.
    fn called(&self, name: &str, work: Work) -> Result<(String, u32), Refused> {
        if let Some(crew) = self.crew(name) {
            return Ok((crew.name.clone(), crew.size));
        }
        let mut known: Vec<(&str, u32)> =
            self.crews.iter().map(|crew| (crew.name.as_str(), crew.size)).collect();
        if !self.crews.iter().any(|crew| does(crew, work)) {
            known.extend(WITHOUT_CREWS.iter().map(|(name, size, _)| (*name, *size)));
        }
        if let Some((taken, size)) = known.iter().find(|(known, _)| same(known, name)) {
            return Ok(((*taken).to_owned(), *size));
        }
        let said = name.to_lowercase();
        let likeness = |known: &str| strsim::jaro_winkler(&said, &known.to_lowercase());
        known.sort_by(|(a, _), (b, _)| likeness(b).total_cmp(&likeness(a)));
        let there = known.into_iter().map(|(name, _)| name).collect::<Vec<_>>().join(", ");
        refuse(
            "crew",
            format!("no crew is called \"{name}\"; there are {there}; name it first, or one of these"),
        )
    }

    /// What is worth telling of a day that was kept, in sentences.
    #[must_use]
    pub fn says(&self, day: &CrewDay, site: &Site) -> Vec<String> {
        let mut says = Vec::new();
        if let Some(crew) = self.crew(&day.crew).filter(|crew| crew.size < day.people) {
            says.push(format!("Crew {} is {}; {} were told.", crew.name, people(crew.size), day.people));
        }
        if let Some(held) = &site.held {
            says.push(format!("{} is {held}.", site.name));
        }
        if site.handed_over {
            says.push(format!("{} is handed over.", site.name));
        }
        says.extend(each(day).zip(self.rates.rate(day.work)).and_then(|(each, rate)| odd(each, rate)));
        says
    }
}

/// People times their share of the day.
fn person_days(day: &CrewDay) -> f64 {
    f64::from(day.people) * day.share
}

/// What each person did, were it a whole day.
fn each(day: &CrewDay) -> Option<f64> {
    day.done.map(|done| done / person_days(day))
}

/// That a day counts otherwise than it was told.
fn odd(each: f64, rate: &Rate) -> Option<String> {
    let counted = rate.counted(each);
    let (far, times) = if counted < each { ("more", "three times that") } else { ("less", "a third of it") };
    (counted != each).then(|| match counted_in(rate.work) {
        // What a person does of a house in a day is a number nobody has in mind.
        "houses" => format!("That is far {far} of {} than is known: it counts as {times}.", rate.work),
        unit => {
            let (each, known, counted) = (told(each), told(rate.per_person_day), told(counted));
            format!("{each} {unit} each where {known} are known: it counts as {times}, {counted}.")
        }
    })
}

/// Where what was done is told too: of a crew's day the rates learn, and the
/// stores and the rows do not. None where nothing was counted, or not a whole
/// one of what is tallied whole.
#[must_use]
pub fn elsewhere(day: &CrewDay, house: &str) -> Option<Elsewhere> {
    let done = day.done.filter(|done| *done > 0.0)?;
    let whole = || Some(done.floor()).filter(|whole| *whole >= 1.0);
    let at = typed(house)?;
    let (command, keys) = match day.work {
        Work::Weaving => {
            (format!("tally --as woven {at} panel {}", whole()?), "t there tallies panels woven")
        }
        Work::Thatching => {
            whole()?;
            (format!("laid {at} ab"), "+ there, at the rows of a slope, lays a row")
        }
        Work::Cutting => (format!("tally --as cut {at} pole {}", whole()?), "t there tallies poles cut"),
        work => (format!("read {at} {} …", read_first(work)?), "what stands is read there"),
    };
    Some(Elsewhere { command, keys })
}

/// A point that is read where a work was done.
const fn read_first(work: Work) -> Option<&'static str> {
    Some(match work {
        Work::SetOut => "set-out/ab",
        Work::Digging => "posts/A/depth",
        Work::Posts => "posts/A/plumb-along",
        Work::Beams => "beams/beam-1/turns",
        Work::Frame => "roof-frame/rafters",
        Work::Raising => "ridge/rafters/turns",
        Work::Capping => "cap/caps",
        Work::Weaving | Work::Thatching | Work::Cutting | Work::Other => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::accept;
    use crate::build::entry::What;
    use crate::build::trial::Trial;

    fn day(crew: &str, work: Work, people: u32, done: f64) -> CrewDay {
        let (crew, remark) = (crew.to_owned(), String::new());
        CrewDay { crew, work, people, share: 1.0, done: Some(done), remark }
    }

    fn evening(crews: &[(&str, u32, Work)]) -> Evening {
        let crew = |(name, size, work): &(&str, u32, Work)| Crew {
            name: (*name).to_owned(),
            size: *size,
            works: vec![*work],
        };
        let village = Village { crews: crews.iter().map(crew).collect(), ..Village::default() };
        Evening::with(&village, &Rates::of([].iter()))
    }

    fn moment(text: &str) -> Moment {
        text.parse().unwrap()
    }

    /// The evening of 14 Oct, at a house started four days before.
    fn dated(before: &[(&str, f64)]) -> Dated {
        let now = moment("2030-10-14T17:00:00+10:00");
        let before = before.iter().map(|(crew, people)| ((*crew).to_owned(), *people)).collect();
        Dated { at: now, now, started: moment("2030-10-10T08:00:00+10:00"), before }
    }

    /// As it is kept for a date for which nothing was told before.
    fn kept(known: &Evening, day: CrewDay) -> Result<CrewDay, Refused> {
        known.look_at(day, &dated(&[])).map(|(day, _)| day)
    }

    fn site() -> Site {
        Site { name: "Tern house".to_owned(), held: None, handed_over: false }
    }

    #[test]
    fn a_crew_nobody_named_is_refused_with_the_nearest_name_first() {
        let known = evening(&[("Lee crew", 6, Work::Weaving), ("Reef", 4, Work::Weaving)]);
        let refused = kept(&known, day("Reaf", Work::Weaving, 4, 60.0)).unwrap_err();
        assert_eq!(refused.field, "crew");
        assert!(
            refused.why.contains("no crew is called \"Reaf\"; there are Reef, Lee crew;"),
            "{}",
            refused.why
        );
        assert_eq!(kept(&known, day("reef", Work::Weaving, 4, 60.0)).unwrap().crew, "Reef");
    }

    #[test]
    fn those_who_are_taken_for_granted_are_known_until_somebody_is_named() {
        let known = evening(&[("Reef", 4, Work::Weaving)]);
        assert!(kept(&known, day("builders", Work::Posts, 4, 3.0)).is_ok());
        assert!(kept(&known, day("weavers", Work::Weaving, 3, 45.0)).is_err());
    }

    #[test]
    fn ten_times_what_is_known_is_kept_only_with_a_reason() {
        let known = evening(&[("Reef", 6, Work::Weaving)]);
        let far = day("Reef", Work::Weaving, 6, 900.0);
        let refused = kept(&known, far.clone()).unwrap_err();
        let says = "900 panels by 6 people in a day is 150 each, 10 times the 15 that are known";
        assert!(refused.field == "done" && refused.why.contains(says), "{}", refused.why);
        let half = CrewDay { people: 1, share: 0.5, done: Some(80.0), ..far.clone() };
        let refused = kept(&known, half).unwrap_err();
        assert!(refused.why.contains("by 1 person in 0.5 of a day is 160 each"), "{}", refused.why);
        let reason = CrewDay { remark: "from the school".to_owned(), ..far };
        let reason = kept(&known, reason).unwrap();
        assert_eq!(
            known.says(&reason, &site()),
            ["150 panels each where 15 are known: it counts as three times that, 45."]
        );
        assert!(kept(&known, day("Reef", Work::Weaving, 6, 899.0)).is_ok());
    }

    #[test]
    fn a_crew_told_again_for_a_date_past_its_people_is_kept_only_with_a_reason() {
        let known = evening(&[("Reef", 4, Work::Weaving)]);
        let whole = day("Reef", Work::Weaving, 4, 8.0);
        let half = CrewDay { share: 0.5, ..whole.clone() };
        let first = dated(&[]);
        assert_eq!(known.look_at(whole.clone(), &first).unwrap().1, None);
        let after_half = dated(&[("reef", 2.0), ("Lee crew", 6.0)]);
        let (_, again) = known.look_at(half.clone(), &after_half).unwrap();
        assert_eq!(again.unwrap().told(), "Reef was told for 14 Oct already: 2 of 4 people");
        let after_whole = dated(&[("Reef", 2.0), ("Reef", 2.0)]);
        for (told, remark) in [(&whole, ""), (&half, " "), (&half, "."), (&half, " … ! ")] {
            let refused = known
                .look_at(CrewDay { remark: remark.to_owned(), ..told.clone() }, &after_whole)
                .unwrap_err();
            let says = "Reef was told for 14 Oct already: 4 of 4 people; strike what is wrong, or write";
            assert!(refused.field == "people" && refused.why.starts_with(says), "{}", refused.why);
        }
        let (_, again) =
            known.look_at(CrewDay { remark: "by torchlight".to_owned(), ..half }, &after_whole).unwrap();
        assert_eq!(again.unwrap().told(), "Reef was told for 14 Oct already: 4 of 4 people");
    }

    #[test]
    fn thirds_of_a_day_make_one_day() {
        let known = evening(&[("Reef", 4, Work::Weaving)]);
        let third = CrewDay { share: 0.34, ..day("Reef", Work::Weaving, 4, 8.0) };
        let before = dated(&[("Reef", 4.0 * 0.33), ("Reef", 4.0 * 0.33)]);
        assert!(known.look_at(third, &before).is_ok());
        let taken = evening(&[]).look_at(day("weavers", Work::Weaving, 3, 8.0), &dated(&[("weavers", 0.1)]));
        assert_eq!(taken.unwrap_err().field, "people", "those who are taken for granted are three");
    }

    #[test]
    fn a_day_to_come_or_before_the_house_was_started_is_refused() {
        let known = evening(&[("Reef", 4, Work::Weaving)]);
        let told_for = |at: &str| {
            known.look_at(day("Reef", Work::Weaving, 4, 8.0), &Dated { at: moment(at), ..dated(&[]) })
        };
        for at in ["2030-10-14T23:00:00+10:00", "2030-10-10T07:00:00+10:00", "2030-10-12T17:00:00-06:00"] {
            assert!(told_for(at).is_ok(), "{at}");
        }
        for (at, says) in [
            ("2030-11-14T17:00:00+10:00", "2030-11-14 is still to come"),
            ("2030-10-15T00:30:00+10:00", "2030-10-15 is still to come"),
            ("2030-10-09T17:00:00+10:00", "2030-10-09 is before 2030-10-10, the day the house was started"),
        ] {
            let refused = told_for(at).unwrap_err();
            assert!(refused.field == "at" && refused.why.starts_with(says), "{}", refused.why);
        }
    }

    #[test]
    fn a_clock_that_was_never_set_is_no_witness_of_the_day() {
        let known = evening(&[("Reef", 4, Work::Weaving)]);
        let now = moment("1970-01-01T00:10:00+00:00");
        let unset = Dated { at: now, now, ..dated(&[("Reef", 4.0)]) };
        let (_, again) = known.look_at(day("Reef", Work::Weaving, 4, 8.0), &unset).unwrap();
        assert_eq!(again, None);
        let told_for = |at: &str| {
            known.look_at(day("Reef", Work::Weaving, 4, 8.0), &Dated { at: moment(at), now, ..dated(&[]) })
        };
        assert!(told_for("2030-10-14T17:00:00+10:00").is_ok());
        assert_eq!(told_for("1900-01-01T17:00:00+10:00").unwrap_err().field, "at");
    }

    #[test]
    fn more_people_than_a_crew_has_and_a_house_that_is_no_site_are_told() {
        let known = evening(&[("Reef", 1, Work::Weaving)]);
        let day = day("Reef", Work::Weaving, 4, 60.0);
        assert_eq!(known.says(&day, &site()), ["Crew Reef is 1 person; 4 were told."]);
        let held = Site { held: Some("held: storm, day 3".to_owned()), ..site() };
        assert_eq!(
            known.says(&CrewDay { people: 1, done: None, ..day.clone() }, &held),
            ["Tern house is held: storm, day 3."]
        );
        let over = Site { handed_over: true, ..site() };
        assert_eq!(
            known.says(&CrewDay { people: 1, done: None, ..day }, &over),
            ["Tern house is handed over."]
        );
    }

    #[test]
    fn little_of_a_house_is_told_without_a_number_of_houses() {
        let known = evening(&[("Lee crew", 4, Work::SetOut)]);
        let says = known.says(&day("Lee crew", Work::SetOut, 4, 0.3), &site());
        assert_eq!(says, ["That is far less of set-out than is known: it counts as a third of it."]);
    }

    #[test]
    fn a_crew_that_has_ended_since_is_known_of_the_days_before() {
        let at = |day: u32| -> Moment { format!("2030-10-{day:02}T17:00:00+10:00").parse().unwrap() };
        let said = |n: u32, size: u32| Entry {
            id: uuid::Uuid::from_u128(n.into()),
            house: None,
            happened: at(n),
            written: at(n),
            by: "Oru".to_owned(),
            what: What::Crew(Crew { name: "Reef".to_owned(), size, works: vec![Work::Weaving] }),
        };
        let told = [said(10, 4), said(14, 0)];
        let told_of = |on| kept(&Evening::at(at(on), &told, [].iter()), day("Reef", Work::Weaving, 4, 60.0));
        assert!(told_of(12).is_ok() && told_of(15).is_err());
        assert!(
            kept(&Evening::at(at(9), &told[..1], [].iter()), day("Reef", Work::Weaving, 4, 60.0)).is_ok()
        );
    }

    #[test]
    fn where_what_was_done_is_told_can_be_typed() {
        let house = Trial::new("Tern house").house();
        for work in Work::ALL {
            let Some(to) = elsewhere(&day("Reef", *work, 4, 8.0), "Tern house") else {
                assert_eq!(*work, Work::Other);
                continue;
            };
            if let Some(point) = read_first(*work) {
                assert!(accept::point(&house, point).is_ok(), "{point}");
                assert!(to.command.contains(point), "{}", to.command);
            }
        }
        let woven = |done, house| elsewhere(&day("Reef", Work::Weaving, 4, done), house);
        for done in [60.0, 60.5, 60.999] {
            let to = woven(done, "Tern house").unwrap();
            assert_eq!(to.command, "tally --as woven 'Tern house' panel 60");
        }
        assert_eq!(woven(1_000_000.0, "Tern").unwrap().command, "tally --as woven Tern panel 1000000");
        for done in [0.0, 0.001, 0.999] {
            assert_eq!(woven(done, "Tern house"), None, "{done}");
        }
        for work in [Work::Thatching, Work::Cutting] {
            assert_eq!(elsewhere(&day("Reef", work, 4, 0.5), "Tern house"), None);
        }
        assert!(elsewhere(&day("Reef", Work::Raising, 4, 0.5), "Tern house").is_some());
    }
}
