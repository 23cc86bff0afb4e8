//! How fast the work goes: rates that most builders would own to, and the
//! builder's own, learnt from the days that were told.
//!
//! The rate of a work is what a person does in a day. It is taken as known
//! from n₀ = [`PRIOR`] person-days at the default rate r₀. The days that were
//! told are taken in the order in which they happened, then by id, and each is
//! looked at against what was known before it, the rate r from n person-days.
//! A day of p person-days in which d was done counts
//!
//! w = min(p, n) person-days of x = d/p each, x kept within r/3 to 3r,
//!
//! after which (n·r + w·x)/(n + w) is known from n + w person-days. So one odd
//! day does not rule: it leaves a rate within two thirds and twice what it
//! was. Where day after day is as odd, r follows, what is kept within follows
//! r, and in the end the days count as they were told.
//!
//! The spread is pooled alike: with c₀ the default relative spread and
//! vᵢ = (xᵢ − r)²/r² for each day, r being the last,
//!
//! c² = (n₀·c₀² + Σwᵢvᵢ) / (n₀ + Σwᵢ), c within 0.1 to 1.
//!
//! Work of so many days at the rate r takes early/(1 + 2c) days when all goes
//! well and (1 + 2c) times as many when all goes badly.
//!
//! Source: the mean is that of a gamma prior on a Poisson rate, with shape
//! n₀·r₀ and rate n₀ (a conjugate pair of any textbook; from memory). Bounding
//! what one observation says by where the estimate stands is Huber's way with
//! outliers (textbook; from memory); a third and three times are common
//! practice, no source.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::build::accept::told;
use crate::build::entry::{CrewDay, Moment, Work};

/// The person-days that a default rate counts for: three days of a crew of
/// four (common practice, no source).
pub const PRIOR: f64 = 12.0;
/// The relative spread that is taken where nothing was told (common practice,
/// no source).
const SPREAD: f64 = 0.25;
/// How many times the rate that is known a day counts at the most; at the
/// least it counts as that part of it.
pub const MOST_TIMES: f64 = 3.0;
/// Between which a relative spread lies, whatever was told.
const SPREADS: std::ops::RangeInclusive<f64> = 0.1..=1.0;

/// What a person does in a day of this work where nothing was told of it, in
/// what the work is counted in; none where it is not counted.
#[must_use]
pub const fn usual(work: Work) -> Option<f64> {
    Some(match work {
        // Mark and pegs by four people in a day (common practice, no source).
        Work::SetOut => 0.25,
        // By volume a person digs 2 to 3 m³ a day in ordinary soil (labour-based
        // works norms of the ILO, from memory), 15 holes; narrow deep holes are
        // far slower (common practice, no source).
        Work::Digging => 3.0,
        // Stand, stay, pack, level: three posts a day by four people (common
        // practice, no source).
        Work::Posts => 0.75,
        // Six tie beams or plates a day by four people (common practice, no source).
        Work::Beams => 1.5,
        // Cut and marked (common practice, no source).
        Work::Frame => 8.0,
        // Up, stayed and tied in two days by four people and whoever helps to
        // lift (common practice, no source).
        Work::Raising => 0.125,
        // 10 to 20 coconut panels a day (common practice, unsure).
        Work::Weaving => 15.0,
        // A panel every 3 minutes by a pair, six hours a day (common practice, no
        // source).
        Work::Thatching => 60.0,
        // A cap every 10 minutes by a pair, six hours a day (common practice, no
        // source).
        Work::Capping => 18.0,
        // Felled, trimmed and carried out (common practice, no source).
        Work::Cutting => 4.0,
        Work::Other => return None,
    })
}

/// What a work is counted in, many of them.
#[must_use]
pub const fn counted_in(work: Work) -> &'static str {
    match work {
        Work::SetOut | Work::Raising => "houses",
        Work::Digging => "holes",
        Work::Posts => "posts",
        Work::Beams => "beams and plates",
        Work::Frame => "rafters",
        Work::Weaving | Work::Thatching => "panels",
        Work::Capping => "caps",
        Work::Cutting => "poles",
        Work::Other => "",
    }
}

/// So many of what a work is counted in: `1 hole`, `12 holes`.
#[must_use]
pub fn counted(work: Work, count: f64) -> String {
    let unit = counted_in(work);
    let unit = match work {
        // They are told of together, and counted one or the other.
        Work::Beams if count == 1.0 => "beam or plate",
        Work::Beams => "beams or plates",
        _ if count == 1.0 => unit.trim_end_matches('s'),
        _ => unit,
    };
    format!("{} {unit}", told(count))
}

/// What was done in a day of people.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Done {
    /// When.
    pub at: Moment,
    /// Its entry.
    pub entry: Uuid,
    /// Of what work.
    pub work: Work,
    /// People times their share of the day, more than 0.
    pub person_days: f64,
    /// In what the work is counted in.
    pub done: f64,
}

