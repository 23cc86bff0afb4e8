//! How fast the work goes: rates that most builders would own to, and the
//! builder's own, learnt from the days that were told.
//!
//! The rate of a work is what a person does in a day. It is taken as known
//! from [`PRIOR`] person-days at the default rate r₀ and all the person-days
//! pᵢ that were told with what was done in them, dᵢ:
//!
//! r = (n₀·r₀ + Σdᵢ) / (n₀ + Σpᵢ)
//!
//! so that one odd day of a crew of four moves it by a quarter of the way at
//! the most. The spread is pooled alike: with c₀ the default relative spread
//! and vᵢ = (dᵢ/pᵢ − r)²/r² for each day,
//!
//! c² = (n₀·c₀² + Σpᵢvᵢ) / (n₀ + Σpᵢ), c within 0.1 to 1.
//!
//! Work of so many days at the rate r takes early/(1 + 2c) days when all goes
//! well and (1 + 2c) times as many when all goes badly.
//!
//! Source: the mean is that of a gamma prior on a Poisson rate, with shape
//! n₀·r₀ and rate n₀ (a conjugate pair of any textbook; from memory).

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::build::entry::Work;

/// The person-days that a default rate counts for: three days of a crew of
/// four (common practice, no source).
pub const PRIOR: f64 = 12.0;
/// The relative spread that is taken where nothing was told (common practice,
/// no source).
const SPREAD: f64 = 0.25;
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

/// What was done in a day of people.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Done {
    /// Of what work.
    pub work: Work,
    /// People times their share of the day, more than 0.
    pub person_days: f64,
    /// In what the work is counted in.
    pub done: f64,
}

/// What was told of a work, summed up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evidence {
    /// The work.
    pub work: Work,
    /// How many days were told.
    pub days: u32,
    /// Σp.
    pub person_days: f64,
    /// Σd.
    pub done: f64,
    /// Σd²/p.
    pub squares: f64,
}

impl Evidence {
    /// Sums up days, by work.
    #[must_use]
    pub fn of_each(days: impl Iterator<Item = Done>) -> Vec<Self> {
        let mut all = BTreeMap::new();
        for Done { work, person_days, done } in days {
            let squares = done * done / person_days;
            add(&mut all, &Self { work, days: 1, person_days, done, squares });
        }
        all.into_values().collect()
    }
}

fn add(all: &mut BTreeMap<Work, Evidence>, more: &Evidence) {
    let none = Evidence { work: more.work, days: 0, person_days: 0.0, done: 0.0, squares: 0.0 };
    let sum = all.entry(more.work).or_insert(none);
    sum.days += more.days;
    sum.person_days += more.person_days;
    sum.done += more.done;
    sum.squares += more.squares;
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
    /// How many person-days they were.
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
}

/// How fast each work goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates(BTreeMap<Work, Rate>);

impl Rates {
    /// The rates that follow from what was told.
    #[must_use]
    pub fn of<'e>(told: impl Iterator<Item = &'e Evidence>) -> Self {
        let mut all = BTreeMap::new();
        told.for_each(|evidence| add(&mut all, evidence));
        let rates = Work::ALL.iter().filter_map(|work| {
            let none = Evidence { work: *work, days: 0, person_days: 0.0, done: 0.0, squares: 0.0 };
            Some((*work, rate(usual(*work)?, all.get(work).unwrap_or(&none))))
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

fn rate(usual: f64, told: &Evidence) -> Rate {
    let all = PRIOR + told.person_days;
    let per_person_day = (PRIOR * usual + told.done) / all;
    // Σp(d/p − r)², which rounding may leave just under 0.
    let r = per_person_day;
    let off = (told.squares - 2.0 * r * told.done + r * r * told.person_days).max(0.0);
    let spread = ((PRIOR * SPREAD * SPREAD + off / (r * r)) / all).sqrt();
    let spread = spread.clamp(*SPREADS.start(), *SPREADS.end());
    Rate { work: told.work, per_person_day, spread, days: told.days, person_days: told.person_days }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weaving(days: &[(f64, f64)]) -> Rate {
        let days = days.iter().map(|(p, d)| Done { work: Work::Weaving, person_days: *p, done: *d });
        *Rates::of(Evidence::of_each(days).iter()).rate(Work::Weaving).unwrap()
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

    #[test]
    fn an_odd_day_does_not_rule() {
        let nothing_done = weaving(&[(4.0, 0.0)]);
        assert!((nothing_done.per_person_day - 11.25).abs() < 1e-12);
        assert!(weaving(&[(1.0, 1000.0)]).spread <= 1.0);
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
