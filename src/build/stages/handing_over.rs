//! Stage 9: handing over.

use super::step;
use crate::build::findings::Findings;
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::worked::Worked;

/// The list is gone through again; the owner's word stays.
const AFTER_STORM: AfterStorm =
    AfterStorm { shakes: |point, _| point != "owner-word", asks: |_, _| Vec::new() };

/// Stage 9.
pub const STAGE: Stage = Stage {
    id: "handing-over",
    number: 9,
    says: "Handing over",
    short: "hand over",
    steps: &[
        step("Walk round the house with the owner, outside and inside.", "They see what you see."),
        step(
            "Pour water over the ridge where no rain has come.",
            "A drip is found today, not in the first storm.",
        ),
        step(
            "Say what to watch: lashings, feet of the posts, the ridge.",
            "The owner is there every day; you are not.",
        ),
        step(
            "Tell when to look at the thatch and when to lay it new.",
            "Thatch wears; nobody is to be surprised.",
        ),
    ],
    cautions: &[
        "Fire: the hearth well away from the wall, no flame under the eave, water and a way out.",
        "Before a storm: tie down, and go to the shelter when told or sooner. No house like this is proof against a cyclone.",
        "Look at lashings and thatch every year, and after every storm.",
    ],
    kit,
    points,
    needs,
    findings,
    after_storm: AFTER_STORM,
    rule: Rule::AllRead,
    rule_says: "every question is answered and the owner has given their word",
    figure: Figure::Elevation,
};

fn kit(worked: &Worked) -> Vec<String> {
    let mut kinds: Vec<(&str, u32)> =
        worked.bands().map(|band| (band.way.kind.id, band.way.kind.life_years)).collect();
    kinds.sort_unstable_by_key(|(id, years)| (*years, *id));
    kinds.dedup();
    let lasts = kinds.iter().map(|(id, years)| format!("{id} lasts about {years} years"));
    let lasts = lasts.collect::<Vec<_>>().join(", ");
    let first = if kinds.len() > 1 { "; the roof goes by the first of them" } else { "" };
    vec![format!("{lasts}{first}: say when it was laid.")]
}

fn points(_: &Worked, _: &Readings) -> Vec<Point> {
    vec![
        Point::yes("no-post-moved", "no post has moved").short("posts unmoved"),
        Point::yes("lashings-tight", "all lashings are tight").short("lashings tight"),
        Point::yes("no-drip", "no drip in rain or poured water").short("no drip"),
        Point::yes("fire-distance", "the hearth is far enough from wall and thatch").short("fire distance"),
        Point::yes("owner-word", "the owner takes the house (say whose word it is)").short("owner's word"),
    ]
}

/// The house is not handed over against the owner's word.
fn findings(_: &Worked, readings: &Readings) -> Findings {
    let mut found = Findings::default();
    if readings.number("handing-over", "owner-word").is_some_and(|word| word < 1.0) {
        found.bars.push("the owner does not take the house yet".to_owned());
    }
    found
}

fn needs(_: &Worked) -> Vec<Need> {
    Vec::new()
}