impl Done {
    /// What a day tells of a rate; nothing where it was not counted.
    #[must_use]
    pub fn of(at: Moment, entry: Uuid, day: &CrewDay) -> Option<Self> {
        let person_days = f64::from(day.people) * day.share;
        day.done.map(|done| Self { at, entry, work: day.work, person_days, done })
    }

    /// What a person did in a day.
    #[must_use]
    pub fn each(&self) -> f64 {
        self.done / self.person_days
    }
}

/// How fast a work goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// The work.
    pub work: Work,
    /// What a person does in a day.
    pub per_person_day: f64,
    /// The relative spread c.
    pub spread: f64,
    /// How many days were told of it.
    pub days: u32,
    /// How many of them were too far off to count as they were told.
    pub odd: u32,
    /// How many person-days they count.
    pub person_days: f64,
}

impl Rate {
    /// The factor between the likely days and the early or the late ones.
    #[must_use]
    pub fn factor(&self) -> f64 {
        1.0 + 2.0 * self.spread
    }

    /// The share of what is known of it that the builder told, 0 to 1.
    #[must_use]
    pub fn learnt(&self) -> f64 {
        self.person_days / (PRIOR + self.person_days)
    }

    /// What a day of so much a person counts as, with this known before it.
    #[must_use]
    pub fn counted(&self, each: f64) -> f64 {
        each.clamp(self.per_person_day / MOST_TIMES, self.per_person_day * MOST_TIMES)
    }
}

/// How fast each work goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates(BTreeMap<Work, Rate>);

impl Rates {
    /// The rates that follow from the days that were told, in any order.
    #[must_use]
    pub fn of<'d>(told: impl Iterator<Item = &'d Done>) -> Self {
        let mut of_each: BTreeMap<Work, Vec<&Done>> = BTreeMap::new();
        for day in told {
            of_each.entry(day.work).or_default().push(day);
        }
        let rates = Work::ALL.iter().filter_map(|work| {
            let mut days = of_each.remove(work).unwrap_or_default();
            days.sort_by_key(|day| (day.at, day.entry));
            Some((*work, learnt(*work, usual(*work)?, &days)))
        });
        Self(rates.collect())
    }

    /// How fast a work goes; none where it is not counted.
    #[must_use]
    pub fn rate(&self, work: Work) -> Option<&Rate> {
        self.0.get(&work)
    }

    /// All of them, in the order of the works.
    pub fn all(&self) -> impl Iterator<Item = &Rate> {
        self.0.values()
    }

    /// The days that so much work takes so many people.
    #[must_use]
    pub fn days(&self, work: Work, left: f64, people: u32) -> f64 {
        let rate = self.rate(work).map_or(1.0, |rate| rate.per_person_day);
        left / (rate * f64::from(people.max(1)))
    }
}

