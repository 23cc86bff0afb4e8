//! Thatch as it goes: how fast rows go up and panels are woven, and on which
//! day the panels run out.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use super::bands;
use super::entry::{Entry, How, Item, What};
use super::held;
use super::house::{House, StageNow};
use super::readings::Readings;
use super::stages::thatch;
use super::worked::Worked;

/// The days of the thatchers and of the weavers, as far as they are written.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Laying {
    /// The days on which more rows were read than before, or panels used.
    pub laid_on: BTreeSet<NaiveDate>,
    /// The days on which panels were woven.
    pub woven_on: BTreeSet<NaiveDate>,
    /// The panels woven on them.
    pub woven: f64,
}

impl Laying {
    /// Takes an entry that was not struck; `before` is how many rows lay on
    /// each slope before it.
    pub(super) fn take(&mut self, entry: &Entry, before: [u32; 2]) {
        let day = entry.happened.date_naive();
        match &entry.what {
            What::Reading(r) => {
                let before = thatch::slope(&r.point).and_then(|slope| before.get(slope));
                if before.is_some_and(|rows| r.value.number() > f64::from(*rows)) {
                    self.laid_on.insert(day);
                }
            }
            What::Tally(t) if (t.item, t.how) == (Item::Panel, How::Used) => {
                self.laid_on.insert(day);
            }
            What::Tally(t) if (t.item, t.how) == (Item::Panel, How::Woven) => {
                self.woven_on.insert(day);
                self.woven += t.count;
            }
            _ => {}
        }
    }
}

/// So many panels on so many days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Panels.
    pub panels: f64,
    /// Days on which something was done, at least 1.
    pub days: usize,
}

impl Rate {
    fn of(panels: f64, days: &BTreeSet<NaiveDate>) -> Option<Self> {
        (panels > 0.0 && !days.is_empty()).then_some(Self { panels, days: days.len() })
    }

    /// Panels a day.
    #[must_use]
    pub fn per_day(&self) -> f64 {
        self.panels / self.days as f64
    }
}

/// How the thatch of a house goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Going {
    /// Rows on the a-b and on the c-d slope, as read last.
    pub rows: [u32; 2],
    /// The panels of those rows.
    pub laid: u32,
    /// The panels that are still to be laid, those torn off since with them.
    pub left: u32,
    /// Panels on hand.
    pub on_hand: f64,
    /// How fast they are laid. Panels tallied as used may be ahead of the rows
    /// that were read: the larger counts.
    pub laying: Option<Rate>,
    /// How fast they are woven.
    pub weaving: Option<Rate>,
}

impl Going {
    /// How the thatch of a house goes.
    #[must_use]
    pub fn of(house: &House) -> Self {
        let (rows, laid) = laid(&house.worked, &house.readings);
        let heap = house.heaps.get(&Item::Panel).copied().unwrap_or_default();
        let days = &house.laying;
        // Panels are whole, and a roof takes no more than a million.
        let lie = house.torn.lying(&house.worked, &house.readings, Item::Panel).unwrap_or(0.0) as u32;
        Self {
            rows,
            laid,
            left: house.worked.roof_panels().saturating_sub(lie),
            on_hand: heap.on_hand.max(0.0),
            laying: Rate::of(heap.used.max(f64::from(laid)), &days.laid_on),
            weaving: Rate::of(days.woven, &days.woven_on),
        }
    }

    /// When the panels run out if every day from `today` on is worked.
    #[must_use]
    pub fn outlook(&self, today: NaiveDate) -> Outlook {
        let Some(laying) = self.laying else { return Outlook::Unknown };
        let woven = self.weaving.map_or(0.0, |rate| rate.per_day());
        outlook(self.on_hand, f64::from(self.left), laying.per_day(), woven, today)
    }
}

/// Rows on the a-b and on the c-d slope as read last, and their panels.
pub(super) fn laid(worked: &Worked, readings: &Readings) -> ([u32; 2], u32) {
    let rows = thatch::rows_read(readings).map(Option::unwrap_or_default);
    (rows, panels(worked, rows))
}

/// The panels of the lowest rows of the a-b and of the c-d slope.
pub(super) fn panels(worked: &Worked, rows: [u32; 2]) -> u32 {
    worked.slopes.iter().zip(rows).map(|(slope, rows)| bands::panels_of(slope, rows)).sum()
}

/// What becomes of the panels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlook {
    /// Nobody knows yet: nothing was laid.
    Unknown,
    /// They last to the ridge.
    Lasts,
    /// They run out: from this day on, the thatchers wait for the weavers.
    RunsOut(NaiveDate),
}

