//! Stage 1: the centre mark.

use super::{nothing, step};
use crate::build::entry::Item;
use crate::build::readings::Readings;
use crate::build::stage::{Figure, Need, Point, PointKind, Rule, Stage};
use crate::build::storm::AfterStorm;
use crate::build::telling::both;
use crate::build::worked::Worked;

/// One looks from outside before one goes in; and the water may have come
/// higher than was ever known.
const AFTER_STORM: AfterStorm = AfterStorm {
    shakes: |point, _| matches!(point, "above-high-water" | "seen-from-outside"),
    asks: |_, _| {
        let says = "seen from outside: no line down, no limb hanging, no post leaning";
        vec![Point::yes("seen-from-outside", says).short("from outside"), above_high_water()]
    },
};

/// Stage 1.
pub const STAGE: Stage = Stage {
    id: "centre-mark",
    number: 1,
    says: "Centre mark",
    short: "mark",
    steps: &[
        step("Agree the length and the proportion with the owner.", "All that follows hangs on these two."),
        step("Choose the mark and which way the ridge runs.", "Everything is measured from this one peg."),
        step(
            "Clear the ground, a pole's length past the house all round.",
            "Ropes must lie straight and people walk safely.",
        ),
        step("Find the highest water, and what can fall.", "A house stands where neither comes."),
        step("Read the measure on a rod, three times.", "An arm is not twice the same; a rod is."),
    ],
    cautions: &[
        "Storm surge and flood: ask the oldest people how high the water came.",
        "Dead limbs and ripe nuts fall without wind: look up before you choose.",
        "No overhead line within the longest pole's fall. Stay away from it.",
        "Ask for buried pipes and cables before any peg is driven.",
        "Have leave for the land and for every tree you mean to cut. Local rules decide.",
    ],
    kit,
    points,
    needs,
    findings: nothing,
    after_storm: AFTER_STORM,
    rule: Rule::AllRead,
    rule_says: "every point is read",
    figure: Figure::Plan,
};

fn kit(worked: &Worked) -> Vec<String> {
    let body = &worked.brief.body;
    vec![
        format!(
            "The house: {} long, {} wide.",
            both(worked.brief.length_m, body),
            both(worked.brief.width_m, body)
        ),
        format!("With its eaves it covers {:.1} m².", worked.roof.plan_area_m2),
    ]
}

fn points(worked: &Worked, _: &Readings) -> Vec<Point> {
    let span = worked.brief.body.span().get();
    let name = worked.brief.body.name();
    let mut points: Vec<Point> = (1..=3)
        .map(|i| {
            Point::near(format!("span-{i}"), format!("{name}'s span on the rod, {i}"), span, span * 0.01)
                .short(format!("span, {i}"))
        })
        .collect();
    points.push(
        Point::told("bearing", "which way the ridge runs, degrees from north", PointKind::Angle, None)
            .short("ridge runs"),
    );
    points.push(
        Point::told("fall", "fall of the ground, highest corner to lowest", PointKind::Length, Some(0.3))
            .short("fall of ground"),
    );
    points.push(above_high_water());
    points.push(Point::yes("nothing-can-fall", "no tree or limb can reach it").short("nothing falls"));
    points
}

fn above_high_water() -> Point {
    Point::yes("above-high-water", "above the highest known water").short("above water")
}

fn needs(_: &Worked) -> Vec<Need> {
    vec![
        Need::pieces(Item::Peg, 3, "the centre mark and one at each end of the ridge line"),
        Need::pieces(Item::Rope, 1, "the ridge line, stretched between the end pegs"),
    ]
}