/// What is known of a work after days, which are in order.
fn learnt(work: Work, usual: f64, days: &[&Done]) -> Rate {
    let mut rate = Rate { work, per_person_day: usual, spread: SPREAD, days: 0, odd: 0, person_days: 0.0 };
    let mut counted = Vec::with_capacity(days.len());
    for day in days {
        let known = PRIOR + rate.person_days;
        let (weight, each) = (day.person_days.min(known), rate.counted(day.each()));
        rate.odd += u32::from(each != day.each());
        rate.days += 1;
        rate.per_person_day = (known * rate.per_person_day + weight * each) / (known + weight);
        rate.person_days += weight;
        counted.push((weight, each));
    }
    let r = rate.per_person_day;
    let off: f64 = counted.iter().map(|(weight, each)| weight * (each / r - 1.0).powi(2)).sum();
    let spread = ((PRIOR * SPREAD * SPREAD + off) / (PRIOR + rate.person_days)).sqrt();
    rate.spread = spread.clamp(*SPREADS.start(), *SPREADS.end());
    rate
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn days(days: &[(f64, f64)]) -> Vec<Done> {
        let at = |n: usize| {
            let at: Moment = "2030-10-14T17:00:00+10:00".parse().unwrap();
            at + chrono::Duration::days(n as i64)
        };
        let one = |(n, (person_days, done)): (usize, &(f64, f64))| Done {
            at: at(n),
            entry: Uuid::from_u128(n as u128),
            work: Work::Weaving,
            person_days: *person_days,
            done: *done,
        };
        days.iter().enumerate().map(one).collect()
    }

    fn weaving(days: &[(f64, f64)]) -> Rate {
        *Rates::of(self::days(days).iter()).rate(Work::Weaving).unwrap()
    }

    #[test]
    fn nothing_told_leaves_the_usual_rate() {
        let rate = weaving(&[]);
        assert_eq!((rate.per_person_day, rate.spread, rate.learnt()), (15.0, 0.25, 0.0));
        assert_eq!(rate.factor(), 1.5);
    }

    /// Source: worked by hand. Prior 12 × 15 = 180 panels; three people wove 60
    /// in a day: (180 + 60)/(12 + 3) = 16. Off it: 3·(20 − 16)²/16² = 0.1875;
    /// prior 12·0.0625 = 0.75; c² = 0.9375/15 = 0.0625.
    #[test]
    fn one_good_day_moves_the_rate_by_its_share() {
        let rate = weaving(&[(3.0, 60.0)]);
        assert!((rate.per_person_day - 16.0).abs() < 1e-12);
        assert!((rate.spread - 0.25).abs() < 1e-12);
        assert!((rate.learnt() - 0.2).abs() < 1e-12);
    }

    /// Source: worked by hand. Twelve days of one person and 30 panels each:
    /// (180 + 360)/24 = 22.5; off it 12·(7.5/22.5)² = 4/3; c² = (0.75 + 4/3)/24.
    #[test]
    fn many_days_outweigh_the_usual_rate() {
        let rate = weaving(&[(1.0, 30.0); 12]);
        assert!((rate.per_person_day - 22.5).abs() < 1e-12);
        assert!((rate.spread - ((0.75 + 4.0 / 3.0) / 24.0_f64).sqrt()).abs() < 1e-12);
        assert_eq!(rate.days, 12);
    }

    /// Source: worked by hand. Six people are said to have woven 900 panels,
    /// 150 each where 15 are known: they count as 45 each, (180 + 270)/18 = 25.
    /// Four people of whom nothing came count as 5 each, (180 + 20)/16 = 12.5.
    #[test]
    fn an_odd_day_counts_as_three_times_what_is_known_or_a_third() {
        let far_too_many = weaving(&[(6.0, 900.0)]);
        assert!((far_too_many.per_person_day - 25.0).abs() < 1e-12);
        assert_eq!((far_too_many.days, far_too_many.odd), (1, 1));
        let nothing_done = weaving(&[(4.0, 0.0)]);
        assert!((nothing_done.per_person_day - 12.5).abs() < 1e-12);
        assert_eq!(weaving(&[(3.0, 60.0)]).odd, 0);
        assert!(weaving(&[(1.0, 1000.0)]).spread <= 1.0);
    }

    /// Source: worked by hand. A hundred people who wove 4500 panels count no
    /// more person-days than are known without them: (180 + 12·45)/24 = 30.
    #[test]
    fn a_day_of_many_people_counts_no_more_than_all_that_is_known() {
        let crowd = weaving(&[(100.0, 4500.0)]);
        assert!((crowd.per_person_day - 30.0).abs() < 1e-12);
        assert_eq!(crowd.learnt(), 0.5);
    }

    #[test]
    fn days_that_are_all_far_off_move_a_rate_all_the_way() {
        for each in [150.0, 75.0, 3.0, 1.5] {
            let rate = weaving(&[(4.0, 4.0 * each); 1000]).per_person_day;
            assert!((rate / each - 1.0).abs() < 0.05, "{each}: {rate}");
        }
    }

    proptest! {
        #[test]
        fn no_day_takes_a_rate_below_two_thirds_or_above_twice_what_it_was(
            before in prop::collection::vec((0.01..1000.0_f64, 0.0..1e6_f64), 0..20),
            next in (0.01..1000.0_f64, 0.0..1e6_f64),
        ) {
            let known = weaving(&before).per_person_day;
            let after = weaving(&[before, vec![next]].concat()).per_person_day;
            let moved = after / known;
            prop_assert!((2.0 / 3.0 - 1e-9..=2.0 + 1e-9).contains(&moved), "{known} to {after}");
        }

        #[test]
        fn days_are_taken_as_they_happened_whatever_order_they_come_in(
            days in prop::collection::vec((0.01..20.0_f64, 0.0..1e4_f64), 2..12),
            turn in 1_usize..12,
        ) {
            let in_order = self::days(&days);
            let mut turned = in_order.clone();
            turned.rotate_left(turn % days.len());
            prop_assert_eq!(Rates::of(in_order.iter()), Rates::of(turned.iter()));
        }
    }

    #[test]
    fn every_work_that_is_counted_has_a_usual_rate() {
        for work in Work::ALL {
            assert_eq!(usual(*work).is_none(), *work == Work::Other);
            assert_eq!(counted_in(*work).is_empty(), *work == Work::Other);
        }
    }

    #[test]
    fn more_people_take_fewer_days() {
        let rates = Rates::of([].iter());
        assert_eq!(rates.days(Work::Weaving, 90.0, 3), 2.0);
        assert_eq!(rates.days(Work::Thatching, 240.0, 4), 1.0);
    }
}