/// When panels run out: `on_hand` of them, `left` to be laid, so many laid and
/// woven on each day from `today` on, `today` being the first.
#[must_use]
pub fn outlook(on_hand: f64, left: f64, laid_a_day: f64, woven_a_day: f64, today: NaiveDate) -> Outlook {
    let fewer_a_day = laid_a_day - woven_a_day;
    // The days that what is on hand lasts, and those until the ridge.
    let (lasts, needed) = (on_hand / fewer_a_day, left / laid_a_day);
    if left <= on_hand || fewer_a_day <= 0.0 || lasts >= needed {
        return Outlook::Lasts;
    }
    // A day on which there is not enough for all of it is the one.
    today.checked_add_days(Days::new((lasts + 1e-9) as u64)).map_or(Outlook::Lasts, Outlook::RunsOut)
}

/// What is told of the thatch at its stage, as of a day; nothing at others.
#[must_use]
pub fn told(house: &House, now: &StageNow, today: NaiveDate) -> Vec<String> {
    if now.stage.id != thatch::STAGE.id {
        return Vec::new();
    }
    let going = Going::of(house);
    let days = |n: usize| if n == 1 { "1 day".to_owned() } else { format!("{n} days") };
    let mut told = Vec::new();
    if let Some(laying) = going.laying {
        let rows = f64::from(going.rows[0] + going.rows[1]) / laying.days as f64;
        let rows = if rows > 0.0 { format!("{rows:.1} rows, ") } else { String::new() };
        told.push(format!("So far {rows}{:.0} panels a day on {}.", laying.per_day(), days(laying.days)));
    }
    if let Some(weaving) = going.weaving {
        told.push(format!("{:.0} woven a day on {}.", weaving.per_day(), days(weaving.days)));
    }
    if !held::is_open_on(&house.holds, today)
        && let Outlook::RunsOut(day) = going.outlook(today)
    {
        let weaving = if going.weaving.is_some() { "" } else { " with none woven" };
        let (on_hand, left, day) = (going.on_hand, going.left, day.format("%-d %b"));
        told.push(if on_hand < 1.0 {
            format!("No panel on hand, {left} to lay.")
        } else {
            format!("{on_hand:.0} on hand, {left} to lay: at this rate{weaving} they run out on {day}.")
        });
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::trial::Trial;
    use crate::build::verdict::Verdict;

    fn day(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2030, 10, day).unwrap()
    }

    fn changed(trial: Trial, field: &str, text: &str) -> Trial {
        trial.draft(&Draft::Brief { changes: vec![(field.to_owned(), text.to_owned())] })
    }

    fn tally(trial: Trial, count: &str, how: &str) -> Trial {
        trial.draft(&Draft::tally("panel", count, how))
    }

    /// Kind and rows of each band of both slopes.
    fn laid(house: &House) -> [Vec<(&'static str, u32)>; 2] {
        house.worked.slopes.each_ref().map(|bands| bands.iter().map(|b| (b.way.kind.id, b.rows)).collect())
    }

    fn target(house: &House, point: &str) -> f64 {
        house.stage("thatch").unwrap().point(point).unwrap().point.goal.target().unwrap()
    }

    /// Source: by hand. 60 on hand, 20 laid a day: three whole days, so that
    /// the fourth has none; with 50 the third day comes short.
    #[test]
    fn panels_run_out_on_the_first_day_that_comes_short() {
        assert_eq!(outlook(60.0, 400.0, 20.0, 0.0, day(14)), Outlook::RunsOut(day(17)));
        assert_eq!(outlook(50.0, 400.0, 20.0, 0.0, day(14)), Outlook::RunsOut(day(16)));
        assert_eq!(outlook(0.0, 400.0, 20.0, 0.0, day(14)), Outlook::RunsOut(day(14)));
        // 15 woven a day stretch 50 over ten days.
        assert_eq!(outlook(50.0, 400.0, 20.0, 15.0, day(14)), Outlook::RunsOut(day(24)));
    }

    #[test]
    fn weavers_who_keep_up_or_a_roof_soon_done_run_out_of_nothing() {
        assert_eq!(outlook(0.0, 400.0, 20.0, 20.0, day(14)), Outlook::Lasts);
        assert_eq!(outlook(50.0, 50.0, 20.0, 0.0, day(14)), Outlook::Lasts);
        assert_eq!(outlook(50.0, 190.0, 20.0, 15.0, day(14)), Outlook::Lasts);
        assert_eq!(outlook(0.0, 0.0, 20.0, 0.0, day(14)), Outlook::Lasts);
    }

    #[test]
    fn the_rate_goes_by_the_days_on_which_something_was_laid() {
        let trial = tally(tally(Trial::new("Tern house"), "90", "woven"), "80", "used");
        let house = trial.read("thatch/rows-ab", "4").read("thatch/rows-cd", "4").house();
        let going = Going::of(&house);
        let per_row = house.worked.slopes[0][0].panels_per_row;
        assert_eq!((going.rows, going.laid), ([4, 4], 8 * per_row));
        assert_eq!(going.left, house.worked.roof_panels() - 8 * per_row);
        assert_eq!(going.laying, Some(Rate { panels: 80.0, days: 1 }));
        assert_eq!(going.weaving, Some(Rate { panels: 90.0, days: 1 }));
        assert_eq!(going.outlook(day(15)), Outlook::Lasts, "90 woven a day are more than 80");
        let told = told(&house, house.stage("thatch").unwrap(), day(15));
        assert_eq!(told, ["So far 8.0 rows, 80 panels a day on 1 day.", "90 woven a day on 1 day."]);
        assert!(super::told(&house, house.stage("cap").unwrap(), day(15)).is_empty());
    }

    #[test]
    fn the_rest_of_each_slope_is_laid_in_the_new_kind() {
        let begun = Trial::new("Tern house").read("thatch/rows-ab", "20").read("thatch/rows-cd", "12");
        let nipa = begun.house();
        assert_eq!((nipa.worked.thatch.rows_per_slope, target(&nipa, "rows-ab")), (46, 46.0));
        let house = changed(begun, "thatch", "coconut").house();
        // The slope is 4.543 m; 46 rows of it are 98.8 mm apart. Coconut from
        // 1.975 m up: 2.568 / 0.08 is 33 rows; from 1.185 m up, 42.
        assert_eq!(laid(&house), [vec![("nipa", 20), ("coconut", 33)], vec![("nipa", 12), ("coconut", 42)]]);
        assert_eq!((target(&house, "rows-ab"), target(&house, "rows-cd")), (53.0, 54.0));
        let per_row = nipa.worked.thatch.panels_per_row;
        assert_eq!(house.worked.roof_panels(), (53 + 54) * per_row);
        let need = &house.stage("thatch").unwrap().items[0].need;
        assert_eq!(need.count, f64::from(107 * per_row));
        let both = format!(
            "{} nipa (20 rows of {per_row} + 12 rows of {per_row}), {} coconut",
            32 * per_row,
            75 * per_row
        );
        assert!(need.how[0].starts_with(&both), "{:?}", need.how);
    }

    #[test]
    fn what_the_changed_kind_moves_is_in_doubt_and_nothing_else() {
        let begun = Trial::new("Tern house")
            .read("thatch/first-row", "yes")
            .read("thatch/rows-ab", "20")
            .read("thatch/rows-cd", "20")
            .read("thatch/row-4/ab", "5 mm");
        let house = changed(begun, "thatch", "coconut").house();
        let doubtful: Vec<&str> = house.doubts.iter().map(|d| d.what.as_str()).collect();
        assert_eq!(doubtful, ["thatch/rows-ab", "thatch/rows-cd"]);
        let verdict = |id: &str| house.stage("thatch").unwrap().point(id).unwrap().verdict;
        assert_eq!((verdict("first-row"), verdict("row-4/ab")), (Verdict::True, Verdict::True));
    }

    #[test]
    fn a_second_change_leaves_what_each_had_laid() {
        let begun = Trial::new("Tern house").read("thatch/rows-ab", "20");
        let begun = changed(begun, "thatch", "coconut").read("thatch/rows-ab", "30");
        let house = changed(begun.clone(), "course", "60 mm").house();
        let [ab, cd] = laid(&house);
        assert_eq!(ab[..2], [("nipa", 20), ("coconut", 10)]);
        assert_eq!((ab.len(), ab[2].0), (3, "coconut"));
        assert_eq!(house.worked.slopes[0][2].way.course_m, 0.06);
        assert_eq!(cd, [("coconut", 76)], "nothing was laid there: 4.543 m / 60 mm");
        // Back again: the nipa goes on above the coconut.
        let back = changed(begun, "thatch", "nipa").house();
        assert_eq!(
            laid(&back)[0].iter().map(|(kind, _)| *kind).collect::<Vec<_>>(),
            ["nipa", "coconut", "nipa"]
        );
        assert_eq!(laid(&back)[1], [("nipa", 46)]);
    }

    #[test]
    fn a_struck_change_never_was() {
        let begun = Trial::new("Tern house").read("thatch/rows-ab", "20");
        let changed = changed(begun, "thatch", "coconut").read("thatch/rows-ab", "30");
        let version = changed.house().version.id;
        let house = changed.draft(&Draft::Strike { entry: version, why: "said in jest".to_owned() }).house();
        assert_eq!(laid(&house), [vec![("nipa", 46)], vec![("nipa", 46)]]);
        assert_eq!(house.worked.life_years(), 5);
    }

    #[test]
    fn a_change_with_nothing_laid_is_for_the_whole_roof() {
        let house = changed(Trial::new("Tern house"), "thatch", "coconut").house();
        assert_eq!(laid(&house), [vec![("coconut", 57)], vec![("coconut", 57)]]);
        assert_eq!(house.worked.life_years(), 3);
    }

    #[test]
    fn of_repeats_that_differ_the_rows_that_lie_whole_count_everywhere() {
        let twice = |ab: &str, again: &str| {
            tally(Trial::new("Tern house"), "40", "woven")
                .read("thatch/rows-ab", ab)
                .read_again("thatch/rows-ab", again)
        };
        // 20.5 rows in the mean.
        let house = twice("20", "21").house();
        assert_eq!(Going::of(&house).rows, [20, 0]);
        let [What::Reading(next), _] = crate::build::accept::laid(&house, "ab").unwrap() else { panic!() };
        assert_eq!(next.said, "21");
        let house = changed(twice("20", "21"), "thatch", "coconut").house();
        assert_eq!(laid(&house)[0][0], ("nipa", 20));
        // 22.5 rows, read second, are as little more than two ahead of 20.
        let house = twice("22", "23").read("thatch/rows-cd", "20").house();
        assert!(house.stage("thatch").unwrap().findings.bars.is_empty());
    }

    #[test]
    fn another_owner_parts_no_slope() {
        let begun = Trial::new("Tern house").read("thatch/rows-ab", "20");
        let house = changed(begun, "owner", "Tavi").house();
        assert_eq!(laid(&house)[0], [("nipa", 46)]);
    }

    #[test]
    fn rows_read_before_a_change_but_struck_do_not_lie() {
        let begun = Trial::new("Tern house").read("thatch/rows-ab", "10").read("thatch/rows-ab", "20");
        let wrong = begun.house().readings.of("thatch", "rows-ab").unwrap().ids[0];
        let changed = changed(begun, "thatch", "coconut");
        let house = changed.draft(&Draft::Strike { entry: wrong, why: "counted twice".to_owned() }).house();
        assert_eq!(laid(&house)[0][0], ("nipa", 10));
    }

    #[test]
    fn slopes_of_unlike_rows_are_level_where_they_are_as_high() {
        let begun = Trial::new("Tern house").read("thatch/rows-ab", "20");
        let coconut = changed(begun, "thatch", "coconut");
        // 20 rows of 98.8 mm are 1.975 m; 25 of 79.7 mm are 1.993 m.
        let house = coconut.clone().read("thatch/rows-cd", "25").house();
        assert_eq!(thatch::behind(&house.worked, [20, 25]), None);
        assert_eq!(thatch::behind(&house.worked, [20, 20]), Some((1, 4)));
        assert!(house.stage("thatch").unwrap().findings.bars.is_empty());
        // 53 rows on one slope and 57 on the other reach the ridge alike.
        let full = coconut.read("thatch/rows-ab", "53").read("thatch/rows-cd", "57").house();
        assert_eq!(laid(&full).map(|bands| bands.iter().map(|b| b.1).sum::<u32>()), [53, 57]);
        assert_eq!(thatch::behind(&full.worked, [53, 57]), None);
        assert!(full.stage("thatch").unwrap().findings.bars.is_empty());
    }

    #[test]
    fn the_roof_lasts_as_long_as_its_first_band_to_go() {
        let all = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];
        let begun =
            Trial::new("Tern house").built(&all).read("thatch/rows-ab", "40").read("thatch/rows-cd", "40");
        let house = changed(begun, "thatch", "coconut").built(&["thatch", "cap", "handing-over"]).house();
        assert!(house.is_handed_over());
        assert!(
            house.next_at(house.last).contains("about 2033"),
            "three years of coconut from 2030: {}",
            house.next_at(house.last)
        );
        let kit = (house.stage("handing-over").unwrap().stage.kit)(&house.worked);
        assert_eq!(
            kit[0],
            "coconut lasts about 3 years, nipa lasts about 5 years; the roof goes by the first of them: say when it was laid."
        );
    }
}
